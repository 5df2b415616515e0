"""Inside or outside, and how far: points, circles and paths against a closed path. Exact on arcs."""

from __future__ import annotations

import math
from functools import lru_cache
from operator import itemgetter

from gearplate.geometry.boxes import Box, box_gap_mm
from gearplate.geometry.crossing import meetings
from gearplate.geometry.segments import Arc, Line, Segment, distance_to, on_arc, segment_bbox, segments
from gearplate.geometry.shapes import Circle, Path


def contains(path: Path, x_mm: float, y_mm: float) -> bool:
    """Whether the point lies inside the closed path (even-odd). On the curve itself either answer may come.

    A path is its polygon of chords plus or minus the circular segments on them: each that holds the point toggles.
    Points on a chord are treated as if they lay a hair to the right (and a smaller hair up) by both tests alike.
    """
    inside = False
    x0, y0, bulge = path.vertices[-1]
    for x1, y1, following in path.vertices:
        dx, dy = x1 - x0, y1 - y0
        side = dx * (y_mm - y0) - dy * (x_mm - x0)
        if (y0 > y_mm) != (y1 > y_mm) and ((side > 0.0) if y1 > y0 else (side < 0.0)):
            inside = not inside
        if bulge != 0.0:
            if side == 0.0:
                side = -dy if dy != 0.0 else dx
            # A counter-clockwise arc bows out to the right of its chord.
            beyond = (side < 0.0) if bulge > 0.0 else (side > 0.0)
            if beyond and _sees_more_than(x0 - x_mm, y0 - y_mm, x1 - x_mm, y1 - y_mm, abs(bulge)):
                inside = not inside
        x0, y0, bulge = x1, y1, following
    return inside


def _sees_more_than(ax: float, ay: float, bx: float, by: float, bulge: float) -> bool:
    """Whether the chord from a to b, seen from the origin, spans more than the arc's points see it (inscribed angle).

    From a point on the arc the chord spans pi - sweep / 2, from inside the circular segment more. Asking for the
    angle needs no centre, so that flat arcs with far centres lose no digits.
    """
    seen = abs(math.atan2(ax * by - ay * bx, ax * bx + ay * by))
    return seen > math.pi - 2.0 * math.atan(bulge)


def distance_to_path(path: Path, x_mm: float, y_mm: float) -> float:
    """Distance from a point to the curve, mm, never negative."""
    return min(distance_to(piece, x_mm, y_mm) for piece, _ in _boxed(path))


def signed_distance(path: Path, x_mm: float, y_mm: float) -> float:
    """Distance from a point to the curve, mm: negative inside the path, positive outside."""
    away = distance_to_path(path, x_mm, y_mm)
    return -away if contains(path, x_mm, y_mm) else away


def circle_clear_of(path: Path, circle: Circle) -> float:
    """Gap between a disc and the region inside a path, mm; negative where they overlap (then how deep)."""
    return signed_distance(path, circle.x_mm, circle.y_mm) - 0.5 * circle.diameter_mm


def circle_curve_distance(path: Path, circle: Circle) -> float:
    """Least distance between the circle's edge and the curve, mm, never negative; 0 where they cross."""
    radius = 0.5 * circle.diameter_mm
    least, most = math.inf, 0.0
    for piece, _ in _boxed(path):
        least = min(least, distance_to(piece, circle.x_mm, circle.y_mm))
        most = max(most, _farthest(piece, circle.x_mm, circle.y_mm))
    if least >= radius:
        return least - radius
    return radius - most if most <= radius else 0.0


def path_distance(first: Path, second: Path) -> float:
    """Least distance between two curves, mm; 0 where they meet. A path inside another is measured curve to curve."""
    pairs = [
        (box_gap_mm(box, other_box), piece, other)
        for piece, box in _boxed(first)
        for other, other_box in _boxed(second)
    ]
    best = math.inf
    for gap, piece, other in sorted(pairs, key=itemgetter(0)):
        if gap >= best:
            break
        best = min(best, segment_distance(piece, other))
    return best


@lru_cache(maxsize=128)
def _boxed(path: Path) -> tuple[tuple[Segment, Box], ...]:
    """The pieces of a path with their boxes: an outline is asked for its own hundreds of times."""
    return tuple((piece, segment_bbox(piece)) for piece in segments(path))


def segment_distance(first: Segment, second: Segment) -> float:
    """Least distance between two pieces, mm."""
    if meetings(first, second, 0.0):
        return 0.0
    best = min(
        distance_to(second, first.x0, first.y0),
        distance_to(second, first.x1, first.y1),
        distance_to(first, second.x0, second.y0),
        distance_to(first, second.x1, second.y1),
    )
    # Elsewhere the shortest way stands square on both pieces, and so runs through the centres of the round ones.
    if isinstance(first, Arc) and isinstance(second, Arc):
        dx, dy = second.cx - first.cx, second.cy - first.cy
        apart = math.hypot(dx, dy)
        if apart > 0.0:
            for a in (1.0, -1.0):
                if not on_arc(first, a * dx, a * dy):
                    continue
                for b in (1.0, -1.0):
                    if on_arc(second, b * dx, b * dy):
                        best = min(best, abs(apart + b * second.radius - a * first.radius))
        return best
    if isinstance(first, Line) and isinstance(second, Line):
        return best
    line, arc = (first, second) if isinstance(first, Line) else (second, first)
    if isinstance(line, Line) and isinstance(arc, Arc):
        best = min(best, _line_arc_square(line, arc))
    return best


def _line_arc_square(line: Line, arc: Arc) -> float:
    """Distance along the normal of a line through an arc's centre, where it meets both; else infinite."""
    dx, dy = line.x1 - line.x0, line.y1 - line.y0
    square = dx * dx + dy * dy
    if square == 0.0:
        return math.inf
    share = ((arc.cx - line.x0) * dx + (arc.cy - line.y0) * dy) / square
    if not 0.0 <= share <= 1.0:
        return math.inf
    fx, fy = line.x0 + share * dx - arc.cx, line.y0 + share * dy - arc.cy
    away = math.hypot(fx, fy)
    best = math.inf
    if on_arc(arc, fx, fy):
        best = abs(away - arc.radius)
    if on_arc(arc, -fx, -fy):
        best = min(best, away + arc.radius)
    return best


def _farthest(piece: Segment, x: float, y: float) -> float:
    """Greatest distance from a point to a piece."""
    most = max(math.hypot(piece.x0 - x, piece.y0 - y), math.hypot(piece.x1 - x, piece.y1 - y))
    if isinstance(piece, Arc):
        dx, dy = piece.cx - x, piece.cy - y
        away = math.hypot(dx, dy)
        if away == 0.0 or on_arc(piece, dx, dy):
            most = max(most, away + piece.radius)
    return most
