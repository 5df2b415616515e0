"""The best layout among many problems at once: one search over the choice of problem and the angles together.

Problems that are alike but for their lengths are taken by groups. A group has a common problem (see `common`); where
nothing lies below the best value known in that, nothing does in any of its problems, and the whole group is done. Else
it is split where its lengths differ most. The group with the lowest bound goes first; every value found is a cutoff
for all that follow. The stop is a count of work in boxes of angles, so that the same question ends the same way
everywhere.
"""

from __future__ import annotations

import heapq
import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field, replace
from typing import Protocol

import numpy as np

from gearplate.layout.certified.below import Asked, Region, below
from gearplate.layout.certified.branch import Progress, Settings, Status, solve
from gearplate.layout.certified.incumbent import polish, starts
from gearplate.layout.certified.model import model_of
from gearplate.layout.certified.problem import LayoutProblem, Wish
from gearplate.layout.certified.rows import Array, Ints

DESCENT, DESCENT_BOXES = 12, 200  # rounds of one from a few boxes, and what it counts, in boxes
SPREAD = 1.8  # share of the root of an area, for each mm of spread: measured on two stages and one to three motors
ABREAST = 12  # groups looked at side by side
PARTS = 4  # as many as all problems together are split into soon
LEAST_STOP = 200
ROUNDS, ROUNDS_MORE, ROUNDS_ONE, MOST_BOXES, MOST_BOXES_ONE = 4, 2, 6, 40, 400
FIRST_ROUNDS, FIRST_MOST_BOXES = 12, 100  # while no layout is known
LOOK_BOXES = 25  # what beginning on a problem counts, in boxes: about the time that it takes
SOLVE_BOXES, SOLVE_DEAR = 600, 2  # and what a search with all its descents counts; its boxes come in small numbers
FEW_ANGLES = 5  # with more of them keep-outs of the hull make every box dearer
EARLY, HALF = 0.25, 0.5  # of the work, after which a search ends whose bound is not so much of its best value


class Choices(Protocol):
    """Problems to choose from, by number, in the order in which they are preferred where they come out equal."""

    @property
    def measures_mm(self) -> Array:
        """Lengths (problems, measures) by which they differ, for splitting groups."""

    @property
    def kinds(self) -> Ints:
        """Only problems of the same kind (problems,) have a common problem."""

    def problem(self, number: int) -> LayoutProblem:
        """One of the problems."""

    def common(self, numbers: Ints) -> LayoutProblem | None:
        """The common problem of some of one kind; None where there is none to be had, or of a single one none that says
        as much as the problem itself."""


@dataclass(frozen=True, slots=True)
class Chosen:
    """`number` of the best problem, its layout and value; None where none has a layout. No layout of any problem lies
    below `bound`. `done` problems are certified out, the chosen one included; `open` are left over at the stop.

    `others`: numbers of other problems whose best layout was found on the way, the best first."""

    status: Status
    number: int | None
    value: float | None
    angles_rad: dict[str, float] | None
    bound: float
    boxes: int
    done: int
    open: int
    others: tuple[int, ...] = ()

    @property
    def gap(self) -> float:
        if self.value is None or self.value <= 0.0:
            return math.inf
        return max(0.0, 1.0 - self.bound / self.value)


def best_of(
    choices: Choices,
    settings: Settings | None = None,
    progress: Callable[[Progress], bool] | None = None,
    known: tuple[int, dict[str, float]] | None = None,
) -> Chosen:
    """The best layout of all and its certificate. `progress` is told after every group; answering False stops.
    `known`: a problem and a layout of it to begin with."""
    search = _Among(choices, settings or Settings(), progress)
    if known is not None:
        search.try_one(*known)
    return search.run()


@dataclass(frozen=True, slots=True, order=True)
class _Group:
    """Problems of one kind that are still in question; none has a layout below `bound`."""

    hope: float
    order: int
    bound: float = field(compare=False)
    numbers: Ints = field(compare=False)
    region: Region | None = field(compare=False)


