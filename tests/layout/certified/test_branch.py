"""Answers of the whole search: against closed forms, against the polygon library, and against many random layouts."""

from __future__ import annotations

import json
import math
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from shapely.geometry import Point, box
from shapely.ops import unary_union

from gearplate.layout.certified.branch import Answer, Progress, Settings, Status, solve
from gearplate.layout.certified.mirror import half_by_mirror
from gearplate.layout.certified.model import demands_missed, model_of, wish_value
from gearplate.layout.certified.problem import Apart, HullDisc, LayoutProblem, Node, Outside, Wish, Within
from tests.bench.problem_file import problem_from

PROBLEMS = Path(__file__).parents[2] / "bench" / "problems"
FAR = 1e4


def data(name: str) -> dict[str, Any]:
    found: dict[str, Any] = json.loads((PROBLEMS / f"{name}.json").read_text())
    return found


def shape_and_gaps(file: dict[str, Any], angles: dict[str, float]) -> tuple[Any, list[float]]:
    """The hull as a polygon and every clearance, from the file itself: shares nothing with the solver."""
    centre: dict[str, Point] = {}
    for node in file["nodes"]:
        if "at" in node:
            centre[node["id"]] = Point(node["at"])
        else:
            about, angle = centre[node["about"]], angles[node["id"]]
            centre[node["id"]] = Point(about.x + node["d"] * math.cos(angle), about.y + node["d"] * math.sin(angle))
    still = {node["id"] for node in file["nodes"] if "at" in node}
    gaps = []
    for i, disc in enumerate(file["discs"]):
        for j in range(i):
            other = file["discs"][j]
            if disc["node"] == other["node"] or {disc["node"], other["node"]} <= still:
                continue
            if [i, j] in file["mesh"] or [j, i] in file["mesh"] or not set(disc["layers"]) & set(other["layers"]):
                continue
            away = centre[disc["node"]].distance(centre[other["node"]])
            gaps.append(away - disc["r"] - other["r"] - file["clearance"])
        if disc["node"] in still:
            continue
        at, limits = centre[disc["node"]], file["limits"]
        gaps += [at.x - disc["r"] - limits["x_min"], limits["x_max"] - at.x - disc["r"]]
        gaps += [at.y - disc["r"] - limits["y_min"], limits["y_max"] - at.y - disc["r"]]
        for band in file["bands"]:
            if set(band["layers"]) & set(disc["layers"]):
                gaps.append(at.distance(box(-FAR, band["y0"], FAR, band["y1"])) - disc["r"] - file["clearance"])
    hull = unary_union([centre[d["node"]].buffer(d["r"], quad_segs=256) for d in file["plate"]]).convex_hull
    return hull, gaps


@pytest.mark.parametrize("name", ["low_3", "chain_5", "branched_6"])
def test_layouts_hold_before_the_polygon_library(name: str) -> None:
    file = data(name)
    answer = solve(problem_from(file))
    assert answer.status is Status.CERTIFIED
    assert answer.angles_rad is not None
    assert answer.value is not None
    hull, gaps = shape_and_gaps(file, answer.angles_rad)
    assert min(gaps) > -1e-6
    x0, y0, x1, y1 = hull.bounds
    true = {"area": hull.area, "height": y1 - y0, "width": x1 - x0}[file["objective"]]
    assert answer.value == pytest.approx(true, rel=2e-5)
    assert answer.bound >= 0.995 * answer.value * (1 - 1e-12)
    assert 0.0 <= answer.gap <= 0.005 + 1e-12


def test_nothing_random_beats_a_certificate() -> None:
    problem = problem_from(data("low_3"))
    answer = solve(problem)
    model = model_of(problem)
    angles = np.random.default_rng(4).uniform(-math.pi, math.pi, (300_000, 3))
    kept = angles[demands_missed(model, angles) <= 0.0]
    assert len(kept) > 100
    assert wish_value(model, kept).min() >= answer.bound


def test_a_motor_that_fits_nowhere() -> None:
    answer = solve(problem_from(data("impossible_4")))
    assert answer == Answer(Status.INFEASIBLE, None, None, math.inf, answer.boxes)


def test_what_is_ruled_out_at_sight_needs_no_start(monkeypatch: pytest.MonkeyPatch) -> None:
    def dear(*_: object) -> None:
        raise AssertionError("a start was tried")

    monkeypatch.setattr("gearplate.layout.certified.branch.starts", dear)
    # 10 mm from the middle, and to stay 25 mm off it
    nodes = (Node("middle", at_mm=(0.0, 0.0)), Node("arm", about=0, distance_mm=10.0))
    problem = LayoutProblem("short", nodes, (HullDisc(1, 5.0),), Wish.AREA, apart=(Apart(1, 0, 25.0),))
    assert solve(problem).status is Status.INFEASIBLE
    with pytest.raises(AssertionError, match="a start"):
        solve(one_arm())


def test_same_answer_twice() -> None:
    problem = problem_from(data("chain_5"))
    assert solve(problem, Settings(stop_boxes=2000)) == solve(problem, Settings(stop_boxes=2000))


