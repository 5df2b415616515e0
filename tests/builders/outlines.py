"""Outlines for tests: random simple ones of lines and arcs, and the beam simulated by independent code."""

from __future__ import annotations

import math
import random
from typing import Any

import shapely
import shapely.affinity

from gearplate.geometry.crossing import self_crossing
from gearplate.geometry.path import counter_clockwise, least_segment_length
from gearplate.geometry.regions import polygon
from gearplate.geometry.shapes import Path


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
