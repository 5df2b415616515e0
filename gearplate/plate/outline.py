"""The edge of a plate: exact tangent arcs and lines round its features with the wanted margin."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import lru_cache

from gearplate.geometry.discs import Disc, hull_of_discs
from gearplate.geometry.offset import offset
from gearplate.geometry.segments import Arc, segments
from gearplate.geometry.shapes import Path
from gearplate.geometry.waist_shapes import RowOfDiscs, bulges_all_round
from gearplate.geometry.waists import WaistedOutline, waisted_outline
from gearplate.layout.constraints import GUARD_MM
from gearplate.layout.design import Layout
from gearplate.plate.contours import contour, slot_ends
from gearplate.plate.plate import Feature
from gearplate.plate.spec import OutlineStyle, PlateSpec

DIP_MM = 0.02  # between two of the discs that show a walk where a slot or a side of a window is


@dataclass(frozen=True, slots=True)
class Outline:
    """The edge; `waist_radius_mm` is the fillet that the waists were drawn with, None for a hull."""

    path: Path
    waist_radius_mm: float | None


def outline_of(
    discs: Iterable[Disc], wishes: PlateSpec, least_neck_mm: float, rows: Sequence[RowOfDiscs] = ()
) -> Outline:
    """One closed curve round the discs (x, y, radius), along the contours that `rows` of them stand for.

    Waists whose fillet would leave a neck under `least_neck_mm`, or cut the plate in two, are drawn with a larger
    fillet (see gearplate.geometry.waists).

    Raises:
        ValueError: no disc.
    """
    kept = list(discs)
    if not kept:
        raise ValueError("a plate without any feature has no outline")
    if wishes.outline is OutlineStyle.HULL:
        return Outline(hull_of_discs(kept), None)
    drawn = _waisted(tuple(kept), wishes.waist_radius_mm, least_neck_mm, tuple(rows))
    waist = drawn.fillet_radius_mm
    return Outline(drawn.path, waist if math.isfinite(waist) else None)


@lru_cache(maxsize=32)
def _waisted(
    discs: tuple[Disc, ...], fillet_radius_mm: float, least_neck_mm: float, rows: tuple[RowOfDiscs, ...]
) -> WaistedOutline:
    """`waisted_outline`, remembered: both plates, and a plate before and after its access holes, ask for the same."""
    return waisted_outline(discs, fillet_radius_mm, least_neck_mm, rows)


def margin_discs(features: Iterable[Feature], wishes: PlateSpec) -> list[Disc]:
    """Discs that the outline goes round: hole radius plus margin; a slot has two, a window one at each corner.

    Between waists a slot and a side of a window get more of them, so that no waist bites into their margin.
    """
    margin, dense = wishes.margin_mm, wishes.outline is OutlineStyle.WAISTED
    discs: list[Disc] = []
    for feature in features:
        if feature.form == "window" and feature.path is not None:
            discs += _window_discs(feature.path, wishes)
            continue
        radius = 0.5 * feature.part_diameter_mm + margin
        ends = slot_ends(feature)
        discs += [(x, y, radius) for x, y in ends]
        if dense and len(ends) == 2:
            discs += _between(ends[0], ends[1], radius, wishes.waist_radius_mm)
    return discs


def margin_rows(features: Iterable[Feature], wishes: PlateSpec) -> list[RowOfDiscs]:
    """The margins of slots and windows as contours, each with the discs that stand for it between waists. A window
    with a hollow of its own has none: its hollow may be a waist."""
    if wishes.outline is not OutlineStyle.WAISTED:
        return []
    rows = []
    for feature in features:
        if feature.form == "circle":
            continue
        edge = contour(feature)
        assert isinstance(edge, Path)
        try:
            margin = offset(edge, wishes.margin_mm)
        except ValueError:  # a hollow too narrow for its margin
            continue
        if bulges_all_round(margin):
            rows.append(RowOfDiscs(margin, tuple(margin_discs([feature], wishes))))
    return rows


def _window_discs(path: Path, wishes: PlateSpec) -> list[Disc]:
    """Round every vertex, and about the circle of every arc that bows outward (a rounded corner)."""
    margin_mm, dense = wishes.margin_mm, wishes.outline is OutlineStyle.WAISTED
    discs: list[Disc] = [(x, y, margin_mm) for x, y, _ in path.vertices]
    for piece in segments(path):
        if isinstance(piece, Arc):
            if piece.sweep_rad > 0.0:
                discs.append((piece.cx, piece.cy, piece.radius + margin_mm))
        elif dense:
            discs += _between((piece.x0, piece.y0), (piece.x1, piece.y1), margin_mm, wishes.waist_radius_mm)
    return discs


def _between(start: tuple[float, float], end: tuple[float, float], radius: float, waist_radius: float) -> list[Disc]:
    """Discs between two others, so near that a fillet of the waist's radius dips at most DIP_MM between them: two
    discs of radius r at distance d dip by r + f - sqrt((r + f)^2 - (d / 2)^2)."""
    reach = radius + waist_radius
    apart = 2.0 * math.sqrt(DIP_MM * (2.0 * reach - DIP_MM))
    count = math.ceil(math.dist(start, end) / apart)
    return [
        (start[0] + (end[0] - start[0]) * step / count, start[1] + (end[1] - start[1]) * step / count, radius)
        for step in range(1, count)
    ]


def guard_discs(layout: Layout) -> list[Disc]:
    """Discs over all gears, for a plate that covers them."""
    discs = []
    for gear in layout.gears:
        shaft = layout.shaft(gear.shaft)
        discs.append((shaft.x_mm, shaft.y_mm, 0.5 * gear.tip_diameter_mm + GUARD_MM))
    return discs
