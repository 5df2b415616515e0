"""No point sampled in a box may lie above the most that a sum of waves is told to be there."""

from __future__ import annotations

import math

import numpy as np
import pytest

from gearplate.layout.certified.waves import Waves, most_over, pairs_of

BOXES = 400


def some(n: int, random: np.random.Generator) -> tuple[np.ndarray, Waves]:
    pairs = len(pairs_of(n).first)
    four = [random.normal(size=(BOXES, size)) * (random.random((BOXES, size)) < 0.7) for size in (pairs, pairs, n, n)]
    return random.normal(size=BOXES), Waves(*four)


def value(n: int, constant: np.ndarray, waves: Waves, angles: np.ndarray) -> np.ndarray:
    """As the formula says, wave by wave."""
    total = constant.copy()
    number = 0
    for k in range(n):
        total += waves.cosine[:, k] * np.cos(angles[:, k]) + waves.sine[:, k] * np.sin(angles[:, k])
        for l in range(k + 1, n):  # noqa: E741
            apart = angles[:, l] - angles[:, k]
            total += waves.pair_cosine[:, number] * np.cos(apart) + waves.pair_sine[:, number] * np.sin(apart)
            number += 1
    return total


@pytest.mark.parametrize("n", [1, 2, 3, 6])
def test_no_sampled_point_lies_above(n: int) -> None:
    random = np.random.default_rng(n)
    constant, waves = some(n, random)
    middle = random.uniform(-4.0, 4.0, (BOXES, n))
    # from boxes that are all but points to several turns; sides of one box as unlike as that
    width = 10 ** random.uniform(-12.0, 0.8, (BOXES, n))
    width[::3] = 10 ** random.uniform(-3.0, 0.8, (len(width[::3]), 1))
    most = most_over(pairs_of(n), constant, waves, middle, width)
    for _ in range(150):
        away = width * np.clip(random.uniform(-1.6, 1.6, middle.shape), -1.0, 1.0)
        true = value(n, constant, waves, middle + away)
        assert (true <= most.most + 1e-12).all()
        assert (true <= most.rest + (most.slope * away).sum(axis=1) + 1e-12 * (1.0 + np.abs(away).sum(axis=1))).all()


def test_one_angle_is_exact() -> None:
    random = np.random.default_rng(9)
    constant, waves = some(1, random)
    middle, width = random.uniform(-4.0, 4.0, (BOXES, 1)), random.uniform(0.01, 3.1, (BOXES, 1))
    most = most_over(pairs_of(1), constant, waves, middle, width).most
    steps = np.linspace(-1.0, 1.0, 4001)
    true = np.max([value(1, constant, waves, middle + step * width) for step in steps], axis=0)
    assert np.abs(most - true).max() < 1e-5


@pytest.mark.parametrize("tilt", [0.0, 1e-9, 1e-300])
def test_a_crest_half_a_turn_from_the_middle_is_seen(tilt: float) -> None:
    """-cos over a whole turn: at the middle it is level, or all but, and lowest; it reaches 1."""
    box = np.zeros((1, 1)), np.full((1, 1), math.pi)
    lone = Waves(np.zeros((1, 0)), np.zeros((1, 0)), np.array([[-1.0]]), np.array([[tilt]]))
    assert most_over(pairs_of(1), np.zeros(1), lone, *box).most[0] == pytest.approx(1.0)
    pair = Waves(np.array([[-1.0]]), np.array([[tilt]]), np.zeros((1, 2)), np.zeros((1, 2)))
    two = np.zeros((1, 2)), np.full((1, 2), math.pi)
    assert most_over(pairs_of(2), np.zeros(1), pair, *two).most[0] >= 1.0 - 1e-12


def test_the_bound_closes_at_second_order() -> None:
    random = np.random.default_rng(10)
    constant, waves = some(5, random)
    middle = random.uniform(-4.0, 4.0, (BOXES, 5))
    at = value(5, constant, waves, middle)
    for half in (1e-2, 1e-3):
        most = most_over(pairs_of(5), constant, waves, middle, np.full(middle.shape, half))
        assert (most.rest - at).max() < 60.0 * half**2
        assert (most.rest + 1e-15 >= at).all()
        steep = np.abs(most.slope).sum(axis=1) * half
        assert (np.abs(most.most - at - steep) < 60.0 * half**2).all()


def test_pairs_are_in_rising_order() -> None:
    pairs = pairs_of(4)
    assert list(zip(pairs.first.tolist(), pairs.second.tolist(), strict=True)) == [
        (0, 1), (0, 2), (0, 3), (1, 2), (1, 3), (2, 3),
    ]  # fmt: skip
    assert math.isclose(float(pairs.turns.sum()), 0.0)
    assert (pairs.both == np.abs(pairs.turns)).all()
