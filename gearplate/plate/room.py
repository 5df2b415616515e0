"""Free room on a plate's face: upright rectangles that keep off cuts and off what touches the face."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from gearplate.geometry.nearest import contains, path_distance
from gearplate.geometry.path import bbox
from gearplate.geometry.segments import Arc, Segment, segments
from gearplate.geometry.shapes import Circle, Path

Floats = NDArray[np.float64]

_SAMPLE_MM = 1.0
_ROUNDING_MM = 1e-9


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
    _edges: _Edges = field(init=False)

    def __post_init__(self) -> None:
        discs = [(x, y, radius + self.still_mm) for x, y, radius in self.bodies]
        discs += [
            (cut.x_mm, cut.y_mm, 0.5 * cut.diameter_mm + self.keep_mm) for cut in self.cuts if isinstance(cut, Circle)
        ]
        self._discs = np.array(discs, dtype=float).reshape(-1, 3)
        gap = self.still_mm
        self._rects = [(x0 - gap, y0 - gap, x1 + gap, y1 + gap) for x0, y0, x1, y1 in self.boxes]
        self._paths = [cut for cut in self.cuts if isinstance(cut, Path)]
        self._edges = _Edges([piece for path in (self.outline, *self._paths) for piece in segments(path)])

    def take(self, rect: Rect, gap_mm: float) -> None:
        """Keep later rectangles `gap_mm` off this one."""
        a, b = 0.5 * rect.width_mm + gap_mm, 0.5 * rect.height_mm + gap_mm
        self._rects.append((rect.x_mm - a, rect.y_mm - b, rect.x_mm + a, rect.y_mm + b))

    def first_free(self, centres: Floats, width_mm: float, height_mm: float) -> Rect | None:
        """The first of the centres (n, 2) on which a rectangle of this size is free, or None."""
        left = centres[self._off_discs_and_rects(centres, width_mm, height_mm)]
        for start in range(0, len(left), 32):
            batch = left[start : start + 32]
            for x, y in batch[self._edges.rects_off(batch, width_mm, height_mm, self.keep_mm)]:
                rect = Rect(float(x), float(y), width_mm, height_mm)
                if self._exactly_free(rect):
                    return rect
        return None

    def grid(self, pitch_mm: float) -> Floats:
        """Centres over the plate, those with the widest free room round them first."""
        x0, y0, x1, y1 = bbox(self.outline)
        xs = np.arange(x0 + pitch_mm, x1, pitch_mm)
        ys = np.arange(y0 + pitch_mm, y1, pitch_mm)
        points = np.stack(np.meshgrid(xs, ys), axis=-1).reshape(-1, 2)
        if len(points) == 0:
            return points
        room = self._edges.distance(points)
        if len(self._discs):
            to_discs = np.hypot(
                points[:, None, 0] - self._discs[None, :, 0], points[:, None, 1] - self._discs[None, :, 1]
            )
            room = np.minimum(room, (to_discs - self._discs[None, :, 2]).min(axis=1) + self.keep_mm)
        points, room = points[room > self.keep_mm], room[room > self.keep_mm]
        order = np.lexsort((points[:, 0], -points[:, 1], -np.round(room, 1)))
        return points[order]

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
        for path in self._paths:
            x, y, _ = path.vertices[0]
            inside_rect = abs(x - rect.x_mm) <= 0.5 * rect.width_mm and abs(y - rect.y_mm) <= 0.5 * rect.height_mm
            if inside_rect or contains(path, rect.x_mm, rect.y_mm) or path_distance(edge, path) < self.keep_mm:
                return False
        return True


class _Edges:
    """Lines and arcs as arrays: distances of many points to the nearest of them."""

    def __init__(self, pieces: list[Segment]) -> None:
        lines = [piece for piece in pieces if not isinstance(piece, Arc)]
        self.lines = np.array([(p.x0, p.y0, p.x1, p.y1) for p in lines], dtype=float).reshape(-1, 4)
        arcs = [piece for piece in pieces if isinstance(piece, Arc)]
        self.arcs = np.array(
            [(p.cx, p.cy, p.radius, p.start_rad + min(0.0, p.sweep_rad), abs(p.sweep_rad)) for p in arcs], dtype=float
        ).reshape(-1, 5)
        self.ends = np.array([(p.x0, p.y0) for p in pieces], dtype=float).reshape(-1, 2)

    def distance(self, points: Floats) -> Floats:
        """Distance of each point (n, 2) to the nearest piece, mm."""
        x, y = points[:, None, 0], points[:, None, 1]
        best = np.full(len(points), math.inf)
        if len(self.ends):
            best = np.hypot(x - self.ends[None, :, 0], y - self.ends[None, :, 1]).min(axis=1)
        if len(self.lines):
            x0, y0, x1, y1 = (self.lines[None, :, column] for column in range(4))
            dx, dy = x1 - x0, y1 - y0
            share = np.clip(((x - x0) * dx + (y - y0) * dy) / np.maximum(dx * dx + dy * dy, 1e-300), 0.0, 1.0)
            best = np.minimum(best, np.hypot(x - x0 - share * dx, y - y0 - share * dy).min(axis=1))
        if len(self.arcs):
            cx, cy, radius, start, sweep = (self.arcs[None, :, column] for column in range(5))
            dx, dy = x - cx, y - cy
            within = np.mod(np.arctan2(dy, dx) - start, 2.0 * math.pi) <= sweep
            away = np.where(within, np.abs(np.hypot(dx, dy) - radius), math.inf)
            best = np.minimum(best, away.min(axis=1))
        return best

    def rects_off(self, centres: Floats, width_mm: float, height_mm: float, keep_mm: float) -> NDArray[np.bool_]:
        """Which rectangles seem to keep their border so far off every piece, judged at points along it."""
        border = _border_points(width_mm, height_mm)
        points = (centres[:, None, :] + border[None, :, :]).reshape(-1, 2)
        away = self.distance(points).reshape(len(centres), len(border))
        return np.asarray((away >= keep_mm).all(axis=1))


def _border_points(width_mm: float, height_mm: float) -> Floats:
    a, b = 0.5 * width_mm, 0.5 * height_mm
    across = np.linspace(-a, a, max(2, math.ceil(width_mm / (2.0 * _SAMPLE_MM)) + 1))
    up = np.linspace(-b, b, max(2, math.ceil(height_mm / (2.0 * _SAMPLE_MM)) + 1))
    return np.concatenate(
        [
            np.stack([across, np.full_like(across, -b)], axis=1),
            np.stack([across, np.full_like(across, b)], axis=1),
            np.stack([np.full_like(up, -a), up], axis=1),
            np.stack([np.full_like(up, a), up], axis=1),
        ]
    )
