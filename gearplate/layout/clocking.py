"""Turn each motor so that its screw heads, and the corners of a square body, clear everything and most screws stay in
reach of a driver."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import replace

import numpy as np

from gearplate.layout.bodies import moved, turned_rad
from gearplate.layout.certified.hull import hull_area
from gearplate.layout.clearance import mate_names, may_meet, overlap_along_z, requirement
from gearplate.layout.constraints import web_mm
from gearplate.layout.design import Body, BodyKind, Stack
from gearplate.layout.hardware import screw_bodies, screw_places
from gearplate.layout.holes import line_of_centres_rad
from gearplate.layout.obstacles import misses, obstacles_for
from gearplate.layout.service import access_diameter_mm, in_the_path, screws_reached
from gearplate.layout.shapes import gap_between
from gearplate.layout.spec import LayoutSpec, MotorSpec, Side
from gearplate.layout.stack import screw_offsets_rad

STEPS = 120
SAME_HULL_MM2 = 1.0  # plates that differ by less count as equal

Disc = tuple[float, float, float]
Array = np.ndarray[tuple[int, ...], np.dtype[np.float64]]


def choose_clocking(
    spec: LayoutSpec,
    stack: Stack,
    positions: Mapping[str, tuple[float, float]],
    bodies: Sequence[Body],
    holes: Mapping[Side, Sequence[Disc]],
) -> tuple[dict[str, float], float]:
    """Clocking of every motor (given ones kept), and the total miss in mm that is left, theirs with it.

    `bodies`: everything in its place but motor screws and standoffs. `holes`: (x, y, diameter) already in each plate.
    Among the angles that miss least: most screws in reach, then the smallest hull, then nearest to square with the
    line of centres.
    """
    chosen: dict[str, float] = {}
    rims = [(x, y, 0.5 * diameter + spec.margin_mm) for side in Side for x, y, diameter in holes[side]]
    placed = list(bodies)
    taken = {side: list(discs) for side, discs in holes.items()}
    left = 0.0
    for motor in spec.motors:
        x, y = positions[motor.name]
        best, miss = _best(spec, stack, motor, positions, placed, taken, rims)
        left += miss
        chosen[motor.name] = best
        placed = [_turned(body, motor, best) for body in placed]
        placed += (moved(body, x, y) for body in screw_bodies(spec, stack, motor, best))
        other = Side.INBOARD if motor.side is Side.OUTBOARD else Side.OUTBOARD
        for dx, dy in screw_places(motor, best):
            taken[motor.side].append((x + dx, y + dy, motor.screw.normal_mm))
            rims.append((x + dx, y + dy, 0.5 * motor.screw.normal_mm + spec.margin_mm))
            taken[other].append((x + dx, y + dy, access_diameter_mm(motor)))
    return chosen, left


def _best(
    spec: LayoutSpec,
    stack: Stack,
    motor: MotorSpec,
    positions: Mapping[str, tuple[float, float]],
    placed: Sequence[Body],
    taken: Mapping[Side, Sequence[Disc]],
    rims: Sequence[Disc],
) -> tuple[float, float]:
    x, y = positions[motor.name]
    used = motor.screws_used
    period = 2 * math.pi / used if motor.motor.face.screw_count % used == 0 else 2 * math.pi
    square = line_of_centres_rad(spec, motor.name, positions) + 0.5 * math.pi
    turn = sorted(((k / STEPS) * period for k in range(-STEPS // 2, STEPS - STEPS // 2)), key=lambda t: (abs(t), t))
    if motor.clocking_rad is not None:
        square, turn = motor.clocking_rad, [0.0]
    offsets = np.array(screw_offsets_rad(motor))
    angles = square + np.array(turn)[:, None] + offsets[None, :]
    radius = 0.5 * motor.motor.face.bolt_circle_mm
    points = np.stack([x + radius * np.cos(angles), y + radius * np.sin(angles)], axis=-1)
    head = [
        # its own axis is no excuse here: a head stands beside the pinion, not round it
        replace(body, x_mm=0.0, y_mm=0.0)
        for body in screw_bodies(spec, stack, motor, 0.0)
        if body.name.startswith(f"{motor.name} screw 1 ")
    ]
    boxes, least = obstacles_for(head, [body for body in placed if body.group != motor.name], spec)
    miss = misses(points, boxes, least).sum(axis=1)
    web = web_mm(spec, motor.side)
    discs = np.array(taken[motor.side]).reshape(-1, 3)
    own = np.hypot(discs[:, 0] - x, discs[:, 1] - y) < 1e-9  # the motor's own pilot: its face is what it is
    discs = discs[~own]
    if len(discs):
        away = np.hypot(points[..., None, 0] - discs[:, 0], points[..., None, 1] - discs[:, 1])
        room = 0.5 * (discs[:, 2] + motor.screw.normal_mm) + web
        miss = miss + np.maximum(0.0, room - away).sum(axis=(1, 2))
    miss = miss + _corner_misses(spec, motor, placed, square + np.array(turn))
    least_miss = float(miss.min())
    rows = [row for row in range(len(turn)) if miss[row] <= least_miss + 1e-9]
    way = in_the_path(spec, stack, motor, placed)
    reached = screws_reached(motor, points[rows], way)
    rows = [row for row, count in zip(rows, reached, strict=True) if count == max(reached)]
    hulls = _hulls_mm2(rims, points[rows], 0.5 * motor.screw.normal_mm + spec.margin_mm)
    near = [row for row, hull in zip(rows, hulls, strict=True) if hull <= min(hulls) + SAME_HULL_MM2]
    ranked = max(near, key=lambda row: (-abs(turn[row]), turn[row]))
    if motor.clocking_rad is not None:
        return motor.clocking_rad, least_miss
    return math.remainder(square + turn[ranked], 2 * math.pi), least_miss


def _hulls_mm2(rims: Sequence[Disc], screws: Array, radius_mm: float) -> list[float]:
    """Area of the hull of the discs `rims` and of those round a motor's screws (turns, screws, 2), for each turn."""
    known = np.array(rims).reshape(-1, 3)
    centres = np.concatenate([np.broadcast_to(known[:, :2], (len(screws), len(known), 2)), screws], axis=1)
    radii = np.concatenate([known[:, 2], np.full(screws.shape[1], radius_mm)])
    return [float(area) for area in hull_area(centres, radii)]


def _turned(body: Body, motor: MotorSpec, clocking_rad: float) -> Body:
    """The body, turned if it is the square one of this motor."""
    if body.kind is not BodyKind.MOTOR or body.shaft != motor.name or body.core_mm == 0.0:
        return body
    return replace(body, angle_rad=turned_rad(motor, clocking_rad))


def _corner_misses(spec: LayoutSpec, motor: MotorSpec, placed: Sequence[Body], clocking_rad: Array) -> Array:
    """By how much a square motor's body misses its gaps, in all, at each clocking, mm; zeros where its corners are in
    nobody's way however it is turned."""
    total = np.zeros(len(clocking_rad))
    body = next((body for body in placed if body.kind is BodyKind.MOTOR and body.shaft == motor.name), None)
    if body is None or body.core_mm == 0.0:
        return total
    mates = mate_names(spec)
    whole = replace(body, angle_rad=None)
    for other in placed:
        need = requirement(whole, other, spec)
        if need is None or not overlap_along_z(whole, other, spec) or may_meet(whole, other, mates):
            continue
        if gap_between(whole, other) < need.gap_mm:
            gaps = [gap_between(_turned(body, motor, angle), other) for angle in clocking_rad]
            total += np.maximum(0.0, need.gap_mm - np.array(gaps))
    return total
