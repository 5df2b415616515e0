"""Hulls of discs against the polygon library, level ones and hidden ones too; slopes against differences."""

from __future__ import annotations

import math

import numpy as np
import pytest
from shapely import MultiPoint
from shapely.geometry import Point
from shapely.ops import unary_union

from gearplate.layout.certified import hull
from gearplate.layout.certified.hull import area_form, area_slopes, hull_area


def test_two_discs_by_hand() -> None:
    # a stadium: pi r^2 + 2 r L
    area = hull_area(np.array([[[0.0, 0.0], [30.0, 0.0]]]), np.array([5.0, 5.0]))
    assert area[0] == pytest.approx(25.0 * math.pi + 300.0, rel=1e-12)


def test_one_disc_inside_another() -> None:
    area = hull_area(np.array([[[0.0, 0.0], [3.0, 0.0], [1.0, 1.0]]]), np.array([20.0, 5.0, 2.0]))
    assert area[0] == pytest.approx(400.0 * math.pi, rel=1e-12)


@pytest.mark.parametrize("level", [True, False])
def test_against_the_polygon_library(level: bool) -> None:
    random = np.random.default_rng(7)
    for _ in range(150):
        count = int(random.integers(2, 8))
        # discs that stand level with each other in the grid, so that tangents tie
        centre = random.integers(-3, 4, (1, count, 2)) * 10.0 if level else random.normal(0.0, 40.0, (1, count, 2))
        radius = random.choice([4.0, 4.0, 9.0, 25.0], count)
        shape = unary_union(
            [Point(*c).buffer(r, quad_segs=256) for c, r in zip(centre[0], radius, strict=True)]
        ).convex_hull
        assert hull_area(centre, radius)[0] == pytest.approx(shape.area, rel=3e-5)


def test_points_alone() -> None:
    random = np.random.default_rng(2)
    centre = random.normal(0.0, 40.0, (50, 6, 2))
    area = hull_area(centre, np.zeros(6))
    for own, points in zip(area, centre, strict=True):
        assert own == pytest.approx(MultiPoint(points).convex_hull.area, rel=1e-9)


def test_slopes_against_differences() -> None:
    random = np.random.default_rng(3)
    still = random.normal(0.0, 30.0, (6, 2))
    reach = np.where(random.random((6, 4)) < 0.6, random.uniform(20.0, 70.0, (6, 4)), 0.0)
    radius = random.uniform(5.0, 30.0, 6)
    angles = random.uniform(-math.pi, math.pi, (100, 4))

    def where(a: np.ndarray) -> np.ndarray:
        return np.stack([still[:, 0] + np.cos(a) @ reach.T, still[:, 1] + np.sin(a) @ reach.T], axis=2)

    form = area_form(where(angles), radius, still, reach)
    slope, _ = area_slopes(form, angles)
    step = 1e-5
    for k in range(4):
        move = step * np.eye(4)[k]
        change = hull_area(where(angles + move), radius) - hull_area(where(angles - move), radius)
        assert np.abs(change / (2 * step) - slope[:, k]).max() < 0.02
    assert np.abs(form.value - hull_area(where(angles), radius)).max() < 1e-9


def test_a_few_hulls_and_a_crowd_of_them_have_the_same_outlines() -> None:
    """The few are found from all normals at once, very few one by one, the crowd disc by disc."""
    random = np.random.default_rng(5)
    centre, radius = random.normal(0.0, 30.0, (200, 8, 2)), random.uniform(1.0, 20.0, 8)
    assert centre.shape[0] * 8 * 8 > hull.FEW
    crowd = hull.hull_area(centre, radius)
    for size in (1, hull.VERY_FEW, 10):
        few = np.concatenate([hull.hull_area(centre[at : at + size], radius) for at in range(0, 200, size)])
        assert np.array_equal(crowd, few)
    assert hull.hull_area(centre[:0], radius).shape == (0,)
