"""Which holes which plate gets."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest

from gearplate.layout.bodies import gears_on_shafts
from gearplate.layout.design import Hole, HoleKind
from gearplate.layout.holes import layout_holes, line_of_centres_rad
from gearplate.layout.spec import CarriedBy, LayoutSpec, Side
from gearplate.layout.stack import axial_stack
from tests.builders.specs import drive_spec

AT = {"output": (0.0, 0.0), "S1": (0.0, 58.0), "M1": (0.0, 112.0)}


def holes(spec: LayoutSpec) -> dict[tuple[str, Side], Hole]:
    stack = axial_stack(spec)
    found = layout_holes(spec, stack, gears_on_shafts(spec, stack), AT, {"M1": 0.0}, ((30.0, 60.0),), ((50.0, 0.0),))
    return {(hole.id, hole.side): hole for hole in found}


def test_bearings_in_both_plates_pilot_and_screws_in_the_motors_own() -> None:
    table = holes(drive_spec(motors=1))
    for side in Side:
        assert table["S1-bore", side].kind is HoleKind.BEARING_BORE
        assert table["S1-bore", side].part_diameter_mm == pytest.approx(28.575)  # R8: 1-1/8 in (ABMA inch series)
        assert table["standoff-1", side].part_diameter_mm == pytest.approx(0.221 * 25.4)  # #10 normal, ASME B18.2.8
        assert ("rail-1", side) in table
    assert table["M1-pilot", Side.OUTBOARD].part_diameter_mm == 20.0
    assert table["M1-screw-1", Side.OUTBOARD].part_diameter_mm == 5.5  # M5 medium, ISO 273
    assert ("M1-pilot", Side.INBOARD) not in table


def test_a_motor_shaft_that_reaches_the_far_plate_gets_room_there() -> None:
    table = holes(drive_spec(motors=1))
    assert table["M1-shaft", Side.INBOARD].part_diameter_mm == pytest.approx(8.0 + 2.0)
    spec = drive_spec(motors=1)
    short = replace(spec.motors[0], motor=replace(spec.motors[0].motor, shaft_length_mm=25.0))
    assert ("M1-shaft", Side.INBOARD) not in holes(replace(spec, motors=(short,)))


def test_slots_lie_along_the_line_of_centres_and_the_pilot_is_opened_as_far() -> None:
    spec = drive_spec(motors=1)
    table = holes(replace(spec, motors=(replace(spec.motors[0], slot_travel_mm=0.5),)))
    pilot, screw = table["M1-pilot", Side.OUTBOARD], table["M1-screw-1", Side.OUTBOARD]
    assert pilot.slot_length_mm == screw.slot_length_mm == 1.0
    assert pilot.angle_rad == pytest.approx(-math.pi / 2)
    assert line_of_centres_rad(spec, "M1", AT) == pytest.approx(-math.pi / 2)


def test_an_axle_in_blocks_passes_the_plates_with_room() -> None:
    table = holes(replace(drive_spec(motors=1), carried_by=CarriedBy.BLOCKS))
    hole = table["output-bore", Side.OUTBOARD]
    assert hole.kind is HoleKind.SHAFT_CLEARANCE
    assert hole.part_diameter_mm == pytest.approx(12.7 * 2 / 3**0.5 + 2.0)


def test_a_fixed_shaft_is_held_by_its_own_hole() -> None:
    spec = drive_spec(motors=1)
    fixed = replace(spec.shafts[1], turns=False, outboard=None, inboard=None, fit_mm=-0.02)
    hole = holes(replace(spec, shafts=(spec.shafts[0], fixed)))["S1-bore", Side.INBOARD]
    assert (hole.kind, hole.fit_mm) == (HoleKind.SHAFT_CLEARANCE, -0.02)


def test_a_motor_in_slots_takes_its_shaft_along_in_the_far_plate_too() -> None:
    spec = drive_spec(motors=1)
    table = holes(replace(spec, motors=(replace(spec.motors[0], slot_travel_mm=1.5),)))
    assert table["M1-pilot", Side.OUTBOARD].slot_length_mm == pytest.approx(3.0)
    assert table["M1-shaft", Side.INBOARD].part_diameter_mm == pytest.approx(8.0 + 2.0 + 3.0)
