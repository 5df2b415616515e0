"""Paths as polygons of shapely, which shares nothing with our own geometry, and how far two curves lie from each other.

Polygons are chords of the exact curves, so areas are theirs to within the chord tolerance times the length of the
curve.
"""

from __future__ import annotations

import math
from typing import Any

import numpy as np
import shapely
from numpy.typing import NDArray

from gearplate.geometry.segments import Arc, Line, length, point_at, segments
from gearplate.geometry.shapes import Path

CHORD_MM = 1e-3


def chord_points(path: Path, chord_tolerance_mm: float = CHORD_MM) -> list[tuple[float, float]]:
    """Points on the exact curve, so close that chords stay within the tolerance of it; the first is not repeated."""
    points: list[tuple[float, float]] = []
    for piece in segments(path):
        count = 1
        if isinstance(piece, Arc):
            step = 2.0 * math.acos(max(0.0, 1.0 - chord_tolerance_mm / piece.radius))
            count = max(2, math.ceil(abs(piece.sweep_rad) / step))
        points.extend(point_at(piece, index / count) for index in range(count))
    return points


def polygon(path: Path, chord_tolerance_mm: float = CHORD_MM) -> Any:
    """The path as a polygon of shapely, by chords of the exact curve."""
    return shapely.Polygon(chord_points(path, chord_tolerance_mm))


def largest_deviation(path: Path, other: Path, step_mm: float = 0.5) -> float:
    """How far two curves lie from each other at most, mm: the greater of both ways.

    Samples of one exact curve, at most `step_mm` apart and at all its vertices, against the other exact curve: a
    deviation may be missed by what it grows within half a step.
    """
    return max(
        float(distances_to_path(samples(path, step_mm), other).max()),
        float(distances_to_path(samples(other, step_mm), path).max()),
    )


def samples(path: Path, step_mm: float) -> NDArray[np.float64]:
    """Points (N, 2) on the exact curve, at most `step_mm` apart, at least five to a piece, vertices included."""
    points: list[tuple[float, float]] = []
    for piece in segments(path):
        count = max(5, math.ceil(length(piece) / step_mm))
        points.extend(point_at(piece, index / count) for index in range(count))
    return np.array(points, dtype=np.float64)


def distances_to_path(points: NDArray[np.float64], path: Path) -> NDArray[np.float64]:
    """Distances (N,) from points (N, 2) to the exact curve, mm."""
    x, y = points[:, 0], points[:, 1]
    best = np.full(len(points), np.inf)
    for piece in segments(path):
        if isinstance(piece, Line):
            dx, dy = piece.x1 - piece.x0, piece.y1 - piece.y0
            square = max(dx * dx + dy * dy, 1e-300)
            share = np.clip(((x - piece.x0) * dx + (y - piece.y0) * dy) / square, 0.0, 1.0)
            away = np.hypot(x - piece.x0 - share * dx, y - piece.y0 - share * dy)
        else:
            px, py = x - piece.cx, y - piece.cy
            turned = np.arctan2(py, px) - piece.start_rad
            turned = np.mod(turned if piece.sweep_rad > 0.0 else -turned, 2.0 * math.pi)
            ends = np.minimum(np.hypot(x - piece.x0, y - piece.y0), np.hypot(x - piece.x1, y - piece.y1))
            away = np.where(turned <= abs(piece.sweep_rad), np.abs(np.hypot(px, py) - piece.radius), ends)
        best = np.minimum(best, away)
    return best
