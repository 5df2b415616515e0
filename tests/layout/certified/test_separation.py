"""How far hulls stand from boxes, and layouts that keep their hull off one, against the polygon library."""

from __future__ import annotations

import math
from typing import Any

import numpy as np
import pytest
from shapely.geometry import Point, box
from shapely.ops import unary_union

from gearplate.layout.certified.branch import Settings, Status, solve
from gearplate.layout.certified.contract import clear_of_boxes
from gearplate.layout.certified.model import demands_missed, model_of, whole_values, wish_value
from gearplate.layout.certified.problem import Cap, HullDisc, HullOff, LayoutProblem, Node, Wish, Within
from gearplate.layout.certified.separation import GONE, separation


def hull_of(centre: np.ndarray, radius: np.ndarray) -> Any:
    discs = [Point(*c).buffer(r, quad_segs=512) if r > 0.0 else Point(*c) for c, r in zip(centre, radius, strict=True)]
    return unary_union(discs).convex_hull


@pytest.mark.parametrize("point", [True, False])
def test_against_the_polygon_library(point: bool) -> None:
    random = np.random.default_rng(3)
    met = apart = 0
    for _ in range(200):
        count = int(random.integers(1, 6))
        centre = random.normal(0.0, 40.0, (1, count, 2))
        radius = random.choice([0.0, 5.0, 15.0, 40.0], count)
        x0, y0 = random.uniform(-120.0, 120.0, 2)
        wide, high = (0.0, 0.0) if point else random.uniform(1.0, 60.0, 2)
        found = separation(centre, radius, (x0, y0, x0 + wide, y0 + high)).apart[0]
        hull = hull_of(centre[0], radius)
        other = Point(x0, y0) if point else box(x0, y0, x0 + wide, y0 + high)
        true = hull.distance(other)
        if true > 0.0:
            assert found == pytest.approx(true, abs=2e-3)
            apart += 1
        else:
            assert found < 2e-3
            # moved away by that depth along some direction they no longer meet
            if point and hull.area > 0.0:
                assert -found == pytest.approx(hull.exterior.distance(other), abs=2e-3)
            met += 1
    assert min(met, apart) > 20


def test_far_off_it_is_enough_to_know_that_it_is_far() -> None:
    random = np.random.default_rng(4)
    centre = random.normal(0.0, 40.0, (400, 5, 2))
    radius = random.choice([0.0, 5.0, 15.0], 5)
    exact = separation(centre, radius, (50.0, 20.0, 70.0, 60.0)).apart
    quick = separation(centre, radius, (50.0, 20.0, 70.0, 60.0), 5.0).apart
    assert (quick <= exact + 1e-9).all()
    differ = np.abs(quick - exact) > 1e-9
    assert 0.1 < differ.mean() < 0.9
    assert (quick[differ] > 5.0).all()


def test_one_disc_inside_another_and_discs_that_are_gone() -> None:
    centre = np.array([[[0.0, 0.0], [1.0, 0.0], [400.0, 0.0]]])
    assert separation(centre, np.array([20.0, 5.0, GONE]), (30.0, -1.0, 40.0, 1.0)).apart[0] == pytest.approx(10.0)
    assert separation(centre, np.array([GONE] * 3), (30.0, -1.0, 40.0, 1.0)).apart[0] > 1e6


def arm(**changes: Any) -> LayoutProblem:
    """A disc of radius 10 at 50 mm about the origin, another of radius 10 at 40 mm about that, one at the origin."""
    given: dict[str, Any] = {
        "name": "arm",
        "nodes": (
            Node("o", at_mm=(0.0, 0.0)),
            Node("a", about=0, distance_mm=50.0),
            Node("b", about=1, distance_mm=40.0),
        ),
        "hull": (HullDisc(0, 10.0), HullDisc(1, 10.0), HullDisc(2, 10.0)),
        "within": (Within(0, -1, 2, None, -55.0), Within(1, -1, 2, None, -20.0), Within(1, 1, 2, None, 55.0)),
        "off": (HullOff(28.0, 7.0, 34.0, 9.0, 3.0), HullOff(40.0, -30.0, 40.0, -30.0, 8.0)),
    }
    return LayoutProblem(**(given | changes))


