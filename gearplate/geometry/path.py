"""Measures of closed paths (area, length, box, orientation, kinks) and where a path starts; exact on arcs."""

from __future__ import annotations

import math

from gearplate.geometry.boxes import united
from gearplate.geometry.segments import (
    Arc,
    Line,
    Segment,
    arc_about,
    chord_tangent,
    length,
    nearest_on,
    part,
    path_of,
    segment_bbox,
    segments,
    share_of,
)
from gearplate.geometry.shapes import Circle, Path


def signed_area(path: Path) -> float:
    """Enclosed area, mm2: positive where the path runs counter-clockwise.

    The shoelace sum over the chords plus, for each arc, the circular segment between chord and arc.
    """
    vertices = path.vertices
    x_ref, y_ref, _ = vertices[0]  # sums near the path lose fewer digits than sums about a far origin
    total = 0.0
    x0, y0, bulge = vertices[-1]
    for x1, y1, following in vertices:
        total += 0.5 * ((x0 - x_ref) * (y1 - y_ref) - (x1 - x_ref) * (y0 - y_ref))
        if bulge != 0.0:
            total += _circular_segment(math.hypot(x1 - x0, y1 - y0), bulge)
        x0, y0, bulge = x1, y1, following
    return total


def _circular_segment(chord: float, bulge: float) -> float:
    """Signed area between a chord and its arc."""
    if abs(bulge) < 1e-3:  # series of the formula below, which cancels for flat arcs
        return chord * chord * bulge * (1.0 / 3.0 + bulge * bulge / 15.0)
    sweep = 4.0 * math.atan(bulge)
    radius = chord * (1.0 + bulge * bulge) / (4.0 * abs(bulge))
    return 0.5 * radius * radius * (sweep - math.sin(sweep))


def area(path: Path) -> float:
    """Enclosed area, mm2, whichever way the path runs."""
    return abs(signed_area(path))


def path_length(path: Path) -> float:
    """Length once round, mm."""
    return sum(length(piece) for piece in segments(path))


def bbox(path: Path) -> tuple[float, float, float, float]:
    """(least x, least y, greatest x, greatest y), mm; exact where an arc reaches past its ends."""
    return united([segment_bbox(piece) for piece in segments(path)])


def is_ccw(path: Path) -> bool:
    """Whether the path runs counter-clockwise."""
    return signed_area(path) > 0.0


def reversed_path(path: Path) -> Path:
    """The same curve from the same first vertex, travelled the other way: bulges negated and moved by one place."""
    vertices = path.vertices
    count = len(vertices)
    return Path(
        tuple(
            (vertices[-index % count][0], vertices[-index % count][1], -vertices[(-index - 1) % count][2])
            for index in range(count)
        )
    )


def counter_clockwise(path: Path) -> Path:
    """The path itself where it runs counter-clockwise, else its reverse."""
    return path if is_ccw(path) else reversed_path(path)


def kinks(path: Path) -> tuple[float, ...]:
    """For each vertex the angle, radians, by which the direction of travel jumps there (positive to the left).

    Taken from the chords and bulges alone, as a reader of the file would see it.
    """
    pieces = segments(path)
    result = []
    before = pieces[-1]
    for piece in pieces:
        ux, uy = chord_tangent(before, at_end=True)
        vx, vy = chord_tangent(piece, at_end=False)
        result.append(math.atan2(ux * vy - uy * vx, ux * vx + uy * vy))
        before = piece
    return tuple(result)


def starting_at_vertex(path: Path, index: int) -> Path:
    """The same path with vertex `index` as its first."""
    index %= len(path.vertices)
    return Path(path.vertices[index:] + path.vertices[:index])


