"""Paths made fit for files: no piece under 0.001 mm, none over half a circle, no repeated vertex, no flat bulges.

Readers of cut files trip over such pieces (an import aborted, a line across the page), so they are mended here, moving
the curve as little as can be: a short piece between smooth neighbours is replaced by a pair of arcs that starts and
ends a little way along these neighbours, which keeps the path free of kinks.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

from gearplate.geometry.arcs_fit import biarc
from gearplate.geometry.crossing import carrier_meetings
from gearplate.geometry.path import split_long_arcs
from gearplate.geometry.segments import (
    Arc,
    Line,
    Segment,
    arc_from,
    bulge_of,
    chord_tangent,
    distance_to,
    length,
    part,
    point_at,
    segments,
    share_of,
    tangent_at,
)
from gearplate.geometry.shapes import Path

LEAST_LENGTH_MM = 1e-3
LEAST_BULGE = 1e-6
STILL_MM = 5e-6
"""How far a smooth mend may move the curve before a corner that moves it less is preferred."""

_SMOOTH_RAD = 1e-9
_SAME_MM = 1e-9
_SAME_RAD = 5e-10


def clean(path: Path, least_length_mm: float = LEAST_LENGTH_MM, least_bulge: float = LEAST_BULGE) -> Path:
    """The same curve, fit for a cut file.

    - no vertex twice in a row, no arc over half a circle (cut into equal parts);
    - no piece shorter than `least_length_mm`: mended without kinks where that moves the curve by less than 5e-6 mm
      (most move it by less than 1e-6), else by whichever moves it less, a pair of arcs or a corner;
    - no bulge under `least_bulge` (set to 0);
    - straight pieces in one line and arcs on one circle are joined, except over the first vertex.

    A path that is already so is returned as it is. Raises ValueError where the whole path is too small for that.
    """
    if _is_clean(path, least_length_mm, least_bulge):
        return path
    return clean_pieces(segments(path), least_length_mm, least_bulge)


def clean_pieces(
    pieces: Sequence[Segment], least_length_mm: float = LEAST_LENGTH_MM, least_bulge: float = LEAST_BULGE
) -> Path:
    """As `clean`, from pieces of a closed path that each start where the last one ends (within rounding)."""
    current = split_long_arcs([piece for piece in pieces if length(piece) > 0.0])
    if sum(length(piece) for piece in current) < 8.0 * least_length_mm:
        raise ValueError("the path is too small to be cut: it is shorter than eight of the least pieces")
    for _ in range(len(current) + 1):  # every turn mends one run
        current = _joined(current)
        short = next((i for i, piece in enumerate(current) if length(piece) < least_length_mm), None)
        if short is None:
            break
        current = _mended(current, short, least_length_mm, least_bulge)
    else:
        raise ValueError("the short pieces of the path cannot be mended")
    vertices = []
    for piece in current:
        bulge = bulge_of(piece)
        vertices.append((piece.x0, piece.y0, 0.0 if abs(bulge) < least_bulge else bulge))
    return Path(tuple(vertices))


def _is_clean(path: Path, least_length_mm: float, least_bulge: float) -> bool:
    x0, y0, bulge = path.vertices[-1]
    for x1, y1, following in path.vertices:
        if abs(bulge) > 1.0 + 1e-12 or 0.0 < abs(bulge) < least_bulge:
            return False
        if math.hypot(x1 - x0, y1 - y0) < least_length_mm:
            return False
        x0, y0, bulge = x1, y1, following
    before = segments(path)
    return all(_union(before[i], before[i + 1]) is None for i in range(len(before) - 1))


def _joined(pieces: list[Segment]) -> list[Segment]:
    """Neighbours on one line or one circle made one, first vertex kept."""
    result: list[Segment] = []
    for piece in pieces:
        if result:
            both = _union(result[-1], piece)
            if both is not None:
                result[-1] = both
                continue
        result.append(piece)
    return result


def _union(first: Segment, second: Segment) -> Segment | None:
    """One piece for two in a row, where that moves nothing (1e-9 mm, and directions by 5e-10 rad); else None."""
    if isinstance(first, Line) and isinstance(second, Line):
        ux, uy = first.x1 - first.x0, first.y1 - first.y0
        vx, vy = second.x1 - second.x0, second.y1 - second.y0
        ahead = ux * vx + uy * vy
        if ahead <= 0.0 or abs(ux * vy - uy * vx) > _SAME_RAD * ahead:
            return None
        whole = Line(first.x0, first.y0, second.x1, second.y1)
        return whole if distance_to(whole, first.x1, first.y1) < _SAME_MM else None
    if isinstance(first, Arc) and isinstance(second, Arc):
        sweep = first.sweep_rad + second.sweep_rad
        if first.sweep_rad * second.sweep_rad <= 0.0 or abs(sweep) > math.pi * (1.0 + 1e-12):
            return None
        apart = math.hypot(first.cx - second.cx, first.cy - second.cy)
        if apart > _SAME_MM or abs(first.radius - second.radius) > _SAME_MM:
            return None
        # The whole is drawn by its ends and sweep: directions there must not turn.
        arc = Arc(first.x0, first.y0, second.x1, second.y1, first.cx, first.cy, first.radius, first.start_rad, sweep)
        for old, at_end in ((first, False), (second, True)):
            ux, uy = chord_tangent(old, at_end)
            vx, vy = chord_tangent(arc, at_end)
            if abs(ux * vy - uy * vx) > _SAME_RAD:
                return None
        return arc
    return None


def _mended(pieces: list[Segment], index: int, least_length_mm: float, least_bulge: float) -> list[Segment]:
    """The pieces with the run of short ones round `index` replaced."""
    count = len(pieces)
    reach = 1.2 * least_length_mm
    # The run takes in neighbours that are themselves too short to be trimmed by `reach`.
    first = last = index
    while last - first + 1 < count and length(pieces[(first - 1) % count]) < reach + least_length_mm:
        first -= 1
    while last - first + 1 < count and length(pieces[(last + 1) % count]) < reach + least_length_mm:
        last += 1
    if last - first + 1 >= count:
        raise ValueError("the path is too small to be cut: all its pieces are short")
    run = [pieces[i % count] for i in range(first, last + 1)]
    rest = [pieces[i % count] for i in range(last + 1, first + count)]
    if len(rest) == 1:  # one long piece: cut it, so that the run has two neighbours
        rest = [part(rest[0], 0.0, 0.5), part(rest[0], 0.5, 1.0)]
    after, before = rest[0], rest[-1]
    corner = _corner(before, run, after, least_length_mm)
    blend = _blend(before, run, after, reach, least_length_mm, least_bulge)
    chosen = blend
    if corner is not None:
        flat = blend is not None and all(abs(bulge_of(piece)) < least_bulge for piece in blend.between)
        if (
            blend is None
            or (corner.kink < (4.0 * least_bulge if flat else _SMOOTH_RAD) and corner.moved < STILL_MM)
            or (blend.moved > STILL_MM and corner.moved < blend.moved)
        ):
            chosen = corner
    if chosen is None:
        raise ValueError(f"a short piece near ({run[0].x0:.3f}, {run[0].y0:.3f}) cannot be mended")
    mended = [chosen.before, *chosen.between, chosen.after]
    result = [*rest[1:-1], *mended] if len(rest) > 2 else mended
    # Turn the list so that the first vertex stays first where it is still there.
    start = (pieces[0].x0, pieces[0].y0)
    nearest = min(range(len(result)), key=lambda i: math.hypot(result[i].x0 - start[0], result[i].y0 - start[1]))
    return result[nearest:] + result[:nearest]


@dataclass(frozen=True, slots=True)
class _Mend:
    """One way of mending: trimmed neighbours, what stands between, how far the curve moved (mm), the kink (rad)."""

    before: Segment
    between: tuple[Segment, ...]
    after: Segment
    moved: float
    kink: float


def _corner(before: Segment, run: list[Segment], after: Segment, least_length_mm: float) -> _Mend | None:
    """The neighbours prolonged or cut until they meet near the run; where that is far, led to the run's middle."""
    start, end = (before.x1, before.y1), (after.x0, after.y0)
    middle = (0.5 * (start[0] + end[0]), 0.5 * (start[1] + end[1]))
    near = [p for p in carrier_meetings(before, after) if math.dist(p, middle) < 20.0 * least_length_mm]
    candidates = [min(near, key=lambda p: math.dist(p, middle))] if near else []
    if math.dist(start, end) <= least_length_mm:
        candidates.append(middle)
    best: _Mend | None = None
    for point in candidates:
        mend = _meeting_in(before, run, after, point)
        if min(length(mend.before), length(mend.after)) < least_length_mm:
            continue
        if best is None or (best.moved > least_length_mm and mend.moved < best.moved):
            best = mend
    return best


