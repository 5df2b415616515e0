"""Shapes moved, turned and mirrored."""

from __future__ import annotations

import math
from typing import TypeVar

from gearplate.geometry.shapes import Circle, Path, Stroke

ShapeT = TypeVar("ShapeT", Circle, Path, Stroke)
_Turn = tuple[float, float, float, float]
"""(cosine, sine, centre x, centre y)."""


def mirrored(shape: ShapeT) -> ShapeT:
    """The shape with x negated.

    A mirrored path would run the other way round (x and every bulge negated); it is turned about, so that it keeps
    its orientation and its first vertex. Mirroring twice gives the very same numbers. Strokes keep their direction.
    """
    if isinstance(shape, Circle):
        return Circle(_negated(shape.x_mm), shape.y_mm, shape.diameter_mm)
    if isinstance(shape, Stroke):
        return Stroke(tuple((_negated(x), y) for x, y in shape.points))
    vertices = shape.vertices
    count = len(vertices)
    return Path(
        tuple(
            (_negated(vertices[-i % count][0]), vertices[-i % count][1], vertices[(-i - 1) % count][2])
            for i in range(count)
        )
    )


def _negated(value: float) -> float:
    return -value if value != 0.0 else 0.0  # no minus zero in files


def translated(shape: ShapeT, dx_mm: float, dy_mm: float) -> ShapeT:
    """The shape moved by (dx_mm, dy_mm)."""
    if isinstance(shape, Circle):
        return Circle(shape.x_mm + dx_mm, shape.y_mm + dy_mm, shape.diameter_mm)
    if isinstance(shape, Stroke):
        return Stroke(tuple((x + dx_mm, y + dy_mm) for x, y in shape.points))
    return Path(tuple((x + dx_mm, y + dy_mm, bulge) for x, y, bulge in shape.vertices))


def rotated(shape: ShapeT, angle_rad: float, about: tuple[float, float] = (0.0, 0.0)) -> ShapeT:
    """The shape turned counter-clockwise by `angle_rad` about a point, mm."""
    turn: _Turn = (math.cos(angle_rad), math.sin(angle_rad), about[0], about[1])
    if isinstance(shape, Circle):
        return Circle(*_turned(shape.x_mm, shape.y_mm, turn), shape.diameter_mm)
    if isinstance(shape, Stroke):
        return Stroke(tuple(_turned(point[0], point[1], turn) for point in shape.points))
    moved = [_turned(vertex[0], vertex[1], turn) for vertex in shape.vertices]
    return Path(tuple((at[0], at[1], vertex[2]) for at, vertex in zip(moved, shape.vertices, strict=True)))


def _turned(x: float, y: float, turn: _Turn) -> tuple[float, float]:
    cos, sin, about_x, about_y = turn
    dx, dy = x - about_x, y - about_y
    return about_x + cos * dx - sin * dy, about_y + sin * dx + cos * dy
