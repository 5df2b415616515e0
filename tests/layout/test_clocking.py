"""Motors are turned so that heads clear and screws stay in reach."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest

from gearplate.errors import NoSolution
from gearplate.job.load import load_job
from gearplate.layout.design import BodyKind
from gearplate.layout.hardware import screw_places
from gearplate.layout.misses import nearest_miss
from gearplate.layout.service import (
    access_diameter_mm,
    blockers,
    in_the_path,
    path_z_mm,
    reachable_screws,
    screws_reached,
)
from gearplate.layout.solve import solve_layout
from gearplate.layout.spec import LayoutSpec, Side
from tests.builders.designs import JOBS, design
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


def _clocked(clocking_deg: float, count: int) -> LayoutSpec:
    sets = [f"motors.clocking={clocking_deg}", f"motors.count={count}"]
    return load_job("compost-drive", sets=sets).layout_spec


def test_the_search_turns_no_motor_whose_clocking_is_given_and_keeps_its_screws_clear() -> None:
    spec = _clocked(90.0, 2)
    layout = solve_layout(spec, quick=True)
    assert dict(layout.clocking_rad) == {"M1": pytest.approx(math.pi / 2), "M2": pytest.approx(math.pi / 2)}
    assert nearest_miss(spec, layout) == ()


def test_where_no_place_keeps_given_screws_off_the_gear_that_is_said_not_taken_for_a_fault_of_ours() -> None:
    """72 teeth reach 46.99 mm from S1, a head is 4.36 mm in radius and keeps 1 mm off: on a circle of 24 mm round one
    54 mm off (law of cosines) its direction is 73 degrees or more off that of S1. At one clocking two motors then
    stand within 34 degrees of each other, where they overlap, or on either side of S1, one of them in the rail."""
    with pytest.raises(NoSolution, match="screw"):
        solve_layout(_clocked(20.0, 2))


@pytest.mark.parametrize("name", JOBS)
def test_many_turns_at_once_reach_as_many_screws_as_one_by_one(name: str) -> None:
    made = design(name)
    layout, spec = made.layout, made.spec
    turns = np.linspace(0.0, 2.0 * math.pi, 37)
    blocked = 0
    for motor in spec.motors:
        at = layout.shaft(motor.name)
        places = np.array([[(at.x_mm + dx, at.y_mm + dy) for dx, dy in screw_places(motor, turn)] for turn in turns])
        way = in_the_path(spec, layout.stack, motor, layout.bodies)
        one_by_one = [
            reachable_screws(spec, layout.stack, motor, (at.x_mm, at.y_mm), turn, layout.bodies) for turn in turns
        ]
        assert screws_reached(motor, places, way) == one_by_one
        blocked += sum(motor.screws_used - count for count in one_by_one)
    assert blocked > 0
