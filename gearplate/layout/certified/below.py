"""Is there anything below a value? Boxes of angles alone, without a search for good layouts: for many problems, of
which most are to be passed over, side by side where they are alike but for their numbers."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from gearplate.layout.certified.contract import halved
from gearplate.layout.certified.examine import Examiner
from gearplate.layout.certified.incumbent import merit
from gearplate.layout.certified.mirror import half_by_mirror
from gearplate.layout.certified.model import Model, demands_missed, models_abreast, wish_value
from gearplate.layout.certified.problem import LayoutProblem
from gearplate.layout.certified.share import ALONE, Several, Share
from gearplate.layout.certified.waves import Array, Ints

FIRST_BOXES = 64  # a search from nothing begins with so many: a few boxes cost no less than one
MANY = 12  # and goes on with no fewer


@dataclass(frozen=True, slots=True)
class Region:
    """Boxes of angles (boxes, n) outside of which nothing lies below the value, with their bounds. They speak of one
    half of what a mirror shows twice (`half`: the column of the angle that is halved) and of angles of equal nodes in
    rising order (`groups`)."""

    low: Array
    high: Array
    bound: Array
    half: int | None
    groups: tuple[tuple[int, ...], ...]


@dataclass(frozen=True, slots=True)
class Asked:
    """A problem to be looked into for so many `rounds`, or until so many boxes are at hand. `within`: the region of a
    problem that asks no more than this one; it spares looking at all angles anew."""

    problem: LayoutProblem
    rounds: int = 12
    most_boxes: int = 100
    within: Region | None = None


@dataclass(frozen=True, slots=True)
class Below:
    """No layout lies below `bound`; infinite where none keeps every demand, else never above the value asked about.

    `region`: where layouts below (1 - gap) times the value may be; empty: there are none. `angles_rad`: the middle of
    the box that promises most, by free node; `found`: it is such a layout.
    """

    bound: float
    boxes: int
    region: Region
    angles_rad: dict[str, float] | None
    found: bool = False

    @property
    def nothing(self) -> bool:
        return not len(self.region.low)


def below(asked: Sequence[Asked], value: float, gap: float = 0.005) -> list[Below]:
    """Whether layouts of some problems lie below (1 - gap) times `value`, and where. Each one's search ends when there
    is none, after its rounds, or with so many boxes at hand as it may have."""
    found: dict[int, Below] = {}
    for some, model in models_abreast([one.problem for one in asked]):
        answers = _Abreast(model, [asked[number] for number in some]).run(value * (1.0 - gap))
        found.update(zip(some.tolist(), answers, strict=True))
    return [found[number] for number in range(len(asked))]


class _Abreast:
    """The boxes of several problems alike, those of each together, and what has become of each problem."""

    def __init__(self, model: Model, asked: Sequence[Asked]) -> None:
        self.asked, self.groups, self.model = asked, model.groups, model
        self.examiner = Examiner(model)
        self.halves = [half_by_mirror(one.problem) for one in asked]
        count = len(asked)
        self.boxes, self.proven = [0] * count, [0.0] * count
        self.answers: dict[int, Below] = {}

    def share(self, of: Ints) -> Share:
        return Several(of) if len(self.asked) > 1 else ALONE

    def run(self, target: float) -> list[Below]:
        starts = [self.start(number) for number in range(len(self.asked))]
        low, high, bound = (np.concatenate(part) for part in zip(*starts, strict=True))
        of: Ints = np.repeat(np.arange(len(starts)), [len(part[0]) for part in starts])
        step = 0
        while len(self.answers) < len(self.asked):
            if step:
                low, high, bound, of = self.halved(low, high, bound, of)
            step += 1
            looked = np.bincount(of, minlength=len(self.asked))
            low, high, bound, at = self.examiner(target, low, high, bound, self.share(of))
            below = np.flatnonzero(bound < target)
            # in turn again
            below = below[np.argsort(at[below], kind="stable")]
            low, high, bound, of = low[below], high[below], bound[below], of[at[below]]
            left = self.after(step, target, looked, low, high, bound, of)
            low, high, bound, of = low[left], high[left], bound[left], of[left]
        return [self.answers[number] for number in range(len(self.asked))]

    def start(self, number: int) -> tuple[Array, Array, Array]:
        within, half = self.asked[number].within, self.halves[number]
        if within is not None and within.half == half and within.groups == self.groups:
            # boxes are cut in place, and the region is another problem's as well
            return within.low.copy(), within.high.copy(), within.bound.copy()
        low, high, bound = _all_angles(self.asked[number].problem, half)
        while self.model.free and len(low) < FIRST_BOXES:
            low, high, bound = halved(self.examiner.lever, low, high, bound, MANY)
        return low, high, bound

    def halved(self, low: Array, high: Array, bound: Array, of: Ints) -> tuple[Array, Array, Array, Ints]:
        """All boxes in halves, and those of a problem that has few once more, and again."""
        todo = np.arange(len(low))
        while len(todo):
            half_low, half_high, half_bound = halved(self.examiner.lever, low[todo], high[todo], bound[todo], 0)
            keep = np.ones(len(low), dtype=bool)
            keep[todo] = False
            low, high = np.concatenate([low[keep], half_low]), np.concatenate([high[keep], half_high])
            bound, of = np.concatenate([bound[keep], half_bound]), np.concatenate([of[keep], of[todo], of[todo]])
            todo = np.flatnonzero(np.bincount(of)[of] < MANY)
        turn = np.argsort(of, kind="stable")
        return low[turn], high[turn], bound[turn], of[turn]

    def after(self, step: int, target: float, looked: Ints, low: Array, high: Array, bound: Array, of: Ints) -> Ints:
        """Takes note of what was found, and ends the search of problems for which it is enough; numbers of the boxes of
        the others."""
        count = np.bincount(of, minlength=len(self.asked))
        ends = np.cumsum(count)
        done: dict[int, slice] = {}
        for number in [number for number in range(len(self.asked)) if number not in self.answers]:
            one, part = self.asked[number], slice(int(ends[number] - count[number]), int(ends[number]))
            self.boxes[number] += int(looked[number])
            if count[number]:
                self.proven[number] = max(self.proven[number], float(bound[part].min()))
            if not count[number] or step >= one.rounds or count[number] > one.most_boxes or not self.model.free:
                done[number] = part
        best = self.best({number: part for number, part in done.items() if count[number]}, target, low, high)
        for number, part in done.items():
            region = Region(low[part], high[part], bound[part], self.halves[number], self.groups)
            if not count[number]:
                self.answers[number] = Below(target, self.boxes[number], region, None)
                continue
            proven = min(self.proven[number], target)
            self.answers[number] = Below(proven, self.boxes[number], region, *best[number])
        return np.flatnonzero(~np.isin(of, list(self.answers)))

    def best(
        self, parts: Mapping[int, slice], target: float, low: Array, high: Array
    ) -> dict[int, tuple[dict[str, float], bool]]:
        """Of the boxes of some problems the middle that promises most, by free node, and whether it is a layout below
        the target."""
        if not parts:
            return {}
        numbers = np.array(list(parts))
        middle = [0.5 * (low[part] + high[part]) for part in parts.values()]
        of = np.repeat(numbers, [len(points) for points in middle])
        worth = np.split(merit(self.model, np.concatenate(middle), self.share(of)), np.cumsum([*map(len, middle)])[:-1])
        best = np.stack([points[own.argmin()] for points, own in zip(middle, worth, strict=True)])
        share = self.share(numbers)
        kept = (demands_missed(self.model, best, share) <= 0.0) & (wish_value(self.model, best, share) < target)
        found = {}
        for number, point, good in zip(parts, best.tolist(), kept.tolist(), strict=True):
            problem = self.asked[number].problem
            found[number] = (
                {problem.nodes[node].name: angle for node, angle in zip(problem.free, point, strict=True)},
                good,
            )
        return found


def _all_angles(problem: LayoutProblem, half: int | None) -> tuple[Array, Array, Array]:
    """One box of all the angles there are."""
    low: Array = np.full((1, len(problem.free)), -math.pi)
    high: Array = np.full((1, len(problem.free)), math.pi)
    halves = [column for column, number in enumerate(problem.free) if problem.nodes[number].half_turn]
    for column in halves if half is None else [half, *halves]:
        low[0, column], high[0, column] = -0.5 * math.pi, 0.5 * math.pi
    return low, high, np.zeros(1)
