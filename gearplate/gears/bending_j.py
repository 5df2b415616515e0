"""AGMA's bending geometry factor J, worked out on the generated tooth. From memory: not checked in print.

The method of AGMA 908-B89 for spur gears, by formulas from memory: the load stands at the highest point where one pair
of teeth carries it alone; a parabola from where its line crosses the tooth's middle touches the fillet at the critical
section, of thickness s, h below; then with all lengths in modules, pL the load's angle and p the working pressure angle

    Y  = 1 / ((cos pL / cos p) (6 h / s^2 - tan pL / s))
    Kf = H + (s / r)^L (s / h)^M,  H = 0.331 - 0.436 a,  L = 0.324 - 0.492 a,  M = 0.261 + 0.545 a
    J  = Y / Kf

with a the rack's pressure angle in radians and r the least radius of the fillet, as the rack's tip leaves it. What is
ours: the fillet is the exact curve of gears/fillet.py instead of an iteration. Of the standard's tables for loading at
that highest point the tests hold what is remembered of the rows for 20 and 25 degrees: with the rack and the thinning
that those tables state, every factor comes out within 0.01, the tables' own last digit. The racks of gears/rack.py have
larger tip roundings, so a rating's factor is up to a seventh above the table's. As no print was at hand, a stress by J
is told beside Lewis's result and rules nothing.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from gearplate.gears.contact import contact_limits_mm, tangent_length_mm
from gearplate.gears.form_factor import apex_radius_mm, load_angle_rad
from gearplate.gears.involute import Array
from gearplate.gears.tooth import GearSizes, half_flank_points


@dataclass(frozen=True, slots=True)
class BendingGeometry:
    """One gear's factor, every field an array: the load's radius (mm), the form factor Y of AGMA (not Lewis's), the
    stress correction Kf and J. Where the involutes never meet all are not a number."""

    load_radius_mm: Array
    form_factor: Array
    stress_correction: Array
    j: Array


def highest_single_radius_mm(gear: GearSizes, mate: GearSizes, centre_mm: ArrayLike) -> Array:
    """Highest point of single tooth contact on `gear`: a base pitch above where its contact begins; its real tip where
    less than one pair is ever in contact. mm; NaN where the flanks never meet."""
    begin, end = contact_limits_mm(gear, mate, centre_mm)
    along = np.where(end > begin, np.minimum(begin + gear.base_pitch_mm, end), np.nan)
    return np.asarray(np.hypot(gear.base_radius_mm, along))


def bending_geometry(gear: GearSizes, mate: GearSizes, centre_mm: ArrayLike, count: int = 200) -> BendingGeometry:
    """J of `gear` in mesh with `mate` at that centre distance; shapes as theirs. See the module for the method."""
    load_radius = highest_single_radius_mm(gear, mate, centre_mm)
    radius, half = half_flank_points(gear, count)
    radius, half = radius[..., :count], half[..., :count]  # the fillet alone
    height, half_width = radius * np.cos(half), radius * np.sin(half)
    depth = apex_radius_mm(gear, load_radius)[..., None] - height
    with np.errstate(divide="ignore", invalid="ignore"):
        x = np.where(depth > 0.0, half_width**2 / depth, np.inf)
    at = np.argmin(x, axis=-1)[..., None]
    m = gear.module_mm
    s = 2.0 * np.take_along_axis(half_width, at, axis=-1)[..., 0] / m
    h = np.take_along_axis(depth, at, axis=-1)[..., 0] / m

    load_angle = load_angle_rad(gear, load_radius)
    tangent = tangent_length_mm(gear, mate, centre_mm)
    base = gear.base_radius_mm + mate.base_radius_mm
    working_cosine = base / np.hypot(base, tangent)
    y = 1.0 / (np.cos(load_angle) / working_cosine * (6.0 * h / s**2 - np.tan(load_angle) / s))

    rack = gear.cutting.rack
    a = gear.pressure_angle_rad
    centre_depth = rack.tip_centre_depth - gear.shift
    fillet = rack.tip_radius + centre_depth**2 / (0.5 * gear.teeth + centre_depth)
    correction = 0.331 - 0.436 * a + (s / fillet) ** (0.324 - 0.492 * a) * (s / h) ** (0.261 + 0.545 * a)
    return BendingGeometry(load_radius, np.asarray(y), np.asarray(correction), np.asarray(y / correction))
