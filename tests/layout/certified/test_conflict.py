"""What cannot hold together, against sums by hand."""

from __future__ import annotations

import json
import math
from pathlib import Path

import numpy as np
import pytest

from gearplate.layout.certified.branch import Settings, Status, solve
from gearplate.layout.certified.conflict import conflict, groups_of, least_mend
from gearplate.layout.certified.model import demands_missed, model_of
from gearplate.layout.certified.problem import Apart, HullDisc, LayoutProblem, Node, Outside, Wish, Within
from tests.bench.problem_file import problem_from

PROBLEMS = Path(__file__).parents[2] / "bench" / "problems"


def arm() -> LayoutProblem:
    """An axis at 50 mm about the origin: right of x = 40 (so |y| <= 30) and above y = 40; a far pair has no part."""
    nodes = (Node("o", at_mm=(0.0, 0.0)), Node("a", about=0, distance_mm=50.0), Node("b", about=0, distance_mm=20.0))
    return LayoutProblem(
        "arm",
        nodes,
        (HullDisc(0, 5.0),),
        apart=(Apart(1, 2, 40.0, "a to b"),),
        within=(Within(0, -1, 1, None, -40.0, "right"), Within(1, -1, 1, None, -40.0, "high")),
        outside=(Outside(2, -math.inf, -5.0, math.inf, 5.0, "band"),),
    )


def test_two_limits_that_exclude_each_other() -> None:
    found = conflict(arm())
    assert found is not None
    assert [needed.group for needed in found.needed] == ["right", "high"]
    assert found.irreducible
    # with each left out the other holds
    angles = [needed.angles_rad for needed in found.needed]
    assert angles[0] is not None
    assert angles[1] is not None
    assert 50.0 * math.sin(angles[0]["a"]) >= 40.0 - 1e-6
    assert 50.0 * math.cos(angles[1]["a"]) >= 40.0 - 1e-6


def test_how_far_a_limit_gives_way() -> None:
    # y = 40 leaves x = 30, x = 40 leaves y = 30: either gives way by 10 mm
    for group in ("right", "high"):
        mend = least_mend(arm(), group)
        assert mend.enough_mm is not None
        assert mend.too_little_mm < 10.0 + 1e-6
        assert 10.0 - 1e-6 <= mend.enough_mm <= mend.too_little_mm + 0.05
    none = least_mend(arm(), "band")
    assert (none.enough_mm, none.too_little_mm) == (None, math.inf)


def test_any_layout_will_do() -> None:
    problem = arm()
    assert solve(LayoutProblem("any", problem.nodes, (), Wish.ANY, problem.apart)).value == 0.0


def test_a_motor_that_fits_nowhere() -> None:
    problem = problem_from(json.loads((PROBLEMS / "impossible_4.json").read_text()))
    groups = groups_of(problem)
    found = conflict(problem)
    assert found is not None
    assert found.irreducible
    assert 1 <= len(found.needed) < len(groups)
    mend = least_mend(problem, found.needed[0].group, to_mm=0.5)
    assert mend.enough_mm is None or mend.enough_mm - mend.too_little_mm <= 0.5


def test_no_conflict_where_there_is_a_layout() -> None:
    problem = problem_from(json.loads((PROBLEMS / "low_3.json").read_text()))
    assert conflict(problem) is None
    answer = solve(LayoutProblem("low", problem.nodes, problem.hull, Wish.ANY, problem.apart), Settings())
    assert answer.status is Status.CERTIFIED
    assert answer.angles_rad is not None
    assert demands_missed(model_of(problem), np.array([list(answer.angles_rad.values())])).shape == (1,)
    with pytest.raises(KeyError):
        least_mend(problem, "no such")
