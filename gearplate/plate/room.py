"""Free room on a plate's face: upright rectangles that keep off cuts and off what touches the face."""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from gearplate.geometry.nearest import contains, path_distance
from gearplate.geometry.path import bbox
from gearplate.geometry.segments import Arc, Segment, point_at, segments
from gearplate.geometry.shapes import Circle, Path

Floats = NDArray[np.float64]

_SAMPLE_MM = 6.0
MOST_CENTRES = 10000  # a large plate gets a wider grid, or its marks would take seconds
_ROUNDING_MM = 1e-9
_AT_ONCE = 30000  # numbers in one array: what a processor's cache holds is worked through twice as fast


@dataclass(frozen=True, slots=True)
class Rect:
    """An upright rectangle: centre, width, height, mm."""

    x_mm: float
    y_mm: float
    width_mm: float
    height_mm: float

    def path(self) -> Path:
        a, b = 0.5 * self.width_mm, 0.5 * self.height_mm
        return Path(
            (
                (self.x_mm - a, self.y_mm - b, 0.0),
                (self.x_mm + a, self.y_mm - b, 0.0),
                (self.x_mm + a, self.y_mm + b, 0.0),
                (self.x_mm - a, self.y_mm + b, 0.0),
            )
        )


@dataclass(frozen=True, slots=True)
class Centres:
    """Points (n, 2) to try, and the distance (n,) of each to the nearest edge, mm."""

    points: Floats
    edge_mm: Floats


