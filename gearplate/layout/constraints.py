"""The layout as numbers: least distances between axes, to fixed discs and to boxes, and room to the sides.

Everything on a shaft is a disc round its axis (screws excepted: clocking comes later), so all demands between two
shafts shrink to one least distance of their axes, with the check that asks most.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from gearplate.layout.bodies import fixed_bodies, gears_on_shafts, motor_bodies, shaft_bodies
from gearplate.layout.chain import OUTPUT, free_shafts, links, mesh_needs
from gearplate.layout.clearance import Requirements, in_rail_relief, mate_names, may_meet, overlap_along_z
from gearplate.layout.design import Body, BodyKind, Stack
from gearplate.layout.floor import KEPT_MM
from gearplate.layout.hardware import rail_screw_bodies
from gearplate.layout.holes import motor_holes, shaft_holes
from gearplate.layout.service import driver_circle_mm, in_the_path
from gearplate.layout.spec import LayoutSpec, MotorSpec, Side
from gearplate.layout.stack import screw_offsets_rad

Array = np.ndarray[tuple[int, ...], np.dtype[np.float64]]

GUARD_MM = 2.0  # how far a plate that guards the gears stands past their tips; common practice, no source


@dataclass(frozen=True, slots=True)
class Demand:
    """Axes `a` and `b` at least `least_mm` apart; `why` names the check, `parts` the bodies (none: holes)."""

    a: str
    b: str
    least_mm: float
    why: str
    parts: tuple[Body, ...] = ()


@dataclass(frozen=True, slots=True)
class FixedDemand:
    """Axis `a` at least `least_mm` from the point or the box (x0, y0, x1, y1); `parts`: its body and the one there
    (none: holes)."""

    a: str
    box: tuple[float, float, float, float]
    least_mm: float
    why: str
    parts: tuple[Body, ...] = ()


@dataclass(frozen=True, slots=True)
class Model:
    """Arrays for the search. Shafts are numbered in `names`; the output is number 0.

    `parents`, `distances`: the tree, in placing order; `given_angle`, `given_xy`: NaN where free. `hull_radius`: of the
    margin disc for the objective. `hull_fixed`: discs (x, y, r) that the hull covers whatever the shafts do.
    """

    names: tuple[str, ...]
    order: tuple[int, ...]
    parents: tuple[int, ...]
    distances: tuple[float, ...]
    given_angle: tuple[float, ...]
    given_xy: tuple[tuple[float, float], ...]
    free: tuple[int, ...]
    demands: tuple[Demand, ...]
    fixed: tuple[FixedDemand, ...]
    reach: tuple[float, ...]
    hull_radius: tuple[float, ...]
    hull_fixed: tuple[tuple[float, float, float], ...]


def floor_mm(spec: LayoutSpec) -> float:
    """Lowest y that what the tool places may reach."""
    return KEPT_MM - 0.5 * spec.wheel.diameter_mm


def web_mm(spec: LayoutSpec, side: Side) -> float:
    """Web wanted between holes of a plate: given, or its thickness and never under 3 mm (common practice)."""
    if spec.clearances.web_mm is not None:
        return spec.clearances.web_mm
    return max(spec.stock(side).used_mm, 3.0)


def bodies_by_shaft(spec: LayoutSpec, stack: Stack) -> dict[str, tuple[Body, ...]]:
    """Bodies round each axis, at the origin, without the clocked screws."""
    gears = gears_on_shafts(spec, stack)
    table = {shaft.name: shaft_bodies(spec, stack, gears, shaft) for shaft in spec.shafts}
    table |= {motor.name: motor_bodies(spec, stack, gears, motor) for motor in spec.motors}
    return table


def build_model(
    spec: LayoutSpec,
    stack: Stack,
    rail_holes: Sequence[tuple[float, float]],
    in_reach: bool = False,
    sure: bool = False,
    share: float = 1.0,
) -> Model:
    """Collect every demand of the layout that depends on where shafts stand.

    `in_reach` asks for more than any clearance does: that nothing but a motor's own gear stands between its screw
    circle and the driver, however the motor is turned. Else every motor has room for itself and its screws however it
    is turned; `sure` asks only for what it needs in any case, so that no layout at all is left out: for proofs.
    `share`: how much of the gaps and webs of common practice is asked for; at 0 nothing may touch, and no more.
    """
    table = bodies_by_shaft(spec, stack)
    if sure:
        table = {name: tuple(map(_surely, bodies)) for name, bodies in table.items()}
    names = (OUTPUT, *(link.child for link in links(spec)))
    number = {name: index for index, name in enumerate(names)}
    mates, needs = mate_names(spec), Requirements(spec)
    meshed = {frozenset((need.driver_shaft, need.driven_shaft)) for need in mesh_needs(spec)}
    demands: dict[tuple[str, str], Demand] = {}

    def ask(a: str, b: str, least: float, why: str, parts: tuple[Body, ...] = ()) -> None:
        key = (a, b) if a < b else (b, a)
        if key not in demands or demands[key].least_mm < least:
            demands[key] = Demand(a, b, least, why, parts)

    holes = centre_holes(spec, stack, whole=not sure)
    for index, a in enumerate(names):
        for b in names[:index]:
            for body in table[a]:
                for other in table[b]:
                    need = needs.of(body, other)
                    if need is None or not overlap_along_z(body, other, spec) or may_meet(body, other, mates):
                        continue
                    gap = need.gap_mm if need.hard else share * need.gap_mm
                    gap = gap if sure else max(gap, _travel_mm(spec, body), _travel_mm(spec, other))
                    ask(a, b, body.radius_mm + other.radius_mm + gap, need.check, (body, other))
            if frozenset((a, b)) not in meshed:
                for side in Side:
                    if (a, side) in holes and (b, side) in holes:
                        ask(a, b, 0.5 * (holes[a, side] + holes[b, side]) + share * web_mm(spec, side), "web")
    if in_reach:
        for motor in spec.motors:
            for name in names:
                if name != motor.name and frozenset((name, motor.name)) not in meshed:
                    for body in in_the_path(spec, stack, motor, table[name]):
                        ask(motor.name, name, body.radius_mm + driver_circle_mm(motor), "motor-service")
    fixed = _fixed_demands(spec, stack, table, names, rail_holes, holes, sure, share)
    if sure and spec.rail is not None and spec.rail.reliefs:
        fixed = [demand for demand in fixed if demand.why != "rail-face"]  # it may stand in one of the rail's reliefs
    places = [spec.places.get(name) for name in names]
    given_angle = tuple(
        place.angle_rad if place is not None and place.angle_rad is not None else math.nan for place in places
    )
    given_xy = tuple(
        (place.x_mm, place.y_mm)
        if place is not None and place.x_mm is not None and place.y_mm is not None
        else (math.nan, math.nan)
        for place in places
    )
    chain = links(spec)
    rail_margin = 0.5 * spec.rail.screw.normal_mm + spec.margin_mm if spec.rail is not None else 0.0
    return Model(
        names=names,
        order=tuple(number[link.child] for link in chain),
        parents=tuple(number[link.parent] for link in chain),
        distances=tuple(link.distance_mm for link in chain),
        given_angle=given_angle,
        given_xy=given_xy,
        free=tuple(number[name] for name in free_shafts(spec)),
        demands=tuple(demands.values()),
        fixed=tuple(fixed),
        reach=tuple(_reach(table[name]) for name in names),
        hull_radius=tuple(_hull_radius(spec, stack, name, holes, sure) for name in names),
        hull_fixed=tuple((x, y, rail_margin) for x, y in rail_holes),
    )


def _travel_mm(spec: LayoutSpec, body: Body) -> float:
    """How far a body goes along with its motor's slots."""
    return next((motor.slot_travel_mm for motor in spec.motors if motor.name == body.shaft), 0.0)


