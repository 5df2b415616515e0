"""Many hull areas at once, against the walk one by one."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings

from gearplate.geometry.discs import Disc, hull_area
from gearplate.geometry.hull_areas import hull_area_many
from tests.builders.disc_sets import disc_sets


def test_many_sets_at_once() -> None:
    source = np.random.default_rng(5)
    x, y = source.uniform(-80.0, 80.0, (2, 200, 12))
    radius = source.uniform(1.0, 25.0, (200, 12))
    areas = hull_area_many(x, y, radius)
    assert areas.shape == (200,)
    one_by_one = [hull_area(list(zip(*values, strict=True))) for values in zip(x, y, radius, strict=True)]
    assert areas == pytest.approx(one_by_one, rel=1e-12)


@settings(max_examples=100, deadline=None)
@given(disc_sets())
def test_any_discs(discs: list[Disc]) -> None:
    x, y, radius = (np.array([values]) for values in zip(*discs, strict=True))
    # Discs that stand out by under 1e-7 mm count as covered in the walk.
    assert hull_area_many(x, y, radius)[0] == pytest.approx(hull_area(discs), rel=1e-9, abs=2e-4)


def test_one_radius_for_all_and_far_from_the_origin() -> None:
    area = hull_area_many([[1e6, 1e6 + 10.0]], [[0.0, 0.0]], 2.0)
    assert area == pytest.approx([40.0 + 4.0 * np.pi])
