"""How badly a plate of the wrong hand misses: the gap that a deliberately odd hole leaves.

A plate of the other hand is the mirror image of the right one (turning the plate over gives the same image). It may
be slid and turned in its plane; it would bolt on where some such motion brings every bore over a bore of its size
and every common screw hole (standoff, rail hole) over another.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterable, Sequence

Bore = tuple[float, float, float]
"""x and y of the axis and the diameter of the hole there, mm."""

Point = tuple[float, float]

_SAME_SIZE_MM = 0.01
_NEAR_ENOUGH_MM = 3.0
"""Pairs of bores whose distances differ by more are not laid over each other: the misfit is at least half of it."""


def mirrored_misfit_mm(bores: Iterable[Bore], screws: Iterable[Point]) -> float:
    """How far the worst hole of the mirrored plate misses, mm, in the best place that the plate can be put.

    `bores` = (x, y, diameter) of the holes that shafts and motors stand in, `screws` = (x, y) of the screw holes that
    both plates share. 0 means that a plate of the wrong hand would bolt on; with nothing to compare it is 0 too.

    The places tried lay two bores of the image over two of the plate (halving what is left over), or over a single
    bore turned so that a screw falls over a screw. A screw misses by its distance to the nearest screw hole, a bore
    by that to the nearest bore of its size.
    """
    bore_list, screw_list = list(bores), list(screws)
    places = bore_list + [(x, y, -1.0) for x, y in screw_list]
    if not places:
        return 0.0
    image = [(-x, y, size) for x, y, size in places]
    best = math.inf
    for motion in _motions(places, image, len(bore_list)):
        best = min(best, _worst(places, image, motion, best))
        if best < 1e-9:
            return best
    return best


Motion = tuple[float, float, float, float]
"""cos, sin, dx, dy: turn about the origin, then slide."""


def _motions(places: Sequence[Bore], image: Sequence[Bore], bores: int) -> Iterable[Motion]:
    """Ways to lay the image over the plate."""
    if bores >= 2:
        # The two bores farthest apart fix the turn best.
        a, b = max(
            itertools.combinations(range(bores), 2),
            key=lambda pair: math.dist(places[pair[0]][:2], places[pair[1]][:2]),
        )
        targets: Iterable[tuple[int, int]] = itertools.permutations(range(bores), 2)
        yield from _laid(places, image, (a, b), targets)
        return
    others = range(len(places))
    for a, b in itertools.permutations(others, 2):
        if bores and a != 0:
            continue
        targets = ((c, d) for c, d in itertools.permutations(others, 2) if not bores or c == 0)
        yield from _laid(places, image, (a, b), targets)
        if not bores:
            return
    if len(places) == 1:
        yield 1.0, 0.0, places[0][0] - image[0][0], places[0][1] - image[0][1]


def _laid(
    places: Sequence[Bore], image: Sequence[Bore], pair: tuple[int, int], targets: Iterable[tuple[int, int]]
) -> Iterable[Motion]:
    a, b = image[pair[0]], image[pair[1]]
    span = math.dist(a[:2], b[:2])
    for c_index, d_index in targets:
        c, d = places[c_index], places[d_index]
        if abs(a[2] - c[2]) > _SAME_SIZE_MM or abs(b[2] - d[2]) > _SAME_SIZE_MM:
            continue
        if abs(math.dist(c[:2], d[:2]) - span) > _NEAR_ENOUGH_MM:
            continue
        turn = math.atan2(d[1] - c[1], d[0] - c[0]) - math.atan2(b[1] - a[1], b[0] - a[0])
        cos, sin = math.cos(turn), math.sin(turn)
        mid_x, mid_y = 0.5 * (a[0] + b[0]), 0.5 * (a[1] + b[1])
        yield (
            cos,
            sin,
            0.5 * (c[0] + d[0]) - (cos * mid_x - sin * mid_y),
            0.5 * (c[1] + d[1]) - (sin * mid_x + cos * mid_y),
        )


def _worst(places: Sequence[Bore], image: Sequence[Bore], motion: Motion, stop_at: float) -> float:
    cos, sin, dx, dy = motion
    worst = 0.0
    for x, y, size in image:
        px, py = cos * x - sin * y + dx, sin * x + cos * y + dy
        miss = min(math.hypot(px - qx, py - qy) for qx, qy, other in places if abs(other - size) <= _SAME_SIZE_MM)
        worst = max(worst, miss)
        if worst >= stop_at:
            break
    return worst
