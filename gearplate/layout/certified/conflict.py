"""Why a problem has no layout: demands that cannot hold together, each of them needed, and how far one has to give way.

Demands are taken in groups, since one wish of a person (a limit, say) makes many of them. The set is found by leaving
out one group after the other: what stays impossible without it does not need it. Every step is a search with proof or
a layout; where a search stops undecided the answer says so.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, replace

from gearplate.layout.certified.branch import Settings, Status, solve
from gearplate.layout.certified.problem import Apart, HullOff, LayoutProblem, Node, Outside, Wish, Within


@dataclass(frozen=True, slots=True)
class Given:
    """The place that node number `node` has been given; without it the node is `freed`."""

    node: int
    freed: Node


Kept = Apart | Within | Outside | HullOff
Demand = Kept | Given
Groups = Mapping[str, tuple[Demand, ...]]
SEARCH_COSTS = 40  # boxes: setting up a search and looking for a layout from many starts takes as long
HULL_COSTS = 3  # as much again for each keep-out of the hull


@dataclass(slots=True)
class Purse:
    """How many boxes all searches together may still look at; the same job spends it in the same way everywhere."""

    boxes: int
    spent: int = 0
    undecided: int = 0  # searches that stopped at their count

    @property
    def left(self) -> int:
        """Boxes that may still be looked at."""
        return max(0, self.boxes - self.spent)

    def affords(self, problem: LayoutProblem) -> bool:
        """Whether a search is left for such a problem."""
        return self.left > SEARCH_COSTS * _dear(problem)

    def layout(self, problem: LayoutProblem, most: int) -> tuple[Status, dict[str, float] | None]:
        """Any layout of the problem, or a proof that there is none; undecided where the purse is empty."""
        dear = _dear(problem)
        if not self.affords(problem):
            self.undecided += 1
            return Status.STOPPED, None
        settings = Settings(stop_boxes=min(most, self.left // dear - SEARCH_COSTS))
        answer = solve(replace(problem, wish=Wish.ANY), settings)
        self.spent += (answer.boxes + SEARCH_COSTS) * dear
        self.undecided += answer.status is Status.STOPPED and answer.angles_rad is None
        return answer.status, answer.angles_rad


def _dear(problem: LayoutProblem) -> int:
    return 1 + HULL_COSTS * len(problem.off)


ENDLESS = 10**9
FIRST_STEPS = 16


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
    """How far one thing, by itself, has to give way for all the others to hold.

    With `enough` there is a layout, `angles_rad`; None: none was found however far it may go. With `too_little` or
    less it is proven that there is none; 0: nothing is proven.
    """

    enough: float | None
    too_little: float
    angles_rad: dict[str, float] | None


def groups_of(problem: LayoutProblem) -> dict[str, tuple[Demand, ...]]:
    """Demands of one `why` together; one without a reason stands for itself."""
    found: dict[str, tuple[Demand, ...]] = {}
    for number, demand in enumerate(_demands(problem)):
        name = demand.why or f"demand {number + 1}"
        found[name] = (*found.get(name, ()), demand)
    return found


def conflict(
    problem: LayoutProblem,
    groups: Groups | None = None,
    stop_boxes: int = 20_000,
    purse: Purse | None = None,
    infeasible: bool = False,
) -> Conflict | None:
    """A set of groups that cannot hold together, none of which can be left out; None where there is a layout, or
    where the proof that there is none takes more than `stop_boxes`. Caps and demands in no group are never left out.

    `purse`: of all searches together; where it runs out, what is not proven to be needed stays in the set.
    `infeasible`: that is proven already."""
    groups = groups_of(problem) if groups is None else groups
    purse = Purse(ENDLESS) if purse is None else purse
    if not infeasible and purse.layout(problem, stop_boxes)[0] is not Status.INFEASIBLE:
        return None
    kept = list(groups)
    # halves, quarters and so on first: most demands have no part in it
    size = len(kept) // 2
    while size > 1:
        for at in range(0, len(kept), size):
            some = kept[at : at + size]
            if some and purse.layout(without(problem, groups, kept, some), stop_boxes)[0] is Status.INFEASIBLE:
                kept = [group for group in kept if group not in some]
                break
        else:
            size //= 2
    needed: list[Needed] = []
    for group in list(kept):
        status, angles = purse.layout(without(problem, groups, kept, [group]), stop_boxes)
        if status is Status.INFEASIBLE:
            kept.remove(group)
        else:
            needed.append(Needed(group, angles))
    return Conflict(tuple(needed))


def least_mend(
    at: Callable[[float], LayoutProblem],
    most: float,
    purse: Purse,
    within: float = 0.02,
    stop_boxes: int = 20_000,
    needs: Callable[[Mapping[str, float]], float] | None = None,
) -> Mend:
    """By halving: how far something has to give way for a layout, `at(by)` being the problem where it gave way by so
    much, `most` at most; between two bounds no more than `within` apart, or further where a search stops undecided.
    `at(0)` is proven to have none. `needs`: how far it has to give way for one layout, where that is known."""
    status, best = purse.layout(at(most), stop_boxes)
    if best is None:
        return Mend(None, most if status is Status.INFEASIBLE else 0.0, None)
    low, high, step = 0.0, most, FIRST_STEPS * within
    while high - low > within:
        if needs is not None and best is not None:
            high = max(low, min(high, needs(best) + 0.1 * within))
        # from too little upward: problems that are far too loose find a layout soon, and say little
        by = step if step < 0.5 * (low + high) else 0.5 * (low + high)
        step *= 4.0
        status, found = purse.layout(at(by), stop_boxes)
        if found is not None:
            high, best = by, found
        elif status is Status.INFEASIBLE:
            low = by
        else:
            break
    return Mend(high, low, best)


def _demands(problem: LayoutProblem) -> tuple[Kept, ...]:
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


def without(problem: LayoutProblem, groups: Groups, kept: Iterable[str], left: Iterable[str]) -> LayoutProblem:
    """All demands but those of groups that are not `kept`, and those of `left`."""
    stay = set(kept) - set(left)
    out = {d for name, some in groups.items() if name not in stay for d in some}
    freed = {one.node: one.freed for one in out if isinstance(one, Given)}
    nodes = tuple(freed.get(number, node) for number, node in enumerate(problem.nodes))
    return replace(_with(problem, [d for d in _demands(problem) if d not in out]), nodes=nodes)
