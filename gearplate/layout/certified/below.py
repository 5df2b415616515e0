"""Is there anything below a value? Boxes of angles alone, without a search for good layouts: for many problems, of
which most are to be passed over."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from gearplate.layout.certified.branch import Settings, _Search
from gearplate.layout.certified.contract import halved
from gearplate.layout.certified.incumbent import merit
from gearplate.layout.certified.mirror import half_by_mirror
from gearplate.layout.certified.model import Model, demands_missed, model_of, wish_value
from gearplate.layout.certified.problem import LayoutProblem
from gearplate.layout.certified.rows import Array

FIRST_BOXES = 32  # a search from nothing begins with so many: a few boxes cost no less than one


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


def below(
    problem: LayoutProblem,
    value: float,
    gap: float = 0.005,
    rounds: int = 12,
    most_boxes: int = 100,
    within: Region | None = None,
) -> Below:
    """Whether a layout lies below (1 - gap) times `value`, and where. Ends when there is none, when the middle of a box
    is one, after so many rounds, or with so many boxes at hand.

    `within`: the region of a problem that asks no more than this one; it spares looking at all angles anew.
    """
    model = model_of(problem)
    search = _Search(model, Settings(gap=gap, cutoff=value), None)
    target = search.target()
    half = half_by_mirror(problem)
    if within is not None and within.half == half and within.groups == model.groups:
        # boxes are cut in place, and the region is another problem's as well
        low, high, bound = within.low.copy(), within.high.copy(), within.bound.copy()
    else:
        low, high, bound = _all_angles(model, half)
        while model.free and len(low) < FIRST_BOXES:
            low, high, bound = halved(search.lever, low, high, bound, search.MANY)
    boxes, proven, best, found = 0, 0.0, None, False
    for step in range(rounds):
        if step:
            low, high, bound = halved(search.lever, low, high, bound, search.MANY)
        boxes += len(low)
        low, high, bound = search.examine(low, high, bound)
        keep = bound < target
        low, high, bound = low[keep], high[keep], bound[keep]
        if not len(low):
            break
        proven = max(proven, float(bound.min()))
        middle = 0.5 * (low + high)
        best = middle[int(merit(model, middle).argmin())]
        found = bool(demands_missed(model, best[None])[0] <= 0.0 and wish_value(model, best[None])[0] < target)
        if found or len(low) > most_boxes or not model.free:
            break
    region = Region(low, high, bound, half, model.groups)
    if not len(low) or best is None:
        return Below(target if math.isfinite(target) else math.inf, boxes, region, None)
    names = [problem.nodes[number].name for number in problem.free]
    return Below(min(proven, target), boxes, region, dict(zip(names, map(float, best), strict=True)), found)


def _all_angles(model: Model, half: int | None) -> tuple[Array, Array, Array]:
    """One box of all the angles there are."""
    low: Array = np.full((1, model.free), -math.pi)
    high: Array = np.full((1, model.free), math.pi)
    halved = [column for column, number in enumerate(model.problem.free) if model.problem.nodes[number].half_turn]
    for column in halved if half is None else [half, *halved]:
        low[0, column], high[0, column] = -0.5 * math.pi, 0.5 * math.pi
    return low, high, np.zeros(1)
