"""Ready-made paths: areas, boxes, orientation."""

from __future__ import annotations

import math

import pytest

from gearplate.geometry.crossing import is_closed_simple
from gearplate.geometry.discs import hull_of_discs
from gearplate.geometry.path import area, as_circle, bbox, is_ccw, kinks
from gearplate.geometry.regions import largest_deviation
from gearplate.geometry.shapes import Circle, Path
from gearplate.geometry.slot import (
    corner_discs,
    hexagon_across_corners,
    hexagon_corner_circle,
    hexagon_path,
    polygon_path,
    rectangle_path,
    slot_path,
)

SHAPES = [
    slot_path(1.0, 2.0, 10.0, 4.0, 0.5),
    slot_path(1.0, 2.0, 0.0, 4.0),
    rectangle_path(1.0, 2.0, 8.0, 5.0, 0.5),
    rectangle_path(1.0, 2.0, 8.0, 5.0, 0.5, 1.0),
    rectangle_path(1.0, 2.0, 8.0, 5.0, 0.5, 2.5),
    rectangle_path(1.0, 2.0, 5.0, 5.0, 0.5, 2.5),
    hexagon_path(1.0, 2.0, 12.7, 0.5),
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


def test_a_hexagon() -> None:
    # Area of a regular hexagon across flats s: sqrt(3) / 2 s^2.
    assert area(hexagon_path(0.0, 0.0, 12.7)) == pytest.approx(0.5 * math.sqrt(3.0) * 12.7**2)
    assert hexagon_across_corners(12.7) == pytest.approx(14.6647, abs=1e-4)
    assert hexagon_corner_circle(1.0, 2.0, 12.7) == Circle(1.0, 2.0, hexagon_across_corners(12.7))


def test_corner_discs_make_the_rounded_rectangle() -> None:
    outline = hull_of_discs(corner_discs(3.0, 4.0, 30.0, 20.0, 2.5, 0.4))
    assert largest_deviation(outline, rectangle_path(3.0, 4.0, 30.0, 20.0, 0.4, 2.5)) < 1e-12


def test_what_cannot_be_drawn_is_refused() -> None:
    for bad in (
        lambda: slot_path(0, 0, -1.0, 2.0),
        lambda: slot_path(0, 0, 1.0, 0.0),
        lambda: rectangle_path(0, 0, 0.0, 2.0),
        lambda: rectangle_path(0, 0, 4.0, 2.0, 0.0, 1.1),
        lambda: polygon_path([(0, 0), (1, 1)]),
        lambda: polygon_path([(0, 0), (1, 1), (1, 1)]),
        lambda: hexagon_path(0, 0, 0.0),
        lambda: corner_discs(0, 0, 4.0, 2.0, 1.1),
    ):
        with pytest.raises(ValueError, match=r"cannot be drawn|do not fit|polygon"):
            bad()
