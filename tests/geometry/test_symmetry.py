"""Shapes that equal their mirror image, and shapes that nearly do."""

from __future__ import annotations

import math

import pytest

from gearplate.geometry.discs import hull_of_discs
from gearplate.geometry.path import circle_path, reversed_path, starting_near
from gearplate.geometry.shapes import Circle, Path
from gearplate.geometry.slot import rectangle_path, slot_path
from gearplate.geometry.symmetry import is_mirror_about, is_own_mirror, same_curve
from gearplate.geometry.transform import translated
from tests.builders.outlines import random_outline

OUTLINE = hull_of_discs([(-30.0, 0.0, 9.0), (30.0, 0.0, 9.0), (0.0, 40.0, 12.0)])
HOLES = (Circle(-30.0, 0.0, 5.5), Circle(30.0, 0.0, 5.5), Circle(0.0, 40.0, 12.0))


def test_a_plate_that_fits_both_hands() -> None:
    shapes = (OUTLINE, *HOLES)
    assert is_own_mirror(shapes)
    moved = [translated(shape, 12.5, 3.0) for shape in shapes]
    assert not is_own_mirror(moved)
    assert is_mirror_about(moved, 12.5)


@pytest.mark.parametrize(
    "odd",
    [
        Circle(10.0, 10.0, 3.0),  # one odd hole
        slot_path(0.0, 10.0, 8.0, 3.0, 0.3),  # a slot askew
        starting_near(random_outline(3), 0.0, 50.0),
    ],
)
def test_one_odd_thing_breaks_it(odd: Circle | Path) -> None:
    assert not is_own_mirror((OUTLINE, *HOLES, odd))


@pytest.mark.parametrize(("off_mm", "same"), [(0.4e-6, True), (3e-6, False)])
def test_the_tolerance(off_mm: float, same: bool) -> None:
    holes = (Circle(-30.0, 0.0, 5.5), Circle(30.0, off_mm, 5.5))
    assert is_own_mirror(holes) == same
    sizes = (Circle(-30.0, 0.0, 5.5), Circle(30.0, 0.0, 5.5 + off_mm))
    assert is_own_mirror(sizes) == same
    assert is_own_mirror((rectangle_path(off_mm, 0.0, 20.0, 10.0),)) == same


def test_a_hole_is_matched_once_only() -> None:
    assert not is_own_mirror((Circle(5.0, 0.0, 3.0), Circle(5.0, 0.0, 3.0), Circle(-5.0, 0.0, 3.0)))
    assert is_own_mirror((Circle(0.0, 1.0, 3.0),))


def test_how_a_curve_is_divided_does_not_matter() -> None:
    assert same_curve(OUTLINE, starting_near(reversed_path(OUTLINE), 3.0, -20.0))
    assert not same_curve(OUTLINE, translated(OUTLINE, 1e-4, 0.0))
    assert is_own_mirror((circle_path(Circle(20.0, 1.0, 6.0), 0.4), Circle(-20.0, 1.0, 6.0)))
    assert is_own_mirror((starting_near(slot_path(0.0, 5.0, 9.0, 4.0), 2.0, 9.0),))


def test_a_turned_box_is_its_own_mirror_only_at_right_angles() -> None:
    for degrees, same in ((0.0, True), (90.0, True), (30.0, False), (45.0, False)):
        box = rectangle_path(0.0, 0.0, 20.0, 10.0, math.radians(degrees))
        assert is_own_mirror((box,)) == same
