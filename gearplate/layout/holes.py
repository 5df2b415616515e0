"""Which holes each shaft, motor and screw needs in which plate. The plate room turns them into features."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping

from gearplate.layout.bodies import motor_face, shaft_z_mm
from gearplate.layout.chain import mesh_needs
from gearplate.layout.design import GearOnShaft, Hole, HoleKind, Stack
from gearplate.layout.hardware import screw_places
from gearplate.layout.spec import CarriedBy, LayoutSpec, MotorSpec, Role, ShaftSpec, Side

SHAFT_CLEARANCE_MM = 1.0  # round a turning shaft that passes a plate; common practice, no source


def layout_holes(
    spec: LayoutSpec,
    stack: Stack,
    gears: Iterable[GearOnShaft],
    positions: Mapping[str, tuple[float, float]],
    clocking_rad: Mapping[str, float],
    standoffs: Iterable[tuple[float, float]],
    rail_holes: Iterable[tuple[float, float]],
) -> tuple[Hole, ...]:
    """All holes in the frame, plate by plate, in a stable order."""
    gears = tuple(gears)
    standoffs = tuple(standoffs)
    rail_holes = tuple(rail_holes)
    holes: list[Hole] = []
    for side in Side:
        for shaft in spec.shafts:
            holes += shaft_holes(spec, stack, shaft, side, positions[shaft.name])
        for motor in spec.motors:
            holes += motor_holes(spec, stack, motor, side, gears, positions, clocking_rad[motor.name])
        screw = spec.standoffs.screw
        for index, (x, y) in enumerate(standoffs):
            holes.append(
                Hole(f"standoff-{index + 1}", HoleKind.STANDOFF, side, None, x, y, screw.normal_mm, loaded=True)
            )
        if spec.rail is not None:
            for index, (x, y) in enumerate(rail_holes):
                diameter = spec.rail.screw.normal_mm
                holes.append(Hole(f"rail-{index + 1}", HoleKind.RAIL_HOLE, side, None, x, y, diameter, loaded=True))
    return tuple(holes)


def shaft_holes(spec: LayoutSpec, stack: Stack, shaft: ShaftSpec, side: Side, place: tuple[float, float]) -> list[Hole]:
    """The bore of one shaft in one plate: for its bearing, for a fixed shaft, or to let it through."""
    x, y = place
    name = f"{shaft.name}-bore"
    if not shaft.turns:
        diameter = shaft.stock.section.across_mm
        return [Hole(name, HoleKind.SHAFT_CLEARANCE, side, shaft.name, x, y, diameter, fit_mm=shaft.fit_mm or 0.0)]
    seat = shaft.seat(side)
    if seat is not None and not (shaft.role is Role.OUTPUT and spec.carried_by is CarriedBy.BLOCKS):
        return [
            Hole(
                name,
                HoleKind.BEARING_BORE,
                side,
                shaft.name,
                x,
                y,
                seat.bearing.outside_mm,
                fit_mm=seat.fit_mm,
                fit_class=seat.fit_class,
            )
        ]
    z0, z1 = shaft_z_mm(spec, stack, shaft)
    plate = stack.plate(side)
    if z0 < plate[1] and z1 > plate[0]:
        diameter = shaft.stock.section.corners_mm + 2 * SHAFT_CLEARANCE_MM
        return [Hole(name, HoleKind.SHAFT_CLEARANCE, side, shaft.name, x, y, diameter)]
    return []


def line_of_centres_rad(spec: LayoutSpec, name: str, positions: Mapping[str, tuple[float, float]]) -> float:
    """Direction from a motor to the gear that it drives."""
    need = next(need for need in mesh_needs(spec) if need.driver_shaft == name)
    x, y = positions[name]
    px, py = positions[need.driven_shaft]
    return math.atan2(py - y, px - x)


def motor_holes(
    spec: LayoutSpec,
    stack: Stack,
    motor: MotorSpec,
    side: Side,
    gears: tuple[GearOnShaft, ...],
    positions: Mapping[str, tuple[float, float]],
    clocking_rad: float,
) -> list[Hole]:
    """Pilot and screw holes in the motor's plate; in the other one the room its shaft or pinion needs."""
    x, y = positions[motor.name]
    name = motor.name
    if motor.side is side:
        travel = 2.0 * motor.slot_travel_mm
        angle = line_of_centres_rad(spec, name, positions) if travel > 0.0 else 0.0
        pilot = motor.motor.face.pilot_diameter_mm
        holes = [Hole(f"{name}-pilot", HoleKind.MOTOR_PILOT, side, name, x, y, pilot, travel, angle)]
        for index, (dx, dy) in enumerate(screw_places(motor, clocking_rad)):
            holes.append(
                Hole(
                    f"{name}-screw-{index + 1}",
                    HoleKind.MOTOR_SCREW,
                    side,
                    name,
                    x + dx,
                    y + dy,
                    motor.screw.normal_mm,
                    travel,
                    angle,
                    loaded=True,
                )
            )
        return holes
    face, into = motor_face(stack, motor)
    end = face + into * motor.motor.shaft_length_mm
    near = stack.plate(side)[1] if side is Side.INBOARD else stack.plate(side)[0]  # the plate's gap face
    axial = spec.clearances.axial_mm
    reach = 0.0
    if (end - near) * into > -axial:
        reach = motor.motor.shaft_diameter_mm
    for gear in gears:
        far = gear.z0_mm if into < 0 else gear.z1_mm
        if gear.shaft == name and (far - near) * into > -axial + 1e-6:
            reach = max(reach, gear.tip_diameter_mm)
    if reach == 0.0:
        return []
    # a motor in slots takes its shaft along, this far each way
    diameter = reach + 2 * (SHAFT_CLEARANCE_MM + motor.slot_travel_mm)
    return [Hole(f"{name}-shaft", HoleKind.SHAFT_CLEARANCE, side, name, x, y, diameter)]
