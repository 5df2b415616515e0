"""Lines and arcs of a drawing, as the readers and writers need them: centres, extents, distances, crossings.

Kept apart from the geometry room on purpose: what checks the cut files shares no formula with what made the
paths. Plain floats, mm and radians.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from gearplate.geometry.shapes import Circle, Path, Shape, Stroke

Point = tuple[float, float]
Box = tuple[float, float, float, float]  # x0, y0, x1, y1


@dataclass(frozen=True, slots=True)
class Segment:
    """A line (radius 0) or an arc from `start` to `end`; `sweep_rad` is positive counter-clockwise."""

    start: Point
    end: Point
    centre: Point = (0.0, 0.0)
    radius_mm: float = 0.0
    start_rad: float = 0.0
    sweep_rad: float = 0.0

    @property
    def is_arc(self) -> bool:
        return self.radius_mm > 0.0

    def covers(self, angle_rad: float) -> bool:
        """Whether the direction from an arc's centre meets the arc."""
        turn = math.copysign(1.0, self.sweep_rad)
        return (turn * (angle_rad - self.start_rad)) % math.tau <= abs(self.sweep_rad)

    def at(self, share: float) -> Point:
        """The point at a share of the way, 0 to 1."""
        if not self.is_arc:
            (x0, y0), (x1, y1) = self.start, self.end
            return x0 + share * (x1 - x0), y0 + share * (y1 - y0)
        angle = self.start_rad + share * self.sweep_rad
        return (
            self.centre[0] + self.radius_mm * math.cos(angle),
            self.centre[1] + self.radius_mm * math.sin(angle),
        )


def segment(start: Point, end: Point, bulge: float) -> Segment:
    """The segment of a path. Bulge = tan(included angle / 4) (DXF reference, LWPOLYLINE group 42), so
    that with the chord c the radius is c (1 + b^2) / (4 |b|) and the centre lies c (1 - b^2) / (4 b) left
    of its middle."""
    if bulge == 0.0:
        return Segment(start, end)
    (x0, y0), (x1, y1) = start, end
    left = (1.0 - bulge * bulge) / (4.0 * bulge)
    centre = ((x0 + x1) / 2.0 - left * (y1 - y0), (y0 + y1) / 2.0 + left * (x1 - x0))
    radius = math.hypot(x1 - x0, y1 - y0) * (1.0 + bulge * bulge) / (4.0 * abs(bulge))
    return Segment(start, end, centre, radius, math.atan2(y0 - centre[1], x0 - centre[0]), 4.0 * math.atan(bulge))


def segments(shape: Shape, closed: bool = True) -> tuple[Segment, ...]:
    """The segments of a shape; a circle is two half circles. `closed` False leaves out a path's last one."""
    if isinstance(shape, Circle):
        r = shape.diameter_mm / 2.0
        right, left = (shape.x_mm + r, shape.y_mm), (shape.x_mm - r, shape.y_mm)
        centre = (shape.x_mm, shape.y_mm)
        return (
            Segment(right, left, centre, r, 0.0, math.pi),
            Segment(left, right, centre, r, math.pi, math.pi),
        )
    if isinstance(shape, Stroke):
        return tuple(Segment(a, b) for a, b in zip(shape.points, shape.points[1:], strict=False))
    run = shape.vertices
    found = tuple(
        segment((x0, y0), (x1, y1), bulge) for (x0, y0, bulge), (x1, y1, _) in zip(run, run[1:] + run[:1], strict=True)
    )
    return found if closed else found[:-1]


def box_of(shape: Shape) -> Box:
    """The smallest upright box round a shape, arcs counted."""
    if isinstance(shape, Circle):
        r = shape.diameter_mm / 2.0
        return shape.x_mm - r, shape.y_mm - r, shape.x_mm + r, shape.y_mm + r
    if isinstance(shape, Path):
        return _round([segment_box(piece) for piece in segments(shape)])
    xs, ys = [x for x, _ in shape.points], [y for _, y in shape.points]
    return min(xs), min(ys), max(xs), max(ys)


def segment_box(piece: Segment) -> Box:
    """The smallest upright box round a segment."""
    (x0, y0), (x1, y1) = piece.start, piece.end
    box = (min(x0, x1), min(y0, y1), max(x0, x1), max(y0, y1))
    for x, y in _outermost(piece):
        box = (min(box[0], x), min(box[1], y), max(box[2], x), max(box[3], y))
    return box


def _round(boxes: list[Box]) -> Box:
    return (
        min(box[0] for box in boxes),
        min(box[1] for box in boxes),
        max(box[2] for box in boxes),
        max(box[3] for box in boxes),
    )


