"""Waists against slots and windows: an outline follows their sides exactly, where rows of discs stood for them.

A row of discs tells the walk where the outline comes to a side and where it leaves it. Here that walk is drawn anew:
what the row gave within one contour is left out, and every fillet touches the contour itself, a line or an arc.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from gearplate.geometry.crossing import meetings, self_crossing
from gearplate.geometry.discs import Disc
from gearplate.geometry.offset import offset
from gearplate.geometry.path import kinks
from gearplate.geometry.segments import TAU, Arc, Segment, arc_about, path_of, segments, share_of
from gearplate.geometry.segments import Line as Straight
from gearplate.geometry.shapes import Path

Corner = tuple[int, int, float, float]
Point = tuple[float, float]

_FAR_MM = 2.0  # a fillet that moves farther is not the one that the walk found
_SAME_MM = 1e-7
_SMOOTH_RAD = 1e-6


@dataclass(frozen=True, slots=True)
class RowOfDiscs:
    """A closed counter-clockwise contour without a hollow, and the discs along it that the walk sees."""

    contour: Path
    discs: tuple[Disc, ...]


def bulges_all_round(contour: Path) -> bool:
    """Whether a contour is smooth and without a hollow."""
    arcs = [piece for piece in segments(contour) if isinstance(piece, Arc)]
    return bool(arcs) and all(arc.sweep_rad > 0.0 for arc in arcs) and max(map(abs, kinks(contour))) < _SMOOTH_RAD


def drawn_along(
    corners: Sequence[Corner], discs: Sequence[Disc], fillet: float, rows: Sequence[RowOfDiscs]
) -> list[Segment] | None:
    """The pieces of an outline whose corners (disc, next disc, centre of the fillet between them) a walk on `discs`
    found, drawn along the contours of `rows`. None where a disc belongs to two rows, or a fillet is not found again, or
    the outline would meet itself: then the row of discs has to do."""
    owner: dict[Disc, int] = {}
    for number, row in enumerate(rows):
        for disc in row.discs:
            if owner.setdefault(disc, number) != number:
                return None
    rims = _Rims([owner.get(disc, -1 - index) for index, disc in enumerate(discs)], discs, fillet, rows)
    changes = [corner for corner in corners if rims.whose[corner[0]] != rims.whose[corner[1]]]
    if not changes:
        first = rims.whose[corners[0][0]]
        return rims.plain(first) if first >= 0 else None
    ends = [rims.fillet_end(corner) for corner in changes]
    pieces: list[Segment] = []
    for index, (here, _, _, _) in enumerate(changes):
        before, after = ends[index - 1], ends[index]
        if before is None or after is None or rims.whose[changes[index - 1][1]] != rims.whose[here]:
            return None
        pieces += _run(rims.plain(rims.whose[here]), before.into, after.out)
        pieces.append(after.arc)
    # sides that lie on each other leave it to rounding where one contour ends and the next begins
    return pieces if self_crossing(path_of(pieces)) is None else None


@dataclass(frozen=True, slots=True)
class _Touch:
    """A point on the piece of a rim with this number."""

    piece: int
    at: Point


@dataclass(frozen=True, slots=True)
class _FilletEnd:
    out: _Touch
    into: _Touch
    arc: Arc


class _Rims:
    """The rims of discs and contours, as they are and grown by the fillet. `whose`: for each disc the number of its
    row, or one below zero of its own."""

    def __init__(self, whose: list[int], discs: Sequence[Disc], fillet: float, rows: Sequence[RowOfDiscs]) -> None:
        self.whose, self._discs, self._fillet, self._rows = whose, discs, fillet, rows
        self._plain: dict[int, list[Segment]] = {}
        self._grown: dict[int, list[Segment]] = {}

    def plain(self, one: int) -> list[Segment]:
        if one not in self._plain:
            self._plain[one] = segments(self._rows[one].contour) if one >= 0 else self._circle(one, 0.0)
        return self._plain[one]

    def grown(self, one: int) -> list[Segment]:
        if one not in self._grown:
            far = self._fillet
            self._grown[one] = segments(offset(self._rows[one].contour, far)) if one >= 0 else self._circle(one, far)
        return self._grown[one]

    def _circle(self, one: int, more: float) -> list[Segment]:
        x, y, radius = self._discs[-1 - one]
        return [arc_about(x, y, radius + more, 0.0, TAU)]

    def fillet_end(self, corner: Corner) -> _FilletEnd | None:
        """The fillet between two rims, that nearest to where the walk found it."""
        here, following = self.whose[corner[0]], self.whose[corner[1]]
        found = [
            (math.dist(point, corner[2:]), point, i, j)
            for i, one in enumerate(self.grown(here))
            for j, other in enumerate(self.grown(following))
            for point in meetings(one, other)
        ]
        away, centre, i, j = min(found, default=(math.inf, (0.0, 0.0), 0, 0))
        if away > _FAR_MM:
            return None
        out, into = _foot(self.plain(here)[i], centre), _foot(self.plain(following)[j], centre)
        start = math.atan2(out[1] - centre[1], out[0] - centre[0])
        turned = (start - math.atan2(into[1] - centre[1], into[0] - centre[0])) % TAU
        arc = Arc(*out, *into, *centre, self._fillet, start, -turned)
        return _FilletEnd(_Touch(i, out), _Touch(j, into), arc)


def _foot(piece: Segment, point: Point) -> Point:
    """The point of a piece's carrier that is nearest to a point."""
    if isinstance(piece, Arc):
        dx, dy = point[0] - piece.cx, point[1] - piece.cy
        scale = piece.radius / math.hypot(dx, dy)
        return piece.cx + scale * dx, piece.cy + scale * dy
    share = share_of(piece, *point)
    return piece.x0 + share * (piece.x1 - piece.x0), piece.y0 + share * (piece.y1 - piece.y0)


def _run(rim: list[Segment], start: _Touch, end: _Touch) -> list[Segment]:
    """Counter-clockwise along a rim from one of its points to another."""
    first, last = rim[start.piece], rim[end.piece]
    if start.piece == end.piece and (len(rim) == 1 or _reaches(first, start.at, end.at)):
        return _part(first, start.at, end.at)
    pieces = _part(first, start.at, (first.x1, first.y1))
    number = (start.piece + 1) % len(rim)
    while number != end.piece:
        pieces.append(rim[number])
        number = (number + 1) % len(rim)
    return pieces + _part(last, (last.x0, last.y0), end.at)


def _reaches(piece: Segment, start: Point, end: Point) -> bool:
    """Whether a point comes after another along a piece."""
    return share_of(piece, *end) >= share_of(piece, *start) - 1e-9


def _part(piece: Segment, start: Point, end: Point) -> list[Segment]:
    """The piece between two of its points; nothing where they are one."""
    if math.dist(start, end) < _SAME_MM:
        return []
    if isinstance(piece, Straight):
        return [Straight(*start, *end)]
    begin = math.atan2(start[1] - piece.cy, start[0] - piece.cx)
    sweep = (math.atan2(end[1] - piece.cy, end[0] - piece.cx) - begin) % TAU
    return [Arc(*start, *end, piece.cx, piece.cy, piece.radius, begin, sweep)]
