"""One wrong job a rule: it fires that rule and nothing else, and what its remedies set mends it."""

from __future__ import annotations

from pathlib import Path

import pytest

from gearplate.build import make
from gearplate.checks.rules import ALL_RULES
from gearplate.finding import Finding, Severity
from gearplate.job.load import load_job
from gearplate.job.spec import JobSpec
from gearplate.record.design import Design, Status
from tests.builders.subjects import ASTRIDE, BAD, FAIR

JOBS = sorted(BAD.glob("*.toml"))
CODES = {rule.code for rule in ALL_RULES}
# What no single change of the job mends: another cutter, a part of the robot, another motor.
BY_WORDS = {"bed-size", "axle-service", "keep-out", "shaft-reach", "through-plate", "strength", "bearing-life"}
# Warnings and notes do not stop a build.
BUILDABLE = {
    "axial-float-none",
    "axle-service",
    "bearing-count",
    "bearing-life",
    "bearing-retainer",
    "bearing-support",
    "edge",
    "face-overlap",
    "marks-room",
    "motor-screws",
    "motor-service",
    "motor-service-screw",
    "on-plate",
    "play-binds",
    "play-over",
    "play-parts",
    "screw-thread",
    "shaft-held",
    "shaft-held-fixed",
    "spacer-seat",
    "strength",
    "slot-travel",
    "torque-path",
    "smallest-feature",
    "smallest-feature-bar",
    "tooth-interference-undercut",
    "web",
    "wrong-hand",
}


def code_of(path: Path) -> str:
    """The rule that a wrong job is named after; a second one for it has a word more."""
    return next(code for code in sorted(CODES, key=len, reverse=True) if path.stem.startswith(code))


@pytest.mark.parametrize("path", [FAIR, ASTRIDE], ids=lambda path: path.stem)
def test_what_they_start_from_has_no_finding(path: Path) -> None:
    assert make(load_job(path)).findings == ()


@pytest.mark.parametrize("path", JOBS, ids=lambda path: path.stem)
def test_it_fires_its_rule_and_nothing_else_and_its_remedy_mends_it(path: Path) -> None:
    job = load_job(path)
    design = make(job)
    assert {finding.check for finding in design.findings} == {code_of(path)}
    assert design.status is (Status.OK if path.stem in BUILDABLE else Status.REFUSED)
    mended = 0
    for finding in design.findings:
        assert finding.message.endswith(".")
        assert finding.standing
        assert (finding.measured is None) == (finding.limit is None)
        offered = [one for one in (finding.remedy, *finding.alternatives) if one is not None]
        assert finding.severity is Severity.NOTE or offered[0].text
        mended += any(mends(job, design, finding, dict(one.set)) for one in offered if one.set)
    if path.stem in BY_WORDS:
        assert mended == 0
    else:
        assert mended == len(design.findings)


def mends(job: JobSpec, design: Design, finding: Finding, setting: dict[str, object]) -> bool:
    """Whether the finding is gone once this is set, with no new error; with none at all where it was the only one."""
    after = make(job.changed(setting))
    if _same(finding, after) or any(one.severity is Severity.ERROR and new(one, design) for one in after.findings):
        return False
    return len(design.findings) > 1 or after.findings == ()


def _same(finding: Finding, after: Design) -> list[str]:
    return [one.message for one in after.findings if key(one) == key(finding)]


def new(finding: Finding, design: Design) -> bool:
    return key(finding) not in {key(one) for one in design.findings}


def key(finding: Finding) -> tuple[object, ...]:
    return finding.check, finding.where.plate, frozenset(finding.where.shafts), frozenset(finding.where.features)
