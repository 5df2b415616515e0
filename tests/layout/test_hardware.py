"""Screws, washers and nuts as bodies, by hand sums along the axle."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest

from gearplate.catalog import load_catalog, profiles_folder
from gearplate.layout.design import Body, BodyKind
from gearplate.layout.hardware import rail_screw_bodies, screw_bodies
from gearplate.layout.spec import Mount, Side
from gearplate.layout.stack import axial_stack
from tests.builders.specs import drive_spec

CATALOG = load_catalog([profiles_folder()])


def by_kind(bodies: tuple[Body, ...], kind: BodyKind) -> list[Body]:
    return [body for body in bodies if body.kind is kind]


def test_astride_the_rail_a_screw_has_its_head_inboard_and_its_nut_outboard() -> None:
    plain = drive_spec()
    assert plain.rail is not None
    spec = replace(plain, rail=replace(plain.rail, mount=Mount.ASTRIDE))
    stack, screw = axial_stack(spec), plain.rail.screw
    bodies = rail_screw_bodies(spec, stack, 0, (40.0, 5.0))
    (head,), (nut,) = by_kind(bodies, BodyKind.SCREW_HEAD), by_kind(bodies, BodyKind.NUT)
    assert (head.z1_mm, head.radius_mm) == (stack.inboard[0] - screw.washer_thickness_mm, screw.head_diameter_mm / 2)
    assert nut.z0_mm == screw.washer_thickness_mm
    assert nut.z1_mm == pytest.approx(screw.washer_thickness_mm + screw.nut_height_mm + 2 * 25.4 / 32)  # two threads
    assert nut.radius_mm == pytest.approx(screw.nut_across_flats_mm / math.sqrt(3))
    assert by_kind(rail_screw_bodies(plain, axial_stack(plain), 0, (40.0, 5.0)), BodyKind.NUT) == []


@pytest.mark.parametrize("side", list(Side))
def test_screws_through_a_motors_own_flange_have_nuts_behind_it(side: Side) -> None:
    motor = CATALOG.motor("nema-23")
    assert motor.face.thread_depth_mm is None
    spec = drive_spec(motors=1)
    one = replace(spec.motors[0], motor=motor, screw=CATALOG.fastener(motor.face.screw), side=side)
    spec = replace(spec, motors=(one,))
    stack = axial_stack(spec)
    bodies = screw_bodies(spec, stack, one, 0.0)
    nuts = by_kind(bodies, BodyKind.NUT)
    assert len(nuts) == len(by_kind(bodies, BodyKind.SCREW_HEAD)) == one.screws_used
    assert motor.face.flange_thickness_mm is not None
    seat = motor.face.flange_thickness_mm + one.screw.washer_thickness_mm
    for nut in nuts:
        if side is Side.OUTBOARD:
            assert nut.z0_mm == pytest.approx(seat)
        else:
            assert nut.z1_mm == pytest.approx(stack.inboard[0] - seat)
        assert math.hypot(nut.x_mm, nut.y_mm) == pytest.approx(motor.face.bolt_circle_mm / 2)
    assert len({body.name for body in bodies}) == len(bodies)


def test_a_tapped_face_needs_no_nuts() -> None:
    spec = drive_spec(motors=1)
    assert by_kind(screw_bodies(spec, axial_stack(spec), spec.motors[0], 0.0), BodyKind.NUT) == []
