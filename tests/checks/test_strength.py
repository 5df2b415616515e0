"""Strength under the job's own duty: silent without one, a margin of 1 and a hair beside it, equal motors told once."""

from __future__ import annotations

from dataclasses import replace

import pytest

from gearplate.checks.rules.strength import RULES
from gearplate.checks.run import run_rules
from gearplate.finding import Severity
from gearplate.job.load import load_job
from tests.builders.subjects import FAIR, fair_unchanged, subject_of

STRENGTH, LIFE = RULES


def with_duty(**duty: object):
    return subject_of(load_job(FAIR).changed({"duty": duty}))


def test_nothing_is_said_where_the_job_says_no_mass() -> None:
    assert run_rules(fair_unchanged(), RULES).findings == ()
    assert STRENGTH.check(fair_unchanged()).compared == 0
    assert with_duty(friction=1.0).ratings is None


def test_every_rating_that_rules_is_compared() -> None:
    subject = with_duty(mass=20)
    ruling = [one for one in subject.ratings.items if one.rules and one.kind.value == "strength"]
    outcome = STRENGTH.check(subject)
    assert outcome.compared == len(ruling) > 20
    assert outcome.findings == ()
    assert LIFE.check(subject).compared == 0  # no rating of its bearings is known


@pytest.mark.parametrize(("share", "count"), [(1.001, 0), (0.999, 1)])
def test_at_the_limit(share: float, count: int) -> None:
    subject = with_duty(mass=45)
    ratings = subject.ratings
    weakest = replace(ratings.weakest, margin=share)
    others = tuple(one for one in ratings.items if one is not ratings.weakest)
    subject.__dict__["ratings"] = replace(ratings, items=(weakest, *others))
    findings = STRENGTH.check(subject).findings
    assert len(findings) == count
    assert all(one.severity is Severity.WARNING and one.remedy for one in findings)


def test_equal_motors_are_told_once() -> None:
    subject = with_duty(mass=45)
    ratings = subject.ratings
    weak = tuple(
        replace(one, margin=0.5)
        for one in ratings.items
        if one.part in ("M1 screws, M5 across", "M2 screws, M5 across")
    )
    assert len(weak) == 2
    subject.__dict__["ratings"] = replace(ratings, items=weak)
    (finding,) = STRENGTH.check(subject).findings
    assert finding.message.startswith("M1 and M2 screws, M5 across")


@pytest.mark.parametrize(
    ("part", "word"),
    [("pressed into the sheet", "washers"), ("screws, M5 pulled", "screws"), ("bearing stress", "thicker plate"),
     ("tear-out", "plates.margin"), ("flanks", "wider face"), ("output shaft", "Stronger bar")],
)  # fmt: skip
def test_what_is_told_to_do_fits_what_gives_way(part: str, word: str) -> None:
    subject = with_duty(mass=45)
    ratings = subject.ratings
    weak = next(replace(one, margin=0.5) for one in ratings.items if part in one.part and one.rules)
    subject.__dict__["ratings"] = replace(ratings, items=(weak,))
    (finding,) = STRENGTH.check(subject).findings
    assert word in finding.remedy.text
