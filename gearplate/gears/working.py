"""Two gears at their distance: working pressure angle, centre distances and backlash (ISO 21771; any textbook).

Numbers or arrays of any common shape; lengths in mm, angles in radians, shifts in modules. Nothing is judged here:
where no such pair exists the result is not a number.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from gearplate.gears.involute import Array, inv, inverse_inv


def _array(value: ArrayLike) -> Array:
    return np.asarray(value, dtype=np.float64)


def standard_centre_mm(z1: ArrayLike, z2: ArrayLike, module_mm: ArrayLike) -> Array:
    """Half the sum of the reference diameters, mm."""
    return np.asarray(0.5 * (_array(z1) + _array(z2)) * _array(module_mm))


def base_contact_centre_mm(z1: ArrayLike, z2: ArrayLike, module_mm: ArrayLike, pressure_angle_rad: ArrayLike) -> Array:
    """Sum of the base radii, mm: the two involutes can touch only at more than this distance."""
    return np.asarray(standard_centre_mm(z1, z2, module_mm) * np.cos(_array(pressure_angle_rad)))


def working_pressure_angle_rad(
    z1: ArrayLike,
    z2: ArrayLike,
    pressure_angle_rad: ArrayLike,
    shift_sum: ArrayLike,
    thinning_sum_modules: ArrayLike = 0.0,
) -> Array:
    """Pressure angle at which the flanks touch on both sides: inv aw = inv a + (2 X tan a - T) / (z1 + z2).

    X is the sum of the shifts, T that of the thinnings, in modules. NaN where the sum would have to be negative: then
    no distance brings the flanks together on both sides.
    """
    a = _array(pressure_angle_rad)
    change = (2.0 * _array(shift_sum) * np.tan(a) - _array(thinning_sum_modules)) / (_array(z1) + _array(z2))
    value = inv(a) + change
    angle = np.where(change == 0.0, a, inverse_inv(value))
    return np.asarray(np.where(value >= 0.0, angle, np.nan))


def working_centre_mm(
    z1: ArrayLike,
    z2: ArrayLike,
    module_mm: ArrayLike,
    pressure_angle_rad: ArrayLike,
    x1: ArrayLike = 0.0,
    x2: ArrayLike = 0.0,
) -> Array:
    """Centre distance without backlash of the unthinned gears, mm. NaN where the shift sum is too negative."""
    shift_sum = _array(x1) + _array(x2)
    a = _array(pressure_angle_rad)
    working = working_pressure_angle_rad(z1, z2, a, shift_sum)
    standard = standard_centre_mm(z1, z2, module_mm)
    return np.asarray(np.where(shift_sum == 0.0, standard, standard * np.cos(a) / np.cos(working)))


def pressure_angle_at_centre_rad(
    z1: ArrayLike,
    z2: ArrayLike,
    module_mm: ArrayLike,
    pressure_angle_rad: ArrayLike,
    centre_mm: ArrayLike,
) -> Array:
    """Working pressure angle at a given centre distance: a_w cos(aw) = a_0 cos(a). NaN below base-circle contact."""
    base = base_contact_centre_mm(z1, z2, module_mm, pressure_angle_rad)
    centre = _array(centre_mm)
    with np.errstate(invalid="ignore"):
        return np.asarray(np.arctan2(np.sqrt((centre - base) * (centre + base)), base))


def shift_sum_for_centre(
    z1: ArrayLike,
    z2: ArrayLike,
    module_mm: ArrayLike,
    pressure_angle_rad: ArrayLike,
    centre_mm: ArrayLike,
) -> Array:
    """Sum of the two profile shifts (modules) that leaves no backlash at a given centre distance."""
    a = _array(pressure_angle_rad)
    working = pressure_angle_at_centre_rad(z1, z2, module_mm, a, centre_mm)
    return np.asarray((_array(z1) + _array(z2)) * (inv(working) - inv(a)) / (2.0 * np.tan(a)))


def backlash_operating_mm(
    z1: ArrayLike,
    z2: ArrayLike,
    module_mm: ArrayLike,
    pressure_angle_rad: ArrayLike,
    shift_sum: ArrayLike,
    thinning_sum_mm: ArrayLike,
    centre_mm: ArrayLike,
) -> Array:
    """Working pitch less both tooth thicknesses on the working circles, mm; negative where the teeth would jam."""
    a, m = _array(pressure_angle_rad), _array(module_mm)
    teeth = _array(z1) + _array(z2)
    working = pressure_angle_at_centre_rad(z1, z2, m, a, centre_mm)
    opened = m * (teeth * (inv(working) - inv(a)) - 2.0 * _array(shift_sum) * np.tan(a))
    return np.asarray(np.cos(a) / np.cos(working) * (opened + _array(thinning_sum_mm)))


def clearance_keeping_tip_radius_mm(
    teeth: ArrayLike, mate_shift: ArrayLike, module_mm: ArrayLike, increment_factor: ArrayLike
) -> Array:
    """Tip radius, mm, that keeps the standard tip clearance of a shifted pair: r + (1 + y - x_mate) modules.

    `increment_factor` y is (working - standard centre distance) / module. Printed shifted pairs mostly use it.
    """
    m = _array(module_mm)
    return np.asarray(m * (0.5 * _array(teeth) + 1.0 + _array(increment_factor) - _array(mate_shift)))
