"""Random problems of every kind: no random layout beats a bound, and what is called impossible has no layout."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest

from gearplate.layout.certified.branch import Settings, Status, solve
from gearplate.layout.certified.model import demands_missed, model_of, wish_value
from gearplate.layout.certified.problem import Apart, HullDisc, HullOff, LayoutProblem, Node, Outside, Wish, Within

POINTS, STEPS = 20_000, 100
WITH_SCREWS = 20  # from this number on


def random_problem(number: int) -> LayoutProblem:
    """One to four free nodes, alike or not, on a chain or branched; tight enough that some have no layout."""
    random = np.random.default_rng(number)
    free = int(random.integers(1, 5))
    nodes = [Node("o", at_mm=(0.0, 0.0)), Node("p", at_mm=(float(random.uniform(60.0, 150.0)), 0.0))]
    alike = random.random() < 0.4
    for k in range(free):
        about = int(random.choice([0, *range(2, 2 + k)])) if not alike or k == 0 else 2
        nodes.append(Node(f"n{k}", about=about, distance_mm=45.0 if alike else float(random.uniform(30.0, 70.0))))
    radius = [20.0, 25.0, *(22.0 if alike else float(r) for r in random.uniform(8.0, 35.0, free))]
    tight = float(random.uniform(0.6, 1.6))
    count = len(nodes)
    apart = tuple(
        Apart(i, j, tight * (radius[i] + radius[j]))
        for i in range(count)
        for j in range(max(2, i + 1), count)
        if nodes[j].about != i
    )
    top = float(random.uniform(40.0, 120.0))
    within = tuple(Within(1, 1, i, None, top - radius[i]) for i in range(2, count)) if random.random() < 0.6 else ()
    outside = (Outside(count - 1, -math.inf, -20.0, math.inf, 20.0),) if random.random() < 0.4 else ()
    off = (HullOff(70.0, 30.0, 80.0, 40.0, 4.0),) if random.random() < 0.25 else ()
    hull = tuple(HullDisc(i, radius[i]) for i in range(count) if i != 1 or random.random() < 0.5)
    wish = [Wish.AREA, Wish.HEIGHT, Wish.WIDTH, Wish.MOVE][int(random.integers(4))]
    before = tuple((i, 50.0 * i, 40.0) for i in range(2, count)) if wish is Wish.MOVE else ()
    problem = LayoutProblem(f"random {number}", tuple(nodes), hull, wish, apart, within, outside, before, off)
    return with_opposite_screws(problem, random) if number >= WITH_SCREWS else problem


def with_opposite_screws(problem: LayoutProblem, random: np.random.Generator) -> LayoutProblem:
    """The problem with two screws about its last node that turn together, a half turn apart."""
    motor, first = len(problem.nodes) - 1, len(problem.nodes)
    radius, least = float(random.uniform(10.0, 30.0)), float(random.uniform(10.0, 45.0))
    screws = (
        Node("screw 1", about=motor, distance_mm=radius, half_turn=True),
        Node("screw 2", about=motor, distance_mm=-radius, along=first),
    )
    apart = tuple(Apart(i, screw, least) for i in range(motor) for screw in (first, first + 1))
    hull = (HullDisc(first, 8.0), HullDisc(first + 1, 8.0))
    return replace(
        problem, nodes=(*problem.nodes, *screws), hull=(*problem.hull, *hull), apart=(*problem.apart, *apart)
    )


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
