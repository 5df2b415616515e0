"""The static filter against the layout's own demands, against solved layouts, and against sums by hand."""

from __future__ import annotations

import math
from dataclasses import replace
from fractions import Fraction

import numpy as np
import pytest

from gearplate.errors import NoSolution
from gearplate.gears.spec import GearSpec, StageSpec, TrainSpec
from gearplate.gears.trains import StageChoice
from gearplate.gears.trains.facts import facts_of
from gearplate.gears.trains.listing import list_trains
from gearplate.gears.trains.question import Question
from gearplate.gears.trains.window import Window
from gearplate.job.load import load_job
from gearplate.layout.chain import mesh_needs
from gearplate.layout.constraints import build_model
from gearplate.layout.solve import solve_layout
from gearplate.layout.stack import axial_stack
from gearplate.layout.static_filter import StaticFilter, first_cure, static_misses, static_terms

JOBS = ("compost-drive", "compost-drive-inboard", "sprayer-metric", "barrow-idler", "sieve-single", "trench-astride")


@pytest.fixture(scope="module")
def drive():
    return load_job("compost-drive").layout_spec


def other_counts(spec, pinion, *pairs):
    """The layout with other counts of the same gears, and with as many stages."""
    size = spec.motors[0].pinion.system
    stages = [StageSpec(GearSpec(a, size) if n else None, GearSpec(b, size), 0.05) for n, (a, b) in enumerate(pairs)]
    motors = tuple(replace(motor, pinion=replace(motor.pinion, teeth=pinion)) for motor in spec.motors)
    return replace(spec, train=TrainSpec(tuple(stages)), motors=motors)


@pytest.mark.parametrize("name", JOBS)
def test_terms_are_the_demands_of_the_layout(name):
    """Of every pair in mesh: the greatest need among the terms of bodies is the demand that the search asks for."""
    spec = load_job(name).layout_spec
    spec = replace(spec, places={})
    stack = axial_stack(spec)
    wanted = {frozenset((d.a, d.b)): d.least_mm for d in build_model(spec, stack, ()).demands}
    needs = mesh_needs(spec)
    demands = [wanted.get(frozenset((need.driver_shaft, need.driven_shaft)), 0.0) for need in needs]
    terms = [term for term in static_terms(spec, stack) if term.screw is None and term.check != "web"]
    for stage in range(len(spec.train.stages)):
        got = max((term.least_mm for term in terms if term.stage == stage), default=0.0)
        assert got == pytest.approx(max(d for d, n in zip(demands, needs, strict=True) if n.stage == stage + 1))


def test_a_gear_that_runs_into_the_next_shaft_by_hand(drive):
    """12 on 72, then 18 on 36 at module 1.27: the axes of S1 and output are 34.29 + 0.05 mm apart. The 72's tips
    reach 1.27 x 37 = 46.99 mm: they run over the output shaft."""
    spec = other_counts(drive, 12, (12, 72), (18, 36))
    worst = static_misses(spec)[0]
    assert worst.check == "gear-to-shaft"
    assert worst.what == "a gear on shaft S1 against the spacer of shaft output"
    spacer = 0.5 * spec.shaft("output").spacer_diameter_mm
    assert worst.missing_mm == pytest.approx(46.99 + spacer + spec.clearances.gear_tip_mm - 34.34)


def test_hexagon_counts_by_its_corners_and_a_round_bar_saves(drive):
    """Without spacers in the way it is the hexagon itself: 12.7 mm across flats turns in 14.664 mm."""
    thin = replace(drive, shafts=tuple(replace(shaft, spacer_diameter_mm=1.0) for shaft in drive.shafts))
    needed = {term.what: term.least_mm for term in static_terms(thin)}
    corner = needed["a gear on shaft S1 against the corners of shaft output"]
    assert corner == pytest.approx(1.27 * 37 + 0.5 * 12.7 * 2 / math.sqrt(3) + 1.0)
    bar = replace(drive.shafts[-1].stock.section, form="round")
    plain = replace(
        thin, shafts=(*thin.shafts[:-1], replace(thin.shafts[-1], stock=replace(thin.shafts[-1].stock, section=bar)))
    )
    round_need = {term.what: term.least_mm for term in static_terms(plain)}
    assert round_need["a gear on shaft S1 against shaft output"] == pytest.approx(1.27 * 37 + 6.35 + 1.0)


