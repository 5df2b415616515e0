"""Lengths, points, angles and fits of a job file, read on exact fractions; inside mm and radians."""

from __future__ import annotations

import re
from typing import Any

from gearplate.job.kinds import Kind, Refused, short
from gearplate.units import UnreadableValue, angle_rad, length_mm, other_unit


class InchInt(int):
    """A whole number from a file whose bare numbers are inches. Where it is no length it is a plain number."""


class InchFloat(float):
    """As InchInt, for a number with a decimal mark."""


class Length(Kind):
    """A length, inside in mm. A bare number counts in the units of its file; text names its own unit.

    `low_mm` to `high_mm` is what is plausible; whatever lies outside is refused, with or without a unit, and asked
    about where the same number in another unit would be plausible.
    `zero`: nothing is a length too. `signed`: below zero too (coordinates, fits).
    """

    def __init__(self, low_mm: float, high_mm: float, zero: bool = False, signed: bool = False) -> None:
        self.low_mm, self.high_mm, self.zero, self.signed = low_mm, high_mm, zero, signed
        self.least_mm = low_mm  # that text with a unit may say

    @property
    def accepted(self) -> str:
        low = -self.high_mm if self.signed else 0.0 if self.zero else self.low_mm
        return f'{_both(low, self.high_mm)}, a number or text with a unit such as "6 mm"'

    def read(self, value: object) -> float:
        inch = isinstance(value, InchInt | InchFloat)
        try:
            size = length_mm(value, "inch" if inch else "mm")
        except UnreadableValue as error:
            raise Refused(error.message, self.accepted) from None
        if size < 0 and not self.signed:
            raise Refused("A length here is not below zero.", self.accepted)
        if size == 0 and not self.signed and not self.zero:
            raise Refused("A length here is above zero.", self.accepted)
        if not self._plausible(size) and not (isinstance(value, str) and self.least_mm <= size < self.low_mm):
            raise self._likely(value, size, inch)
        return size

    def _plausible(self, mm: float) -> bool:
        if mm == 0:
            return self.zero or self.signed
        return (0.0 if self.signed else self.low_mm) <= abs(mm) <= self.high_mm

    def _likely(self, value: object, mm: float, inch: bool) -> Refused:
        """What a length out of range may mean instead. Whatever is asked about is accepted as it is said."""
        unit = "in" if inch else "mm"
        written = value if isinstance(value, str) else f"{short(float(value))} {unit}"  # type: ignore[arg-type]
        meant = other_unit(written)
        if meant is None or not self._plausible(length_mm(meant, "mm")):
            meant = None
        asked = "out of range." if meant is None else f'did you mean "{meant}"?'
        if self.least_mm <= mm < self.low_mm:
            asked = f'{asked} If it is meant, write "{written}".'
        if isinstance(value, str):
            return Refused("Out of range." if meant is None else f"Out of range: {asked}", self.accepted)
        here = f"a bare {written.partition(' ')[0]} here means {written}{f' = {short(mm)} mm' if inch else ''}"
        said = f"{here} (the file's units: {'inch' if inch else 'mm'}); {asked}"
        if inch:
            return Refused(said, self.accepted)
        return Refused(said, self.accepted, f"{here} (no units are given); {asked}", in_inches=meant is not None)

    def schema(self) -> dict[str, Any]:
        return {"anyOf": [{"type": "number"}, {"type": "string"}]}


class Gap(Length):
    """A gap, a hole or a play: a check says whether a little one will do, so text with a unit may go down to a tenth
    of `low_mm`."""

    def __init__(self, low_mm: float, high_mm: float, zero: bool = False) -> None:
        super().__init__(low_mm, high_mm, zero)
        self.least_mm = low_mm / 10


def _both(low_mm: float, high_mm: float) -> str:
    """A range in mm, and in inches beside it."""
    return f"{short(low_mm)} to {short(high_mm)} mm ({short(low_mm / 25.4)} to {short(high_mm / 25.4)} in)"


class Angle(Kind):
    """An angle, inside in radians; a bare number is in degrees, from forward toward up."""

    accepted = 'degrees from -360 to 360, such as 100, or text such as "0.5 rad"'

    def read(self, value: object) -> float:
        try:
            return angle_rad(value)
        except UnreadableValue as error:
            raise Refused(error.message, self.accepted) from None

    def schema(self) -> dict[str, Any]:
        return {"anyOf": [{"type": "number", "minimum": -360, "maximum": 360}, {"type": "string"}]}


MOST_FIT_MM = 0.5  # looser than the loosest rod fit, tighter than any press in plastic; common practice, no source


class Fit(Kind):
    """A fit: finished hole less part as a length (below zero = press), or a hole class of ISO 286 such as "H7"."""

    size = Length(0.0, MOST_FIT_MM, signed=True)

    @property
    def accepted(self) -> str:
        return (
            f'hole less part as a length of at most {MOST_FIT_MM:g} mm, "-0.04 mm" is a press fit, or a hole class of '
            'ISO 286 such as "H7"'
        )

    def read(self, value: object) -> float | str:
        if isinstance(value, str) and (match := re.fullmatch(r"([A-Z]{1,2})([1-9]|1[0-8])", value.strip())):
            if match[1][0] in "ILOQW":
                raise Refused(f"ISO 286 has no hole class {match[1]}.", self.accepted)
            return value.strip()
        if isinstance(value, str) and re.fullmatch(r"[a-z]{1,2}\d{1,2}", value.strip()):
            raise Refused("Small letters are classes of shafts; this is a hole.", self.accepted)
        try:
            return self.size.read(value)
        except Refused as refused:
            raise refused.told("", self.accepted) from None

    def schema(self) -> dict[str, Any]:
        return {"anyOf": [{"type": "number"}, {"type": "string"}], "examples": ["-0.04 mm", "H7"]}


COORDINATE = Length(0.0, 1500.0, signed=True)


class Lengths(Kind):
    """A list of exactly `names` lengths, such as a point [x, y]; `rising`: pairs (i, j) where item i < item j."""

    def __init__(self, names: tuple[str, ...], rising: tuple[tuple[int, int], ...] = ()) -> None:
        self.names, self.rising = names, rising

    @property
    def accepted(self) -> str:
        return f'[{", ".join(self.names)}], each a number or text with a unit such as "6 mm"'

    def read(self, value: object) -> tuple[float, ...]:
        if not isinstance(value, list) or len(value) != len(self.names):
            raise Refused(f"This is not a list of {len(self.names)} lengths.", self.accepted)
        sizes = []
        for name, item in zip(self.names, value, strict=True):
            try:
                sizes.append(COORDINATE.read(item))
            except Refused as refused:
                raise refused.told(f"{name}: ", self.accepted) from None
        for low, high in self.rising:
            if not sizes[low] < sizes[high]:
                raise Refused(f"{self.names[low]} is not less than {self.names[high]}.", self.accepted)
        return tuple(sizes)

    def schema(self) -> dict[str, Any]:
        items = {"anyOf": [{"type": "number"}, {"type": "string"}]}
        return {"type": "array", "items": items, "minItems": len(self.names), "maxItems": len(self.names)}


POINT = Lengths(("x", "y"))
BOX = Lengths(("x0", "y0", "x1", "y1"), rising=((0, 2), (1, 3)))
SPAN_Z = Lengths(("z0", "z1"), rising=((0, 1),))
