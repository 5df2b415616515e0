"""The outline of discs with concave waists: exact arcs of the discs, joined by fillet arcs that touch two discs each.

It is the boundary of the morphological closing of the discs by a disc of the fillet radius f, with cavities filled:
grow every disc by f, walk the outer boundary of the union (arcs about the discs' centres, corners where two grown
circles meet), shrink back by f: the arcs return to the discs, each corner becomes a fillet arc about itself. A point
of a disc's arc is never nearer than f to the outside of the grown union, so only fillet arcs can cross each other;
where two do, the closing is in several parts.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from gearplate.geometry.clean import LEAST_LENGTH_MM, clean_pieces
from gearplate.geometry.crossing import circle_meetings
from gearplate.geometry.crowds import contains_points
from gearplate.geometry.discs import Disc, checked_discs, hull_of_discs
from gearplate.geometry.segments import TAU, Arc, Segment, on_arc
from gearplate.geometry.shapes import Path
from gearplate.geometry.waist_shapes import RowOfDiscs, drawn_along

GREATEST_FILLET_MM = 1e6
_TIE_RAD = 1e-9
_NEAR = 1e-5  # mm or radians: far more than rounding, far less than any step that matters

Floats = NDArray[np.float64]
Indices = NDArray[np.intp]


@dataclass(frozen=True, slots=True)
class WaistedOutline:
    """An outline with waists and the fillet radius with which it was drawn, mm (infinite: the convex hull)."""

    path: Path
    fillet_radius_mm: float


def waisted_outline(
    discs: Sequence[Disc], fillet_radius_mm: float, least_neck_mm: float = 0.0, rows: Sequence[RowOfDiscs] = ()
) -> WaistedOutline:
    """One closed counter-clockwise outline round discs (x, y, radius) in mm, its hollows rounded with a fillet radius.

    Where the discs do not hang together with that radius, or a neck between two opposite fillets would be narrower
    than `least_neck_mm` (never under 0.001 mm), the radius is grown to the least that serves (found to 1 %); past
    1e6 mm the convex hull is given. Cavities are filled. `rows`: contours that some of the discs stand for, which the
    outline follows. Pieces under 0.001 mm are mended (see `clean`). Raises ValueError for no disc, a disc without a
    positive radius or a fillet radius that is not positive.
    """
    if not (fillet_radius_mm > 0.0 and math.isfinite(fillet_radius_mm)):
        raise ValueError(f"a fillet radius must be positive, not {fillet_radius_mm} mm")
    kept = checked_discs(discs)
    if len(kept) == 1:
        return WaistedOutline(hull_of_discs(kept), fillet_radius_mm)
    pieces = _closed_outline(kept, fillet_radius_mm, least_neck_mm, rows)
    radius = fillet_radius_mm
    if pieces is None:
        failed = fillet_radius_mm
        while pieces is None:
            radius = 2.0 * failed
            if radius > GREATEST_FILLET_MM:
                return WaistedOutline(hull_of_discs(kept), math.inf)
            pieces = _closed_outline(kept, radius, least_neck_mm, rows)
            if pieces is None:
                failed = radius
        while radius > 1.01 * failed:
            between = math.sqrt(radius * failed)
            smaller = _closed_outline(kept, between, least_neck_mm, rows)
            if smaller is None:
                failed = between
            else:
                radius, pieces = between, smaller
    return WaistedOutline(clean_pieces(pieces), radius)


def _closed_outline(
    discs: list[Disc], fillet: float, least_neck: float, rows: Sequence[RowOfDiscs]
) -> list[Segment] | None:
    """The pieces of the outline, or None where the closing is in several parts or a neck is too narrow."""
    corners = _outer_corners(discs, fillet)
    if not corners:
        return None
    pieces: list[Segment] = []
    fillets: list[Arc] = []
    for index, (disc, following, vx, vy) in enumerate(corners):
        _, _, ux, uy = corners[index - 1]
        x, y, radius = discs[disc]
        start = math.atan2(uy - y, ux - x)
        sweep = (math.atan2(vy - y, vx - x) - start) % TAU
        if sweep > TAU - _TIE_RAD:  # three grown circles through one point
            sweep = 0.0
        from_x, from_y = _toward(x, y, ux, uy, radius)
        to_x, to_y = _toward(x, y, vx, vy, radius)
        if sweep > 0.0:
            pieces.append(Arc(from_x, from_y, to_x, to_y, x, y, radius, start, sweep))
        next_x, next_y, next_radius = discs[following]
        on_next_x, on_next_y = _toward(next_x, next_y, vx, vy, next_radius)
        start = math.atan2(y - vy, x - vx)
        turned = (start - math.atan2(next_y - vy, next_x - vx)) % TAU
        arc = Arc(to_x, to_y, on_next_x, on_next_y, vx, vy, fillet, start, -turned)
        pieces.append(arc)
        fillets.append(arc)
    if _necks_too_narrow(fillets, fillet, least_neck):
        return None
    rest = set(range(len(discs))) - {corner[0] for corner in corners}
    if rest:
        chords = Path(tuple((p.x0, p.y0, math.tan(0.25 * p.sweep_rad)) for p in pieces if isinstance(p, Arc)))
        if not contains_points(chords, np.array([discs[index][:2] for index in sorted(rest)])).all():
            return None
    outer = [discs[disc] for disc, _, _, _ in corners]
    return (drawn_along(outer, fillet, rows) if rows else None) or pieces


def _toward(x: float, y: float, to_x: float, to_y: float, reach: float) -> tuple[float, float]:
    """The point at `reach` from (x, y) toward (to_x, to_y)."""
    dx, dy = to_x - x, to_y - y
    scale = reach / math.hypot(dx, dy)
    return x + scale * dx, y + scale * dy


def _outer_corners(discs: list[Disc], grown: float) -> list[tuple[int, int, float, float]]:
    """Corners of the outer boundary of the grown discs, counter-clockwise: (disc, next disc, x, y).

    Empty where the walk finds none, which is so where a grown disc stands alone.
    """
    rows = np.array(discs)
    entered: dict[int, tuple[Indices, Floats]] = {}
    here = max(range(len(discs)), key=lambda i: discs[i][0] + discs[i][2])
    angle, previous = 0.0, -1
    corners: list[tuple[int, int, float, float]] = []
    seen: dict[tuple[int, int], int] = {}
    while True:
        if here not in entered:
            entered[here] = _entered(rows, here, grown)
        best = _next_corner(discs, here, previous, angle, grown, *entered[here])
        if best is None:
            return []
        other, vx, vy = best
        key = (here, other)
        if key in seen:
            return corners[seen[key] :]
        seen[key] = len(corners)
        corners.append((here, other, vx, vy))
        previous, here = here, other
        angle = math.atan2(vy - discs[here][1], vx - discs[here][0])


def _entered(rows: Floats, index: int, grown: float) -> tuple[Indices, Floats]:
    """Which others the grown circle `index`, travelled counter-clockwise, may enter, and about at which angle. Only
    sorts out: with a thousand discs the exact points of all would take seconds."""
    dx, dy = rows[:, 0] - rows[index, 0], rows[:, 1] - rows[index, 1]
    apart = np.hypot(dx, dy)
    radius, others = rows[index, 2] + grown, rows[:, 2] + grown
    near = (apart > 0.0) & (apart <= radius + others + _NEAR) & (apart >= np.abs(radius - others) - _NEAR)
    indices = np.flatnonzero(near)
    dx, dy, apart, others = dx[indices], dy[indices], apart[indices], others[indices]
    along = 0.5 * (apart + (radius - others) * (radius + others) / apart)
    height = np.sqrt(np.maximum(radius * radius - along * along, 0.0))
    return indices, np.arctan2(along * dy - height * dx, along * dx + height * dy)


def _next_corner(
    discs: list[Disc], here: int, previous: int, angle: float, grown: float, others: Indices, angles: Floats
) -> tuple[int, float, float] | None:
    """Where a walk on the grown circle `here`, from an angle on, first enters another: (other, x, y)."""
    steps = (angles - angle) % TAU
    steps[steps > TAU - _NEAR] -= TAU  # a hair back counts as here, not as once round
    order = np.argsort(steps, kind="stable")
    for first in order:
        if _exact_entry(discs, here, int(others[first]), previous, angle, grown) is None:
            continue
        best: tuple[int, float, float] | None = None
        best_step, best_turn = math.inf, 0.0
        for other in others[np.flatnonzero(steps <= steps[first] + _NEAR)].tolist():
            entry = _exact_entry(discs, here, other, previous, angle, grown)
            if entry is None or entry[0] > best_step + _TIE_RAD:
                continue
            # Of several circles through one point the outermost is the one that turns off most to the right.
            step, turn, vx, vy = entry
            if step < best_step - _TIE_RAD or turn > best_turn:
                best, best_step, best_turn = (other, vx, vy), step, turn
        return best
    return None


def _exact_entry(
    discs: list[Disc], here: int, other: int, previous: int, angle: float, grown: float
) -> tuple[float, float, float, float] | None:
    """(step from the angle, turn to the right, x, y) where the grown circle `here` enters another, or None."""
    x, y, radius = discs[here]
    other_x, other_y, other_radius = discs[other]
    points = circle_meetings(x, y, radius + grown, other_x, other_y, other_radius + grown)
    if len(points) < 2:
        return None
    vx, vy = points[0]  # right of the way to the other's centre
    at = math.atan2(vy - y, vx - x)
    step = at - angle
    step -= TAU * math.floor((step + _TIE_RAD) / TAU)
    if other == previous and step < 2.0 * _TIE_RAD:
        return None  # circles that only touch: not back where we came from
    return step, (at - math.atan2(vy - other_y, vx - other_x)) % TAU, vx, vy


def _necks_too_narrow(fillets: list[Arc], radius: float, least_neck: float) -> bool:
    """Whether two fillet arcs cross, or face each other with less than `least_neck` between them."""
    near = 2.0 * radius + max(LEAST_LENGTH_MM, least_neck)
    for index, first in enumerate(fillets):
        for second in fillets[index + 1 :]:
            dx, dy = second.cx - first.cx, second.cy - first.cy
            if dx * dx + dy * dy >= near * near:
                continue
            if on_arc(first, dx, dy) and on_arc(second, -dx, -dy):
                return True
            for x, y in circle_meetings(first.cx, first.cy, radius, second.cx, second.cy, radius):
                if on_arc(first, x - first.cx, y - first.cy) and on_arc(second, x - second.cx, y - second.cy):
                    return True
    return False
