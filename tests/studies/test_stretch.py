"""The least change of a drive: what is kept stays, what gives is told, and the changed job holds when it is built."""

from __future__ import annotations

import math
from collections.abc import Iterator
from fractions import Fraction
from functools import cache

import pytest

from gearplate.build import make
from gearplate.errors import UsageError
from gearplate.job.load import load_job, load_job_text
from gearplate.layout.spec import Side
from gearplate.studies.stretch import Stretched, stretch
from gearplate.studies.stretch_change import Verdict
from gearplate.studies.stretch_tried import Kept
from gearplate.studies.stretch_ways import Kind, ways
from tests.builders.made_once import sharing


@pytest.fixture(scope="module", autouse=True)
def old_drives_made_once() -> Iterator[None]:
    """A base is made once, however many tests change it."""
    with pytest.MonkeyPatch.context() as patch:
        sharing(patch.setattr)
        yield


@cache
def stretched(name: str, *sets: str) -> Stretched:
    return stretch(load_job(name), load_job(name, sets), part="new")


@pytest.fixture(scope="module")
def tall() -> Stretched:
    return stretched("compost-drive", 'wheel.diameter="5 in"')


def test_a_larger_wheel_sends_one_motor_inboard(tall: Stretched) -> None:
    assert tall.turning.turned.verdict is Verdict.IMPOSSIBLE, "three motors stay over no 5 in wheel with these gears"
    chosen = tall.chosen
    assert chosen is not None
    assert chosen.tried.way.kind is Kind.INBOARD
    sides = [motor.side for motor in chosen.job.layout_spec.motors]
    assert sorted(sides) == [Side.INBOARD, Side.OUTBOARD, Side.OUTBOARD]
    assert chosen.design.errors == ()
    assert chosen.spacers_mm is None
    assert chosen.tried.turned.move_bound_mm <= chosen.change.move_mm <= 1.01 * chosen.tried.turned.move_bound_mm


def test_what_is_drilled_and_bought_stays(tall: Stretched) -> None:
    chosen = tall.chosen
    assert chosen is not None
    new, old = chosen.design, tall.old_design
    assert new.layout is not None
    assert old.layout is not None
    for drilled, before in zip(new.layout.rail_holes, old.layout.rail_holes, strict=True):
        assert drilled == pytest.approx(before, abs=1e-4)
    assert new.spec.train == old.spec.train
    assert [motor.pinion for motor in new.spec.motors] == [motor.pinion for motor in old.spec.motors]
    assert new.layout.stack.gap_mm == pytest.approx(old.layout.stack.gap_mm)
    bores = [[hole.part_diameter_mm for hole in one.layout.holes if hole.shaft == "output"] for one in (new, old)]
    assert bores[0] == bores[1] != []


def test_the_moves_told_are_those_of_the_built_layout(tall: Stretched) -> None:
    chosen = tall.chosen
    assert chosen is not None
    again = make(chosen.job)
    assert again.layout is not None
    assert tall.old_design.layout is not None
    moves = [
        math.dist((shaft.x_mm, shaft.y_mm), (before.x_mm, before.y_mm))
        for shaft in again.layout.shafts
        for before in tall.old_design.layout.shafts
        if before.name == shaft.name
    ]
    assert max(moves) == pytest.approx(chosen.change.move_mm, abs=1e-9)


def test_the_shipped_pair_needs_new_rail_holes() -> None:
    """Wheel and gears of compost-drive-tall on the drilled rail of compost-drive: three motors fit over the wheel, but
    only where the rail is drilled anew."""
    tall_job = "stages=[{driven = 80}, {driver = 32, driven = 66}]"
    result = stretched("compost-drive", 'wheel.diameter="5 in"', tall_job)
    assert result.turning.turned.verdict is Verdict.IMPOSSIBLE
    chosen = result.chosen
    assert chosen is not None
    assert chosen.tried.gave is Kept.RAIL
    assert chosen.tried.way.kind is Kind.TURN
    assert all(motor.side is Side.OUTBOARD for motor in chosen.job.layout_spec.motors)
    assert not any(one.turned.change for one in result.tried)


def test_turning_does_where_it_can_and_what_would_change_less_is_told() -> None:
    result = stretched("barrow-idler", 'wheel.diameter="5 in"')
    assert result.chosen is not None
    assert result.chosen.tried is result.turning
    assert 10.0 < result.chosen.change.move_mm < 20.0
    lesser = [one for one in result.tried if one.turned.change is not None]
    assert [one.way.kind for one in lesser] == [Kind.INBOARD]
    change = lesser[0].turned.change
    assert change is not None
    assert change.move_mm < 1e-6


def test_nothing_moves_where_nothing_has_to() -> None:
    result = stretched("compost-drive", "limits.height=20")
    assert result.unchanged
    assert result.tried == ()
    assert result.given_up == ()