def _meeting_in(before: Segment, run: list[Segment], after: Segment, point: tuple[float, float]) -> _Mend:
    """The neighbours led to one point."""
    longer_before, longer_after = _to(before, point, at_end=True), _to(after, point, at_end=False)
    kink = max(
        _angle(chord_tangent(longer_before, at_end=True), chord_tangent(longer_after, at_end=False)),
        _angle(chord_tangent(before, at_end=False), chord_tangent(longer_before, at_end=False)),
        _angle(chord_tangent(after, at_end=True), chord_tangent(longer_after, at_end=True)),
    )
    old = [before, *run, after]
    moved = max(
        _moved(old, [longer_before, longer_after]),
        min(distance_to(piece, *point) for piece in old),
    )
    return _Mend(longer_before, (), longer_after, moved, kink)


def _angle(first: tuple[float, float], second: tuple[float, float]) -> float:
    return abs(math.atan2(first[0] * second[1] - first[1] * second[0], first[0] * second[0] + first[1] * second[1]))


def _to(segment: Segment, point: tuple[float, float], at_end: bool) -> Segment:
    """The piece with one end moved along its carrier to `point` (for points off the carrier: bent to it)."""
    if isinstance(segment, Line):
        return Line(segment.x0, segment.y0, *point) if at_end else Line(*point, segment.x1, segment.y1)
    share = share_of(segment, *point)
    if at_end:
        return replace(segment, x1=point[0], y1=point[1], sweep_rad=share * segment.sweep_rad)
    return replace(
        segment,
        x0=point[0],
        y0=point[1],
        start_rad=segment.start_rad + share * segment.sweep_rad,
        sweep_rad=(1.0 - share) * segment.sweep_rad,
    )


