"""Rules that cry wolf are defects: ordinary drives, a little different each, have no finding."""

from __future__ import annotations

import pytest

from gearplate.build import make
from gearplate.catalog import profiles_folder
from gearplate.checks.run import run_rules
from gearplate.finding import Finding, Severity
from gearplate.job.load import load_job
from tests.builders.subjects import FAIR, fair, job_of

ORDINARY: dict[str, dict[str, object]] = {
    # 6.35 mm sheet, 5.5 mm screw holes, 28.6 mm bores.
    "quarter-inch acetal": {"material": "acetal-quarter-inch"},
    "a thick sheet of it": {"material": "acetal-quarter-inch", "plates__measured": 6.9},
    "a thin sheet": {"plates__measured": 5.8},
    "plywood": {"material": "birch-ply-6mm"},
    "acrylic": {"material": "acrylic-6mm"},
    "one motor": {
        "motors": [{"type": "generic-a", "pinion": 12}],
        "places": {"S1": {"angle": 90}, "M1": {"angle": 60}},
    },
    "usual play": {"added_centre": "0.003 in"},
    "least play": {"added_centre": "0.001 in"},
    "a guard": {"plates__cover_gears": True},
    "waists": {"plates__outline": "waisted"},
    "both hands": {"hand": "both"},
    "the other hand": {"hand": "left"},
    "a margin of a quarter inch": {"plates__margin": "1/4 in"},
    "a machine that compensates": {"cutter": "demo-machine-compensates"},
    "kerf by axis": {"cutter": "demo-axis"},
    "lead-ins": {"cutter": "demo-lead-in"},
    "inch drawings": {"drawing_units": "inch"},
    "plates of two materials": {"plates__inboard": {"material": "birch-ply-6mm"}},
    "a held plain bearing": {"shaft": {"bearing": "R8ZZ-hex", "retainer": True}},
    "a hole class": {"shaft": {"fit": "H7"}},
    "blocks in the rail": {"shafts__output": {"carried_by": "blocks"}},
    "limits that are kept": {"limits": {"outward": 40, "inward": 60}},
    "a keep-out beside it": {"keep_outs": [{"name": "battery", "box": [120, -40, 200, 120]}]},
    "a sensor hole": {"holes": [{"name": "sensor", "at": [0, 32], "diameter": 6}]},
    "no marks": {"plates__marks": False},
    "no washers": {"plates__washers": False},
    "more standoffs": {"standoffs__count": 4},
    "an unshifted pinion of 18": {"motors": [{"type": "generic-b", "pinion": {"teeth": 18, "shift": 0}}] * 2},
}


def grave(findings: tuple[Finding, ...]) -> list[str]:
    return [f"{one.check}: {one.message}" for one in findings if one.severity is not Severity.NOTE]


@pytest.mark.parametrize("name", [name for name in ORDINARY if "pinion of 18" not in name])
def test_an_ordinary_drive_has_no_finding(name: str) -> None:
    report = run_rules(fair(**ORDINARY[name]))
    assert [f"{one.check}: {one.message}" for one in report.findings] == []
    assert sum(count for _, count in report.compared) > 300


def test_windows_take_room_from_marks_at_the_most() -> None:
    assert {one.check for one in run_rules(fair(plates__lightening=True)).findings} <= {"marks-room"}


def test_a_pinion_that_does_not_pass_its_pilot_is_all_that_is_told_of_18_teeth() -> None:
    report = run_rules(fair(**ORDINARY["an unshifted pinion of 18"]))
    assert {one.check for one in report.findings} == {"motor-service"}


@pytest.mark.parametrize("job", sorted(path.stem for path in (profiles_folder() / "jobs").glob("*.toml")))
def test_a_shipped_example_has_no_warning(job: str) -> None:
    assert grave(make(load_job(job)).findings) == []


def test_findings_do_not_depend_on_the_hand_or_on_the_run() -> None:
    first = make(job_of(FAIR).changed({"plates.margin": 4}))
    again = make(job_of(FAIR).changed({"plates.margin": 4}))
    left = make(job_of(FAIR).changed({"plates.margin": 4, "hand": "left"}))
    assert first.findings == again.findings
    assert [(one.check, one.measured) for one in left.findings] == [(one.check, one.measured) for one in first.findings]
