"""The involute function and its inverse, to machine precision.

inv(a) = tan(a) - a is the polar angle between an involute's foot on the base circle and its point where the radius
vector meets the normal at the pressure angle a (ISO 21771; any textbook of gearing).
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

Array = NDArray[np.float64]
Bools = NDArray[np.bool_]

# Below this angle tan(a) - a loses digits by cancellation, and the series takes over.
_SERIES_BELOW_RAD = 0.25
_TERMS = 14


def _tangent_series(terms: int) -> tuple[float, ...]:
    """Coefficients c of tan(a) = sum c[k] a^(2k + 1), from tan' = 1 + tan^2 compared power by power."""
    c = [1.0]
    for k in range(1, terms):
        c.append(sum(c[i] * c[k - 1 - i] for i in range(k)) / (2 * k + 1))
    return tuple(c)


# c[0] is left out: it is the very "a" that the involute function takes away.
_COEFFICIENTS = _tangent_series(_TERMS + 1)[1:]


def inv(angle_rad: ArrayLike) -> Array:
    """The involute function tan(a) - a, for angles in radians of any shape, -pi/2 < a < pi/2; odd in a.

    Exact to a few units in the last place, also near zero, where the difference itself would cancel.
    """
    a = np.asarray(angle_rad, dtype=np.float64)
    small = np.where(np.abs(a) < _SERIES_BELOW_RAD, a, 0.0)
    square = small * small
    series = np.zeros_like(square)
    for coefficient in reversed(_COEFFICIENTS):
        series = series * square + coefficient
    return np.asarray(np.where(np.abs(a) < _SERIES_BELOW_RAD, series * square * small, np.tan(a) - a))


def inverse_inv(value: ArrayLike) -> Array:
    """The angle (radians) whose involute function is `value`, for values of any shape; odd in the value.

    Solved to machine precision by Halley's rule from a first guess that is good at both ends: the cube root of three
    times the value near zero, and tan(a) = value + a far out. Not a number where the value is not finite.
    """
    v = np.asarray(value, dtype=np.float64)
    size = np.where(np.isfinite(v), np.abs(v), 1.0)
    root = np.cbrt(3.0 * size)
    near = root * (1.0 - root * root * (2.0 / 15.0) + root**4 * (3.0 / 175.0))
    far = np.arctan(size + np.arctan(size + 1.2))
    a = np.where(size < 0.4, near, far)
    for _ in range(4):
        slope = np.tan(a) ** 2
        with np.errstate(divide="ignore", invalid="ignore"):
            newton = np.where(slope > 0.0, (inv(a) - size) / slope, 0.0)
            # f''/(2 f') = (1 + tan^2 a)/tan a
            bend = np.where(slope > 0.0, newton * (1.0 + slope) / np.sqrt(slope), 0.0)
            a = a - newton / (1.0 - bend)
    return np.asarray(np.where(np.isfinite(v), np.copysign(a, v), np.nan))
