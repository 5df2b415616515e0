"""No change is less than what `stretch` proves: random layouts, judged with sums and hulls of our own (shapely's)."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import replace

import numpy as np
import pytest
import shapely

from gearplate.job.load import load_job
from gearplate.layout.certified.problem import LayoutProblem
from gearplate.layout.chain import free_shafts
from gearplate.studies.stretch import Stretched, stretch
from gearplate.studies.stretch_change import Change
from gearplate.studies.stretch_turn import Turning, _Question

SAMPLES = 3000
Point = tuple[float, float]


def places(problem: LayoutProblem, angles: dict[int, float]) -> list[Point]:
    """Where every node stands: each at its distance from its parent, in its direction."""
    found: list[Point] = []
    for number, node in enumerate(problem.nodes):
        if node.about is None:
            assert node.at_mm is not None
            found.append(node.at_mm)
            continue
        turned = angles.get(number if node.along is None else node.along, node.angle_rad)
        assert turned is not None
        x, y = found[node.about]
        found.append((x + node.distance_mm * math.cos(turned), y + node.distance_mm * math.sin(turned)))
    return found


def keeps_all(problem: LayoutProblem, at: list[Point]) -> bool:
    for apart in problem.apart:
        if math.dist(at[apart.a], at[apart.b]) < apart.least_mm:
            return False
    for side in problem.within:
        extent = at[side.a][side.axis] - (0.0 if side.b is None else at[side.b][side.axis])
        if side.sign * extent > side.most_mm:
            return False
    for box in problem.outside:
        x, y = at[box.node]
        if box.x0_mm < x < box.x1_mm and box.y0_mm < y < box.y1_mm:
            return False
    return True


def hull_mm2(problem: LayoutProblem, at: list[Point]) -> float:
    """Of circles drawn round the discs with 64 corners a quarter: too large by 0.01 % at most, never too small."""
    round_it = 1.0 / math.cos(math.pi / 256)
    discs = [shapely.Point(at[one.node]).buffer(one.radius_mm * round_it, quad_segs=64) for one in problem.hull]
    return float(shapely.unary_union(discs).convex_hull.area)


def random_layouts(problem: LayoutProblem, near: dict[int, float]) -> Iterator[list[Point]]:
    """Anywhere, and round about a layout that was found."""
    random = np.random.default_rng(11)
    free = problem.free
    for count in range(SAMPLES):
        angles = {number: random.uniform(-math.pi, math.pi) for number in free}
        if count % 4:
            width = float(random.choice([1e-3, 1e-2, 0.05, 0.2]))
            angles = {number: near[number] + width * random.standard_normal() for number in free}
        at = places(problem, angles)
        if keeps_all(problem, at):
            yield at


@pytest.fixture(scope="module")
def barrow() -> Stretched:
    """A motor behind an idler: with a larger wheel below it the plates have to grow."""
    job = load_job("barrow-idler")
    return stretch(job, load_job("barrow-idler", ['wheel.diameter="5 in"']))


def test_no_random_layout_is_a_lesser_change_than_is_proven(barrow: Stretched) -> None:
    turned, change = barrow.turning.turned, barrow.turning.turned.change
    assert change is not None
    assert barrow.chosen is not None
    assert barrow.chosen.tried is barrow.turning
    problem = _Question(barrow.turning.way.spec, barrow.old).screwed
    names = {node.name: number for number, node in enumerate(problem.nodes)}
    found = {shaft.name: (shaft.x_mm, shaft.y_mm) for shaft in turned.found[0][1].shafts}
    found = {"output": (0.0, 0.0), **found}
    clocking = dict(turned.found[0][1].clocking_rad)
    near: dict[int, float] = {}
    for number in problem.free:
        node = problem.nodes[number]
        assert node.about is not None
        x, y = found[problem.nodes[node.about].name]
        to = found.get(node.name)
        near[number] = clocking["M1"] if to is None else math.atan2(to[1] - y, to[0] - x)
    growths, moves = [], []
    for at in random_layouts(problem, near):
        growths.append(hull_mm2(problem, at) - barrow.old.hull_mm2)
        moves.append(max(math.dist(at[names[name]], place) for name, place in barrow.old.places.items()))
    assert len(growths) > 50, "nothing is shown by samples of which none clears"
    assert min(growths) >= turned.growth_bound_mm2
    assert min(moves) >= turned.move_bound_mm
    most = max(change.growth_mm2, barrow.old.same_mm2)
    small = [move for move, growth in zip(moves, growths, strict=True) if growth <= most]
    assert min(small, default=math.inf) >= turned.same_plates_bound_mm
    # and the bounds are worth their ink
    assert turned.move_bound_mm > 0.5 * change.move_mm
    assert barrow.old.grows(change)
    hull = barrow.old.hull_mm2
    assert hull + turned.growth_bound_mm2 > 0.98 * (hull + change.growth_mm2)


def test_bounds_are_about_what_was_built(barrow: Stretched) -> None:
    """Larger plates than the best that was found: then the move's bound in plates so large is no greater."""
    turned = barrow.turning.turned
    change = turned.change
    assert change is not None
    larger = Change(0, change.growth_mm2 + 500.0, change.move_mm)
    turning = Turning(barrow.turning.way.spec, barrow.old)
    again = turning.bounded(replace(turned, found=((larger, turned.found[0][1]),)))
    assert again.same_plates_bound_mm <= turned.same_plates_bound_mm


def test_what_is_asked_by_angle_counts_as_moved_and_screws_may_still_turn(barrow: Stretched) -> None:
    """M1 straight over the idler, wherever that is: no layout moves it less. With the idler's angle given as well no
    shaft is free, and what the hull may be is left to the motor's screws."""
    rail = barrow.turning.way.spec.rail
    for sets, free in ((("places.M1.angle=90",), True), (("places.M1.angle=90", "places.I1.angle=60"), False)):
        spec = replace(load_job("barrow-idler", sets).layout_spec, rail=rail)
        turning = Turning(spec, barrow.old)
        turned = turning.bounded(turning.least())
        change = turned.change
        assert change is not None
        assert bool(free_shafts(spec)) is free
        assert 0.99 * change.move_mm < turned.move_bound_mm <= change.move_mm
        assert 0.0 < turned.growth_bound_mm2 < change.growth_mm2
