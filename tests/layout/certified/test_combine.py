"""Rows taken together: the most of an aim against all corners of a plane figure, and layouts never lost."""

from __future__ import annotations

import itertools
import math
from pathlib import Path

import numpy as np
import pytest

from gearplate.layout.certified.bounds import RowBounder
from gearplate.layout.certified.combine import Lines, sums, weights
from gearplate.layout.certified.contract import aim_of_area, aim_of_rows, by_area, by_rows, middle_of, together
from gearplate.layout.certified.model import demands_missed, model_of, row_values, wish_value
from gearplate.layout.certified.waves import Waves
from tests.bench.problem_file import read_problem

PROBLEMS = Path(__file__).parents[2] / "bench" / "problems"


def most_by_corners(slope: np.ndarray, rest: np.ndarray, aim: np.ndarray, aim_rest: float) -> float:
    """The most of aim_rest + aim . x where rest + slope . x >= 0 and x in [-1, 1]^2, by all corners; -inf: nowhere."""
    lines = [(row, -r) for row, r in zip(slope, rest, strict=True)]
    lines += [(np.array(side), -1.0) for side in ((1.0, 0.0), (-1.0, 0.0), (0.0, 1.0), (0.0, -1.0))]
    best = -math.inf
    for (a, p), (b, q) in itertools.combinations(lines, 2):
        two = np.array([a, b])
        if abs(np.linalg.det(two)) < 1e-9:
            continue
        x = np.linalg.solve(two, np.array([p, q]))
        if all(row @ x - least >= -1e-9 for row, least in lines):
            best = max(best, aim_rest + float(aim @ x))
    return best


def told(slope: np.ndarray, rest: np.ndarray, aim: np.ndarray, aim_rest: np.ndarray) -> np.ndarray:
    """The most that the aim can be by the weights found."""
    weight = weights(slope, rest, aim, aim_rest, 20)
    assert (weight >= 0.0).all()
    total = aim + (weight[:, None] * slope).sum(axis=0)
    return np.asarray(aim_rest + (weight * rest).sum(axis=0) + np.abs(total).sum(axis=0))


def test_against_all_corners() -> None:
    random = np.random.default_rng(1)
    count, rows = 400, 4
    slope = random.normal(size=(rows, 2, count))
    slope /= np.abs(slope).sum(axis=1, keepdims=True)
    rest = random.uniform(-0.8, 0.6, (rows, count))
    aim = random.normal(size=(2, count))
    aim /= np.abs(aim).sum(axis=0)
    aim_rest = random.uniform(-0.3, 0.8, count)
    most = told(slope, rest, aim, aim_rest)
    empty = 0
    for i in range(count):
        true = most_by_corners(slope[:, :, i], rest[:, i], aim[:, i], float(aim_rest[i]))
        assert most[i] >= true - 1e-9
        if true < 0.0:  # it need not be told how far below
            assert most[i] < 0.0
        else:
            assert most[i] == pytest.approx(true, abs=1e-9)
        empty += true == -math.inf
    assert 20 < empty < 300


def test_an_aim_of_nothing_fails_with_the_rows() -> None:
    # x >= 1/2 and x <= -1/2 cannot both be
    slope = np.array([[[0.5]], [[-0.5]]])
    rest = np.array([[-0.25], [-0.25]])
    assert told(slope, rest, np.zeros((1, 1)), np.ones(1))[0] < 0.0
    assert told(slope, -rest, np.zeros((1, 1)), np.ones(1))[0] == pytest.approx(1.0)


