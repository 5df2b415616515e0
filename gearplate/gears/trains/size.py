"""A lower bound for the plate of a train, from its centre distances and tip circles alone.

A plate covers a disc round each axis (its hole and the margin), and its hull covers the hull of them. Axes that turn
each other stand their centre distance apart. Two axes with one between stand at least so far apart that the tip
circles of either clear what stands on the other. So

- two neighbours need the hull of two discs at the centre distance c: (r1 + r2) l + r1^2 (pi/2 + a) + r2^2 (pi/2 - a),
  where sin a = (r1 - r2) / c and l = c cos a;
- three neighbours, with r the smallest of their discs, need pi r^2 + r (c1 + c2 + c3) + T(c1, c2, c3), where T is the
  triangle's area (Heron) and c3 the distance of the outer two (Steiner's formula for the parallel body). Over the
  possible c3 this is smallest at one of the ends, as it is concave between (held by a test).

The bound is the greatest of these. It knows of no wheel, rail, screw or standoff: a real plate is larger.
"""

from __future__ import annotations

import math

import numpy as np

from gearplate.gears.involute import Array
from gearplate.gears.trains.facts import Facts
from gearplate.gears.trains.listing import TrainTable


def size_bounds_mm2(table: TrainTable, facts: Facts) -> Array:
    """Least area of a plate's hull for each train. Raises ValueError where the facts have no plate."""
    plate = facts.plate
    if plate is None:
        raise ValueError("a size bound needs to know the plate's margins")
    centres = facts.centres_mm(table)
    gears = facts.gears(table)
    bound = np.zeros(len(table))
    for number, centre in enumerate(centres):
        np.maximum(bound, two_discs_mm2(plate.discs_mm[number], plate.discs_mm[number + 1], centre), out=bound)
    for number in range(len(centres) - 1):
        # Axes number, number + 1, number + 2. The driver on the first runs in a plane that the last one's shaft
        # crosses; so does the driven gear on the last in one that the first one's shaft crosses.
        apart = np.zeros(len(table))
        for keep, (gear, places) in (
            (plate.keeps_mm[number + 2], gears[2 * number]),
            (plate.keeps_mm[number], gears[2 * number + 3]),
        ):
            if keep is not None:
                np.maximum(apart, gear.tips_mm[places] + keep, out=apart)
        disc = min(plate.discs_mm[number : number + 3])
        np.maximum(bound, three_discs_mm2(disc, centres[number], centres[number + 1], apart), out=bound)
    return bound


def two_discs_mm2(radius_1_mm: float, radius_2_mm: float, distance_mm: Array) -> Array:
    """Area of the hull of two discs."""
    large, small = max(radius_1_mm, radius_2_mm), min(radius_1_mm, radius_2_mm)
    with np.errstate(divide="ignore", invalid="ignore"):
        lean = np.arcsin(np.clip((large - small) / distance_mm, -1.0, 1.0))
    area = (
        (large + small) * distance_mm * np.cos(lean)
        + large * large * (0.5 * math.pi + lean)
        + small * small * (0.5 * math.pi - lean)
    )
    return np.where(distance_mm > large - small, area, math.pi * large * large)


def three_discs_mm2(radius_mm: float, first_mm: Array, second_mm: Array, apart_mm: Array) -> Array:
    """Least area of the hull of three equal discs: the middle one at given distances from the others, which stand at
    least `apart_mm` apart (or in line, if that is not enough)."""
    line = first_mm + second_mm
    near = np.minimum(np.maximum(apart_mm, np.abs(first_mm - second_mm)), line)
    round_all = math.pi * radius_mm * radius_mm + radius_mm * line
    folded = round_all + radius_mm * near + triangle_mm2(first_mm, second_mm, near)
    straight = round_all + radius_mm * line
    return np.minimum(folded, straight)


def triangle_mm2(a_mm: Array, b_mm: Array, c_mm: Array) -> Array:
    """Area of a triangle by its sides (Heron); 0 where they do not close."""
    product = (a_mm + b_mm + c_mm) * (a_mm + b_mm - c_mm) * (a_mm - b_mm + c_mm) * (b_mm - a_mm + c_mm)
    return np.asarray(0.25 * np.sqrt(np.maximum(product, 0.0)))