def _surely(body: Body) -> Body:
    """The disc that a body fills however it is turned."""
    return replace(body, radius_mm=body.least_radius_mm, core_mm=0.0) if body.core_mm > 0.0 else body


def centre_holes(spec: LayoutSpec, stack: Stack, whole: bool = True) -> dict[tuple[str, Side], float]:
    """Diameter of the hole round each axis in each plate, where there is one. Not `whole`: only what every layout has;
    of a slot its width, and no hole in the other plate for a motor's shaft, which may run beside that plate."""
    gears = gears_on_shafts(spec, stack)
    found: dict[tuple[str, Side], float] = {}
    origin = dict.fromkeys((*(m.name for m in spec.motors), *(s.name for s in spec.shafts)), (0.0, 0.0))
    for side in Side:
        for shaft in spec.shafts:
            for hole in shaft_holes(spec, stack, shaft, side, (0.0, 0.0)):
                found[shaft.name, side] = hole.part_diameter_mm
        for motor in spec.motors:
            if motor.side is not side and not whole:
                continue
            for hole in motor_holes(spec, stack, motor, side, gears, origin, 0.0):
                if hole.x_mm == 0.0 and hole.y_mm == 0.0:
                    found[motor.name, side] = hole.part_diameter_mm + (hole.slot_length_mm if whole else 0.0)
    return found


