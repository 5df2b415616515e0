"""The user's own holes, slots and windows, by coordinate or hung on a shaft."""

from __future__ import annotations

from gearplate.geometry.fillet import fillet
from gearplate.geometry.shapes import Path
from gearplate.geometry.slot import polygon_path
from gearplate.layout.design import HoleKind, Layout
from gearplate.layout.spec import Side
from gearplate.plate.contours import middle_of
from gearplate.plate.plate import Feature
from gearplate.plate.spec import OwnHole, PlateSpec


def own_features(layout: Layout, wishes: PlateSpec, side: Side) -> list[Feature]:
    """The own holes of one plate. One asked for in both plates has one name and one place in both.

    Raises:
        ValueError: a window whose points draw no simple contour.
    """
    return [_feature(layout, hole) for hole in wishes.own_holes if side in hole.sides]


def _feature(layout: Layout, hole: OwnHole) -> Feature:
    x, y = hole.x_mm, hole.y_mm
    if hole.shaft is not None:
        shaft = layout.shaft(hole.shaft)
        x, y = x + shaft.x_mm, y + shaft.y_mm
    kind = HoleKind(hole.kind)
    if hole.form == "window":
        path = window_path(hole, x, y)
        middle = middle_of(path)
        return Feature(hole.name, kind, "window", "free", hole.shaft, *middle, fit_mm=hole.fit_mm, path=path)
    slot = hole.form == "slot" and hole.length_mm > 0.0
    return Feature(
        hole.name,
        kind,
        "slot" if slot else "circle",
        "free",
        hole.shaft,
        x,
        y,
        hole.diameter_mm,
        hole.length_mm if slot else 0.0,
        hole.angle_rad if slot else 0.0,
        fit_mm=hole.fit_mm,
    )


def window_path(hole: OwnHole, x_mm: float, y_mm: float) -> Path:
    """The contour of an own window, its points counted from (x, y), its corners rounded as far as they fit."""
    sharp = polygon_path([(x_mm + px, y_mm + py) for px, py in hole.points])
    return fillet(sharp, hole.corner_radius_mm) if hole.corner_radius_mm > 0.0 else sharp
