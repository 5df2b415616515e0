"""What is given up for room: never more than the share that may be, and never for less room than there was."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest

from gearplate.layout.certified.problem import Apart, Cap, HullDisc, LayoutProblem, Node, Wish
from gearplate.layout.design import Layout
from gearplate.layout.misses import nearest_miss, placed_pairs
from gearplate.layout.proof import bare_hull_mm2
from gearplate.layout.solve import solve_layout
from gearplate.layout.spec import LayoutSpec, Side, WishesSpec
from gearplate.layout.spend import with_room
from tests.builders.specs import drive_spec


def inboard(spec: LayoutSpec) -> LayoutSpec:
    return replace(spec, motors=tuple(replace(motor, side=Side.INBOARD) for motor in spec.motors))


DRIVES = {
    "two stages": drive_spec(motors=1),
    "two motors": inboard(drive_spec(motors=2, teeth=(72,))),
    "three motors": drive_spec(motors=3),
    "slots": replace(
        drive_spec(motors=1), motors=tuple(replace(one, slot_travel_mm=1.0) for one in drive_spec(motors=1).motors)
    ),
}


def room_mm(spec: LayoutSpec, layout: Layout) -> float:
    """The smallest gap beyond what is demanded, of all pairs that the checks compare and that can move; standoffs
    are set as near as they may."""
    return min(
        pair.gap_mm - pair.need.gap_mm
        for pair in placed_pairs(spec, layout)
        if {"M1", "M2", "M3", "S1"} & {pair.a.shaft, pair.b.shaft}
        and pair.a.shaft != pair.b.shaft
        and pair.need.check != "standoff-clearance"
    )


@pytest.mark.parametrize(("name", "share"), [*((name, 0.1) for name in DRIVES), ("two stages", 0.02)])
def test_no_more_is_spent_than_the_share_and_nothing_comes_too_near(name: str, share: float) -> None:
    spec = DRIVES[name]
    miser = solve_layout(replace(spec, wishes=WishesSpec(boxes=100, spend=0.0)))
    spender = solve_layout(replace(spec, wishes=WishesSpec(boxes=100, spend=share)))
    assert spender.certificate is not None
    assert 0.0 <= spender.certificate.spent <= share
    assert spender.hull_area_mm2 <= (1.0 + share) * miser.hull_area_mm2 + 1e-6
    assert spender.certificate.bound <= spender.certificate.value == bare_hull_mm2(spec, spender)
    assert nearest_miss(spec, spender) == ()
    assert room_mm(spec, spender) >= room_mm(spec, miser) - 1e-6


def three_points(share: float) -> tuple[LayoutProblem, dict[str, float]]:
    """A node on a circle of 100 mm about one end of a bar of 100 mm, at least 50 mm from its other end: as low as it
    may stand, at 2 asin(1/4); how high the discs' hull reaches may grow by the share."""
    least = 2.0 * math.asin(0.25)
    tall = 100.0 * math.sin(least) + 2.0
    problem = LayoutProblem(
        "bar",
        (Node("axle", at_mm=(0.0, 0.0)), Node("end", at_mm=(100.0, 0.0)), Node("turns", about=0, distance_mm=100.0)),
        tuple(HullDisc(node, 1.0) for node in range(3)),
        Wish.HEIGHT,
        (Apart(1, 2, 50.0),),
        caps=(Cap(Wish.HEIGHT, tall * (1.0 + share), "share"),),
    )
    return problem, {"turns": least}


@pytest.mark.parametrize("share", [0.01, 0.02])
def test_the_room_is_that_of_the_sum_on_paper(share: float) -> None:
    """Height h = 100 sin t + 2 may grow by the share; the gap is a chord, 200 sin(t / 2)."""
    problem, least = three_points(share)
    tall = (100.0 * math.sin(least["turns"]) + 2.0) * (1.0 + share)
    most = 200.0 * math.sin(0.5 * math.asin((tall - 2.0) / 100.0))
    found = with_room(problem, least, 1)
    assert found is not None
    gap = 200.0 * math.sin(0.5 * abs(found["turns"]))
    assert 50.0 < gap <= most + 1e-3
    assert gap - 50.0 > 0.8 * (most - 50.0)


def test_where_nothing_may_be_spent_there_is_no_room() -> None:
    problem, least = three_points(0.0)
    assert with_room(problem, least, 1) is None
