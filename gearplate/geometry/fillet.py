"""Corners of closed paths rounded by arcs that touch both neighbours exactly."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal

from gearplate.geometry.clean import clean_pieces
from gearplate.geometry.crossing import circle_meetings, self_crossing
from gearplate.geometry.path import kinks
from gearplate.geometry.segments import TAU, Arc, Line, Segment, length, part, segments, share_of, tangent_at
from gearplate.geometry.shapes import Path

SMOOTH_RAD = 1e-6
"""Joints that turn by less are taken as smooth."""

_LEAST_RADIUS_MM = 2e-3
_ROUNDING_MM = 1e-12


@dataclass(frozen=True, slots=True)
class _Round:
    """A fillet: its arc, and how much length it takes from the piece before and the piece after, mm."""

    arc: Arc
    from_before: float
    from_after: float


def fillet(path: Path, radius_mm: float, where_too_large: Literal["shrink", "raise"] = "shrink") -> Path:
    """The closed path with every corner that is not smooth rounded by `radius_mm`: line and line, line and arc, arcs.

    Two corners that want the same stretch of a piece share it half and half. A corner for which the radius does not
    fit takes the largest that does (`"shrink"`), down to 0.002 mm, below which it stays sharp; with `"raise"` a
    ValueError names the corner. Raises ValueError too for a radius that is not positive, and where rounding makes
    the path cross itself.
    """
    if not (radius_mm > 0.0 and math.isfinite(radius_mm)):
        raise ValueError(f"a fillet radius must be positive, not {radius_mm} mm")
    pieces = segments(path)
    count = len(pieces)
    turns = kinks(path)
    corners = [index for index in range(count) if abs(turns[index]) > SMOOTH_RAD]
    if not corners:
        return path
    lengths = [length(piece) for piece in pieces]
    # First every corner on its own, then those that meet on a piece are held to its middle.
    wanted = {index: _largest(pieces, index, radius_mm, lengths[index - 1], lengths[index]) for index in corners}
    room_before = {index: lengths[index - 1] for index in corners}
    room_after = {index: lengths[index] for index in corners}
    for index in corners:
        following = (index + 1) % count
        here, there = wanted[index], wanted.get(following)
        if here is None or there is None:
            continue
        if here.from_after + there.from_before > lengths[index] + _ROUNDING_MM:
            room_after[index] = room_before[following] = 0.5 * lengths[index]
    rounds = {index: _largest(pieces, index, radius_mm, room_before[index], room_after[index]) for index in corners}
    if where_too_large == "raise":
        for index in corners:
            found = rounds[index]
            if found is None or found.arc.radius < radius_mm * (1.0 - 1e-9):
                fits = "none fits" if found is None else f"{found.arc.radius:.4f} mm is the largest"
                raise ValueError(
                    f"a fillet of {radius_mm} mm does not fit the corner at "
                    f"({pieces[index].x0:.3f}, {pieces[index].y0:.3f}): {fits}"
                )
    result: list[Segment] = []
    for index, piece in enumerate(pieces):
        start, end = rounds.get(index), rounds.get((index + 1) % count)
        from_share = start.from_after / lengths[index] if start else 0.0
        to_share = 1.0 - end.from_before / lengths[index] if end else 1.0
        if start:
            result.append(start.arc)
        if (to_share - from_share) * lengths[index] > 1e-9:
            result.append(part(piece, from_share, to_share))
    rounded = clean_pieces(_starting_like(result, path))
    crossing = self_crossing(rounded)
    if crossing is not None:
        raise ValueError(f"rounded corners make the path cross itself near ({crossing[0]:.3f}, {crossing[1]:.3f})")
    return rounded


def _starting_like(pieces: list[Segment], path: Path) -> list[Segment]:
    """The pieces turned so that the path's first vertex, if it was kept, stays first."""
    x, y, _ = path.vertices[0]
    first = min(range(len(pieces)), key=lambda i: math.hypot(pieces[i].x0 - x, pieces[i].y0 - y))
    return pieces[first:] + pieces[:first]


