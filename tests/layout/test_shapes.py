"""Gaps and extents of discs, boxes and turned squares: by hand, and against shapely, which shares no code with ours."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st
from shapely import affinity
from shapely.geometry import Point, Polygon, box

from gearplate.layout.design import Body, BodyKind
from gearplate.layout.shapes import gap_between, gap_to_point, upright_box

MM = st.floats(-60.0, 60.0).map(lambda value: round(value, 3))
SIZE = st.floats(0.5, 25.0).map(lambda value: round(value, 3))
TURN = st.floats(-4.0, 4.0).map(lambda value: round(value, 4))
CHORD_MM = 2e-3  # by which shapely's arcs of chords lie inside the circle, at 128 a quarter and 25 mm


def disc(x: float, y: float, radius: float) -> Body:
    return Body("disc", BodyKind.GEAR, None, x, y, radius, 0.0, 5.0)


def square(x: float, y: float, half: float, corner: float, angle: float) -> Body:
    """A square `half` from middle to side, with round corners."""
    core = half - corner
    whole = disc(x, y, math.sqrt(2.0) * core + corner)
    return replace(whole, kind=BodyKind.MOTOR, core_mm=core, angle_rad=angle)


def flat(x: float, y: float, width: float, height: float) -> Body:
    return Body("box", BodyKind.KEEP_OUT, None, x, y, 0.0, 0.0, 5.0, box=(x - width, y - height, x + width, y + height))


def drawn(body: Body) -> Polygon:
    if body.box is not None:
        return box(*body.box)
    if body.core_mm == 0.0:
        return Point(body.x_mm, body.y_mm).buffer(body.radius_mm, quad_segs=128)
    x, y, core = body.x_mm, body.y_mm, body.core_mm
    upright = box(x - core, y - core, x + core, y + core).buffer(body.rounding_mm, quad_segs=128)
    return affinity.rotate(upright, body.angle_rad, origin=(x, y), use_radians=True)


BODIES = st.one_of(
    st.builds(disc, MM, MM, SIZE),
    st.builds(square, MM, MM, SIZE, st.floats(0.0, 0.4), TURN),
    st.builds(flat, MM, MM, SIZE, SIZE),
)


@given(BODIES, BODIES)
def test_the_gap_is_that_of_the_drawn_shapes(a: Body, b: Body) -> None:
    gap = gap_between(a, b)
    assert gap == pytest.approx(gap_between(b, a), abs=1e-9)
    apart = drawn(a).distance(drawn(b))
    if gap > CHORD_MM:
        assert apart == pytest.approx(gap, abs=CHORD_MM)
    elif gap < -CHORD_MM:
        assert drawn(a).intersects(drawn(b))


@given(BODIES, BODIES)
def test_what_overlaps_is_parted_by_so_much_and_no_less(a: Body, b: Body) -> None:
    """Moved by the depth in some direction they touch; moved by a hundredth less in any of 180, they still overlap."""
    depth = -gap_between(a, b)
    if depth < 0.1:
        return
    parted = []
    for step in range(180):
        turn = step * math.pi / 90
        less = 0.99 * depth
        assert gap_between(_shifted(a, less * math.cos(turn), less * math.sin(turn)), b) < 0.0
        more = 1.01 * depth + 1e-6
        parted.append(gap_between(_shifted(a, more * math.cos(turn), more * math.sin(turn)), b) > -0.01 * depth - 0.02)
    assert any(parted)


def _shifted(body: Body, dx: float, dy: float) -> Body:
    moved = replace(body, x_mm=body.x_mm + dx, y_mm=body.y_mm + dy)
    if body.box is None:
        return moved
    x0, y0, x1, y1 = body.box
    return replace(moved, box=(x0 + dx, y0 + dy, x1 + dx, y1 + dy))


@given(BODIES)
def test_the_upright_box_holds_the_drawn_shape_and_no_more(body: Body) -> None:
    assert upright_box(body) == pytest.approx(drawn(body).bounds, abs=CHORD_MM)


@given(BODIES, MM, MM)
def test_a_point_is_a_disc_of_no_size(body: Body, x: float, y: float) -> None:
    assert gap_to_point(body, x, y) == pytest.approx(gap_between(body, disc(x, y, 0.0)), abs=1e-9)


def test_squares_by_hand() -> None:
    """20 mm squares with corners of 2 mm: edgewise a corner stands 8 sqrt(2) + 2 mm from the middle."""
    beside, edgewise = square(0, 0, 10, 2, 0.0), square(0, 0, 10, 2, math.pi / 4)
    corner = 8 * math.sqrt(2) + 2
    assert gap_between(beside, disc(30, 0, 5)) == pytest.approx(15.0)
    assert gap_between(edgewise, disc(30, 0, 5)) == pytest.approx(25.0 - corner)
    assert gap_between(edgewise, flat(40, 0, 10, 50)) == pytest.approx(30.0 - corner)
    assert gap_between(beside, replace(beside, x_mm=19.0)) == pytest.approx(-1.0)
    assert gap_between(replace(beside, angle_rad=None), disc(30, 0, 5)) == pytest.approx(25.0 - corner)
    assert upright_box(edgewise) == pytest.approx((-corner, -corner, corner, corner))
    assert upright_box(beside) == pytest.approx((-10, -10, 10, 10))
