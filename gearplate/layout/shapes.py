"""Bodies in the plane: discs, upright boxes and turned squares with round corners. Gaps and extents, exact.

Each is a core (a point, a box or a square) grown by a rounding all round, so the gap of two bodies is that of their
cores less both roundings; where cores overlap, how far one must be moved to part them (separating axes).
"""

from __future__ import annotations

import math
from collections.abc import Sequence

from gearplate.layout.design import Body

Point = tuple[float, float]
Box = tuple[float, float, float, float]


def gap_between(a: Body, b: Body) -> float:
    """Gap of two bodies in the plane, mm; negative where they overlap: how far one must move to part them."""
    if a.round_in_plane:
        return gap_to_point(b, a.x_mm, a.y_mm) - a.radius_mm
    if b.round_in_plane:
        return gap_to_point(a, b.x_mm, b.y_mm) - b.radius_mm
    return _apart(core_of(a), core_of(b)) - a.rounding_mm - b.rounding_mm


def gap_to_point(body: Body, x_mm: float, y_mm: float) -> float:
    """Distance of a point from a body in the plane, mm; negative inside."""
    if body.box is not None:
        return _from_box(body.box, x_mm, y_mm)
    dx, dy = x_mm - body.x_mm, y_mm - body.y_mm
    if body.core_mm == 0.0 or body.angle_rad is None:
        return math.hypot(dx, dy) - body.radius_mm
    cos, sin, core = math.cos(body.angle_rad), math.sin(body.angle_rad), body.core_mm
    return _from_box((-core, -core, core, core), cos * dx + sin * dy, cos * dy - sin * dx) - body.rounding_mm


def _from_box(box: Box, x_mm: float, y_mm: float) -> float:
    """Distance of a point from an upright box, negative inside."""
    x0, y0, x1, y1 = box
    dx, dy = max(x0 - x_mm, x_mm - x1), max(y0 - y_mm, y_mm - y1)
    if dx > 0.0 and dy > 0.0:
        return math.hypot(dx, dy)
    return max(dx, dy)


def upright_box(body: Body) -> Box:
    """The least upright box (x0, y0, x1, y1) that holds a body."""
    points, grown = core_of(body), body.rounding_mm
    xs, ys = [x for x, _ in points], [y for _, y in points]
    return min(xs) - grown, min(ys) - grown, max(xs) + grown, max(ys) + grown


def core_of(body: Body) -> list[Point]:
    """The corners of a body's core; one point for a disc."""
    if body.box is not None:
        x0, y0, x1, y1 = body.box
        return [(x0, y0), (x1, y0), (x1, y1), (x0, y1)]
    x, y = body.x_mm, body.y_mm
    if body.round_in_plane:
        return [(x, y)]
    assert body.angle_rad is not None
    reach = math.sqrt(2.0) * body.core_mm
    corners = (body.angle_rad + (0.25 + 0.5 * turn) * math.pi for turn in range(4))
    return [(x + reach * math.cos(corner), y + reach * math.sin(corner)) for corner in corners]


def _apart(first: Sequence[Point], second: Sequence[Point]) -> float:
    """Gap of two convex cores, negative where they overlap."""
    between = max((_along(first, second, normal) for normal in (*_normals(first), *_normals(second))), default=math.inf)
    if between <= 0.0:
        return between
    return min(_nearest(first, second), _nearest(second, first))


def _normals(points: Sequence[Point]) -> list[Point]:
    """Outward normals of a core's sides."""
    found = []
    for index, (x, y) in enumerate(points):
        fx, fy = points[(index + 1) % len(points)]
        length = math.hypot(fx - x, fy - y)
        if length > 0.0:
            found.append(((fy - y) / length, (x - fx) / length))
    return found


def _along(first: Sequence[Point], second: Sequence[Point], normal: Point) -> float:
    """Gap of the shadows of two cores on a line, negative where they overlap: the shorter way out."""
    one = [x * normal[0] + y * normal[1] for x, y in first]
    two = [x * normal[0] + y * normal[1] for x, y in second]
    return max(min(two) - max(one), min(one) - max(two))


def _nearest(points: Sequence[Point], others: Sequence[Point]) -> float:
    """Least distance from the corners of one core to the sides of another."""
    return min(
        _to_side(point, others[index], others[(index + 1) % len(others)])
        for point in points
        for index in range(len(others))
    )


def _to_side(point: Point, start: Point, end: Point) -> float:
    dx, dy = end[0] - start[0], end[1] - start[1]
    square = dx * dx + dy * dy
    px, py = point[0] - start[0], point[1] - start[1]
    share = min(max((px * dx + py * dy) / square, 0.0), 1.0) if square > 0.0 else 0.0
    return math.hypot(px - share * dx, py - share * dy)
