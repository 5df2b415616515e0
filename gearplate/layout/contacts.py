"""What each shaft that the tool placed stands nearest to: what would have to give for it to go further.

Measured on the finished layout, as it is built and checked. A search pushes shafts until they stand at what they must
keep off; then a share of the hull buys room, the same at all such places, `spend.MOST_MM` at most. So a contact `holds`
its shaft where it has the least room of all, and no more.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from gearplate.layout.bodies import margin_discs, plate_bodies
from gearplate.layout.chain import links
from gearplate.layout.clearance import Z_TOLERANCE_MM, Pair, pairs_between
from gearplate.layout.constraints import GUARD_MM, floor_mm, web_mm
from gearplate.layout.design import LIMITED_KINDS, Body, BodyKind, HoleKind, Layout
from gearplate.layout.hardware import screw_places
from gearplate.layout.nearest import Between, Grown, between, grown_body, grown_hole, hull_between
from gearplate.layout.service import driver_radius_mm, in_the_path
from gearplate.layout.shapes import upright_box
from gearplate.layout.spec import LayoutSpec, Side
from gearplate.layout.spend import MOST_MM

Point = tuple[float, float]

HELD_MM = 0.25
"""A contact holds its shaft where it has no more room than that beyond the least room of all: a search ends a
micrometre off its demands, but with motors not turned yet."""

FAR_MM = 10.0
"""What is farther away than that, beyond the least, is no contact."""

MOST, MOST_HOLDING = 2, 3
"""Contacts told of each shaft."""


@dataclass(frozen=True, slots=True)
class Contact:
    """One thing that a free shaft's `part` keeps off, in the plane.

    `gap_mm`: what there is between the two, from `at_mm` on the part to `to_mm` on the other; `least_mm`: what must be
    there. Of a limit what is left of it, and nothing. `kind`: what the other is, a body's kind or "hole", "driver",
    "limit", "floor". `check`: the code of the check that asks it; `key`: of the job, what sets the least or the limit,
    where one does. `holds`: see the module.
    """

    shaft: str
    part: str
    other: str
    kind: str
    check: str
    key: str
    gap_mm: float
    least_mm: float
    at_mm: Point
    to_mm: Point
    holds: bool = False

    @property
    def room_mm(self) -> float:
        """What there is beyond the least, mm; negative where that is not kept."""
        return self.gap_mm - self.least_mm


Owned = Iterator[tuple[str, Contact]]
"""Contacts, each with the name of what the other part belongs to."""


def contacts(spec: LayoutSpec, layout: Layout) -> tuple[Contact, ...]:
    """Of every free shaft the nearest two things it keeps off (three where they hold it), no farther than FAR_MM beyond
    the least; the nearest first. Standoffs are none: they are set after the shafts, as near as they may. Nor is the
    shaft's partner in a mesh: it stays as near as it is."""
    found: list[list[Contact]] = []
    for shaft in layout.shafts:
        if not shaft.free:
            continue
        nearest: dict[str, Contact] = {}
        for owner, contact in _all_of(spec, layout, shaft.name):
            if owner not in nearest or contact.room_mm < nearest[owner].room_mm:
                nearest[owner] = contact
        near = sorted((one for one in nearest.values() if one.room_mm <= FAR_MM), key=lambda one: one.room_mm)
        found.append(near)
    least = min((one.room_mm for near in found for one in near), default=0.0)
    most = min(max(least, 0.0), MOST_MM) + HELD_MM
    marked = ([replace(one, holds=one.room_mm <= most) for one in near[:MOST_HOLDING]] for near in found)
    return tuple(one for near in marked for number, one in enumerate(near) if number < MOST or one.holds)


def _all_of(spec: LayoutSpec, layout: Layout, shaft: str) -> Owned:
    """Everything that one shaft keeps off."""
    partners = {shaft}
    for link in links(spec):
        if shaft in (link.child, link.parent):
            partners |= {link.child, link.parent}
    yield from _bodies(spec, layout, shaft, partners)
    yield from _webs(spec, layout, shaft, partners)
    yield from _drivers(spec, layout, shaft, partners)
    yield from _plates(spec, layout, shaft)
    yield from _limits(spec, layout, shaft)
    yield from _floor(spec, layout, shaft)


