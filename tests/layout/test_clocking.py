"""Motors are turned so that heads clear and screws stay in reach."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest

from gearplate.layout.design import BodyKind
from gearplate.layout.hardware import screw_places
from gearplate.layout.service import access_diameter_mm, blockers, path_z_mm, reachable_screws
from gearplate.layout.solve import solve_layout
from gearplate.layout.spec import Side
from tests.builders.specs import drive_spec


def test_a_given_clocking_is_kept() -> None:
    spec = drive_spec(motors=1)
    spec = replace(spec, motors=(replace(spec.motors[0], clocking_rad=0.3),))
    assert dict(solve_layout(spec).clocking_rad)["M1"] == 0.3


def test_heads_clear_the_gear_that_the_pinion_drives() -> None:
    spec = drive_spec(motors=1)
    layout = solve_layout(spec)
    s1, m1 = layout.shaft("S1"), layout.shaft("M1")
    gear = next(g for g in layout.gears if g.shaft == "S1" and g.stage == 1)
    for dx, dy in screw_places(spec.motors[0], dict(layout.clocking_rad)["M1"]):
        away = math.hypot(m1.x_mm + dx - s1.x_mm, m1.y_mm + dy - s1.y_mm)
        assert away >= gear.tip_diameter_mm / 2 + spec.motors[0].screw.washer_outside_mm / 2 + 1.0 - 1e-9


@pytest.mark.parametrize("motors", [1, 2, 3])
def test_an_ordinary_drive_leaves_its_screws_in_reach(motors: int) -> None:
    spec = drive_spec(motors=motors)
    layout = solve_layout(spec)
    clocking = dict(layout.clocking_rad)
    for motor in spec.motors:
        at = layout.shaft(motor.name)
        assert reachable_screws(spec, layout.stack, motor, (at.x_mm, at.y_mm), clocking[motor.name], layout.bodies) >= 1


def test_a_gear_across_the_path_blocks_the_driver() -> None:
    spec = drive_spec(motors=1)
    layout = solve_layout(spec)
    s1 = layout.shaft("S1")
    found = blockers(spec, layout.stack, spec.motors[0], (s1.x_mm + 20.0, s1.y_mm), layout.bodies)
    assert any("72T" in body.name for body in found)


def test_the_driver_comes_from_the_side_away_from_the_motor() -> None:
    spec = drive_spec(motors=1)
    stack = solve_layout(spec).stack
    motor = spec.motors[0]
    assert path_z_mm(spec, stack, motor)[0] == -math.inf
    assert path_z_mm(spec, stack, replace(motor, side=Side.INBOARD))[1] == math.inf
    assert access_diameter_mm(motor) > motor.screw.head_diameter_mm


def test_the_wheel_does_not_bar_a_driver_because_it_comes_off_first() -> None:
    spec = drive_spec(motors=1, wheel_mm=300.0)
    inboard = replace(spec.motors[0], side=Side.INBOARD)
    spec = replace(spec, motors=(inboard,), rail=None, wheel=replace(spec.wheel, gap_mm=20.0))
    layout = solve_layout(spec)
    wheel = [body for body in layout.bodies if body.kind is BodyKind.WHEEL]
    assert wheel
    assert blockers(spec, layout.stack, inboard, (0.0, 30.0), wheel) == ()
