"""Every shaft in every load case as a beam on its two supports: reactions, bending, torque, slopes at its gears.

Load cases: the hardest push (the greatest torque that the drive can put in, the wheel at rest weight), turning on the
spot (the same, and the floor pushes the wheel sideways at its rim), landing (the wheel's weight times the shock, at the
usual torque) and usual driving, which bearings live by. Forward and backward are looked at, and the worse is kept.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

from gearplate.catalog.bearings import Bearing
from gearplate.layout.design import BodyKind, Layout
from gearplate.layout.spec import CarriedBy, LayoutSpec, Mount, Role, ShaftSpec, Side
from gearplate.rating.beam import Beam
from gearplate.rating.duty import Duty
from gearplate.rating.forces import MeshForce, Push, chain_push, pushes_on, wheel_push
from gearplate.rating.loads import DriveLoads

HARDEST, ON_THE_SPOT, LANDING, USUAL = "hardest push", "turning on the spot", "landing", "usual driving"


@dataclass(frozen=True, slots=True)
class Support:
    """Where a shaft is carried: `side` of a plate with its bearing, or a wall of the rail (no side; a bearing where the
    job names that of its blocks)."""

    name: str
    z_mm: float
    side: Side | None
    bearing: Bearing | None


@dataclass(frozen=True, slots=True)
class ShaftCase:
    """One shaft in one load case: force on each support (x, y, N), the axial force that one of them takes, and along
    the shaft the places looked at with bending moment and torque (N mm). `way`: forward or backward, and which way the
    floor pushes sideways or a chain pulls, in words: with `shaft` and `case` it names the case. `pushes`: all that acts
    on the shaft but the supports; `couple`: a moment in the plane of y and z (place, N mm), of the floor's push."""

    shaft: str
    case: str
    sense: int
    supports: tuple[Support, Support]
    reactions: tuple[tuple[float, float], tuple[float, float]]
    axial_n: float
    sections: tuple[tuple[float, float, float], ...]  # z, bending moment, torque
    beams: tuple[Beam, Beam]
    gear_places_mm: tuple[float, ...]
    way: str
    pushes: tuple[Push, ...]
    couple: tuple[float, float] | None

    @property
    def radial_n(self) -> tuple[float, float]:
        """Size of the force on each support."""
        return math.hypot(*self.reactions[0]), math.hypot(*self.reactions[1])


def supports_of(spec: LayoutSpec, layout: Layout, shaft: ShaftSpec) -> tuple[Support, Support] | None:
    """The two supports along z, inner first. None where there are not two: then no statics holds.

    An output that runs in blocks is carried by the two walls of the rail; one that both carry by the inboard plate and
    the rail's outer wall, the farthest apart (a stiff shaft in four bearings cannot be told by statics).
    """
    stack = layout.stack
    found: list[Support] = []
    blocks = shaft.role is Role.OUTPUT and spec.carried_by is not CarriedBy.PLATES
    if not blocks or spec.carried_by is CarriedBy.BOTH:
        for side in (Side.INBOARD, Side.OUTBOARD):
            seat = shaft.seat(side)
            if seat is not None:
                found.append(Support(f"{side.value} bearing", _bearing_z(layout, shaft.name, side), side, seat.bearing))
            elif not shaft.turns:
                found.append(Support(f"{side.value} plate", sum(stack.plate(side)) / 2.0, side, None))
    if blocks and spec.rail is not None and stack.rail is not None and spec.rail.mount is Mount.BESIDE:
        half = spec.rail.wall_mm / 2.0
        found += [
            Support("rail, inner wall", stack.rail[0] + half, None, shaft.block_bearing),
            Support("rail, outer wall", stack.rail[1] - half, None, shaft.block_bearing),
        ]
    if len(found) < 2:
        return None
    return found[0], found[-1]


def _bearing_z(layout: Layout, shaft: str, side: Side) -> float:
    """Middle of a bearing as placed, its flange counted in."""
    zs = [
        z
        for body in layout.bodies
        if body.shaft == shaft
        and body.kind in (BodyKind.BEARING, BodyKind.FLANGE)
        and body.group == f"{shaft} {side.value}"
        for z in (body.z0_mm, body.z1_mm)
    ]
    return 0.5 * (min(zs) + max(zs)) if zs else sum(layout.stack.plate(side)) / 2.0


