"""Which bodies must keep apart, by how much, and under which check that is told.

One table for the solver and the checks: what a build would report, the solver keeps clear of.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

from gearplate.finding import Standing
from gearplate.layout.chain import OUTPUT, mesh_needs
from gearplate.layout.design import Body, BodyKind
from gearplate.layout.shapes import gap_between as gap_between
from gearplate.layout.spec import LayoutSpec, RailRelief

Z_TOLERANCE_MM = 1e-6
RELIEF_MM = 1e-9

HARDWARE = frozenset({BodyKind.SCREW_HEAD, BodyKind.WASHER, BodyKind.NUT, BodyKind.FLANGE})
_SWEEPING = frozenset({BodyKind.GEAR, BodyKind.WHEEL})
SHAFTS = frozenset({BodyKind.SHAFT, BodyKind.MOTOR_SHAFT, BodyKind.SPACER})
POSTS = frozenset({BodyKind.STANDOFF, BodyKind.RAIL_TUBE})


@dataclass(frozen=True, slots=True)
class Requirement:
    """The gap that two bodies keep. `hard`: less is an error (the limits of the job, and the wheel's clearance);
    otherwise less is a warning until they touch, which is always an error."""

    check: str
    gap_mm: float
    hard: bool
    standing: Standing


@dataclass(frozen=True, slots=True)
class Pair:
    """Two bodies that overlap along z, the gap they must keep, and (once placed) the gap there is."""

    a: Body
    b: Body
    need: Requirement
    gap_mm: float


def requirement(a: Body, b: Body, spec: LayoutSpec) -> Requirement | None:
    """What a pair of bodies must keep apart in the plane where they overlap along z; None where they may meet.

    Mates of one mesh, bodies on one axis and parts of one group are for the caller to leave out.
    """
    if a.kind is BodyKind.PLATE or b.kind is BodyKind.PLATE:
        other = b if a.kind is BodyKind.PLATE else a
        return _job("keep-out", 0.0) if other.kind is BodyKind.KEEP_OUT else None
    kinds: set[BodyKind] = {a.kind, b.kind}
    if BodyKind.KEEP_OUT in kinds:
        if kinds <= {BodyKind.KEEP_OUT, BodyKind.RAIL, BodyKind.WHEEL}:
            return None
        return _job("keep-out", 0.0)
    clear = spec.clearances
    if BodyKind.WHEEL in kinds:
        if BodyKind.RAIL in kinds:
            return None
        if kinds == {BodyKind.WHEEL}:
            return _practice("wheel-to-wheel", spec.wheel.clear_mm)
        name = "motor-to-wheel" if BodyKind.MOTOR in kinds else "hardware-clearance"
        standing = Standing.JOB if spec.wheel.clear_given else Standing.COMMON_PRACTICE
        return Requirement(name, spec.wheel.clear_mm, True, standing)
    if BodyKind.RAIL in kinds:
        if kinds & {BodyKind.RAIL_TUBE}:
            return None
        if BodyKind.GEAR in kinds:
            return _practice("gear-to-rail", clear.gear_tip_mm)
        if BodyKind.MOTOR in kinds:
            return _practice("motor-to-rail", clear.still_mm)
        return Requirement("rail-face", 0.0, True, Standing.GEOMETRY)
    if BodyKind.GEAR in kinds:
        return _gear_requirement(kinds, clear.gear_tip_mm)
    if kinds & POSTS:
        return _practice("standoff-clearance", clear.still_mm)
    if kinds == {BodyKind.MOTOR}:
        return _practice("motor-to-motor", clear.still_mm)
    return _practice("hardware-clearance", clear.still_mm)


def widest_gap_mm(spec: LayoutSpec) -> float:
    """The widest gap that any two bodies of this spec must keep."""
    return max(spec.clearances.gear_tip_mm, spec.clearances.still_mm, spec.wheel.clear_mm)


class Requirements:
    """The requirements of one spec, remembered: a pair's depends on the kinds of its bodies alone."""

    def __init__(self, spec: LayoutSpec) -> None:
        self._spec = spec
        self._known: dict[tuple[BodyKind, BodyKind], Requirement | None] = {}

    def of(self, a: Body, b: Body) -> Requirement | None:
        """As requirement."""
        key = (a.kind, b.kind)
        if key not in self._known:
            self._known[key] = requirement(a, b, self._spec)
        return self._known[key]


def _gear_requirement(kinds: set[BodyKind], tip_mm: float) -> Requirement:
    if kinds == {BodyKind.GEAR}:
        return _practice("gear-to-gear", tip_mm)
    if kinds & SHAFTS:
        return _practice("gear-to-shaft", tip_mm)
    if kinds & POSTS:
        return _practice("standoff-clearance", tip_mm)
    if kinds & HARDWARE:
        return _practice("hardware-clearance", tip_mm)
    return _practice("gear-to-body", tip_mm)


def _job(check: str, gap_mm: float) -> Requirement:
    return Requirement(check, gap_mm, True, Standing.JOB)


def _practice(check: str, gap_mm: float) -> Requirement:
    return Requirement(check, gap_mm, False, Standing.COMMON_PRACTICE)


def overlap_along_z(a: Body, b: Body, spec: LayoutSpec) -> bool:
    """Whether two bodies share a stretch along z. A turning gear or wheel keeps the axial clearance to what stands
    still; the wheel's gap to the rail is the job's own."""
    pad = 0.0
    if (a.kind in _SWEEPING) != (b.kind in _SWEEPING) and not _on_one_axis(a, b):
        pad = spec.clearances.axial_mm - Z_TOLERANCE_MM
    return a.z0_mm < b.z1_mm + pad - Z_TOLERANCE_MM and b.z0_mm < a.z1_mm + pad - Z_TOLERANCE_MM


def may_meet(a: Body, b: Body, mates: set[frozenset[str]]) -> bool:
    """Whether two bodies belong together: one group, one axis, or mates of a mesh (`mates` = pairs of body names)."""
    if a.group and a.group == b.group:
        return True
    if _on_one_axis(a, b):
        return True
    # a name of the user's own may be that of a gear
    return a.kind is b.kind is BodyKind.GEAR and frozenset((a.name, b.name)) in mates


def _on_one_axis(a: Body, b: Body) -> bool:
    return a.shaft is not None and a.shaft == b.shaft and a.x_mm == b.x_mm and a.y_mm == b.y_mm


def mate_names(spec: LayoutSpec) -> set[frozenset[str]]:
    """Names of the two gear bodies of every mesh."""
    return {
        frozenset((f"{need.driver_shaft} {need.driver.teeth}T", f"{need.driven_shaft} {need.driven.teeth}T"))
        for need in mesh_needs(spec)
    }


def pairs(
    bodies: Sequence[Body],
    spec: LayoutSpec,
    shafts_at: dict[str, tuple[float, float]],
    within_mm: float = math.inf,
) -> Iterator[Pair]:
    """Every pair of placed bodies that must keep apart and overlaps along z, with the gap there is. `within_mm`: only
    those of which one lies no farther than that from the other.

    What stands proud on the rail inside one of its relief holes (or the axle's hole) is left out of `rail-face`, but
    where it turns: then it keeps off that hole's edge.
    """
    return _needing(((a, b) for index, a in enumerate(bodies) for b in bodies[:index]), spec, shafts_at, within_mm)


def pairs_between(
    some: Iterable[Body], others: Sequence[Body], spec: LayoutSpec, shafts_at: dict[str, tuple[float, float]]
) -> Iterator[Pair]:
    """As pairs, with one body out of each list."""
    return _needing(((a, b) for a in some for b in others), spec, shafts_at)


def _needing(
    couples: Iterable[tuple[Body, Body]],
    spec: LayoutSpec,
    shafts_at: dict[str, tuple[float, float]],
    within_mm: float = math.inf,
) -> Iterator[Pair]:
    mates, needs = mate_names(spec), Requirements(spec)
    for a, b in couples:
        if a.box is not None and b.box is not None:
            continue
        if not overlap_along_z(a, b, spec):
            continue
        gap = gap_between(a, b)
        far = gap > within_mm and BodyKind.RAIL not in (a.kind, b.kind)  # in a hole of the rail it is that hole's edge
        if far or may_meet(a, b, mates):
            continue
        need = needs.of(a, b)
        if need is None:
            continue
        if need.check == "rail-face":
            proud = a if b.kind is BodyKind.RAIL else b
            room = room_in_rail_mm(proud, spec, shafts_at)
            if room >= -RELIEF_MM and not proud.turns:
                continue
            if room >= -RELIEF_MM:
                need, gap = _practice("rail-face", spec.clearances.still_mm), room
        yield Pair(a, b, need, gap)


def in_rail_relief(body: Body, spec: LayoutSpec, shafts_at: dict[str, tuple[float, float]]) -> bool:
    """Whether a body stands wholly inside a hole of the rail's wall."""
    return room_in_rail_mm(body, spec, shafts_at) >= -RELIEF_MM


def room_in_rail_mm(body: Body, spec: LayoutSpec, shafts_at: dict[str, tuple[float, float]]) -> float:
    """Room all round a body in the hole of the rail's wall that leaves it most, mm; negative where it stands in the
    wall, infinite without a rail."""
    rail = spec.rail
    if rail is None:
        return math.inf
    most = -math.inf
    reliefs = (RailRelief(0.0, 0.0, rail.axle_hole_mm, OUTPUT), *rail.reliefs)
    for relief in reliefs:
        x, y = (0.0, 0.0) if relief.shaft is None else shafts_at.get(relief.shaft, (math.inf, math.inf))
        away = math.hypot(body.x_mm - x - relief.x_mm, body.y_mm - y - relief.y_mm)
        most = max(most, 0.5 * relief.diameter_mm - away - body.radius_mm)
    return most
