"""Trains that no layout can save: two axes whose distance the train itself fixes stand too near for what is on them.

The distance of two shafts that turn each other is their centre distance, wherever they stand. So is the least distance
of a motor's screws from the gear's shaft that its pinion drives: the best clocking turns them as far away as they go.
What these pairs need comes from the layout's own tables: bodies, gaps, holes, webs. Here it is only taken apart into
what depends on tooth counts (tip circles and centres) and what does not, so that a million trains cost no more than
a few sums each.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from gearplate.gears.involute import Array
from gearplate.gears.trains.facts import Facts, GearOf
from gearplate.gears.trains.listing import TrainTable
from gearplate.gears.trains.values import Train
from gearplate.gears.trains.window import Whole
from gearplate.layout.bodies import gears_on_shafts
from gearplate.layout.chain import MeshNeed, mesh_needs, stage_shaft
from gearplate.layout.clearance import mate_names, may_meet, overlap_along_z, requirement
from gearplate.layout.constraints import bodies_by_shaft, centre_holes, web_mm, widest_gap_rad
from gearplate.layout.design import Body, BodyKind, Stack
from gearplate.layout.hardware import screw_bodies
from gearplate.layout.misses import EPSILON_MM
from gearplate.layout.spec import LayoutSpec, MotorSpec, Side
from gearplate.layout.stack import axial_stack, heads_need_room

# A gear of a train: its stage (from 0), and whether it is the driver.
Slot = tuple[int, bool]


@dataclass(frozen=True, slots=True)
class Term:
    """Two things on axes whose distance the train fixes, and what they need.

    The need is `rest_mm` and the tip radii of `gears`. The distance is the centre distance `centre_mm` of the stage
    (`stage` from 0) or, where `screw` is given as (radius, angle), that of a screw which stands so about the motor's
    axis, the angle counted from the line of centres; on the motor's own axis (`stage` None) it is the radius itself.
    """

    check: str
    what: str
    stage: int | None
    centre_mm: float
    rest_mm: float
    gears: tuple[Slot, ...] = ()
    tips_mm: float = 0.0
    screw: tuple[float, float] | None = None

    @property
    def least_mm(self) -> float:
        """What is needed in the train that the term was made for."""
        return self.rest_mm + self.tips_mm

    def distance_mm(self, centre_mm: Array) -> Array:
        """How far the two stand apart at these centre distances."""
        if self.screw is None:
            return centre_mm
        radius, angle = self.screw
        if self.stage is None:
            return np.full_like(centre_mm, radius)
        return np.sqrt(centre_mm**2 + radius**2 - 2.0 * centre_mm * radius * math.cos(angle))

    @property
    def missing_mm(self) -> float:
        """How much is missing in the train that the term was made for; not above zero where nothing is."""
        return self.least_mm - float(self.distance_mm(np.array([self.centre_mm]))[0])


def static_terms(spec: LayoutSpec, stack: Stack | None = None) -> tuple[Term, ...]:
    """All that the train of a layout fixes by itself. Shafts placed by coordinate are left out: there the job fixes
    the distance, and the mesh's own check tells."""
    stack = axial_stack(spec) if stack is None else stack
    slots = _slots(spec, stack)
    table = bodies_by_shaft(spec, stack)
    holes = centre_holes(spec, stack)
    terms: list[Term] = []
    for need in mesh_needs(spec):
        place = spec.places.get(need.driver_shaft)
        if place is not None and place.x_mm is not None:
            continue
        terms += _between_axes(spec, need, table, slots)
        terms += _between_bores(need, holes)
        for motor in spec.motors:
            if motor.name == need.driver_shaft:
                terms += _screws(spec, stack, motor, need, table, slots, holes)
    return tuple(terms)


def static_misses(spec: LayoutSpec) -> tuple[Term, ...]:
    """What makes every layout of this train impossible, worst first; empty where nothing does."""
    broken = [term for term in static_terms(spec) if term.missing_mm > EPSILON_MM]
    return tuple(sorted(broken, key=lambda term: (-term.missing_mm, term.what)))


