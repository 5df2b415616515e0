"""Stress where two flanks touch: two cylinders after Hertz, and AGMA's geometry factor I, which says the same.

Numbers or arrays of any common shape, in N, mm and MPa or in lbf, inch and psi. The pitch point is looked at, where
one pair of teeth carries the whole load. Sources: Hertz 1881 by way of any text on machine elements; AGMA 2001 for I
(its 0.121 of 17 on 52 teeth is in tests/truth).
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from gearplate.gears.involute import Array


def elastic_coefficient(
    modulus_1: ArrayLike, poisson_1: ArrayLike, modulus_2: ArrayLike, poisson_2: ArrayLike
) -> Array:
    """Cp = sqrt(1 / (pi ((1 - v1^2) / E1 + (1 - v2^2) / E2))): square root of the unit of E.

    Steel on steel about 190 sqrt(MPa), 2290 sqrt(psi). Raises ValueError for a modulus not above zero.
    """
    e1, v1, e2, v2 = (np.asarray(v, dtype=np.float64) for v in (modulus_1, poisson_1, modulus_2, poisson_2))
    if np.any(~(e1 > 0.0)) or np.any(~(e2 > 0.0)):
        raise ValueError("a modulus must be above zero")
    return np.asarray(np.sqrt(1.0 / (np.pi * ((1.0 - v1 * v1) / e1 + (1.0 - v2 * v2) / e2))))


def pitch_point_radius(pitch_diameter: ArrayLike, pressure_angle_rad: ArrayLike) -> Array:
    """Radius of curvature of a flank at the pitch point, d sin(a) / 2."""
    return np.asarray(0.5 * np.asarray(pitch_diameter, dtype=np.float64) * np.sin(np.asarray(pressure_angle_rad)))


def contact_stress(
    load: ArrayLike,
    face_width: ArrayLike,
    pitch_diameter_1: ArrayLike,
    pitch_diameter_2: ArrayLike,
    pressure_angle_rad: ArrayLike,
    elastic: ArrayLike,
    load_factor: ArrayLike = 1.0,
) -> Array:
    """Greatest pressure at the pitch point: Cp sqrt(K W / (b cos a) (1 / r1 + 1 / r2)), W tangential.

    Operating diameters and pressure angle where the centre distance is not the standard one. A negative second
    diameter is that of an internal gear. `load_factor`: all factors on the load together, the velocity factor among
    them.
    """
    a = np.asarray(pressure_angle_rad, dtype=np.float64)
    curving = 1.0 / pitch_point_radius(pitch_diameter_1, a) + 1.0 / pitch_point_radius(pitch_diameter_2, a)
    line_load = np.asarray(load_factor) * np.asarray(load, dtype=np.float64) / (np.asarray(face_width) * np.cos(a))
    return np.asarray(np.asarray(elastic) * np.sqrt(line_load * curving))


def geometry_factor_i(
    ratio: ArrayLike, pressure_angle_rad: ArrayLike, load_sharing: ArrayLike = 1.0, internal: bool = False
) -> Array:
    """AGMA 2001's I of spur gears: cos a sin a / (2 mN) x mG / (mG + 1), with mG - 1 for an internal gear.

    `ratio` mG is gear over pinion, 1 or more. `load_sharing` mN is 1 for spur gears.
    """
    g = np.asarray(ratio, dtype=np.float64)
    if np.any(~(g >= 1.0)):
        raise ValueError("the ratio is gear over pinion: 1 or more")
    a = np.asarray(pressure_angle_rad, dtype=np.float64)
    return np.asarray(np.cos(a) * np.sin(a) / (2.0 * np.asarray(load_sharing)) * g / (g - 1.0 if internal else g + 1.0))
