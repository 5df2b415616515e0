"""Which bodies keep apart: gaps by hand, one table for solver and checks."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from gearplate.layout.clearance import gap_between, in_rail_relief, may_meet, overlap_along_z, requirement
from gearplate.layout.design import Body, BodyKind
from gearplate.layout.spec import RailRelief
from tests.builders.specs import drive_spec

SPEC = drive_spec()


def disc(kind: BodyKind, x: float = 0.0, r: float = 5.0, z: tuple[float, float] = (0.0, 5.0), **more: str) -> Body:
    return Body(more.get("name", kind.value), kind, more.get("shaft"), x, 0.0, r, *z, group=more.get("group", ""))


def test_gap_of_two_discs() -> None:
    assert gap_between(disc(BodyKind.MOTOR), disc(BodyKind.MOTOR, x=12.0)) == pytest.approx(2.0)
    assert gap_between(disc(BodyKind.MOTOR), disc(BodyKind.MOTOR, x=7.0)) == pytest.approx(-3.0)


@given(st.floats(-40, 40), st.floats(-40, 40))
def test_gap_to_a_box_is_that_of_its_nearest_point(x: float, y: float) -> None:
    box = Body("box", BodyKind.KEEP_OUT, None, 0.0, 0.0, 0.0, 0.0, 1.0, box=(-10.0, -5.0, 10.0, 5.0))
    body = Body("disc", BodyKind.MOTOR, None, x, y, 3.0, 0.0, 1.0)
    edge = [
        (px, py)
        for t in range(401)
        for px, py in ((-10 + t / 20, -5), (-10 + t / 20, 5), (-10, -5 + t / 40), (10, -5 + t / 40))
    ]
    nearest = min(math.hypot(px - x, py - y) for px, py in edge)
    inside = abs(x) < 10 and abs(y) < 5
    assert gap_between(body, box) == pytest.approx((-nearest if inside else nearest) - 3.0, abs=0.03)
    assert gap_between(box, body) == gap_between(body, box)


def test_motor_keeps_the_wheel_clearance_that_the_job_sets() -> None:
    need = requirement(disc(BodyKind.MOTOR), disc(BodyKind.WHEEL), SPEC)
    assert need is not None
    assert (need.check, need.gap_mm, need.hard) == ("motor-to-wheel", SPEC.wheel.clear_mm, True)


@pytest.mark.parametrize(
    ("other", "check"),
    [
        (BodyKind.GEAR, "gear-to-gear"),
        (BodyKind.SHAFT, "gear-to-shaft"),
        (BodyKind.RAIL, "gear-to-rail"),
        (BodyKind.MOTOR, "gear-to-body"),
        (BodyKind.SCREW_HEAD, "hardware-clearance"),
        (BodyKind.STANDOFF, "standoff-clearance"),
        (BodyKind.KEEP_OUT, "keep-out"),
    ],
)
def test_a_gear_keeps_off_everything(other: BodyKind, check: str) -> None:
    need = requirement(disc(BodyKind.GEAR), disc(other), SPEC)
    assert need is not None
    assert need.check == check
    assert requirement(disc(other), disc(BodyKind.GEAR), SPEC) == need


def test_a_gear_keeps_its_axial_clearance_to_what_stands_still() -> None:
    gear = disc(BodyKind.GEAR, z=(0.0, 10.0))
    assert overlap_along_z(gear, disc(BodyKind.FLANGE, z=(10.5, 12.0), shaft="S1"), SPEC)
    assert not overlap_along_z(gear, disc(BodyKind.FLANGE, z=(11.0, 12.0), shaft="S1"), SPEC)
    assert not overlap_along_z(gear, disc(BodyKind.GEAR, z=(10.5, 20.0)), SPEC)


def test_bodies_on_one_axis_or_in_one_group_may_meet() -> None:
    assert may_meet(disc(BodyKind.GEAR, shaft="S1"), disc(BodyKind.SHAFT, shaft="S1"), set())
    assert may_meet(disc(BodyKind.MOTOR, group="M1"), disc(BodyKind.SCREW_HEAD, x=9.0, group="M1"), set())
    assert not may_meet(disc(BodyKind.GEAR, shaft="M1"), disc(BodyKind.SCREW_HEAD, x=9.0, shaft="M1"), set())
    assert may_meet(disc(BodyKind.GEAR, name="a"), disc(BodyKind.GEAR, name="b"), {frozenset(("a", "b"))})


def test_a_relief_hole_must_hold_the_whole_body() -> None:
    assert SPEC.rail is not None
    radius = 0.5 * SPEC.rail.axle_hole_mm
    at = {"output": (0.0, 0.0), "S1": (60.0, 0.0)}
    assert in_rail_relief(disc(BodyKind.BEARING, r=radius), SPEC, at)
    assert not in_rail_relief(disc(BodyKind.BEARING, r=radius + 1e-6), SPEC, at)
    assert not in_rail_relief(disc(BodyKind.BEARING, x=60.0), SPEC, at)
    from dataclasses import replace

    relieved = replace(SPEC, rail=replace(SPEC.rail, reliefs=(RailRelief(0.0, 0.0, 11.0, "S1"),)))
    assert in_rail_relief(disc(BodyKind.BEARING, x=60.0), relieved, at)


@pytest.mark.parametrize(("gap", "meets"), [(0.9, True), (1.1, False)])
def test_a_wheel_keeps_the_axial_clearance_to_heads_beside_it(gap: float, meets: bool) -> None:
    head = disc(BodyKind.SCREW_HEAD, z=(0.0, 5.0))
    wheel = disc(BodyKind.WHEEL, z=(5.0 + gap, 30.0), shaft="output")
    assert SPEC.clearances.axial_mm == 1.0
    assert overlap_along_z(head, wheel, SPEC) is meets
    assert overlap_along_z(wheel, head, SPEC) is meets
