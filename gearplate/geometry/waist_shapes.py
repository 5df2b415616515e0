"""Waists against slots and windows: an outline follows their sides exactly, where rows of discs stood for them.

A row of discs tells the walk round an outline that its shape is there; between two of its discs a fillet dips. Here the
contours themselves are grown by the fillet's radius, with the discs that stand for nothing else; what bounds them all
together is shrunk back, and each of its corners becomes a fillet about itself. Shapes may lie on each other, share a
side or an end, and cross: of sides that run on each other, one is taken.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

from gearplate.geometry.arrangement import ON_MM, closed_runs, cut_where_they_meet
from gearplate.geometry.boxes import Box, grown
from gearplate.geometry.crossing import self_crossing
from gearplate.geometry.discs import Disc
from gearplate.geometry.nearest import contains, signed_distance
from gearplate.geometry.offset import offset, shifted
from gearplate.geometry.path import bbox, kinks, signed_area
from gearplate.geometry.segments import TAU, Arc, Line, Segment, arc_about, path_of, point_at, segments, tangent_at
from gearplate.geometry.shapes import Path

Point = tuple[float, float]

_BESIDE_MM = 1e-5  # far more than rounding, far less than any step that matters
_SMOOTH_RAD = 1e-6
_STRAIGHT_ON_RAD = 1e-9
_SAME_MM = 1e-9


@dataclass(frozen=True, slots=True)
class RowOfDiscs:
    """A closed counter-clockwise contour without a hollow, and the discs along it that the walk sees."""

    contour: Path
    discs: tuple[Disc, ...]


def bulges_all_round(contour: Path) -> bool:
    """Whether a contour is smooth and without a hollow."""
    arcs = [piece for piece in segments(contour) if isinstance(piece, Arc)]
    return bool(arcs) and all(arc.sweep_rad > 0.0 for arc in arcs) and max(map(abs, kinks(contour))) < _SMOOTH_RAD


def drawn_along(outer: Iterable[Disc], fillet: float, rows: Sequence[RowOfDiscs]) -> list[Segment] | None:
    """The pieces of the outline round the contours of `rows` and those of the `outer` discs, on the outside of all,
    that stand for no row. None where these do not hang together, or the outline would meet itself: then the rows of
    discs have to do."""
    of_rows = {disc for row in rows for disc in row.discs}
    shapes = [_along(offset(row.contour, fillet)) for row in dict.fromkeys(rows)]
    shapes += [_about(disc, fillet) for disc in dict.fromkeys(outer) if disc not in of_rows]
    owned = [(number, piece) for number, shape in enumerate(shapes) for piece in shape.pieces]
    border = [piece for owner, piece in cut_where_they_meet(owned) if _bounds(owner, piece, shapes)]
    runs = [run for run in closed_runs(border) if signed_area(path_of(run)) > 0.0]  # others bound cavities
    if len(runs) != 1 or not _within(runs[0], shapes):
        return None
    pieces = _shrunk(_rejoined(runs[0]), fillet)
    return pieces if pieces is not None and self_crossing(path_of(pieces)) is None else None


@dataclass(frozen=True, slots=True)
class _Shape:
    """A grown contour, counter-clockwise; where it is a disc's, the disc."""

    pieces: tuple[Segment, ...]
    path: Path
    disc: Disc | None
    box: Box

    def depth(self, x: float, y: float) -> float:
        """How deep a point lies inside, mm; negative outside."""
        if self.disc is not None:
            return self.disc[2] - math.hypot(x - self.disc[0], y - self.disc[1])
        return -signed_distance(self.path, x, y)


def _along(path: Path) -> _Shape:
    return _Shape(tuple(segments(path)), path, None, grown(bbox(path), _BESIDE_MM))