def _owner(body: Body) -> str:
    """What a body belongs to. The wheel turns with the output, but is a thing of its own."""
    return body.shaft if body.shaft is not None and body.kind is not BodyKind.WHEEL else body.group or body.name


def _bodies(spec: LayoutSpec, layout: Layout, shaft: str, partners: set[str]) -> Owned:
    """What stands on other shafts or stands still; the plates' margins against the user's keep-outs."""
    others = [body for body in layout.bodies if body.shaft not in partners and not body.group.startswith("standoff")]
    own = [body for body in layout.bodies if body.shaft == shaft]
    keeps = [body for body in others if body.kind is BodyKind.KEEP_OUT]
    rims = [body for body in plate_bodies(spec, layout.stack, layout.holes) if keeps and body.shaft == shaft]
    places = {one.name: (one.x_mm, one.y_mm) for one in layout.shafts}
    travel = {motor.name: motor.slot_travel_mm for motor in spec.motors}
    for some, against in ((own, others), (rims, keeps)):
        for pair in pairs_between(some, against, spec, places):
            a, b, need = pair.a, pair.b, pair.need
            here = (a.x_mm, a.y_mm)  # inside the other, or in a hole of the rail: no two ends to show
            apart = between(grown_body(a), grown_body(b)) or Between(0.0, here, here)
            apart = replace(apart, gap_mm=pair.gap_mm)
            key, least = _key(pair), need.gap_mm
            travels = max(travel.get(a.shaft or "", 0.0), travel.get(b.shaft or "", 0.0))
            if travels > least:
                key, least = "motors.slots", travels
            yield _owner(b), _contact(shaft, a.name, b.name, b.kind, need.check, key, apart, least)


def _contact(
    shaft: str, part: str, other: str, kind: str, check: str, key: str, apart: Between, least_mm: float = 0.0
) -> Contact:
    return Contact(shaft, part, other, str(kind), check, key, apart.gap_mm, least_mm, apart.at_mm, apart.to_mm)


def _key(pair: Pair) -> str:
    """The key of the job that sets what a pair of bodies keeps apart, as `clearance.requirement` has it."""
    kinds = {pair.a.kind, pair.b.kind}
    if BodyKind.KEEP_OUT in kinds:
        return "keep_outs"
    if BodyKind.WHEEL in kinds:
        return "wheel.clear"
    if pair.need.check == "rail-face" and pair.need.hard:
        return ""  # two solid things: nothing in the job asks for that
    return "clearances.gear_tip" if BodyKind.GEAR in kinds else "clearances.still"


def _webs(spec: LayoutSpec, layout: Layout, shaft: str, partners: set[str]) -> Owned:
    """Material between two holes of one plate."""
    for own in layout.holes:
        if own.shaft != shaft:
            continue
        for other in layout.holes:
            if other.side is not own.side or other.shaft in partners or other.kind is HoleKind.STANDOFF:
                continue
            apart = between(grown_hole(own), grown_hole(other))
            if apart is not None:
                least = web_mm(spec, own.side)
                owner = other.shaft or other.id
                yield owner, _contact(shaft, own.id, other.id, "hole", "web", "clearances.web", apart, least)


def _drivers(spec: LayoutSpec, layout: Layout, shaft: str, partners: set[str]) -> Owned:
    """The straight ways of drivers to motor screws, as far as they are free: what blocks one was not kept off."""
    clocking = dict(layout.clocking_rad)
    for motor in spec.motors:
        place = layout.shaft(motor.name)
        bodies = [body for body in layout.bodies if body.shaft is not None and body.shaft != motor.name]
        path = in_the_path(spec, layout.stack, motor, bodies)
        for index, (dx, dy) in enumerate(screw_places(motor, clocking[motor.name])):
            driver = Grown(((place.x_mm + dx, place.y_mm + dy),), driver_radius_mm(motor))
            name = f"{motor.name} screw {index + 1}"
            for body in path:
                apart = between(driver, grown_body(body))
                if apart is None or apart.gap_mm < 0.0:
                    continue
                if motor.name == shaft and body.shaft not in partners:
                    yield _owner(body), _contact(shaft, name, body.name, body.kind, "motor-service", "", apart)
                elif body.shaft == shaft and motor.name not in partners:
                    back = Between(apart.gap_mm, apart.to_mm, apart.at_mm)
                    yield motor.name, _contact(shaft, body.name, name, "driver", "motor-service", "", back)


