"""Where pieces of paths meet, solved exactly on lines and circles; whether a path crosses itself."""

from __future__ import annotations

import math

from gearplate.geometry.segments import (
    Arc,
    Line,
    Segment,
    chord_tangent,
    distance_to,
    length,
    on_arc,
    segment_bbox,
    segments,
    share_of,
)
from gearplate.geometry.shapes import Path

Point = tuple[float, float]

_TANGENT_RAD = 1e-7


def carrier_meetings(first: Segment, second: Segment) -> list[Point]:
    """The points where the endless lines or whole circles under two pieces meet: none, one (touching) or two.

    Parallel lines and concentric circles give none, also where they lie on each other.
    """
    if isinstance(first, Line):
        if isinstance(second, Line):
            return _line_line(first, second)
        return _line_circle(first, second)
    if isinstance(second, Line):
        return _line_circle(second, first)
    return _circle_circle(first, second)


def meetings(first: Segment, second: Segment, slack_mm: float = 1e-9) -> list[Point]:
    """The points that two pieces have in common. Pieces that lie on each other give the ends of the common stretch."""
    points = [
        point
        for point in carrier_meetings(first, second)
        if _within(first, point, slack_mm) and _within(second, point, slack_mm)
    ]
    if points:
        return points
    # Near-parallel carriers have no sharp meeting point: an end of the one that lies on the other still counts.
    common: list[Point] = []
    for piece, other in ((first, second), (second, first)):
        for end in ((piece.x0, piece.y0), (piece.x1, piece.y1)):
            if distance_to(other, *end) <= slack_mm:
                common.append(end)
    return common


def self_crossing(path: Path) -> Point | None:
    """A point in which the path meets itself, or None where it is simple.

    Neighbours may share their common vertex and nothing else; all other pieces may share no point.
    """
    pieces = segments(path)
    count = len(pieces)
    boxes = [segment_bbox(piece) for piece in pieces]
    for i in range(count):
        low_x, low_y, high_x, high_y = boxes[i]
        low_x -= 1e-9
        low_y -= 1e-9
        high_x += 1e-9
        high_y += 1e-9
        for j in range(i + 1, count):
            box = boxes[j]
            if box[0] > high_x or box[2] < low_x or box[1] > high_y or box[3] < low_y:
                continue
            after, before = j == i + 1, i == 0 and j == count - 1
            if not after and not before:
                points = meetings(pieces[i], pieces[j])
                if points:
                    return points[0]
                continue
            if after and before and count == 2:
                found = _two_pieces(pieces[0], pieces[1])
            elif after:
                found = _neighbours(pieces[i], pieces[j])
            else:
                found = _neighbours(pieces[j], pieces[i])
            if found is not None:
                return found
    return None


def _neighbours(before: Segment, after: Segment) -> Point | None:
    """A point beside their common vertex (end of `before`) that two pieces in a row share."""
    vertex = (after.x0, after.y0)
    out, onward = chord_tangent(before, at_end=True), chord_tangent(after, at_end=False)
    turn = math.atan2(out[0] * onward[1] - out[1] * onward[0], out[0] * onward[0] + out[1] * onward[1])
    if math.pi - abs(turn) < _TANGENT_RAD and _same_bend(before, after):
        return vertex  # doubles back on itself
    if abs(turn) < _TANGENT_RAD:
        # Carriers that touch in the vertex share nothing else, unless they are one circle travelled too far.
        if (
            isinstance(before, Arc)
            and isinstance(after, Arc)
            and math.hypot(before.cx - after.cx, before.cy - after.cy) < 1e-9
            and before.sweep_rad * after.sweep_rad > 0.0
            and abs(before.sweep_rad + after.sweep_rad) > 2.0 * math.pi + 1e-9
        ):
            return vertex
        return None
    points = carrier_meetings(before, after)
    points.sort(key=lambda point: math.hypot(point[0] - vertex[0], point[1] - vertex[1]))
    for point in points[1:]:  # the nearest is the vertex itself
        if _within(before, point, 1e-9) and _within(after, point, 1e-9):
            return point
    return None


def _two_pieces(first: Segment, second: Segment) -> Point | None:
    """A path of two pieces shares both ends; only pieces that lie on each other are at fault."""
    if isinstance(first, Line) and isinstance(second, Line):
        return first.x0, first.y0
    middle = _middle(first)
    return middle if distance_to(second, *middle) < 1e-9 and length(first) > 0.0 else None


