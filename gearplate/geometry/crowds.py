"""The same questions for many points or discs at once: a plate full of slots has thousands of them."""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray

from gearplate.geometry.shapes import Path

Floats = NDArray[np.float64]


def contains_points(path: Path, points: Floats) -> NDArray[np.bool_]:
    """Which of the points (n, 2) lie inside the closed path: `contains` for many at once."""
    x, y = points[:, 0], points[:, 1]
    inside = np.zeros(len(points), dtype=bool)
    x0, y0, bulge = path.vertices[-1]
    for x1, y1, following in path.vertices:
        dx, dy = x1 - x0, y1 - y0
        side = dx * (y - y0) - dy * (x - x0)
        inside ^= ((y0 > y) != (y1 > y)) & ((side > 0.0) if y1 > y0 else (side < 0.0))
        if bulge != 0.0:
            side[side == 0.0] = -dy if dy != 0.0 else dx
            beyond = (side < 0.0) if bulge > 0.0 else (side > 0.0)
            ax, ay, bx, by = x0 - x, y0 - y, x1 - x, y1 - y
            seen = np.abs(np.arctan2(ax * by - ay * bx, ax * bx + ay * by))
            inside ^= beyond & (seen > math.pi - 2.0 * math.atan(abs(bulge)))
        x0, y0, bulge = x1, y1, following
    return inside


def uncovered(discs: list[tuple[float, float, float]], slack_mm: float) -> list[tuple[float, float, float]]:
    """Of discs (x, y, radius), largest first, those that stand out of each one kept before by more than the slack."""
    kept = np.empty((len(discs), 3))
    count = 0
    for x, y, radius in discs:
        dx, dy = x - kept[:count, 0], y - kept[:count, 1]
        inner = kept[:count, 2] - radius + slack_mm
        if not (dx * dx + dy * dy <= inner * inner).any():
            kept[count] = x, y, radius
            count += 1
    return [(x, y, radius) for x, y, radius in kept[:count].tolist()]
