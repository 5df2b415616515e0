"""Labels cover neither each other nor what they name, as long as there is room at all."""

from __future__ import annotations

import math
import time

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from gearplate.geometry.boxes import line_meets_box
from gearplate.packet import labels
from gearplate.packet.labels import Box, Label, PlacedLabel, label_size, placed_labels, text_width

BOUNDS = (-100.0, -100.0, 100.0, 100.0)


def overlap(a: Box, b: Box) -> float:
    return max(0.0, min(a[2], b[2]) - max(a[0], b[0])) * max(0.0, min(a[3], b[3]) - max(a[1], b[1]))


def gap_to_disc(box: Box, x: float, y: float, radius: float) -> float:
    dx, dy = max(box[0] - x, 0.0, x - box[2]), max(box[1] - y, 0.0, y - box[3])
    return math.hypot(dx, dy) - radius


@settings(max_examples=60, deadline=None)
@given(st.lists(st.tuples(st.floats(-90, 90), st.floats(-90, 90), st.floats(1, 8)), max_size=14))
def test_with_room_nothing_is_covered(discs: list[tuple[float, float, float]]) -> None:
    labels = [Label((f"hole-{n}", "5.250"), *disc) for n, disc in enumerate(discs)]
    placed = placed_labels(labels, 3.0, discs, BOUNDS)
    for index, one in enumerate(placed):
        assert all(overlap(one.box, other.box) < 1e-9 for other in placed[:index])
        assert all(gap_to_disc(one.box, *disc) > -1e-9 for disc in discs)
        assert BOUNDS[0] <= one.box[0]
        assert one.box[3] <= BOUNDS[3]


def only(label: Label, *keep_off: tuple[float, float, float]) -> PlacedLabel:
    return placed_labels([label], 4.0, keep_off, BOUNDS)[0]


def test_a_wide_hole_takes_its_label_inside() -> None:
    hole = (10.0, 20.0, 30.0)
    placed = only(Label(("bore", "28.5"), *hole, inside=True), hole)
    assert 0.5 * (placed.box[0] + placed.box[2]) == 10.0
    assert placed.leader is None
    assert gap_to_disc(only(Label(("bore", "28.5"), *hole), hole).box, *hole) > 0.0


def test_the_wanted_direction_comes_first() -> None:
    assert only(Label(("M1",), 0.0, 0.0, 5.0, away=(-1.0, 0.0))).box[2] < -5.0
    assert only(Label(("M1",), 0.0, 0.0, 5.0, away=(0.0, 1.0))).box[1] > 5.0


def test_a_label_far_off_is_led_to_what_it_names() -> None:
    ring = [(14 * math.cos(a), 14 * math.sin(a), 9.0) for a in (n * math.pi / 6 for n in range(12))]
    placed = only(Label(("M1-pilot",), 0.0, 0.0, 5.0), *ring)
    assert placed.leader is not None
    start, end = placed.leader
    assert math.isclose(math.hypot(*start), 5.0)
    assert placed.box[0] - 1e-9 <= end[0] <= placed.box[2] + 1e-9


def test_without_room_it_covers_least_and_does_not_fail() -> None:
    wall = [(x * 10.0, y * 10.0, 9.0) for x in range(-12, 13) for y in range(-12, 13)]
    placed = only(Label(("a long name for a hole",), 0.0, 0.0, 5.0), *wall)
    assert placed.box[0] >= BOUNDS[0] - 1e-9


def test_width_grows_with_the_text() -> None:
    assert text_width("mmm", 4.0) > text_width("iii", 4.0)
    assert text_width("ab", 8.0) == 2 * text_width("ab", 4.0)
    width, height = label_size(Label(("ab", "abcd"), 0, 0, 1), 4.0)
    assert width > text_width("abcd", 4.0)
    assert height > 8.0


