"""The least change by turning shafts: no worse than what plain sampling of angles finds, and never below its bound."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest

from gearplate.job.load import load_job
from gearplate.layout.chain import free_shafts, links
from gearplate.layout.constraints import build_model, floor_mm
from gearplate.layout.finish import screws_blocked
from gearplate.layout.proof import bare_hull_mm2
from gearplate.layout.search import positions_of, scorer
from gearplate.layout.solve import solve_layout
from gearplate.layout.spec import LayoutSpec, Side
from gearplate.layout.stack import axial_stack
from gearplate.studies.stretch_change import NO_WORSE, Change, Old, Turned, Verdict
from gearplate.studies.stretch_turn import Known, Turning

INCH = 25.4
SAMPLES = 60_000


@pytest.fixture(scope="module")
def old_and_spec() -> tuple[Old, LayoutSpec]:
    """The three motors over a 4 in wheel, and what is asked with the rail's holes where they are."""
    spec = load_job("compost-drive").layout_spec
    layout = solve_layout(spec)
    places = {shaft.name: (shaft.x_mm, shaft.y_mm) for shaft in layout.shafts if shaft.name != "output"}
    old = Old(places, bare_hull_mm2(spec, layout), screws_blocked(spec, layout))
    assert spec.rail is not None
    return old, replace(spec, rail=replace(spec.rail, holes=layout.rail_holes))


def on_wheel(spec: LayoutSpec, inches: float, inboard: str = "") -> LayoutSpec:
    motors = tuple(replace(one, side=Side.INBOARD) if one.name == inboard else one for one in spec.motors)
    return replace(spec, wheel=replace(spec.wheel, diameter_mm=inches * INCH), motors=motors)


def sampled_moves(spec: LayoutSpec, old: Old, found: Turned, sure: bool, slack_mm: float) -> np.ndarray:
    """Largest moves of random layouts that miss no demand by more than the slack: anywhere, round the old layout, and
    round the one that was found."""
    assert spec.rail is not None
    assert spec.rail.holes is not None
    model = build_model(spec, axial_stack(spec), spec.rail.holes, sure=sure)
    names = [model.names[number] for number in model.free]
    assert set(names) == set(free_shafts(spec))
    parents = {link.child: link.parent for link in links(spec)}

    def angles(places: dict[str, tuple[float, float]]) -> list[float]:
        at = {"output": (0.0, 0.0), **places}
        return [math.atan2(at[name][1] - at[parents[name]][1], at[name][0] - at[parents[name]][0]) for name in names]

    best = {shaft.name: (shaft.x_mm, shaft.y_mm) for shaft in found.found[0][1].shafts}
    random = np.random.default_rng(7)
    third = SAMPLES // 3
    width = random.choice([1e-4, 1e-3, 1e-2, 0.1, 0.4], (third, 1))
    turned = np.concatenate(
        [
            random.uniform(-math.pi, math.pi, (third, len(names))),
            np.array(angles(dict(old.places))) + width * random.standard_normal((third, len(names))),
            np.array(angles(best)) + width * random.standard_normal((third, len(names))),
        ]
    )
    _, miss = scorer(model, spec.limits, floor_mm(spec))(turned)
    where = positions_of(model, turned[miss <= slack_mm])
    moves = [np.hypot(*(where[:, model.names.index(name)] - old.places[name]).T) for name in names]
    return np.asarray(np.max(moves, axis=0))


@pytest.mark.parametrize(("inches", "inboard"), [(4.25, ""), (5.0, "M1"), (5.0, "M3")])
def test_no_sampled_layout_moves_less(old_and_spec: tuple[Old, LayoutSpec], inches: float, inboard: str) -> None:
    old, spec = old_and_spec
    asked = on_wheel(spec, inches, inboard)
    turning = Turning(asked, old)
    turned = turning.bounded(turning.least())
    assert turned.verdict is Verdict.CLEARS
    change = turned.change
    assert change is not None
    assert not change.out_of_reach
    assert 0.99 * change.move_mm < turned.move_bound_mm <= change.move_mm
    moves = sampled_moves(asked, old, turned, sure=False, slack_mm=0.0)
    assert len(moves) > 20, "nothing is shown by samples of which none clears"
    assert change.move_mm <= moves.min() + 1e-6
    # what every layout must keep asks for less, and its samples do not come below the bound either
    assert turned.move_bound_mm <= sampled_moves(asked, old, turned, sure=True, slack_mm=1e-3).min()


def test_the_old_layout_is_taken_where_it_still_clears(old_and_spec: tuple[Old, LayoutSpec]) -> None:
    old, spec = old_and_spec
    turned = Turning(on_wheel(spec, 4.01), old).least()
    assert turned.change is not None
    assert turned.change.move_mm < 1e-6
    assert turned.boxes == 0


def test_three_motors_over_a_wheel_of_5_inches_are_impossible_with_these_gears(
    old_and_spec: tuple[Old, LayoutSpec],
) -> None:
    old, spec = old_and_spec
    asked = on_wheel(spec, 5.0)
    assert Turning(asked, old).least().verdict is Verdict.IMPOSSIBLE
    assert asked.rail is not None
    assert asked.rail.holes is not None
    model = build_model(asked, axial_stack(asked), asked.rail.holes, sure=True)
    turned = np.random.default_rng(3).uniform(-math.pi, math.pi, (SAMPLES, len(model.free)))
    _, miss = scorer(model, asked.limits, floor_mm(asked))(turned)
    assert miss.min() > 0.1, "and no sample comes near"


def test_a_change_that_is_known_is_only_improved_upon(old_and_spec: tuple[Old, LayoutSpec]) -> None:
    old, spec = old_and_spec
    turned = Turning(on_wheel(spec, 5.0, "M2"), old).least(Known(Change(0, 0.0, 10.0)))
    assert turned.verdict is Verdict.NO_LESS
    assert not turned.found
    assert turned.move_bound_mm >= 0.99 * 0.9 * 10.0
    again = Turning(on_wheel(spec, 5.0, "M1"), old).least(Known(Change(0, 0.0, 40.0)))
    assert again.change is not None
    assert again.change.move_mm < 11.0


def test_order_of_changes(old_and_spec: tuple[Old, LayoutSpec]) -> None:
    """Growth first, then the move; screws out of reach count as a quarter of the hull, as they do for a build."""
    old, _ = old_and_spec
    small, same, large, huge = 0.0, 0.9 * old.same_mm2, 3.0 * old.same_mm2, 0.26 * old.hull_mm2
    layout = object()
    changes = [Change(0, huge, 0.0), Change(1, small, 0.0), Change(0, large, 1.0), Change(0, same, 2.0)]
    changes.append(Change(0, small, 5.0))
    ordered = [change for change, _ in old.in_order((one, layout) for one in changes)]  # type: ignore[misc]
    assert ordered == [changes[3], changes[4], changes[2], changes[1], changes[0]]
    assert old.less(Change(0, small, 5.0), Change(0, large, 1.0))
    assert old.less(Change(0, same, 2.0), Change(0, small, 5.0))
    assert old.less(Change(1, small, 5.0), Change(2, small, 1.0))
    assert old.less(Change(0, 0.2 * old.hull_mm2, 9.0), Change(1, small, 1.0))
    assert not old.less(Change(0, small, 4.9), Change(0, small, 5.0)), "less by a tenth at least"
    assert old.less(Change(0, small, 4.9), Change(0, small, 5.0), NO_WORSE)
