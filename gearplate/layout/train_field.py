"""All trains that a job may have, each with the layout that it asks for, as problems to choose from.

Trains whose gears lie alike along the shafts differ in their layouts by centre distances, tip circles and rail screws
alone. A group of them has a common problem: the smallest tip circles, the shortest centre distances.
"""

from __future__ import annotations

from collections.abc import Sequence
from copy import copy
from dataclasses import dataclass, field, replace

import numpy as np

from gearplate.gears.involute import Array
from gearplate.gears.spec import GearSpec, StageSpec, TrainSpec
from gearplate.gears.trains.values import Train
from gearplate.gears.trains.window import Whole
from gearplate.layout.certified.alike import strengths, with_strengths
from gearplate.layout.certified.common import common_problem
from gearplate.layout.certified.problem import Cap, LayoutProblem, Wish
from gearplate.layout.constraints import build_model
from gearplate.layout.design import Stack
from gearplate.layout.finish import rail_screws
from gearplate.layout.question import question_of
from gearplate.layout.spec import LayoutSpec
from gearplate.layout.stack import axial_stack
from gearplate.layout.static_filter import Measured, StaticFilter

NUDGE_MM = 0.01
GUARD_MM = 1e-9
FEW = 4  # trains that are soon looked at one by one
SAME_MM = 1e-9
TIP_SHARE = 0.1  # what a mm of tip circle counts beside a mm of the first stage's centre distance
LATER_SHARE = 1.5  # and a mm of each later stage's, which moves all that hangs on it

Points = tuple[tuple[float, float], ...]


@dataclass(frozen=True, slots=True)
class TrainsOfStages:
    """Trains of one number of stages that the static filter has let pass. `closeness`: the least is preferred."""

    filter: StaticFilter
    measured: Measured
    closeness: Array