@dataclass(slots=True)
class Room:
    """Where a face is free. `cuts` are closed contours within `outline`; `keep_mm` is the gap to outline and cuts.

    `bodies` are discs (x, y, radius) and `boxes` (x0, y0, x1, y1) that touch the face: kept `still_mm` off.
    Placed rectangles are taken with `take` and then kept off as well.
    """

    outline: Path
    cuts: Sequence[Circle | Path]
    keep_mm: float
    bodies: Iterable[tuple[float, float, float]] = ()
    boxes: Iterable[tuple[float, float, float, float]] = ()
    still_mm: float = 0.5
    _discs: Floats = field(init=False)
    _rects: list[tuple[float, float, float, float]] = field(init=False)
    _paths: list[Path] = field(init=False)
    _boxes: list[tuple[float, float, float, float]] = field(init=False)
    _edges: _Edges = field(init=False)
    _chords: Floats = field(init=False)

    def __post_init__(self) -> None:
        discs = [(x, y, radius + self.still_mm) for x, y, radius in self.bodies]
        discs += [
            (cut.x_mm, cut.y_mm, 0.5 * cut.diameter_mm + self.keep_mm) for cut in self.cuts if isinstance(cut, Circle)
        ]
        self._discs = np.array(discs, dtype=float).reshape(-1, 3)
        gap = self.still_mm
        self._rects = [(x0 - gap, y0 - gap, x1 + gap, y1 + gap) for x0, y0, x1, y1 in self.boxes]
        self._paths = [cut for cut in self.cuts if isinstance(cut, Path)]
        self._boxes = [bbox(path) for path in self._paths]
        pieces = [piece for path in (self.outline, *self._paths) for piece in segments(path)]
        self._edges = _Edges(pieces)
        self._chords = np.array([chord for piece in pieces for chord in _chords(piece, 0.5 * self.keep_mm)])

    def take(self, rect: Rect, gap_mm: float) -> None:
        """Keep later rectangles `gap_mm` off this one."""
        a, b = 0.5 * rect.width_mm + gap_mm, 0.5 * rect.height_mm + gap_mm
        self._rects.append((rect.x_mm - a, rect.y_mm - b, rect.x_mm + a, rect.y_mm + b))

    def centres(self, points: Floats) -> Centres:
        """Points (n, 2) to be tried in their order, those off the plate's face left out."""
        room = self._edges.distance(points)
        far = room > self.keep_mm
        points, room = points[far], room[far]
        inside = self._within(points)
        return Centres(points[inside], room[inside])

    def _within(self, points: Floats) -> NDArray[np.bool_]:
        """Which points lie in the outline and in no cut path (even-odd). Judged on chords that leave the curves by
        less than the points stay off them."""
        most = max(1, _AT_ONCE // max(1, len(self._chords)))
        if len(points) > most:
            return np.concatenate([self._within(points[at : at + most]) for at in range(0, len(points), most)])
        x0, y0, x1, y1 = (self._chords[None, :, column] for column in range(4))
        x, y = points[:, None, 0], points[:, None, 1]
        straddles = (y0 > y) != (y1 > y)
        with np.errstate(divide="ignore", invalid="ignore"):
            crosses = straddles & (x < x0 + (y - y0) * (x1 - x0) / (y1 - y0))
        return np.asarray(crosses.sum(axis=1) % 2 == 1)

    def first_free(self, centres: Centres, width_mm: float, height_mm: float) -> Rect | None:
        """The first of the centres on which a rectangle of this size is free, or None."""
        left = centres.points[centres.edge_mm >= self.keep_mm + 0.5 * min(width_mm, height_mm)]
        left = left[self._off_discs_and_rects(left, width_mm, height_mm)]
        half = 0.5 * min(width_mm, height_mm)
        end = np.array([0.5 * width_mm - half, 0.5 * height_mm - half])
        for middle in (end, -end):  # the largest disc in each end of the rectangle must be off every edge
            left = left[self._edges.distance(left + middle) >= self.keep_mm + half]
        start, size = 0, 8
        while start < len(left):
            batch = left[start : start + size]
            for x, y in batch[self._edges.rects_off(batch, width_mm, height_mm, self.keep_mm)]:
                rect = Rect(float(x), float(y), width_mm, height_mm)
                if self._exactly_free(rect):
                    return rect
            start, size = start + size, 32
        return None

    def grid(self, pitch_mm: float) -> Centres:
        """Centres over the plate, those with the widest free room round them first."""
        x0, y0, x1, y1 = bbox(self.outline)
        pitch_mm = max(pitch_mm, math.sqrt((x1 - x0) * (y1 - y0) / MOST_CENTRES))
        xs = np.arange(x0 + pitch_mm, x1, pitch_mm)
        ys = np.arange(y0 + pitch_mm, y1, pitch_mm)
        found = self.centres(np.stack(np.meshgrid(xs, ys), axis=-1).reshape(-1, 2))
        points, room = found.points, found.edge_mm
        if len(self._discs):
            dx = points[:, None, 0] - self._discs[None, :, 0]
            dy = points[:, None, 1] - self._discs[None, :, 1]
            room = np.minimum(room, (np.sqrt(dx * dx + dy * dy) - self._discs[None, :, 2]).min(axis=1) + self.keep_mm)
        free = room > self.keep_mm
        points, edge, room = points[free], found.edge_mm[free], room[free]
        order = np.lexsort((points[:, 0], -points[:, 1], -np.round(room, 1)))
        return Centres(points[order], edge[order])

    def _off_discs_and_rects(self, centres: Floats, width_mm: float, height_mm: float) -> NDArray[np.bool_]:
        a, b = 0.5 * width_mm, 0.5 * height_mm
        free = np.ones(len(centres), dtype=bool)
        if len(self._discs):
            dx = np.maximum(np.abs(centres[:, None, 0] - self._discs[None, :, 0]) - a, 0.0)
            dy = np.maximum(np.abs(centres[:, None, 1] - self._discs[None, :, 1]) - b, 0.0)
            free &= (dx * dx + dy * dy >= (self._discs[None, :, 2] + _ROUNDING_MM) ** 2).all(axis=1)
        for x0, y0, x1, y1 in self._rects:
            across = (centres[:, 0] + a <= x0) | (centres[:, 0] - a >= x1)
            free &= across | (centres[:, 1] + b <= y0) | (centres[:, 1] - b >= y1)
        return free

    def _exactly_free(self, rect: Rect) -> bool:
        if not contains(self.outline, rect.x_mm, rect.y_mm):
            return False
        edge = rect.path()
        if path_distance(edge, self.outline) < self.keep_mm:
            return False
        a, b = 0.5 * rect.width_mm + self.keep_mm, 0.5 * rect.height_mm + self.keep_mm
        for path, (x0, y0, x1, y1) in zip(self._paths, self._boxes, strict=True):
            if x0 > rect.x_mm + a or x1 < rect.x_mm - a or y0 > rect.y_mm + b or y1 < rect.y_mm - b:
                continue
            x, y, _ = path.vertices[0]
            inside_rect = abs(x - rect.x_mm) <= 0.5 * rect.width_mm and abs(y - rect.y_mm) <= 0.5 * rect.height_mm
            if inside_rect or contains(path, rect.x_mm, rect.y_mm) or path_distance(edge, path) < self.keep_mm:
                return False
        return True


def _chords(piece: Segment, sagitta_mm: float) -> list[tuple[float, float, float, float]]:
    """Chords along a piece that leave it by at most the sagitta."""
    count = 1
    if isinstance(piece, Arc):
        step = 2.0 * math.acos(max(0.0, 1.0 - sagitta_mm / piece.radius)) if sagitta_mm > 0.0 else 0.1
        count = math.ceil(abs(piece.sweep_rad) / min(step, 1.0))
    ends = [(piece.x0, piece.y0), *(point_at(piece, at / count) for at in range(1, count)), (piece.x1, piece.y1)]
    return [(*start, *end) for start, end in itertools.pairwise(ends)]


class _Edges:
    """Lines and arcs as arrays: distances of many points to the nearest of them."""

    def __init__(self, pieces: list[Segment]) -> None:
        lines = [piece for piece in pieces if not isinstance(piece, Arc)]
        self.lines = np.array([(p.x0, p.y0, p.x1, p.y1) for p in lines], dtype=float).reshape(-1, 4)
        arcs = [piece for piece in pieces if isinstance(piece, Arc)]
        # centre, radius, direction of the middle, cosine of half the sweep
        self.arcs = np.array([_arc_row(p) for p in arcs], dtype=float).reshape(-1, 6)
        self.ends = np.array([(p.x0, p.y0) for p in pieces], dtype=float).reshape(-1, 2)

    def distance(self, points: Floats) -> Floats:
        """Distance of each point (n, 2) to the nearest piece, mm."""
        most = max(1, _AT_ONCE // max(1, len(self.ends)))
        if len(points) > most:
            return np.concatenate([self.distance(points[at : at + most]) for at in range(0, len(points), most)])
        x, y = points[:, None, 0], points[:, None, 1]
        best = np.full(len(points), math.inf)
        if len(self.ends):
            dx, dy = x - self.ends[None, :, 0], y - self.ends[None, :, 1]
            best = np.sqrt((dx * dx + dy * dy).min(axis=1))
        if len(self.lines):
            x0, y0, x1, y1 = (self.lines[None, :, column] for column in range(4))
            dx, dy = x1 - x0, y1 - y0
            share = np.clip(((x - x0) * dx + (y - y0) * dy) / np.maximum(dx * dx + dy * dy, 1e-300), 0.0, 1.0)
            off_x, off_y = x - x0 - share * dx, y - y0 - share * dy
            best = np.minimum(best, np.sqrt((off_x * off_x + off_y * off_y).min(axis=1)))
        if len(self.arcs):
            cx, cy, radius, middle_x, middle_y, cos_half = (self.arcs[None, :, column] for column in range(6))
            dx, dy = x - cx, y - cy
            away = np.sqrt(dx * dx + dy * dy)
            within = dx * middle_x + dy * middle_y >= away * cos_half
            best = np.minimum(best, np.where(within, np.abs(away - radius), math.inf).min(axis=1))
        return best

    def rects_off(self, centres: Floats, width_mm: float, height_mm: float, keep_mm: float) -> NDArray[np.bool_]:
        """Which rectangles seem to keep their border so far off every piece, judged at points along it."""
        border = _border_points(width_mm, height_mm)
        points = (centres[:, None, :] + border[None, :, :]).reshape(-1, 2)
        away = self.distance(points).reshape(len(centres), len(border))
        return np.asarray((away >= keep_mm).all(axis=1))


def _arc_row(arc: Arc) -> tuple[float, float, float, float, float, float]:
    middle = arc.start_rad + 0.5 * arc.sweep_rad
    return arc.cx, arc.cy, arc.radius, math.cos(middle), math.sin(middle), math.cos(0.5 * arc.sweep_rad)


def _border_points(width_mm: float, height_mm: float) -> Floats:
    a, b = 0.5 * width_mm, 0.5 * height_mm
    across = np.linspace(-a, a, max(2, math.ceil(width_mm / _SAMPLE_MM) + 1))
    up = np.linspace(-b, b, max(2, math.ceil(height_mm / _SAMPLE_MM) + 1))[1:-1]
    return np.concatenate(
        [
            np.stack([across, np.full_like(across, -b)], axis=1),
            np.stack([across, np.full_like(across, b)], axis=1),
            np.stack([np.full_like(up, -a), up], axis=1),
            np.stack([np.full_like(up, a), up], axis=1),
        ]
    )
