"""What is known beforehand, what is asked in turn, and bounds of searches that were stopped."""

from __future__ import annotations

import json
import math
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from gearplate.layout.certified.branch import Progress, Settings, Status, solve
from gearplate.layout.certified.mirror import alike_groups
from gearplate.layout.certified.model import model_of, wish_value
from gearplate.layout.certified.problem import Apart, HullDisc, LayoutProblem, Node, Wish
from gearplate.layout.certified.turns import Turn, solve_in_turn
from tests.bench.problem_file import problem_from

PROBLEMS = Path(__file__).parents[2] / "bench" / "problems"
BRANCHED = problem_from(json.loads((PROBLEMS / "branched_6.json").read_text()))
LOW = problem_from(json.loads((PROBLEMS / "low_3.json").read_text()))


def test_a_cutoff_below_the_best_is_proven_and_one_above_changes_nothing() -> None:
    best = solve(LOW)
    assert best.value is not None
    below = solve(LOW, Settings(cutoff=0.99 * best.value))
    assert (below.status, below.value, below.angles_rad) == (Status.NONE_BELOW, None, None)
    assert below.bound == pytest.approx(0.995 * 0.99 * best.value)
    above = solve(LOW, Settings(cutoff=1.05 * best.value))
    assert above.status is Status.CERTIFIED
    assert above.value == pytest.approx(best.value, rel=1e-6)


def test_the_best_known_elsewhere_as_cutoff_ends_as_soon() -> None:
    """As when many problems share the best layout so far: a tie must not be searched to the last digit."""
    best = solve(LOW)
    assert best.value is not None
    again = solve(LOW, Settings(cutoff=best.value))
    assert again.status in (Status.NONE_BELOW, Status.CERTIFIED)
    assert again.boxes < 2 * best.boxes
    assert again.bound <= best.value


def test_a_known_layout_is_never_lost() -> None:
    best = solve(BRANCHED)
    assert best.value is not None
    assert best.angles_rad is not None
    # with the stop before the first box nothing else can be found than what is known, or better
    stopped = solve(BRANCHED, Settings(stop_boxes=0, start=(best.angles_rad,)))
    assert stopped.status is Status.STOPPED
    assert stopped.value is not None
    assert stopped.value <= best.value * (1 + 1e-12)
    wrong = dict.fromkeys(best.angles_rad, 0.0)
    same = solve(BRANCHED, Settings(start=(wrong, best.angles_rad)))
    assert same.value is not None
    assert same.value <= best.value * (1 + 1e-12)


@pytest.mark.parametrize("wish", [Wish.AREA, Wish.HEIGHT, Wish.WIDTH, Wish.MOVE])
def test_a_stopped_search_has_a_bound_worth_having(wish: Wish) -> None:
    best = solve(BRANCHED)
    assert best.angles_rad is not None
    before = tuple((i, 90.0, 60.0) for i in BRANCHED.free)
    problem = replace(BRANCHED, wish=wish, before_mm=before if wish is Wish.MOVE else ())
    seen: list[Progress] = []
    stopped = solve(problem, Settings(stop_boxes=600), lambda progress: seen.append(progress) is None)
    assert stopped.value is not None
    assert 0.3 * stopped.value < stopped.bound <= stopped.value
    done = solve(problem, Settings(stop_boxes=60_000))
    assert done.value is not None
    assert stopped.bound <= done.value + 1e-9
    assert [p.bound for p in seen] == sorted(p.bound for p in seen)
    assert all(p.best >= done.value - 1e-6 for p in seen)


def test_one_after_the_other() -> None:
    area, height, width = solve_in_turn(LOW, [Turn(Wish.AREA, 0.02), Turn(Wish.HEIGHT), Turn(Wish.WIDTH)])
    assert all(answer.status is Status.CERTIFIED for answer in (area, height, width))
    assert width.angles_rad is not None
    assert area.value is not None
    assert height.value is not None
    last = [[width.angles_rad[LOW.nodes[i].name] for i in LOW.free]]
    angles = np.array(last)
    assert wish_value(model_of(replace(LOW, wish=Wish.AREA)), angles)[0] <= 1.02 * area.value + 1e-3
    assert wish_value(model_of(replace(LOW, wish=Wish.HEIGHT)), angles)[0] <= height.value + 1e-5
    alone = solve(replace(LOW, wish=Wish.HEIGHT))
    assert alone.value is not None
    assert height.value >= alone.bound
    with pytest.raises(ValueError, match="give"):
        solve_in_turn(LOW, [Turn(Wish.AREA, -0.1)])


def test_only_what_is_alike_changes_places() -> None:
    nodes = (Node("o", at_mm=(0.0, 0.0)), *(Node(name, about=0, distance_mm=50.0) for name in "abc"))
    hull = tuple(HullDisc(i, 10.0) for i in range(4))
    apart = tuple(Apart(i, j, 30.0) for i in (1, 2, 3) for j in (1, 2, 3) if i < j)
    problem = LayoutProblem("three", nodes, hull, apart=apart)
    assert alike_groups(problem) == ((1, 2, 3),)
    assert alike_groups(replace(problem, hull=(*hull[:3], HullDisc(3, 11.0)))) == ((1, 2),)
    unlike = replace(problem, apart=(*apart[:2], Apart(2, 3, 45.0)))
    assert alike_groups(unlike) == ((2, 3),)
    assert alike_groups(replace(problem, wish=Wish.MOVE, before_mm=((1, 50.0, 0.0),))) == ((2, 3),)
    # by hand: a stands midway, chords of 30 at 50 to either side; two triangles, 160 mm round them, a full disc of 10
    kite = 50.0**2 * math.sin(2.0 * math.asin(0.3))
    assert solve(unlike).value == pytest.approx(kite + 160.0 * 10.0 + math.pi * 10.0**2)
