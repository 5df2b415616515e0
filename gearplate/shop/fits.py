"""ISO 286-1 limits and fits: from a nominal size and a tolerance class to the limits of size, in micrometres.

The inch world's sizes take the same classes: 28.575 N7 is a size like any other.
"""

from __future__ import annotations

import math
import re
from collections.abc import Sequence
from dataclasses import dataclass

from gearplate.errors import GearplateError
from gearplate.shop.iso286_tables import (
    FINE_RANGES_MM,
    GRADES_UM,
    HOLE_J_UM,
    OUTER_RING_UM,
    RANGES_MM,
    SHAFT_J_UM,
    SHAFT_LOWER_FINE_UM,
    SHAFT_LOWER_UM,
    SHAFT_UPPER_FINE_UM,
    SHAFT_UPPER_UM,
)

LARGEST_MM = RANGES_MM[-1]
_CLASS = re.compile(r"([A-Z]{1,2}|[a-z]{1,2})(01|[0-9]|1[0-8])")
_LETTERS = (*SHAFT_UPPER_FINE_UM, *SHAFT_UPPER_UM, "js", "j", *SHAFT_LOWER_UM, *SHAFT_LOWER_FINE_UM)

# Multiples of the tolerance unit i by grade (ISO 286-1, annex).
_UNITS = {
    5: 7,
    6: 10,
    7: 16,
    8: 25,
    9: 40,
    10: 64,
    11: 100,
    12: 160,
    13: 250,
    14: 400,
    15: 640,
    16: 1000,
    17: 1600,
    18: 2500,
}


class FitError(GearplateError, ValueError):
    """A tolerance class that ISO 286-1 does not have, or not for this size. `accepted` says what there is."""

    exit_code = 2

    def __init__(self, message: str, accepted: str) -> None:
        self.message = message
        self.accepted = accepted
        super().__init__(f"{message} Accepted: {accepted}.")


@dataclass(frozen=True, slots=True)
class Limits:
    """Limits of one size: nominal [mm] and the two deviations [um]."""

    nominal_mm: float
    lower_um: float
    upper_um: float

    @property
    def min_mm(self) -> float:
        """Lower limit of size [mm]."""
        return self.nominal_mm + self.lower_um / 1000

    @property
    def max_mm(self) -> float:
        """Upper limit of size [mm]."""
        return self.nominal_mm + self.upper_um / 1000

    @property
    def middle_um(self) -> float:
        """Deviation of the middle of the tolerance zone [um]."""
        return (self.lower_um + self.upper_um) / 2


@dataclass(frozen=True, slots=True)
class Clearance:
    """What a hole and its mate leave between them [um]; negative is interference."""

    min_um: float
    max_um: float


def limits(nominal_mm: float, tolerance_class: str) -> Limits:
    """Limits of a hole (capital letter, "H7") or a shaft (small letter, "g6"), nominal over 0 up to 500 mm.

    Raises:
        FitError: no such class, or not for this size.
    """
    letter, grade = split_class(tolerance_class)
    tolerance = grade_um(nominal_mm, grade)
    if letter.lower() == "js":
        return Limits(nominal_mm, -tolerance / 2, tolerance / 2)
    if letter.isupper():
        if letter.lower() in SHAFT_UPPER_UM or letter.lower() in SHAFT_UPPER_FINE_UM:
            lower = -_shaft_deviation_um(nominal_mm, letter.lower(), grade)
            return Limits(nominal_mm, lower + 0.0, lower + tolerance)
        upper = _hole_upper_um(nominal_mm, letter, grade)
        return Limits(nominal_mm, upper - tolerance, upper + 0.0)
    deviation = _shaft_deviation_um(nominal_mm, letter, grade)
    if letter in SHAFT_UPPER_UM or letter in SHAFT_UPPER_FINE_UM:
        return Limits(nominal_mm, deviation - tolerance, deviation)
    return Limits(nominal_mm, deviation, deviation + tolerance)


