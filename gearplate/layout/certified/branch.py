"""Branch and bound over boxes of angles, many at once: the smallest wish there is, to a stated gap, with proof.

A box is thrown away when a demand fails all over it or when its lower bound reaches the target, (1 - gap) times the
best value found, or the cutoff. When no box is left, no layout lies below the target. The boxes with the lowest bound
go first; the stop is a count of boxes, so that the same problem ends the same way on every machine.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from enum import StrEnum

import numpy as np

from gearplate.layout.certified.bounds import area_bounds
from gearplate.layout.certified.contract import halved, middle_of
from gearplate.layout.certified.examine import Examiner
from gearplate.layout.certified.incumbent import Found, at_rest, merit, polish, polish_in_turn, starts
from gearplate.layout.certified.mirror import half_by_mirror
from gearplate.layout.certified.model import Model, model_of
from gearplate.layout.certified.problem import LayoutProblem
from gearplate.layout.certified.waves import Array, Ints


class Status(StrEnum):
    """`NONE_BELOW`: proven that no layout lies below (1 - gap) times the cutoff; whether there is one above, or one
    between, is not asked."""

    CERTIFIED = "certified"
    INFEASIBLE = "infeasible"
    NONE_BELOW = "none below the cutoff"
    STOPPED = "stopped"


@dataclass(frozen=True, slots=True)
class Settings:
    """`gap`: certified when no layout is more than this share below the best. `stop_boxes`: boxes looked at, at most.
    `seed`: of the random starts (the bound does not depend on it, the path to it does).

    `cutoff`: only layouts whose value lies below it are sought, as if one of that value were known already (the value
    of another problem's best layout, say). `start`: layouts known beforehand, by free node, like `Answer.angles_rad`;
    they are polished, and taken if they keep every demand."""

    gap: float = 0.005
    stop_boxes: int = 400_000
    batch: int = 4096
    seed: int = 0
    cutoff: float = math.inf
    start: tuple[Mapping[str, float], ...] = ()


@dataclass(frozen=True, slots=True)
class Progress:
    """After a batch: boxes looked at and waiting, the bound proven so far, the best value so far (infinite: none)."""

    boxes: int
    waiting: int
    bound: float
    best: float


@dataclass(frozen=True, slots=True)
class Answer:
    """`value` and `angles_rad` (by free node) of the best layout, None where none was found; no layout is below
    `bound` (mm2 or mm; infinite when there is proof that none exists, else never above the cutoff).
    `gap` = 1 - bound / value."""

    status: Status
    value: float | None
    angles_rad: dict[str, float] | None
    bound: float
    boxes: int

    @property
    def gap(self) -> float:
        """What is left unproven, as a part of the value; infinite without one."""
        if self.value is None or self.value <= 0.0:
            return math.inf
        return max(0.0, 1.0 - self.bound / self.value)


def solve(
    problem: LayoutProblem, settings: Settings = Settings(), progress: Callable[[Progress], bool] | None = None
) -> Answer:
    """The best layout and its certificate. `progress` is told after every batch; answering False stops."""
    return _Search(model_of(problem), settings, progress).run()


WHOLE = 0.99
SAME = 1e-8  # share by which the values of two layouts differ that are each other's image


class _Search:
    FINE = 0.1  # of the gap
    LONGER = 0.3  # share of the boxes so far that the search may go on with once the gap is met
    # Boxes before starts are tried: keep-outs of the hull make those dear, and where any layout will do, most questions
    # that have none are seen through soon.
    AT_SIGHT, AT_SIGHT_HULL, AT_SIGHT_ANY = 1, 200, 60
    MANY = 12  # boxes looked at together cost hardly more than one

    def __init__(self, model: Model, settings: Settings, progress: Callable[[Progress], bool] | None) -> None:
        self.model, self.settings, self.progress = model, settings, progress
        self.best: Found | None = None
        self.rested: Found | None = None  # the best that no descent makes better
        self.examiner = Examiner(model)
        self.lever = self.examiner.lever
        self.boxes = 0
        self.proven = 0.0  # no layout lies below
        self.last: Array = np.zeros((0, model.free))  # middles of boxes that were hardest to throw away

    def target(self) -> float:
        """No layout below this is left out. Of the gap asked for only a part is used where no layout was known before:
        to search on costs little as a rule, and the layout found is the better for it; with up to three angles it is
        the best as it is. Never quite the whole gap, so that rounding does not take an answer past it."""
        gap = self.settings.gap
        fine = (WHOLE if self.settings.start or self.model.free <= 3 else self.FINE) * gap
        found = math.inf if self.best is None else self.best.value
        return min(found * (1.0 - fine), self.settings.cutoff * (1.0 - gap))

    def enough(self) -> float:
        """A bound that certifies the best."""
        return math.inf if self.best is None else self.best.value * (1.0 - self.settings.gap)

    def offer(self, found: Found | None, share: float | None = None) -> None:
        """Takes what was found if it is the best so far, by `share` at least: of two as good the first, and what was
        known beforehand unless another one is better by a good part of the gap."""
        if share is None:
            share = self.FINE * self.settings.gap if self.settings.start else SAME
        best = self.settings.cutoff if self.best is None else self.best.value * (1.0 - share)
        if found is not None and found.value < best:
            self.best = found

    def offer_start(self) -> None:
        """Takes the best of the layouts known beforehand, as they stand and polished."""
        names = [self.model.problem.nodes[i].name for i in self.model.problem.free]
        known = np.array([[start[name] for name in names] for start in self.settings.start])
        if len(known) and len(names):
            self.offer(polish(self.model, known, 0), 0.0)
            self.offer(polish(self.model, known, 20, warm=True), 0.0)

    def run(self) -> Answer:
        model, n = self.model, self.model.free
        random = np.random.default_rng(self.settings.seed)
        if n == 0:
            return self.only_one()
        high: Array = np.full((1, n), math.pi)
        low: Array = -high
        half = half_by_mirror(model.problem)
        if half is not None:
            low[0, half], high[0, half] = -0.5 * math.pi, 0.5 * math.pi
        for column, number in enumerate(model.problem.free):
            if model.problem.nodes[number].half_turn:
                low[0, column], high[0, column] = -0.5 * math.pi, 0.5 * math.pi
        bound: Array = np.zeros(1)  # no wish is below nothing
        if self.none_at_sight(low, high, bound):
            return self.answer(low[:0], high[:0], bound[:0])
        self.offer_start()
        # few rounds are enough to cut by; the last digits come at the end
        rounds = 5 if n == 1 else 8 if n <= 4 else 25
        keep = 4 if n == 1 else 8 + 6 * n
        self.offer(polish(model, starts(model, (100 if n == 1 else 200) * n, keep, random), rounds))
        polish_at = 20 * n if self.best is None or not model.by_area or n > 4 else 100 * n
        if self.settings.start and self.best is not None:
            polish_at = 300 * n  # where layouts are known, they are good
        repair_at = 40 * n
        end = self.settings.stop_boxes
        met = False
        while len(low) and self.boxes < end:
            take = self.next(bound, self.settings.stop_boxes - self.boxes)
            rest = np.ones(len(low), dtype=bool)
            rest[take] = False
            out = (low[rest], high[rest], bound[rest])
            low, high, bound = low[take], high[take], bound[take]
            self.boxes += len(low)
            low, high, bound, _ = self.examiner(self.target(), low, high, bound)
            if self.boxes >= polish_at and len(low):
                polish_at *= 3
                self.improve(low, high, bound)
            if self.boxes >= repair_at and len(low):
                repair_at = int(1.5 * self.boxes)
                self.offer(polish(model, self.promising(low, high, bound), 0))
            if len(low) >= n:
                self.last = 0.5 * (low + high)[np.argsort(bound, kind="stable")[: 2 * n]]
            low, high, bound = halved(self.lever, low, high, bound, self.MANY)
            low = np.concatenate([out[0], low])
            high = np.concatenate([out[1], high])
            bound = np.concatenate([out[2], bound])
            below = bound < self.target()
            if not below.all():
                low, high, bound = low[below], high[below], bound[below]
            self.proven = max(self.proven, min(float(bound.min()) if len(bound) else math.inf, self.target()))
            if len(bound) and not met and self.best is not None and float(bound.min()) >= self.enough():
                met = True
                self.descend()
                end = min(end, self.boxes + int(self.LONGER * self.boxes) + 10 * n)
            if self.progress is not None:
                best = math.inf if self.best is None else self.best.value
                if not self.progress(Progress(self.boxes, len(low), self.proven, best)):
                    break
        if len(low):
            self.improve(low, high, bound)
        return self.answer(low, high, bound)

    def none_at_sight(self, low: Array, high: Array, bound: Array) -> bool:
        """Whether few boxes are enough to throw everything away: then no start is tried, which takes far longer."""
        if self.settings.start or math.isfinite(self.settings.cutoff):
            return False
        at_sight = self.AT_SIGHT_ANY if self.model.by_none else self.AT_SIGHT
        boxes, most = 0, min(self.settings.stop_boxes, self.AT_SIGHT_HULL if self.model.offs else at_sight)
        while len(low) and boxes + len(low) <= most:
            boxes += len(low)
            low, high, bound, _ = self.examiner(self.target(), low.copy(), high.copy(), bound)
            low, high, bound = halved(self.lever, low, high, bound, self.MANY)
        self.boxes = 0 if len(low) else boxes
        return not len(low)

    def next(self, bound: Array, most: int) -> Ints:
        """Numbers of the boxes to look at: those with the lowest bounds, and none that is above what certifies the best
        as long as there is one below."""
        most = min(most, self.settings.batch)
        take = np.flatnonzero(bound < self.enough())
        if not len(take):
            take = np.arange(len(bound))
        if len(take) > most:
            take = take[np.argpartition(bound[take], most)[:most]]
        return take

    def only_one(self) -> Answer:
        """No angle is free: the one layout there is, or none."""
        found = polish(self.model, np.zeros((1, 0)), 0)
        if found is None:
            return Answer(Status.INFEASIBLE, None, None, math.inf, 1)
        if found.value >= self.settings.cutoff:
            return Answer(Status.NONE_BELOW, None, None, self.settings.cutoff, 1)
        return Answer(Status.CERTIFIED, found.value, {}, found.value, 1)

    def answer(self, low: Array, high: Array, bound: Array) -> Answer:
        thrown_away = self.target()  # no layout below this was
        self.refine()
        if self.model.by_area:
            bound = self.looked_at(low, high, bound)
        least = max(self.proven, min(float(bound.min()) if len(bound) else math.inf, thrown_away))
        if self.best is None:
            status = Status.NONE_BELOW if math.isfinite(self.settings.cutoff) else Status.INFEASIBLE
            return Answer(Status.STOPPED if len(bound) else status, None, None, least, self.boxes)
        least = min(least, self.best.value)
        names = [self.model.problem.nodes[i].name for i in self.model.problem.free]
        angles = dict(zip(names, (float(angle) for angle in self.best.angles_rad), strict=True))
        status = Status.CERTIFIED if least >= self.enough() else Status.STOPPED
        return Answer(status, self.best.value, angles, least, self.boxes)

    def looked_at(self, low: Array, high: Array, bound: Array) -> Array:
        """Bounds of the area for the boxes left over at a stop that were too wide to be worth one before."""
        bound = bound.copy()
        new = np.flatnonzero(bound <= 0.0)
        for at in range(0, len(new), self.settings.batch):
            some = new[at : at + self.settings.batch]
            bound[some] = area_bounds(self.model, *middle_of(low[some], high[some])).least
        return np.maximum(bound, 0.0)

    def improve(self, low: Array, high: Array, bound: Array) -> None:
        """Polish from the middles of the boxes at hand that promise most, by their middles or by their bounds: they
        are nearly layouts by now."""
        self.offer(polish(self.model, self.promising(low, high, bound), 20))

    def promising(self, low: Array, high: Array, bound: Array) -> Array:
        middle, most = 0.5 * (low + high), self.model.free
        by_bound = np.argsort(bound, kind="stable")[:most]
        by_merit = np.argsort(merit(self.model, middle), kind="stable")[:most]
        return np.asarray(middle[np.unique(np.concatenate([by_merit, by_bound]))])

    def refine(self) -> None:
        """A last descent from the best: the gap is met by now, the digits need not be."""
        if self.best is None or self.model.by_none or self.descend():
            return
        near, n = self.best.angles_rad, self.model.free
        random = np.random.default_rng(self.settings.seed)
        spread = near + random.normal(0.0, 1.0, (12, n)) * random.choice([0.02, 0.07], (12, 1))
        self.offer(polish_in_turn(self.model, np.concatenate([self.last, spread]), 20))
        self.descend()

    def descend(self) -> bool:
        """A few rounds and afresh, since across a kink the old multipliers lead to and fro; whether the best is at rest
        then."""
        assert self.best is not None
        for _ in range(6):
            if self.best is self.rested:
                return True
            before = self.best.value
            self.offer(polish(self.model, self.best.angles_rad[None, :], 12, warm=True), 0.0)
            if at_rest(self.model, self.best.angles_rad):
                self.rested = self.best
                return True
            if before - self.best.value <= 1e-7 * abs(before):
                break
        return False
