"""Problems looked into side by side: nothing is lost of any of them, and company changes no answer."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest

from gearplate.layout.certified.below import Asked, Region, below
from gearplate.layout.certified.model import Model, demands_missed, model_of, models_abreast, wish_value
from gearplate.layout.certified.problem import Wish
from tests.builders.layout_problems import family

POINTS = 4000


def layouts(model: Model, seed: int) -> np.ndarray:
    """Random angles that keep every demand."""
    points = np.random.default_rng(seed).uniform(-math.pi, math.pi, (POINTS, model.free))
    return points[demands_missed(model, points) <= 0.0]


def without_copies(angles: np.ndarray, region: Region) -> np.ndarray:
    """The copies of layouts that a region speaks of: one half of a mirrored pair, equal nodes in rising order."""
    angles = angles.copy()
    if region.half is not None:
        other = np.cos(angles[:, region.half]) < 0.0
        angles[other] = math.pi - angles[other]
    angles = (angles + math.pi) % (2.0 * math.pi) - math.pi
    for group in region.groups:
        angles[:, list(group)] = np.sort(angles[:, list(group)], axis=1)
    return angles


@pytest.mark.parametrize("number", [1, 3, 5, 7, 9, 11, 13, 15, 17, 18])
def test_no_layout_below_the_value_is_lost(number: int) -> None:
    problems = family(number, 5)
    models = [model_of(one) for one in problems]
    kept = [layouts(model, number) for model in models]
    wishes = [wish_value(model, points) for model, points in zip(models, kept, strict=True)]
    every = np.concatenate(wishes)
    value = float(np.quantile(every, 0.3)) if len(every) else math.inf
    asked = [Asked(one, rounds=3, most_boxes=400) for one in problems]
    for found, points, wish in zip(below(asked, value), kept, wishes, strict=True):
        good = points[wish < 0.995 * value]
        assert not (found.nothing and len(good))
        if len(good):
            assert found.bound <= wish.min()
        for here in without_copies(good, found.region):
            inside = (found.region.low - 1e-9 <= here) & (here <= found.region.high + 1e-9)
            assert inside.all(axis=1).any()


@pytest.mark.parametrize("number", [2, 7, 8, 20, 25])
def test_company_of_the_same_changes_no_answer(number: int) -> None:
    (problem,) = family(number, 1)
    points = layouts(model_of(problem), number)
    value = float(np.median(wish_value(model_of(problem), points))) if len(points) else 9e9
    (alone,) = below([Asked(problem, rounds=4)], value)
    for other in below([Asked(problem, rounds=4)] * 3, value):
        assert (other.boxes, other.found) == (alone.boxes, alone.found)
        assert other.bound == pytest.approx(alone.bound)
        assert other.region.low == pytest.approx(alone.region.low)
        assert other.region.high == pytest.approx(alone.region.high)


def test_every_wish_can_be_asked_abreast() -> None:
    problems = [replace(one, wish=Wish.WIDTH) for one in family(6, 3)]
    assert len(models_abreast(problems)) == 1
    asked = [Asked(one) for one in problems]
    assert all(found.nothing for found in below(asked, 1.0))
    assert not any(found.nothing for found in below(asked, 9e9))
