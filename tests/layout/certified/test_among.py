"""The best of many problems at once is the best of each alone."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest

from gearplate.layout.certified.alike import Alike
from gearplate.layout.certified.among import Chosen, best_of
from gearplate.layout.certified.branch import Settings, Status, solve
from gearplate.layout.certified.model import demands_missed, model_of, wish_value
from gearplate.layout.certified.problem import Apart, HullDisc, LayoutProblem, Node
from tests.builders.layout_problems import family

GAP = 0.005


def least_alone(problems: list[LayoutProblem]) -> float:
    """The least value among them, each solved by itself to a tenth of the gap."""
    values = [solve(one, Settings(gap=0.1 * GAP, stop_boxes=60_000)).value for one in problems]
    return min((value for value in values if value is not None), default=math.inf)


@pytest.mark.parametrize("number", [*range(1, 8), 11, 13, 20, 21])
def test_the_best_of_all_is_the_best_of_each_alone(number: int) -> None:
    problems = family(number, 6)
    chosen = best_of(Alike(problems), Settings(gap=GAP, stop_boxes=300_000))
    least = least_alone(problems)
    if math.isinf(least):
        assert chosen.status is Status.INFEASIBLE
        assert chosen.number is None
        return
    assert chosen.status is Status.CERTIFIED
    assert (chosen.done, chosen.open) == (len(problems), 0)
    assert chosen.value is not None
    assert chosen.angles_rad is not None
    assert chosen.number is not None
    assert chosen.bound <= least * (1.0 + 1e-9) <= chosen.value * (1.0 + 1e-6)
    assert chosen.value * (1.0 - GAP) <= chosen.bound * (1.0 + 1e-9)
    own = problems[chosen.number]
    here = np.array([[chosen.angles_rad[own.nodes[node].name] for node in own.free]])
    assert demands_missed(model_of(own), here)[0] <= 1e-6
    assert wish_value(model_of(own), here)[0] == pytest.approx(chosen.value)


def bar(distance: float, radius: float = 10.0) -> LayoutProblem:
    """Two discs at a distance, whose hull is known: a stadium."""
    nodes = (Node("o", at_mm=(0.0, 0.0)), Node("a", about=0, distance_mm=distance))
    return LayoutProblem("bar", nodes, (HullDisc(0, radius), HullDisc(1, radius)))


def test_hulls_that_are_known_by_hand() -> None:
    chosen = best_of(Alike([bar(distance) for distance in (90.0, 40.0, 70.0)]))
    assert chosen.number == 1
    assert chosen.value == pytest.approx(math.pi * 100.0 + 20.0 * 40.0)


def test_different_kinds_are_weighed_against_each_other() -> None:
    nodes = (*bar(30.0).nodes, Node("b", about=1, distance_mm=30.0))
    chain = replace(bar(30.0), nodes=nodes, apart=(Apart(0, 2, 20.0),), hull=(HullDisc(0, 10.0), HullDisc(2, 10.0)))
    chosen = best_of(Alike([bar(40.0), bar(41.0), chain]))
    assert chosen.number == 2
    assert chosen.value == pytest.approx(math.pi * 100.0 + 20.0 * 20.0, rel=1e-4)


def test_where_none_holds_there_is_proof() -> None:
    apart = (Apart(0, 1, 60.0),)
    chosen = best_of(Alike([replace(bar(distance), apart=apart) for distance in (20.0, 30.0, 50.0)]))
    assert chosen.status is Status.INFEASIBLE
    assert chosen.number is None
    assert math.isinf(chosen.bound)


def stopped(number: int, boxes: int) -> Chosen:
    return best_of(Alike(family(number, 8)), Settings(gap=1e-6, stop_boxes=boxes))


def test_a_bound_holds_at_every_stop_and_the_same_question_ends_the_same_way() -> None:
    for number in (2, 7):
        least = least_alone(family(number, 8))
        for boxes in (1, 200, 1000):
            found = stopped(number, boxes)
            assert found.bound <= least * (1.0 + 1e-9)
            assert found == stopped(number, boxes)
            assert found.done + found.open == 8


def test_it_ends_where_it_is_told_to_and_tells_how_far_it_is() -> None:
    told = []

    def watch(progress: object) -> bool:
        told.append(progress)
        return len(told) < 2

    chosen = best_of(Alike(family(3, 40)), Settings(gap=1e-6), watch)
    assert len(told) == 2
    assert chosen.status is Status.STOPPED


def test_a_layout_known_beforehand_is_taken() -> None:
    problems = [bar(distance) for distance in (90.0, 40.0)]
    assert best_of(Alike(problems), Settings(stop_boxes=0), known=(0, {"a": 1.0})).number == 0
    assert best_of(Alike(problems), known=(0, {"a": 1.0})).number == 1
