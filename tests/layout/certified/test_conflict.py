"""What cannot hold together, against sums by hand."""

from __future__ import annotations

import json
import math
from dataclasses import replace
from functools import partial
from pathlib import Path

import numpy as np

from gearplate.layout.certified.branch import Status, solve
from gearplate.layout.certified.conflict import ENDLESS, Given, Purse, conflict, groups_of, least_mend, without
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


def eased(group: str, by: float) -> LayoutProblem:
    """The arm with a limit so much wider."""
    problem = arm()
    return replace(
        problem,
        wish=Wish.ANY,
        within=tuple(replace(one, most_mm=one.most_mm + by * (one.why == group)) for one in problem.within),
    )


def test_how_far_a_limit_gives_way() -> None:
    # y = 40 leaves x = 30, x = 40 leaves y = 30: either gives way by 10 mm
    for group in ("right", "high"):
        mend = least_mend(partial(eased, group), 100.0, Purse(ENDLESS), 0.05)
        assert mend.enough is not None
        assert mend.too_little < 10.0 + 1e-6
        assert 10.0 - 1e-6 <= mend.enough <= mend.too_little + 0.05
        assert mend.angles_rad is not None
    none = least_mend(partial(eased, "right"), 9.9, Purse(ENDLESS))
    assert (none.enough, none.too_little, none.angles_rad) == (None, 9.9, None)


def test_an_empty_purse_proves_nothing() -> None:
    purse = Purse(0)
    assert purse.layout(arm(), 100) == (Status.STOPPED, None)
    assert purse.undecided == 1
    found = conflict(arm(), purse=purse, infeasible=True)
    assert found is not None
    assert len(found.needed) == len(groups_of(arm())), "what is not proven to be left out stays"
    assert not found.irreducible
    assert least_mend(partial(eased, "right"), 100.0, purse).too_little == 0.0


def test_a_given_place_is_left_out_like_any_demand() -> None:
    """The axis at 60 degrees stands at (25, 43.3): not right of 40. Turned freely it may, where nothing asks it to
    stand high: 50 mm reach that far."""
    nodes = (Node("o", at_mm=(0.0, 0.0)), Node("a", about=0, distance_mm=50.0, angle_rad=math.radians(60.0)))
    within = (Within(0, -1, 1, None, -40.0, "right"), Within(1, -1, 1, None, -20.0, "high"))
    problem = LayoutProblem("given", nodes, (HullDisc(0, 5.0),), within=within)
    place = Given(1, Node("a", about=0, distance_mm=50.0))
    found = conflict(problem, {**groups_of(problem), "place": (place,)})
    assert found is not None
    assert [needed.group for needed in found.needed] == ["right", "place"]
    assert found.irreducible


def test_any_layout_will_do() -> None:
    problem = arm()
    answer = solve(LayoutProblem("any", problem.nodes, (), Wish.ANY, problem.apart))
    assert answer.value == 0.0
    assert answer.angles_rad is not None
    a, b = answer.angles_rad["a"], answer.angles_rad["b"]
    assert math.dist((50.0 * math.cos(a), 50.0 * math.sin(a)), (20.0 * math.cos(b), 20.0 * math.sin(b))) >= 40.0 - 1e-6


def missed_mm(problem: LayoutProblem, angles_rad: dict[str, float]) -> float:
    angles = np.array([[angles_rad[problem.nodes[number].name] for number in problem.free]])
    return float(demands_missed(model_of(problem), angles)[0])


def test_a_motor_that_fits_nowhere() -> None:
    problem = problem_from(json.loads((PROBLEMS / "impossible_4.json").read_text()))
    found = conflict(problem)
    assert found is not None
    assert found.irreducible
    names = {needed.group for needed in found.needed}
    assert 1 <= len(names) < len(groups_of(problem))
    assert solve(only(problem, names)).status is Status.INFEASIBLE
    for needed in found.needed:
        assert needed.angles_rad is not None
        assert missed_mm(only(problem, names - {needed.group}), needed.angles_rad) <= 1e-6
    # three motors under one roof: it may be lifted over one of them, but taking the wheel away is not enough
    mend = least_mend(partial(lifted, problem), 500.0, Purse(ENDLESS), 0.5)
    assert mend.enough is not None
    assert mend.angles_rad is not None
    assert 0.0 < mend.enough - mend.too_little <= 0.5
    assert missed_mm(lifted(problem, mend.enough), mend.angles_rad) <= 1e-6
    assert missed_mm(lifted(problem, mend.too_little), mend.angles_rad) > 0.0
    assert solve(lifted(problem, mend.too_little)).status is Status.INFEASIBLE
    groups = groups_of(problem)
    wheel = without(problem, groups, groups, ["O wheel to M1 motor body"])
    assert solve(wheel).status is Status.INFEASIBLE


def only(problem: LayoutProblem, names: set[str]) -> LayoutProblem:
    """The problem with the demands of these reasons alone."""
    return replace(
        problem,
        apart=tuple(one for one in problem.apart if one.why in names),
        within=tuple(one for one in problem.within if one.why in names),
        outside=tuple(one for one in problem.outside if one.why in names),
    )


def lifted(problem: LayoutProblem, by_mm: float) -> LayoutProblem:
    """The problem with so much more height above M1."""
    return replace(
        problem,
        within=tuple(
            replace(one, most_mm=one.most_mm + by_mm) if one.why == "M1 y_max" else one for one in problem.within
        ),
    )


def test_no_conflict_where_there_is_a_layout() -> None:
    problem = problem_from(json.loads((PROBLEMS / "low_3.json").read_text()))
    assert conflict(problem) is None
