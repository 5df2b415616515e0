"""What is left of a region when obstacles are taken out: closed contours of the obstacles' own lines and arcs.

The boundary of the rest is made of pieces of the given curves: each curve is cut where others meet it, pieces inside
an obstacle or outside the region fall away, and the others are joined end to end.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from gearplate.geometry.crossing import meetings
from gearplate.geometry.nearest import contains, signed_distance
from gearplate.geometry.path import bbox, counter_clockwise, reversed_path, signed_area
from gearplate.geometry.segments import (
    Arc,
    Line,
    Segment,
    distance_to,
    length,
    part,
    path_of,
    point_at,
    segment_bbox,
    segments,
    share_of,
)
from gearplate.geometry.shapes import Circle, Path
from gearplate.geometry.slot import slot_path

JOIN_MM = 1e-6
ON_MM = 1e-7
Box = tuple[float, float, float, float]


@dataclass(frozen=True, slots=True)
class Bar:
    """A straight bar with round ends: everything within `half_mm` of the line from start to end."""

    x0_mm: float
    y0_mm: float
    x1_mm: float
    y1_mm: float
    half_mm: float

    def depth(self, x: float, y: float) -> float:
        """How deep a point lies inside, mm; negative outside."""
        dx, dy = self.x1_mm - self.x0_mm, self.y1_mm - self.y0_mm
        square = dx * dx + dy * dy
        share = 0.0 if square == 0.0 else ((x - self.x0_mm) * dx + (y - self.y0_mm) * dy) / square
        share = min(1.0, max(0.0, share))
        return self.half_mm - math.hypot(x - self.x0_mm - share * dx, y - self.y0_mm - share * dy)

    def edges(self) -> list[Segment]:
        """Its border, travelled with the outside on the left."""
        return segments(reversed_path(self.contour()))

    def contour(self) -> Path:
        length_mm = math.hypot(self.x1_mm - self.x0_mm, self.y1_mm - self.y0_mm)
        angle = math.atan2(self.y1_mm - self.y0_mm, self.x1_mm - self.x0_mm)
        x, y = 0.5 * (self.x0_mm + self.x1_mm), 0.5 * (self.y0_mm + self.y1_mm)
        return slot_path(x, y, length_mm, 2.0 * self.half_mm, angle)

    def box(self) -> Box:
        return (
            min(self.x0_mm, self.x1_mm) - self.half_mm,
            min(self.y0_mm, self.y1_mm) - self.half_mm,
            max(self.x0_mm, self.x1_mm) + self.half_mm,
            max(self.y0_mm, self.y1_mm) + self.half_mm,
        )


@dataclass(frozen=True, slots=True)
class Rib:
    """A bar whose two ends stand in other obstacles: only its sides, `start_mm` and `end_mm` shorter at the ends, can
    bound anything."""

    bar: Bar
    start_mm: float
    end_mm: float

    def depth(self, x: float, y: float) -> float:
        """How deep a point lies inside, mm; negative outside."""
        return self.bar.depth(x, y)

    def edges(self) -> list[Segment]:
        """Its sides, travelled with the outside on the left."""
        bar = self.bar
        dx, dy = bar.x1_mm - bar.x0_mm, bar.y1_mm - bar.y0_mm
        size = math.hypot(dx, dy)
        if size - self.start_mm - self.end_mm <= JOIN_MM:
            return []
        ux, uy = dx / size, dy / size
        nx, ny = -uy * bar.half_mm, ux * bar.half_mm
        x0, y0 = bar.x0_mm + self.start_mm * ux, bar.y0_mm + self.start_mm * uy
        x1, y1 = bar.x1_mm - self.end_mm * ux, bar.y1_mm - self.end_mm * uy
        return [Line(x0 + nx, y0 + ny, x1 + nx, y1 + ny), Line(x1 - nx, y1 - ny, x0 - nx, y0 - ny)]

    def box(self) -> Box:
        return self.bar.box()


def disc(circle: Circle) -> Bar:
    """A disc as a bar without length."""
    return Bar(circle.x_mm, circle.y_mm, circle.x_mm, circle.y_mm, 0.5 * circle.diameter_mm)


@dataclass(frozen=True, slots=True)
class BentBar:
    """An arc as thick as twice `half_mm`, with round ends; its radius must be larger than `half_mm`."""

    arc: Arc
    half_mm: float

    def depth(self, x: float, y: float) -> float:
        """How deep a point lies inside, mm; negative outside."""
        return self.half_mm - distance_to(self.arc, x, y)

    def edges(self) -> list[Segment]:
        """Its border, travelled with the outside on the left."""
        return segments(reversed_path(self.contour()))

    def contour(self) -> Path:
        arc, half = self.arc, self.half_mm
        sweep = abs(arc.sweep_rad)
        start = arc.start_rad if arc.sweep_rad > 0.0 else arc.start_rad + arc.sweep_rad
        bulge = math.tan(0.25 * sweep)

        def at(radius: float, angle: float) -> tuple[float, float]:
            return arc.cx + radius * math.cos(angle), arc.cy + radius * math.sin(angle)

        outer, inner = arc.radius + half, arc.radius - half
        return Path(
            (
                (*at(outer, start), bulge),
                (*at(outer, start + sweep), 1.0),
                (*at(inner, start + sweep), -bulge),
                (*at(inner, start), 1.0),
            )
        )

    def box(self) -> Box:
        x0, y0, x1, y1 = segment_bbox(self.arc)
        return x0 - self.half_mm, y0 - self.half_mm, x1 + self.half_mm, y1 + self.half_mm


@dataclass(frozen=True, slots=True)
class Island:
    """Everything inside a closed path."""

    path: Path

    def depth(self, x: float, y: float) -> float:
        """How deep a point lies inside, mm; negative outside."""
        return -signed_distance(self.path, x, y)

    def edges(self) -> list[Segment]:
        """Its border, travelled with the outside on the left."""
        return segments(reversed_path(counter_clockwise(self.path)))

    def box(self) -> Box:
        return bbox(self.path)


Obstacle = Bar | BentBar | Rib | Island


def free_contours(region: Path, obstacles: Sequence[Obstacle]) -> list[Path]:
    """The outer contours, counter-clockwise, of what is left of the region. A part that holds an island (which would
    fall out when cut) is left out, and so is one whose contour does not close within rounding."""
    border = counter_clockwise(region)
    pieces = [(0, piece) for piece in segments(border)]
    for owner, obstacle in enumerate(obstacles, start=1):
        pieces += [(owner, piece) for piece in obstacle.edges()]
    cuts: list[list[float]] = [[] for _ in pieces]
    for i, j in _near_pairs(pieces):
        piece, other = pieces[i][1], pieces[j][1]
        for x, y in meetings(piece, other):
            cuts[i].append(share_of(piece, x, y))
            cuts[j].append(share_of(other, x, y))
    obstacle_boxes = [obstacle.box() for obstacle in obstacles]
    kept: list[Segment] = []
    for (owner, piece), shares in zip(pieces, cuts, strict=True):
        size = length(piece)
        ends = [0.0, *sorted(share for share in shares if JOIN_MM < share * size < size - JOIN_MM), 1.0]
        for start, end in itertools.pairwise(ends):
            if (end - start) * size <= JOIN_MM:
                continue
            x, y = point_at(piece, 0.5 * (start + end))
            if _stays(owner, x, y, border, obstacles, obstacle_boxes):
                kept.append(part(piece, start, end))
    loops = [path_of(loop) for loop in _joined(kept)]
    outer = [loop for loop in loops if signed_area(loop) > 0.0]
    inner = [loop for loop in loops if signed_area(loop) < 0.0]
    return [loop for loop in outer if not any(contains(loop, *hole.vertices[0][:2]) for hole in inner)]


def _near_pairs(pieces: Sequence[tuple[int, Segment]]) -> list[tuple[int, int]]:
    """Pairs (i < j) of pieces of different owners whose boxes meet."""
    boxes = np.array([segment_bbox(piece) for _, piece in pieces])
    owners = np.array([owner for owner, _ in pieces])
    meet = owners[:, None] != owners[None, :]
    for low, high in ((0, 2), (1, 3)):
        meet &= boxes[:, None, low] <= boxes[None, :, high] + ON_MM
        meet &= boxes[None, :, low] <= boxes[:, None, high] + ON_MM
    first, second = np.nonzero(np.triu(meet, 1))
    return list(zip(first.tolist(), second.tolist(), strict=True))


def _stays(owner: int, x: float, y: float, region: Path, obstacles: Sequence[Obstacle], boxes: Sequence[Box]) -> bool:
    """Whether a piece's middle lies in the region and in no obstacle. Where two curves run on each other, the first
    one's piece stays."""
    for index, obstacle in enumerate(obstacles, start=1):
        if index == owner:
            continue
        box = boxes[index - 1]
        if not (box[0] - ON_MM <= x <= box[2] + ON_MM and box[1] - ON_MM <= y <= box[3] + ON_MM):
            continue
        depth = obstacle.depth(x, y)
        if depth > ON_MM or (depth >= -ON_MM and index < owner):
            return False
    if owner == 0:
        return True
    return signed_distance(region, x, y) < -ON_MM


def _joined(pieces: list[Segment]) -> list[list[Segment]]:
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
    pieces: list[Segment], cells: dict[tuple[int, int], list[int]], unused: set[int], x: float, y: float
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