def test_screws_stand_as_far_away_as_they_can(drive):
    """Two opposite screws: square to the line of centres, so hypot(centre, bolt circle / 2) from the gear's shaft."""
    term = next(t for t in static_terms(drive) if "screw head" in t.what and t.stage == 0)
    radius = 0.5 * drive.motors[0].motor.face.bolt_circle_mm
    assert float(term.distance_mm(np.array([40.0]))[0]) == pytest.approx(math.hypot(40.0, radius))
    four = replace(drive, motors=tuple(replace(motor, screws_used=1) for motor in drive.motors))
    one = next(t for t in static_terms(four) if "screw head" in t.what and t.stage == 0)
    assert float(one.distance_mm(np.array([40.0]))[0]) == pytest.approx(40.0 + radius)


def test_shafts_placed_by_coordinate_are_left_to_the_mesh_check(drive):
    from gearplate.layout.spec import Place

    placed = replace(drive, places={"S1": Place(x_mm=10.0, y_mm=60.0)})
    assert {term.stage for term in static_terms(placed)} <= {0, None}


def trains_and_filter(drive, **choices):
    size = drive.motors[0].pinion.system
    first = StageChoice((11, 12, 14), choices.get("first", (36, 48, 60, 72)))
    later = StageChoice((18, 24, 32), (30, 36, 48, 60))
    question = Question((first, later), Window.between(Fraction(4), Fraction(14)))

    def gear_of(stage, drives, teeth):
        shift = 0.5 if drives and stage == 0 else 0.0
        return GearSpec(teeth, size, shift=shift, face_width_mm=9.5 if teeth == 48 else 12.7)

    def spec_of(train):
        stages = tuple(
            StageSpec(gear_of(n, True, s.driver) if n else None, gear_of(n, False, s.driven), 0.05)
            for n, s in enumerate(train.stages)
        )
        pinion = gear_of(0, True, train.stages[0].driver)
        motors = tuple(replace(motor, pinion=pinion) for motor in drive.motors)
        return replace(drive, train=TrainSpec(stages), motors=motors)

    return question, StaticFilter(facts_of(question, gear_of, 0.05), gear_of, spec_of, 0.05)


def test_a_table_is_judged_as_each_train_alone(drive):
    question, static = trains_and_filter(drive)
    table = list_trains(question)
    verdict = static.judge(table)
    for number, train in list(enumerate(table.trains()))[::4]:
        worst = max(static_terms(static.spec_of(train)), key=lambda term: term.missing_mm)
        assert verdict.missing_mm[number] == pytest.approx(worst.missing_mm, abs=1e-9)
        assert verdict.passes[number] == (not static_misses(static.spec_of(train)))
        if not verdict.passes[number]:
            told = verdict.reasons[verdict.reason[number]]
            alike = [t for t in static_terms(static.spec_of(train)) if t.missing_mm > worst.missing_mm - 1e-9]
            assert told in {f"{term.check}: {term.what}" for term in alike}
    assert 0 < verdict.passes.sum() < len(table)
    # Each way in which gears lie along the shafts was looked at once: two widths in two places, heads in or out.
    assert len(static._terms) <= 8
    assert not len(static.judge(table.rows(slice(0, 0))).missing_mm)


def test_no_layout_is_found_for_a_dropped_train(drive):
    question, static = trains_and_filter(drive)
    table = list_trains(question)
    dropped = table.rows(np.flatnonzero(~static.judge(table).passes)).trains()
    for train in dropped[:: len(dropped) // 2]:
        with pytest.raises(NoSolution):
            solve_layout(static.spec_of(train))


def test_cures_are_told_by_the_first_that_helps(drive):
    fat = replace(drive, shafts=tuple(replace(shaft, spacer_diameter_mm=30.0) for shaft in drive.shafts))
    question, static = trains_and_filter(fat)
    table = list_trains(question)
    bad = table.rows(np.flatnonzero(~static.judge(table).passes))
    _, slimmer = trains_and_filter(drive)
    got = first_cure(bad, (static, slimmer))
    assert 0 not in got  # what drops them cannot cure them
    assert set(got.tolist()) == {-1, 1}
    assert (got == 1).tolist() == slimmer.judge(bad).passes.tolist()