def _plates(spec: LayoutSpec, layout: Layout, shaft: str) -> Owned:
    """The plates' hull off the user's keep-outs, where the shaft's margin is an end of the edge that comes nearest."""
    plates = [layout.stack.plate(side) for side in Side]
    keeps = [
        body
        for body in layout.bodies
        if body.kind is BodyKind.KEEP_OUT
        and any(body.z0_mm < z1 - Z_TOLERANCE_MM and body.z1_mm > z0 + Z_TOLERANCE_MM for z0, z1 in plates)
    ]
    if not keeps:
        return
    owned = [
        (hole.shaft, disc)
        for hole in layout.holes
        if hole.kind is not HoleKind.STANDOFF
        for disc in margin_discs(hole, spec.margin_mm)
    ]
    if spec.cover_gears:
        for gear in layout.gears:
            at = layout.shaft(gear.shaft)
            owned.append((gear.shaft, (at.x_mm, at.y_mm, 0.5 * gear.tip_diameter_mm + GUARD_MM)))
    for keep in keeps:
        found = hull_between([disc for _, disc in owned], grown_body(keep))
        if found is not None and shaft in {owned[index][0] for index in found[1]}:
            yield _owner(keep), _contact(shaft, "plates", keep.name, keep.kind, "keep-out", "keep_outs", found[0])


def _limits(spec: LayoutSpec, layout: Layout, shaft: str) -> Owned:
    """The job's limits in the plane; height and width from the farthest of all else."""
    limits = spec.limits
    bodies = [body for body in layout.bodies if body.kind in LIMITED_KINDS]
    bodies += plate_bodies(spec, layout.stack, layout.holes)
    boxes = [(body, upright_box(body)) for body in bodies]
    own = [(body, box) for body, box in boxes if body.shaft == shaft]
    least = [min(box[axis] for _, box in boxes) for axis in (0, 1)]
    most = [max(box[axis + 2] for _, box in boxes) for axis in (0, 1)]
    ends = (
        ("forward", limits.forward_mm, 0, 1.0),
        ("back", limits.back_mm, 0, -1.0),
        ("up", limits.up_mm, 1, 1.0),
        ("down", limits.down_mm, 1, -1.0),
    )
    for key, limit, axis, sign in ends:
        if limit is not None:
            yield _limit(shaft, f"limits.{key}", own, axis, sign, limit)
    for key, limit, axis in (("width", limits.width_mm, 0), ("height", limits.height_mm, 1)):
        if limit is not None:
            both = [
                _limit(shaft, f"limits.{key}", own, axis, 1.0, least[axis] + limit),
                _limit(shaft, f"limits.{key}", own, axis, -1.0, limit - most[axis]),
            ]
            yield min(both, key=lambda one: one[1].room_mm)


def _limit(
    shaft: str,
    name: str,
    own: list[tuple[Body, tuple[float, float, float, float]]],
    axis: int,
    sign: float,
    end_mm: float,
) -> tuple[str, Contact]:
    """What is left up to a line at `end_mm` along an axis, in the direction `sign`."""
    outer = axis + 2 if sign > 0.0 else axis
    body, box = max(own, key=lambda one: sign * one[1][outer])
    gap = end_mm - sign * box[outer]
    middle = body.y_mm if axis == 0 else body.x_mm
    at, to = box[outer], sign * end_mm
    ends = ((at, middle), (to, middle)) if axis == 0 else ((middle, at), (middle, to))
    return name, _contact(shaft, body.name, name, "limit", "limits-plane", name, Between(gap, *ends))


def _floor(spec: LayoutSpec, layout: Layout, shaft: str) -> Owned:
    """How low what the tool places may hang."""
    own = [(body, upright_box(body)) for body in layout.bodies if body.shaft == shaft and body.kind in LIMITED_KINDS]
    owner, contact = _limit(shaft, "floor", own, 1, -1.0, -floor_mm(spec))
    yield owner, replace(contact, kind="floor", check="ground", key="")