def _slots(spec: LayoutSpec, stack: Stack) -> dict[tuple[str, float], Slot]:
    """Which gear of the train stands on a shaft at a height; idlers are in no slot."""
    found: dict[tuple[str, float], Slot] = {}
    motors = {motor.name for motor in spec.motors}
    for gear in gears_on_shafts(spec, stack):
        if gear.shaft in motors:
            found[gear.shaft, gear.z0_mm] = (0, True)
        elif gear.shaft == stage_shaft(spec, gear.stage):
            found[gear.shaft, gear.z0_mm] = (gear.stage - 1, False)
        elif gear.stage > 1 and gear.shaft == stage_shaft(spec, gear.stage - 1):
            found[gear.shaft, gear.z0_mm] = (gear.stage - 1, True)
    return found


def _between_axes(
    spec: LayoutSpec, need: MeshNeed, table: dict[str, tuple[Body, ...]], slots: dict[tuple[str, float], Slot]
) -> list[Term]:
    mates = mate_names(spec)
    terms = []
    for one in table[need.driver_shaft]:
        for two in table[need.driven_shaft]:
            rule = requirement(one, two, spec)
            if rule is None or not overlap_along_z(one, two, spec) or may_meet(one, two, mates):
                continue
            terms.append(_term(spec, rule.check, (one, two), need, rule.gap_mm, slots))
    return terms


def _term(
    spec: LayoutSpec,
    check: str,
    bodies: tuple[Body, Body],
    need: MeshNeed,
    gap_mm: float,
    slots: dict[tuple[str, float], Slot],
    screw: tuple[float, float] | None = None,
    own_axis: bool = False,
) -> Term:
    rest, tips, gears = gap_mm, 0.0, []
    for body in bodies:
        slot = slots.get((body.shaft or "", body.z0_mm)) if body.kind is BodyKind.GEAR else None
        if slot is None:
            rest += body.radius_mm
        else:
            tips += body.radius_mm
            gears.append(slot)
    what = " against ".join(sorted((_called(spec, body) for body in bodies), key=lambda text: "gear" not in text))
    stage = None if own_axis else need.stage - 1
    return Term(check, what, stage, need.centre_mm, rest, tuple(gears), tips, screw)


def _called(spec: LayoutSpec, body: Body) -> str:
    """A body in words that are the same for every train and every motor."""
    name = body.shaft or body.name
    owner = "the motor" if any(motor.name == name for motor in spec.motors) else f"shaft {name}"
    if body.kind is BodyKind.GEAR:
        return "the pinion" if owner == "the motor" else f"a gear on {owner}"
    if body.kind in (BodyKind.SHAFT, BodyKind.MOTOR_SHAFT):
        hexagonal = body.kind is BodyKind.SHAFT and spec.shaft(name).stock.section.hexagonal
        return f"the corners of {owner}" if hexagonal else f"{owner}{' itself' if owner == 'the motor' else ''}"
    if body.kind is BodyKind.MOTOR:
        return "the motor's body"
    return f"the {body.kind.value} of {owner}"


def _between_bores(need: MeshNeed, holes: dict[tuple[str, Side], float]) -> list[Term]:
    """Holes round two axes in one plate must not run into each other. How much web is left is a check of its own."""
    return [
        Term(
            "web",
            f"the hole for {_hole_of(need.driver_shaft)} against that for {_hole_of(need.driven_shaft)}",
            need.stage - 1,
            need.centre_mm,
            0.5 * (holes[need.driver_shaft, side] + holes[need.driven_shaft, side]),
        )
        for side in Side
        if (need.driver_shaft, side) in holes and (need.driven_shaft, side) in holes
    ]


def _hole_of(shaft: str) -> str:
    return "the motor" if shaft.startswith("M") else f"shaft {shaft}"


