"""The chain of parts along one shaft, and how long the shaft is cut.

Between the plates the parts lie between the inner rings of both bearings (the plates themselves where the shaft stands
still). The spacers next to the bearings are made shorter by half of the float each, so that gears stand in their
planes when the float is shared. The shaft itself is held by one ring in a groove between two of these parts, or, the
output axle, by one at each end. A shaft that stands still has a ring just inside each plate; half of its float lies
between rings and plates, half between what the rings hold and its gears, which turn.
"""

from __future__ import annotations

from itertools import pairwise

from gearplate.catalog.retainers import Retainer
from gearplate.layout.axial.bearing_faces import SHIM_MM, bearing_z_mm
from gearplate.layout.axial.parts import AxialPart, PartKind, ShaftPlan
from gearplate.layout.axial.sprockets import in_rail, sprocket_parts
from gearplate.layout.design import GearOnShaft, Layout, Stack
from gearplate.layout.spec import CarriedBy, LayoutSpec, Role, ShaftSpec, Side

LEAST_SPACER_MM = 0.5  # thinner ones are not cut; common practice, no source
EXACT_MM = 1e-6


def shaft_plan(spec: LayoutSpec, layout: Layout, shaft: ShaftSpec) -> ShaftPlan:
    """One shaft's chain of parts and its cut length."""
    stack = layout.stack
    own = sorted((gear for gear in layout.gears if gear.shaft == shaft.name), key=lambda gear: gear.z0_mm)
    low, high = _limits(spec, stack, shaft, own)
    inside, short = _between(shaft, own, low, high)
    slack = high - low - sum(part.length_mm for part in inside)
    outside = _bearings(stack, shaft)
    z0 = stack.inboard[0] if shaft.inboard is not None or not shaft.turns else low
    z1 = stack.outboard[1] if shaft.outboard is not None or not shaft.turns else high
    half = 0.5 * shaft.float_mm
    held = next((part.name for part in inside if part.kind is PartKind.RETAINER), None)
    bench = False
    if shaft.role is Role.OUTPUT:
        ends = _axle_ends(spec, stack, shaft, own)
        outside += ends
        retainer = shaft.held_by
        past = retainer.edge_mm + retainer.groove_spare_mm if retainer is not None else 0.0
        z0 = min((part.z0_mm for part in (*inside, *outside)), default=low) - past
        z1 = max((part.z1_mm for part in (*inside, *outside)), default=high) + past
        held = next((part.name for part in ends if part.kind is PartKind.RETAINER), None)
        short = 0.0
        if spec.carried_by is not CarriedBy.PLATES:
            slack, bench = shaft.float_mm, True
    else:
        z0, z1 = z0 + half, z1 - half
    parts = sorted((*inside, *outside), key=lambda part: (part.z0_mm, part.z1_mm))
    return ShaftPlan(shaft.name, shaft.role, tuple(parts), z0, z1, slack, held, short, bench)


def _limits(spec: LayoutSpec, stack: Stack, shaft: ShaftSpec, own: list[GearOnShaft]) -> tuple[float, float]:
    """What the parts between the plates run up against: inner rings, plates, or the end of the shaft."""
    if not shaft.turns:
        return stack.inboard[1], stack.outboard[0]
    axial = spec.clearances.axial_mm
    low, high = stack.inboard[1] + axial, stack.outboard[0] - axial
    if shaft.inboard is not None:
        low = bearing_z_mm(stack, Side.INBOARD, shaft.inboard)[1]
    elif shaft.role is Role.OUTPUT and own:
        low = own[0].z0_mm
    if shaft.outboard is not None:
        high = bearing_z_mm(stack, Side.OUTBOARD, shaft.outboard)[0]
    elif shaft.role is Role.OUTPUT and own:
        high = own[-1].z1_mm
    return low, high


