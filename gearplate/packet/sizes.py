"""Lengths and counts of a record as text for people: in the drawn unit first, with the other beside it."""

from __future__ import annotations

from typing import Any

from gearplate.units import Unit, both_units, format_length, in_unit

SIDE_WORDS = {"outboard": "over the wheel", "inboard": "toward the middle"}
"""On which side of the box a motor's body stands, in the words of the job."""


def unit_of(record: dict[str, Any]) -> Unit:
    """The unit in which the cut files are drawn."""
    return "inch" if record["drawn_units"] == "inch" else "mm"


def unit_word(unit: Unit) -> str:
    """For a heading over bare numbers: "mm" or "inches"."""
    return "inches" if unit == "inch" else "mm"


def one(mm: float, unit: Unit) -> str:
    """ "53.390 mm" or "2.1020 in"."""
    return format_length(mm, unit)


def both(mm: float, unit: Unit) -> str:
    """ "2.1020 in (53.390 mm)": the drawn unit first."""
    return both_units(mm, unit)


def bare(mm: float, unit: Unit) -> str:
    """The number alone, with the decimals of its unit."""
    return format_length(mm, unit).split()[0]


def roughly(mm: float, unit: Unit) -> str:
    """The number alone, as `size` tells it: for extents."""
    return f"{in_unit(mm, unit):.{3 if unit == 'inch' else 2}f}"


def size(width_mm: float, height_mm: float, unit: Unit) -> str:
    """ "182.40 × 96.00 mm": to a hundredth of a mm or a thousandth of an inch, as a machine's screen shows it."""
    return f"{roughly(width_mm, unit)} × {roughly(height_mm, unit)} {'in' if unit == 'inch' else 'mm'}"


def other(unit: Unit) -> Unit:
    """The unit that is not `unit`."""
    return "mm" if unit == "inch" else "inch"


def counted(count: int, noun: str, plural: str = "") -> str:
    """ "1 hole", "2 holes"."""
    return f"{count} {noun}" if count == 1 else f"{count} {plural or noun + 's'}"


def quantity(value: float, unit: str) -> str:
    """A measured value or a limit of a finding: "0.412 mm", "1.15", "12 deg"."""
    text = f"{value:.3f}" if unit == "mm" else f"{value:.4g}"
    if float(text) == 0.0:
        text = text.removeprefix("-")
    return f"{text} {unit}" if unit else text


def listed(words: list[str]) -> str:
    """ "a", "a and b", "a, b and c"."""
    return words[0] if len(words) == 1 else f"{', '.join(words[:-1])} and {words[-1]}" if words else ""


def hands_of(record: dict[str, Any]) -> list[str]:
    """The hands that plates were made for, right first."""
    hand = record["job"]["hand"]
    return ["right", "left"] if hand == "both" else [hand]


def kerf_origin(record: dict[str, Any], plate: dict[str, Any]) -> str:
    """Where a plate's kerf comes from, unless somebody measured it: "invented"; else empty."""
    sheets = record["shop"]["materials"]
    known = next((sheet["kerf_standing"] for sheet in sheets if sheet["plate"] == plate["plate"]), None)
    return "" if known is None or known == "measured here" else str(known)


def holes_of(plate: dict[str, Any]) -> int:
    """How many holes, slots and windows a plate has."""
    return len(plate["features"])
