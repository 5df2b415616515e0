"""Upright boxes (least x, least y, greatest x, greatest y), mm."""

from __future__ import annotations

import math
from collections.abc import Sequence

Box = tuple[float, float, float, float]


def united(boxes: Sequence[Box]) -> Box:
    """The smallest box round all boxes.

    Raises:
        ValueError: no box.
    """
    return (
        min(box[0] for box in boxes),
        min(box[1] for box in boxes),
        max(box[2] for box in boxes),
        max(box[3] for box in boxes),
    )


def grown(box: Box, by_mm: float) -> Box:
    """A box with so much more on every side."""
    return box[0] - by_mm, box[1] - by_mm, box[2] + by_mm, box[3] + by_mm


def box_gap_mm(a: Box, b: Box) -> float:
    """Gap between two boxes, mm; 0 where they overlap. What they enclose is at least as far apart."""
    return math.hypot(max(a[0] - b[2], b[0] - a[2], 0.0), max(a[1] - b[3], b[1] - a[3], 0.0))


def boxes_meet(a: Box, b: Box) -> bool:
    """Whether two boxes overlap."""
    return a[0] < b[2] and b[0] < a[2] and a[1] < b[3] and b[1] < a[3]


def line_meets_box(start: tuple[float, float], end: tuple[float, float], box: Box) -> bool:
    """Whether a straight line between two points passes through a box."""
    low, high = 0.0, 1.0
    for axis in (0, 1):
        at, way = start[axis], end[axis] - start[axis]
        if way == 0.0:
            if not box[axis] < at < box[axis + 2]:
                return False
            continue
        near, far = sorted(((box[axis] - at) / way, (box[axis + 2] - at) / way))
        low, high = max(low, near), min(high, far)
    return low < high
