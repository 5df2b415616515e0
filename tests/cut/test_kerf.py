"""From finished contours to paths: the beam, simulated by other code, must leave what was asked."""

from __future__ import annotations

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from gearplate.cut.kerf import hole_path, outline_path, scaled, scaled_stroke
from gearplate.geometry.offset import offset
from gearplate.geometry.path import as_circle, bbox
from gearplate.geometry.segments import Arc, distance_to, segments
from gearplate.geometry.shapes import Circle, Path, Stroke
from gearplate.geometry.slot import rectangle_path, slot_path
from gearplate.geometry.symmetry import same_curve
from tests.builders.outlines import swept_by_beam
from tests.builders.plates import region
from tests.builders.regions import polygon

KERFS = st.floats(0.02, 1.5)
WINDOW = rectangle_path(3.0, -4.0, 30.0, 20.0, 0.4, 4.0)


@settings(max_examples=80)
@given(KERFS, st.floats(2.0, 60.0), st.floats(-200, 200), st.floats(-200, 200))
def test_a_round_path_grown_by_half_the_kerf_is_the_finished_hole(kerf: float, size: float, x: float, y: float) -> None:
    path = hole_path(Circle(x, y, size), kerf, kerf)
    assert isinstance(path, Circle)
    assert (path.x_mm, path.y_mm) == (x, y)
    assert path.diameter_mm + kerf == pytest.approx(size, abs=1e-9)


@settings(max_examples=40)
@given(KERFS)
def test_slots_windows_and_outlines_grown_by_half_the_kerf_are_the_finished_ones(kerf: float) -> None:
    for finished in (slot_path(1.0, 2.0, 12.0, 5.0, 0.7), WINDOW):
        path = hole_path(finished, kerf, kerf)
        assert isinstance(path, Path)
        assert same_curve(offset(path, 0.5 * kerf), finished, 1e-6)
    assert same_curve(offset(outline_path(WINDOW, kerf, kerf), -0.5 * kerf), WINDOW, 1e-6)


@settings(max_examples=10)
@given(st.floats(0.05, 0.6), st.floats(0.05, 0.6))
def test_the_beam_leaves_holes_windows_and_outlines_within_five_micrometres(kerf_x: float, kerf_y: float) -> None:
    for finished in (Circle(5.0, 6.0, 22.0), slot_path(1.0, 2.0, 12.0, 5.0, 0.7), WINDOW):
        path = hole_path(finished, kerf_x, kerf_y)
        drawn = path if isinstance(path, Path) else Path(_two_halves(path))
        left = polygon(drawn, 1e-5).union(swept_by_beam(drawn, kerf_x, kerf_y))
        assert left.exterior.hausdorff_distance(region(finished).exterior) < 0.005
    path = outline_path(WINDOW, kerf_x, kerf_y)
    left = polygon(path, 1e-5).difference(swept_by_beam(path, kerf_x, kerf_y))
    assert left.exterior.hausdorff_distance(region(WINDOW).exterior) < 0.005


def _two_halves(circle: Circle) -> tuple[tuple[float, float, float], ...]:
    radius = 0.5 * circle.diameter_mm
    return ((circle.x_mm + radius, circle.y_mm, 1.0), (circle.x_mm - radius, circle.y_mm, 1.0))


def test_a_kerf_that_differs_little_by_axis_is_drawn_as_the_mean_circle() -> None:
    # up to five micrometres over a hole, which is what a finished hole may be off by
    path = hole_path(Circle(0.0, 0.0, 22.0), 0.2, 0.2049)
    assert path == Circle(0.0, 0.0, pytest.approx(22.0 - 0.20245))
    polyline = hole_path(Circle(0.0, 0.0, 22.0), 0.2, 0.2051)
    assert isinstance(polyline, Path)
    assert as_circle(polyline, 1e-6) is None