def _blend(
    before: Segment, run: list[Segment], after: Segment, reach: float, least_length_mm: float, least_bulge: float
) -> _Mend | None:
    """A pair of arcs (one, where a pair would be too flat) from a little before the run to a little after it."""
    cut_before = 1.0 - reach / length(before)
    cut_after = reach / length(after)
    kept_before, kept_after = part(before, 0.0, cut_before), part(after, cut_after, 1.0)
    start, end = point_at(before, cut_before), point_at(after, cut_after)
    leaving, arriving = tangent_at(before, cut_before), tangent_at(after, cut_after)
    try:
        pieces: tuple[Segment, ...] = biarc(start, leaving, end, arriving)
    except ValueError:
        return None
    if min(length(piece) for piece in pieces) < least_length_mm or any(
        isinstance(piece, Arc) and abs(piece.sweep_rad) > math.pi for piece in pieces
    ):
        return None
    if any(abs(bulge_of(piece)) < least_bulge for piece in pieces):
        single = arc_from(start, leaving, end)  # one arc of twice the bulge, where it serves
        if abs(bulge_of(single)) >= least_bulge and _angle(chord_tangent(single, at_end=True), arriving) < _SMOOTH_RAD:
            pieces = (single,)
    old = [part(before, cut_before, 1.0), *run, part(after, 0.0, cut_after)]
    return _Mend(kept_before, pieces, kept_after, _moved(old, list(pieces)), 0.0)


def _moved(old: list[Segment], new: list[Segment]) -> float:
    """How far the old curve lies from the new one, from its ends and quarters."""
    worst = 0.0
    for piece in old:
        for quarter in range(5):
            point = point_at(piece, 0.25 * quarter)
            worst = max(worst, min(distance_to(other, *point) for other in new))
    return worst
