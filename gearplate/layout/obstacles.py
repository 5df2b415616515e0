"""Where a small thing (screw head, standoff) may stand among bodies that already have their places."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from gearplate.layout.clearance import mate_names, may_meet, overlap_along_z, requirement
from gearplate.layout.constraints import Array
from gearplate.layout.design import Body
from gearplate.layout.spec import LayoutSpec


def obstacles_for(things: Sequence[Body], bodies: Sequence[Body], spec: LayoutSpec) -> tuple[Array, Array]:
    """What keeps `things` (one group that moves together, all round one axis) away, as boxes (n, 4) and least
    distances (n,) from the axis to the box; a disc is a box of no size. At the ends of their slots motors keep from
    touching it too."""
    mates = mate_names(spec)
    travel = {motor.name: motor.slot_travel_mm for motor in spec.motors}
    boxes: list[tuple[float, float, float, float]] = []
    least: list[float] = []
    for body in bodies:
        most = None
        for thing in things:
            need = requirement(thing, body, spec)
            if need is None or not overlap_along_z(thing, body, spec) or may_meet(thing, body, mates):
                continue
            travels = travel.get(thing.shaft or "", 0.0) + travel.get(body.shaft or "", 0.0)
            away = thing.radius_mm + body.radius_mm + max(need.gap_mm, travels)
            most = away if most is None else max(most, away)
        if most is not None:
            boxes.append(body.box or (body.x_mm, body.y_mm, body.x_mm, body.y_mm))
            least.append(most)
    return np.array(boxes, dtype=float).reshape(-1, 4), np.array(least, dtype=float)


def misses(points: Array, boxes: Array, least: Array) -> Array:
    """Total miss (...,) of points (..., 2) against `obstacles_for`, mm."""
    if not len(least):
        return np.zeros(points.shape[:-1])
    x, y = points[..., None, 0], points[..., None, 1]
    dx = np.maximum(np.maximum(boxes[:, 0] - x, x - boxes[:, 2]), 0.0)
    dy = np.maximum(np.maximum(boxes[:, 1] - y, y - boxes[:, 3]), 0.0)
    away = np.sqrt(dx * dx + dy * dy)
    inside = np.minimum(np.minimum(x - boxes[:, 0], boxes[:, 2] - x), np.minimum(y - boxes[:, 1], boxes[:, 3] - y))
    away = np.where(away > 0.0, away, -np.maximum(inside, 0.0))
    total: Array = np.maximum(0.0, least - away).sum(axis=-1)
    return total