def shaft_cases(
    spec: LayoutSpec,
    layout: Layout,
    shaft: ShaftSpec,
    forces: dict[int, tuple[MeshForce, ...]],
    loads: DriveLoads,
    duty: Duty,
) -> tuple[ShaftCase, ...]:
    """Every case of one shaft, in both senses; none where its supports are not two."""
    supports = supports_of(spec, layout, shaft)
    if supports is None:
        return ()
    found = []
    for sense, meshes in forces.items():
        for case, share, shock, scrub, along in _cases(shaft, duty):
            way = "forward" if sense > 0 else "backward"
            if scrub:
                way += ", the floor pushes " + ("outward" if scrub > 0 else "inward")
            if shaft.role is Role.OUTPUT and duty.chain is not None:
                way += ", the chain pulls " + ("ahead" if along > 0 else "behind")
            pushes = [_scaled(push, share) for push in pushes_on(shaft.name, meshes)]
            couple = axial = 0.0
            wheel_z = 0.0
            if shaft.role is Role.OUTPUT:
                push = wheel_push(layout, loads, share, shock, sense, duty.chain)
                pushes.append(push)
                if duty.chain is not None:
                    pushes.append(chain_push(layout, loads, share, shock, sense, duty.chain, along))
                wheel_z = push.z_mm
                axial = scrub * duty.friction * loads.wheel_weight_n
                couple = axial * spec.wheel.diameter_mm / 2.0
            found.append(_case(shaft, case, way, sense, supports, pushes, wheel_z, couple, abs(axial)))
    return tuple(found)


def _cases(shaft: ShaftSpec, duty: Duty) -> Iterator[tuple[str, float, float, float, int]]:
    """Name, share of the torque, shock on the weight, signed sideways share, which way a chain pulls (both are looked
    at, since nobody says where it runs)."""
    output = shaft.role is Role.OUTPUT
    for along in (1, -1) if output and duty.chain is not None else (1,):
        yield HARDEST, 1.0, 1.0, 0.0, along
        yield USUAL, duty.typical_torque, 1.0, 0.0, along
        if output:
            yield ON_THE_SPOT, 1.0, 1.0, duty.scrub, along
            yield ON_THE_SPOT, 1.0, 1.0, -duty.scrub, along
            yield LANDING, duty.typical_torque, duty.shock, 0.0, along


def _scaled(push: Push, share: float) -> Push:
    return Push(push.what, push.z_mm, push.x_n * share, push.y_n * share, push.torque_n_mm * share)


def _case(
    shaft: ShaftSpec,
    case: str,
    way: str,
    sense: int,
    supports: tuple[Support, Support],
    pushes: list[Push],
    wheel_z: float,
    couple: float,
    axial: float,
) -> ShaftCase:
    a, b = supports[0].z_mm, supports[1].z_mm
    couples = ((wheel_z, couple),) if couple else ()
    beams = (
        Beam(a, b, tuple((push.z_mm, push.x_n) for push in pushes)),
        Beam(a, b, tuple((push.z_mm, push.y_n) for push in pushes), couples),
    )
    (ax, bx), (ay, by) = beams[0].reactions_n, beams[1].reactions_n
    places = sorted({a, b, *(push.z_mm for push in pushes)})
    torque = 0.0
    sections = []
    for z in places:
        before = torque
        torque += sum(push.torque_n_mm for push in pushes if push.z_mm == z)
        bend = max(
            math.hypot(beams[0].moment_n_mm(z), beams[1].moment_n_mm(z)),
            math.hypot(beams[0].moment_n_mm(z, after=True), beams[1].moment_n_mm(z, after=True)),
        )
        twist = max(abs(before), abs(torque)) if shaft.turns else 0.0
        sections.append((z, bend, twist))
    # the support feels the opposite of what it does to the shaft
    return ShaftCase(
        shaft=shaft.name,
        case=case,
        sense=sense,
        supports=supports,
        reactions=((-ax, -ay), (-bx, -by)),
        axial_n=axial,
        sections=tuple(sections),
        beams=beams,
        gear_places_mm=tuple(push.z_mm for push in pushes if push.what not in ("wheel", "chain")),
        way=way,
        pushes=tuple(pushes),
        couple=couples[0] if couples else None,
    )