def _between(shaft: ShaftSpec, own: list[GearOnShaft], low: float, high: float) -> tuple[tuple[AxialPart, ...], float]:
    """Gears, spacers and what holds the shaft between the plates; and how much room that lacks."""
    half = 0.5 * shaft.float_mm
    rooms = _rooms(own, low + half, high - half)
    ring, short = _ring_room(shaft, rooms)
    at_ends = False
    if ring is not None and shaft.held_by is not None:
        left = rooms[ring][1] - rooms[ring][0] - shaft.held_by.width_mm
        if left < LEAST_SPACER_MM - EXACT_MM:  # beside a ring alone between two gears: a part of the float
            half = max(0.0, half - 0.5 * left)
            rooms = _rooms(own, low + half, high - half)
    elif not shaft.turns and shaft.held_by is not None and own and not held_by_fit(shaft):
        half *= 0.5
        rooms = _rooms(own, low + half, high - half, half)
        free = min(end - start for start, end in (rooms[0], rooms[-1]))
        short = max(0.0, shaft.held_by.width_mm + LEAST_SPACER_MM - free)
        at_ends = short <= EXACT_MM
        short = 0.0 if at_ends else short
    parts = []
    for gear in own:
        name = f"{shaft.name} {gear.gear.teeth}T"
        parts.append(AxialPart(PartKind.GEAR, name, gear.z0_mm, gear.z1_mm, gear.tip_diameter_mm))
    for index, (start, end) in enumerate(rooms):
        taken = index == ring or (at_ends and index in (0, len(own)))
        if taken and shaft.held_by is not None:
            # in a shaft that turns against the gear: what lies at the bearing is a spacer
            at_top = index == len(own) if at_ends else index < len(own)
            width = shaft.held_by.width_mm
            z0 = end - width if at_top else start
            parts.append(_retainer(shaft.held_by, z0))
            start, end = (start, z0) if at_top else (z0 + width, end)
        if end - start > (LEAST_SPACER_MM - EXACT_MM if taken else EXACT_MM):
            number = 1 + sum(part.kind is PartKind.SPACER for part in parts)
            name = f"{shaft.name} spacer {number}"
            parts.append(AxialPart(PartKind.SPACER, name, start, end, shaft.spacer_diameter_mm))
    return tuple(parts), short


def held_by_fit(shaft: ShaftSpec) -> bool:
    """Whether a shaft that stands still sits tight in the plates' holes: it needs no ring."""
    return not shaft.turns and shaft.fit_mm is not None and shaft.fit_mm < 0.0


def _rooms(own: list[GearOnShaft], low: float, high: float, beside: float = 0.0) -> list[tuple[float, float]]:
    """The stretches below, between and above the gears; the first and the last keep off them by `beside`."""
    edges = [low, *(z for gear in own for z in (gear.z0_mm, gear.z1_mm)), high]
    if own:
        edges[1] -= beside
        edges[-2] += beside
    return [(edges[index], edges[index + 1]) for index in range(0, len(edges), 2)]


def _ring_room(shaft: ShaftSpec, rooms: list[tuple[float, float]]) -> tuple[int | None, float]:
    """Which stretch between the plates takes the ring: the longest with room for a spacer beside it, or one between
    two gears that it fills alone. None for an axle, which is held at its ends, and for a shaft that stands still,
    which has two."""
    if shaft.role is Role.OUTPUT or not shaft.turns or shaft.held_by is None:
        return None, 0.0
    if shaft.inboard is None or shaft.outboard is None:
        return None, 0.0
    width = shaft.held_by.width_mm
    longest = max(range(len(rooms)), key=lambda index: rooms[index][1] - rooms[index][0])
    most = rooms[longest][1] - rooms[longest][0]
    if most >= width + LEAST_SPACER_MM - EXACT_MM:
        return longest, 0.0
    for index in range(1, len(rooms) - 1):
        if rooms[index][1] - rooms[index][0] >= width - EXACT_MM:
            return index, 0.0
    return None, width + LEAST_SPACER_MM - most