@dataclass(slots=True)
class TrainField:
    """The problems. `rail_extra_mm`: rail screws stand so much farther out than they must."""

    parts: tuple[TrainsOfStages, ...]
    rail_extra_mm: float = 0.0
    wish: Wish = Wish.AREA
    caps: tuple[Cap, ...] = ()
    _part: Whole = field(init=False)
    _row: Whole = field(init=False)
    _measures: Array = field(init=False)
    _kinds: Whole = field(init=False)
    _lengths: dict[int, _Lengths] = field(init=False, default_factory=dict)
    _bases: dict[int, LayoutProblem] = field(init=False, default_factory=dict)
    _rails: dict[tuple[int, int], Points] = field(init=False, default_factory=dict)
    _last: list[tuple[int, int]] = field(init=False)

    def __post_init__(self) -> None:
        part = np.concatenate([np.full(len(one.measured.table), k) for k, one in enumerate(self.parts)])
        row = np.concatenate([np.arange(len(one.measured.table)) for one in self.parts])
        close = np.concatenate([one.closeness for one in self.parts])
        teeth = np.concatenate([one.measured.table.teeth for one in self.parts])
        order = np.lexsort((row, part, teeth, close))
        self._part, self._row = part[order], row[order]
        each = [_measures(one.measured) for one in self.parts]
        wide = max(one.shape[1] for one in each)
        padded = [np.pad(one, ((0, 0), (0, wide - one.shape[1]))) for one in each]
        self._measures = np.concatenate(padded)[order]
        kinds = np.concatenate([one.measured.shapes for one in self.parts])
        _, numbers = np.unique(np.stack([part, kinds], axis=1), axis=0, return_inverse=True)
        self._kinds = np.asarray(numbers.reshape(-1)[order], dtype=np.int64)
        last = np.concatenate([one.measured.table.counts[:, -1] for one in self.parts])[order]
        self._last = list(zip(self._kinds.tolist(), last.tolist(), strict=True))

    @property
    def measures_mm(self) -> Array:
        return self._measures

    @property
    def kinds(self) -> Whole:
        return self._kinds

    def asking(self, wish: Wish, caps: tuple[Cap, ...] = ()) -> TrainField:
        """The same trains asked for something else."""
        found = copy(self)
        found.wish, found.caps, found._bases = wish, caps, {}
        return found

    def with_rail(self, extra_mm: float) -> TrainField:
        """The same trains with rail screws so much farther out than they must."""
        found = copy(self)
        found.rail_extra_mm, found._lengths, found._bases, found._rails = extra_mm, {}, {}, {}
        return found

    def same_centres(self, number: int) -> Whole:
        """The trains that are preferred to this one and have the same centre distances."""
        own, stages = self._measures[number], self.parts[int(self._part[number])].measured.table.stages
        same = (np.abs(self._measures[:number, :stages] - own[:stages]) < SAME_MM).all(axis=1)
        return np.flatnonzero(same & (self._part[:number] == self._part[number]))

    def train(self, number: int) -> Train:
        """The tooth counts of one."""
        part = self.parts[int(self._part[number])]
        return part.measured.table.rows(slice(int(self._row[number]), int(self._row[number]) + 1)).trains()[0]

    def spec(self, number: int) -> LayoutSpec:
        """What the layout is asked with one of the trains."""
        return self.parts[int(self._part[number])].filter.spec_of(self.train(number))

    def problem(self, number: int) -> LayoutProblem:
        """What a layout of one of the trains must keep, as when it is laid out alone."""
        spec = self.spec(number)
        stack = axial_stack(spec)
        rail = rail_screws(spec, stack, self.rail_extra_mm)
        return self._asked(_question(spec, stack, rail))

    def common(self, numbers: Whole) -> LayoutProblem | None:
        """What layouts of all these trains keep at least."""
        first = int(numbers[0])
        kind = int(self._kinds[first])
        if kind not in self._lengths:
            self._lengths[kind] = self._lengths_of(kind)
        lengths = self._lengths[kind]
        part = self.parts[int(self._part[first])]
        if not lengths.rails_alike and len(numbers) <= FEW:
            return None
        rows = self._row[numbers]
        asked = lengths.of([tip[rows] for tip in part.measured.tips_mm])
        if kind not in self._bases:
            self._bases[kind] = self._asked(lengths.problem)
        problem = with_strengths(self._bases[kind], asked.min(axis=0))
        inner, stray, covered = _inner(self._rails_of(numbers))
        at = dict(zip(lengths.rail_nodes, inner, strict=True))
        distances = np.zeros((len(rows), len(problem.nodes)))
        for number, node in enumerate(problem.nodes):
            if node.about is not None:
                stage = 0 if node.name.startswith("M") else int(node.name[1:])
                distances[:, number] = part.measured.centres_mm[stage][rows]
        strays = dict(zip(lengths.rail_nodes, stray, strict=True))
        apart = asked[:, : len(problem.apart)]
        inside = lengths.rail_nodes if covered else ()
        return common_problem(problem, distances, strays, inside, apart, at)

    def _lengths_of(self, kind: int) -> _Lengths:
        """Found by making the demands of one train anew with each of its tip circles a little larger."""
        first = int(np.flatnonzero(self._kinds == kind)[0])
        spec = self.spec(first)
        stack = axial_stack(spec)
        alike = self._rails_alike(spec)
        rail = rail_screws(spec, stack, self.rail_extra_mm) if alike else ()
        part = self.parts[int(self._part[first])]
        own = [float(tip[int(self._row[first])]) for tip in part.measured.tips_mm]
        members = self._row[self._kinds == kind]
        least = [float(tip[members].min()) for tip in part.measured.tips_mm]

        def problem(tips: Sequence[float]) -> LayoutProblem:
            return _question(_with_tips(spec, tips), stack, rail)

        here = problem(own)
        base = strengths(here)
        each = [strengths(problem([tip + (k == j) * NUDGE_MM for k, tip in enumerate(own)])) for j in range(len(own))]
        slots = np.stack([_less(one, base) > 0.9 * NUDGE_MM for one in each], axis=1)
        every = strengths(problem([tip + NUDGE_MM for tip in own]))
        one_term = np.abs(_less(every, base) - NUDGE_MM * slots.sum(axis=1)) < 0.1 * NUDGE_MM
        slots &= one_term[:, None]
        floor = strengths(problem(least)) - GUARD_MM
        rest = np.where(one_term, base - slots @ np.array(own) - 0.1 * NUDGE_MM * len(own), floor)
        places = {node.at_mm: number for number, node in enumerate(here.nodes) if node.at_mm is not None}
        return _Lengths(here, tuple(places[point] for point in rail), slots.astype(np.float64), rest, floor, alike)

    def _asked(self, problem: LayoutProblem) -> LayoutProblem:
        return replace(problem, wish=self.wish, caps=self.caps)

    @staticmethod
    def _rails_alike(spec: LayoutSpec) -> bool:
        """Whether the pattern of rail screws follows from the output's own gear, and nothing else hangs on it."""
        return spec.rail is None or spec.rail.holes is not None or not (spec.places or spec.rail.reliefs)

    def _rails_of(self, numbers: Whole) -> list[Points]:
        """The patterns of rail screws that some trains have."""
        found: dict[Points, None] = {}
        first = {self._last[number]: number for number in reversed(numbers.tolist())}
        for key, number in first.items():
            if key not in self._rails:
                own = self.spec(number)
                alike = self._rails_alike(own)
                self._rails[key] = rail_screws(own, axial_stack(own), self.rail_extra_mm) if alike else ()
            found[self._rails[key]] = None
        return list(found)


