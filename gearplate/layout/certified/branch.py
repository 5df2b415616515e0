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

from gearplate.layout.certified.bounds import RowBounder, area_bounds
from gearplate.layout.certified.contract import Joints, by_area, by_rows, clear_of_boxes, middle_of
from gearplate.layout.certified.incumbent import Found, merit, polish, starts
from gearplate.layout.certified.mirror import half_by_mirror
from gearplate.layout.certified.model import Model, model_of
from gearplate.layout.certified.problem import LayoutProblem
from gearplate.layout.certified.rows import Array


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
        if self.value is None or self.value <= 0.0:
            return math.inf
        return max(0.0, 1.0 - self.bound / self.value)


def solve(
    problem: LayoutProblem, settings: Settings = Settings(), progress: Callable[[Progress], bool] | None = None
) -> Answer:
    """The best layout and its certificate. `progress` is told after every batch; answering False stops."""
    return _Search(model_of(problem), settings, progress).run()


class _Search:
    WIDE = 1.4  # of the root of the best area: boxes of a longer reach are not worth a bound of the area
    AGAIN = 0.7  # rows are gone through once more where the area (or, of wide boxes, the rows) cut an angle to this
    AGAIN_WIDE = 0.85

    def __init__(self, model: Model, settings: Settings, progress: Callable[[Progress], bool] | None) -> None:
        self.model, self.settings, self.progress = model, settings, progress
        self.best: Found | None = None
        self.joints = Joints(model)
        self.bounder = RowBounder(model.rows, model.free)
        self.lever = np.abs(model.tree.reach).max(axis=0) if model.free else np.zeros(0)
        self.boxes = 0
        self.proven = 0.0  # no layout lies below

    def target(self) -> float:
        """No layout below this is left out."""
        found = math.inf if self.best is None else self.best.value
        return min(found, self.settings.cutoff) * (1.0 - self.settings.gap)

    def offer(self, found: Found | None) -> None:
        """Takes what was found if it is the best so far."""
        if found is not None and found.value < (self.settings.cutoff if self.best is None else self.best.value):
            self.best = found

    def offer_start(self) -> None:
        """Takes the best of the layouts known beforehand, as they stand and polished."""
        names = [self.model.problem.nodes[i].name for i in self.model.problem.free]
        known = np.array([[start[name] for name in names] for start in self.settings.start])
        if len(known) and len(names):
            self.offer(polish(self.model, known, 0))
            self.offer(polish(self.model, known, 20, warm=True))

    def row_target(self) -> float:
        """What goes into the rows of the wish: finite, and no less than the target or than all there can be."""
        rows = self.model.rows
        if not len(rows.wish):
            return 0.0
        most = float(rows.size[rows.wish].max())
        return min(self.target(), (math.sqrt(most) if rows.squared else most) + 1.0)

    def constant(self) -> Array:
        """Constants of the rows with the target in those of the wish."""
        rows = self.model.rows
        constant = rows.constant.copy()
        target = self.row_target()
        constant[rows.wish] += target * abs(target) if rows.squared else target
        return constant

    def raised(self, bound: Array, slack: Array) -> Array:
        """Bounds (C,) of boxes, raised by what the rows of the wish leave of the target (C, rows)."""
        rows = self.model.rows
        if not len(rows.wish):
            return bound
        target = self.row_target()
        if rows.squared:
            squared: Array = (target * abs(target) - slack[:, rows.wish]).max(axis=1)
            return np.asarray(np.maximum(bound, np.sqrt(np.maximum(squared, 0.0))))
        least: Array = (target - slack[:, rows.wish]).max(axis=1)
        return np.asarray(np.maximum(bound, least))

    def run(self) -> Answer:
        model, n = self.model, self.model.free
        random = np.random.default_rng(self.settings.seed)
        if n == 0:
            return self.only_one()
        self.offer_start()
        # few rounds are enough to cut by; the last digits come at the end
        rounds = 5 if n == 1 else 8 if n <= 4 else 25
        keep = 4 if n == 1 else 8 + 6 * n
        self.offer(polish(model, starts(model, (100 if n == 1 else 200) * n, keep, random), rounds))
        low: Array = np.full((1, n), -math.pi)
        high: Array = np.full((1, n), math.pi)
        half = half_by_mirror(model.problem)
        if half is not None:
            low[0, half], high[0, half] = -0.5 * math.pi, 0.5 * math.pi
        for column, number in enumerate(model.problem.free):
            if model.problem.nodes[number].half_turn:
                low[0, column], high[0, column] = -0.5 * math.pi, 0.5 * math.pi
        bound: Array = np.zeros(1)  # no wish is below nothing
        hop_at = polish_at = 300 * n
        if self.best is None:
            polish_at = 20 * n
        while len(low) and self.boxes < self.settings.stop_boxes:
            batch = self.settings.batch
            if len(low) > batch:
                first = np.argpartition(bound, batch)
                take, rest = first[:batch], first[batch:]
                out = (low[rest], high[rest], bound[rest])
                low, high, bound = low[take], high[take], bound[take]
            else:
                out = (low[:0], high[:0], bound[:0])
            self.boxes += len(low)
            low, high, bound = self.examine(low, high, bound)
            if self.boxes >= polish_at and len(low):
                polish_at *= 2 if self.best is None else 4
                if self.boxes >= hop_at and not self.settings.start:  # where layouts are known, they are good
                    hop_at = self.settings.stop_boxes
                    self.hop(random)
                self.improve(low, high)
            low, high, bound = self.split(low, high, bound)
            low = np.concatenate([out[0], low])
            high = np.concatenate([out[1], high])
            bound = np.concatenate([out[2], bound])
            below = bound < self.target()
            if not below.all():
                low, high, bound = low[below], high[below], bound[below]
            self.proven = max(self.proven, min(float(bound.min()) if len(bound) else math.inf, self.target()))
            if self.progress is not None:
                best = math.inf if self.best is None else self.best.value
                if not self.progress(Progress(self.boxes, len(low), self.proven, best)):
                    break
        return self.answer(low, high, bound)

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
        if self.best is not None:
            least = min(least, self.best.value)
        if self.best is None:
            if len(bound):
                status = Status.STOPPED
            else:
                status = Status.NONE_BELOW if math.isfinite(self.settings.cutoff) else Status.INFEASIBLE
            return Answer(status, None, None, least, self.boxes)
        names = [self.model.problem.nodes[i].name for i in self.model.problem.free]
        angles = dict(zip(names, (float(angle) for angle in self.best.angles_rad), strict=True))
        status = Status.STOPPED if len(bound) else Status.CERTIFIED
        return Answer(status, self.best.value, angles, least, self.boxes)

    def looked_at(self, low: Array, high: Array, bound: Array) -> Array:
        """Bounds of the area for the boxes left over at a stop that were too wide to be worth one before."""
        bound = bound.copy()
        new = np.flatnonzero(bound <= 0.0)
        for at in range(0, len(new), self.settings.batch):
            some = new[at : at + self.settings.batch]
            bound[some] = area_bounds(self.model, *middle_of(low[some], high[some])).least
        return np.maximum(bound, 0.0)

    def examine(self, low: Array, high: Array, bound: Array) -> tuple[Array, Array, Array]:
        """Rows, then the area, then the rows once more on what the area has cut."""
        model, target = self.model, self.target()
        most_area = min(target, model.most_area) if model.by_area else model.most_area
        constant = self.constant()
        start = high - low
        live = self.joints.cut(low, high)
        low, high, bound, start = low[live], high[live], bound[live], start[live]
        low, high, live, slack = by_rows(model, self.bounder, constant, low, high)
        bound, start = self.raised(bound[live], slack), start[live]
        if model.offs:
            live = clear_of_boxes(model, low, high)
            low, high, bound, start = low[live], high[live], bound[live], start[live]
        if not len(low) or not (model.by_area or math.isfinite(model.most_area)):
            return low, high, bound
        reached = (high - low) @ self.lever
        limit = self.WIDE * math.sqrt(most_area)
        small = np.flatnonzero(reached < limit)
        new_low, new_high, fit, area = by_area(model, most_area, low[small], high[small])
        if model.by_area:
            bound[small] = np.maximum(bound[small], area.least)
        before = high[small] - low[small]
        low[small], high[small] = new_low, new_high
        # once more, by the rows, what the area has cut by a good part
        changed = small[fit & ((new_high - new_low) < self.AGAIN * before).any(axis=1)]
        wide = (reached >= limit) & ((high - low) < self.AGAIN_WIDE * start).any(axis=1)
        changed = np.concatenate([changed, np.flatnonzero(wide)])
        keep = np.ones(len(low), dtype=bool)
        keep[small[~fit]] = False
        keep[changed] = False
        again_low, again_high = low[changed], high[changed]
        alive = self.joints.cut(again_low, again_high)
        changed, again_low, again_high = changed[alive], again_low[alive], again_high[alive]
        again_low, again_high, left, slack = by_rows(model, self.bounder, constant, again_low, again_high)
        again = self.raised(bound[changed][left], slack)
        low = np.concatenate([low[keep], again_low])
        high = np.concatenate([high[keep], again_high])
        return low, high, np.concatenate([bound[keep], again])

    def hop(self, random: np.random.Generator) -> None:
        """New starts round about the best, a few times over: a long search is the shorter for a good target."""
        n = self.model.free
        for _ in range(2 if n <= 5 else 6):
            if self.best is not None:
                spread = random.normal(0.0, 1.0, (5 * n, n)) * random.choice([0.1, 0.3, 0.9], (5 * n, 1))
                self.offer(polish(self.model, self.best.angles_rad + spread, 25))

    def improve(self, low: Array, high: Array) -> None:
        """Polish from the middles of the boxes at hand that promise most: they are nearly layouts by now."""
        middle = 0.5 * (low + high)
        first = np.argsort(merit(self.model, middle), kind="stable")[: 2 * self.model.free]
        self.offer(polish(self.model, middle[first], 20))

    def refine(self) -> None:
        """A last descent from round about the best: the gap is met by now, the digits need not be."""
        if self.best is None or self.model.by_none:
            return
        if self.boxes > 3000 or not self.model.by_area:
            random = np.random.default_rng(self.settings.seed)
            for far in (0.05, 0.01):  # from further off the way leads round kinks, from nearby to the last digits
                near = self.best.angles_rad[None, :]
                spread = random.normal(0.0, far, (12, self.model.free))
                self.offer(polish(self.model, np.concatenate([near, near + spread]), 60))
        for _ in range(6):  # a few rounds and afresh: across a kink the old multipliers lead to and fro
            before = self.best.value
            self.offer(polish(self.model, self.best.angles_rad[None, :], 12, warm=True))
            if before - self.best.value <= 1e-7 * abs(before):
                break

    def split(self, low: Array, high: Array, bound: Array) -> tuple[Array, Array, Array]:
        if not len(low):
            return low, high, bound
        rows = np.arange(len(low))
        k = ((high - low) * self.lever).argmax(axis=1)
        middle = 0.5 * (low[rows, k] + high[rows, k])
        left, right = high.copy(), low.copy()
        left[rows, k] = middle
        right[rows, k] = middle
        return np.concatenate([low, right]), np.concatenate([left, high]), np.concatenate([bound, bound])
