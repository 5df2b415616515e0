"""Screws, washers and posts as bodies: what holds motors and plates."""

from __future__ import annotations

import math

from gearplate.catalog.fasteners import Fastener
from gearplate.layout.design import Body, BodyKind, Stack
from gearplate.layout.spec import LayoutSpec, MotorSpec, Mount, Side
from gearplate.layout.stack import screw_offsets_rad


def disc(
    name: str,
    kind: BodyKind,
    shaft: str | None,
    radius_mm: float,
    z_mm: tuple[float, float],
    *,
    x: float = 0.0,
    y: float = 0.0,
    turns: bool = False,
    group: str = "",
) -> Body:
    """A disc body between two places along z, given in either order."""
    return Body(name, kind, shaft, x, y, radius_mm, min(z_mm), max(z_mm), turns, group)


def screw_places(motor: MotorSpec, clocking_rad: float) -> tuple[tuple[float, float], ...]:
    """Places of the used screws about the motor's axis."""
    radius = 0.5 * motor.motor.face.bolt_circle_mm
    return tuple(
        (radius * math.cos(clocking_rad + offset), radius * math.sin(clocking_rad + offset))
        for offset in screw_offsets_rad(motor)
    )


def screw_bodies(spec: LayoutSpec, stack: Stack, motor: MotorSpec, clocking_rad: float) -> tuple[Body, ...]:
    """Heads and washers of a motor's screws in the gap, about the motor's axis at the origin."""
    side = motor.side
    gap_face = stack.outboard[0] if side is Side.OUTBOARD else stack.inboard[1]
    into = -1.0 if side is Side.OUTBOARD else 1.0
    bodies: list[Body] = []
    for index, (x, y) in enumerate(screw_places(motor, clocking_rad)):
        bodies += head_bodies(
            spec,
            f"{motor.name} screw {index + 1}",
            motor.name,
            motor.screw,
            (x, y),
            gap_face,
            into,
            motor.name,
        )
    return tuple(bodies)


def head_bodies(
    spec: LayoutSpec,
    name: str,
    shaft: str | None,
    screw: Fastener,
    place: tuple[float, float],
    face_mm: float,
    into: float,
    group: str,
) -> list[Body]:
    """Washer and head of one screw that stands on the plate face at `face_mm`, away from it along `into`."""
    x, y = place
    bodies = []
    seat = face_mm
    if spec.washers:
        seat = face_mm + into * screw.washer_thickness_mm
        bodies.append(
            disc(
                f"{name} washer",
                BodyKind.WASHER,
                shaft,
                0.5 * screw.washer_outside_mm,
                (face_mm, seat),
                x=x,
                y=y,
                group=group,
            )
        )
    bodies.append(
        disc(
            f"{name} head",
            BodyKind.SCREW_HEAD,
            shaft,
            0.5 * screw.head_diameter_mm,
            (seat, seat + into * screw.head_height_mm),
            x=x,
            y=y,
            group=group,
        )
    )
    return bodies


def standoff_bodies(spec: LayoutSpec, stack: Stack, index: int, place: tuple[float, float]) -> tuple[Body, ...]:
    """One standoff across the gap and the screw heads on both outer faces, in the frame."""
    x, y = place
    name = f"standoff-{index + 1}"
    screw = spec.standoffs.screw
    return (
        disc(
            name,
            BodyKind.STANDOFF,
            None,
            0.5 * spec.standoffs.diameter_mm,
            (stack.inboard[1], stack.outboard[0]),
            x=x,
            y=y,
            group=name,
        ),
        *head_bodies(spec, f"{name} outboard", None, screw, place, stack.outboard[1], 1.0, name),
        *head_bodies(spec, f"{name} inboard", None, screw, place, stack.inboard[0], -1.0, name),
    )


def rail_screw_bodies(spec: LayoutSpec, stack: Stack, index: int, place: tuple[float, float]) -> tuple[Body, ...]:
    """One rail screw: spacer tube across the gap (beside the rail) and head on the inboard plate, in the frame."""
    rail = spec.rail
    if rail is None:
        return ()
    x, y = place
    name = f"rail-{index + 1}"
    bodies = head_bodies(spec, f"{name} inboard", None, rail.screw, place, stack.inboard[0], -1.0, name)
    if rail.mount is Mount.BESIDE:
        tube = (stack.inboard[1], stack.outboard[0])
        bodies.append(disc(name, BodyKind.RAIL_TUBE, None, 0.5 * rail.tube_diameter_mm, tube, x=x, y=y, group=name))
    else:
        bodies += head_bodies(spec, f"{name} outboard", None, rail.screw, place, stack.outboard[1], 1.0, name)
    return tuple(bodies)