def split_class(tolerance_class: str) -> tuple[str, str]:
    """Letter and grade of a tolerance class: "JS7" gives ("JS", "7").

    Raises:
        FitError: it is none.
    """
    match = _CLASS.fullmatch(tolerance_class.strip())
    if match is None or match[1].lower() not in _LETTERS:
        letters = ", ".join(_LETTERS)
        raise FitError(
            f"{tolerance_class!r} is no tolerance class of ISO 286.",
            f"a letter and a grade such as H7 (hole) or g6 (shaft); letters {letters}, capital for holes",
        )
    return match[1], match[2]


def grade_um(nominal_mm: float, grade: str | int) -> float:
    """Standard tolerance [um] of a grade (01, 0, 1 to 18) from the table of ISO 286-1.

    Raises:
        FitError: no such grade, or a nominal size beyond 0 to 500 mm.
    """
    key = str(grade)
    if key not in GRADES_UM:
        raise FitError(f"IT{grade} is no standard tolerance grade.", "01, 0, 1 to 18")
    return GRADES_UM[key][_range_of(nominal_mm, RANGES_MM)]


def tolerance_unit_um(range_low_mm: float, range_high_mm: float) -> float:
    """Tolerance unit i = 0.45 D^(1/3) + 0.001 D [um], D the geometric mean of the range's ends [mm] (ISO 286-1).

    The range up to 3 mm is taken from 1 mm, as the standard does.
    """
    mean = _mean_mm(range_low_mm, range_high_mm)
    return 0.45 * math.cbrt(mean) + 0.001 * mean


def grade_formula_um(range_low_mm: float, range_high_mm: float, grade: int) -> float:
    """Standard tolerance [um] from the standard's formulas, not rounded: multiples of i for the grades 5 to 18,
    0.8 + 0.020 D for grade 1 and a geometric series between 1 and 5.

    Raises:
        FitError: any other grade.
    """
    unit = tolerance_unit_um(range_low_mm, range_high_mm)
    if grade in _UNITS:
        return _UNITS[grade] * unit
    if not 1 <= grade <= 4:
        raise FitError(f"IT{grade} has no formula here.", "1 to 18")
    first = 0.8 + 0.020 * _mean_mm(range_low_mm, range_high_mm)
    return first * math.pow(7 * unit / first, (grade - 1) / 4)


def fit(hole: Limits, mate: Limits) -> Clearance:
    """Least and greatest clearance [um] of a hole and what goes into it."""
    return Clearance(min_um=hole.lower_um - mate.upper_um, max_um=hole.upper_um - mate.lower_um)


def outer_ring(outside_mm: float) -> Limits:
    """Limits of the outer ring of a radial ball bearing of normal class (ISO 492), 2.5 to 120 mm.

    Raises:
        FitError: out of that range.
    """
    for over, up_to, lower, upper in OUTER_RING_UM:
        if over < outside_mm <= up_to:
            return Limits(outside_mm, lower, upper)
    raise FitError(f"No ring tolerance is known for {outside_mm:g} mm.", "over 2.5 up to 120 mm")


def class_allowance_mm(nominal_mm: float, hole_class: str) -> float:
    """Allowance on the diameter [mm] that aims a hole at the middle of its tolerance class; negative is a press.

    A cut hole does not hold such a class by itself (IT7 of 22 mm is 21 um, the kerf alone wanders by more): this is
    where the cut aims.

    Raises:
        FitError: no such class, or a shaft's.
    """
    letter, _ = split_class(hole_class)
    if letter.islower():
        raise FitError(f"{hole_class!r} is a class for shafts.", "a hole's class has a capital letter, such as H7")
    return limits(nominal_mm, hole_class).middle_um / 1000


def _mean_mm(range_low_mm: float, range_high_mm: float) -> float:
    low = range_low_mm if range_low_mm > 0 else 1.0
    return math.sqrt(low * range_high_mm)


