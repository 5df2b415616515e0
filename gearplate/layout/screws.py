"""A motor's two opposite screws in the question of where shafts stand: how they are turned is then sought as well.

They belong to the hull, and their heads keep off what stands on other shafts. Where a bound is wanted they make it the
better, at the cost of one more angle a motor. Three or more screws that the tool may turn are left out: for them the
hull covers no more than the disc that fits inside theirs, which makes a bound weaker but never wrong.
"""

from __future__ import annotations

import math
from dataclasses import replace

from gearplate.layout.bodies import fixed_bodies
from gearplate.layout.certified.problem import Apart, HullDisc, LayoutProblem, Node
from gearplate.layout.clearance import mate_names, may_meet, overlap_along_z, requirement
from gearplate.layout.constraints import bodies_by_shaft, centre_holes, web_mm
from gearplate.layout.design import Body, Stack
from gearplate.layout.hardware import screw_bodies
from gearplate.layout.spec import LayoutSpec, MotorSpec
from gearplate.layout.stack import screw_offsets_rad


def turnable(motor: MotorSpec) -> bool:
    """Whether a motor is held by two opposite screws and the tool may turn it."""
    offsets = screw_offsets_rad(motor)
    return motor.clocking_rad is None and len(offsets) == 2 and abs(offsets[1] - offsets[0] - math.pi) < 1e-9


def with_screws(
    problem: LayoutProblem, spec: LayoutSpec, stack: Stack, most_angles: int, share: float = 1.0, slack_mm: float = 0.0
) -> LayoutProblem:
    """The problem with the screws of as many motors as its free angles allow, and of all whose clocking is given;
    nothing is demanded that not every layout must keep. `share` of the gaps of common practice, as for the model."""
    nodes, hull, apart = list(problem.nodes), list(problem.hull), list(problem.apart)
    number = {node.name: index for index, node in enumerate(nodes)}
    angles = len(problem.free)
    for motor in spec.motors:
        given = motor.clocking_rad
        if given is None and not (turnable(motor) and angles < most_angles):
            continue
        angles += given is None
        own: list[int] = []
        about, radius = number[motor.name], 0.5 * motor.motor.face.bolt_circle_mm
        for index, offset in enumerate(screw_offsets_rad(motor)):
            name = f"{motor.name} screw {index + 1}"
            if given is not None:
                nodes.append(Node(name, about=about, distance_mm=radius, angle_rad=given + offset))
            elif not own:
                nodes.append(Node(name, about=about, distance_mm=radius, half_turn=True))
            else:
                nodes.append(Node(name, about=about, distance_mm=-radius, along=own[0]))
            own.append(len(nodes) - 1)
        margin = 0.5 * motor.screw.normal_mm + spec.margin_mm
        hull += [HullDisc(screw, margin) for screw in own]
        for other, least in _room_mm(spec, stack, motor, share).items():
            apart += [Apart(screw, number[other], least + slack_mm, f"{motor.name}'s screws") for screw in own]
    return replace(problem, nodes=tuple(nodes), hull=tuple(hull), apart=tuple(apart))


def _room_mm(spec: LayoutSpec, stack: Stack, motor: MotorSpec, share: float) -> dict[str, float]:
    """How far from the axis of each other shaft a screw stands at least: its head off what is on that shaft, its hole
    off that shaft's hole."""
    first = f"{motor.name} screw 1 "
    heads = [
        replace(body, x_mm=0.0, y_mm=0.0)
        for body in screw_bodies(spec, stack, motor, 0.0)
        if body.name.startswith(first)
    ]
    mates = mate_names(spec)
    found: dict[str, float] = {}

    def ask(name: str, least: float) -> None:
        found[name] = max(found.get(name, 0.0), least)

    table: dict[str, tuple[Body, ...]] = bodies_by_shaft(spec, stack)
    for body in fixed_bodies(spec, stack):
        if body.shaft in table and body.box is None:
            table[body.shaft] = (*table[body.shaft], body)
    for name, bodies in table.items():
        if name == motor.name:
            continue
        for head in heads:
            for body in bodies:
                need = requirement(head, body, spec)
                if need is not None and overlap_along_z(head, body, spec) and not may_meet(head, body, mates):
                    gap = need.gap_mm if need.hard else share * need.gap_mm
                    ask(name, head.least_radius_mm + body.least_radius_mm + gap)
    for (name, side), diameter in centre_holes(spec, stack, whole=False).items():
        if side is motor.side and name != motor.name:
            ask(name, 0.5 * (diameter + motor.screw.normal_mm) + share * web_mm(spec, side))
    return found
