"""The question put to the search asks what the checks ask: random layouts are held against both."""

from __future__ import annotations

import math
import random
from dataclasses import replace

import numpy as np
import pytest

from gearplate.layout.certified.model import demands_missed, model_of
from gearplate.layout.chain import free_shafts, place_all
from gearplate.layout.constraints import build_model, floor_mm
from gearplate.layout.design import BodyKind, Layout
from gearplate.layout.finish import finish, rail_screws
from gearplate.layout.misses import limit_findings, placed_pairs
from gearplate.layout.proof import angles_of
from gearplate.layout.question import question_of
from gearplate.layout.solve import solve_layout
from gearplate.layout.spec import KeepOut, LayoutSpec, LimitsSpec, Side
from gearplate.layout.stack import axial_stack
from tests.builders.specs import drive_spec

BAND_MM = 0.01  # what is so near to a limit is left to either


def inboard(motors: int, **changes: object) -> LayoutSpec:
    spec = drive_spec(motors=motors, teeth=(72,), **changes)
    return replace(spec, motors=tuple(replace(motor, side=Side.INBOARD) for motor in spec.motors))


JOBS = {
    "one motor": inboard(1),
    "a box with corners": inboard(1, keep_outs=(KeepOut("box", -200.0, 60.0, box=(60.0, 20.0, 75.0, 30.0)),)),
    "a post": inboard(1, keep_outs=(KeepOut("post", -200.0, -40.0, disc=(-70.0, 40.0, 5.0)),)),
    "limits": inboard(1, limits=LimitsSpec(up_mm=80.0, forward_mm=90.0)),
    "limits of the whole": inboard(1, limits=LimitsSpec(height_mm=185.0, width_mm=220.0)),
    "two stages": drive_spec(motors=1, limits=LimitsSpec(back_mm=70.0)),
}


def missed_by_checks_mm(spec: LayoutSpec, layout: Layout) -> float:
    """By how much the worst of bodies (motor screws left out: their clocking is another question), limits, webs and
    floor is missed; negative where all are kept. Webs and floor are worked out here."""
    screws = (BodyKind.SCREW_HEAD, BodyKind.WASHER, BodyKind.NUT)

    def clocked(kind: BodyKind, shaft: str | None, name: str) -> bool:
        return (kind in screws and (shaft or "").startswith("M")) or "-screw-" in name

    worst = [
        pair.need.gap_mm - pair.gap_mm
        for pair in placed_pairs(spec, layout)
        if not any(clocked(one.kind, one.shaft, one.name) for one in (pair.a, pair.b))
    ]
    worst += [(finding.measured or 0.0) - (finding.limit or 0.0) for finding in limit_findings(spec, layout)]
    mates = {frozenset((mesh.driver.shaft, mesh.driven.shaft)) for mesh in layout.meshes}
    for index, a in enumerate(layout.holes):
        for b in layout.holes[:index]:
            if a.side is not b.side or frozenset((a.shaft, b.shaft)) in mates or (a.shaft and a.shaft == b.shaft):
                continue
            if "-screw-" in a.id + b.id:
                continue
            gap = math.dist((a.x_mm, a.y_mm), (b.x_mm, b.y_mm)) - 0.5 * (a.part_diameter_mm + b.part_diameter_mm)
            worst.append(max(spec.stock(a.side).used_mm, 3.0) - gap)
    model = build_model(spec, layout.stack, layout.rail_holes)
    at = {shaft.name: shaft.y_mm for shaft in layout.shafts}
    worst += [floor_mm(spec) - at[name] + reach for name, reach in zip(model.names[1:], model.reach[1:], strict=True)]
    return max(worst)


@pytest.mark.parametrize("name", JOBS)
def test_a_layout_is_good_by_the_question_exactly_when_the_checks_find_nothing(name: str) -> None:
    """`sure` asks no more than the checks, the whole question no less."""
    spec = replace(JOBS[name], standoffs=replace(JOBS[name].standoffs, count=0))
    stack = axial_stack(spec)
    rail = rail_screws(spec, stack, 0.0)
    models = [model_of(question_of(spec, stack, build_model(spec, stack, rail, sure=sure))) for sure in (False, True)]
    bare = question_of(spec, stack, build_model(spec, stack, rail, sure=True), hull_off=False, slack_mm=0.0)
    models[1] = model_of(bare)
    dice = random.Random(7)
    free = free_shafts(spec)
    turned = replace(spec, motors=tuple(replace(one, clocking_rad=0.3) for one in spec.motors))
    here = angles_of(models[1].problem, solve_layout(spec, quick=True))
    good = bad = 0
    for step in range(72):
        wide = dice.choice([0.02, 0.1, 0.5, 3.0])
        angles = {one: dice.gauss(here[one], wide) for one in free}
        if len(free) == 1:
            angles = {free[0]: math.tau * step / 72}
        layout = finish(turned, stack, place_all(spec, angles), rail).layout
        missed = missed_by_checks_mm(spec, layout)
        whole, sure = (
            demands_missed(model, np.array([[angles[model.problem.nodes[k].name] for k in model.problem.free]]))[0]
            for model in models
        )
        if whole <= 0.0:
            good += 1
            assert missed <= 0.0, (angles, missed)
        if missed <= -BAND_MM:
            assert sure <= 0.0, (angles, sure)
        bad += missed > BAND_MM
        if missed > BAND_MM:
            assert whole > 0.0, (angles, missed)
    assert bad >= 5
    assert good >= 2


def test_a_box_is_kept_off_by_its_grown_shape_with_round_corners() -> None:
    """Distances to a box worked out by hand all round it."""
    spec = inboard(1, keep_outs=(KeepOut("box", -200.0, 60.0, box=(60.0, 20.0, 75.0, 30.0)),))
    stack = axial_stack(spec)
    model = build_model(spec, stack, rail_screws(spec, stack, 0.0))
    least = next(fixed.least_mm for fixed in model.fixed if fixed.a == "M1" and fixed.box == (60.0, 20.0, 75.0, 30.0))
    other = replace(model, demands=(), fixed=tuple(fixed for fixed in model.fixed if fixed.a == "M1"))
    problem = replace(question_of(spec, stack, other, hull_off=False, slack_mm=0.0), within=())
    ready = model_of(problem)
    kept = 0
    for step in range(720):
        angle = math.tau * step / 720
        x, y = place_all(spec, {"M1": angle})["M1"]
        away = math.hypot(max(60.0 - x, 0.0, x - 75.0), max(20.0 - y, 0.0, y - 30.0))
        rest = [fixed for fixed in other.fixed if fixed.box != (60.0, 20.0, 75.0, 30.0)]
        if any(
            math.hypot(max(f.box[0] - x, 0.0, x - f.box[2]), max(f.box[1] - y, 0.0, y - f.box[3])) < f.least_mm
            for f in rest
        ):
            continue
        if abs(away - least) > 1e-6:
            assert bool(demands_missed(ready, np.array([[angle]]))[0] <= 0.0) is (away > least)
            kept += away > least
    assert 0 < kept < 720
