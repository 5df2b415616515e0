"""Where a bearing's rings end along z."""

from __future__ import annotations

from gearplate.layout.design import Stack
from gearplate.layout.spec import BearingSeat, Side

SHIM_MM = 1.0  # under a ring or collar that is wider than the inner ring; common practice, no source


def bearing_z_mm(stack: Stack, side: Side, seat: BearingSeat) -> tuple[float, float]:
    """z0, z1 of a bearing's full width: its flange lies on the face from which it is pressed."""
    outer, gap = (stack.outboard[1], stack.outboard[0]) if side is Side.OUTBOARD else stack.inboard
    entry = gap if seat.pressed_from_gap else outer
    far = outer if seat.pressed_from_gap else gap
    into = 1.0 if far > entry else -1.0
    flange = seat.bearing.flange.thickness_mm if seat.bearing.flange is not None else 0.0
    ends = (entry - into * flange, entry + into * seat.bearing.seat_width_mm)
    return min(ends), max(ends)
