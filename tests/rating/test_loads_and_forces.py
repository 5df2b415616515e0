"""Loads and mesh forces of placed drives: energy, moments about each axis, and Newton's third law."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest

from gearplate.catalog.motors import MotorCurve
from gearplate.layout.spec import Role
from gearplate.rating.duty import Duty
from gearplate.rating.forces import forward_turn, mesh_forces, pushes_on
from gearplate.rating.loads import RuledBy, drive_loads, grip_torque_n_mm, motor_ratio
from tests.builders.designs import design

NAMES = ["compost-drive", "barrow-idler", "every-key"]


def test_the_least_of_three_limits_rules():
    spec = design("compost-drive").spec
    grip = drive_loads(spec, Duty())
    assert grip.ruled_by is RuledBy.GRIP
    assert grip.output_n_mm == pytest.approx(1.1 * 45 * 9.80665 / 2 * 50.8)
    heavy = drive_loads(spec, Duty(mass_kg=500.0))
    assert heavy.ruled_by is RuledBy.BREAKER
    curve = spec.motors[0].motor.curve
    at_breaker = curve.stall_torque_n_m * (80 - curve.free_current_a) / (curve.stall_current_a - curve.free_current_a)
    assert heavy.output_n_mm == pytest.approx(3 * 1000 * at_breaker * 11.25 * 0.96**2)
    assert heavy.motors[0].current_a == pytest.approx(80.0)
    stalled = drive_loads(spec, Duty(mass_kg=500.0, breaker_a=400.0))
    assert stalled.ruled_by is RuledBy.STALL
    assert stalled.motors[0].speed_rpm == pytest.approx(0.0)


@pytest.mark.parametrize("name", NAMES)
def test_power_in_is_power_out_and_losses(name):
    spec, duty = design(name).spec, Duty()
    loads = drive_loads(spec, duty)
    given = sum(
        load.torque_n_mm * motor_ratio(spec, motor) for load, motor in zip(loads.motors, spec.motors, strict=True)
    )
    assert given * duty.stage_efficiency ** len(spec.train.stages) == pytest.approx(loads.output_n_mm)


def test_a_motor_without_a_curve_pushes_as_hard_as_the_wheels_grip():
    spec = design("compost-drive").spec
    blind = replace(spec, motors=tuple(replace(m, motor=replace(m.motor, curve=None)) for m in spec.motors))
    loads = drive_loads(blind, Duty())
    assert loads.ruled_by is RuledBy.GRIP
    assert loads.output_n_mm == grip_torque_n_mm(blind, Duty())
    assert loads.free_output_rpm is None
    assert not any(motor.known for motor in loads.motors)
    assert loads.motors[0].torque_n_mm == pytest.approx(drive_loads(spec, Duty()).motors[0].torque_n_mm)


def test_unlike_motors_share_by_what_they_have():
    spec = design("compost-drive").spec
    weak = MotorCurve(12.0, 6000.0, 0.254, 14.0, 0.35)
    first = replace(spec.motors[0], motor=replace(spec.motors[0].motor, curve=weak))
    loads = drive_loads(replace(spec, motors=(first, *spec.motors[1:])), Duty())
    assert loads.motors[0].torque_n_mm < loads.motors[1].torque_n_mm / 3
    assert loads.output_n_mm == pytest.approx(grip_torque_n_mm(spec, Duty()))


@pytest.mark.parametrize("sense", [1, -1])
@pytest.mark.parametrize("name", NAMES)
def test_forces_turn_each_gear_as_they_should(name, sense):
    """The force at the pitch point, times its arm about either axis, is that gear's torque, in sign and size."""
    made = design(name)
    loads = drive_loads(made.spec, Duty())
    for force in mesh_forces(made.layout, loads, sense):
        a, b = (made.layout.shaft(gear.shaft) for gear in (force.mesh.driver, force.mesh.driven))
        z1, z2 = force.mesh.driver.gear.teeth, force.mesh.driven.gear.teeth
        share = z1 / (z1 + z2)
        px, py = a.x_mm + share * (b.x_mm - a.x_mm), a.y_mm + share * (b.y_mm - a.y_mm)
        on_driven = (px - b.x_mm) * force.y_n - (py - b.y_mm) * force.x_n
        on_driver = -((px - a.x_mm) * force.y_n - (py - a.y_mm) * force.x_n)
        assert on_driver == pytest.approx(-force.driver_turns * force.torque_n_mm, rel=1e-6)
        assert on_driven == pytest.approx(-force.driver_turns * force.torque_n_mm * z2 / z1, rel=1e-6)
        assert math.hypot(force.x_n, force.y_n) == pytest.approx(force.whole_n)
        # the flanks only push: the driven gear is driven away from the driver
        assert force.x_n * (b.x_mm - a.x_mm) + force.y_n * (b.y_mm - a.y_mm) > 0
        assert force.face_mm == pytest.approx(12.7)


def test_forward_rolls_the_wheel_toward_x():
    """Seen from the wheel's side with y up, a wheel that rolls toward x turns clockwise."""
    layout = design("compost-drive").layout
    assert forward_turn("output", layout) == -1
    assert forward_turn("S1", layout) == 1
    assert forward_turn("M1", layout) == -1
    assert forward_turn("I1", design("barrow-idler").layout) == 1


def test_an_idler_in_line_carries_twice_the_tangential_force():
    made = design("barrow-idler")
    forces = mesh_forces(made.layout, drive_loads(made.spec, Duty()))
    assert forces[0].whole_n == pytest.approx(forces[1].whole_n)
    straight = made.layout
    places = {"M1": (-200.0, 0.0), "I1": (-100.0, 0.0), "output": (0.0, 0.0)}
    moved = tuple(replace(s, x_mm=places[s.name][0], y_mm=places[s.name][1]) for s in straight.shafts)
    inline = mesh_forces(replace(straight, shafts=moved), drive_loads(made.spec, Duty()))
    push = pushes_on("I1", inline)
    assert sum(p.torque_n_mm for p in push) == pytest.approx(0.0, abs=1e-6)
    assert abs(sum(p.y_n for p in push)) == pytest.approx(inline[0].tangential_n + inline[1].tangential_n)


def test_torques_on_an_intermediate_shaft_differ_by_the_losses_alone():
    made = design("compost-drive")
    push = pushes_on("S1", mesh_forces(made.layout, drive_loads(made.spec, Duty(stage_efficiency=1.0))))
    assert len(push) == 4
    assert sum(p.torque_n_mm for p in push) == pytest.approx(0.0, abs=1e-6)
    assert all(s.role is not Role.MOTOR or pushes_on(s.name, ()) == () for s in made.layout.shafts)