def _range_of(nominal_mm: float, ends_mm: Sequence[float]) -> int:
    if not (math.isfinite(nominal_mm) and 0 < nominal_mm <= LARGEST_MM):
        raise FitError(f"{nominal_mm:g} mm is beyond the tables.", f"over 0 up to {LARGEST_MM} mm")
    return next(place for place, end in enumerate(ends_mm) if nominal_mm <= end)


def _shaft_deviation_um(nominal_mm: float, letter: str, grade: str) -> float:
    """Fundamental deviation of a shaft [um]: es for a to h, ei for j to zc."""
    value: float | None = None
    coarse, fine = _range_of(nominal_mm, RANGES_MM), _range_of(nominal_mm, FINE_RANGES_MM)
    if letter in SHAFT_UPPER_UM:
        value = SHAFT_UPPER_UM[letter][coarse]
    elif letter in SHAFT_UPPER_FINE_UM:
        value = None if letter in ("a", "b") and nominal_mm <= 1 else SHAFT_UPPER_FINE_UM[letter][fine]
    elif letter == "j":
        value = SHAFT_J_UM[grade][coarse] if grade in SHAFT_J_UM else None
    elif letter == "k":
        value = SHAFT_LOWER_UM["k"][coarse] if grade in ("4", "5", "6", "7") else 0
    elif letter in SHAFT_LOWER_UM:
        value = SHAFT_LOWER_UM[letter][coarse]
    else:
        value = SHAFT_LOWER_FINE_UM[letter][fine]
    return _known(value, nominal_mm, letter + grade)


def _hole_upper_um(nominal_mm: float, letter: str, grade: str) -> float:
    """Fundamental deviation ES of a hole J to ZC [um].

    K, M, N up to grade 8 and P to ZC up to grade 7 add delta = IT(n) - IT(n - 1) to the mirrored deviation of the
    shaft, so that a hole and a shaft one grade finer leave the same play as in the basic-hole system. No delta up to
    3 mm.
    """
    number = int(grade)
    if letter == "J":
        value = HOLE_J_UM[grade][_range_of(nominal_mm, RANGES_MM)] if grade in HOLE_J_UM else None
        return _known(value, nominal_mm, letter + grade)
    small = nominal_mm <= RANGES_MM[0]
    if letter in ("K", "M", "N"):
        if number > 8:
            return _coarse_hole_upper_um(nominal_mm, letter, grade, small)
        if letter == "M" and grade == "6" and 250 < nominal_mm <= 315:
            return -9.0  # the standard's one exception to the rule
        # k's own zero outside of the grades 4 to 7 does not hold for holes.
        mirrored = -_shaft_deviation_um(nominal_mm, letter.lower(), "7")
        return mirrored + _delta_um(nominal_mm, number, small, letter)
    mirrored = -_shaft_deviation_um(nominal_mm, letter.lower(), grade)
    return mirrored + (_delta_um(nominal_mm, number, small, letter) if number <= 7 else 0.0)


def _coarse_hole_upper_um(nominal_mm: float, letter: str, grade: str, small: bool) -> float:
    if letter == "K":
        return _known(0.0 if small else None, nominal_mm, letter + grade)
    if letter == "N":
        if nominal_mm <= 1:
            raise FitError(f"N{grade} is not used up to 1 mm.", "N8 and finer")
        return -4.0 if small else 0.0
    return -_shaft_deviation_um(nominal_mm, "m", grade)


def _delta_um(nominal_mm: float, number: int, small: bool, letter: str) -> float:
    if small:
        return 0.0
    if number < 3:
        raise FitError(f"{letter}{number} is in no table for {nominal_mm:g} mm.", "grades from 3 up")
    return grade_um(nominal_mm, number) - grade_um(nominal_mm, number - 1)


def _known(value: float | None, nominal_mm: float, tolerance_class: str) -> float:
    if value is None:
        raise FitError(f"ISO 286 has no {tolerance_class} for {nominal_mm:g} mm.", "another letter or grade")
    return float(value)
