"""Outlines with waists follow slots and windows exactly: against the polygon library, and against rows of discs."""

from __future__ import annotations

import math

import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from gearplate.geometry.crossing import self_crossing
from gearplate.geometry.offset import offset
from gearplate.geometry.path import kinks
from gearplate.geometry.segments import Arc, segments
from gearplate.geometry.shapes import Path
from gearplate.geometry.slot import rectangle_path, slot_path
from gearplate.geometry.waist_shapes import RowOfDiscs, bulges_all_round
from gearplate.geometry.waists import waisted_outline
from tests.builders.outlines import least_segment_length
from tests.builders.regions import polygon

Disc = tuple[float, float, float]


def row(x: float, y: float, length: float, radius: float, angle: float) -> RowOfDiscs:
    """A slot's margin with discs along it, so near each other that a waist dips little between them."""
    count = max(2, math.ceil(length))
    along = [(step / count - 0.5) * length for step in range(count + 1)]
    discs = [(x + s * math.cos(angle), y + s * math.sin(angle), radius) for s in along]
    return RowOfDiscs(slot_path(x, y, length, 2.0 * radius, angle), tuple(discs))


def outline(discs: list[Disc], rows: list[RowOfDiscs], fillet: float) -> tuple[Path, Path]:
    """The outline along the rows' contours, and the one round their discs."""
    every = [*discs, *(disc for one in rows for disc in one.discs)]
    return waisted_outline(every, fillet, 0.0, rows).path, waisted_outline(every, fillet).path


def test_a_slot_beside_a_disc() -> None:
    """By hand: the fillet of 10 mm touches the slot's straight side, 5 mm over its axis, and the disc of 8 mm about
    (0, 20): its centre is 15 mm over the axis and 18 mm from the disc's centre."""
    path, rough = outline([(0.0, 20.0, 8.0)], [row(0.0, 0.0, 80.0, 5.0, 0.0)], 10.0)
    aside = math.sqrt(18.0**2 - 5.0**2)
    hollows = [piece for piece in segments(path) if isinstance(piece, Arc) and piece.sweep_rad < 0.0]
    assert sorted(piece.cx for piece in hollows) == pytest.approx([-aside, aside])
    assert [piece.cy for piece in hollows] == pytest.approx([15.0, 15.0])
    # two fillets, the disc in two arcs, two stretches of the upper side, two round ends, the lower side
    assert len(segments(path)) == 9
    assert len(segments(rough)) > 50
    assert max(map(abs, kinks(path))) < 1e-9


@settings(max_examples=60, deadline=None)
@given(
    st.lists(st.tuples(st.floats(-60, 60), st.floats(-60, 60), st.floats(4, 20)), max_size=4),
    st.lists(
        st.tuples(st.floats(-40, 40), st.floats(-40, 40), st.floats(2, 60), st.floats(3, 12), st.floats(0, 3.1)),
        min_size=1,
        max_size=3,
    ),
    st.sampled_from([3.0, 10.0, 40.0]),
)
def test_any_slots_and_discs(discs: list[Disc], slots: list[tuple[float, ...]], fillet: float) -> None:
    rows = [row(*slot) for slot in slots]
    path, rough = outline(discs, rows, fillet)
    assert max(map(abs, kinks(path))) < 1e-6
    assert least_segment_length(path) >= 1e-3
    assert self_crossing(path) is None
    assert len(path.vertices) <= len(rough.vertices) + 2 * len(rows)  # a short slot's two sides, where discs show none
    inside = shapely.union_all(
        [polygon(one.contour, 1e-4) for one in rows]
        + [shapely.Point(x, y).buffer(r, quad_segs=180) for x, y, r in discs]
    )
    assert inside.difference(polygon(path, 1e-5).buffer(3e-4)).area < 1e-6
    assert polygon(path, 1e-4).difference(polygon(rough, 1e-4).buffer(0.3)).area < 1e-3


def test_a_window_all_alone_is_its_margin() -> None:
    margin = offset(rectangle_path(0.0, 0.0, 30.0, 20.0, 0.3, 2.0), 6.0)
    assert bulges_all_round(margin)
    dense = [(piece.cx, piece.cy, piece.radius) for piece in segments(margin) if isinstance(piece, Arc)]
    drawn = waisted_outline(dense, 500.0, 0.0, [RowOfDiscs(margin, tuple(dense))]).path
    assert polygon(drawn, 1e-5).symmetric_difference(polygon(margin, 1e-5)).area < 1e-3
    assert len(drawn.vertices) == len(margin.vertices)


