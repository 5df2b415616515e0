"""Shapes moved, turned, mirrored."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from gearplate.geometry.nearest import contains
from gearplate.geometry.path import area, is_ccw, kinks, signed_area
from gearplate.geometry.shapes import Circle, Path, Stroke
from gearplate.geometry.transform import mirrored, rotated, translated
from tests.builders.outlines import random_outline
from tests.builders.regions import largest_deviation


def test_mirroring_negates_x() -> None:
    assert mirrored(Circle(3.0, 4.0, 5.0)) == Circle(-3.0, 4.0, 5.0)
    assert mirrored(Stroke(((1.0, 2.0), (0.0, 4.0)))) == Stroke(((-1.0, 2.0), (0.0, 4.0)))
    assert str(mirrored(Circle(0.0, 4.0, 5.0)).x_mm) == "0.0"


@given(st.integers(0, 200), st.floats(-60.0, 60.0), st.floats(-60.0, 60.0))
def test_a_mirrored_path(seed: int, x: float, y: float) -> None:
    path = random_outline(seed)
    image = mirrored(path)
    assert is_ccw(image)
    assert image.vertices[0][:2] == (-path.vertices[0][0], path.vertices[0][1])
    assert signed_area(image) == pytest.approx(signed_area(path))
    assert contains(image, -x, y) == contains(path, x, y)
    assert mirrored(image) == path


def test_x_and_every_bulge_negated_and_turned_about() -> None:
    path = Path(((0.0, 0.0, 0.5), (4.0, 0.0, 0.0), (4.0, 3.0, -0.2)))
    plain = Path(tuple((-x, y, -bulge) for x, y, bulge in path.vertices))
    assert largest_deviation(mirrored(path), plain) < 1e-12
    assert signed_area(plain) == pytest.approx(-signed_area(mirrored(path)))


@given(st.integers(0, 200), st.floats(-7.0, 7.0), st.floats(-50.0, 50.0), st.floats(-50.0, 50.0))
def test_moving_and_turning_keep_the_shape(seed: int, angle: float, dx: float, dy: float) -> None:
    path = random_outline(seed)
    moved = rotated(translated(path, dx, dy), angle, about=(dx, dy))
    assert area(moved) == pytest.approx(area(path))
    assert kinks(moved) == pytest.approx(kinks(path), abs=1e-9)
    back = translated(rotated(moved, -angle, about=(dx, dy)), -dx, -dy)
    assert largest_deviation(back, path, 20.0) < 1e-10


def test_a_quarter_turn() -> None:
    turned = rotated(Circle(3.0, 0.0, 5.0), 0.5 * math.pi, about=(1.0, 0.0))
    assert (turned.x_mm, turned.y_mm, turned.diameter_mm) == pytest.approx((1.0, 2.0, 5.0))
    stroke = rotated(Stroke(((1.0, 0.0), (2.0, 0.0))), math.pi)
    assert stroke.points[1] == pytest.approx((-2.0, 0.0))
    assert translated(Stroke(((1.0, 0.0),)), 1.0, 2.0).points == ((2.0, 2.0),)
