"""Pieces of paths: bulge against centre and angle, and shares, boxes and distances against sampled points."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from gearplate.geometry.segments import (
    Arc,
    Line,
    arc_about,
    arc_from,
    backwards,
    bulge_of,
    chord_tangent,
    distance_to,
    length,
    nearest_on,
    part,
    path_of,
    point_at,
    segment_bbox,
    segment_between,
    segments,
    share_of,
    tangent_at,
)
from gearplate.geometry.shapes import Path

coordinate = st.floats(-100.0, 100.0)
arcs = st.builds(
    arc_about,
    coordinate,
    coordinate,
    st.floats(0.01, 200.0),
    st.floats(-math.pi, math.pi),
    st.floats(0.01, 2.0 * math.pi - 0.01).flatmap(lambda sweep: st.sampled_from((sweep, -sweep))),
)


def test_a_bulge_of_one_is_half_a_circle_that_bows_to_the_right() -> None:
    arc = segment_between(0.0, 0.0, 1.0, 2.0, 0.0)
    assert isinstance(arc, Arc)
    assert (arc.cx, arc.cy, arc.radius, arc.sweep_rad) == pytest.approx((1.0, 0.0, 1.0, math.pi))
    assert point_at(arc, 0.5) == pytest.approx((1.0, -1.0))  # counter-clockwise from left to right runs below


def test_a_quarter_circle_has_the_bulge_tan_of_a_sixteenth_turn() -> None:
    assert bulge_of(arc_about(3.0, 4.0, 5.0, 0.2, 0.5 * math.pi)) == pytest.approx(math.sqrt(2.0) - 1.0)
    assert bulge_of(arc_about(3.0, 4.0, 5.0, 0.2, -0.5 * math.pi)) == pytest.approx(1.0 - math.sqrt(2.0))


@given(arcs)
def test_an_arc_survives_its_bulge(arc: Arc) -> None:
    again = segment_between(arc.x0, arc.y0, bulge_of(arc), arc.x1, arc.y1)
    assert isinstance(again, Arc)
    # Nearly closed arcs hang on a short chord: their centre is known to rounding over chord.
    slack = 1e-9 * (1.0 + arc.radius / math.sin(0.5 * min(abs(arc.sweep_rad), 2 * math.pi - abs(arc.sweep_rad))))
    assert math.hypot(again.cx - arc.cx, again.cy - arc.cy) < slack
    assert again.sweep_rad == pytest.approx(arc.sweep_rad)


@given(arcs, st.floats(0.0, 1.0))
def test_points_tangents_and_shares_agree(arc: Arc, share: float) -> None:
    x, y = point_at(arc, share)
    assert math.hypot(x - arc.cx, y - arc.cy) == pytest.approx(arc.radius)
    assert distance_to(arc, x, y) < 1e-9
    assert share_of(arc, x, y) == pytest.approx(share, abs=1e-6)
    ux, uy = tangent_at(arc, share)
    assert abs(ux * (x - arc.cx) + uy * (y - arc.cy)) < 1e-9
    other = backwards(arc)
    assert point_at(other, 1.0 - share) == pytest.approx((x, y), abs=1e-9)
    vx, vy = tangent_at(other, 1.0 - share)
    assert (vx, vy) == pytest.approx((-ux, -uy), abs=1e-9)


@given(arcs)
def test_the_tangent_read_from_the_chord_is_the_tangent(arc: Arc) -> None:
    if 0.1 < abs(arc.sweep_rad) < 6.0:
        assert chord_tangent(arc, at_end=False) == pytest.approx(tangent_at(arc, 0.0), abs=1e-9)
        assert chord_tangent(arc, at_end=True) == pytest.approx(tangent_at(arc, 1.0), abs=1e-9)
        again = arc_from((arc.x0, arc.y0), tangent_at(arc, 0.0), (arc.x1, arc.y1))
        assert bulge_of(again) == pytest.approx(bulge_of(arc), rel=1e-6)


@given(arcs)
def test_the_box_holds_the_arc_and_touches_it(arc: Arc) -> None:
    low_x, low_y, high_x, high_y = segment_bbox(arc)
    points = [point_at(arc, index / 720.0) for index in range(721)]
    xs, ys = [p[0] for p in points], [p[1] for p in points]
    sagitta = 1e-9 + arc.radius * (1.0 - math.cos(abs(arc.sweep_rad) / 720.0))
    for bound, found in ((low_x, min(xs)), (low_y, min(ys)), (-high_x, -max(xs)), (-high_y, -max(ys))):
        assert found - sagitta <= bound <= found + 1e-9


@given(arcs, coordinate, coordinate)
def test_no_sampled_point_is_nearer_than_the_nearest(arc: Arc, x: float, y: float) -> None:
    best = distance_to(arc, x, y)
    near = nearest_on(arc, x, y)
    assert math.hypot(near[0] - x, near[1] - y) == pytest.approx(best, abs=1e-9)
    sampled = min(math.dist((x, y), point_at(arc, index / 360.0)) for index in range(361))
    assert best <= sampled + 1e-9
    assert sampled <= best + arc.radius * abs(arc.sweep_rad) / 360.0


def test_parts_share_their_cut() -> None:
    arc = arc_about(0.0, 0.0, 2.0, 0.0, math.pi)
    before, after = part(arc, 0.0, 0.25), part(arc, 0.25, 1.0)
    assert (before.x1, before.y1) == (after.x0, after.y0)
    assert length(before) + length(after) == pytest.approx(2.0 * math.pi)
    assert part(Line(0.0, 0.0, 4.0, 0.0), 0.25, 0.5) == Line(1.0, 0.0, 2.0, 0.0)


def test_a_path_is_made_of_its_segments() -> None:
    path = Path(((0.0, 0.0, 0.0), (4.0, 0.0, 1.0), (4.0, 2.0, 0.0), (0.0, 2.0, 0.0)))
    pieces = segments(path)
    assert [type(piece) for piece in pieces] == [Line, Arc, Line, Line]
    assert (pieces[0].x0, pieces[0].y0) == (0.0, 0.0)
    for old, new in zip(path.vertices, path_of(pieces).vertices, strict=True):
        assert new == pytest.approx(old, abs=1e-15)