def _retainer(retainer: Retainer, z0: float) -> AxialPart:
    return AxialPart(PartKind.RETAINER, retainer.name, z0, z0 + retainer.width_mm, retainer.outside_mm)


def _bearings(stack: Stack, shaft: ShaftSpec) -> list[AxialPart]:
    found = []
    for side in Side:
        seat = shaft.seat(side)
        if seat is not None and shaft.turns:
            name = f"{shaft.name} {side.value} bearing"
            found.append(AxialPart(PartKind.BEARING, name, *bearing_z_mm(stack, side, seat), seat.bearing.outside_mm))
    return found


def _axle_ends(spec: LayoutSpec, stack: Stack, shaft: ShaftSpec, own: list[GearOnShaft]) -> list[AxialPart]:
    """What sits on the output axle outside the plates: retainer and shim inboard; rail, spacer, wheel and retainer
    toward the wheel. The float of the axle lies half at each retainer."""
    half = 0.5 * shaft.float_mm
    wheel = AxialPart(PartKind.WHEEL, "wheel", *stack.wheel, spec.wheel.diameter_mm)
    parts = [wheel]
    rail, sprockets = in_rail(spec, stack), sprocket_parts(spec, stack)
    parts += sprockets
    if rail is not None and stack.rail is not None:
        z0, z1 = stack.rail
        walls = ((z0, z0 + rail.wall_mm), (z1 - rail.wall_mm, z1))
        parts += (
            AxialPart(PartKind.WALL, f"rail wall {index + 1}", *wall, rail.axle_hole_mm, stacked=False)
            for index, wall in enumerate(walls)
        )
        if spec.carried_by is not CarriedBy.PLATES:
            parts.append(AxialPart(PartKind.BLOCKS, "bearing blocks", z0, z1, rail.axle_hole_mm, stacked=False))
    if shaft.outboard is not None and spec.carried_by is CarriedBy.PLATES:
        start = bearing_z_mm(stack, Side.OUTBOARD, shaft.outboard)[1]
        for part in (*sprockets, wheel):
            if part.z0_mm - start > EXACT_MM:
                to = "the wheel" if part is wheel else part.name.partition(",")[0]
                name = f"output spacer to {to}"
                parts.append(AxialPart(PartKind.SPACER, name, start, part.z0_mm, shaft.spacer_diameter_mm))
            start = part.z1_mm
    if shaft.held_by is None:
        return parts
    parts.append(_retainer(shaft.held_by, stack.wheel[1] + half))
    z = min((gear.z0_mm for gear in own), default=stack.inboard[0])
    if shaft.inboard is not None:
        z = bearing_z_mm(stack, Side.INBOARD, shaft.inboard)[0] - half
        if shaft.held_by.outside_mm > shaft.inboard.bearing.inner_shoulder_mm:
            parts.append(AxialPart(PartKind.SHIM, "output shim", z - SHIM_MM, z, shaft.spacer_diameter_mm))
            z -= SHIM_MM
    parts.append(_retainer(shaft.held_by, z - shaft.held_by.width_mm))
    return parts


def gear_travel_mm(plan: ShaftPlan, gear: GearOnShaft) -> tuple[float, float]:
    """How far a gear can move inboard and outboard from its plane: the gaps between the parts below and above it, as
    far as the bearings. A gear on a shaft without bearings in the plates moves by half of the float either way."""
    chain = [part for part in plan.parts if part.stacked]
    bearings = [index for index, part in enumerate(chain) if part.kind is PartKind.BEARING]
    if len(bearings) < 2:
        return 0.5 * plan.float_mm, 0.5 * plan.float_mm
    down = up = 0.0
    for low, high in pairwise(chain[bearings[0] : bearings[-1] + 1]):
        gap = max(0.0, high.z0_mm - low.z1_mm)
        if high.z1_mm <= gear.z1_mm + EXACT_MM:
            down += gap
        else:
            up += gap
    return down, up
