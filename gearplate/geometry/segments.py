"""One straight or round piece of a path: its carrier (line, circle), ends, tangents, and how far things lie from it."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass

from gearplate.geometry.shapes import Path

STRAIGHT_BULGE = 1e-8
"""Below this bulge a piece is taken as straight: its circle would be so large that rounding outweighs the sagitta."""

TAU = 2.0 * math.pi


@dataclass(frozen=True, slots=True)
class Line:
    """A straight piece from (x0, y0) to (x1, y1), mm."""

    x0: float
    y0: float
    x1: float
    y1: float


@dataclass(frozen=True, slots=True)
class Arc:
    """A round piece, mm and radians. `sweep_rad` is signed: positive turns counter-clockwise.

    The ends are kept beside centre and angles, so that neighbours share their points to the last bit.
    """

    x0: float
    y0: float
    x1: float
    y1: float
    cx: float
    cy: float
    radius: float
    start_rad: float
    sweep_rad: float


Segment = Line | Arc


def segment_between(x0: float, y0: float, bulge: float, x1: float, y1: float) -> Segment:
    """The piece from (x0, y0) to (x1, y1) whose bulge is the tangent of a quarter of the included angle."""
    if abs(bulge) < STRAIGHT_BULGE:
        return Line(x0, y0, x1, y1)
    dx, dy = x1 - x0, y1 - y0
    lift = (1.0 - bulge * bulge) / (4.0 * bulge)
    cx = 0.5 * (x0 + x1) - dy * lift
    cy = 0.5 * (y0 + y1) + dx * lift
    radius = math.hypot(dx, dy) * (1.0 + bulge * bulge) / (4.0 * abs(bulge))
    return Arc(x0, y0, x1, y1, cx, cy, radius, math.atan2(y0 - cy, x0 - cx), 4.0 * math.atan(bulge))


def arc_about(cx: float, cy: float, radius: float, start_rad: float, sweep_rad: float) -> Arc:
    """The arc about (cx, cy) from `start_rad` through `sweep_rad`."""
    end = start_rad + sweep_rad
    return Arc(
        cx + radius * math.cos(start_rad),
        cy + radius * math.sin(start_rad),
        cx + radius * math.cos(end),
        cy + radius * math.sin(end),
        cx,
        cy,
        radius,
        start_rad,
        sweep_rad,
    )


def arc_from(start: tuple[float, float], tangent: tuple[float, float], end: tuple[float, float]) -> Segment:
    """The piece from `start` to `end` that leaves `start` along `tangent` (a straight one where they line up)."""
    dx, dy = end[0] - start[0], end[1] - start[1]
    half = math.atan2(tangent[0] * dy - tangent[1] * dx, tangent[0] * dx + tangent[1] * dy)
    return segment_between(start[0], start[1], math.tan(0.5 * half), end[0], end[1])


def segments(path: Path) -> list[Segment]:
    """The pieces of a closed path in their order."""
    vertices = path.vertices
    result: list[Segment] = []
    x0, y0, bulge = vertices[-1]
    for x1, y1, following in vertices:
        result.append(segment_between(x0, y0, bulge, x1, y1))
        x0, y0, bulge = x1, y1, following
    result.append(result.pop(0))
    return result


def bulge_of(segment: Segment) -> float:
    """The bulge with which a path's vertex draws this piece."""
    return 0.0 if isinstance(segment, Line) else math.tan(0.25 * segment.sweep_rad)


def path_of(pieces: Iterable[Segment]) -> Path:
    """The closed path that draws these pieces one after the other; each must start where the last one ended."""
    return Path(tuple((piece.x0, piece.y0, bulge_of(piece)) for piece in pieces))


def length(segment: Segment) -> float:
    """Length along the piece, mm."""
    if isinstance(segment, Line):
        return math.hypot(segment.x1 - segment.x0, segment.y1 - segment.y0)
    return segment.radius * abs(segment.sweep_rad)


def point_at(segment: Segment, share: float) -> tuple[float, float]:
    """The point at a share 0..1 of the piece's length."""
    if isinstance(segment, Line):
        return (
            segment.x0 + share * (segment.x1 - segment.x0),
            segment.y0 + share * (segment.y1 - segment.y0),
        )
    angle = segment.start_rad + share * segment.sweep_rad
    return (
        segment.cx + segment.radius * math.cos(angle),
        segment.cy + segment.radius * math.sin(angle),
    )


def tangent_at(segment: Segment, share: float) -> tuple[float, float]:
    """The unit direction of travel at a share 0..1 of the piece's length; (0, 0) for a piece without length."""
    if isinstance(segment, Line):
        dx, dy = segment.x1 - segment.x0, segment.y1 - segment.y0
        size = math.hypot(dx, dy)
        return (dx / size, dy / size) if size > 0.0 else (0.0, 0.0)
    angle = segment.start_rad + share * segment.sweep_rad
    turn = 1.0 if segment.sweep_rad > 0.0 else -1.0
    return -turn * math.sin(angle), turn * math.cos(angle)


