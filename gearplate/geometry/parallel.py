"""Parallel curves put together: the shifted pieces of a closed path joined at its corners, and the result proved.

Every piece of the path gives a chain of shifted pieces (one for a round beam, several where arcs are fitted). Where
the path is smooth the chains meet by themselves. At a corner they either leave a gap, closed by the curve that the
beam's edge draws while it turns about the corner, or overlap and are cut where they meet.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import replace

from gearplate.geometry.clean import clean_pieces
from gearplate.geometry.crossing import meetings, self_crossing
from gearplate.geometry.nearest import path_distance
from gearplate.geometry.path import signed_area
from gearplate.geometry.segments import Segment, length, part, path_of, share_of, tangent_at
from gearplate.geometry.shapes import Path

Point = tuple[float, float]
Chain = list[Segment]
Join = Callable[[Point, Point, Point], Chain]
"""(corner, direction of travel before, direction after) -> the pieces that close the gap at an opening corner."""

MEET_MM = 1e-9


def joined_chains(
    pieces: Sequence[Segment], chains: Sequence[Chain], side: float, join: Join, least_reach_mm: float
) -> Path:
    """The closed path from the chains of a closed path's pieces.

    `side` is +1 where the chains lie to the right of the direction of travel, -1 to the left. A chain may be empty
    (an arc that shrank to its centre). `least_reach_mm` is how near the result may come to the path: where chains had
    to be cut at corners this is proved, for smooth paths it follows from the result being simple. Raises ValueError,
    saying where, if a piece is used up between its corners or the result crosses itself.
    """
    kept = [(piece, list(chain)) for piece, chain in zip(pieces, chains, strict=True) if chain]
    if not kept:
        raise ValueError("nothing is left of the path")
    count = len(kept)
    joins: list[Chain] = [[] for _ in range(count)]
    was_cut = False
    for index in range(count):
        before_piece, before = kept[index]
        after_piece, after = kept[(index + 1) % count]
        end, start = (before[-1].x1, before[-1].y1), (after[0].x0, after[0].y0)
        if math.dist(end, start) < MEET_MM:
            continue
        corner = (after_piece.x0, after_piece.y0)
        out, onward = tangent_at(before_piece, 1.0), tangent_at(after_piece, 0.0)
        if side * (out[0] * onward[1] - out[1] * onward[0]) > 0.0 or _turned_back(out, onward):
            joins[index] = join(corner, out, onward)
        else:
            _cut_where_they_meet(before, after, corner)
            was_cut = True
    loop: list[Segment] = []
    for index in range(count):
        loop.extend(kept[index][1])
        loop.extend(joins[index])
    path = clean_pieces(loop)
    crossing = self_crossing(path)
    if crossing is not None:
        raise ValueError(
            f"the shifted path crosses itself near ({crossing[0]:.3f}, {crossing[1]:.3f}): "
            "the shape is too narrow there for the shift"
        )
    if was_cut and path_distance(path, path_of(pieces)) < least_reach_mm - 1e-6:
        raise ValueError("the shape is too narrow between its corners for the shift")
    return path


def _turned_back(out: Point, onward: Point) -> bool:
    return out[0] * onward[0] + out[1] * onward[1] < -1.0 + 1e-12


def _cut_where_they_meet(before: Chain, after: Chain, corner: Point) -> None:
    """Cuts the end of one chain and the start of the next at their meeting point that costs least length."""
    best: tuple[float, int, int, Point] | None = None
    lost_before = 0.0
    for i in range(len(before) - 1, -1, -1):
        lost_after = 0.0
        for j in range(len(after)):
            for point in meetings(before[i], after[j]):
                lost = lost_before + (1.0 - share_of(before[i], *point)) * length(before[i])
                lost += lost_after + share_of(after[j], *point) * length(after[j])
                if best is None or lost < best[0]:
                    best = (lost, i, j, point)
            lost_after += length(after[j])
        lost_before += length(before[i])
    if best is None:
        raise ValueError(
            f"a side at the corner ({corner[0]:.3f}, {corner[1]:.3f}) is shorter than the shift uses up there"
        )
    _, i, j, point = best
    before[i:] = [_ending(before[i], point)]
    after[: j + 1] = [_starting(after[j], point)]


def _ending(piece: Segment, point: Point) -> Segment:
    cut = part(piece, 0.0, min(1.0, max(0.0, share_of(piece, *point))))
    return replace(cut, x1=point[0], y1=point[1])


def _starting(piece: Segment, point: Point) -> Segment:
    cut = part(piece, min(1.0, max(0.0, share_of(piece, *point))), 1.0)
    return replace(cut, x0=point[0], y0=point[1])


def check_same_turn(path: Path, original: Path) -> Path:
    """The path itself; ValueError where it runs the other way round than the original (turned inside out)."""
    if signed_area(path) * signed_area(original) <= 0.0:
        raise ValueError("the shift is wider than the shape: the path turned inside out")
    return path
