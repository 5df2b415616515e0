"""Paths made fit for files: what must not be in them is gone, and the curve has hardly moved."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from gearplate.geometry.clean import clean
from gearplate.geometry.path import area, circle_path, kinks
from gearplate.geometry.shapes import Circle, Path
from gearplate.geometry.slot import rectangle_path, slot_path
from tests.builders.outlines import least_segment_length, random_outline
from tests.builders.regions import largest_deviation


@pytest.mark.parametrize("path", [slot_path(0, 0, 9, 4), rectangle_path(0, 0, 9, 4), circle_path(Circle(0, 0, 3))])
def test_a_sound_path_is_returned_as_it_is(path: Path) -> None:
    assert clean(path) is path


def test_vertices_that_do_nothing_go() -> None:
    path = Path(((0, 0, 0), (2, 0, 0), (4, 0, 0), (4, 0, 0), (4, 3, 0), (0, 3, 0)))
    assert clean(path).vertices == ((0, 0, 0), (4, 0, 0), (4, 3, 0), (0, 3, 0))


def test_the_first_vertex_stays_even_within_a_line() -> None:
    path = Path(((2, 0, 0), (4, 0, 0), (4, 3, 0), (2, 3, 0), (0, 3, 0), (0, 0, 0)))
    assert clean(path).vertices == ((2, 0, 0), (4, 0, 0), (4, 3, 0), (0, 3, 0), (0, 0, 0))


def test_arcs_on_one_circle_are_joined_to_at_most_half() -> None:
    bulge = math.tan(math.pi / 16.0)  # eighths of a circle
    eighths = Path(tuple((math.cos(k * math.pi / 4), math.sin(k * math.pi / 4), bulge) for k in range(8)))
    halves = clean(eighths).vertices
    assert len(halves) == 2
    assert [vertex[2] for vertex in halves] == pytest.approx([1.0, 1.0])


def test_a_long_arc_is_cut() -> None:
    bulge = math.tan(1.5 * math.pi / 4.0)  # three quarters of a circle
    path = Path(((1.0, 0.0, bulge), (0.0, -1.0, 0.0), (0.0, 0.0, 0.0)))
    cut = clean(path)
    assert len(cut.vertices) == 4
    assert max(abs(vertex[2]) for vertex in cut.vertices) < 1.0
    assert largest_deviation(path, cut) < 1e-12


def test_flat_bulges_become_lines() -> None:
    path = Path(((0, 0, 5e-7), (4, 0, -9e-7), (4, 3, 2e-6), (0, 3, 0)))
    assert [vertex[2] for vertex in clean(path).vertices] == [0.0, 0.0, 2e-6, 0.0]


@given(st.floats(1e-6, 0.99e-3), st.floats(2.0, 30.0), st.floats(2.0, 30.0))
def test_a_short_line_between_arcs_is_blended(short: float, first: float, second: float) -> None:
    # Two half circles of different radii, joined by a short line on one side and a long one on the other.
    a, b = first, second
    top = Path(((0, a, 1.0), (0, -a, 0.0), (short, -a, math.tan(math.pi / 8)), (short + a, 0, 0.0), (short + a, b, 0)))
    mended = clean(top)
    assert least_segment_length(mended) >= 1e-3
    assert largest_deviation(top, mended, 0.05) < 1e-6
    assert abs(kinks(mended)[1]) < 1e-9
    assert abs(area(mended) - area(top)) < 1e-6


def test_a_tiny_chamfer_becomes_a_corner() -> None:
    chamfer = 5e-4
    path = Path(((0, 0, 0), (10 - chamfer, 0, 0), (10, chamfer, 0), (10, 6, 0), (0, 6, 0)))
    mended = clean(path)
    assert len(mended.vertices) == 4
    assert mended.vertices[1] == pytest.approx((10.0, 0.0, 0.0), abs=1e-9)


@given(st.integers(0, 40), st.integers(0, 8), st.floats(0.0, 0.9e-3), st.floats(0.0, 2 * math.pi))
def test_a_doubled_vertex_is_mended(seed: int, where: int, hair: float, angle: float) -> None:
    path = random_outline(seed)
    index = where % len(path.vertices)
    x, y, bulge = path.vertices[index]
    double = (x + hair * math.cos(angle), y + hair * math.sin(angle), 0.0)
    vertices = (*path.vertices[:index], double, (x, y, bulge), *path.vertices[index + 1 :])
    mended = clean(Path(vertices))
    assert least_segment_length(mended) >= 1e-3
    assert largest_deviation(Path(vertices), mended, 0.5) < 1e-3
    assert len(mended.vertices) <= len(vertices) + 2


def test_what_is_too_small_is_refused() -> None:
    with pytest.raises(ValueError, match="too small"):
        clean(rectangle_path(0.0, 0.0, 0.9e-3, 0.9e-3))
