"""Places along z: packed, with room for flanges and heads, first stage beside the motors."""

from __future__ import annotations

import cmath
import math
from dataclasses import replace

import pytest

from gearplate.layout.chain import mesh_needs
from gearplate.layout.spec import Mount, PlateStock, Side
from gearplate.layout.stack import axial_stack, first_stage_side, head_height_mm, heads_need_room, screw_offsets_rad
from tests.builders.specs import drive_spec


def test_the_stack_adds_up() -> None:
    spec = drive_spec()
    stack = axial_stack(spec)
    flange = spec.shafts[0].outboard.bearing.flange.thickness_mm  # type: ignore[union-attr]
    # flange + clearance, two gears with a clearance between, clearance + flange
    assert stack.gap_mm == pytest.approx(2 * (flange + 1.0) + 2 * 12.7 + 1.0)
    assert stack.outboard == (-6.0, 0.0)
    assert stack.inboard[1] == pytest.approx(-6.0 - stack.gap_mm)
    assert stack.rail == (0.0, 38.1)
    assert stack.wheel[0] == pytest.approx(38.1 + spec.wheel.gap_mm)


def test_measured_thickness_moves_the_gears_with_the_plate() -> None:
    spec = drive_spec()
    thick = replace(spec, outboard=PlateStock("acetal-6mm", 6.0, 6.35))
    assert axial_stack(thick).stage_planes[0][1] == pytest.approx(axial_stack(spec).stage_planes[0][1] - 0.35)


def test_first_stage_runs_beside_most_motors() -> None:
    spec = drive_spec(motors=3)
    assert first_stage_side(spec) is Side.OUTBOARD
    turned = replace(spec, motors=tuple(replace(motor, side=Side.INBOARD) for motor in spec.motors))
    assert first_stage_side(turned) is Side.INBOARD
    outboard, inboard = axial_stack(spec), axial_stack(turned)
    assert outboard.stage_planes[0][0] > outboard.stage_planes[1][0]
    assert inboard.stage_planes[0][0] < inboard.stage_planes[1][0]


def test_a_given_gap_is_kept_and_the_wanted_one_told() -> None:
    stack = axial_stack(drive_spec(gap_mm=20.0))
    assert stack.gap_mm == 20.0
    assert stack.wanted_gap_mm > 30.0


def test_astride_the_gap_is_the_rail() -> None:
    spec = drive_spec()
    assert spec.rail is not None
    stack = axial_stack(replace(spec, rail=replace(spec.rail, mount=Mount.ASTRIDE)))
    assert stack.gap_mm == pytest.approx(38.1)
    assert stack.rail == pytest.approx((-44.1, -6.0))


def test_two_opposite_heads_stand_beside_the_gear_four_do_not() -> None:
    spec = drive_spec(motors=1)
    need = mesh_needs(spec)[0]
    motor = spec.motors[0]
    assert not heads_need_room(spec, motor, need)
    four = replace(motor, screws_used=4)
    assert heads_need_room(spec, four, need)
    roomy = axial_stack(replace(spec, motors=(four,)))
    assert -6.0 - roomy.stage_planes[0][1] >= head_height_mm(spec, four) + 1.0 - 1e-9


def test_two_of_four_tapped_holes_are_opposite() -> None:
    motor = replace(drive_spec().motors[0], screws_used=2)
    assert screw_offsets_rad(motor) == pytest.approx((0.0, 3.141592653589793))
    assert len(screw_offsets_rad(replace(motor, screws_used=3))) == 3


def test_heads_find_room_where_one_of_all_turns_by_five_degrees_gives_it() -> None:
    spec = drive_spec(motors=1)
    first = spec.motors[0]
    head = max(first.screw.head_diameter_mm, first.screw.washer_outside_mm if spec.washers else 0.0) / 2.0
    radius = 0.5 * first.motor.face.bolt_circle_mm
    answers = set()
    for tapped, used in ((4, 2), (4, 3), (4, 4), (6, 2), (6, 4), (3, 3)):
        face = replace(first.motor.face, screw_count=tapped)
        motor = replace(first, motor=replace(first.motor, face=face), screws_used=used)
        turns = [[math.radians(turn) + hole for hole in screw_offsets_rad(motor)] for turn in range(0, 360, 5)]
        for teeth in (15, 30, 50, 60, 65, 70, 80, 100, 300):
            need = mesh_needs(drive_spec(motors=1, teeth=(teeth, 32, 60)))[0]
            reach = need.driven.tip_radius_mm + head + spec.clearances.gear_tip_mm
            free = any(all(abs(need.centre_mm - radius * cmath.exp(1j * a)) >= reach for a in turn) for turn in turns)
            assert heads_need_room(spec, motor, need) is not free
            answers.add(free)
    assert answers == {True, False}


def test_a_pinion_over_its_own_screw_heads_gives_them_room() -> None:
    # 32 teeth of diametral pitch 20: tip radius (32 + 2) / 40 in = 21.6 mm; screws on a 48 mm circle, 10 mm washers
    spec = drive_spec(motors=1, pinion=32)
    assert heads_need_room(spec, spec.motors[0], mesh_needs(spec)[0])