def _fixed_demands(
    spec: LayoutSpec,
    stack: Stack,
    table: dict[str, tuple[Body, ...]],
    names: tuple[str, ...],
    rail_holes: Sequence[tuple[float, float]],
    holes: dict[tuple[str, Side], float],
    sure: bool,
    share: float,
) -> list[FixedDemand]:
    mates, needs = mate_names(spec), Requirements(spec)
    still = [*fixed_bodies(spec, stack)]
    for index, place in enumerate(rail_holes):
        still += rail_screw_bodies(spec, stack, index, place)
    strongest: dict[tuple[str, tuple[float, float, float, float]], FixedDemand] = {}
    for name in names:
        for body in (*table[name], *_plate_discs(spec, stack, name, holes)):
            for other in still:
                need = needs.of(body, other)
                if need is None or not overlap_along_z(body, other, spec) or may_meet(body, other, mates):
                    continue
                if name == OUTPUT and other.kind is BodyKind.RAIL and in_rail_relief(body, spec, {OUTPUT: (0.0, 0.0)}):
                    continue
                box = other.box or (other.x_mm, other.y_mm, other.x_mm, other.y_mm)
                gap = need.gap_mm if need.hard else share * need.gap_mm
                gap = gap if sure else max(gap, _travel_mm(spec, body))
                least = body.radius_mm + other.radius_mm + gap
                key = (name, box)
                if key not in strongest or strongest[key].least_mm < least:
                    strongest[key] = FixedDemand(name, box, least, need.check, (body, other))
    if spec.rail is not None:
        for index, (x, y) in enumerate(rail_holes):
            for (name, side), diameter in holes.items():
                least = 0.5 * (diameter + spec.rail.screw.normal_mm) + share * web_mm(spec, side)
                key = (name, (x, y, x, y))
                if key not in strongest or strongest[key].least_mm < least:
                    strongest[key] = FixedDemand(name, (x, y, x, y), least, f"web to rail-{index + 1}")
            for relief in spec.rail.reliefs:
                if relief.shaft not in names or relief.shaft == OUTPUT:
                    continue
                # the relief stands off its shaft, so the shaft keeps off a point that stands off the screw as much
                least = 0.5 * (relief.diameter_mm + spec.rail.screw.normal_mm) + spec.rail.wall_mm
                spot = (x - relief.x_mm, y - relief.y_mm) * 2
                key = (relief.shaft, spot)
                if key not in strongest or strongest[key].least_mm < least:
                    strongest[key] = FixedDemand(relief.shaft, spot, least, f"rail-drilling at rail-{index + 1}")
    return list(strongest.values())


def _plate_discs(spec: LayoutSpec, stack: Stack, name: str, holes: dict[tuple[str, Side], float]) -> list[Body]:
    """The plates' margin round one axis, which keeps off the user's keep-outs."""
    return [
        Body(
            f"{side.value} plate",
            BodyKind.PLATE,
            name,
            0.0,
            0.0,
            0.5 * holes[name, side] + spec.margin_mm,
            *stack.plate(side),
        )
        for side in Side
        if (name, side) in holes
    ]


def _reach(bodies: Sequence[Body]) -> float:
    """Radius round the axis that must stay inside the limits."""
    kinds = {BodyKind.GEAR, BodyKind.MOTOR, BodyKind.FLANGE, BodyKind.BEARING, BodyKind.SPACER}
    return max((body.radius_mm for body in bodies if body.kind in kinds), default=0.0)


def _hull_radius(spec: LayoutSpec, stack: Stack, name: str, holes: dict[tuple[str, Side], float], sure: bool) -> float:
    """Radius of the margin disc round an axis. A motor's goes round its whole screw circle or, where only what is
    `sure` counts, round what lies inside its screws however they are turned."""
    own = [0.5 * diameter for (owner, _), diameter in holes.items() if owner == name]
    radius = max(own, default=0.0) + spec.margin_mm if own or not sure else 0.0
    for motor in spec.motors:
        if motor.name == name:
            circle = 0.5 * motor.motor.face.bolt_circle_mm
            if sure:
                # the hull of three or more screws holds this disc however they are turned, so that a bound stays one
                circle *= max(0.0, math.cos(0.5 * widest_gap_rad(motor)))
            radius = max(radius, circle + 0.5 * motor.screw.normal_mm + spec.margin_mm)
    if spec.cover_gears:
        for gear in gears_on_shafts(spec, stack):
            if gear.shaft == name:
                radius = max(radius, 0.5 * gear.tip_diameter_mm + GUARD_MM)
    return radius


def widest_gap_rad(motor: MotorSpec) -> float:
    """The widest angle between neighbours among a motor's used screws."""
    offsets = sorted(offset % (2 * math.pi) for offset in screw_offsets_rad(motor))
    return max(b - a for a, b in zip(offsets, [*offsets[1:], offsets[0] + 2 * math.pi], strict=True))
