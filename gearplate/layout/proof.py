"""What can be proven about a layout: no other one, however its motors are turned, is better by more than so much.

The hull meant here is that of the margins of shafts, motors and rail screws: standoffs are set afterwards, and belong
to no proof.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from dataclasses import replace
from functools import partial

import numpy as np

from gearplate.layout.arrange import hull_area_mm2
from gearplate.layout.certified.branch import Answer, Progress, Settings, solve
from gearplate.layout.certified.model import demands_missed, model_of, wish_value
from gearplate.layout.certified.problem import LayoutProblem, Wish
from gearplate.layout.constraints import Model
from gearplate.layout.design import HoleKind, Layout, Stack
from gearplate.layout.question import question_of
from gearplate.layout.screws import with_screws
from gearplate.layout.spec import LayoutSpec, Least

GAP = 0.005  # share of the value to which the best layout is sought
MOST_ANGLES = 6  # a box has so many sides at most: each motor's clocking is one more, and more boxes to look at
ALL_ANGLES = 99
WISHES = {Least.HULL: Wish.AREA, Least.HEIGHT: Wish.HEIGHT, Least.WIDTH: Wish.WIDTH, Least.MOVE: Wish.MOVE}


def prove(
    spec: LayoutSpec, stack: Stack, sure: Model, layout: Layout, told: Callable[[Wish, Progress], bool] | None
) -> Answer:
    """A bound of the first wish over all layouts with these rail screws. `sure` is the model of what every layout
    must keep; `told` of the progress, as in `solve_in_turn`."""
    problem = question_of(spec, stack, sure, hull_off=False, slack_mm=0.0, before=spec.wishes.before_mm)
    wish = WISHES[spec.wishes.least[0]]
    problem = with_screws(replace(problem, wish=wish), spec, stack, MOST_ANGLES)
    settings = Settings(
        gap=GAP, stop_boxes=spec.wishes.boxes, batch=512, seed=spec.seed, start=(angles_of(problem, layout),)
    )
    return solve(problem, settings, None if told is None else partial(told, wish))


def angles_of(problem: LayoutProblem, layout: Layout) -> dict[str, float]:
    """The angles at which a layout has the problem's free nodes: shafts, and the first screw of motors."""
    at = {shaft.name: (shaft.x_mm, shaft.y_mm) for shaft in layout.shafts}
    clocking = dict(layout.clocking_rad)
    found: dict[str, float] = {}
    for number in problem.free:
        node = problem.nodes[number]
        assert node.about is not None
        if node.name in at:
            (x, y), (px, py) = at[node.name], at[problem.nodes[node.about].name]
            found[node.name] = math.atan2(y - py, x - px)
        else:
            found[node.name] = clocking[problem.nodes[node.about].name]
    return found


def value_of(problem: LayoutProblem, wish: Wish, angles_rad: Mapping[str, float]) -> float:
    """A wish of the layout at these angles, mm2 or mm."""
    model = model_of(replace(problem, wish=wish, caps=()))
    angles = np.array([[angles_rad[problem.nodes[number].name] for number in problem.free]])
    return float(wish_value(model, angles)[0])


def wish_of(spec: LayoutSpec, stack: Stack, sure: Model, layout: Layout) -> float:
    """The first wish of a finished layout; of the hull without its standoffs."""
    least = spec.wishes.least[0]
    if least is Least.HULL:
        return bare_hull_mm2(spec, layout)
    problem = question_of(spec, stack, sure, hull_off=False, slack_mm=0.0, before=spec.wishes.before_mm)
    problem = with_screws(problem, spec, stack, ALL_ANGLES)
    return value_of(problem, WISHES[least], angles_of(problem, layout))


def plates_miss_mm(spec: LayoutSpec, stack: Stack, model: Model, layout: Layout) -> float:
    """How far the plates' hull, standoffs left out, comes too near to one of the job's keep-outs; the proof asks that
    of no layout."""
    problem = question_of(spec, stack, model, slack_mm=0.0)
    if not problem.off:
        return 0.0
    problem = replace(problem, apart=(), within=(), outside=())
    angles = angles_of(problem, layout)
    row = np.array([[angles[problem.nodes[number].name] for number in problem.free]])
    return max(0.0, float(demands_missed(model_of(problem), row)[0]))


def bare_hull_mm2(spec: LayoutSpec, layout: Layout) -> float:
    """Area of the hull round the margins of all holes but those of standoffs."""
    holes = [hole for hole in layout.holes if hole.kind is not HoleKind.STANDOFF]
    at = {shaft.name: (shaft.x_mm, shaft.y_mm) for shaft in layout.shafts}
    return hull_area_mm2(spec, holes, layout.gears, at)
