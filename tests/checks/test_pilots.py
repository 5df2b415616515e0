"""Pinions that pass their pilot, as remedies: never one that another rule of ours forbids."""

from __future__ import annotations

import pytest

from gearplate.build import make
from gearplate.checks.counts import with_count
from gearplate.job.load import load_job, load_job_text
from gearplate.studies.remedies import SEARCH, with_tried_remedies
from tests.builders.subjects import fair, one

REDUCTION = """
format = 1
part = "red"
units = "inch"
cutter = "demo"
material = "acetal-6mm"
wheel = {diameter = 4}
diametral_pitch = 20
reduction = {ratio = "10.5", within = 0.02, stages = 2}
motors = {type = "generic-a", count = 2}
"""


def test_a_count_that_would_be_undercut_comes_with_the_shift_that_it_wants() -> None:
    """At 14.5 degrees 12 teeth want 1 - 12 sin(14.5)^2 / 2 = 0.624 modules: 0.65 to the next twentieth. Their tips are
    then (12 + 2 + 1.3) x 1.27 = 19.431 mm, and pass 20.2 mm."""
    motors = [{"type": "generic-a", "pinion": 16}, {"type": "generic-a", "pinion": 16}]
    finding = one("motor-service", fair(pressure_angle=14.5, motors=motors))
    assert "12 teeth of module 1.27, with a profile shift of 0.65 modules, would pass" in finding.message
    assert finding.remedy is not None
    assert {value for _, value in finding.remedy.set} == {0.65, 12}
    for remedy in (finding.remedy, *finding.alternatives):
        assert len({key.rpartition(".")[2] for key, _ in remedy.set}) == 2, "never the count alone"


def test_a_reduction_is_told_which_of_its_pinions_pass_and_that_holds() -> None:
    """The tips of 13 bought teeth, (13 + 2 + 1) x 1.27 = 20.32 mm, are too wide for 20.2 mm; those of 9 and 10 are to
    be had with bores of 5 and 6.35 mm alone, and the motor's shaft has 8 mm (gear catalogue, invented)."""
    job = load_job_text(REDUCTION)
    design = make(job)
    assert [one.check for one in design.findings] == ["motor-service"]
    (finding,) = with_tried_remedies(job, design, SEARCH).findings
    assert finding.remedy is not None
    assert finding.remedy.tried
    assert finding.remedy.set == (("reduction.pinions", [11, 12]),)


@pytest.mark.parametrize("pinion", ["7", "{teeth = 7}"])
def test_a_pinion_of_too_few_teeth_is_told_the_least_that_does(pinion: str) -> None:
    """No remedy of ours goes under 10 teeth; bought ones of 10 are cut long: 1 - 10 sin(20)^2 / 2 = 0.415 < 0.5."""
    job = load_job("compost-drive", sets=(f"motors.pinion={pinion}",))
    first = with_tried_remedies(job, make(job)).findings[0]
    assert first.check == "layout"
    assert first.remedy is not None
    assert first.remedy.tried
    key = "motors.pinion" if pinion == "7" else "motors.pinion.teeth"
    assert first.remedy.set == ((key, 10),)
    assert "the ratio becomes 13.5 to 1" in first.remedy.text  # 72 / 10 x 60 / 32


def test_no_gear_is_made_so_small_that_it_is_undercut() -> None:
    """32 plain teeth of 14.5 degrees are the least that handbooks accept: 1 - 31 sin(14.5)^2 / 2 = 0.028 > 0.02."""
    subject = fair(pressure_angle=14.5)
    gear = next(gear for gear in subject.layout.gears if gear.shaft == "S1" and gear.gear.teeth == 32)
    assert with_count(subject, gear, -1) == []
    assert with_count(subject, gear, -1, shift=0.05) != []
    assert with_count(subject, gear, 1) != []
    assert with_count(fair(), next(one for one in fair().layout.gears if one.gear.teeth == 32), -2) != []