def _largest(pieces: list[Segment], index: int, radius: float, room_before: float, room_after: float) -> _Round | None:
    """The fillet of the corner at the start of piece `index` with the largest radius up to `radius` in that room."""
    before, after = pieces[index - 1], pieces[index]

    def fits(value: float) -> _Round | None:
        found = _round(before, after, value)
        if (
            found is None
            or found.from_before > room_before + _ROUNDING_MM
            or found.from_after > room_after + _ROUNDING_MM
        ):
            return None
        return found

    whole = fits(radius)
    if whole is not None:
        return whole
    low, high = 0.0, radius
    best: _Round | None = None
    for _ in range(60):
        middle = 0.5 * (low + high)
        if middle < _LEAST_RADIUS_MM:
            break
        found = fits(middle)
        if found is None:
            high = middle
        else:
            low, best = middle, found
    return best


def _round(before: Segment, after: Segment, radius: float) -> _Round | None:
    """The arc of a radius that touches two pieces near their common corner, or None where there is none."""
    out, onward = tangent_at(before, 1.0), tangent_at(after, 0.0)
    turn = 1.0 if out[0] * onward[1] - out[1] * onward[0] > 0.0 else -1.0  # +1: the corner turns left
    best: _Round | None = None
    for cx, cy in _centres(before, after, turn * radius):
        on_before, on_after = _touch(before, cx, cy), _touch(after, cx, cy)
        if on_before is None or on_after is None:
            continue
        share_before, share_after = share_of(before, *on_before), share_of(after, *on_after)
        if not (-1e-9 <= share_before <= 1.0 and 0.0 <= share_after <= 1.0 + 1e-9):
            continue
        start = math.atan2(on_before[1] - cy, on_before[0] - cx)
        sweep = (turn * (math.atan2(on_after[1] - cy, on_after[0] - cx) - start)) % TAU
        if sweep >= math.pi + 1e-9:
            continue
        found = _Round(
            Arc(*on_before, *on_after, cx, cy, radius, start, turn * sweep),
            (1.0 - share_before) * length(before),
            share_after * length(after),
        )
        if best is None or found.from_before + found.from_after < best.from_before + best.from_after:
            best = found
    return best


def _centres(before: Segment, after: Segment, left: float) -> list[tuple[float, float]]:
    """Points that lie `left` mm to the left of both carriers."""
    if isinstance(before, Line) and isinstance(after, Line):
        ax, ay = tangent_at(before, 0.0)
        bx, by = tangent_at(after, 0.0)
        cross = ax * by - ay * bx
        # From the corner: the sum of both directions, so scaled that it lies `left` off both lines.
        return [(after.x0 + left * (bx - ax) / cross, after.y0 + left * (by - ay) / cross)]
    if isinstance(before, Arc) and isinstance(after, Arc):
        first, second = _shrunk(before, left), _shrunk(after, left)
        if first <= 0.0 or second <= 0.0:
            return []
        return circle_meetings(before.cx, before.cy, first, after.cx, after.cy, second)
    line, arc = (before, after) if isinstance(before, Line) else (after, before)
    assert isinstance(arc, Arc)
    radius = _shrunk(arc, left)
    if radius <= 0.0:
        return []
    dx, dy = tangent_at(line, 0.0)
    px, py = line.x0 - left * dy - arc.cx, line.y0 + left * dx - arc.cy
    away = dx * py - dy * px
    square = (radius - away) * (radius + away)
    if square < 0.0:
        return []
    reach = math.sqrt(square)
    foot = (arc.cx - away * dy, arc.cy + away * dx)
    return [(foot[0] + s * reach * dx, foot[1] + s * reach * dy) for s in (-1.0, 1.0)]


def _shrunk(arc: Arc, left: float) -> float:
    """Radius of the circle `left` mm to the left of an arc in its direction of travel."""
    return arc.radius - left if arc.sweep_rad > 0.0 else arc.radius + left


def _touch(segment: Segment, cx: float, cy: float) -> tuple[float, float] | None:
    """Where a circle about (cx, cy) touches the segment's carrier."""
    if isinstance(segment, Line):
        dx, dy = tangent_at(segment, 0.0)
        along = (cx - segment.x0) * dx + (cy - segment.y0) * dy
        return segment.x0 + along * dx, segment.y0 + along * dy
    dx, dy = cx - segment.cx, cy - segment.cy
    away = math.hypot(dx, dy)
    if away == 0.0:
        return None
    return segment.cx + segment.radius * dx / away, segment.cy + segment.radius * dy / away