def _middle(segment: Segment) -> Point:
    if isinstance(segment, Line):
        return 0.5 * (segment.x0 + segment.x1), 0.5 * (segment.y0 + segment.y1)
    angle = segment.start_rad + 0.5 * segment.sweep_rad
    return segment.cx + segment.radius * math.cos(angle), segment.cy + segment.radius * math.sin(angle)


def _same_bend(before: Segment, after: Segment) -> bool:
    """Whether two pieces that meet head on lie on one carrier, so that the second runs back over the first."""
    if isinstance(before, Line) or isinstance(after, Line):
        return isinstance(before, Line) and isinstance(after, Line)
    near = math.hypot(before.cx - after.cx, before.cy - after.cy) < 1e-9
    return near and before.sweep_rad * after.sweep_rad < 0.0


def _within(segment: Segment, point: Point, slack_mm: float) -> bool:
    if isinstance(segment, Arc):
        slack = slack_mm / segment.radius if segment.radius > slack_mm else math.pi
        return on_arc(segment, point[0] - segment.cx, point[1] - segment.cy, slack)
    size = length(segment)
    share = share_of(segment, *point)
    return -slack_mm <= share * size <= size + slack_mm


def _rounding(size: float) -> float:
    """By how much carriers of that size may miss each other and still count as touching, mm."""
    return 1e-12 + 4e-16 * size


def _line_line(first: Line, second: Line) -> list[Point]:
    ax, ay = first.x1 - first.x0, first.y1 - first.y0
    bx, by = second.x1 - second.x0, second.y1 - second.y0
    cross = ax * by - ay * bx
    if abs(cross) <= 1e-13 * math.hypot(ax, ay) * math.hypot(bx, by):
        return []
    share = ((second.x0 - first.x0) * by - (second.y0 - first.y0) * bx) / cross
    return [(first.x0 + share * ax, first.y0 + share * ay)]


def _line_circle(line: Line, circle: Arc) -> list[Point]:
    dx, dy = line.x1 - line.x0, line.y1 - line.y0
    size = math.hypot(dx, dy)
    if size == 0.0:
        return []
    dx, dy = dx / size, dy / size
    px, py = circle.cx - line.x0, circle.cy - line.y0
    along = px * dx + py * dy
    away = dx * py - dy * px
    square = (circle.radius - away) * (circle.radius + away)
    if abs(away) > circle.radius + _rounding(circle.radius + abs(along)):
        return []
    foot = (line.x0 + along * dx, line.y0 + along * dy)
    reach = math.sqrt(max(0.0, square))
    if reach == 0.0:
        return [foot]
    return [(foot[0] - reach * dx, foot[1] - reach * dy), (foot[0] + reach * dx, foot[1] + reach * dy)]


def _circle_circle(first: Arc, second: Arc) -> list[Point]:
    return circle_meetings(first.cx, first.cy, first.radius, second.cx, second.cy, second.radius)


def circle_meetings(x1: float, y1: float, r1: float, x2: float, y2: float, r2: float) -> list[Point]:
    """Where two circles meet: the point right of the way from the first centre to the second, then the left one."""
    dx, dy = x2 - x1, y2 - y1
    apart = math.hypot(dx, dy)
    if apart <= 1e-12 * max(r1, r2, 1e-300):
        return []
    dx, dy = dx / apart, dy / apart
    along = 0.5 * (apart + (r1 - r2) * (r1 + r2) / apart)
    # Heron's product keeps its digits where the triangle is flat, unlike r1^2 - along^2.
    drop = r1 - r2
    product = (r1 + r2 + apart) * (r1 + r2 - apart) * (apart + drop) * (apart - drop)
    slack = _rounding(r1 + r2 + apart)
    if apart > r1 + r2 + slack or apart < abs(drop) - slack:
        return []
    height = 0.5 * math.sqrt(max(0.0, product)) / apart
    foot = (x1 + along * dx, y1 + along * dy)
    if height == 0.0:
        return [foot]
    return [(foot[0] + height * dy, foot[1] - height * dx), (foot[0] - height * dy, foot[1] + height * dx)]
