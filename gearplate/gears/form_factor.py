"""Lewis's form factor Y of a tooth loaded at its tip: as printed, and from the generated tooth.

Y belongs to the diametral-pitch or module form of Lewis's equation, stress = Kv W / (b m Y). Between the rows of a
table Y is taken on a straight line, as the tables are printed to be used; above the last row likewise toward the rack,
on a straight line over 1 / z.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from gearplate.gears.involute import Array, inv
from gearplate.gears.tooth import GearSizes, half_flank_points

# Shigley's table of Lewis form factors, 20 degrees full depth, unshifted, load at the tip: seen transcribed alike in
# five independent open-source programs; the rack, 0.485, beside it.
TEETH_20 = (12, 13, 14, 15, 16, 17, 18, 19, 20, 21, 22, 24, 26, 28, 30, 34, 38, 43, 50, 60, 75, 100, 150, 300, 400)
Y_20 = (
    *(0.245, 0.261, 0.277, 0.290, 0.296, 0.303, 0.309, 0.314, 0.322, 0.328, 0.331, 0.337, 0.346),
    *(0.353, 0.359, 0.371, 0.384, 0.397, 0.409, 0.422, 0.435, 0.447, 0.460, 0.472, 0.480),
)
RACK_Y_20 = 0.485


def form_factor_20(teeth: ArrayLike) -> Array:
    """Y of an unshifted 20-degree full-depth gear by the printed table, tooth counts 12 and up (infinite: the rack).

    Raises ValueError under 12 teeth, where the table ends: such gears are undercut.
    """
    z = np.asarray(teeth, dtype=np.float64)
    if np.any(~(z >= TEETH_20[0])):
        raise ValueError(f"the table of form factors begins at {TEETH_20[0]} teeth")
    inside = np.interp(z, TEETH_20, Y_20)
    last = Y_20[-1]
    beyond = RACK_Y_20 + (last - RACK_Y_20) * TEETH_20[-1] / np.maximum(z, TEETH_20[-1])
    return np.asarray(np.where(z > TEETH_20[-1], beyond, inside))


def form_factor_generated(gear: GearSizes, count: int = 400) -> Array:
    """Y of the generated tooth itself, loaded at its real tip: 2 x / (3 m) of Lewis's parabola.

    The load's line crosses the tooth's middle at some height; a parabola with its apex there and inscribed in the
    tooth touches the fillet where 4 x = t^2 / l is least (t thickness, l depth below the apex): there a beam of that
    depth bends most (Lewis 1892, any text on machine elements). Undercut and shift are in it. Any shape of gears;
    `count` points of the fillet and as many of the flank are looked at, which leaves less than 1e-4 of error.
    The printed table, drawn for teeth with another fillet, lies up to 5 % higher.
    """
    radius, half = half_flank_points(gear, count)
    height, half_width = radius * np.cos(half), radius * np.sin(half)
    apex = apex_radius_mm(gear, gear.tip_radius_mm)
    depth = apex[..., None] - height
    with np.errstate(divide="ignore", invalid="ignore"):
        x = np.where(depth > 0.0, half_width**2 / depth, np.inf)
    least = np.asarray(np.min(x, axis=-1))
    return np.asarray(2.0 * least / (3.0 * gear.module_mm))


def apex_radius_mm(gear: GearSizes, load_radius_mm: Array) -> Array:
    """Where the line of a load, normal to the flank at that radius, crosses the tooth's middle: its distance from the
    gear's axis, mm. The line touches the base circle and leaves the middle at the load angle: r_b / cos."""
    return np.asarray(gear.base_radius_mm / np.cos(load_angle_rad(gear, load_radius_mm)))


def load_angle_rad(gear: GearSizes, load_radius_mm: Array) -> Array:
    """Angle of that line to the tangent square to the tooth's middle, rad: tan a - half the tooth's base angle."""
    cosine = np.minimum(gear.base_radius_mm / load_radius_mm, 1.0)
    pressure = np.arccos(cosine)
    return np.asarray(np.tan(pressure) - (gear.half_angle(load_radius_mm) + inv(pressure)))