def starting_near(path: Path, x_mm: float, y_mm: float, snap_mm: float = 2e-3) -> Path:
    """The same curve, started at its point nearest to (x_mm, y_mm).

    A piece is cut in two there, unless one of its ends lies within `snap_mm`, which then is the start.
    """
    pieces = segments(path)
    best, best_distance = 0, math.inf
    for index, piece in enumerate(pieces):
        near = nearest_on(piece, x_mm, y_mm)
        distance = math.hypot(near[0] - x_mm, near[1] - y_mm)
        if distance < best_distance:
            best, best_distance = index, distance
    piece = pieces[best]
    share = min(1.0, max(0.0, share_of(piece, *nearest_on(piece, x_mm, y_mm))))
    along = share * length(piece)
    if along <= snap_mm or length(piece) - along <= snap_mm:
        first = best if along <= 0.5 * length(piece) else best + 1
        return starting_at_vertex(path, first)
    before, after = part(piece, 0.0, share), part(piece, share, 1.0)
    return path_of([after, *pieces[best + 1 :], *pieces[:best], before])


def starting_toward(path: Path, angle_rad: float) -> Path:
    """The same curve, started where a ray from the middle of its box at `angle_rad` leaves the box's neighbourhood.

    For a circle this is the point at that angle.
    """
    x_low, y_low, x_high, y_high = bbox(path)
    x_mid, y_mid = 0.5 * (x_low + x_high), 0.5 * (y_low + y_high)
    reach = math.hypot(x_high - x_low, y_high - y_low)
    return starting_near(path, x_mid + reach * math.cos(angle_rad), y_mid + reach * math.sin(angle_rad))


def point_on_circle(circle: Circle, angle_rad: float) -> tuple[float, float]:
    """The point of the circle at an angle from +x, counter-clockwise."""
    radius = 0.5 * circle.diameter_mm
    return circle.x_mm + radius * math.cos(angle_rad), circle.y_mm + radius * math.sin(angle_rad)


def circle_path(circle: Circle, start_rad: float = 0.0) -> Path:
    """The circle as a counter-clockwise path of two halves, the first vertex at `start_rad`.

    Raises ValueError where the diameter is not positive.
    """
    if not circle.diameter_mm > 0.0:
        raise ValueError(f"a circle needs a positive diameter, not {circle.diameter_mm} mm")
    x0, y0 = point_on_circle(circle, start_rad)
    return Path(((x0, y0, 1.0), (2.0 * circle.x_mm - x0, 2.0 * circle.y_mm - y0, 1.0)))


def as_circle(path: Path, tolerance_mm: float = 1e-9) -> Circle | None:
    """The circle that a path is, where all its pieces are arcs about one centre that turn once round; else None."""
    pieces = segments(path)
    first = pieces[0]
    if not isinstance(first, Arc):
        return None
    turned = 0.0
    for piece in pieces:
        if not isinstance(piece, Arc):
            return None
        apart = math.hypot(piece.cx - first.cx, piece.cy - first.cy)
        if apart > tolerance_mm or abs(piece.radius - first.radius) > tolerance_mm:
            return None
        turned += piece.sweep_rad
    if abs(abs(turned) - 2.0 * math.pi) > 1e-6:
        return None
    return Circle(first.cx, first.cy, 2.0 * first.radius)


def split_long_arcs(pieces: list[Segment]) -> list[Segment]:
    """The same pieces, with arcs over half a circle cut into equal parts of at most half a circle."""
    result: list[Segment] = []
    for piece in pieces:
        if isinstance(piece, Line) or abs(piece.sweep_rad) <= math.pi * (1.0 + 1e-12):
            result.append(piece)
            continue
        count = math.ceil(abs(piece.sweep_rad) / (math.pi * (1.0 + 1e-12)))
        step = piece.sweep_rad / count
        start = (piece.x0, piece.y0)
        for index in range(count):
            arc = arc_about(piece.cx, piece.cy, piece.radius, piece.start_rad + index * step, step)
            end = (piece.x1, piece.y1) if index == count - 1 else (arc.x1, arc.y1)
            result.append(
                Arc(*start, *end, piece.cx, piece.cy, piece.radius, arc.start_rad, step),
            )
            start = end
    return result