def test_a_kerf_that_differs_by_axis_gives_arcs_within_a_micrometre() -> None:
    # The exact path of an elliptical beam (a, b) in a round hole of radius R: R n - (a^2 nx, b^2 ny) / w.
    kx, ky, radius = 0.26, 0.14, 11.0
    path = hole_path(Circle(0.0, 0.0, 2.0 * radius), kx, ky)
    assert isinstance(path, Path)
    pieces = segments(path)
    assert all(isinstance(piece, Arc) for piece in pieces)
    a, b = 0.5 * kx, 0.5 * ky
    for step in range(720):
        nx, ny = math.cos(step * math.pi / 360.0), math.sin(step * math.pi / 360.0)
        w = math.hypot(a * nx, b * ny)
        x, y = radius * nx - a * a * nx / w, radius * ny - b * b * ny / w
        assert min(distance_to(piece, x, y) for piece in pieces) < 0.001
    x0, y0, x1, y1 = bbox(path)
    assert (x1 - x0, y1 - y0) == pytest.approx((2.0 * radius - kx, 2.0 * radius - ky), abs=0.002)


def test_what_the_beam_cannot_enter_is_refused() -> None:
    with pytest.raises(ValueError, match="no wider than the cut"):
        hole_path(Circle(0.0, 0.0, 0.2), 0.2, 0.2)
    with pytest.raises(ValueError, match="tighter"):
        hole_path(slot_path(0.0, 0.0, 5.0, 0.2), 0.21, 0.21)
    hollow = Path(
        ((0.0, 0.0, 0.0), (20.0, 0.0, 0.0), (20.0, 20.0, 0.0), (10.1, 20.0, -1.0), (9.9, 20.0, 0.0), (0.0, 20.0, 0.0))
    )
    with pytest.raises(ValueError, match="tighter"):
        outline_path(hollow, 0.3, 0.3)


def test_no_kerf_leaves_the_finished_contour() -> None:
    assert hole_path(WINDOW, 0.0, 0.0) == WINDOW
    assert hole_path(Circle(1.0, 2.0, 3.0), 0.0, 0.0) == Circle(1.0, 2.0, 3.0)
    assert outline_path(WINDOW, 0.0, 0.0) == WINDOW


def test_a_correction_of_scale_multiplies_everything() -> None:
    assert scaled(Circle(10.0, -20.0, 5.0), 1.0, 1.0) == Circle(10.0, -20.0, 5.0)
    assert scaled(Circle(10.0, -20.0, 5.0), 1.002, 1.002) == Circle(
        pytest.approx(10.02), pytest.approx(-20.04), pytest.approx(5.01)
    )
    assert scaled_stroke(Stroke(((1.0, 2.0), (3.0, 4.0))), 1.01, 1.0) == Stroke(
        ((pytest.approx(1.01), 2.0), (pytest.approx(3.03), 4.0))
    )
    wide = scaled(WINDOW, 1.003, 1.003)
    assert isinstance(wide, Path)
    assert polygon(wide, 1e-5).area == pytest.approx(polygon(WINDOW, 1e-5).area * 1.003**2, rel=1e-7)


def test_factors_that_differ_by_axis_keep_within_a_micrometre() -> None:
    circle = Circle(30.0, -10.0, 28.0)
    drawn = scaled(circle, 1.002, 0.999)
    assert isinstance(drawn, Path)
    for step in range(360):
        angle = step * math.pi / 180.0
        x = 1.002 * (30.0 + 14.0 * math.cos(angle))
        y = 0.999 * (-10.0 + 14.0 * math.sin(angle))
        assert min(distance_to(piece, x, y) for piece in segments(drawn)) < 0.001
    small = scaled(Circle(30.0, -10.0, 1.0), 1.002, 0.999)
    assert isinstance(small, Circle)  # 3 um out of round
    window = scaled(WINDOW, 1.002, 0.999)
    assert isinstance(window, Path)
    import shapely.affinity

    stretched = shapely.affinity.scale(polygon(WINDOW, 1e-5), 1.002, 0.999, origin=(0, 0))
    assert polygon(window, 1e-5).exterior.hausdorff_distance(stretched.exterior) < 0.001
