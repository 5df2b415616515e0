"""Contours, their middles and the material between them, against the polygon library."""

from __future__ import annotations

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from gearplate.geometry.fillet import fillet
from gearplate.geometry.shapes import Circle, Path
from gearplate.geometry.slot import polygon_path, slot_path
from gearplate.layout.design import HoleKind
from gearplate.plate.contours import contour, gap_mm, keeps_off, middle_of, slot_ends
from gearplate.plate.plate import Feature
from tests.builders.outlines import random_outline
from tests.builders.plates import region
from tests.builders.regions import polygon


@settings(max_examples=40)
@given(st.integers(0, 10_000))
def test_the_middle_of_a_path_is_the_centroid_of_its_area(seed: int) -> None:
    path = random_outline(seed)
    middle = polygon(path, 1e-6).centroid
    assert middle_of(path) == pytest.approx((middle.x, middle.y), abs=1e-3)


def test_the_middle_of_a_half_disc_is_where_the_handbooks_have_it() -> None:
    # 4 r / (3 pi) from the diameter: table of plane areas in any mechanics handbook.
    half = Path(((-3.0, 0.0, 0.0), (3.0, 0.0, 1.0)))
    assert middle_of(half) == pytest.approx((0.0, 4.0 * 3.0 / (3.0 * math.pi)), abs=1e-12)


SHAPES = st.one_of(
    st.builds(Circle, st.floats(-30, 30), st.floats(-30, 30), st.floats(0.5, 30)),
    st.builds(slot_path, st.floats(-30, 30), st.floats(-30, 30), st.floats(1, 30), st.floats(1, 9), st.floats(0, 3)),
    st.builds(
        lambda x, y: fillet(polygon_path([(x, y), (x + 12, y + 1), (x + 9, y + 11), (x + 1, y + 8)]), 2.0),
        st.floats(-30, 30),
        st.floats(-30, 30),
    ),
)


@settings(max_examples=150)
@given(SHAPES, SHAPES)
def test_the_gap_is_the_distance_of_the_regions(first: Circle | Path, second: Circle | Path) -> None:
    apart = region(first).distance(region(second))
    if apart > 0.01:
        assert gap_mm(first, second) == pytest.approx(apart, abs=0.02)
    elif region(first).intersection(region(second)).area > 0.01:
        assert gap_mm(first, second) <= 1e-9


@settings(max_examples=100)
@given(SHAPES, SHAPES, st.floats(0.1, 40))
def test_a_web_is_kept_where_the_gap_is_as_wide(first: Circle | Path, second: Circle | Path, web_mm: float) -> None:
    apart = region(first).distance(region(second))
    if abs(apart - web_mm) > 0.02:
        assert keeps_off(first, second, web_mm) == (apart > web_mm)
    gap = gap_mm(first, second)
    if gap > 0.1:
        assert keeps_off(first, second, gap - 1e-9)
        assert not keeps_off(first, second, gap + 1e-9)


def test_slots_and_circles_have_their_ends() -> None:
    slot = Feature("s", HoleKind.OWN, "slot", "free", None, 1.0, 2.0, 4.0, 10.0, math.pi / 2)
    assert sum(slot_ends(slot), ()) == pytest.approx((1.0, -3.0, 1.0, 7.0))
    assert contour(slot) == slot_path(1.0, 2.0, 10.0, 4.0, math.pi / 2)
    hole = Feature("h", HoleKind.OWN, "circle", "free", None, 1.0, 2.0, 4.0)
    assert slot_ends(hole) == ((1.0, 2.0),)
    assert contour(hole) == Circle(1.0, 2.0, 4.0)
    with pytest.raises(ValueError, match="no contour"):
        contour(Feature("w", HoleKind.OWN, "window", "free", None, 0.0, 0.0))
