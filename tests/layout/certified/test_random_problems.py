"""Random problems of every kind: no random layout beats a bound, and what is called impossible has no layout."""

from __future__ import annotations

import math

import numpy as np
import pytest

from gearplate.layout.certified.branch import Settings, Status, solve
from gearplate.layout.certified.model import demands_missed, model_of, wish_value
from gearplate.layout.certified.problem import LayoutProblem
from tests.builders.layout_problems import random_problem

POINTS, STEPS = 20_000, 100


def sampled(problem: LayoutProblem, number: int) -> float:
    """The least wish among random layouts and what blind steps make of the best of them; infinite where none holds."""
    model = model_of(problem)
    random = np.random.default_rng(1000 + number)
    angles = random.uniform(-math.pi, math.pi, (POINTS, model.free))
    kept = angles[demands_missed(model, angles) <= 0.0]
    if not len(kept):
        return math.inf
    value = wish_value(model, kept)
    best = kept[value.argsort()[:40]]
    value = wish_value(model, best)
    for step in np.geomspace(0.3, 1e-4, STEPS):
        trial = best + random.normal(0.0, step, best.shape)
        better = (demands_missed(model, trial) <= 0.0) & (wish_value(model, trial) < value)
        best = np.where(better[:, None], trial, best)
        value = wish_value(model, best)
    return float(value.min())


@pytest.mark.parametrize("first", range(0, 30, 10))
def test_no_layout_beats_a_bound(first: int) -> None:
    for number in range(first, first + 10):
        problem = random_problem(number)
        answer = solve(problem, Settings(stop_boxes=30_000))
        least = sampled(problem, number)
        assert answer.bound <= least * (1 + 1e-9)
        if answer.status is Status.INFEASIBLE:
            assert math.isinf(least)
        if answer.value is not None:
            assert answer.angles_rad is not None
            own = np.array([[answer.angles_rad[problem.nodes[i].name] for i in problem.free]])
            assert demands_missed(model_of(problem), own)[0] <= 1e-6
            assert answer.bound <= answer.value
            # nor is the layout worse than what blind steps find, but for the gap
            assert answer.status is Status.STOPPED or answer.value <= max(least * 1.0051, least + 1e-6)