def _screws(
    spec: LayoutSpec,
    stack: Stack,
    motor: MotorSpec,
    need: MeshNeed,
    table: dict[str, tuple[Body, ...]],
    slots: dict[tuple[str, float], Slot],
    holes: dict[tuple[str, Side], float],
) -> list[Term]:
    """The nearest of a motor's used screws, turned as far from the line of centres as it can be."""
    place = (0.5 * motor.motor.face.bolt_circle_mm, _best_angle_rad(motor))
    heads = [body for body in screw_bodies(spec, stack, motor, 0.0) if body.name.startswith(f"{motor.name} screw 1 ")]
    mates = mate_names(spec)
    terms = []
    pinion = [body for body in table[motor.name] if body.kind is BodyKind.GEAR]
    for head in heads:
        for body in (*table[need.driven_shaft], *pinion):
            rule = requirement(head, body, spec)
            if rule is not None and overlap_along_z(head, body, spec) and not may_meet(head, body, mates):
                own = body.shaft == motor.name
                terms.append(_term(spec, rule.check, (head, body), need, rule.gap_mm, slots, place, own))
    if (need.driven_shaft, motor.side) in holes:
        rest = 0.5 * (holes[need.driven_shaft, motor.side] + motor.screw.normal_mm) + web_mm(spec, motor.side)
        what = f"a screw hole of the motor against the hole for shaft {need.driven_shaft}"
        terms.append(Term("web", what, need.stage - 1, need.centre_mm, rest, screw=place))
    return terms


def _best_angle_rad(motor: MotorSpec) -> float:
    """How far from the line of centres the nearest used screw is when the motor is turned best: half of the widest
    angle between neighbours."""
    return 0.5 * widest_gap_rad(motor)


@dataclass(frozen=True, slots=True)
class Verdict:
    """Of each train of a table: by how much the worst pair misses (not above zero: it passes), and which of `reasons`
    that pair is."""

    missing_mm: Array
    reason: Whole
    reasons: tuple[str, ...]

    @property
    def passes(self) -> np.ndarray[tuple[int, ...], np.dtype[np.bool_]]:
        """Which trains some layout may save."""
        return np.asarray(self.missing_mm <= EPSILON_MM)


@dataclass(frozen=True, slots=True)
class Measured:
    """The sizes of a table's trains that terms ask for: by stage, and by gear from the pinion on. `shapes` are equal
    where gears lie alike along the shafts."""

    table: TrainTable
    centres_mm: list[Array]
    tips_mm: list[Array]
    shapes: Whole

    def rows(self, chosen: Whole) -> Measured:
        """Those of some of the trains."""
        return Measured(
            self.table.rows(chosen),
            [centre[chosen] for centre in self.centres_mm],
            [tip[chosen] for tip in self.tips_mm],
            self.shapes[chosen],
        )