def chord_tangent(segment: Segment, at_end: bool) -> tuple[float, float]:
    """The direction of travel at an end, from the chord and the bulge: what a reader of the file will see."""
    dx, dy = segment.x1 - segment.x0, segment.y1 - segment.y0
    if isinstance(segment, Line):
        size = math.hypot(dx, dy)
        return (dx / size, dy / size) if size > 0.0 else (0.0, 0.0)
    half = 0.5 * segment.sweep_rad if at_end else -0.5 * segment.sweep_rad
    angle = math.atan2(dy, dx) + half
    return math.cos(angle), math.sin(angle)


def backwards(segment: Segment) -> Segment:
    """The same piece, travelled the other way."""
    if isinstance(segment, Line):
        return Line(segment.x1, segment.y1, segment.x0, segment.y0)
    return Arc(
        segment.x1,
        segment.y1,
        segment.x0,
        segment.y0,
        segment.cx,
        segment.cy,
        segment.radius,
        segment.start_rad + segment.sweep_rad,
        -segment.sweep_rad,
    )


def part(segment: Segment, from_share: float, to_share: float) -> Segment:
    """The stretch between two shares of the length; ends that are not cut keep their exact points."""
    start = (segment.x0, segment.y0) if from_share == 0.0 else point_at(segment, from_share)
    end = (segment.x1, segment.y1) if to_share == 1.0 else point_at(segment, to_share)
    if isinstance(segment, Line):
        return Line(*start, *end)
    return Arc(
        *start,
        *end,
        segment.cx,
        segment.cy,
        segment.radius,
        segment.start_rad + from_share * segment.sweep_rad,
        (to_share - from_share) * segment.sweep_rad,
    )


def share_of(segment: Segment, x: float, y: float) -> float:
    """Where along the piece the point of its carrier next to (x, y) lies, as a share of the length.

    Beyond the ends the share runs under 0 and over 1; for an arc it is wrapped so that the smaller overshoot holds.
    """
    if isinstance(segment, Line):
        dx, dy = segment.x1 - segment.x0, segment.y1 - segment.y0
        square = dx * dx + dy * dy
        return ((x - segment.x0) * dx + (y - segment.y0) * dy) / square if square > 0.0 else 0.0
    turned = math.atan2(y - segment.cy, x - segment.cx) - segment.start_rad
    if segment.sweep_rad < 0.0:
        turned = -turned
    sweep = abs(segment.sweep_rad)
    turned %= TAU
    if turned > sweep and TAU - turned < turned - sweep:
        turned -= TAU
    return turned / sweep if sweep > 0.0 else 0.0


def segment_bbox(segment: Segment) -> tuple[float, float, float, float]:
    """(least x, least y, greatest x, greatest y), exact for arcs."""
    x_low, x_high = (segment.x0, segment.x1) if segment.x0 < segment.x1 else (segment.x1, segment.x0)
    y_low, y_high = (segment.y0, segment.y1) if segment.y0 < segment.y1 else (segment.y1, segment.y0)
    if isinstance(segment, Arc):
        first, last = segment.start_rad, segment.start_rad + segment.sweep_rad
        if first > last:
            first, last = last, first
        quarter = 0.5 * math.pi
        for index in range(math.ceil(first / quarter), math.floor(last / quarter) + 1):
            side = index % 4
            if side == 0:
                x_high = max(x_high, segment.cx + segment.radius)
            elif side == 1:
                y_high = max(y_high, segment.cy + segment.radius)
            elif side == 2:
                x_low = min(x_low, segment.cx - segment.radius)
            else:
                y_low = min(y_low, segment.cy - segment.radius)
    return x_low, y_low, x_high, y_high


def on_arc(arc: Arc, dx: float, dy: float, slack_rad: float = 0.0) -> bool:
    """Whether the direction (dx, dy) from the arc's centre falls within its sweep (ends included)."""
    turned = math.atan2(dy, dx) - arc.start_rad
    if arc.sweep_rad < 0.0:
        turned = -turned
    turned %= TAU
    return turned <= abs(arc.sweep_rad) + slack_rad or turned >= TAU - slack_rad


def nearest_on(segment: Segment, x: float, y: float) -> tuple[float, float]:
    """The point of the piece that lies nearest to (x, y)."""
    if isinstance(segment, Line):
        share = min(1.0, max(0.0, share_of(segment, x, y)))
        return point_at(segment, share)
    dx, dy = x - segment.cx, y - segment.cy
    away = math.hypot(dx, dy)
    if away > 0.0 and on_arc(segment, dx, dy):
        scale = segment.radius / away
        return segment.cx + dx * scale, segment.cy + dy * scale
    to_start = math.hypot(x - segment.x0, y - segment.y0)
    to_end = math.hypot(x - segment.x1, y - segment.y1)
    return (segment.x0, segment.y0) if to_start <= to_end else (segment.x1, segment.y1)


def distance_to(segment: Segment, x: float, y: float) -> float:
    """Distance from (x, y) to the piece, mm."""
    if isinstance(segment, Arc):
        dx, dy = x - segment.cx, y - segment.cy
        if on_arc(segment, dx, dy):
            return abs(math.hypot(dx, dy) - segment.radius)
        return min(
            math.hypot(x - segment.x0, y - segment.y0),
            math.hypot(x - segment.x1, y - segment.y1),
        )
    near = nearest_on(segment, x, y)
    return math.hypot(x - near[0], y - near[1])