def _outermost(piece: Segment) -> Iterator[Point]:
    """Where an arc runs upright or level, beside its ends."""
    if piece.is_arc:
        (cx, cy), r = piece.centre, piece.radius_mm
        for angle, dx, dy in ((0.0, r, 0.0), (math.pi / 2, 0.0, r), (math.pi, -r, 0.0), (-math.pi / 2, 0.0, -r)):
            if piece.covers(angle):
                yield cx + dx, cy + dy


def box_of_all(shapes: Iterable[Shape]) -> Box:
    """The smallest upright box round several shapes (at least one)."""
    return _round([box_of(shape) for shape in shapes])


def distance_to(point: Point, piece: Segment) -> float:
    """From a point to the nearest point of a segment."""
    x, y = point
    if piece.is_arc:
        dx, dy = x - piece.centre[0], y - piece.centre[1]
        if piece.covers(math.atan2(dy, dx)):
            return abs(math.hypot(dx, dy) - piece.radius_mm)
    else:
        (x0, y0), (x1, y1) = piece.start, piece.end
        ux, uy = x1 - x0, y1 - y0
        share = ((x - x0) * ux + (y - y0) * uy) / (ux * ux + uy * uy or 1.0)
        if 0.0 < share < 1.0:
            return math.hypot(x - x0 - share * ux, y - y0 - share * uy)
    return min(math.dist(point, piece.start), math.dist(point, piece.end))


def gap_between(a: Segment, b: Segment) -> float:
    """The least distance between two segments; 0 where they cross.

    The nearest points of two curves without a crossing are an end of one, or lie on a common normal: for
    arcs on the line through the centres, for a line and an arc on the foot of the perpendicular from the
    centre.
    """
    if any(distance_to(p, a) < 1e-9 and distance_to(p, b) < 1e-9 for p in _crossings(a, b)):
        return 0.0
    gap = min(distance_to(a.start, b), distance_to(a.end, b), distance_to(b.start, a), distance_to(b.end, a))
    for one, other in ((a, b), (b, a)):
        if one.is_arc:
            for point in _toward(one, other):
                gap = min(gap, distance_to(point, other))
    return gap


def _toward(arc: Segment, other: Segment) -> Iterator[Point]:
    """The points of an arc on its common normals with another segment."""
    cx, cy = arc.centre
    if other.is_arc:
        dx, dy = other.centre[0] - cx, other.centre[1] - cy
    else:
        dx, dy = other.start[1] - other.end[1], other.end[0] - other.start[0]
    length = math.hypot(dx, dy)
    if length > 0.0:
        for sign in (1.0, -1.0):
            angle = math.atan2(sign * dy, sign * dx)
            if arc.covers(angle):
                yield cx + sign * arc.radius_mm * dx / length, cy + sign * arc.radius_mm * dy / length


def _crossings(a: Segment, b: Segment) -> Iterator[Point]:
    """Crossings of the whole lines and circles that two segments lie on."""
    if not a.is_arc and not b.is_arc:
        (x0, y0), (x1, y1), (u0, v0), (u1, v1) = a.start, a.end, b.start, b.end
        cross = (x1 - x0) * (v1 - v0) - (y1 - y0) * (u1 - u0)
        if cross != 0.0:
            share = ((u0 - x0) * (v1 - v0) - (v0 - y0) * (u1 - u0)) / cross
            yield x0 + share * (x1 - x0), y0 + share * (y1 - y0)
    elif a.is_arc and b.is_arc:
        (ax, ay), (bx, by) = a.centre, b.centre
        d = math.hypot(bx - ax, by - ay)
        if d > 0.0:
            along = d / 2.0 + (a.radius_mm - b.radius_mm) * (a.radius_mm + b.radius_mm) / (2.0 * d)
            yield from _pair((ax, ay), ((bx - ax) / d, (by - ay) / d), along, a.radius_mm)
    else:
        line, arc = (b, a) if a.is_arc else (a, b)
        (x0, y0), (x1, y1) = line.start, line.end
        length = math.hypot(x1 - x0, y1 - y0)
        if length > 0.0:
            normal = ((y0 - y1) / length, (x1 - x0) / length)
            along = (x0 - arc.centre[0]) * normal[0] + (y0 - arc.centre[1]) * normal[1]
            yield from _pair(arc.centre, normal, along, arc.radius_mm)


def _pair(centre: Point, unit: Point, along: float, radius: float) -> Iterator[Point]:
    """The two points of a circle at a given distance along a direction from its centre."""
    rest = radius * radius - along * along
    if rest >= 0.0:
        half = math.sqrt(rest)
        x, y = centre[0] + along * unit[0], centre[1] + along * unit[1]
        yield x - half * unit[1], y + half * unit[0]
        yield x + half * unit[1], y - half * unit[0]
