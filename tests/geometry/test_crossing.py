"""Meeting points and self-crossings, against hand-made cases and the polygon library."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from gearplate.geometry.crossing import carrier_meetings, circle_meetings, meetings, self_crossing
from gearplate.geometry.path import circle_path, kinks
from gearplate.geometry.segments import Line, arc_about, distance_to, segments
from gearplate.geometry.shapes import Circle, Path
from gearplate.geometry.slot import rectangle_path, slot_path
from tests.builders.outlines import is_closed_simple
from tests.builders.regions import polygon


def test_a_line_meets_a_circle_and_an_arc() -> None:
    line = Line(-10.0, 3.0, 10.0, 3.0)
    left, right = meetings(line, arc_about(0.0, 0.0, 5.0, 0.0, math.pi))
    assert left == pytest.approx((-4.0, 3.0))
    assert right == pytest.approx((4.0, 3.0))
    assert meetings(line, arc_about(0.0, 0.0, 5.0, 0.0, 0.5 * math.pi)) == [pytest.approx((4.0, 3.0))]
    assert meetings(line, arc_about(0.0, 0.0, 5.0, 0.0, -0.5 * math.pi)) == []


def test_the_first_meeting_of_two_circles_lies_to_the_right() -> None:
    # The 3-4-5 triangle.
    assert circle_meetings(0.0, 0.0, 3.0, 5.0, 0.0, 4.0) == [
        pytest.approx((1.8, -2.4)),
        pytest.approx((1.8, 2.4)),
    ]


@given(st.floats(1e-7, 1e-2), st.floats(1.0, 1000.0))
def test_near_equal_circles_meet_on_both(apart: float, radius: float) -> None:
    for x, y in circle_meetings(0.0, 0.0, radius, 0.0, -apart, radius):
        assert math.hypot(x, y) == pytest.approx(radius, rel=1e-14)
        assert math.hypot(x, y + apart) == pytest.approx(radius, rel=1e-14)


def test_pieces_on_one_carrier_share_their_overlap() -> None:
    assert carrier_meetings(Line(0, 0, 4, 0), Line(1, 0, 9, 0)) == []
    assert set(meetings(Line(0, 0, 4, 0), Line(1, 0, 9, 0))) == {(1, 0), (4, 0)}
    assert meetings(Line(0, 0, 4, 0), Line(5, 0, 9, 0)) == []
    assert meetings(arc_about(0, 0, 1, 0.0, 1.0), arc_about(0, 0, 1, 0.5, 1.0))


@pytest.mark.parametrize(
    "vertices",
    [
        ((0, 0, 0), (4, 4, 0), (4, 0, 0), (0, 4, 0)),  # a bow tie
        ((0, 0, 0), (10, 0, 0), (10, 5, 0), (5, 0, 0), (0, 5, 0)),  # a corner on a side
        ((0, 0, 0), (10, 0, 0), (5, 0, 0), (5, 5, 0)),  # runs back over itself
    ],
)
def test_faults_are_found(vertices: tuple[tuple[float, float, float], ...]) -> None:
    assert self_crossing(Path(vertices)) is not None
    assert not is_closed_simple(Path(vertices))


def test_half_circles_that_bow_inward_cross_where_the_box_is_narrow() -> None:
    wide = Path(((0.0, 0.0, 0.0), (2.5, 0.0, -1.0), (2.5, 2.0, 0.0), (0.0, 2.0, -1.0)))
    narrow = Path(((0.0, 0.0, 0.0), (1.5, 0.0, -1.0), (1.5, 2.0, 0.0), (0.0, 2.0, -1.0)))
    assert self_crossing(wide) is None
    crossing = self_crossing(narrow)
    assert crossing is not None
    assert crossing[0] == pytest.approx(0.75)


@pytest.mark.parametrize(
    "path",
    [
        rectangle_path(0, 0, 3, 2, 0.4),
        rectangle_path(0, 0, 30, 20, 0.4, 5.0),
        slot_path(0, 0, 7, 3, 1.0),
        circle_path(Circle(3, 4, 5), 1.2),
        Path(((0, 0, 0), (4, 0, 1.0))),  # half a disc
        Path(((0, 0, 0.2), (4, 0, 0.2))),  # a lens
    ],
)
def test_sound_paths_are_simple(path: Path) -> None:
    assert is_closed_simple(path)


def test_two_pieces_on_each_other_are_not_simple() -> None:
    assert not is_closed_simple(Path(((0, 0, 0), (4, 0, 0))))
    assert not is_closed_simple(Path(((0, 0, 0.2), (4, 0, -0.2))))
    assert not is_closed_simple(Path(((0, 0, 0), (4, 0, 0), (4, 0, 0), (2, 3, 0))))  # a vertex twice
    assert not is_closed_simple(Path(((0, 0, 1.0),)))


@given(st.lists(st.tuples(st.integers(0, 12), st.integers(0, 12)), min_size=3, max_size=8, unique=True))
def test_polygons_against_the_polygon_library(points: list[tuple[int, int]]) -> None:
    path = Path(tuple((float(x), float(y), 0.0) for x, y in points))
    assert is_closed_simple(path) == polygon(path).is_valid


@given(
    st.lists(
        st.tuples(st.floats(-20, 20), st.floats(-20, 20), st.floats(-0.9, 0.9)), min_size=3, max_size=7, unique=True
    )
)
def test_curved_paths_against_the_polygon_library(vertices: list[tuple[float, float, float]]) -> None:
    path = Path(tuple(vertices))
    if min(math.dist(a[:2], b[:2]) for a in vertices for b in vertices if a is not b) < 0.5:
        return
    if max(abs(kink) for kink in kinks(path)) > 3.0:
        return  # a corner so sharp that its sides cross within the chords' tolerance
    pieces, count = segments(path), len(vertices)
    for i in range(count):
        for j in range(count):
            if j not in (i, (i - 1) % count) and distance_to(pieces[j], *vertices[i][:2]) < 1e-3:
                return  # a vertex on another piece: rounding decides
    fine, coarse = polygon(path, 1e-5).is_valid, polygon(path, 1e-3).is_valid
    if fine == coarse:  # else too close to call by chords
        assert is_closed_simple(path) == fine