def _about(disc: Disc, more: float) -> _Shape:
    x, y, radius = disc[0], disc[1], disc[2] + more
    halves = (arc_about(x, y, radius, 0.0, math.pi), arc_about(x, y, radius, math.pi, math.pi))
    reach = radius + _BESIDE_MM
    return _Shape(halves, path_of(halves), (x, y, radius), (x - reach, y - reach, x + reach, y + reach))


def _bounds(owner: int, piece: Segment, shapes: Sequence[_Shape]) -> bool:
    """Whether a piece bounds all shapes together. Of pieces that run on each other the first one does; none where the
    shapes lie on either side of them."""
    (x, y), (along_x, along_y) = point_at(piece, 0.5), tangent_at(piece, 0.5)
    for number, shape in enumerate(shapes):
        x0, y0, x1, y1 = shape.box
        if number == owner or not (x0 <= x <= x1 and y0 <= y <= y1):
            continue
        depth = shape.depth(x, y)
        if depth > ON_MM:
            return False
        if depth >= -ON_MM:
            across = shape.depth(x + _BESIDE_MM * along_y, y - _BESIDE_MM * along_x) > 0.0
            if across or number < owner:
                return False
    return True


def _within(run: list[Segment], shapes: Sequence[_Shape]) -> bool:
    """Whether the run goes round all shapes: none stands beside it."""
    path = path_of(run)
    return all(contains(path, 0.5 * (x0 + x1), 0.5 * (y0 + y1)) for x0, y0, x1, y1 in (shape.box for shape in shapes))


def _rejoined(run: list[Segment]) -> list[Segment]:
    """The run with arcs made whole that were cut on one circle, begun where a piece begins."""
    begins = [index for index, piece in enumerate(run) if not _goes_on(run[index - 1], piece)]
    if not begins:
        return run
    whole: list[Segment] = []
    for piece in run[begins[0] :] + run[: begins[0]]:
        last = whole[-1] if whole else None
        if isinstance(last, Arc) and isinstance(piece, Arc) and _goes_on(last, piece):
            sweep = last.sweep_rad + piece.sweep_rad
            whole[-1] = replace(last, x1=piece.x1, y1=piece.y1, sweep_rad=sweep)
        else:
            whole.append(piece)
    return whole


def _goes_on(before: Segment, after: Segment) -> bool:
    """Whether a piece goes on along the line or circle of the one before."""
    if isinstance(before, Arc) and isinstance(after, Arc):
        apart = math.hypot(before.cx - after.cx, before.cy - after.cy)
        return apart < _SAME_MM and abs(before.radius - after.radius) < _SAME_MM
    return isinstance(before, Line) and isinstance(after, Line) and abs(_turn(before, after)) < _STRAIGHT_ON_RAD


def _shrunk(run: list[Segment], by: float) -> list[Segment] | None:
    """A counter-clockwise run of grown pieces shrunk back, with a fillet at each corner; None where it turns left at
    one."""
    inner = [shifted(piece, -by)[0] for piece in run]
    pieces: list[Segment] = []
    for index, piece in enumerate(run):
        turn = _turn(run[index - 1], piece)
        if turn > _SMOOTH_RAD:
            return None
        if turn < -_STRAIGHT_ON_RAD:
            pieces.append(_fillet(inner[index - 1], inner[index], (piece.x0, piece.y0), by))
        pieces.append(inner[index])
    return pieces


def _fillet(before: Segment, after: Segment, centre: Point, radius: float) -> Arc:
    """The hollow arc about a centre from one piece to the next."""
    x, y = centre
    start = math.atan2(before.y1 - y, before.x1 - x)
    turned = (start - math.atan2(after.y0 - y, after.x0 - x)) % TAU
    return Arc(before.x1, before.y1, after.x0, after.y0, x, y, radius, start, -turned)


def _turn(before: Segment, after: Segment) -> float:
    """By how much the direction turns from one piece to the next, to the left positive."""
    (ux, uy), (vx, vy) = tangent_at(before, 1.0), tangent_at(after, 0.0)
    return math.atan2(ux * vy - uy * vx, ux * vx + uy * vy)
