"""The next best layouts keep every demand and differ; those round about the best are hardly larger."""

from __future__ import annotations

import math

from gearplate.layout.chain import place_all
from gearplate.layout.constraints import build_model
from gearplate.layout.finish import rail_screws
from gearplate.layout.pool import APART_RAD, NEAR_WORTH, near_layouts, other_layouts
from gearplate.layout.proof import value_of
from gearplate.layout.question import question_of
from gearplate.layout.solve import solve_layout
from gearplate.layout.stack import axial_stack
from tests.builders.specs import drive_spec

SPEC = drive_spec(motors=1)
STACK = axial_stack(SPEC)
MODEL = build_model(SPEC, STACK, rail_screws(SPEC, STACK, 0.0))
PROBLEM = question_of(SPEC, STACK, MODEL)


def best() -> dict[str, float]:
    layout = solve_layout(SPEC, quick=True)
    at = {shaft.name: (shaft.x_mm, shaft.y_mm) for shaft in layout.shafts}
    turned = {}
    for number in PROBLEM.free:
        node = PROBLEM.nodes[number]
        assert node.about is not None
        (x, y), (px, py) = at[node.name], at[PROBLEM.nodes[node.about].name]
        turned[node.name] = math.atan2(y - py, x - px)
    return turned


def keeps(angles: dict[str, float]) -> bool:
    """Every demand of the model, measured between places."""
    at = place_all(SPEC, angles)
    apart = all(math.dist(at[one.a], at[one.b]) >= one.least_mm for one in MODEL.demands)
    boxes = all(
        math.hypot(
            max(one.box[0] - at[one.a][0], 0.0, at[one.a][0] - one.box[2]),
            max(one.box[1] - at[one.a][1], 0.0, at[one.a][1] - one.box[3]),
        )
        >= one.least_mm
        for one in MODEL.fixed
    )
    return apart and boxes


def test_others_keep_every_demand_and_differ() -> None:
    first = best()
    found = other_layouts(PROBLEM, first, seed=1)
    assert found == other_layouts(PROBLEM, first, seed=1)
    assert found
    for index, one in enumerate(found):
        assert keeps(one)
        for other in (first, *found[:index]):
            assert max(abs(math.remainder(one[name] - other[name], math.tau)) for name in one) > APART_RAD


def test_near_ones_keep_every_demand_and_are_hardly_larger() -> None:
    first = best()
    found = near_layouts(PROBLEM, first, seed=1)
    assert found
    for one in found:
        assert keeps(one)
        assert value_of(PROBLEM, PROBLEM.wish, one) <= NEAR_WORTH * value_of(PROBLEM, PROBLEM.wish, first)