def test_the_hull_of_the_answer_keeps_off() -> None:
    problem = arm()
    model = model_of(problem)
    answer = solve(problem)
    assert answer.status is Status.CERTIFIED
    assert answer.angles_rad is not None
    a, b = answer.angles_rad["a"], answer.angles_rad["b"]
    at = np.array([[0.0, 0.0], [50.0 * math.cos(a), 50.0 * math.sin(a)], [0.0, 0.0]])
    at[2] = at[1] + 40.0 * np.array([math.cos(b), math.sin(b)])
    hull = hull_of(at, np.full(3, 10.0))
    assert hull.distance(box(28.0, 7.0, 34.0, 9.0)) > 3.0 - 2e-3
    assert hull.distance(Point(40.0, -30.0)) > 8.0 - 2e-3
    # it binds, and a dense grid of layouts that keep off finds none below the bound, and one near the value
    free = solve(arm(off=()))
    assert free.value is not None
    assert answer.value is not None
    assert free.value < answer.value - 1.0
    grid = np.linspace(-math.pi, math.pi, 500, endpoint=False)
    angles = np.stack(np.meshgrid(grid, grid), axis=2).reshape(-1, 2)
    kept = angles[demands_missed(model, angles) <= 0.0]
    least = wish_value(model, kept).min()
    assert answer.bound <= least
    assert answer.value <= least <= 1.03 * answer.value


def test_no_way_past_a_box_is_proven() -> None:
    # a wall across the arm's way: the box reaches from the first disc's edge to beyond anything the arm can do
    problem = arm(off=(HullOff(30.0, -200.0, 34.0, 200.0),))
    answer = solve(problem)
    assert answer.status is Status.INFEASIBLE
    assert math.isinf(answer.bound)


def test_no_box_of_angles_is_thrown_away_that_holds_a_layout() -> None:
    model = model_of(arm(within=()))
    random = np.random.default_rng(8)
    angles = random.uniform(-math.pi, math.pi, (4000, 2))
    kept = angles[whole_values(model, angles).kept.min(axis=1) >= 0.0]
    assert 200 < len(kept) < 3900
    for scale in (0.001, 0.03, 0.3, 2.0):
        low = kept - scale * random.random(kept.shape)
        assert len(clear_of_boxes(model, low, low + scale)) == len(kept)
    broken = angles[whole_values(model, angles).kept.min(axis=1) < -0.5]
    assert len(clear_of_boxes(model, broken - 1e-4, broken + 1e-4)) == 0


def test_slopes_against_differences() -> None:
    model = model_of(arm(caps=(Cap(Wish.AREA, 3000.0),)))
    angles = np.random.default_rng(1).uniform(-math.pi, math.pi, (300, 2))
    slope = whole_values(model, angles).slope
    wrong = np.zeros(slope.shape[:2], dtype=bool)
    for k in range(2):
        move = 1e-6 * np.eye(2)[k]
        change = whole_values(model, angles + move).kept - whole_values(model, angles - move).kept
        wrong |= np.abs(change / 2e-6 - slope[:, :, k]) > 0.01
    assert wrong.mean() < 0.03  # where the deepest way in changes there is a kink


def test_a_cap_of_the_area() -> None:
    least = solve(arm())
    assert least.value is not None
    capped = arm(wish=Wish.HEIGHT, caps=(Cap(Wish.AREA, 1.02 * least.value),))
    answer, free = solve(capped), solve(arm(wish=Wish.HEIGHT))
    assert answer.status is Status.CERTIFIED
    assert answer.value is not None
    assert free.value is not None
    assert answer.value >= free.bound
    assert demands_missed(model_of(capped), np.array([list((answer.angles_rad or {}).values())]))[0] < 1e-6
    assert solve(arm(wish=Wish.HEIGHT, caps=(Cap(Wish.AREA, 0.99 * least.value),))).status is Status.INFEASIBLE
    assert solve(arm(), Settings(cutoff=0.9 * least.value)).status is Status.NONE_BELOW


def test_what_cannot_be_asked_is_refused() -> None:
    with pytest.raises(ValueError, match="inside out"):
        arm(off=(HullOff(1.0, 0.0, 0.0, 0.0),))
    with pytest.raises(ValueError, match="below nothing"):
        arm(caps=(Cap(Wish.AREA, -1.0),))
    with pytest.raises(ValueError, match="move"):
        arm(caps=(Cap(Wish.MOVE, 1.0),))
