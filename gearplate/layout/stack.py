"""The small axial stack: where plates, gear planes, rail and wheel stand along z.

z points toward the wheel; z = 0 is the outer face of the outboard plate. The first stage runs next to the plate that
carries most motors (the outboard one where they are equal), so that motor shafts can be short; the others follow.
"""

from __future__ import annotations

import math
from functools import cache

from gearplate.gears.spec import GearSpec
from gearplate.layout.chain import MeshNeed, mesh_needs
from gearplate.layout.design import Stack
from gearplate.layout.spec import BearingSeat, LayoutSpec, MotorSpec, Mount, Side


def tip_radius_mm(gear: GearSpec) -> float:
    """Radius of the tip circle, mm."""
    return gear.tip_radius_mm


def flange_room_mm(spec: LayoutSpec, side: Side) -> float:
    """How far the thickest bearing flange (or an unflanged bearing's proud end) stands into the gap."""
    room = 0.0
    for shaft in spec.shafts:
        seat = shaft.seat(side)
        if seat is not None:
            room = max(room, seat_room_mm(seat, spec.stock(side).used_mm))
    return room


def seat_room_mm(seat: BearingSeat, thickness_mm: float) -> float:
    """How far one bearing stands into the gap beyond the plate's face."""
    if seat.pressed_from_gap:
        return seat.bearing.flange.thickness_mm if seat.bearing.flange else 0.0
    return max(0.0, seat.bearing.seat_width_mm - thickness_mm)


def head_height_mm(spec: LayoutSpec, motor: MotorSpec) -> float:
    """Height of a motor screw's head with its washer."""
    screw = motor.screw
    return screw.head_height_mm + (screw.washer_thickness_mm if spec.washers else 0.0)


def heads_need_room(spec: LayoutSpec, motor: MotorSpec, need: MeshNeed) -> bool:
    """True where no clocking keeps all of a motor's used screw heads beside its pinion and the gear that it drives."""
    screw_radius = 0.5 * motor.motor.face.bolt_circle_mm
    head = 0.5 * max(motor.screw.head_diameter_mm, motor.screw.washer_outside_mm if spec.washers else 0.0)
    if tip_radius_mm(need.driver) + head + spec.clearances.gear_tip_mm > screw_radius:
        return True
    reach = tip_radius_mm(need.driven) + head + spec.clearances.gear_tip_mm
    away = _nearest_screw_rad(motor.motor.face.screw_count, motor.screws_used)
    return math.hypot(need.centre_mm - screw_radius * math.cos(away), screw_radius * math.sin(away)) < reach


def screw_offsets_rad(motor: MotorSpec) -> tuple[float, ...]:
    """Directions of the used screw holes from the first one: spread as evenly as the tapped holes allow."""
    return _offsets_rad(motor.motor.face.screw_count, motor.screws_used)


@cache
def _offsets_rad(tapped: int, used: int) -> tuple[float, ...]:
    return tuple(2.0 * math.pi * ((index * tapped) // used) / tapped for index in range(used))


@cache
def _nearest_screw_rad(tapped: int, used: int) -> float:
    """The angle from the line of centres of the used screw nearest to it, where a motor is turned (in steps of 5
    degrees) so that this is as large as can be."""
    offsets = _offsets_rad(tapped, used)
    turns = [step * math.pi / 36 for step in range(72)]
    return math.acos(min(max(math.cos(turn + offset) for offset in offsets) for turn in turns))


def first_stage_side(spec: LayoutSpec) -> Side:
    """The plate that the first stage runs next to."""
    inboard = sum(motor.side is Side.INBOARD for motor in spec.motors)
    return Side.INBOARD if 2 * inboard > len(spec.motors) else Side.OUTBOARD


def _planes(widths: list[float], axial: float, top: float, bottom: float, first: Side) -> list[tuple[float, float]]:
    """z0, z1 of each stage, packed from the plate that the first stage runs next to."""
    planes = []
    for width in widths:
        if first is Side.OUTBOARD:
            planes.append((top - width, top))
            top -= width + axial
        else:
            planes.append((bottom, bottom + width))
            bottom += width + axial
    return planes


def axial_stack(spec: LayoutSpec) -> Stack:
    """Lay plates, gear planes, rail and wheel out along z."""
    axial = spec.clearances.axial_mm
    needs = mesh_needs(spec)
    widths = [
        max(max(need.driver.face_width_mm, need.driven.face_width_mm) for need in needs if need.stage == number + 1)
        for number in range(len(spec.train.stages))
    ]
    room = {side: flange_room_mm(spec, side) + axial for side in Side}
    first = first_stage_side(spec)
    for need in needs:
        for motor in spec.motors:
            beside = need.stage == 1 and (motor.side is first or len(widths) == 1)
            if need.driver_shaft == motor.name and beside and heads_need_room(spec, motor, need):
                room[motor.side] = max(room[motor.side], head_height_mm(spec, motor) + axial)
    wanted = room[Side.OUTBOARD] + sum(widths) + axial * (len(widths) - 1) + room[Side.INBOARD]
    gap = wanted if spec.gap_mm is None else spec.gap_mm
    if spec.rail is not None and spec.rail.mount is Mount.ASTRIDE and spec.gap_mm is None:
        gap = spec.rail.width_mm
    outboard = (-spec.outboard.used_mm, 0.0)
    face = outboard[0]
    inboard = (face - gap - spec.inboard.used_mm, face - gap)
    planes = _planes(widths, axial, face - room[Side.OUTBOARD], inboard[1] + room[Side.INBOARD], first)
    rail: tuple[float, float] | None = None
    wheel_z0 = spec.wheel.gap_mm
    if spec.rail is not None:
        if spec.rail.mount is Mount.BESIDE:
            rail = (0.0, spec.rail.width_mm)
            wheel_z0 += spec.rail.width_mm
        else:
            rail = (face - gap, face)
    return Stack(
        outboard=outboard,
        inboard=inboard,
        gap_mm=gap,
        stage_planes=tuple(planes),
        rail=rail,
        wheel=(wheel_z0, wheel_z0 + spec.wheel.width_mm),
        wanted_gap_mm=wanted,
    )
