"""Screws, washers and posts as bodies: what holds motors and plates."""

from __future__ import annotations

import math

from gearplate.catalog.fasteners import Fastener
from gearplate.layout.design import Body, BodyKind, Stack
from gearplate.layout.spec import LayoutSpec, MotorSpec, Mount, Side
from gearplate.layout.stack import screw_offsets_rad

THREADS_PAST_NUT = 2.0  # of the screw that stand out of its nut; common practice, no source


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
    """Heads and washers of a motor's screws in the gap, about the motor's axis at the origin; nuts behind its flange
    where the screws pass that instead of going into threads."""
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
        if motor.motor.face.through_holes:
            face, back = (stack.outboard[1], 1.0) if side is Side.OUTBOARD else (stack.inboard[0], -1.0)
            seat = face + back * (motor.motor.face.flange_thickness_mm or 0.0)
            name = f"{motor.name} screw {index + 1} back"
            bodies += head_bodies(spec, name, motor.name, motor.screw, (x, y), seat, back, motor.name, nut=True)
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
    nut: bool = False,
) -> list[Body]:
    """Washer and head of one screw (or its nut) that stands on the face at `face_mm`, away from it along `into`."""
    x, y = place
    kind, word = (BodyKind.NUT, "nut") if nut else (BodyKind.SCREW_HEAD, "head")
    across, height = screw.head_diameter_mm, screw.head_height_mm
    if nut:
        across, height = screw.nut_corners_mm, screw.nut_height_mm + THREADS_PAST_NUT * screw.pitch_mm
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
            f"{name} {word}",
            kind,
            shaft,
            0.5 * across,
            (seat, seat + into * height),
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
    """One rail screw, in the frame: its head on the inboard plate, and a spacer tube across the gap (beside the rail)
    or a nut on the outboard plate (astride it)."""
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
        bodies += head_bodies(spec, f"{name} outboard", None, rail.screw, place, stack.outboard[1], 1.0, name, nut=True)
    return tuple(bodies)
