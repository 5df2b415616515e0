"""The convex outline of discs: exact tangent arcs and lines, walked on the support function.

The support function of a disc with centre c and radius r is h(t) = c . (cos t, sin t) + r; that of a set of discs is
the greatest of theirs, and the disc that gives it at t is the one whose arc the outline follows where its normal
points along t. Disc j takes over from disc i where D cos(t - phi) = r_i - r_j, with D and phi the distance and
direction from i to j; between the two arcs stands the line that touches both.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

from gearplate.errors import ToolBug
from gearplate.geometry.clean import clean_pieces
from gearplate.geometry.segments import TAU, Line, Segment, arc_about
from gearplate.geometry.shapes import Path

Disc = tuple[float, float, float]
"""(x, y, radius), mm."""

COVERED_MM = 1e-7
"""A disc that stands out of another by less than this is taken as covered by it."""

FEW_DISCS = 80
"""From here on arrays are faster."""

_TIE_RAD = 1e-10


def checked_discs(discs: Sequence[Disc]) -> list[Disc]:
    """The discs that are not covered by one other disc, largest first; duplicates once.

    Raises ValueError where there is no disc, or one without a positive radius or with a coordinate that is no number.
    """
    if not discs:
        raise ValueError("an outline needs at least one disc")
    for x, y, radius in discs:
        if not (radius > 0.0 and math.isfinite(radius) and math.isfinite(x) and math.isfinite(y)):
            raise ValueError(f"a disc needs finite coordinates and a positive radius, not ({x}, {y}, {radius})")
    in_order = sorted(discs, key=lambda disc: -disc[2])
    if len(in_order) > FEW_DISCS:
        from gearplate.geometry.crowds import uncovered

        return uncovered(in_order, COVERED_MM)
    kept: list[Disc] = []
    for x, y, radius in in_order:
        for other_x, other_y, other_radius in kept:
            inner = other_radius - radius + COVERED_MM
            dx, dy = x - other_x, y - other_y
            if dx * dx + dy * dy <= inner * inner:
                break
        else:
            kept.append((x, y, radius))
    return kept


def hull_of_discs(discs: Sequence[Disc]) -> Path:
    """The convex hull of discs (x, y, radius) in mm as a counter-clockwise path of tangent arcs and lines.

    Contained, equal, collinear and repeated discs are welcome. Discs that stand out of one other disc by less than
    1e-7 mm count as covered; pieces under 0.001 mm are mended (see `clean`). Raises ValueError for no disc or a disc
    without a positive radius.
    """
    kept = checked_discs(discs)
    pieces: list[Segment] = []
    turns = _takeovers(kept)
    if not turns:
        x, y, radius = kept[0]
        return Path(((x + radius, y, 1.0), (x - radius, y, 1.0)))
    for index, (disc, start) in enumerate(turns):
        following, end = turns[(index + 1) % len(turns)]
        x, y, radius = kept[disc]
        arc = arc_about(x, y, radius, start, (end - start) % TAU)
        next_x, next_y, next_radius = kept[following]
        pieces.append(arc)
        pieces.append(Line(arc.x1, arc.y1, next_x + next_radius * math.cos(end), next_y + next_radius * math.sin(end)))
    return clean_pieces(pieces)


def _takeovers(discs: list[Disc]) -> list[tuple[int, float]]:
    """(disc, angle from which it gives the support function) once round; empty where one disc gives all of it."""
    if len(discs) == 1:
        return []
    count = len(discs)
    here = max(range(count), key=lambda i: discs[i][0] + discs[i][2])
    angle, turned = 0.0, 0.0
    turns: list[tuple[int, float]] = []
    for _ in range(8 * count * count + 8):
        x, y, radius = discs[here]
        best, best_step, best_ahead = -1, math.inf, 0.0
        for other in range(count):
            if other == here:
                continue
            other_x, other_y, other_radius = discs[other]
            dx, dy = other_x - x, other_y - y
            ratio = (radius - other_radius) / math.hypot(dx, dy)
            if ratio >= 1.0 or ratio <= -1.0:
                continue
            step = math.atan2(dy, dx) - math.acos(ratio) - angle
            step -= TAU * math.floor((step + 1e-9) / TAU)  # a hair back counts as here, not as once round
            if step < best_step + _TIE_RAD:
                ahead = dy * math.cos(angle + step) - dx * math.sin(angle + step)
                if step < best_step - _TIE_RAD or ahead > best_ahead:  # on one common tangent: the farthest
                    best, best_step, best_ahead = other, step, ahead
        if best < 0:
            return []
        angle += max(0.0, best_step)
        turned += max(0.0, best_step)
        if turns and best == turns[0][0] and turned >= TAU - 1e-6:
            return turns
        if not turns:
            turned = 0.0
        turns.append((best, angle))
        here = best
    raise ToolBug(f"the walk round the discs {discs} does not close")


def hull_area(discs: Sequence[Disc]) -> float:
    """Area of the convex hull of discs, mm2, exact (to rounding); errors as `hull_of_discs`."""
    kept = checked_discs(discs)
    turns = _takeovers(kept)
    if not turns:
        return math.pi * kept[0][2] ** 2
    total = 0.0
    for index, (disc, start) in enumerate(turns):
        following, end = turns[(index + 1) % len(turns)]
        x, y, radius = kept[disc]
        next_x, next_y, _ = kept[following]
        # 1/2 integral of h (h + h'') over the arc, where h + h'' = r; then 1/2 h times the line's length.
        sweep = (end - start) % TAU
        swing = x * (math.sin(end) - math.sin(start)) - y * (math.cos(end) - math.cos(start))
        total += 0.5 * radius * (swing + radius * sweep)
        height = x * math.cos(end) + y * math.sin(end) + radius
        total += 0.5 * height * ((next_y - y) * math.cos(end) - (next_x - x) * math.sin(end))
    return total
