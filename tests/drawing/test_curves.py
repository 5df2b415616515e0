"""Arcs, boxes and gaps against brute force: many points along each curve."""

from __future__ import annotations

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from gearplate.drawing.curves import Segment, box_of, distance_to, gap_between, segment, segments
from gearplate.geometry.shapes import Circle, Path, Stroke
from tests.builders.sheets import rounded_box

numbers = st.floats(-50.0, 50.0).map(lambda value: round(value, 3))
bulges = st.one_of(st.just(0.0), st.floats(0.01, 1.0), st.floats(-1.0, -0.01))


@st.composite
def pieces(draw: st.DrawFn) -> Segment:
    start = (draw(numbers), draw(numbers))
    length, angle = draw(st.floats(0.5, 60.0)), draw(st.floats(0.0, 6.3))
    return segment(start, (start[0] + length * math.cos(angle), start[1] + length * math.sin(angle)), draw(bulges))


def test_a_half_circle_by_hand() -> None:
    """From (0, 0) to (2, 0) counter-clockwise by half a circle: below the chord, round (1, 0)."""
    half = segment((0.0, 0.0), (2.0, 0.0), 1.0)
    assert half.centre == pytest.approx((1.0, 0.0))
    assert half.radius_mm == pytest.approx(1.0)
    assert half.at(0.5) == pytest.approx((1.0, -1.0))
    assert segment((0.0, 0.0), (2.0, 0.0), -1.0).at(0.5) == pytest.approx((1.0, 1.0))


def test_a_quarter_circle_by_hand() -> None:
    quarter = segment((3.0, 0.0), (0.0, 3.0), math.tan(math.pi / 8))
    assert quarter.centre == pytest.approx((0.0, 0.0), abs=1e-12)
    assert quarter.at(0.5) == pytest.approx((3 / math.sqrt(2), 3 / math.sqrt(2)))


@given(pieces())
def test_a_segment_runs_from_end_to_end_with_its_height(piece: Segment) -> None:
    assert math.dist(piece.at(0.0), piece.start) < 1e-9
    assert math.dist(piece.at(1.0), piece.end) < 1e-9
    if piece.is_arc:
        chord = math.dist(piece.start, piece.end)
        middle = ((piece.start[0] + piece.end[0]) / 2, (piece.start[1] + piece.end[1]) / 2)
        # height of an arc = bulge x half the chord (definition of the bulge)
        height = abs(math.tan(piece.sweep_rad / 4)) * chord / 2
        assert math.dist(piece.at(0.5), middle) == pytest.approx(height, abs=1e-9)


@given(pieces(), pieces())
@settings(max_examples=60, deadline=None)
def test_boxes_and_gaps_against_brute_force(a: Segment, b: Segment) -> None:
    many = [a.at(k / 400) for k in range(401)]
    path = Path(((*a.start, math.tan(a.sweep_rad / 4)), (*a.end, 0.0)))
    x0, y0, x1, y1 = box_of(path)
    step = (abs(a.sweep_rad) * a.radius_mm or math.dist(a.start, a.end)) / 400
    assert min(x for x, _ in many) == pytest.approx(x0, abs=step)
    assert max(x for x, _ in many) == pytest.approx(x1, abs=step)
    assert min(y for _, y in many) == pytest.approx(y0, abs=step)
    assert max(y for _, y in many) == pytest.approx(y1, abs=step)
    assert x0 - 1e-9 <= min(x for x, _ in many)
    assert max(y for _, y in many) <= y1 + 1e-9
    brute = min(distance_to(point, b) for point in many)
    gap = gap_between(a, b)
    assert gap <= brute + 1e-9
    assert gap >= brute - step
    assert gap == pytest.approx(gap_between(b, a), abs=1e-9)


@given(pieces(), numbers, numbers)
def test_distance_to_a_segment_against_brute_force(piece: Segment, x: float, y: float) -> None:
    step = (abs(piece.sweep_rad) * piece.radius_mm or math.dist(piece.start, piece.end)) / 400
    brute = min(math.dist((x, y), piece.at(k / 400)) for k in range(401))
    assert brute - step <= distance_to((x, y), piece) <= brute + 1e-9


def test_boxes_of_whole_shapes() -> None:
    assert box_of(Circle(3.0, -2.0, 8.0)) == (-1.0, -6.0, 7.0, 2.0)
    assert box_of(Stroke(((1.0, 5.0), (-2.0, 3.0)))) == (-2.0, 3.0, 1.0, 5.0)
    assert box_of(rounded_box(0.0, 0.0, 10.0, 6.0, 2.0)) == pytest.approx((0.0, 0.0, 10.0, 6.0))


def test_a_circle_is_two_half_circles_that_close() -> None:
    first, second = segments(Circle(1.0, 2.0, 6.0))
    assert first.end == second.start
    assert second.end == first.start
    assert gap_between(first, Segment((10.0, 2.0), (12.0, 2.0))) == pytest.approx(6.0)
    assert distance_to((1.0, 2.0), second) == pytest.approx(3.0)
