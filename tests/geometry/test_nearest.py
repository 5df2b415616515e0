"""Inside, outside and distances, against the polygon library on fine chords and hand-made cases."""

from __future__ import annotations

import math

import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from gearplate.geometry.nearest import (
    circle_clear_of,
    circle_curve_distance,
    contains,
    distance_to_path,
    path_distance,
    segment_distance,
    signed_distance,
)
from gearplate.geometry.path import circle_path, reversed_path
from gearplate.geometry.segments import Line, arc_about
from gearplate.geometry.shapes import Circle, Path
from gearplate.geometry.slot import rectangle_path, slot_path
from gearplate.geometry.transform import rotated, translated
from tests.builders.outlines import random_outline, web_inside
from tests.builders.regions import polygon

BOX = rectangle_path(0.0, 0.0, 20.0, 10.0)
outlines = st.integers(0, 60).map(random_outline)


@given(outlines, st.floats(-70.0, 70.0), st.floats(-70.0, 70.0))
def test_inside_and_distance_against_chords(path: Path, x: float, y: float) -> None:
    region, point = polygon(path, 1e-4), shapely.Point(x, y)
    away = float(region.exterior.distance(point))
    assert distance_to_path(path, x, y) == pytest.approx(away, abs=1.5e-4)
    if away > 2e-4:
        inside = bool(region.contains(point))
        assert contains(path, x, y) == inside
        assert contains(reversed_path(path), x, y) == inside
        assert (signed_distance(path, x, y) < 0.0) == inside


@given(st.integers(-12, 12), st.integers(-8, 8))
def test_points_level_with_corners_and_chords(x: int, y: int) -> None:
    # A disc cut in halves along its diameter, and a box: many points lie exactly on chords' lines.
    disc = circle_path(Circle(0.0, 0.0, 13.0), 0.0)
    assert contains(disc, x, y) == (math.hypot(x, y) < 6.5)
    upright = circle_path(Circle(0.0, 0.0, 13.0), 0.5 * math.pi)
    assert contains(upright, x, y) == (math.hypot(x, y) < 6.5)
    if abs(x) != 10 and abs(y) != 5:
        assert contains(BOX, x, y) == (abs(x) < 10 and abs(y) < 5)


def test_a_flat_arc_is_told_from_its_chord() -> None:
    bulge = 1e-5  # sagitta 0.5 micrometre on 100 mm
    flat = Path(((0.0, 0.0, bulge), (100.0, 0.0, 0.0), (100.0, 10.0, 0.0), (0.0, 10.0, 0.0)))
    assert contains(flat, 50.0, -0.4e-3)
    assert not contains(flat, 50.0, -0.6e-3)


def test_the_web_of_a_hole_and_the_gap_beside_a_window() -> None:
    assert web_inside(BOX, Circle(7.0, 0.0, 4.0)) == pytest.approx(1.0)
    assert web_inside(BOX, Circle(9.0, 0.0, 4.0)) == pytest.approx(-1.0)  # breaks out
    assert circle_clear_of(BOX, Circle(14.0, 0.0, 4.0)) == pytest.approx(2.0)
    assert circle_clear_of(BOX, Circle(11.0, 0.0, 4.0)) == pytest.approx(-1.0)  # overlaps
    assert circle_clear_of(BOX, Circle(0.0, 0.0, 4.0)) == pytest.approx(-7.0)  # 5 deep, and its radius


@given(outlines, st.floats(-60, 60), st.floats(-60, 60), st.floats(0.5, 80))
def test_circle_and_curve_against_chords(path: Path, x: float, y: float, diameter: float) -> None:
    ring = shapely.Point(x, y).buffer(0.5 * diameter, quad_segs=512).exterior
    expected = float(ring.distance(polygon(path, 1e-4).exterior))
    assert circle_curve_distance(path, Circle(x, y, diameter)) == pytest.approx(expected, abs=5e-4)


@settings(max_examples=60)
@given(outlines, outlines, st.floats(-150, 150), st.floats(-150, 150), st.floats(0.0, 6.0))
def test_two_curves_against_chords(first: Path, second: Path, dx: float, dy: float, turn: float) -> None:
    moved = translated(rotated(second, turn), dx, dy)
    expected = float(polygon(first, 1e-4).exterior.distance(polygon(moved, 1e-4).exterior))
    assert path_distance(first, moved) == pytest.approx(expected, abs=3e-4)
    assert path_distance(moved, first) == pytest.approx(path_distance(first, moved), abs=1e-9)


def test_a_path_inside_another_is_measured_to_its_curve() -> None:
    assert path_distance(rectangle_path(0, 0, 40, 40), circle_path(Circle(2.0, 0.0, 10.0))) == pytest.approx(13.0)
    assert path_distance(slot_path(0, 0, 10, 4), slot_path(1, 0, 10, 2)) == pytest.approx(0.0, abs=1e-12)


def test_pieces_that_face_each_other() -> None:
    # Two quarter arcs, their bellies 3 mm apart on the line of centres, their ends farther.
    first, second = arc_about(0, 0, 5, -0.7, 1.4), arc_about(13, 0, 5, math.pi - 0.7, 1.4)
    assert segment_distance(first, second) == pytest.approx(3.0)
    assert segment_distance(first, Line(7.0, -9.0, 7.0, 9.0)) == pytest.approx(2.0)
    assert segment_distance(Line(0, 0, 4, 0), Line(1, 2, 3, 5)) == pytest.approx(2.0)
