"""Lightening windows: where they may be, how near they come to anything, what they save."""

from __future__ import annotations

import functools
import itertools
from dataclasses import replace

import pytest
from shapely.geometry import Point, box

from gearplate.geometry.crossing import self_crossing
from gearplate.geometry.fillet import fillet
from gearplate.geometry.nearest import path_distance
from gearplate.geometry.offset import offset
from gearplate.geometry.path import area, is_ccw, kinks
from gearplate.geometry.segments import Arc, segments
from gearplate.geometry.slot import polygon_path
from gearplate.layout.design import BodyKind, HoleKind
from gearplate.layout.spec import Side
from gearplate.plate.contours import contour, gap_mm
from gearplate.plate.features import web_mm
from gearplate.plate.lightening import LEAST_AREA_MM2, lightening_features, neighbours
from gearplate.plate.make import make_plates
from gearplate.plate.plate import Feature, Plate
from gearplate.plate.spec import OutlineStyle
from tests.builders.plates import metal, ordinary, placed, wishes
from tests.builders.regions import polygon

STYLES = [(OutlineStyle.HULL, None), (OutlineStyle.HULL, 9.0), (OutlineStyle.WAISTED, None)]


@functools.cache
def lightened(style: OutlineStyle, web: float | None) -> tuple[Plate, Plate]:
    spec, layout = placed()
    return make_plates(layout, spec, wishes(lightening=True, lightening_web_mm=web, outline=style, marks=False))


def windows_of(plate: Plate) -> list[Feature]:
    return [feature for feature in plate.features if feature.kind is HoleKind.WINDOW]


def test_off_unless_asked() -> None:
    assert all(not windows_of(plate) and plate.mass_saved_kg == 0.0 for plate in ordinary())


@pytest.mark.parametrize(("style", "asked"), STYLES)
def test_webs_between_windows_holes_and_edge_are_at_least_the_limit(style: OutlineStyle, asked: float | None) -> None:
    spec, _ = placed()
    compared = 0
    for plate in lightened(style, asked):
        web = max(asked or 0.0, web_mm(spec, plate.side)) - 1e-9
        windows = windows_of(plate)
        assert windows
        for first, second in itertools.combinations(windows, 2):
            assert gap_mm(contour(first), contour(second)) >= web
            compared += 1
        for window in windows:
            assert window.path is not None
            assert path_distance(window.path, plate.outline) >= web
            assert polygon(plate.outline, 1e-4).contains(polygon(window.path, 1e-4))
            for other in plate.features:
                if other.kind is not HoleKind.WINDOW:
                    assert gap_mm(window.path, contour(other)) >= web
                    compared += 1
    assert compared > 50


@pytest.mark.parametrize(("style", "asked"), STYLES)
def test_windows_are_simple_smooth_and_rounded_by_half_the_thickness(style: OutlineStyle, asked: float | None) -> None:
    spec, _ = placed()
    for plate in lightened(style, asked):
        least = 0.5 * spec.stock(plate.side).used_mm
        for window in windows_of(plate):
            assert window.path is not None
            assert is_ccw(window.path)
            assert self_crossing(window.path) is None
            assert max(abs(kink) for kink in kinks(window.path)) < 1e-6
            assert area(window.path) >= LEAST_AREA_MM2
            outward = [p for p in segments(window.path) if isinstance(p, Arc) and p.sweep_rad > 0.0]
            assert outward
            assert min(piece.radius for piece in outward) >= least - 1e-9
            assert (window.x_mm, window.y_mm) == pytest.approx(
                (polygon(window.path, 1e-5).centroid.x, polygon(window.path, 1e-5).centroid.y), abs=1e-3
            )


