"""A beam that follows a path and takes half its kerf away on either side: what is left, as polygons (shapely).

Nothing here comes from gearplate. A beam of unlike width along x and y is an ellipse.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import numpy as np
import shapely
from shapely.affinity import scale
from shapely.geometry import LineString, Polygon

Point = tuple[float, float]
Points = np.ndarray[Any, np.dtype[np.float64]]
QUARTER = 90  # chords a quarter of a circle: off by 4e-5 of the beam's radius


def grown(shape: shapely.Geometry, kerf_x: float, kerf_y: float, sign: float) -> shapely.Geometry:
    """The shape widened (sign 1) or narrowed (-1) by half the beam."""
    if kerf_x == 0.0 and kerf_y == 0.0:
        return shape
    round_beam = scale(shape, 2.0 / kerf_x, 2.0 / kerf_y, origin=(0.0, 0.0))
    return scale(round_beam.buffer(sign, quad_segs=QUARTER), 0.5 * kerf_x, 0.5 * kerf_y, origin=(0.0, 0.0))


def hole(path: Sequence[Point], kerf_x: float, kerf_y: float) -> Polygon:
    """The hole that is open once the beam has followed a closed path and the slug has fallen out."""
    return grown(Polygon(path), kerf_x, kerf_y, 1.0)


def part(path: Sequence[Point], kerf_x: float, kerf_y: float) -> Polygon:
    """The part that is left inside a closed path."""
    return grown(Polygon(path), kerf_x, kerf_y, -1.0)


def slit(path: Sequence[Point], kerf_x: float, kerf_y: float) -> Polygon:
    """What an open run of the beam takes away."""
    return grown(LineString(path), kerf_x, kerf_y, 1.0)


def apart_mm(one: Polygon, other: Polygon) -> float:
    """Greatest distance from the edge of one polygon to that of the other, taken both ways at every vertex."""
    assert one.geom_type == other.geom_type == "Polygon"
    assert not one.interiors
    assert not other.interiors
    a, b = shapely.get_coordinates(one.exterior), shapely.get_coordinates(other.exterior)
    return max(_farthest(a, b), _farthest(b, a))


def _farthest(points: Points, ring: Points) -> float:
    edges = shapely.STRtree(shapely.linestrings(np.stack((ring[:-1], ring[1:]), axis=1)))
    _, away = edges.query_nearest(shapely.points(points), all_matches=False, return_distance=True)
    return float(away.max())
