"""Rounded corners: closed formulas, and smoothness on random shapes."""

from __future__ import annotations

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from gearplate.geometry.fillet import fillet
from gearplate.geometry.nearest import distance_to_path
from gearplate.geometry.path import area, as_circle, kinks
from gearplate.geometry.segments import Arc, point_at, segments
from gearplate.geometry.shapes import Path
from gearplate.geometry.slot import polygon_path, rectangle_path, slot_path
from tests.builders.outlines import random_outline


def test_a_rounded_box_is_the_ready_made_one() -> None:
    rounded = fillet(rectangle_path(1.0, 2.0, 30.0, 20.0, 0.3), 3.0)
    assert area(rounded) == pytest.approx(600.0 - (4.0 - math.pi) * 9.0, abs=1e-10)
    ready = rectangle_path(1.0, 2.0, 30.0, 20.0, 0.3, 3.0)
    for x, y, _ in rounded.vertices:
        assert distance_to_path(ready, x, y) < 1e-12
    assert max(abs(kink) for kink in kinks(rounded)) < 1e-12


def test_a_square_with_the_greatest_radius_is_a_circle() -> None:
    circle = as_circle(fillet(rectangle_path(0.0, 0.0, 10.0, 10.0), 50.0), 1e-6)
    assert circle is not None
    assert circle.diameter_mm == pytest.approx(10.0, abs=1e-6)


def test_line_and_arc_by_hand() -> None:
    # Half a disc of radius 10: a fillet of 2 between diameter and arc has its centre 2 above the diameter and 8 from
    # the middle, so at x = sqrt(64 - 4).
    half = Path(((10.0, 0.0, 1.0), (-10.0, 0.0, 0.0)))
    rounded = fillet(half, 2.0)
    small = [p for p in segments(rounded) if isinstance(p, Arc) and p.radius < 5.0]
    assert sorted(arc.cx for arc in small) == pytest.approx([-math.sqrt(60.0), math.sqrt(60.0)])
    assert [arc.cy for arc in small] == pytest.approx([2.0, 2.0])
    assert max(abs(kink) for kink in kinks(rounded)) < 1e-12


def test_arc_and_arc_by_hand() -> None:
    # A lens of two arcs of radius 10 about (0, -6) and (0, 6), corners at x = +-8: a fillet of 1 has its centre at
    # distance 9 from both, so at x = sqrt(81 - 36).
    bulge = math.tan(0.5 * math.atan2(8.0, 6.0))
    rounded = fillet(Path(((-8.0, 0.0, bulge), (8.0, 0.0, bulge))), 1.0)
    small = [p for p in segments(rounded) if isinstance(p, Arc) and p.radius < 2.0]
    assert sorted(arc.cx for arc in small) == pytest.approx([-math.sqrt(45.0), math.sqrt(45.0)])
    assert max(abs(kink) for kink in kinks(rounded)) < 1e-12


def test_an_inner_corner_is_rounded_too() -> None:
    ell = polygon_path([(0, 0), (10, 0), (10, 4), (4, 4), (4, 10), (0, 10)])
    rounded = fillet(ell, 1.0)
    # Five corners lose (1 - pi / 4), the inner one gains it.
    assert area(rounded) == pytest.approx(64.0 - 4.0 * (1.0 - math.pi / 4.0))


def test_smooth_paths_are_left_alone_and_radii_checked() -> None:
    slot = slot_path(0.0, 0.0, 10.0, 4.0)
    assert fillet(slot, 1.0) is slot
    with pytest.raises(ValueError, match="must be positive"):
        fillet(slot, 0.0)


def test_too_large_a_radius_is_refused_if_asked() -> None:
    box = rectangle_path(0.0, 0.0, 10.0, 6.0)
    with pytest.raises(ValueError, match=r"3\.5 mm does not fit the corner .* 3\.0000 mm is the largest"):
        fillet(box, 3.5, "raise")
    assert area(fillet(box, 3.5)) == pytest.approx(60.0 - (4.0 - math.pi) * 9.0, abs=1e-6)
    assert fillet(box, 2.9, "raise") == fillet(box, 2.9)


@settings(max_examples=60, deadline=None)
@given(st.integers(0, 400), st.sampled_from((0.1, 1.0, 3.0, 20.0)))
def test_no_corner_is_left(seed: int, radius: float) -> None:
    path = random_outline(seed)
    try:
        rounded = fillet(path, radius)
    except ValueError:
        # The fillet of one corner ran into another side: only wide ones can.
        assert radius >= 3.0
        return
    for kink in kinks(rounded):
        assert abs(kink) < 1e-8 or abs(kink) > 2.9  # only needle points are left sharp
    # What is new lies in arcs of at most the radius.
    new = [p for p in segments(rounded) if distance_to_path(path, *point_at(p, 0.5)) > 1e-6]
    assert all(isinstance(p, Arc) and p.radius <= radius + 1e-3 for p in new)
