"""Ready-made paths: areas, boxes, orientation."""

from __future__ import annotations

import math

import pytest

from gearplate.geometry.path import area, as_circle, bbox, is_ccw, kinks
from gearplate.geometry.shapes import Circle, Path
from gearplate.geometry.slot import polygon_path, rectangle_path, slot_path
from tests.builders.outlines import is_closed_simple

SHAPES = [
    slot_path(1.0, 2.0, 10.0, 4.0, 0.5),
    slot_path(1.0, 2.0, 0.0, 4.0),
    rectangle_path(1.0, 2.0, 8.0, 5.0, 0.5),
    rectangle_path(1.0, 2.0, 8.0, 5.0, 0.5, 1.0),
    rectangle_path(1.0, 2.0, 8.0, 5.0, 0.5, 2.5),
    rectangle_path(1.0, 2.0, 5.0, 5.0, 0.5, 2.5),
    polygon_path([(0, 0), (0, 5), (5, 0)]),
]


@pytest.mark.parametrize("path", SHAPES)
def test_all_are_sound_and_run_counter_clockwise(path: Path) -> None:
    assert is_closed_simple(path)
    assert is_ccw(path)


def test_a_slot_of_no_length_is_a_circle() -> None:
    assert as_circle(SHAPES[1]) == Circle(1.0, 2.0, 4.0)
    assert as_circle(SHAPES[5], 1e-9) is not None


def test_boxes() -> None:
    assert bbox(rectangle_path(1.0, 2.0, 8.0, 5.0)) == (-3.0, -0.5, 5.0, 4.5)
    assert bbox(slot_path(1.0, 2.0, 8.0, 5.0, 0.5 * math.pi)) == pytest.approx((-1.5, -4.5, 3.5, 8.5))
    assert area(SHAPES[3]) == pytest.approx(40.0 - (4.0 - math.pi))
    assert max(abs(kink) for kink in kinks(SHAPES[3])) < 1e-12
    assert len(SHAPES[4].vertices) == 6  # two sides are used up


def test_what_cannot_be_drawn_is_refused() -> None:
    for bad in (
        lambda: slot_path(0, 0, -1.0, 2.0),
        lambda: slot_path(0, 0, 1.0, 0.0),
        lambda: rectangle_path(0, 0, 0.0, 2.0),
        lambda: rectangle_path(0, 0, 4.0, 2.0, 0.0, 1.1),
        lambda: polygon_path([(0, 0), (1, 1)]),
        lambda: polygon_path([(0, 0), (1, 1), (1, 1)]),
    ):
        with pytest.raises(ValueError, match=r"cannot be drawn|do not fit|polygon"):
            bad()
