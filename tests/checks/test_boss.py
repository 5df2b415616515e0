"""A motor's pilot boss before its own pinion: at the limit, a micrometre under and over."""

from __future__ import annotations

from dataclasses import replace

import pytest

from gearplate.checks.subject import Subject
from gearplate.finding import Severity
from gearplate.layout.design import BodyKind
from tests.builders.subjects import fair_unchanged, run, severities

W, E = Severity.WARNING, Severity.ERROR


def with_room(left_mm: float) -> Subject:
    """The fair drive with bosses that end so far before the pinions: plate 6 mm, flange 1.5748 mm and 1 mm of room."""
    subject = fair_unchanged()
    spec, height = subject.layout_spec, 6.0 + 1.5748 + 1.0 - left_mm
    motors = tuple(
        replace(one, motor=replace(one.motor, face=replace(one.motor.face, pilot_height_mm=height)))
        for one in spec.motors
    )
    return replace(subject, layout_spec=replace(spec, motors=motors))


@pytest.mark.parametrize(
    ("left_mm", "expected"),
    [(1.001, []), (1.0, []), (0.999, [W]), (0.001, [W]), (-0.001, [E])],
)
def test_room_before_the_pinion(left_mm: float, expected: list[Severity]) -> None:
    assert severities("gear-to-body", with_room(left_mm)) == expected


def test_one_that_meets_the_driven_gear_too_is_told_there() -> None:
    subject = with_room(-0.5)
    low = subject.layout.gears[0].z0_mm
    bodies = tuple(replace(body, z0_mm=low) if body.kind is BodyKind.PILOT else body for body in subject.layout.bodies)
    reached = replace(subject, layout=replace(subject.layout, bodies=bodies))
    findings = run("gear-to-body", reached).findings
    assert [finding.where.shafts[0] for finding in findings] == ["M1", "M2"]
    assert all("S1 72T" in finding.message for finding in findings)
