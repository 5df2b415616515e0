"""Many points or discs at once against one after the other."""

from __future__ import annotations

import random

import numpy as np
import pytest

from gearplate.geometry.crowds import contains_points, uncovered
from gearplate.geometry.discs import COVERED_MM, FEW_DISCS, checked_discs
from gearplate.geometry.nearest import contains
from gearplate.geometry.path import bbox
from tests.builders.outlines import random_outline


@pytest.mark.parametrize("seed", range(20))
def test_points_lie_where_each_lies_by_itself(seed: int) -> None:
    path = random_outline(seed)
    x0, y0, x1, y1 = bbox(path)
    points = np.random.default_rng(seed).uniform((x0 - 5, y0 - 5), (x1 + 5, y1 + 5), (300, 2))
    points[:20, 1] = [path.vertices[at % len(path.vertices)][1] for at in range(20)]  # level with a corner
    assert contains_points(path, points).tolist() == [contains(path, x, y) for x, y in points.tolist()]


def test_discs_stay_that_stand_out_of_every_larger_one() -> None:
    dice = random.Random(2)
    discs = [(dice.uniform(0, 90), dice.uniform(0, 90), dice.uniform(1, 30)) for _ in range(FEW_DISCS + 40)]
    discs += discs[:10]
    in_order = sorted(discs, key=lambda disc: -disc[2])
    few: list[tuple[float, float, float]] = []
    for disc in in_order:  # as for a few of them, where no array is used
        few = checked_discs([*few, disc])
    assert 3 < len(few) < FEW_DISCS
    assert uncovered(in_order, COVERED_MM) == few == checked_discs(discs)