def test_a_stop_keeps_the_bound_true() -> None:
    problem = problem_from(data("chain_5"))
    stopped, done = solve(problem, Settings(stop_boxes=500)), solve(problem)
    assert stopped.status is Status.STOPPED
    assert done.value is not None
    assert stopped.bound <= done.value
    seen: list[Progress] = []

    def enough(progress: Progress) -> bool:
        seen.append(progress)
        return len(seen) < 3

    assert solve(problem, progress=enough).status is Status.STOPPED
    assert len(seen) == 3


def one_arm(**changes: Any) -> LayoutProblem:
    """A disc of radius 10 at 50 mm about the origin, where another disc of radius 10 stands."""
    given: dict[str, Any] = {
        "name": "arm",
        "nodes": (Node("o", at_mm=(0.0, 0.0)), Node("a", about=0, distance_mm=50.0)),
        "hull": (HullDisc(0, 10.0), HullDisc(1, 10.0)),
    }
    return LayoutProblem(**(given | changes))


def test_least_height_of_an_arm_kept_from_a_rectangle() -> None:
    # the arm has to reach above 30 or below -50: asin(30 / 50), so 10 + 30 + 10
    problem = one_arm(wish=Wish.HEIGHT, outside=(Outside(1, -math.inf, -50.0, math.inf, 30.0),))
    answer = solve(problem)
    assert answer.value == pytest.approx(50.0, abs=1e-5)
    assert answer.bound >= 49.75 - 1e-9


def test_least_move_against_the_circle() -> None:
    # from (50, 0) until 20 mm from the point (50, 0): a chord of 20
    nodes = (Node("o", at_mm=(0.0, 0.0)), Node("p", at_mm=(50.0, 0.0)), Node("a", about=0, distance_mm=50.0))
    problem = LayoutProblem("move", nodes, (), Wish.MOVE, apart=(Apart(1, 2, 20.0),), before_mm=((2, 50.0, 0.0),))
    answer = solve(problem)
    assert answer.value == pytest.approx(20.0, abs=1e-5)
    assert answer.status is Status.CERTIFIED


def test_a_side_limit_on_two_nodes() -> None:
    # the arm's disc at most 30 mm right of the origin and above it: cos = 0.6, so it stands at (30, 40)
    problem = one_arm(
        wish=Wish.HEIGHT,
        within=(Within(0, 1, 1, 0, 30.0), Within(0, -1, 1, None, 0.0), Within(1, -1, 1, None, 0.0)),
    )
    assert solve(problem).value == pytest.approx(60.0, abs=1e-5)


def test_no_free_angle() -> None:
    problem = one_arm(nodes=(Node("o", at_mm=(0.0, 0.0)), Node("a", about=0, distance_mm=50.0, angle_rad=0.0)))
    answer = solve(problem)
    assert answer.value == pytest.approx(100.0 * math.pi + 1000.0)
    assert answer.status is Status.CERTIFIED
    assert solve(one_arm(nodes=problem.nodes, apart=(Apart(0, 1, 51.0),))).status is Status.INFEASIBLE


def test_mirror_images_are_seen() -> None:
    assert half_by_mirror(one_arm()) == 0
    assert half_by_mirror(one_arm(within=(Within(0, 1, 1, None, 30.0),))) is None
    both = (Within(0, 1, 1, None, 30.0), Within(0, -1, 1, None, 30.0))
    assert half_by_mirror(one_arm(within=both)) == 0
    assert half_by_mirror(one_arm(outside=(Outside(1, 0.0, -5.0, 60.0, 5.0),))) is None


def test_wrong_problems_are_refused() -> None:
    with pytest.raises(ValueError, match="parent"):
        one_arm(nodes=(Node("a", about=0, distance_mm=5.0),))
    with pytest.raises(ValueError, match="move"):
        one_arm(wish=Wish.MOVE)


def test_a_problem_without_demands_is_soon_done() -> None:
    # nothing to keep: both arms lie inside the large disc, whose area is the hull's
    problem = one_arm(hull=(HullDisc(0, 70.0), HullDisc(1, 10.0)))
    answer = solve(problem)
    assert answer.status is Status.CERTIFIED
    assert answer.value == pytest.approx(math.pi * 70.0**2)
    # one arm between two fixed discs: the least hull is that of the fixed ones where the arm fits inside
    far = (Node("p", at_mm=(120.0, 0.0)), Node("q", at_mm=(0.0, 80.0)))
    nodes = (Node("o", at_mm=(0.0, 0.0)), *far, Node("a", about=0, distance_mm=50.0))
    loose = one_arm(nodes=nodes, hull=tuple(HullDisc(i, 10.0) for i in range(4)))
    answer = solve(loose)
    assert answer.boxes < 200
    around = 120.0 + 80.0 + math.hypot(120.0, 80.0)
    assert answer.value == pytest.approx(0.5 * 120.0 * 80.0 + around * 10.0 + math.pi * 100.0)
    assert answer.gap <= 0.005
