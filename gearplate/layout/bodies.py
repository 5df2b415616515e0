"""Every body of the gearbox as a disc or box with an extent along z.

Bodies of a shaft are made at the origin and carried to the shaft's place by `moved`; only the motors' screws turn
with the clocking.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping
from dataclasses import replace

from gearplate.layout.axial.bearing_faces import SHIM_MM, bearing_z_mm
from gearplate.layout.chain import OUTPUT, mesh_needs
from gearplate.layout.design import Body, BodyKind, GearOnShaft, Hole, Stack
from gearplate.layout.hardware import disc, rail_screw_bodies, screw_bodies, standoff_bodies
from gearplate.layout.spec import LayoutSpec, MotorSpec, Role, ShaftSpec, Side
from gearplate.layout.stack import tip_radius_mm

FLUSH_MM = 0.05  # a bearing this much wider than its plate counts as flush: sheets vary by more; common practice
RETAINER_MM = 6.0  # of axle past plate and wheel for a retainer, at least; common practice, no source
Z_TOLERANCE_MM = 1e-6


def gears_on_shafts(spec: LayoutSpec, stack: Stack) -> tuple[GearOnShaft, ...]:
    """Each gear once, centred in its stage's plane."""
    found: dict[tuple[str, int], GearOnShaft] = {}
    for need in mesh_needs(spec):
        z0, z1 = stack.stage_planes[need.stage - 1]
        middle = 0.5 * (z0 + z1)
        for shaft, gear in ((need.driver_shaft, need.driver), (need.driven_shaft, need.driven)):
            half = 0.5 * gear.face_width_mm
            found.setdefault(
                (shaft, need.stage),
                GearOnShaft(shaft, need.stage, gear, 2.0 * tip_radius_mm(gear), middle - half, middle + half),
            )
    return tuple(found.values())


def gear_body(gear: GearOnShaft) -> Body:
    """A gear by its tip circle, at the origin."""
    return disc(
        f"{gear.shaft} {gear.gear.teeth}T",
        BodyKind.GEAR,
        gear.shaft,
        0.5 * gear.tip_diameter_mm,
        (gear.z0_mm, gear.z1_mm),
        turns=True,
    )


def moved(body: Body, x_mm: float, y_mm: float) -> Body:
    """The body carried by (x, y)."""
    return replace(body, x_mm=body.x_mm + x_mm, y_mm=body.y_mm + y_mm)


def shaft_z_mm(spec: LayoutSpec, stack: Stack, shaft: ShaftSpec) -> tuple[float, float]:
    """From where to where a shaft runs: flush with the outer faces of the plates that carry it; the output axle
    runs on through rail and wheel."""
    axial = spec.clearances.axial_mm
    if shaft.role is Role.OUTPUT:
        return axle_z_mm(stack, shaft)
    z0 = stack.inboard[0] if shaft.inboard is not None else stack.inboard[1] + axial
    z1 = stack.outboard[1] if shaft.outboard is not None else stack.outboard[0] - axial
    if not shaft.turns:
        z0, z1 = stack.inboard[0], stack.outboard[1]
    return z0, z1


def axle_z_mm(stack: Stack, shaft: ShaftSpec) -> tuple[float, float]:
    """Ends of the output axle: past the inboard bearing with a shim, and past the wheel, half of the float, what holds
    it, and what of the axle must stay beyond that; RETAINER_MM past plate and wheel at the least. A collar takes
    more."""
    held = shaft.held_by
    past = 0.0
    if held is not None:
        past = 0.5 * shaft.float_mm + held.width_mm + held.edge_mm + held.groove_spare_mm
    z0 = stack.inboard[0] - RETAINER_MM
    if held is not None and shaft.inboard is not None:
        shim = SHIM_MM if held.outside_mm > shaft.inboard.bearing.inner_shoulder_mm else 0.0
        z0 = min(z0, bearing_z_mm(stack, Side.INBOARD, shaft.inboard)[0] - shim - past)
    return z0, stack.wheel[1] + max(RETAINER_MM, past)


