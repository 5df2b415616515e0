"""The exact parallel of a closed path at a distance: lines shift, arcs change their radius."""

from __future__ import annotations

import math

from gearplate.geometry.parallel import Chain, Point, check_same_turn, joined_chains
from gearplate.geometry.path import is_ccw
from gearplate.geometry.segments import Arc, Line, Segment, arc_about, segments
from gearplate.geometry.shapes import Path

_GONE_MM = 1e-9


def offset(path: Path, distance_mm: float) -> Path:
    """The closed path at `distance_mm` from a simple closed one: outside it where positive, inside where negative.

    Smooth outlines keep their number of pieces. Corners that open are rounded by an arc about the corner, those that
    close are cut where the shifted pieces meet; an arc that shrinks to exactly nothing leaves a corner. The path keeps
    its orientation and (where it survives) its first vertex. Raises ValueError where the parallel curve does not
    exist as one simple path: an arc tighter than the distance on its hollow side, a side used up between its
    corners, a slot or neck narrower than twice the distance.
    """
    if not math.isfinite(distance_mm):
        raise ValueError(f"a path cannot be shifted by {distance_mm} mm")
    if distance_mm == 0.0:
        return path
    # Outside lies to the right of a counter-clockwise path.
    shift = distance_mm if is_ccw(path) else -distance_mm
    side = 1.0 if shift > 0.0 else -1.0
    pieces = segments(path)
    chains = [shifted(piece, shift) for piece in pieces]

    def join(corner: Point, out: Point, onward: Point) -> Chain:
        turn = math.atan2(out[0] * onward[1] - out[1] * onward[0], out[0] * onward[0] + out[1] * onward[1])
        if side * turn < 0.0:  # exactly turned back: go round the outside
            turn = -turn
        start = math.atan2(-side * out[0], side * out[1])
        return [arc_about(corner[0], corner[1], abs(shift), start, turn)]

    return check_same_turn(joined_chains(pieces, chains, side, join, abs(shift)), path)


def shifted(piece: Segment, shift: float) -> Chain:
    """The piece moved to its right by `shift` (to its left where negative); empty where an arc shrank to a point.

    Raises ValueError where one would shrink to less.
    """
    if isinstance(piece, Line):
        dx, dy = piece.x1 - piece.x0, piece.y1 - piece.y0
        size = math.hypot(dx, dy)
        nx, ny = shift * dy / size, -shift * dx / size
        return [Line(piece.x0 + nx, piece.y0 + ny, piece.x1 + nx, piece.y1 + ny)]
    radius = piece.radius + (shift if piece.sweep_rad > 0.0 else -shift)
    if radius < -_GONE_MM:
        raise ValueError(
            f"the arc of radius {piece.radius:.4f} mm about ({piece.cx:.3f}, {piece.cy:.3f}) is tighter than the "
            f"shift of {abs(shift):.4f} mm: nothing would be left of it"
        )
    if radius <= _GONE_MM:
        return []
    scale = radius / piece.radius
    return [
        Arc(
            piece.cx + scale * (piece.x0 - piece.cx),
            piece.cy + scale * (piece.y0 - piece.cy),
            piece.cx + scale * (piece.x1 - piece.cx),
            piece.cy + scale * (piece.y1 - piece.cy),
            piece.cx,
            piece.cy,
            radius,
            piece.start_rad,
            piece.sweep_rad,
        )
    ]
