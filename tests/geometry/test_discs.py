"""The convex outline of discs: closed formulas, the support function of the discs, and the polygon library."""

from __future__ import annotations

import math

import numpy as np
import pytest
import shapely
from hypothesis import example, given, settings

from gearplate.geometry.discs import Disc, checked_discs, hull_area, hull_of_discs
from gearplate.geometry.path import area, as_circle, kinks, path_length, signed_area
from gearplate.geometry.shapes import Circle, Path
from tests.builders.disc_sets import disc_sets
from tests.builders.outlines import is_closed_simple, least_segment_length, web_inside
from tests.builders.regions import chord_points

STRAIGHTENED_RAD = 4.1e-6
"""The kink that is left where an arc is so flat that its bulge must be written as 0."""


def largest_kink(path: Path) -> float:
    return max(abs(kink) for kink in kinks(path))


def test_one_disc_is_a_circle() -> None:
    assert as_circle(hull_of_discs([(3.0, 4.0, 5.0)])) == Circle(3.0, 4.0, 10.0)
    assert as_circle(hull_of_discs([(3.0, 4.0, 5.0)] * 3 + [(4.0, 4.0, 2.0)])) == Circle(3.0, 4.0, 10.0)


def test_two_equal_discs_are_a_slot() -> None:
    path = hull_of_discs([(0.0, 0.0, 2.0), (10.0, 0.0, 2.0)])
    assert len(path.vertices) == 4
    assert signed_area(path) == pytest.approx(40.0 + 4.0 * math.pi, abs=1e-12)


def test_two_pulleys_and_an_open_belt() -> None:
    # Length of an open belt: 2 C cos b + (pi + 2 b) R + (pi - 2 b) r with sin b = (R - r) / C (Machinery's Handbook,
    # belt length; from memory).
    big, small, centre = 30.0, 12.0, 80.0
    b = math.asin((big - small) / centre)
    belt = 2.0 * centre * math.cos(b) + (math.pi + 2.0 * b) * big + (math.pi - 2.0 * b) * small
    path = hull_of_discs([(1.0, 2.0, big), (1.0 + centre * math.cos(0.7), 2.0 + centre * math.sin(0.7), small)])
    assert path_length(path) == pytest.approx(belt, abs=1e-10)


def test_three_equal_discs_in_line_skip_the_middle_one() -> None:
    path = hull_of_discs([(0.0, 0.0, 2.0), (5.0, 0.0, 2.0), (10.0, 0.0, 2.0)])
    assert len(path.vertices) == 4
    # A hair out of line: still nothing under 0.001 mm, and smooth.
    for hair in (1e-12, 1e-9, 1e-7, 1e-6):
        bent = hull_of_discs([(0.0, 0.0, 2.0), (5.0, hair, 2.0), (10.0, 0.0, 2.0)])
        assert least_segment_length(bent) >= 1e-3
        assert largest_kink(bent) < STRAIGHTENED_RAD


def test_bad_discs_are_refused() -> None:
    with pytest.raises(ValueError, match="at least one"):
        hull_of_discs([])
    for bad in ((0.0, 0.0, 0.0), (0.0, 0.0, -1.0), (math.nan, 0.0, 1.0), (0.0, math.inf, 1.0)):
        with pytest.raises(ValueError, match="positive radius"):
            hull_of_discs([(0.0, 0.0, 1.0), bad])


def test_covered_discs_are_dropped() -> None:
    assert checked_discs([(0, 0, 2), (1, 0, 1), (0, 0, 2), (3, 0, 1)]) == [(0, 0, 2), (3, 0, 1)]


@settings(max_examples=150, deadline=None)
@given(disc_sets())
@example([(0.0, 8.0, 5.0), (0.0, 0.0, 10.0), (25.0, 8.0, 20.0), (25.000000001, 8.0000001, 20.0)])
@example([(2.0, -13.673828125, 0.5), (-12.0, -54.9140625, 10.1953125), (1.0, 1.0, 3.0)])
def test_any_discs(discs: list[Disc]) -> None:
    path = hull_of_discs(discs)
    assert signed_area(path) > 0.0
    assert largest_kink(path) < STRAIGHTENED_RAD
    if all(vertex[2] == 0.0 or abs(vertex[2]) > 1e-5 for vertex in path.vertices):
        flat = [k for k, v in zip(kinks(path), path.vertices, strict=True) if abs(k) > 1e-9]
        assert len(flat) <= 2  # only where an arc had to be straightened
    assert least_segment_length(path) >= 1e-3
    assert all(abs(vertex[2]) <= 1.0 + 1e-12 for vertex in path.vertices)
    assert is_closed_simple(path)
    # The support function of the outline is that of the discs.
    angles = np.linspace(0.0, 2.0 * np.pi, 181)
    cos, sin = np.cos(angles), np.sin(angles)
    points = np.array(chord_points(path, 1e-5))
    outline = (points[:, :1] * cos + points[:, 1:] * sin).max(axis=0)
    wanted = np.max([x * cos + y * sin + radius for x, y, radius in discs], axis=0)
    assert np.abs(outline - wanted).max() < 2e-5
    for x, y, radius in discs:
        assert web_inside(path, Circle(x, y, 2.0 * radius)) > -5e-6
    assert hull_area(discs) == pytest.approx(area(path), abs=1e-6 * path_length(path))


@settings(max_examples=30, deadline=None)
@given(disc_sets())
def test_area_against_the_polygon_library(discs: list[Disc]) -> None:
    # Chords of a circle at 512 to the quadrant lie within r (1 - cos(pi / 2048)) = 1.2e-6 r of it.
    rings = [shapely.Point(x, y).buffer(radius, quad_segs=512) for x, y, radius in discs]
    expected = shapely.convex_hull(shapely.union_all(rings))
    assert hull_area(discs) == pytest.approx(expected.area, abs=4e-5 * expected.length + 1e-6)


def test_kinks_of_an_ordinary_plate_are_rounding() -> None:
    plate = [(40.0 * math.cos(k), 55.0 * math.sin(2.2 * k), 5.0 + k) for k in range(12)]
    assert largest_kink(hull_of_discs(plate)) < 1e-12
