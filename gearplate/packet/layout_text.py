"""What is proven about where shafts stand, in words."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from gearplate.packet.columns import wrapped

_EXTENTS = {
    "height": "Without standoffs it is {size} high; no layout is lower by more than {share}.",
    "width": "Without standoffs it is {size} wide; no layout is narrower by more than {share}.",
    "move": "A shaft moves by {size} at most; no layout has a largest move that is shorter by more than {share}.",
}
_THAN = {
    "hull": "with a hull more than {share} smaller",
    "height": "that is lower by more than {share}",
    "width": "that is narrower by more than {share}",
}
_GIVEN = "Given are the train, the rail's screws and the clearances; motors may be turned any way."


def layout_lines(record: dict[str, Any], width: int) -> Iterator[str]:
    """The hull and how much smaller another one could be; the outlines' own areas beside it, without a claim."""
    layout = record.get("layout")
    certificate = None if layout is None else layout["certificate"]
    if layout is None or certificate is None:
        return
    own = _outlines(record)
    parts = [f"Layout: the hull of all margins has {area(layout['hull_mm2'])}{f' ({own})' if own else ''}."]
    share = share_of(certificate["gap"])
    least = "how small another could be is not proven"
    if certificate["wish"] == "hull":
        if certificate["bound"] > 0.0:
            least = f"no layout has a hull more than {share} smaller"
        parts.append(f"Without standoffs it has {area(certificate['value'])}; {least}.")
    elif certificate["bound"] > 0.0:
        parts.append(_EXTENTS[certificate["wish"]].format(share=share, size=f"{certificate['value']:.1f} mm"))
    else:
        parts.append(f"{least.capitalize()}.")
    parts.append(_GIVEN)
    if certificate["spent"] >= 0.0005:
        parts.append(f"{share_of(certificate['spent'])} of the hull went into clearance.")
    if certificate["interrupted"]:
        parts.append("The search was interrupted: this is the best layout until then, and what was proven by then.")
    elif not certificate["proven"]:
        parts.append(f"The search ended at its count of {certificate['boxes']:,} boxes of angles, not by itself.")
    yield from wrapped(" ".join(parts), width, "", "  ")
    if layout["trains"] is not None:
        yield from wrapped(_trains(layout["trains"]), width, "", "  ")


def _trains(trains: dict[str, Any]) -> str:
    """What is proven of the choice of train."""
    found, ruled_out, left = trains["found"], trains["ruled_out"], trains["left"]
    if found == 1 and trains["counted"]:
        return "Trains: this one alone has the wanted reduction."
    more = "" if trains["counted"] else "at least "
    text = f"Trains: {more}{found:,} have the wanted reduction"
    if ruled_out:
        text += f"; in {ruled_out:,} two axes are too near each other for what is on them, wherever they turn"
    if trains["bound"] > 0.0:
        than = _THAN[trains["wish"]].format(share=share_of(trains["gap"]))
        text += (
            f". None has a layout {than}, each motor counted with its whole screw circle, rail screws set by one rule"
        )
    if left:
        why = (
            "was interrupted" if trains["interrupted"] else f"ended at the work of {trains['boxes']:,} boxes of angles"
        )
        text += f". The search {why}: {left:,} may hold a better one"
    if trains["unlisted"]:
        text += (
            f". {more.capitalize()}{trains['unlisted']:,} others, none nearer to the wanted ratio, were not looked at"
        )
    return f"{text}."


def share_of(value: float) -> str:
    """A share as per cent, rounded up: a claim is never stronger than its proof."""
    return f"{-int(-1000.0 * value // 1) / 10:g} %"


def area(mm2: float) -> str:
    """ "150.2 cm²"."""
    return f"{mm2 / 100:.1f} cm²"


def _outlines(record: dict[str, Any]) -> str:
    """ "cut outlines: outboard 150.2 cm², inboard 161.0 cm²"; nothing where no plate was drawn."""
    first = record["plates"][0]["hand"] if record["plates"] else ""
    plates = [plate for plate in record["plates"] if plate["hand"] == first]
    own = [f"{plate['plate']} {area(plate['outline']['area_mm2'])}" for plate in plates]
    return f"cut outlines: {', '.join(own)}" if own else ""
