"""Bodies: one for every part, where the stack says."""

from __future__ import annotations

import itertools
from dataclasses import replace

import pytest

from gearplate.catalog import load_catalog, profiles_folder
from gearplate.layout.axial.shaft_stack import shaft_plan
from gearplate.layout.bodies import (
    fixed_bodies,
    gears_on_shafts,
    motor_bodies,
    shaft_bodies,
    shaft_z_mm,
)
from gearplate.layout.design import BodyKind
from gearplate.layout.solve import solve_layout
from gearplate.layout.spec import KeepOut, Place, Side
from gearplate.layout.stack import axial_stack
from tests.builders.specs import drive_spec

SPEC = drive_spec(motors=2)
STACK = axial_stack(SPEC)
GEARS = gears_on_shafts(SPEC, STACK)


def test_each_gear_stands_once_in_the_middle_of_its_plane() -> None:
    assert sorted((gear.shaft, gear.stage) for gear in GEARS) == [
        ("M1", 1), ("M2", 1), ("S1", 1), ("S1", 2), ("output", 2)
    ]  # fmt: skip
    for gear in GEARS:
        z0, z1 = STACK.stage_planes[gear.stage - 1]
        assert gear.z0_mm + gear.z1_mm == pytest.approx(z0 + z1)


def test_a_shaft_is_filled_with_gears_and_spacers_from_plate_to_plate() -> None:
    bodies = shaft_bodies(SPEC, STACK, GEARS, SPEC.shaft("S1"))
    run = sorted((body.z0_mm, body.z1_mm) for body in bodies if body.kind in (BodyKind.GEAR, BodyKind.SPACER))
    assert run[0][0] == pytest.approx(STACK.inboard[1])
    assert run[-1][1] == pytest.approx(STACK.outboard[0])
    assert all(before[1] == pytest.approx(after[0]) for before, after in itertools.pairwise(run))


def test_a_hexagon_takes_the_room_of_its_corners() -> None:
    shaft = shaft_bodies(SPEC, STACK, GEARS, SPEC.shaft("S1"))[0]
    assert 2 * shaft.radius_mm == pytest.approx(12.7 * 2 / 3**0.5)  # across corners = 2 / sqrt(3) across flats


def test_flanges_stand_in_the_gap_and_rings_go_through_the_plate() -> None:
    bodies = {body.name: body for body in shaft_bodies(SPEC, STACK, GEARS, SPEC.shaft("S1"))}
    flange = bodies["S1 outboard bearing flange"]
    ring = bodies["S1 outboard bearing"]
    assert flange.z1_mm == pytest.approx(STACK.outboard[0])
    assert ring.z0_mm == pytest.approx(STACK.outboard[0])
    assert ring.z1_mm == pytest.approx(STACK.outboard[0] + SPEC.shaft("S1").outboard.bearing.seat_width_mm)  # type: ignore[union-attr]


def test_pressed_from_outside_the_flange_stands_outside() -> None:
    shaft = SPEC.shaft("S1")
    assert shaft.outboard is not None
    turned = replace(shaft, outboard=replace(shaft.outboard, pressed_from_gap=False))
    flange = next(b for b in shaft_bodies(SPEC, STACK, GEARS, turned) if b.name == "S1 outboard bearing flange")
    assert flange.z0_mm == pytest.approx(0.0)


def test_a_motor_points_into_the_gap_from_its_own_side() -> None:
    motor = SPEC.motors[0]
    outboard = {body.kind: body for body in motor_bodies(SPEC, STACK, GEARS, motor)}
    assert outboard[BodyKind.MOTOR].z0_mm == 0.0
    assert outboard[BodyKind.MOTOR_SHAFT].z1_mm == 0.0
    inboard = {body.kind: body for body in motor_bodies(SPEC, STACK, GEARS, replace(motor, side=Side.INBOARD))}
    assert inboard[BodyKind.MOTOR].z1_mm == pytest.approx(STACK.inboard[0])
    assert inboard[BodyKind.MOTOR_SHAFT].z0_mm == pytest.approx(STACK.inboard[0])


def test_the_output_runs_through_rail_and_wheel() -> None:
    z0, z1 = shaft_z_mm(SPEC, STACK, SPEC.shaft("output"))
    assert z0 < STACK.inboard[0]
    assert z1 > STACK.wheel[1]


def test_keep_outs_are_bodies_of_their_own() -> None:
    spec = replace(
        SPEC,
        keep_outs=(
            KeepOut("post", 0.0, -10.0, disc=(1.0, 2.0, 3.0)),
            KeepOut("tray", 0.0, 5.0, box=(4.0, 5.0, 1.0, 2.0)),
        ),
    )
    post, tray = (body for body in fixed_bodies(spec, STACK) if body.kind is BodyKind.KEEP_OUT)
    assert (post.z0_mm, post.z1_mm, post.radius_mm) == (-10.0, 0.0, 3.0)
    assert tray.box == (1.0, 2.0, 4.0, 5.0)


def test_a_bearing_hardly_wider_than_its_plate_is_flush() -> None:
    # 5/16 in less a flange of 0.062 in is 6.363 mm; a quarter of an inch is 6.35
    for thickness, proud in ((6.35, 0.0), (6.42, 0.0), (6.0, 6.3627 - 6.0)):
        spec = replace(SPEC, outboard=replace(SPEC.outboard, nominal_mm=thickness))
        stack = axial_stack(spec)
        ring = next(
            body
            for body in shaft_bodies(spec, stack, gears_on_shafts(spec, stack), spec.shaft("S1"))
            if body.name == "S1 outboard bearing"
        )
        assert max(ring.z1_mm, 0.0) == pytest.approx(proud, abs=1e-4)


def test_a_collar_lengthens_the_axle_as_far_as_it_is_cut() -> None:
    """Held against the axial plan, which works the ends out part by part."""
    catalog = load_catalog([profiles_folder()])
    layout = solve_layout(drive_spec(motors=1, places={"S1": Place(1.57), "M1": Place(1.0)}))
    shaft = SPEC.shaft("output")
    ends = {}
    for held in (row for row in catalog.retainers().values() if row.section == shaft.stock.section):
        own = replace(shaft, held_by=held, spacer_diameter_mm=17.5)
        spec = replace(SPEC, shafts=(SPEC.shaft("S1"), own))
        z0, z1 = shaft_z_mm(spec, layout.stack, own)
        plan = shaft_plan(spec, layout, own)
        plate, wheel = layout.stack.inboard[0] - 6.0, layout.stack.wheel[1] + 6.0
        assert (z0, z1) == pytest.approx((min(plan.z0_mm, plate), max(plan.z1_mm, wheel)))
        ends[held.kind] = z1 - layout.stack.wheel[1]
    assert ends["collar"] > 6.0 + 1.0 > ends["ring"]
