"""Textbook limits: undercut, least profile shift, and the smallest pinions that run without interference.

`addendum` is the depth of the rack's straight flank, or the gears' addendum, in modules: 1 for full depth, 0.8 for
stub teeth. Angles in radians; numbers or arrays. The undercut of a real gear is told by GearSizes.undercut, which
knows that the rack of 25 degrees is straight to 1.066 modules.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from gearplate.gears.involute import Array


def _array(value: ArrayLike) -> Array:
    return np.asarray(value, dtype=np.float64)


def undercut_limit_teeth(pressure_angle_rad: ArrayLike, addendum: ArrayLike = 1.0) -> Array:
    """Tooth count (not whole) below which an unshifted gear is undercut: 2 h / sin^2 a (ISO 21771, handbooks)."""
    return np.asarray(2.0 * _array(addendum) / np.sin(_array(pressure_angle_rad)) ** 2)


def least_shift(teeth: ArrayLike, pressure_angle_rad: ArrayLike, addendum: ArrayLike = 1.0) -> Array:
    """Least profile shift (modules) without undercut: h - z sin^2 a / 2; negative where there is room to spare."""
    return np.asarray(_array(addendum) - 0.5 * _array(teeth) * np.sin(_array(pressure_angle_rad)) ** 2)


def least_pinion_teeth(ratio: ArrayLike, pressure_angle_rad: ArrayLike, addendum: ArrayLike = 1.0) -> Array:
    """Smallest pinion (not whole) whose mate, `ratio` times as large, does not reach past its base tangent point.

    Ratio 1 is the equal pair. Budynas and Nisbett, Shigley's Mechanical Engineering Design, interference.
    """
    m, square, k = _array(ratio), np.sin(_array(pressure_angle_rad)) ** 2, _array(addendum)
    return np.asarray(2.0 * k * (m + np.sqrt(m * m + (1.0 + 2.0 * m) * square)) / ((1.0 + 2.0 * m) * square))


def least_pinion_with_rack_teeth(pressure_angle_rad: ArrayLike, addendum: ArrayLike = 1.0) -> Array:
    """Smallest pinion (not whole) that runs with a rack: the limit of large ratios, and the undercut limit."""
    return undercut_limit_teeth(pressure_angle_rad, addendum)


def largest_gear_teeth(pinion_teeth: ArrayLike, pressure_angle_rad: ArrayLike, addendum: ArrayLike = 1.0) -> Array:
    """Largest gear (not whole) that a pinion runs with: infinite for pinions that run with a rack.

    Below zero the pinion runs with no gear at all. Same source as least_pinion_teeth.
    """
    z, square, k = _array(pinion_teeth), np.sin(_array(pressure_angle_rad)) ** 2, _array(addendum)
    below = 4.0 * k - 2.0 * z * square
    with np.errstate(divide="ignore"):
        return np.asarray(np.where(below > 0.0, (z * z * square - 4.0 * k * k) / below, np.inf))
