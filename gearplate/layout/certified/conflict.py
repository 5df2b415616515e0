"""Why a problem has no layout: a smallest set of demands that cannot hold together, and how far one has to give way.

Demands are taken in groups, since one wish of a person (a limit, say) makes many of them. The set is found by leaving
out one group after the other: what stays impossible without it does not need it. Every step is a search with proof or
a layout; where a search stops undecided the answer says so.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace

from gearplate.layout.certified.branch import Settings, Status, solve
from gearplate.layout.certified.problem import Apart, HullOff, LayoutProblem, Outside, Wish, Within

Demand = Apart | Within | Outside | HullOff
Groups = Mapping[str, tuple[Demand, ...]]


@dataclass(frozen=True, slots=True)
class Needed:
    """A group of the set. `angles_rad`: a layout that keeps all others of the set, so that it is truly needed; None
    where no such layout was found before the stop."""

    group: str
    angles_rad: dict[str, float] | None

    @property
    def proven(self) -> bool:
        return self.angles_rad is not None


@dataclass(frozen=True, slots=True)
class Conflict:
    """Groups that are proven not to hold together. `irreducible`: each is proven to be needed for that."""

    needed: tuple[Needed, ...]

    @property
    def irreducible(self) -> bool:
        return all(needed.proven for needed in self.needed)


@dataclass(frozen=True, slots=True)
class Mend:
    """How far one group, by itself, has to give way for all the others to hold.

    With `enough_mm` there is a layout, `angles_rad`; None: none was found. With `too_little_mm` or less it is proven
    that there is none; infinite: not even without the group; 0: nothing is proven.
    """

    group: str
    enough_mm: float | None
    too_little_mm: float
    angles_rad: dict[str, float] | None


def groups_of(problem: LayoutProblem) -> dict[str, tuple[Demand, ...]]:
    """Demands of one `why` together; one without a reason stands for itself."""
    found: dict[str, tuple[Demand, ...]] = {}
    for number, demand in enumerate(_demands(problem)):
        name = demand.why or f"demand {number + 1}"
        found[name] = (*found.get(name, ()), demand)
    return found


def conflict(problem: LayoutProblem, groups: Groups | None = None, stop_boxes: int = 20_000) -> Conflict | None:
    """A set of groups that cannot hold together, none of which can be left out; None where there is a layout, or
    where the proof that there is none takes more than `stop_boxes`. Caps and demands in no group are never left out."""
    groups = groups_of(problem) if groups is None else groups
    if _layout(problem, stop_boxes)[0] is not Status.INFEASIBLE:
        return None
    kept = list(groups)
    # halves, quarters and so on first: most demands have no part in it
    size = len(kept) // 2
    while size > 1:
        for at in range(0, len(kept), size):
            some = kept[at : at + size]
            if some and _layout(_without(problem, groups, kept, some), stop_boxes)[0] is Status.INFEASIBLE:
                kept = [group for group in kept if group not in some]
                break
        else:
            size //= 2
    needed: list[Needed] = []
    for group in list(kept):
        status, angles = _layout(_without(problem, groups, kept, [group]), stop_boxes)
        if status is Status.INFEASIBLE:
            kept.remove(group)
        else:
            needed.append(Needed(group, angles))
    return Conflict(tuple(needed))


def least_mend(
    problem: LayoutProblem, group: str, groups: Groups | None = None, to_mm: float = 0.05, stop_boxes: int = 20_000
) -> Mend:
    """By halving: how many mm all demands of `group` have to give way, all else kept, between two bounds no more than
    `to_mm` apart (or further, where a search stops undecided). Raises KeyError where there is no such group."""
    groups = groups_of(problem) if groups is None else groups
    demands = groups[group]
    free = _with(problem, [d for d in _demands(problem) if d not in set(demands)])
    status, angles = _layout(free, stop_boxes)
    if angles is None:
        return Mend(group, None, math.inf if status is Status.INFEASIBLE else 0.0, None)
    low, high = 0.0, 0.0
    # from too little upward: problems that are far too loose find a layout soon, and say little
    step = to_mm
    best: dict[str, float] | None = None
    while best is None and step < 1e5:
        status, best = _layout(_eased(problem, demands, step), stop_boxes)
        if best is not None:
            high = step
        elif status is Status.INFEASIBLE:
            low = step
        step *= 4.0
    if best is None:
        return Mend(group, None, low, None)
    while high - low > to_mm:
        middle = 0.5 * (low + high)
        status, found = _layout(_eased(problem, demands, middle), stop_boxes)
        if found is not None:
            high, best = middle, found
        elif status is Status.INFEASIBLE:
            low = middle
        else:
            break
    return Mend(group, high, low, best)


def _demands(problem: LayoutProblem) -> tuple[Demand, ...]:
    return (*problem.apart, *problem.within, *problem.outside, *problem.off)


def _with(problem: LayoutProblem, demands: Iterable[Demand]) -> LayoutProblem:
    """The problem with these demands alone, and no wish."""
    every = tuple(demands)
    return replace(
        problem,
        wish=Wish.ANY,
        apart=tuple(d for d in every if isinstance(d, Apart)),
        within=tuple(d for d in every if isinstance(d, Within)),
        outside=tuple(d for d in every if isinstance(d, Outside)),
        off=tuple(d for d in every if isinstance(d, HullOff)),
    )


def _without(problem: LayoutProblem, groups: Groups, kept: list[str], left: list[str]) -> LayoutProblem:
    """All demands but those of groups that are no longer kept and those of `left`."""
    out = {d for name, some in groups.items() if name not in kept or name in left for d in some}
    return _with(problem, [d for d in _demands(problem) if d not in out])


def _eased(problem: LayoutProblem, demands: tuple[Demand, ...], by_mm: float) -> LayoutProblem:
    given = set(demands)
    return _with(problem, [e for d in _demands(problem) for e in ([d] if d not in given else _less(d, by_mm))])


def _less(demand: Demand, by_mm: float) -> list[Demand]:
    """The demand after it gave way; none where nothing is left of it."""
    if isinstance(demand, Within):
        return [replace(demand, most_mm=demand.most_mm + by_mm)]
    if isinstance(demand, Outside):
        x0, x1, y0, y1 = demand.x0_mm + by_mm, demand.x1_mm - by_mm, demand.y0_mm + by_mm, demand.y1_mm - by_mm
        return [replace(demand, x0_mm=x0, x1_mm=x1, y0_mm=y0, y1_mm=y1)] if x0 < x1 and y0 < y1 else []
    if isinstance(demand, HullOff):
        return [replace(demand, least_mm=demand.least_mm - by_mm)]
    return [replace(demand, least_mm=demand.least_mm - by_mm)] if demand.least_mm > by_mm else []


def _layout(problem: LayoutProblem, stop_boxes: int) -> tuple[Status, dict[str, float] | None]:
    answer = solve(replace(problem, wish=Wish.ANY), Settings(stop_boxes=stop_boxes))
    return answer.status, answer.angles_rad