class _Among:
    def __init__(self, choices: Choices, settings: Settings, progress: Callable[[Progress], bool] | None) -> None:
        self.choices, self.settings, self.progress = choices, settings, progress
        self.best: tuple[float, int, dict[str, float]] | None = None
        self.found: list[tuple[float, int]] = []
        self.boxes = 0
        self.left: list[float] = []  # bounds of problems that were given up
        self.tried: set[int] = set()
        self.measures = choices.measures_mm
        self.by_area = choices.problem(0).wish is Wish.AREA
        self.waiting: list[_Group] = []
        self.order = self.pause = self.failed = 0
        self.ended = False

    @property
    def value(self) -> float:
        return self.settings.cutoff if self.best is None else self.best[0]

    def target(self) -> float:
        return self.value * (1.0 - self.settings.gap)

    def wait(self, numbers: Ints, bound: float, region: Region | None) -> None:
        self.order += 1
        own = self.measures[numbers]
        spread = float((own.max(axis=0) - own.min(axis=0)).sum())
        # about what the common problem of lengths that differ so much lies below the best of its own
        below = spread * (SPREAD * math.sqrt(bound) if self.by_area else 1.0)
        heapq.heappush(self.waiting, _Group(bound + below, self.order, bound, numbers, region))

    def run(self) -> Chosen:
        kinds = self.choices.kinds
        for kind in np.unique(kinds):
            self.wait(np.flatnonzero(kinds == kind), 0.0, None)
        while self.waiting and self.boxes < self.settings.stop_boxes:
            self.look(self.next())
            if self.hopeless() or not self.told():
                break
        self.settle()
        return self.answer()

    def settle(self) -> None:
        """The last digits of the best."""
        if self.best is not None:
            problem = self.choices.problem(self.best[1])
            here = np.array([[self.best[2][problem.nodes[node].name] for node in problem.free]])
            found = polish(model_of(problem), here, DESCENT, warm=True)
            if found is not None and found.value < self.best[0]:
                self.take(self.best[1], found.value, self.named(problem, found.angles_rad))

    def told(self) -> bool:
        """Tells how far it is; whether to go on."""
        if self.progress is not None and not self.ended:
            proven = min([self.target(), *(waiting.bound for waiting in self.waiting)])
            self.ended = not self.progress(Progress(self.boxes, len(self.waiting), proven, self.value))
        return not self.ended

    def hopeless(self) -> bool:
        """Whether so much work is done, and the bound still lies so low, that the rest would settle nothing either."""
        if self.boxes < EARLY * self.settings.stop_boxes or not self.waiting:
            return False
        return min(group.bound for group in self.waiting) < HALF * self.value

    def next(self) -> list[_Group]:
        """The groups that promise most; while no layout is known, one by one."""
        most = ABREAST if math.isfinite(self.value) else 1
        groups: list[_Group] = []
        while self.waiting and len(groups) < most:
            group = heapq.heappop(self.waiting)
            if group.bound < self.target():
                groups.append(group)
        return groups

    def answer(self) -> Chosen:
        target = self.target()
        waiting = [group for group in self.waiting if group.bound < target]
        left = [bound for bound in self.left if bound < target]
        least = min([target, *left, *(group.bound for group in waiting)])
        count = len(left) + sum(len(group.numbers) for group in waiting)
        total = len(self.choices.kinds)
        stopped = count > 0
        if self.best is None:
            none = Status.NONE_BELOW if math.isfinite(self.settings.cutoff) else Status.INFEASIBLE
            status = Status.STOPPED if stopped else none
            return Chosen(status, None, None, None, least, self.boxes, total - count, count)
        value, number, angles = self.best
        status = Status.STOPPED if stopped else Status.CERTIFIED
        others = tuple(dict.fromkeys(other for _, other in sorted(self.found) if other != number))
        return Chosen(status, number, value, angles, min(least, value), self.boxes, total - count, count, others)

    def look(self, groups: Sequence[_Group]) -> None:
        """Settles groups, or puts their parts back."""
        some: list[_Group] = []
        asked: list[Asked] = []
        for group in groups:
            alone = len(group.numbers) == 1
            problem = self.choices.common(group.numbers)
            if problem is None:
                if not alone:
                    self.split(group)
                    continue
                problem = self.choices.problem(int(group.numbers[0]))
            rounds = ROUNDS_ONE if alone else ROUNDS if group.region is None else ROUNDS_MORE
            some.append(group)
            if math.isfinite(self.value):
                asked.append(Asked(problem, rounds, MOST_BOXES, group.region))
            else:
                asked.append(Asked(problem, FIRST_ROUNDS, FIRST_MOST_BOXES, group.region))
        answers = below(asked, self.value, self.settings.gap)
        for group, one, found in zip(some, asked, answers, strict=True):
            self.boxes += _dear(one.problem) * (LOOK_BOXES + found.boxes)
            group = replace(group, bound=max(group.bound, found.bound), region=found.region)
            if found.nothing or group.bound >= self.target():
                continue
            if self.ended or self.boxes >= self.settings.stop_boxes:
                self.wait(group.numbers, group.bound, group.region)
                continue
            if len(group.numbers) == 1:
                self.look_at_one(group)
                self.told()
                continue
            if found.angles_rad is not None and (found.found or not math.isfinite(self.value)):
                self.try_nearest(group.numbers, found.angles_rad)
            self.split(group)

    def split(self, group: _Group) -> None:
        if group.bound >= self.target():
            return
        parts, most = self.halves(group.numbers), len(self.measures) // PARTS
        while parts:
            part = parts.pop()
            if len(part) > max(1, most):
                parts += self.halves(part)
            else:
                self.wait(part, group.bound, group.region)

    def try_nearest(self, numbers: Ints, angles: dict[str, float]) -> None:
        """Whether a layout of the common problem leads to one of the problem that is nearest to it."""
        own = self.measures[numbers]
        nearest = int(numbers[int((own - own.min(axis=0)).max(axis=1).argmin())])
        self.pause -= 1
        if nearest in self.tried or (self.pause >= 0 and self.best is not None):
            return
        self.tried.add(nearest)
        self.failed = 0 if self.try_one(nearest, angles) else self.failed + 1
        self.pause = 2 * self.failed

    def try_one(self, number: int, angles: dict[str, float]) -> bool:
        """Takes the layout of a problem that descent from these angles leads to, if it is the best so far."""
        problem = self.choices.problem(number)
        names = [problem.nodes[node].name for node in problem.free]
        self.boxes += _dear(problem) * LOOK_BOXES
        model, here = model_of(problem), np.array([[angles[name] for name in names]])
        if not math.isfinite(self.value):
            random = np.random.default_rng(self.settings.seed)
            self.boxes += _dear(problem) * SOLVE_BOXES
            here = np.concatenate([here, starts(model, 100 * model.free, 8 + 6 * model.free, random)])
        found = polish(model, here, DESCENT)
        if found is None or found.value >= self.value:
            return False
        self.take(number, found.value, self.named(problem, found.angles_rad))
        return True

    @staticmethod
    def named(problem: LayoutProblem, angles_rad: Array) -> dict[str, float]:
        names = [problem.nodes[node].name for node in problem.free]
        return dict(zip(names, map(float, angles_rad), strict=True))

    def take(self, number: int, value: float, angles: dict[str, float]) -> None:
        self.found.append((value, number))
        self.best = (value, number, angles)

    def look_at_one(self, group: _Group) -> None:
        """One problem by itself: first by descent from the boxes left of it, which are searched to the end then,
        if that is soon done."""
        number = int(group.numbers[0])
        problem = self.choices.problem(number)
        if group.region is not None and math.isfinite(self.value):
            self.boxes += _dear(problem) * DESCENT_BOXES
            found = polish(model_of(problem), promising(group.region, len(problem.free)), DESCENT)
            if found is not None and found.value < self.value:
                self.take(number, found.value, self.named(problem, found.angles_rad))
            (left,) = below([Asked(problem, ROUNDS_ONE, MOST_BOXES_ONE, group.region)], self.value, self.settings.gap)
            self.boxes += _dear(problem) * left.boxes
            if left.nothing:
                return
        start = (self.best[2],) if self.best is not None and self.best[1] == number else ()
        settings = replace(
            self.settings,
            cutoff=math.inf if start else self.value,
            start=start,
            stop_boxes=max(LEAST_STOP, (self.settings.stop_boxes - self.boxes) // (_dear(problem) * SOLVE_DEAR)),
        )
        answer = solve(problem, settings)
        self.boxes += _dear(problem) * (SOLVE_DEAR * answer.boxes + (SOLVE_BOXES if answer.boxes > 1 else LOOK_BOXES))
        if answer.value is not None and answer.angles_rad is not None and answer.value < self.value:
            self.take(number, answer.value, answer.angles_rad)
        if answer.status is Status.STOPPED:
            self.left.append(max(group.bound, answer.bound))

    def halves(self, numbers: Ints) -> list[Ints]:
        """Two parts, split where the lengths differ most."""
        own = self.measures[numbers]
        spread = own.max(axis=0) - own.min(axis=0)
        widest = int(spread.argmax())
        if spread[widest] <= 0.0:
            return [numbers[:1], numbers[1:]]
        column = own[:, widest]
        first = column <= 0.5 * (column.max() + column.min())
        return [numbers[first], numbers[~first]]


def _dear(problem: LayoutProblem) -> int:
    """What a box of this problem counts, about by the time that it takes."""
    return 1 if len(problem.free) <= FEW_ANGLES else 1 + len(problem.off)


def promising(region: Region, count: int) -> Array:
    """Middles of the boxes with the lowest bounds."""
    first = np.argsort(region.bound, kind="stable")[:count]
    return np.asarray(0.5 * (region.low[first] + region.high[first]))
