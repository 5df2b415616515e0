"""Upright boxes."""

from __future__ import annotations

import pytest

from gearplate.geometry.boxes import box_gap_mm, boxes_meet, grown, line_meets_box, united


def test_the_smallest_box_round_others() -> None:
    assert united([(0.0, 1.0, 2.0, 3.0), (-1.0, 2.0, 1.0, 7.0)]) == (-1.0, 1.0, 2.0, 7.0)
    with pytest.raises(ValueError):  # noqa: PT011  # whatever its words
        united([])


def test_more_on_every_side() -> None:
    assert grown((0.0, 1.0, 2.0, 3.0), 0.5) == (-0.5, 0.5, 2.5, 3.5)


@pytest.mark.parametrize(
    ("other", "gap_mm"),
    [
        ((5.0, 6.0, 9.0, 9.0), 5.0),  # 3 mm to the right, 4 mm above
        ((-4.0, 0.0, -1.0, 1.0), 1.0),  # beside it, on a level
        ((1.0, 1.0, 9.0, 9.0), 0.0),
        ((2.0, 2.0, 9.0, 9.0), 0.0),
    ],
)
def test_boxes_are_apart_corner_to_corner(other: tuple[float, float, float, float], gap_mm: float) -> None:
    box = (0.0, 0.0, 2.0, 2.0)
    assert box_gap_mm(box, other) == box_gap_mm(other, box) == gap_mm


def test_boxes_that_only_touch_do_not_meet() -> None:
    assert boxes_meet((0.0, 0.0, 2.0, 2.0), (1.0, 1.0, 3.0, 3.0))
    assert boxes_meet((0.0, 0.0, 9.0, 9.0), (1.0, 1.0, 3.0, 3.0))
    assert not boxes_meet((0.0, 0.0, 1.0, 1.0), (1.0, 0.0, 2.0, 1.0))


@pytest.mark.parametrize(
    ("start", "end", "through"),
    [
        ((-1.0, 1.0), (5.0, 1.0), True),
        ((1.0, 1.0), (1.5, 1.5), True),  # all of it inside
        ((3.0, 5.0), (3.0, 1.0), True),
        ((3.0, 5.0), (3.0, 2.5), False),  # ends above it
        ((-1.0, 0.5), (1.0, 3.5), False),  # past the upper left corner
        ((-1.0, 0.5), (1.0, 2.0), True),
        ((-1.0, 2.0), (5.0, 2.0), False),  # along its edge
    ],
)
def test_a_line_through_a_box(start: tuple[float, float], end: tuple[float, float], through: bool) -> None:
    assert line_meets_box(start, end, (0.0, 0.0, 4.0, 2.0)) is through
    assert line_meets_box(end, start, (0.0, 0.0, 4.0, 2.0)) is through
