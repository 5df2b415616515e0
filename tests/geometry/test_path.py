"""Measures of paths against closed formulas, and where a path starts."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from gearplate.geometry.path import (
    area,
    as_circle,
    bbox,
    circle_path,
    counter_clockwise,
    is_ccw,
    kinks,
    path_length,
    point_on_circle,
    reversed_path,
    signed_area,
    split_long_arcs,
    starting_at_vertex,
    starting_near,
    starting_toward,
)
from gearplate.geometry.segments import arc_about, length
from gearplate.geometry.shapes import Circle, Path
from gearplate.geometry.slot import rectangle_path, slot_path
from tests.builders.outlines import least_segment_length, random_outline
from tests.builders.regions import largest_deviation, polygon

SLOT = slot_path(3.0, -2.0, 10.0, 4.0, 0.3)


def test_area_length_and_box_of_a_slot() -> None:
    # Two half circles of radius 2 and a 10 by 4 rectangle.
    assert signed_area(SLOT) == pytest.approx(40.0 + 4.0 * math.pi, abs=1e-12)
    assert path_length(SLOT) == pytest.approx(20.0 + 4.0 * math.pi, abs=1e-12)
    reach_x, reach_y = 5.0 * math.cos(0.3) + 2.0, 5.0 * math.sin(0.3) + 2.0
    assert bbox(SLOT) == pytest.approx((3.0 - reach_x, -2.0 - reach_y, 3.0 + reach_x, -2.0 + reach_y), abs=1e-12)
    assert least_segment_length(SLOT) == pytest.approx(2.0 * math.pi)
    assert max(abs(kink) for kink in kinks(SLOT)) < 1e-12


def test_a_flat_arc_adds_its_segment() -> None:
    # Area between chord c and arc of sagitta s is 2/3 c s + s^3 / (2 c) for flat ones (Bronstein; from memory).
    bulge, chord = 1e-4, 100.0
    sagitta = 0.5 * bulge * chord
    flat = Path(((0.0, 0.0, 0.0), (0.0, 10.0, 0.0), (-chord, 10.0, 0.0), (-chord, 0.0, bulge)))
    plain = Path(tuple((x, y, 0.0) for x, y, _ in flat.vertices))
    assert signed_area(flat) - signed_area(plain) == pytest.approx(2.0 / 3.0 * chord * sagitta, rel=1e-6)


@pytest.mark.parametrize("seed", range(20))
def test_area_and_length_against_the_polygon_library(seed: int) -> None:
    path = random_outline(seed)
    chords = polygon(path, 1e-6)
    assert area(path) == pytest.approx(chords.area, abs=1e-6 * chords.length)
    assert path_length(path) == pytest.approx(chords.length, rel=1e-5)
    assert bbox(path) == pytest.approx(chords.bounds, abs=2e-6)


def test_reversing_keeps_the_curve_and_the_first_vertex() -> None:
    path = random_outline(4)
    back = reversed_path(path)
    assert back.vertices[0][:2] == path.vertices[0][:2]
    assert signed_area(back) == pytest.approx(-signed_area(path))
    assert largest_deviation(path, back) < 1e-12
    assert reversed_path(back) == path
    assert is_ccw(path)
    assert not is_ccw(back)
    assert is_ccw(counter_clockwise(back))


def test_kinks_are_the_corners() -> None:
    assert kinks(rectangle_path(0.0, 0.0, 4.0, 3.0)) == pytest.approx([0.5 * math.pi] * 4)
    assert sum(kinks(random_outline(7, round_pieces=False))) == pytest.approx(2.0 * math.pi)


@given(st.floats(-10.0, 10.0))
def test_a_circle_starts_where_asked(angle: float) -> None:
    circle = Circle(5.0, -7.0, 28.6)
    path = circle_path(circle, angle)
    assert path.vertices[0][:2] == pytest.approx(point_on_circle(circle, angle))
    assert area(path) == pytest.approx(math.pi * 14.3**2)
    found = as_circle(path)
    assert found is not None
    assert (found.x_mm, found.y_mm, found.diameter_mm) == pytest.approx((5.0, -7.0, 28.6))


def test_a_slot_is_no_circle_and_a_circle_needs_a_size() -> None:
    assert as_circle(SLOT) is None
    with pytest.raises(ValueError, match="positive diameter"):
        circle_path(Circle(0.0, 0.0, 0.0))


@given(st.integers(0, 30), st.floats(-80.0, 80.0), st.floats(-80.0, 80.0))
def test_a_moved_start_draws_the_same_curve(seed: int, x: float, y: float) -> None:
    path = random_outline(seed)
    moved = starting_near(path, x, y)
    assert largest_deviation(path, moved, 5.0) < 1e-9
    assert signed_area(moved) == pytest.approx(signed_area(path))
    assert len(moved.vertices) <= len(path.vertices) + 1
    start = math.dist(moved.vertices[0][:2], (x, y))
    points = polygon(path, 1e-3).exterior
    import shapely

    assert start == pytest.approx(points.distance(shapely.Point(x, y)), abs=5e-3)


def test_start_by_vertex_and_direction() -> None:
    box = rectangle_path(0.0, 0.0, 10.0, 6.0)
    assert starting_at_vertex(box, 2).vertices[0] == box.vertices[2]
    start = starting_toward(box, 0.5 * math.pi).vertices[0]
    assert start[:2] == pytest.approx((0.0, 3.0))
    start = starting_toward(circle_path(Circle(1.0, 1.0, 4.0)), 2.0).vertices[0]
    assert start[:2] == pytest.approx(point_on_circle(Circle(1.0, 1.0, 4.0), 2.0))


def test_long_arcs_are_halved() -> None:
    parts = split_long_arcs([arc_about(0.0, 0.0, 3.0, 1.0, -5.0)])
    assert len(parts) == 2
    assert sum(length(piece) for piece in parts) == pytest.approx(15.0)
    assert (parts[0].x1, parts[0].y1) == (parts[1].x0, parts[1].y0)