def test_a_crowded_picture_takes_no_longer_than_it_is_worth() -> None:
    """A hundred crossing slots make some 15,000 discs: looking at all of them for every label took half a minute."""
    discs = [(0.02 * (n % 1000) - 10.0, 0.5 * (n // 1000), 0.01) for n in range(15_000)]
    labels = [Label((f"slot-{n}", "5.0"), 0.1 * n - 5.0, 3.0, 2.0) for n in range(100)]
    begun = time.process_time()
    assert len(placed_labels(labels, 3.0, discs, BOUNDS)) == len(labels)
    assert time.process_time() - begun < 6.0


def test_signs_of_western_text_do_not_make_a_line_wide() -> None:
    """They are in every size that is told; only of letters from beyond them nothing is known."""
    assert text_width("6 × 5 mm²", 10.0) < 1.1 * text_width("6 x 5 mm2", 10.0)
    assert text_width("北京 mill", 10.0) > text_width("ab mill", 10.0)


SOME = st.floats(-100, 100)


@settings(max_examples=60, deadline=None)
@given(
    st.lists(st.tuples(SOME, SOME, st.floats(1, 40), st.floats(1, 40)), min_size=1, max_size=16),
    st.lists(st.tuples(SOME, SOME, st.floats(0.1, 60)), max_size=40),
    st.lists(st.tuples(SOME, SOME, st.floats(1, 40), st.floats(1, 40)), max_size=40),
)
def test_a_crowd_is_judged_at_once_as_it_is_one_by_one(
    places: list[Box], discs: list[tuple[float, float, float]], others: list[Box]
) -> None:
    boxes, taken = ([(x, y, x + wide, y + high) for x, y, wide, high in them] for them in (places, others))
    one_by_one = [labels._covered(box, discs, taken, BOUNDS, math.inf) for box in boxes]
    assert labels._covered_at_once(boxes, discs, taken, BOUNDS) == one_by_one


def test_the_same_places_whichever_way_they_are_judged(monkeypatch: pytest.MonkeyPatch) -> None:
    discs = [(12.0 * (n % 13) - 72.0, 9.0 * (n // 13) - 50.0, 2.0 + n % 3) for n in range(150)]
    crowd = [Label((f"hole-{n}",), *disc) for n, disc in enumerate(discs)]
    at_once = placed_labels(crowd, 3.0, discs, BOUNDS)
    monkeypatch.setattr(labels, "_CROWD", 10**9)
    assert placed_labels(crowd, 3.0, discs, BOUNDS) == at_once


def test_a_line_to_a_label_runs_through_no_other_text_where_it_need_not() -> None:
    """A hole shut in by text on three sides: the label goes to the free side, though places beyond the text are
    nearer to what is tried first."""
    hole = (0.0, 0.0, 4.0)
    text = ((5.0, -12.0, 30.0, 12.0), (-30.0, -12.0, -5.0, 12.0), (-30.0, 5.0, 30.0, 12.0))
    (placed,) = placed_labels([Label(("screw", "5.5"), *hole)], 4.0, [hole], BOUNDS, text)
    assert placed.box[3] < -4.0
    if placed.leader is not None:
        assert not any(line_meets_box(*placed.leader, box) for box in text)


@settings(max_examples=60, deadline=None)
@given(st.lists(st.tuples(st.floats(-60, 60), st.floats(-60, 60), st.floats(1, 4)), min_size=1, max_size=8))
def test_with_room_no_line_runs_through_the_text_of_another(discs: list[tuple[float, float, float]]) -> None:
    placed = placed_labels([Label((f"h{n}", "5.2"), *disc) for n, disc in enumerate(discs)], 3.0, discs, BOUNDS)
    crossed = sum(
        line_meets_box(*one.leader, other.box)
        for index, one in enumerate(placed)
        if one.leader is not None
        for other in placed[:index]
    )
    assert crossed == 0


def test_the_dots_of_a_text_cut_short_do_not_make_it_wide() -> None:
    assert text_width("There is no place for M1…", 3.0) < 1.1 * text_width("There is no place for M1.", 3.0)