def test_nothing_that_stands_on_a_plate_loses_its_support() -> None:
    _, layout = placed()
    kinds = (BodyKind.FLANGE, BodyKind.WASHER, BodyKind.SCREW_HEAD, BodyKind.STANDOFF, BodyKind.MOTOR, BodyKind.RAIL)
    compared = 0
    for plate in lightened(OutlineStyle.HULL, None):
        low, high = layout.stack.plate(plate.side)
        for window in windows_of(plate):
            hole = polygon(window.path, 1e-4) if window.path else None
            assert hole is not None
            for body in layout.bodies:
                if body.kind in kinds and (abs(body.z0_mm - high) < 1e-6 or abs(body.z1_mm - low) < 1e-6):
                    foot = box(*body.box) if body.box else Point(body.x_mm, body.y_mm).buffer(body.radius_mm)
                    assert hole.distance(foot) > 0.4
                    compared += 1
    assert compared > 100


def test_the_mass_saved_is_that_of_the_windows() -> None:
    spec, layout = placed()
    heavy = replace(
        spec,
        outboard=replace(spec.outboard, density_kg_m3=1410.0),
        inboard=replace(spec.inboard, density_kg_m3=1410.0, measured_mm=6.2),
    )
    asked = wishes(lightening=True, marks=False)
    for light, plain in zip(
        make_plates(layout, heavy, asked), make_plates(layout, heavy, wishes(marks=False)), strict=True
    ):
        thickness = light.stock.used_mm
        saved = (metal(plain).area - metal(light).area) * thickness * 1e-9 * 1410.0
        assert light.mass_saved_kg == pytest.approx(saved, rel=1e-4)
        assert light.mass_saved_kg > 0.0
    assert make_plates(layout, heavy, asked)[1].stock.used_mm == 6.2


def test_ids_of_windows_name_one_hole_each() -> None:
    outboard, inboard = lightened(OutlineStyle.HULL, None)
    names = [feature.id for plate in (outboard, inboard) for feature in windows_of(plate)]
    assert len(set(names)) == len(names) >= 4
    assert not any(feature.shared for plate in (outboard, inboard) for feature in windows_of(plate))


def test_lettering_comes_before_lightness() -> None:
    spec, layout = placed()
    bare = lightened(OutlineStyle.HULL, None)
    marked = make_plates(layout, spec, wishes(lightening=True))
    for without, plate in zip(bare, marked, strict=True):
        assert {"part", "plate", "face", "forward", "up", "out"} <= {mark.id for mark in plate.marks}
        assert 0 < len(windows_of(plate)) <= len(windows_of(without))


def test_windows_keep_off_an_own_window_with_a_tight_hollow() -> None:
    """No parallel of its contour exists so far out: its hollow is rounded tighter than web and corner reach."""
    spec, layout = placed()
    plate = ordinary()[0]
    corners = [(-20.0, 25.0), (0.0, 25.0), (-12.0, 33.0), (-20.0, 45.0)]  # the third one is a hollow
    path = fillet(polygon_path(corners), 4.0)
    with pytest.raises(ValueError, match="tighter"):
        offset(path, 9.0)
    own = Feature("label", HoleKind.OWN, "window", "free", None, -14.0, 30.0, path=path)
    features = [feature for feature in plate.features if gap_mm(contour(feature), contour(own)) > 6.0] + [own]
    web = web_mm(spec, Side.OUTBOARD)
    windows = lightening_features(layout, Side.OUTBOARD, plate.outline, features, web, 6.0)
    assert windows
    assert min(gap_mm(contour(window), contour(own)) for window in windows) >= web - 1e-9
    assert min(gap_mm(contour(window), contour(own)) for window in windows) < 40.0


def test_neighbours_hang_together_and_their_ribs_do_not_cross() -> None:
    # A Gabriel graph holds the shortest spanning tree and is planar (Gabriel and Sokal 1969; from memory).
    _, layout = placed()
    points = sorted({(hole.x_mm, hole.y_mm) for hole in layout.holes if hole.side is Side.INBOARD})
    pairs = neighbours(points)
    reached, edge = {0}, [0]
    while edge:
        here = edge.pop()
        for a, b in pairs:
            for start, end in ((a, b), (b, a)):
                if start == here and end not in reached:
                    reached.add(end)
                    edge.append(end)
    assert reached == set(range(len(points)))
    from shapely.geometry import LineString

    ribs = [LineString([points[a], points[b]]) for a, b in pairs]
    assert not any(first.crosses(second) for first, second in itertools.combinations(ribs, 2))
