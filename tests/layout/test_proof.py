"""What is proven about layouts: a bound lies below every layout that the checks accept, by hulls of shapely."""

from __future__ import annotations

import math
import random
from collections.abc import Iterator
from dataclasses import replace

import numpy as np
import pytest
from shapely.geometry import Point
from shapely.ops import unary_union

from gearplate.catalog import load_catalog, profiles_folder
from gearplate.layout.certified.model import demands_missed, model_of
from gearplate.layout.certified.problem import LayoutProblem
from gearplate.layout.chain import free_shafts, place_all
from gearplate.layout.constraints import build_model, centre_holes
from gearplate.layout.design import HoleKind, Layout
from gearplate.layout.finish import finish, rail_screws
from gearplate.layout.misses import nearest_miss
from gearplate.layout.proof import angles_of, plates_miss_mm, prove
from gearplate.layout.question import question_of
from gearplate.layout.screws import with_screws
from gearplate.layout.solve import solve_layout
from gearplate.layout.spec import KeepOut, LayoutSpec, LimitsSpec, Side, WishesSpec
from gearplate.layout.stack import axial_stack
from tests.builders.specs import drive_spec
from tests.layout.test_solve import collisions

FEW = WishesSpec(boxes=300)


def one_stage(**changes: object) -> LayoutSpec:
    """A motor at the robot's middle, whose angle alone is free."""
    return with_motors(drive_spec(motors=1, teeth=(72,), wishes=FEW, **changes), side=Side.INBOARD)


def with_motors(spec: LayoutSpec, **changes: object) -> LayoutSpec:
    return replace(spec, motors=tuple(replace(motor, **changes) for motor in spec.motors))  # type: ignore[arg-type]


def more_screws(spec: LayoutSpec, count: int) -> LayoutSpec:
    return with_motors(spec, screws_used=count)


JOBS = {
    "one stage": one_stage(),
    "two stages": drive_spec(motors=1, wishes=FEW),
    "two motors": with_motors(drive_spec(motors=2, teeth=(72,), wishes=FEW), side=Side.INBOARD),
    "slots": with_motors(one_stage(), slot_travel_mm=1.0),
    "four screws": more_screws(one_stage(), 4),
    "gears covered": one_stage(cover_gears=True),
    "wide margin": one_stage(margin_mm=30.0),
    "limits": one_stage(limits=LimitsSpec(height_mm=185.0, forward_mm=90.0)),
}


def hull_mm2(spec: LayoutSpec, layout: Layout) -> float:
    """The hull round the margins of all holes but standoffs', by shapely; from inside, by less than a tenth of a
    thousandth. A slot is counted by its middle alone."""
    discs = [
        Point(hole.x_mm, hole.y_mm).buffer(0.5 * hole.part_diameter_mm + spec.margin_mm, quad_segs=90)
        for hole in layout.holes
        if hole.kind is not HoleKind.STANDOFF
    ]
    if spec.cover_gears:
        at = {shaft.name: (shaft.x_mm, shaft.y_mm) for shaft in layout.shafts}
        discs += [Point(at[gear.shaft]).buffer(0.5 * gear.tip_diameter_mm + 2.0, quad_segs=90) for gear in layout.gears]
    return float(unary_union(discs).convex_hull.area)


def sampled(spec: LayoutSpec, rail: tuple[tuple[float, float], ...], best: Layout, tries: int) -> Iterator[Layout]:
    """Layouts at random angles, every five degrees where one is free, else also round about the best, whose motors
    stand turned anyhow."""
    dice = random.Random(1)
    stack = axial_stack(spec)
    free = free_shafts(spec)
    sure = question_of(spec, stack, build_model(spec, stack, rail, sure=True))
    here = angles_of(sure, best)
    clocking = dict(best.clocking_rad)
    for step in range(tries):
        wide = dice.choice([0.02, 0.1, 0.5, 3.0])
        angles = {name: dice.gauss(here[name], wide) for name in free}
        if len(free) == 1:
            angles = {free[0]: 2.0 * math.pi * step / tries}
        turned = replace(
            spec,
            motors=tuple(replace(one, clocking_rad=dice.gauss(clocking[one.name], 2.0 * wide)) for one in spec.motors),
            standoffs=replace(spec.standoffs, count=0),
        )
        yield finish(turned, stack, place_all(turned, angles), rail).layout


def as_row(problem: LayoutProblem, layout: Layout) -> np.ndarray:
    angles = angles_of(problem, layout)
    return np.array([[angles[problem.nodes[number].name] for number in problem.free]])