@dataclass(slots=True)
class StaticFilter:
    """The filter for all trains of one question. `spec_of` gives the layout asked for with a train; it is called once
    for each way in which gears can lie along the shafts, not for each train. Only trains without idlers are judged."""

    facts: Facts
    gear_of: GearOf
    spec_of: Callable[[Train], LayoutSpec]
    added_centre_mm: float
    _terms: dict[int, tuple[Term, ...]] = field(default_factory=dict)
    _heads: NDArray[np.int8] | None = None
    _any: LayoutSpec | None = None

    def judge(self, table: TrainTable) -> Verdict:
        """How each train fares."""
        return self.judge_measured(self.measure(table))

    def measure(self, table: TrainTable) -> Measured:
        """What judging needs; filters that differ only in parts other than gears can share it."""
        gears = self.facts.gears(table)
        shapes = self._head_numbers(table).astype(np.int64)
        for gear, places in gears:
            widths, numbers = np.unique(gear.faces_mm, return_inverse=True)
            if len(widths) > 1:
                shapes = shapes * len(widths) + numbers.reshape(-1)[places]
        return Measured(table, self.facts.centres_mm(table), [gear.tips_mm[places] for gear, places in gears], shapes)

    def judge_measured(self, measured: Measured) -> Verdict:
        """As judge, of a table that was measured by this filter or one for the same gears."""
        size = len(measured.shapes)
        missing = np.full(size, -np.inf)
        reason = np.zeros(size, dtype=np.int64)
        reasons: dict[str, int] = {}
        for rows, part in _alike(measured):
            shape = int(part.shapes[0])
            if shape not in self._terms:
                (train,) = part.table.rows(slice(0, 1)).trains()
                self._terms[shape] = _greatest(static_terms(self.spec_of(train)))
            worst = np.full(len(part.shapes), -np.inf)
            which = np.zeros(len(part.shapes), dtype=np.int64)
            for term in self._terms[shape]:
                short = term.rest_mm - term.distance_mm(part.centres_mm[term.stage or 0])
                for stage, drives in term.gears:
                    short += part.tips_mm[2 * stage + (not drives)]
                number = reasons.setdefault(f"{term.check}: {term.what}", len(reasons))
                which[short > worst] = number
                np.maximum(worst, short, out=worst)
            missing[rows], reason[rows] = worst, which
        return Verdict(missing, reason, tuple(reasons))

    def _head_numbers(self, table: TrainTable) -> NDArray[np.int8]:
        """A number for whether the screw heads of each motor need room beside the first stage (see the stack)."""
        first = self.facts.stages[0]
        drivers, driven = first.driver.places(table.counts[:, 0]), first.driven.places(table.counts[:, 1])
        if self._heads is None:
            self._heads = np.full(first.centres_mm.shape, -1, dtype=np.int8)
        codes = drivers * len(first.driven.counts) + driven
        present = np.flatnonzero(np.bincount(codes, minlength=self._heads.size))
        for code in present[self._heads.reshape(-1)[present] < 0].tolist():
            place = divmod(code, len(first.driven.counts))
            self._heads[place] = self._heads_of(table, *place)
        return np.asarray(self._heads[drivers, driven])

    def _heads_of(self, table: TrainTable, driver: int, driven: int) -> int:
        if self._any is None:
            (train,) = table.rows(slice(0, 1)).trains()
            self._any = self.spec_of(train)
        stage = self.facts.stages[0]
        one = self.gear_of(0, True, int(stage.driver.counts[driver]))
        two = self.gear_of(0, False, int(stage.driven.counts[driven]))
        centre = float(stage.centres_mm[driver, driven])
        need = MeshNeed(1, "", "", one, two, centre - self.added_centre_mm, self.added_centre_mm)
        return sum(heads_need_room(self._any, motor, need) << k for k, motor in enumerate(self._any.motors))


def _alike(measured: Measured) -> list[tuple[Whole, Measured]]:
    """The trains in groups whose gears lie alike along the shafts."""
    shapes = measured.shapes
    if len(shapes) and shapes.min() == shapes.max():
        return [(np.arange(len(shapes)), measured)]
    groups = [np.flatnonzero(shapes == shape) for shape in np.unique(shapes).tolist()]
    return [(rows, measured.rows(rows)) for rows in groups]


def _greatest(terms: Sequence[Term]) -> tuple[Term, ...]:
    """Of the terms with the same gears at the same distance only the one that needs most."""
    found: dict[object, Term] = {}
    for term in terms:
        key = (term.stage, tuple(sorted(term.gears)), term.screw)
        if key not in found or term.rest_mm > found[key].rest_mm:
            found[key] = term
    return tuple(found.values())


def first_cure(table: TrainTable, filters: Sequence[StaticFilter]) -> Whole:
    """For each train the first of these filters (for the same gears, each with another part) that it passes, or -1."""
    found = np.full(len(table), -1, dtype=np.int64)
    if not filters or not len(table):
        return found
    measured, rows = filters[0].measure(table), np.arange(len(table))
    for number, other in enumerate(filters):
        passes = other.judge_measured(measured).passes
        if passes.any():
            found[rows[passes]] = number
            left = np.flatnonzero(~passes)
            measured, rows = measured.rows(left), rows[left]
        if not len(rows):
            break
    return found