def _question(spec: LayoutSpec, stack: Stack, rail: Points) -> LayoutProblem:
    return question_of(spec, stack, build_model(spec, stack, rail))


def _measures(measured: Measured) -> Array:
    """Centre distances and tip radii, side by side, each by what a mm of it does to a common problem."""
    centres = [LATER_SHARE**number * centre for number, centre in enumerate(measured.centres_mm)]
    return np.stack([*centres, *(TIP_SHARE * tip for tip in measured.tips_mm)], axis=1)


def _with_tips(spec: LayoutSpec, tips_mm: Sequence[float]) -> LayoutSpec:
    """The layout asked for with other tip circles, from the pinion on."""

    def tipped(gear: GearSpec, number: int) -> GearSpec:
        return replace(gear, tip_diameter_mm=2.0 * tips_mm[number])

    stages = tuple(
        StageSpec(
            None if stage.driver is None else tipped(stage.driver, 2 * number),
            tipped(stage.driven, 2 * number + 1),
            stage.added_centre_mm,
        )
        for number, stage in enumerate(spec.train.stages)
    )
    motors = tuple(replace(motor, pinion=tipped(motor.pinion, 0)) for motor in spec.motors)
    return replace(spec, train=TrainSpec(stages), motors=motors)


def _inner(rails: Sequence[Points]) -> tuple[Points, tuple[float, ...], bool]:
    """Of patterns of rail screws that differ along the rail, the points nearest to the axle; how far each stands from
    them at most; and whether each of these lies between two screws of one row in every pattern."""
    if len(rails) == 1:
        return rails[0], (0.0,) * len(rails[0]), True
    table = np.array(rails)
    nearest = np.abs(table[:, :, 0]).argmin(axis=0)
    inner = tuple((float(table[row, k, 0]), float(table[row, k, 1])) for k, row in enumerate(nearest))
    away = np.hypot(table[:, :, 0] - np.array(inner)[:, 0], table[:, :, 1] - np.array(inner)[:, 1]).max(axis=0)
    covered = all(
        any(y == at[1] and x <= at[0] for x, y in rail) and any(y == at[1] and x >= at[0] for x, y in rail)
        for rail in rails
        for at in inner
    )
    return inner, tuple(float(one) for one in away), covered


@dataclass(frozen=True, slots=True)
class _Lengths:
    """How the lengths of the demands of one kind follow from tip circles. Each demand is the greatest of sums of a
    length and some tip radii; `rest` + `slots` . tips is one of these sums, `floor` what all trains have.

    `rails_alike`: the rail's screws are in it; without them, a common problem of few trains says too little."""

    problem: LayoutProblem
    rail_nodes: tuple[int, ...]
    slots: Array
    rest: Array
    floor: Array
    rails_alike: bool

    def of(self, tips_mm: Sequence[Array]) -> Array:
        """What each train asks at least (trains, demands)."""
        return np.asarray(np.maximum(self.floor, self.rest + np.stack(tips_mm, axis=1) @ self.slots.T))


def _less(one: Array, other: Array) -> Array:
    """Their difference; none where a side lies at infinity."""
    return np.subtract(one, other, out=np.zeros_like(one), where=np.isfinite(other))
