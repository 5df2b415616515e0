"""What is called the common problem of many is one: a layout of any of them is one of it, with no larger wish."""

from __future__ import annotations

import numpy as np
import pytest

from gearplate.layout.certified.alike import Alike
from gearplate.layout.certified.common import common_problem
from gearplate.layout.certified.model import demands_missed, model_of, wish_value
from gearplate.layout.certified.problem import Wish
from tests.builders.layout_problems import family, random_problem

POINTS = 3000


@pytest.mark.parametrize("number", range(28))
def test_every_layout_of_one_is_a_layout_of_all(number: int) -> None:
    problems = family(number, 5)
    choices = Alike(problems)
    random = np.random.default_rng(100 + number)
    for some in ([0, 1, 2, 3, 4], [1, 3], [2]):
        model = model_of(choices.common(np.array(some)))
        for one in some:
            own = model_of(problems[one])
            angles = random.uniform(-np.pi, np.pi, (POINTS, own.free))
            kept = angles[demands_missed(own, angles) <= 0.0]
            if len(kept):
                assert demands_missed(model, kept).max() <= 1e-9
                assert (wish_value(model, kept) <= wish_value(own, kept) * (1.0 + 1e-12)).all()


def test_one_alone_gives_way_by_no_more_than_rounding() -> None:
    for number in range(12):
        (problem,) = family(number, 1)
        own, model = model_of(problem), model_of(Alike([problem]).common(np.array([0])))
        angles = np.random.default_rng(number).uniform(-np.pi, np.pi, (200, own.free))
        assert wish_value(model, angles) == pytest.approx(wish_value(own, angles), abs=1e-3)
        assert demands_missed(model, angles) == pytest.approx(demands_missed(own, angles), abs=1e-5)


def test_a_fixed_node_that_strays_is_kept_less_far_from() -> None:
    problem = next(random_problem(n) for n in range(20) if random_problem(n).wish is Wish.AREA)
    distances = np.array([[node.distance_mm for node in problem.nodes]])
    away = common_problem(problem, distances, {1: 3.0})
    near = [pair.least_mm for pair in away.apart if 1 in (pair.a, pair.b)]
    own = [pair.least_mm for pair in problem.apart if 1 in (pair.a, pair.b)]
    assert near
    assert max(asked - given for asked, given in zip(own, near, strict=True)) >= 2.9


def test_the_largest_move_has_no_common_problem() -> None:
    problem = next(random_problem(n) for n in range(20) if random_problem(n).wish is Wish.MOVE)
    with pytest.raises(ValueError, match="move"):
        Alike([problem]).common(np.array([0]))
