"""Where two things in the plane come nearest: discs, slots, boxes and squares; and a hull of discs to one of them.

Each is a convex core (one point, two, or the corners of a box) grown by a rounding, as in `shapes`.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from gearplate.layout.design import Body, Hole
from gearplate.layout.shapes import core_of

Point = tuple[float, float]
Disc = tuple[float, float, float]

DIRECTIONS = 720  # looked at before the best is refined
REFINED_RAD = 1e-10
TOUCHING_MM = 1e-4  # of two discs that both carry the same straight edge of a hull


@dataclass(frozen=True, slots=True)
class Grown:
    """A convex core and how far the thing stands out from it all round, mm."""

    core: tuple[Point, ...]
    rounding_mm: float


@dataclass(frozen=True, slots=True)
class Between:
    """The gap of two things, mm, and its two ends: on the first and on the second."""

    gap_mm: float
    at_mm: Point
    to_mm: Point


def grown_body(body: Body) -> Grown:
    """A body as it is checked: a square one that is not turned yet is the disc round it."""
    return Grown(tuple(core_of(body)), body.rounding_mm)


def grown_hole(hole: Hole) -> Grown:
    """A round hole or a slot."""
    x, y, half = hole.x_mm, hole.y_mm, 0.5 * hole.slot_length_mm
    if half <= 0.0:
        return Grown(((x, y),), 0.5 * hole.part_diameter_mm)
    dx, dy = half * math.cos(hole.angle_rad), half * math.sin(hole.angle_rad)
    return Grown(((x - dx, y - dy), (x + dx, y + dy)), 0.5 * hole.part_diameter_mm)


def between(first: Grown, second: Grown) -> Between | None:
    """The gap of two things whose cores stand apart; None where they do not."""
    away, at, to = min(
        (*_corners(first.core, second.core), *((d, q, p) for d, p, q in _corners(second.core, first.core)))
    )
    if away <= 0.0:
        return None
    ux, uy = (to[0] - at[0]) / away, (to[1] - at[1]) / away
    a, b = first.rounding_mm, second.rounding_mm
    return Between(away - a - b, (at[0] + a * ux, at[1] + a * uy), (to[0] - b * ux, to[1] - b * uy))


def _corners(points: Sequence[Point], others: Sequence[Point]) -> Iterator[tuple[float, Point, Point]]:
    """Distance from each corner of one core to each side of another, the corner, and the nearest point of that side."""
    for point in points:
        for index, start in enumerate(others):
            near = _on_side(point, start, others[(index + 1) % len(others)])
            yield math.dist(point, near), point, near


def _on_side(point: Point, start: Point, end: Point) -> Point:
    """The point of a side that is nearest to a point."""
    dx, dy = end[0] - start[0], end[1] - start[1]
    square = dx * dx + dy * dy
    share = 0.0 if square == 0.0 else ((point[0] - start[0]) * dx + (point[1] - start[1]) * dy) / square
    share = min(max(share, 0.0), 1.0)
    return start[0] + share * dx, start[1] + share * dy


def hull_between(discs: Sequence[Disc], other: Grown) -> tuple[Between, tuple[int, ...]] | None:
    """The gap from the convex hull of discs to a thing beside it, and which discs stand there: one, or both ends of a
    straight edge. None where the two overlap.

    Two convex things stand as far apart as the direction in which the gap of their shadows is widest.
    """

    def shadows(angle: float) -> float:
        ux, uy = math.cos(angle), math.sin(angle)
        reached = max(x * ux + y * uy + r for x, y, r in discs)
        return min(x * ux + y * uy for x, y in other.core) - other.rounding_mm - reached

    step = 2.0 * math.pi / DIRECTIONS
    best = max((step * number for number in range(DIRECTIONS)), key=shadows)
    low, high = best - step, best + step
    while high - low > REFINED_RAD:  # the gap rises to its greatest and falls from there, where it is a gap
        one, two = low + (high - low) / 3.0, high - (high - low) / 3.0
        low, high = (one, high) if shadows(one) < shadows(two) else (low, two)
    angle = 0.5 * (low + high)
    gap = shadows(angle)
    if gap <= 0.0:
        return None
    ux, uy = math.cos(angle), math.sin(angle)
    reach = [x * ux + y * uy + r for x, y, r in discs]
    standing = tuple(index for index, far in enumerate(reach) if far > max(reach) - TOUCHING_MM)
    ends = sorted(
        ((discs[index][0] + discs[index][2] * ux, discs[index][1] + discs[index][2] * uy) for index in standing),
        key=lambda end: end[1] * ux - end[0] * uy,
    )
    corner = min(other.core, key=lambda point: point[0] * ux + point[1] * uy)
    at = _on_side(corner, ends[0], ends[-1])
    return Between(gap, at, (at[0] + gap * ux, at[1] + gap * uy)), standing
