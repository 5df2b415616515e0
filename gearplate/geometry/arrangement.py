"""Curves of several owners cut where they meet, and pieces joined end to end into closed runs."""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator, Sequence

import numpy as np

from gearplate.geometry.crossing import meetings
from gearplate.geometry.segments import Segment, length, part, segment_bbox, share_of

JOIN_MM = 1e-6
ON_MM = 1e-7

Owned = tuple[int, Segment]


def cut_where_they_meet(pieces: Sequence[Owned]) -> Iterator[Owned]:
    """The pieces (owner, piece) in order, each cut where one of another owner meets it; what is shorter than JOIN_MM is
    left out."""
    cuts: list[list[float]] = [[] for _ in pieces]
    for i, j in _near_pairs(pieces):
        piece, other = pieces[i][1], pieces[j][1]
        for x, y in meetings(piece, other):
            cuts[i].append(share_of(piece, x, y))
            cuts[j].append(share_of(other, x, y))
    for (owner, piece), shares in zip(pieces, cuts, strict=True):
        size = length(piece)
        ends = [0.0, *sorted(share for share in shares if JOIN_MM < share * size < size - JOIN_MM), 1.0]
        for start, end in itertools.pairwise(ends):
            if (end - start) * size > JOIN_MM:
                yield owner, part(piece, start, end)


def _near_pairs(pieces: Sequence[Owned]) -> list[tuple[int, int]]:
    """Pairs (i < j) of pieces of different owners whose boxes meet."""
    boxes = np.array([segment_bbox(piece) for _, piece in pieces])
    owners = np.array([owner for owner, _ in pieces])
    meet = owners[:, None] != owners[None, :]
    for low, high in ((0, 2), (1, 3)):
        meet &= boxes[:, None, low] <= boxes[None, :, high] + ON_MM
        meet &= boxes[None, :, low] <= boxes[:, None, high] + ON_MM
    first, second = np.nonzero(np.triu(meet, 1))
    return list(zip(first.tolist(), second.tolist(), strict=True))


def closed_runs(pieces: Sequence[Segment]) -> list[list[Segment]]:
    """Closed runs of pieces; what does not close is left out."""
    cells: dict[tuple[int, int], list[int]] = {}
    for index, piece in enumerate(pieces):
        cells.setdefault(_cell(piece.x0, piece.y0), []).append(index)
    unused = set(range(len(pieces)))
    loops: list[list[Segment]] = []
    while unused:
        first = min(unused)
        loop, here = [first], first
        unused.discard(first)
        while True:
            x, y = pieces[here].x1, pieces[here].y1
            if math.hypot(x - pieces[first].x0, y - pieces[first].y0) <= JOIN_MM * 10.0:
                loops.append([pieces[index] for index in loop])
                break
            following = _starting_at(pieces, cells, unused, x, y)
            if following is None:
                break
            unused.discard(following)
            loop.append(following)
            here = following
    return loops


def _starting_at(
    pieces: Sequence[Segment], cells: dict[tuple[int, int], list[int]], unused: set[int], x: float, y: float
) -> int | None:
    column, row = _cell(x, y)
    for dx in (-1, 0, 1):
        for dy in (-1, 0, 1):
            for index in cells.get((column + dx, row + dy), ()):
                piece = pieces[index]
                if index in unused and math.hypot(piece.x0 - x, piece.y0 - y) <= JOIN_MM * 10.0:
                    return index
    return None


def _cell(x: float, y: float) -> tuple[int, int]:
    return math.floor(x * 1e3), math.floor(y * 1e3)