def test_any_weights_are_true() -> None:
    """Few pivots or many: wherever all rows hold, the aim is no more than told."""
    random = np.random.default_rng(3)
    n, rows, count = 4, 12, 200
    slope = random.normal(size=(n, count, rows))
    rest = random.uniform(-0.5, 2.0, (count, rows))
    rest[:, 3] = math.inf
    lines = Lines(slope, rest, np.zeros((count, n)), np.arange(count))
    aim, aim_rest = random.normal(size=(n, count)), random.uniform(-1.0, 1.0, count)
    middle, width = random.uniform(-0.2, 0.2, (count, n)), random.uniform(0.1, 1.0, (count, n))
    found = [sums(lines, np.arange(count), middle, width, aim, aim_rest, pivots) for pivots in (0, 1, 3, 12)]
    held = 0
    for _ in range(200):
        x = middle + width * random.uniform(-1.0, 1.0, (count, n))
        holds = (rest + np.einsum("kbr,bk->br", slope, x) >= 0.0).all(axis=1)
        value = aim_rest + (aim.T * (x - middle)).sum(axis=1)
        held += int(holds.sum())
        for one in found:
            assert (value[holds] <= one.most[holds] + 1e-9).all()
    assert held > 1000
    assert (found[3].most <= found[0].most + 1e-9).all()
    assert (found[3].most < found[0].most - 1e-3).mean() > 0.3


@pytest.mark.parametrize("name", ["low_3", "chain_5"])
def test_no_layout_is_lost(name: str) -> None:
    own = model_of(read_problem(PROBLEMS / f"{name}.json"))
    random = np.random.default_rng(29)
    angles = random.uniform(-math.pi, math.pi, (100_000 if own.free > 3 else 30_000, own.free))
    good = angles[demands_missed(own, angles) <= 0.0][:50]
    assert len(good) > 10
    wish = wish_value(own, good)
    bounder = RowBounder(own.rows, own.free)
    cuts = 0
    for scale in (0.02, 0.2, 0.6):
        width = scale * random.uniform(0.3, 1.0, good.shape)
        low = good - 2 * width * random.random(good.shape)
        for number in range(len(good)):
            one_low, one_high = low[number : number + 1], low[number : number + 1] + 2 * width[number]
            target = float(wish[number]) * (1 + 1e-9)
            constant = own.rows.constant.copy()
            constant[own.rows.wish] += target
            one_low, one_high, live, slack, lines = by_rows(own, bounder, constant, one_low, one_high)
            assert len(live) == 1
            if own.by_area:
                middle, _ = middle_of(one_low, one_high)
                one_low, one_high, kept, area = by_area(own, target, one_low, one_high)
                assert kept.all()
                aim = aim_of_area(area, np.arange(1), target, middle)
            else:
                aim = aim_of_rows(own, constant + bounder.guard, lines, slack)
            before = (one_high - one_low).sum()
            one_low, one_high, kept, most = together(
                own, constant + bounder.guard, lines, np.arange(1), one_low, one_high, aim
            )
            assert kept.all()
            assert most[0] >= 0.0
            assert (one_low[0] <= good[number] + 1e-9).all()
            assert (one_high[0] >= good[number] - 1e-9).all()
            cuts += (one_high - one_low).sum() < 0.999 * before
    assert cuts > 10


def test_rows_as_waves() -> None:
    own = model_of(read_problem(PROBLEMS / "branched_6.json"))
    random = np.random.default_rng(31)
    angles = random.uniform(-math.pi, math.pi, (20, own.free))
    apart = angles[:, own.pairs.second] - angles[:, own.pairs.first]
    waves: Waves = own.rows.waves
    value = own.rows.constant + np.cos(apart) @ waves.pair_cosine.T
    value += np.cos(angles) @ waves.cosine.T + np.sin(angles) @ waves.sine.T
    assert not waves.pair_sine.any()
    assert np.abs(value - row_values(own.rows, angles)).max() < 1e-8


def test_boxes_in_which_no_row_demands_anything_stay() -> None:
    """As where all demands are rectangles that can be passed on two sides: such an aim must not be no number."""
    own = model_of(read_problem(PROBLEMS / "chain_5.json"))
    count, rows = 3, len(own.rows.constant)
    none = np.full((count, rows), math.inf)
    low, high = np.full((count, own.free), -0.5), np.full((count, own.free), 0.5)
    lines = Lines(np.ones((own.free, count, rows)), none, np.zeros((count, own.free)), np.arange(count))
    aim = aim_of_rows(own, own.rows.constant, lines, np.ones((count, rows)))
    new_low, new_high, kept, most = together(own, own.rows.constant, lines, np.arange(count), low, high, aim)
    assert kept.all()
    assert np.isfinite(most).all()
    assert np.array_equal(new_low, low)
    assert np.array_equal(new_high, high)
