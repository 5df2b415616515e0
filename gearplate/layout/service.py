"""The straight path of a driver to a motor's screw, and what stands in it."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence

import numpy as np
from numpy.typing import NDArray

from gearplate.layout.design import Body, BodyKind, Stack
from gearplate.layout.hardware import screw_places
from gearplate.layout.shapes import gap_to_point
from gearplate.layout.spec import LayoutSpec, MotorSpec, Side

DRIVER_PLAY_MM = 0.25  # round the shank; common practice, no source
ACCESS_PLAY_MM = 1.0  # round the head that comes out through the hole; common practice, no source


def access_diameter_mm(motor: MotorSpec) -> float:
    """Hole through which the driver goes in and the screw (without its washer) comes out."""
    return max(motor.screw.head_diameter_mm, motor.screw.driver_diameter_mm) + ACCESS_PLAY_MM


def path_z_mm(spec: LayoutSpec, stack: Stack, motor: MotorSpec) -> tuple[float, float]:
    """Stretch of z that the driver passes on its way to the heads: from far outside to the top of the head."""
    height = motor.screw.head_height_mm + (motor.screw.washer_thickness_mm if spec.washers else 0.0)
    if motor.side is Side.OUTBOARD:
        return -math.inf, stack.outboard[0] - height
    return stack.inboard[1] + height, math.inf


def in_the_path(spec: LayoutSpec, stack: Stack, motor: MotorSpec, bodies: Iterable[Body]) -> tuple[Body, ...]:
    """Bodies that stand, along z, where the driver passes. The wheel is none: it comes off first."""
    z0, z1 = path_z_mm(spec, stack, motor)
    never = (BodyKind.PLATE, BodyKind.WHEEL)
    return tuple(body for body in bodies if body.kind not in never and body.z1_mm > z0 and body.z0_mm < z1)


def driver_radius_mm(motor: MotorSpec) -> float:
    """Half of what a driver takes on its way to a screw."""
    return 0.5 * motor.screw.driver_diameter_mm + DRIVER_PLAY_MM


def driver_circle_mm(motor: MotorSpec) -> float:
    """Radius round the motor's axis within which a driver stands on any of its screws."""
    return 0.5 * motor.motor.face.bolt_circle_mm + driver_radius_mm(motor)


def blockers(
    spec: LayoutSpec, stack: Stack, motor: MotorSpec, place: tuple[float, float], bodies: Iterable[Body]
) -> tuple[Body, ...]:
    """Bodies in the way of the driver to a screw of `motor` at `place` (in the frame)."""
    radius = driver_radius_mm(motor)
    x, y = place
    found = []
    for body in in_the_path(spec, stack, motor, bodies):
        if gap_to_point(body, x, y) < radius - 1e-9:
            found.append(body)
    return tuple(found)


def reachable_screws(
    spec: LayoutSpec,
    stack: Stack,
    motor: MotorSpec,
    place: tuple[float, float],
    clocking_rad: float,
    bodies: Sequence[Body],
) -> int:
    """How many of a motor's used screws have a straight path for the driver (holes in the plate not counted)."""
    x, y = place
    return sum(
        not blockers(spec, stack, motor, (x + dx, y + dy), bodies) for dx, dy in screw_places(motor, clocking_rad)
    )


def screws_reached(motor: MotorSpec, places: NDArray[np.float64], way: Iterable[Body]) -> list[int]:
    """As reachable_screws, for many turns of a motor at once: `places` are those of its screws (turns, screws, 2),
    `way` the bodies that can stand in a driver's path."""
    radius = driver_radius_mm(motor) - 1e-9
    x, y = places[..., 0], places[..., 1]
    blocked = np.zeros(x.shape, dtype=bool)
    for body in way:
        if body.box is None and (body.core_mm == 0.0 or body.angle_rad is None):
            blocked |= np.hypot(x - body.x_mm, y - body.y_mm) - body.radius_mm < radius
            continue
        for index in np.argwhere(~blocked):
            at = tuple(index)
            blocked[at] = gap_to_point(body, float(x[at]), float(y[at])) < radius
    return [int(count) for count in (~blocked).sum(axis=1)]