def test_another_reduction_is_no_base_without_a_train() -> None:
    base = load_job("hopper-ratio")
    result = stretch(base, load_job("hopper-ratio", ['wheel.clear="4 mm"']))
    chosen = result.chosen
    assert chosen is not None
    assert chosen.job.wish is None
    assert chosen.job.layout_spec.train == result.old_design.spec.train


def test_what_is_no_change_or_no_base_is_refused() -> None:
    with pytest.raises(UsageError, match="changes nothing"):
        stretched("compost-drive", 'wheel.diameter="4 in"')
    text = 'base = "compost-drive"\nwheel = {diameter = "5 in"}\n'
    base, asked = load_job_text(text), load_job_text(text, sets=['wheel.diameter="6 in"'])
    with pytest.raises(UsageError, match="itself has no design"):
        stretch(base, asked)


def test_gears_of_the_catalogue_keep_the_reduction() -> None:
    job = load_job("compost-drive")
    found = [way for way in ways(job, job.layout_spec, Fraction(1, 50)) if way.kind is Kind.GEARS]
    assert found
    for way in found:
        spec = way.spec
        first = Fraction(spec.train.stages[0].driven.teeth, spec.motors[0].pinion.teeth)
        assert abs(first / 6 - 1) <= Fraction(1, 50)
        assert first / 6 == way.ratio
        assert job.changed(dict(way.set)).layout_spec == spec, "what is set in the job asks for the same"


def test_idlers_and_sides_set_in_the_job_ask_for_the_same() -> None:
    job = load_job("compost-drive")
    others = [way for way in ways(job, job.layout_spec, Fraction(0)) if way.kind in (Kind.IDLER, Kind.INBOARD)]
    assert {way.kind for way in others} == {Kind.IDLER, Kind.INBOARD}
    for way in (*others[:4], others[-1]):
        assert job.changed(dict(way.set)).layout_spec == way.spec


def test_no_way_undoes_what_is_asked() -> None:
    job = load_job("sieve-single")
    asked = load_job("sieve-single", ['motors.side="outboard"'])
    kinds = {way.kind for way in ways(asked, asked.layout_spec, Fraction(1, 20), job.layout_spec)}
    assert kinds == {Kind.GEARS, Kind.IDLER}
    job, asked = load_job("compost-drive"), load_job("compost-drive", ["motors.pinion=14"])
    found = [way for way in ways(asked, asked.layout_spec, Fraction(1, 5), job.layout_spec) if way.kind is Kind.GEARS]
    assert found
    assert {motor.pinion.teeth for way in found for motor in way.spec.motors} == {14}
    asked = load_job("compost-drive", ["stages=[{driven = 80}, {driver = 32, driven = 66}]"])
    found = [way for way in ways(asked, asked.layout_spec, Fraction(1, 5), job.layout_spec) if way.kind is Kind.GEARS]
    assert {way.spec.train.stages[0].driven.teeth for way in found} == {80}


def test_another_wanted_reduction_is_a_change_and_other_gears_keep_it() -> None:
    result = stretched("hopper-ratio", 'reduction.ratio="12"')
    assert result.chosen is not None
    assert result.chosen.design.spec.train != result.old_design.spec.train
    assert result.chosen.change.move_mm > 0.1
    first = result.asked.layout_spec.train.stages[0].driven.teeth
    gears = [one.way for one in result.tried if one.way.kind is Kind.GEARS]
    assert gears, "of 72 teeth on 12"
    for way in gears:
        share = Fraction(way.spec.train.stages[0].driven.teeth * 12, way.spec.motors[0].pinion.teeth * first)
        assert abs(share - 1) <= Fraction(1, 50), "it wants 12 within 2 %"


def test_rail_holes_that_cannot_stay_say_why() -> None:
    """Larger than the old one, the wheel of a drive astride its rail stands where the rail's screws have their nuts."""
    result = stretched("trench-astride", 'wheel.diameter="8 in"')
    assert result.turning.turned.verdict is Verdict.IMPOSSIBLE
    assert "nut and wheel overlap" in result.turning.turned.why
    assert result.chosen is not None
    assert result.chosen.tried.gave is Kept.RAIL
    assert result.chosen.design.layout is not None
    assert all(abs(x) > 101.6 - 15.0 for x, _ in result.chosen.design.layout.rail_holes)


def test_what_no_shaft_can_help_ends_the_search_at_once() -> None:
    """In a rail of an inch the hole for the axle's bearing breaks out of its faces."""
    result = stretched("compost-drive", 'rail.height="1 in"')
    assert result.chosen is None
    assert [finding.check for finding in result.in_the_way] == ["rail-drilling"]
    assert "is not in the rail" in result.turning.turned.why
    assert len(result.given_up) == 1
