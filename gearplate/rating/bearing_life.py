"""Life and static safety of rolling bearings (ISO 281, ISO 76). Forces in N, life in million turns or hours.

The tables are those of the standards, from memory: not seen in print here. Between their rows values are taken on a
straight line, outside of them the nearest row holds.
"""

from __future__ import annotations

import math
from bisect import bisect_right
from collections.abc import Sequence
from dataclasses import dataclass

BALL_EXPONENT = 3.0
ROLLER_EXPONENT = 10.0 / 3.0

# ISO 281, factor a1 for a reliability in per cent.
_RELIABILITY = (90.0, 95.0, 96.0, 97.0, 98.0, 99.0, 99.2, 99.4, 99.6, 99.8, 99.9, 99.92, 99.94, 99.95)
_A1 = (1.0, 0.64, 0.55, 0.47, 0.37, 0.25, 0.22, 0.19, 0.16, 0.12, 0.093, 0.087, 0.080, 0.077)

# ISO 281, radial deep-groove ball bearings: f0 Fa / C0 -> e, Y; X = 0.56 wherever Fa / Fr is above e.
_RELATIVE_AXIAL = (0.172, 0.345, 0.689, 1.03, 1.38, 2.07, 3.45, 5.17, 6.89)
_E = (0.19, 0.22, 0.26, 0.28, 0.30, 0.34, 0.38, 0.42, 0.44)
_Y = (2.30, 1.99, 1.71, 1.55, 1.45, 1.31, 1.15, 1.04, 1.00)
_X = 0.56

# The same as textbooks print it, by Fa / C0 alone (f0 taken as about 12.3).
_AXIAL_OVER_STATIC = (0.014, 0.021, 0.028, 0.042, 0.056, 0.070, 0.084, 0.110, 0.17, 0.28, 0.42, 0.56)
_E_PLAIN = (0.19, 0.21, 0.22, 0.24, 0.26, 0.27, 0.28, 0.30, 0.34, 0.38, 0.42, 0.44)
_Y_PLAIN = (2.30, 2.15, 1.99, 1.85, 1.71, 1.63, 1.55, 1.45, 1.31, 1.15, 1.04, 1.00)


@dataclass(frozen=True, slots=True)
class EquivalentLoad:
    """P = X V Fr + Y Fa with the factors used. `e`: the limit of Fa / (V Fr) up to which the axial load is ignored."""

    load_n: float
    x: float
    y: float
    e: float | None


def interpolated(x: float, xs: Sequence[float], ys: Sequence[float]) -> float:
    """Straight line between the rows of a table (xs rising); beyond its ends the last row."""
    if x <= xs[0]:
        return ys[0]
    if x >= xs[-1]:
        return ys[-1]
    i = bisect_right(xs, x)
    share = (x - xs[i - 1]) / (xs[i] - xs[i - 1])
    return ys[i - 1] + share * (ys[i] - ys[i - 1])


def reliability_factor(reliability_percent: float) -> float:
    """a1 of ISO 281:2007 (from memory): 1 at 90 %, 0.64 at 95 %, 0.25 at 99 %, 0.077 at 99.95 %.

    Raises ValueError outside of 90 to 99.95 %, where the standard has no factor.
    """
    if not _RELIABILITY[0] <= reliability_percent <= _RELIABILITY[-1]:
        raise ValueError("ISO 281 gives a factor from 90 to 99.95 % of bearings that live so long")
    return interpolated(reliability_percent, _RELIABILITY, _A1)


def life_million_turns(
    dynamic_n: float, load_n: float, exponent: float = BALL_EXPONENT, life_factor: float = 1.0
) -> float:
    """L = a (C / P)^p in million turns (ISO 281): p is 3 for balls, 10/3 for rollers; `life_factor` is a1.

    Without load the life has no end. Raises ValueError for a rating, exponent or factor that is not above zero.
    """
    if not min(dynamic_n, exponent, life_factor) > 0.0:
        raise ValueError("dynamic rating, exponent and life factor must be above zero")
    if load_n < 0.0:
        raise ValueError("an equivalent load is not negative")
    return math.inf if load_n == 0.0 else float(life_factor * (dynamic_n / load_n) ** exponent)


def hours(million_turns: float, speed_rpm: float) -> float:
    """Million turns as hours at a speed (rev/min): 10^6 / (60 n) each; without end at rest."""
    return math.inf if speed_rpm == 0.0 else million_turns * 1e6 / (60.0 * abs(speed_rpm))


def needed_dynamic_n(million_turns: float, load_n: float, exponent: float = BALL_EXPONENT) -> float:
    """The rating C (N) that lives so long under that load: P L^(1/p)."""
    return float(load_n * million_turns ** (1.0 / exponent))


def axial_factors(axial_n: float, static_n: float, f0: float | None = None) -> tuple[float, float]:
    """e and Y of a radial deep-groove ball bearing of normal clearance: by f0 Fa / C0 (ISO 281), or where f0 is not
    known by Fa / C0 as textbooks print it. Both from memory. Raises ValueError for a static rating not above zero."""
    if not static_n > 0.0:
        raise ValueError("the static rating must be above zero")
    if f0 is None:
        share = axial_n / static_n
        return interpolated(share, _AXIAL_OVER_STATIC, _E_PLAIN), interpolated(share, _AXIAL_OVER_STATIC, _Y_PLAIN)
    share = f0 * axial_n / static_n
    return interpolated(share, _RELATIVE_AXIAL, _E), interpolated(share, _RELATIVE_AXIAL, _Y)


def equivalent_load(
    radial_n: float,
    axial_n: float,
    static_n: float | None = None,
    x: float | None = None,
    y: float | None = None,
    rotation_factor: float = 1.0,
    f0: float | None = None,
) -> EquivalentLoad:
    """Equivalent dynamic load P (N). With X and Y given: X V Fr + Y Fa. Otherwise those of a deep-groove ball bearing
    by Fa / C0: X = 1, Y = 0 up to Fa / (V Fr) = e, else X = 0.56 and Y from the table (ISO 281).

    `rotation_factor` V: 1 where the inner ring turns, 1.2 in older texts where the outer one does. Raises ValueError
    where neither both factors nor the static rating are given.
    """
    radial = rotation_factor * abs(radial_n)
    axial = abs(axial_n)
    if x is not None and y is not None:
        return EquivalentLoad(x * radial + y * axial, x, y, None)
    if axial == 0.0:
        return EquivalentLoad(radial, 1.0, 0.0, None)
    if static_n is None:
        raise ValueError("an axial load wants both factors or the static rating")
    e, y_table = axial_factors(axial, static_n, f0)
    if axial <= e * radial:
        return EquivalentLoad(radial, 1.0, 0.0, e)
    return EquivalentLoad(_X * radial + y_table * axial, _X, y_table, e)


def static_load_n(radial_n: float, axial_n: float) -> float:
    """Equivalent static load P0 (N) of a deep-groove ball bearing: the greater of 0.6 Fr + 0.5 Fa and Fr (ISO 76)."""
    return max(0.6 * abs(radial_n) + 0.5 * abs(axial_n), abs(radial_n))


def static_safety(static_n: float, load_n: float) -> float:
    """s0 = C0 / P0 (ISO 76); without end where there is no load."""
    return math.inf if load_n == 0.0 else static_n / load_n