def shaft_bodies(spec: LayoutSpec, stack: Stack, gears: Iterable[GearOnShaft], shaft: ShaftSpec) -> tuple[Body, ...]:
    """Shaft, gears, spacers, bearings and flanges of one shaft, at the origin."""
    name = shaft.name
    bodies = [
        disc(
            name,
            BodyKind.SHAFT,
            name,
            0.5 * shaft.stock.section.corners_mm,
            shaft_z_mm(spec, stack, shaft),
            turns=shaft.turns,
        )
    ]
    own = sorted((gear for gear in gears if gear.shaft == name), key=lambda gear: gear.z0_mm)
    bodies += (gear_body(gear) for gear in own)
    edges = [stack.inboard[1], *(z for gear in own for z in (gear.z0_mm, gear.z1_mm)), stack.outboard[0]]
    for index in range(0, len(edges), 2):
        low, high = edges[index], edges[index + 1]
        if high - low > Z_TOLERANCE_MM:
            bodies.append(
                disc(
                    f"{name} spacer {index // 2 + 1}",
                    BodyKind.SPACER,
                    name,
                    0.5 * shaft.spacer_diameter_mm,
                    (low, high),
                    turns=shaft.turns,
                )
            )
    if shaft.turns:
        for side in Side:
            bodies += bearing_bodies(spec, stack, shaft, side)
    return tuple(bodies)


def bearing_bodies(spec: LayoutSpec, stack: Stack, shaft: ShaftSpec, side: Side) -> list[Body]:
    """Outer ring and flange of the bearing in one plate, at the origin."""
    seat = shaft.seat(side)
    if seat is None:
        return []
    bearing = seat.bearing
    gap_face, outer_face = (
        (stack.outboard[0], stack.outboard[1]) if side is Side.OUTBOARD else (stack.inboard[1], stack.inboard[0])
    )
    entry, far = (gap_face, outer_face) if seat.pressed_from_gap else (outer_face, gap_face)
    through = abs(far - entry)
    width = through if 0.0 < bearing.seat_width_mm - through <= FLUSH_MM else bearing.seat_width_mm
    into = 1.0 if far > entry else -1.0  # direction in which the bearing is pressed
    name = f"{shaft.name} {side.value} bearing"
    group = f"{shaft.name} {side.value}"
    bodies = [
        disc(
            name,
            BodyKind.BEARING,
            shaft.name,
            0.5 * bearing.outside_mm,
            (entry, entry + into * width),
            group=group,
        )
    ]
    if bearing.flange is not None:
        bodies.append(
            disc(
                f"{name} flange",
                BodyKind.FLANGE,
                shaft.name,
                0.5 * bearing.flange.diameter_mm,
                (entry, entry - into * bearing.flange.thickness_mm),
                group=group,
            )
        )
    return bodies


def motor_bodies(
    spec: LayoutSpec,
    stack: Stack,
    gears: Iterable[GearOnShaft],
    motor: MotorSpec,
    clocking_rad: float | None = None,
) -> tuple[Body, ...]:
    """Body, pilot boss, shaft and pinion of one motor, at the origin (its screws are apart: they are clocked). A square
    body is turned by the clocking where that is known, and stands for the disc through its corners else."""
    name = motor.name
    part = motor.motor
    face, into = motor_face(stack, motor)
    body = disc(
        name,
        BodyKind.MOTOR,
        name,
        0.5 * part.room_diameter_mm + part.body_clearance_mm,
        (face, face - into * part.body_length_mm),
        group=name,
    )
    bodies = [
        replace(body, core_mm=square_core_mm(motor), angle_rad=turned_rad(motor, clocking_rad)),
        disc(
            f"{name} pilot boss",
            BodyKind.PILOT,
            name,
            0.5 * part.face.pilot_diameter_mm,
            (face, face + into * part.face.pilot_height_mm),
            group=name,
        ),
        disc(
            f"{name} shaft",
            BodyKind.MOTOR_SHAFT,
            name,
            0.5 * part.shaft_diameter_mm,
            (face, face + into * part.shaft_length_mm),
            turns=True,
            group=name,
        ),
    ]
    bodies += (gear_body(gear) for gear in gears if gear.shaft == name)
    return tuple(bodies)


def square_core_mm(motor: MotorSpec) -> float:
    """From the middle of a square motor to the sides of the square that its corners are rounded about; 0 for round."""
    part = motor.motor
    return 0.0 if part.body_square_mm is None else max(0.0, 0.5 * part.body_square_mm - part.body_corner_mm)


def turned_rad(motor: MotorSpec, clocking_rad: float | None) -> float | None:
    """How far a motor is turned from its own zero, across which a side of a square body stands: its first screw hole
    points to the clocking."""
    return None if clocking_rad is None else clocking_rad - math.radians(motor.motor.face.first_hole_deg)


