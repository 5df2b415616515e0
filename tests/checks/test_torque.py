"""How torque passes along shafts: fixed ones with two gears, round ones, and gears that no bore fits."""

from __future__ import annotations

from dataclasses import replace

import pytest

from gearplate.catalog.row import Bore
from gearplate.finding import Finding, Severity
from tests.builders.subjects import BAD as BAD_JOBS
from tests.builders.subjects import fair, fair_unchanged, job_of, one, run, subject_of

MICROMETRE = 0.001


def told(*changes: tuple[str, object]) -> tuple[Finding, ...]:
    return run("torque-path", fair(**dict(changes))).findings


def test_hexagons_carry_torque_and_every_gear_is_counted() -> None:
    outcome = run("torque-path", fair_unchanged())
    assert outcome.findings == ()
    assert outcome.compared == 5  # two pinions, two gears on S1, one on the output


def test_two_gears_on_a_fixed_shaft_are_to_be_joined() -> None:
    finding = one("torque-path", subject_of(job_of(BAD_JOBS / "torque-path.toml")))
    assert finding.severity is Severity.NOTE
    assert "S1 72T and S1 32T must turn together" in finding.message


def test_an_idler_on_a_fixed_shaft_turns_alone() -> None:
    stages = [{"idlers": [42], "driven": 60}]
    places = {"I1": {"angle": 90}, "M1": {"angle": 60}}
    motors = [{"type": "generic-a", "pinion": 12}]
    subject = fair(stages=stages, places=places, motors=motors, shafts__I1={"stock": "round-8mm", "turns": False})
    outcome = run("torque-path", subject)
    assert (outcome.findings, outcome.compared) == ((), 2)


def test_round_stock_that_turns_wants_keys_and_no_bought_gear_has_its_bore() -> None:
    found = told(("shaft", {"stock": "round-12mm"}))
    assert [finding.severity for finding in found] == [Severity.NOTE, Severity.NOTE]
    assert found[0].message.startswith("S1, output: round 12 mm turns")
    assert "no gear of dp20 is to be had for a shaft of round 12 mm" in found[1].message


@pytest.mark.parametrize(("across_mm", "count"), [(12.75, 0), (12.75 + MICROMETRE, 1), (12.65, 0)])
def test_a_bore_fits_to_a_twentieth_of_a_millimetre(across_mm: float, count: int) -> None:
    subject = replace(fair_unchanged(), gear_bores={"dp20": (Bore("hex", across_mm),)})
    assert len(run("torque-path", subject).findings) == count


def test_nothing_is_told_of_gears_that_no_class_has() -> None:
    subject = replace(fair_unchanged(), gear_bores={})
    assert run("torque-path", subject).findings == ()
