"""Plates that equal their own mirror image, and those that do not."""

from __future__ import annotations

import math
from dataclasses import replace

from gearplate.geometry.discs import hull_of_discs
from gearplate.geometry.slot import rectangle_path
from gearplate.layout.design import HoleKind
from gearplate.plate.mirror import mirror_axis_x_mm
from gearplate.plate.plate import Feature
from tests.builders.plates import ordinary


def hole(name: str, x: float, y: float, diameter: float, **more: object) -> Feature:
    base = Feature(name, HoleKind.STANDOFF, "circle", "screw", None, x, y, diameter)
    return replace(base, **more)  # type: ignore[arg-type]


def symmetrical() -> list[Feature]:
    return [
        hole("bore", 4.0, 0.0, 28.0, seat="bearing"),
        hole("a", -26.0, 40.0, 5.0),
        hole("b", 34.0, 40.0, 5.0),
        hole("s", -16.0, -30.0, 4.0, form="slot", length_mm=8.0, angle_rad=0.5),
        hole("t", 24.0, -30.0, 4.0, form="slot", length_mm=8.0, angle_rad=math.pi - 0.5),
        hole("w", 4.0, 25.0, 0.0, form="window", path=rectangle_path(4.0, 25.0, 12.0, 8.0, 0.0, 2.0)),
    ]


def outline(features: list[Feature]) -> object:
    return hull_of_discs([(f.x_mm, f.y_mm, 12.0) for f in features] + [(4.0, 0.0, 22.0)])


def test_the_axis_is_found_wherever_it_stands() -> None:
    features = symmetrical()
    axis = mirror_axis_x_mm(outline(features), features)  # type: ignore[arg-type]
    assert axis is not None
    assert math.isclose(axis, 4.0, abs_tol=1e-9)


def test_one_odd_hole_one_odd_fit_or_an_odd_edge_breaks_it() -> None:
    features = symmetrical()
    edge = outline(features)
    moved = [replace(f, y_mm=40.01) if f.id == "b" else f for f in features]
    assert mirror_axis_x_mm(edge, moved) is None  # type: ignore[arg-type]
    pressed = [replace(f, fit_mm=-0.05) if f.id == "b" else f for f in features]
    assert mirror_axis_x_mm(edge, pressed) is None  # type: ignore[arg-type]
    turned = [replace(f, angle_rad=0.5) if f.id == "t" else f for f in features]
    assert mirror_axis_x_mm(edge, turned) is None  # type: ignore[arg-type]
    window = rectangle_path(4.5, 25.0, 12.0, 8.0, 0.0, 2.0)
    shifted = [replace(f, path=window) if f.id == "w" else f for f in features]
    assert mirror_axis_x_mm(edge, shifted) is None  # type: ignore[arg-type]
    odd = hull_of_discs([(f.x_mm, f.y_mm, 12.0) for f in features] + [(4.0, 0.0, 22.0), (30.0, 0.0, 12.0)])
    assert mirror_axis_x_mm(odd, features) is None


def test_an_ordinary_drive_is_not_its_own_mirror() -> None:
    assert not any(plate.own_mirror for plate in ordinary())