def test_a_contour_with_a_hollow_or_a_corner_is_no_row() -> None:
    assert not bulges_all_round(rectangle_path(0.0, 0.0, 30.0, 20.0))
    hollow = waisted_outline([(-12.0, 0.0, 10.0), (12.0, 0.0, 10.0)], 5.0).path
    assert not bulges_all_round(hollow)


@pytest.mark.parametrize("count", [2, 3])
def test_slots_exactly_on_each_other_are_one(count: int) -> None:
    one, turned = row(0.0, 0.0, 40.0, 5.0, 0.3), row(0.0, 0.0, 40.0, 5.0, 0.3 + math.pi)
    disc = [(0.0, 30.0, 8.0)]
    alone, _ = outline(disc, [one], 20.0)
    assert outline(disc, [one] * count, 20.0)[0] == alone
    with_turned, rough = outline(disc, [one, turned, one][:count], 20.0)
    assert len(with_turned.vertices) == len(alone.vertices) < len(rough.vertices)
    assert polygon(with_turned, 1e-5).symmetric_difference(polygon(alone, 1e-5)).area < 1e-6


def test_slots_in_one_line_that_overlap_are_one_long_slot() -> None:
    """From -20 to 10 and from -10 to 20 along one line is from -20 to 20."""
    turn = 0.7
    ends = [(-5.0 * math.cos(turn), -5.0 * math.sin(turn)), (5.0 * math.cos(turn), 5.0 * math.sin(turn))]
    parts = [row(x, y, 30.0, 5.0, turn) for x, y in ends]
    disc = [(-20.0, 20.0, 8.0)]
    path, _ = outline(disc, parts, 10.0)
    whole, _ = outline(disc, [row(0.0, 0.0, 40.0, 5.0, turn)], 10.0)
    assert len(path.vertices) == len(whole.vertices)
    assert polygon(path, 1e-5).symmetric_difference(polygon(whole, 1e-5)).area < 1e-6


def test_slots_that_cross_have_a_fillet_in_each_corner() -> None:
    """By hand: sides 5 mm from the axes, fillets of 3 mm that touch both: their centres are 8 mm from either."""
    path, _ = outline([], [row(0.0, 0.0, 60.0, 5.0, 0.0), row(0.0, 0.0, 60.0, 5.0, 0.5 * math.pi)], 3.0)
    hollows = sorted((p.cx, p.cy) for p in segments(path) if isinstance(p, Arc) and p.sweep_rad < 0.0)
    wanted = [(-8.0, -8.0), (-8.0, 8.0), (8.0, -8.0), (8.0, 8.0)]
    assert [value for at in hollows for value in at] == pytest.approx([value for at in wanted for value in at])
    assert len(segments(path)) == 4 + 4 + 8  # fillets, round ends, sides


def test_slots_that_share_an_end_and_one_that_ends_on_a_side() -> None:
    corner = [row(20.0, 0.0, 40.0, 5.0, 0.0), row(0.0, 20.0, 40.0, 5.0, 0.5 * math.pi)]
    path, _ = outline([], corner, 3.0)
    assert len(segments(path)) == 1 + 3 + 4  # one hollow, the ends and the outer corner, the sides
    branch = [row(0.0, 0.0, 60.0, 5.0, 0.0), row(0.0, 15.0, 30.0, 5.0, 0.5 * math.pi)]
    path, _ = outline([], branch, 3.0)
    assert len(segments(path)) == 2 + 3 + 5


def test_sides_that_only_touch_from_without_are_no_edge() -> None:
    """Grown by 10 mm, a slot over another at 30 mm touches it along its side: one outline round both, no slit."""
    rows = [row(0.0, 0.0, 120.0, 5.0, 0.0), row(0.0, 30.0, 120.0, 5.0, 0.0)]
    path, _ = outline([(-60.0, 15.0, 12.0), (60.0, 15.0, 12.0)], rows, 10.0)
    assert self_crossing(path) is None
    assert polygon(path, 1e-5).covers(shapely.Point(0.0, 15.0))