def motor_face(stack: Stack, motor: MotorSpec) -> tuple[float, float]:
    """z of the plate face that the motor stands on, and the sign of z in which its shaft points."""
    return (stack.outboard[1], -1.0) if motor.side is Side.OUTBOARD else (stack.inboard[0], 1.0)


def fixed_bodies(spec: LayoutSpec, stack: Stack) -> tuple[Body, ...]:
    """Wheel, the other wheels, rail and the user's keep-outs, in the frame."""
    wheel = spec.wheel
    bodies = [disc("wheel", BodyKind.WHEEL, OUTPUT, 0.5 * wheel.diameter_mm, stack.wheel, turns=True, group="wheel")]
    for index, x in enumerate(wheel.neighbours_x_mm):
        bodies.append(
            disc(
                f"wheel {index + 2}",
                BodyKind.WHEEL,
                None,
                0.5 * wheel.diameter_mm,
                stack.wheel,
                x=x,
                turns=True,
            )
        )
    if spec.rail is not None and stack.rail is not None:
        low, high = spec.rail.y_span_mm
        bodies.append(
            Body(
                "rail",
                BodyKind.RAIL,
                None,
                0.0,
                0.5 * (low + high),
                0.0,
                *stack.rail,
                group="rail",
                box=(-1e4, low, 1e4, high),
            )
        )
    for keep in spec.keep_outs:
        z0, z1 = sorted((keep.z0_mm, keep.z1_mm))
        group = f"keep-out {keep.name}"  # its name is the user's: it may be that of a motor
        if keep.disc is not None:
            x, y, radius = keep.disc
            bodies.append(disc(keep.name, BodyKind.KEEP_OUT, None, radius, (z0, z1), x=x, y=y, group=group))
        elif keep.box is not None:
            x0, y0, x1, y1 = keep.box
            box = (min(x0, x1), min(y0, y1), max(x0, x1), max(y0, y1))
            middle = (0.5 * (x0 + x1), 0.5 * (y0 + y1))
            bodies.append(Body(keep.name, BodyKind.KEEP_OUT, None, *middle, 0.0, z0, z1, group=group, box=box))
    return tuple(bodies)


def plate_bodies(spec: LayoutSpec, stack: Stack, holes: Iterable[Hole]) -> tuple[Body, ...]:
    """The margin round every hole as a disc in its plate: what the outline will at least cover."""
    bodies = []
    for hole in holes:
        for x, y, radius in margin_discs(hole, spec.margin_mm):
            bodies.append(
                disc(
                    f"{hole.side.value} plate at {hole.id}",
                    BodyKind.PLATE,
                    hole.shaft,
                    radius,
                    stack.plate(hole.side),
                    x=x,
                    y=y,
                    group=f"{hole.side.value} plate",
                )
            )
    return tuple(bodies)


def margin_discs(hole: Hole, margin_mm: float) -> tuple[tuple[float, float, float], ...]:
    """Discs (x, y, radius) that the outline covers for one hole: two for a slot."""
    radius = 0.5 * hole.part_diameter_mm + margin_mm
    if hole.slot_length_mm <= 0.0:
        return ((hole.x_mm, hole.y_mm, radius),)
    dx = 0.5 * hole.slot_length_mm * math.cos(hole.angle_rad)
    dy = 0.5 * hole.slot_length_mm * math.sin(hole.angle_rad)
    return ((hole.x_mm - dx, hole.y_mm - dy, radius), (hole.x_mm + dx, hole.y_mm + dy, radius))


def all_bodies(
    spec: LayoutSpec,
    stack: Stack,
    gears: tuple[GearOnShaft, ...],
    positions: Mapping[str, tuple[float, float]],
    clocking_rad: Mapping[str, float],
    standoffs: Iterable[tuple[float, float]],
    rail_holes: Iterable[tuple[float, float]],
) -> tuple[Body, ...]:
    """Every body in its place, plates' margins left out."""
    bodies: list[Body] = []
    for shaft in spec.shafts:
        bodies += (moved(body, *positions[shaft.name]) for body in shaft_bodies(spec, stack, gears, shaft))
    for motor in spec.motors:
        clocking = clocking_rad[motor.name]
        own = motor_bodies(spec, stack, gears, motor, clocking) + screw_bodies(spec, stack, motor, clocking)
        bodies += (moved(body, *positions[motor.name]) for body in own)
    for index, place in enumerate(standoffs):
        bodies += standoff_bodies(spec, stack, index, place)
    for index, place in enumerate(rail_holes):
        bodies += rail_screw_bodies(spec, stack, index, place)
    return (*bodies, *fixed_bodies(spec, stack))
