"""What is left of a region when obstacles are taken out: closed contours of the obstacles' own lines and arcs.

The boundary of the rest is made of pieces of the given curves: each curve is cut where others meet it, pieces inside
an obstacle or outside the region fall away, and the others are joined end to end.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from gearplate.geometry.arrangement import JOIN_MM, ON_MM, closed_runs, cut_where_they_meet
from gearplate.geometry.nearest import contains, signed_distance
from gearplate.geometry.path import bbox, counter_clockwise, reversed_path, signed_area
from gearplate.geometry.segments import (
    Arc,
    Line,
    Segment,
    distance_to,
    path_of,
    point_at,
    segment_bbox,
    segments,
)
from gearplate.geometry.shapes import Circle, Path
from gearplate.geometry.slot import slot_path

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
    obstacle_boxes = [obstacle.box() for obstacle in obstacles]
    kept: list[Segment] = []
    for owner, piece in cut_where_they_meet(pieces):
        if _stays(owner, *point_at(piece, 0.5), border, obstacles, obstacle_boxes):
            kept.append(piece)
    loops = [path_of(loop) for loop in closed_runs(kept)]
    outer = [loop for loop in loops if signed_area(loop) > 0.0]
    inner = [loop for loop in loops if signed_area(loop) < 0.0]
    return [loop for loop in outer if not any(contains(loop, *hole.vertices[0][:2]) for hole in inner)]


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
