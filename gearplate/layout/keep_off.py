"""Where a disc may join a hull of discs without the hull running into what it keeps off now."""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np

from gearplate.layout.certified.problem import HullOff
from gearplate.layout.constraints import Array

DIRECTIONS = 360
_AT_ONCE = 400_000  # numbers in one array

Disc = tuple[float, float, float]
Flags = np.ndarray[tuple[int, ...], np.dtype[np.bool_]]


def joins_clear(points: Array, radius_mm: float, discs: Sequence[Disc], off: Sequence[HullOff]) -> Flags:
    """At which points (n, 2) a disc may join the hull of `discs` (x, y, radius) so that the hull keeps off everything
    that it keeps off without it.

    Two convex shapes are apart where some direction sees a gap between them: any direction that sees one proves it,
    so a degree between the directions tried costs a place now and then, and never lets one through. What the
    hull already reaches into asks nothing: the checks tell it.
    """
    good: Flags = np.ones(len(points), dtype=bool)
    if not off or not len(points):
        return good
    theta = np.arange(DIRECTIONS) * (2.0 * math.pi / DIRECTIONS)
    ways = np.stack([np.cos(theta), np.sin(theta)])
    table = np.array(discs)
    support = (table[:, :2] @ ways + table[:, 2:]).max(axis=0)
    for one in off:
        corners = np.array([(x, y) for x in (one.x0_mm, one.x1_mm) for y in (one.y0_mm, one.y1_mm)])
        near = (corners @ ways).min(axis=0) - one.least_mm
        apart = near >= support
        if not apart.any():
            continue
        rows = np.flatnonzero(good)
        size = max(1, _AT_ONCE // int(apart.sum()))
        for start in range(0, len(rows), size):
            some = rows[start : start + size]
            good[some] = (points[some] @ ways[:, apart] + radius_mm <= near[apart]).any(axis=1)
    return good
