"""How numbers stand in the record: rounded the same way on every machine, never a negative zero, always finite."""

from __future__ import annotations

import math

from gearplate.errors import ToolBug
from gearplate.geometry.shapes import Path

LENGTH_DECIMALS = 6  # a nanometre: a thousandth of what two builds are compared to
PURE_DECIMALS = 9  # ratios and bulges, which are multiplied by lengths


def length(value: float) -> float:
    """A length, area, angle or the like, to 1e-6 of its unit. Raises ToolBug where it is not finite."""
    return _rounded(value, LENGTH_DECIMALS)


def pure(value: float) -> float:
    """A number without unit, to 1e-9. Raises ToolBug where it is not finite."""
    return _rounded(value, PURE_DECIMALS)


def maybe(value: float | None) -> float | None:
    """A length, or None where there is none."""
    return None if value is None else length(value)


def known(value: float) -> float | None:
    """A result that may not exist (the play of gears that cannot mesh): None where it is not a number."""
    return length(value) if math.isfinite(value) else None


def pair(values: tuple[float, float] | None) -> list[float] | None:
    """Two lengths, or None."""
    return None if values is None else [length(value) for value in values]


def box(values: tuple[float, float, float, float]) -> list[float]:
    """Least x, least y, greatest x, greatest y."""
    return [length(value) for value in values]


def vertices(path: Path) -> list[list[float]]:
    """The vertices of a closed path: x and y in mm, and the bulge of the segment that begins there."""
    return [[length(x), length(y), pure(bulge)] for x, y, bulge in path.vertices]


def _rounded(value: float, decimals: int) -> float:
    if not math.isfinite(value):
        raise ToolBug(f"the record cannot hold {value}: a length or angle was never worked out")
    return round(float(value), decimals) + 0.0  # adding zero turns -0.0 into 0.0
