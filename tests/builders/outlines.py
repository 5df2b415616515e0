"""Outlines for tests: random simple ones of lines and arcs, the beam simulated by independent code, and what is
asked of a sound outline."""

from __future__ import annotations

import math
import random
from typing import Any

import shapely
import shapely.affinity

from gearplate.geometry.crossing import self_crossing
from gearplate.geometry.nearest import signed_distance
from gearplate.geometry.path import counter_clockwise
from gearplate.geometry.segments import length, segments
from gearplate.geometry.shapes import Circle, Path
from tests.builders.regions import polygon


def random_outline(seed: int, round_pieces: bool = True) -> Path:
    """A simple counter-clockwise path round the origin with three to nine corners, some pieces of it arcs."""
    source = random.Random(seed)
    while True:
        angles = sorted(source.uniform(0.0, 2.0 * math.pi) for _ in range(source.randint(3, 9)))
        vertices = []
        for angle in angles:
            reach = source.uniform(10.0, 60.0)
            bulge = source.choice((0.0, source.uniform(-0.6, 0.6))) if round_pieces else 0.0
            vertices.append((reach * math.cos(angle), reach * math.sin(angle), bulge))
        path = counter_clockwise(Path(tuple(vertices)))
        if self_crossing(path) is None and least_segment_length(path) > 0.05:
            return path


def swept_by_beam(path: Path, kerf_x_mm: float, kerf_y_mm: float) -> Any:
    """What a beam with an elliptical spot takes out of the sheet along a path (a region of the polygon library)."""
    scale = kerf_x_mm / kerf_y_mm
    stretched = shapely.affinity.scale(polygon(path, 1e-5).exterior, 1.0, scale, origin=(0, 0))
    cut = stretched.buffer(0.5 * kerf_x_mm, quad_segs=64)
    return shapely.affinity.scale(cut, 1.0, 1.0 / scale, origin=(0, 0))


def is_closed_simple(path: Path) -> bool:
    """Whether the path is a sound contour: two vertices or more, none twice in a row, an area, no self-crossing."""
    vertices = path.vertices
    if len(vertices) < 2 or any(vertices[i - 1][:2] == vertices[i][:2] for i in range(len(vertices))):
        return False
    return self_crossing(path) is None


def web_inside(path: Path, circle: Circle) -> float:
    """Material left between a circle within a path and that path, mm; negative where the circle breaks out."""
    return -signed_distance(path, circle.x_mm, circle.y_mm) - 0.5 * circle.diameter_mm


def least_segment_length(path: Path) -> float:
    """Length of the shortest piece, mm."""
    return min(length(piece) for piece in segments(path))
