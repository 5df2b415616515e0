"""No point sampled in a box may break a bound of that box, and no cut may lose a layout that keeps every demand."""

from __future__ import annotations

import math
from pathlib import Path

import numpy as np
import pytest

from gearplate.layout.certified.bounds import RowBounder, area_bounds
from gearplate.layout.certified.contract import Joints, by_area, by_rows, clear_of_boxes
from gearplate.layout.certified.hull import hull_area
from gearplate.layout.certified.model import (
    Model,
    demands_missed,
    hull_places,
    model_of,
    row_values,
    whole_values,
    wish_value,
)
from gearplate.layout.certified.problem import Apart, HullDisc, HullOff, LayoutProblem, Node
from tests.bench.problem_file import read_problem

PROBLEMS = Path(__file__).parents[2] / "bench" / "problems"
NAMES = ["low_3", "impossible_4", "chain_5", "branched_6", "opposite"]
BOXES, POINTS = 300, 40

# A motor on an arm with two opposite screws that turn together: the second has a reach below nothing.
OPPOSITE = LayoutProblem(
    "opposite",
    (
        Node("o", at_mm=(0.0, 0.0)),
        Node("motor", about=0, distance_mm=60.0),
        Node("screw 1", about=1, distance_mm=24.0, half_turn=True),
        Node("screw 2", about=1, distance_mm=-24.0, along=2),
    ),
    (HullDisc(0, 20.0), HullDisc(1, 12.0), HullDisc(2, 9.0), HullDisc(3, 9.0)),
    apart=(Apart(0, 2, 45.0), Apart(0, 3, 45.0)),
    off=(HullOff(40.0, 20.0, 44.0, 26.0, 2.0),),
)


def model(name: str) -> Model:
    return model_of(OPPOSITE if name == OPPOSITE.name else read_problem(PROBLEMS / f"{name}.json"))


def boxes(n: int, random: np.random.Generator) -> tuple[np.ndarray, np.ndarray]:
    """Middles and half-widths from a thousandth of a radian to half a turn; in every other box one side is narrow."""
    middle = random.uniform(-math.pi, math.pi, (BOXES, n))
    width = 10 ** random.uniform(-3.0, 0.5, (BOXES, 1)) * random.uniform(0.05, 1.0, (BOXES, n))
    width[::2, 0] *= 0.01
    return middle, width


@pytest.mark.parametrize("name", NAMES)
def test_no_sampled_point_breaks_a_bound(name: str) -> None:
    own = model(name)
    random = np.random.default_rng(11)
    middle, width = boxes(own.free, random)
    area = area_bounds(own, middle, width)
    rows = RowBounder(own.rows, own.free)(middle, width, own.rows.constant)
    slope = rows.slope.transpose(1, 2, 0)
    assert 0.2 < area.sloped.mean() <= 1.0
    for _ in range(POINTS):
        # a third of all angles at an end of their interval
        away = width * np.clip(random.uniform(-1.5, 1.5, middle.shape), -1.0, 1.0)
        true_area = hull_area(hull_places(own, middle + away), own.hull_radius)
        assert (true_area >= area.least).all()
        line = area.value + (area.slope * away).sum(axis=1)
        assert (true_area >= line)[area.sloped].all()
        value = row_values(own.rows, middle + away)
        assert (value <= rows.top).all()
        assert (value[rows.at] <= rows.rest + (slope * away[rows.at][:, None, :]).sum(axis=2)).all()


def test_no_box_is_thrown_away_in_which_the_hull_keeps_off() -> None:
    own = model_of(OPPOSITE)
    random = np.random.default_rng(17)
    kept = random.uniform(-math.pi, math.pi, (4000, own.free))
    kept = kept[whole_values(own, kept).kept.min(axis=1) >= 0.0]
    assert 1000 < len(kept) < 3900
    for scale in (0.01, 0.3, 1.0, 3.0):
        width = scale * random.uniform(0.01, 1.0, kept.shape)
        low = kept - width * random.random(kept.shape)
        assert len(clear_of_boxes(own, low, low + width)) == len(kept)


def test_bounds_are_worth_having() -> None:
    """The bounds close on the true value, at second order, as a box shrinks."""
    own = model("chain_5")
    middle = np.random.default_rng(5).uniform(-math.pi, math.pi, (50, own.free))
    true_area = hull_area(hull_places(own, middle), own.hull_radius)
    for half in (1e-2, 1e-3):
        bound = area_bounds(own, middle, np.full(middle.shape, half))
        assert bound.sloped.mean() > 0.8
        assert (true_area - bound.value)[bound.sloped].max() < 3e4 * (half * own.free) ** 2


@pytest.mark.parametrize("name", ["low_3", "chain_5"])
def test_no_cut_loses_a_layout(name: str) -> None:
    own = model(name)
    random = np.random.default_rng(23)
    angles = random.uniform(-math.pi, math.pi, (200_000 if own.free > 3 else 60_000, own.free))
    good = angles[demands_missed(own, angles) <= 0.0][:120]
    for group in own.groups:
        good[:, list(group)] = np.sort(good[:, list(group)], axis=1)
    assert len(good) > 10
    wish = wish_value(own, good)
    rows, joints = RowBounder(own.rows, own.free), Joints(own)
    for scale in (0.02, 0.2, 0.8):
        width = scale * random.uniform(0.3, 1.0, good.shape)
        low = np.maximum(good - 2 * width * random.random(good.shape), -math.pi)
        high = np.maximum(good, np.minimum(low + 2 * width, math.pi))
        for number in range(len(good)):
            one_low, one_high = low[number : number + 1].copy(), high[number : number + 1].copy()
            target = wish[number] * (1 + 1e-9)
            constant = own.rows.constant.copy()
            constant[own.rows.wish] += target
            assert len(joints.cut(one_low, one_high)) == 1
            one_low, one_high, live, _, _ = by_rows(own, rows, constant, one_low, one_high)
            assert len(live) == 1
            if own.by_area:
                one_low, one_high, kept, _ = by_area(own, target, one_low, one_high)
                assert kept.all()
            assert (one_low[0] <= good[number] + 1e-9).all()
            assert (one_high[0] >= good[number] - 1e-9).all()