@pytest.mark.parametrize("name", JOBS)
def test_no_layout_that_the_checks_accept_lies_below_the_bound_or_is_ruled_out(name: str) -> None:
    spec = JOBS[name]
    best = solve_layout(spec)
    stack = axial_stack(spec)
    sure = build_model(spec, stack, best.rail_holes, sure=True)
    bound = prove(spec, stack, sure, best, None).bound
    assert 0.5 * hull_mm2(spec, best) < bound <= hull_mm2(spec, best) * 1.0001
    asked = model_of(with_screws(question_of(spec, stack, sure, hull_off=False, slack_mm=0.0), spec, stack, 99))
    accepted = 0
    for layout in sampled(spec, best.rail_holes, best, 72):
        demanding = build_model(spec, stack, best.rail_holes)
        if any(y - reach < -0.5 * spec.wheel.diameter_mm + 10.0 for y, reach in lowest(demanding, layout)):
            continue  # what the tool places itself stays a centimetre off the floor
        if nearest_miss(spec, layout) or webs_missed(spec, layout) or collisions(spec, layout):
            continue
        accepted += 1
        assert hull_mm2(spec, layout) >= bound * 0.9999
        assert demands_missed(asked, as_row(asked.problem, layout))[0] <= 1e-3
    assert accepted >= 3


def lowest(model: object, layout: Layout) -> Iterator[tuple[float, float]]:
    at = {shaft.name: shaft.y_mm for shaft in layout.shafts}
    for name, reach in zip(model.names[1:], model.reach[1:], strict=True):  # type: ignore[attr-defined]
        yield at[name], reach


def webs_missed(spec: LayoutSpec, layout: Layout) -> bool:
    """Holes of one plate nearer to each other than its thickness; slots by their middles, a bit too kind."""
    for side in Side:
        holes = [hole for hole in layout.holes if hole.side is side]
        for index, a in enumerate(holes):
            for b in holes[:index]:
                web = math.dist((a.x_mm, a.y_mm), (b.x_mm, b.y_mm)) - 0.5 * (a.part_diameter_mm + b.part_diameter_mm)
                if web < max(spec.stock(side).used_mm, 3.0):
                    return True
    return False


def test_three_or_four_screws_count_no_more_than_their_hull_however_they_are_turned() -> None:
    """The disc of the proof lies inside the hull of the margins of a motor's screws."""
    spec = one_stage()
    catalog = load_catalog([profiles_folder()])
    motor = catalog.motor("generic-b")
    for count in (3, 4):
        four = with_motors(spec, motor=motor, screw=catalog.fastener(motor.face.screw), screws_used=count)
        stack = axial_stack(four)
        rail = rail_screws(four, stack, 0.0)
        sure = build_model(four, stack, rail, sure=True)
        radius = sure.hull_radius[sure.names.index("M1")]
        best = finish(four, stack, place_all(four, {"M1": 1.0}), rail).layout
        for layout in sampled(four, rail, best, 5):
            at = layout.shaft("M1")
            rims = [
                Point(hole.x_mm, hole.y_mm).buffer(0.5 * hole.part_diameter_mm + four.margin_mm, quad_segs=200)
                for hole in layout.holes
                if hole.shaft == "M1" and hole.side is Side.INBOARD
            ]
            hull = unary_union(rims).convex_hull
            assert hull.buffer(1e-2).contains(Point(at.x_mm, at.y_mm).buffer(radius, quad_segs=200))


def test_what_may_be_left_out_of_a_plate_is_no_part_of_a_proof() -> None:
    """The room for a motor's shaft in the other plate: none is cut where the shaft runs beside that plate."""
    spec = drive_spec()
    stack = axial_stack(spec)
    other = {(name, side) for name, side in centre_holes(spec, stack) if name == "M1"}
    sure = {(name, side) for name, side in centre_holes(spec, stack, whole=False) if name == "M1"}
    assert sure == {("M1", spec.motor("M1").side)}
    assert sure <= other


def test_a_plate_that_runs_over_a_keep_out_is_seen() -> None:
    """A post of a millimetre midway between axle and motor, where no margin reaches but the hull does."""
    spec = one_stage(rail=None)
    stack = axial_stack(spec)
    layout = finish(spec, stack, place_all(spec, {"M1": 0.5 * math.pi}), ()).layout
    model = build_model(spec, stack, ())
    assert plates_miss_mm(spec, stack, model, layout) == 0.0
    far, near = ((x, 25.0, 0.5) for x in (90.0, 10.0))
    for place, missed in ((far, False), (near, True)):
        kept_off = replace(spec, keep_outs=(KeepOut("post", *stack.outboard, disc=place),))
        assert (plates_miss_mm(kept_off, stack, build_model(kept_off, stack, ()), layout) > 0.0) is missed
