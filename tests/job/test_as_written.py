"""Remedies speak in the keys of the user's own file, whichever of its forms the file takes."""

from __future__ import annotations

import pytest

from gearplate.finding import Finding, Remedy, Severity
from gearplate.job.as_written import as_written, sets_a_count
from gearplate.job.load import load_job_text

HEAD = """format = 1
part = "p"
units = "inch"
material = "acetal-6mm"
cutter = "demo"
wheel = {diameter = 4}
diametral_pitch = 20
"""
ONE = 'motors = {type = "generic-a", count = 1, pinion = 12}\n'
TWO = 'motors = {type = "generic-a", count = 2, pinion = 12}\n'
TABLE_OF_TWO = '[[motors]]\ntype = "generic-a"\ncount = 2\npinion = 12\n'
CLOCKED = 'motors = {type = "generic-a", count = 2, pinion = 12, clocking = 30}\n'
APART = 'motors = [{type = "generic-a", pinion = 12}, {type = "generic-a", pinion = {teeth = 12}}]\n'
BARE = "stages = [{driven = 72}, {driver = 32, driven = 60, idlers = [24]}]\n"
TABLES = "stages = [{driven = {teeth = 72}}, {driver = 32, driven = 60}]\n"


@pytest.mark.parametrize(
    ("text", "given", "wanted"),
    [
        (TWO + BARE, {"stages[0].driven.teeth": 74}, {"stages[0].driven": 74}),
        (TWO + TABLES, {"stages[0].driven.teeth": 74}, {"stages[0].driven.teeth": 74}),
        (TWO + BARE, {"stages[1].idlers[0].teeth": 25}, {"stages[1].idlers[0]": 25}),
        (TWO + BARE, {"stages[1].driver.shift": 0.2}, {"stages[1].driver": {"teeth": 32, "shift": 0.2}}),
        (TWO + BARE, {"stages[0].added_centre": "0.1 mm"}, {"stages[0].added_centre": "0.1 mm"}),
        (TWO + BARE, {"motors.pinion.teeth": 13}, {"motors.pinion": 13}),
        (TWO + BARE, {"motors.M2.pinion.teeth": 13}, {"motors.M2.pinion": 13}),
        (TWO + BARE, {"motors.M2.side": "inboard"}, {"motors.M2.side": "inboard"}),
        (ONE + BARE, {"motors.M1.side": "inboard"}, {"motors.side": "inboard"}),
        (APART + BARE, {"motors.M2.side": "inboard"}, {"motors[1].side": "inboard"}),
        (TWO + BARE, {"motors.M1.side": "inboard", "motors.M2.side": "inboard"}, {"motors.side": "inboard"}),
        (TWO + BARE, {"motors.M1.pinion.teeth": 13, "motors.M2.pinion.teeth": 13}, {"motors.pinion": 13}),
        (
            TWO + BARE,
            {"motors.M1.pinion.teeth": 13, "motors.M2.pinion.teeth": 14},
            {"motors.M1.pinion": 13, "motors.M2.pinion": 14},
        ),
        (BARE + TABLE_OF_TWO, {"motors.M1.slots": "1 mm", "motors.M2.slots": "1 mm"}, {"motors[0].slots": "1 mm"}),
        (CLOCKED + BARE, {"motors.M1.clocking": None, "motors.M2.clocking": None}, {"motors.clocking": None}),
        (
            APART + BARE,
            {"motors.M1.side": "inboard", "motors.M2.side": "inboard"},
            {"motors[0].side": "inboard", "motors[1].side": "inboard"},
        ),
        (APART + BARE, {"motors.M1.pinion.teeth": 13}, {"motors[0].pinion": 13}),
        (APART + BARE, {"motors.M2.pinion.teeth": 13}, {"motors[1].pinion.teeth": 13}),
    ],
)
def test_keys_stand_as_the_file_has_them_and_mean_the_same(
    text: str, given: dict[str, object], wanted: dict[str, object]
) -> None:
    job = load_job_text(HEAD + text)
    other = (Remedy("other", tuple(given.items())),)
    finding = Finding("x", Severity.ERROR, "m", remedy=Remedy("t", tuple(given.items())), alternatives=other)
    after = as_written(job.document, finding)
    assert after.remedy is not None
    assert dict(after.remedy.set) == wanted
    assert dict(after.alternatives[0].set) == wanted
    assert job.changed(given).layout_spec == job.changed(dict(after.remedy.set)).layout_spec
    assert job.changed(given).layout_spec != job.layout_spec, "the change says something"


def test_a_finding_without_a_remedy_stays_itself() -> None:
    finding = Finding("x", Severity.ERROR, "m")
    assert as_written(load_job_text(HEAD + ONE + BARE).document, finding) is finding


def test_which_keys_set_a_count() -> None:
    assert sets_a_count("stages[0].driven")
    assert sets_a_count("motors.M1.pinion.teeth")
    assert sets_a_count("stages[1].idlers[0]")
    assert not sets_a_count("stages[0].driven.shift")
    assert not sets_a_count("plates.gap")
