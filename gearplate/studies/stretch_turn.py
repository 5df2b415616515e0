"""The least change of a layout by turning its shafts alone: how much its plates grow, how far its shafts move, and the
bounds below which no layout does.

The plates' growth comes first, then the largest move. Growth is counted on the hull of the margins of shafts, motors
and rail screws (standoffs are set anew); plates that grow about as much are alike in that.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from enum import StrEnum

from gearplate.layout.bound import bound_specs
from gearplate.layout.certified.branch import Answer, Settings, Status, solve
from gearplate.layout.certified.problem import Cap, LayoutProblem, Wish
from gearplate.layout.chain import OUTPUT, free_shafts, links, place_all
from gearplate.layout.constraints import Model, build_model
from gearplate.layout.design import Layout, Stack
from gearplate.layout.finish import finish, rail_screws, with_far_posts
from gearplate.layout.misses import nearest_miss
from gearplate.layout.proof import MOST_ANGLES, bare_hull_mm2
from gearplate.layout.question import question_of
from gearplate.layout.screws import with_screws
from gearplate.layout.spec import LayoutSpec
from gearplate.layout.stack import axial_stack

GAP = 0.005  # share to which the least change is sought
BOXES = 6000  # looked at, at most, for each bound
SHORT = 600  # of a search whose bound nobody is told
SEARCHED_ANGLES = 8  # shafts and motors turned at once where only a layout is sought, no bound
SAME_SHARE = 0.005  # of the old hull: growth that differs by less counts as the same, and the move decides
WORTH = 0.9  # another way must bring a change down to this share before it is called less
SAME_MM = 1e-3

Places = Mapping[str, tuple[float, float]]
Pair = tuple["Change", Layout]


@dataclass(frozen=True, slots=True)
class Change:
    """How much a layout differs from another one: motor screws that no driver reaches any more, growth of the hull (0
    where it does not grow), largest move of a shaft."""

    out_of_reach: int
    growth_mm2: float
    move_mm: float


@dataclass(frozen=True, slots=True)
class Old:
    """The layout to start from: where its shafts stand, its hull without standoffs, motor screws out of reach."""

    places: Places
    hull_mm2: float
    blocked: int

    @property
    def same_mm2(self) -> float:
        """Growth of the hull that counts as none."""
        return SAME_SHARE * self.hull_mm2

    def grows(self, change: Change) -> bool:
        """Whether plates of this change count as larger."""
        return change.growth_mm2 > self.same_mm2

    def in_order(self, found: Iterable[Pair]) -> tuple[Pair, ...]:
        """The least change first: fewest screws out of reach, then the least growth, then of all that grow about as
        little the least move."""
        pairs = list(found)
        reach = min((change.out_of_reach for change, _ in pairs), default=0)
        least = min((change.growth_mm2 for change, _ in pairs if change.out_of_reach == reach), default=0.0)

        def key(pair: Pair) -> tuple[int, float, float, float]:
            change = pair[0]
            more = change.growth_mm2 - least
            alike = change.out_of_reach == reach and more <= self.same_mm2
            return (change.out_of_reach, 0.0 if alike else more, change.move_mm, change.growth_mm2)

        return tuple(sorted(pairs, key=key))

    def less(self, one: Change, other: Change) -> bool:
        """Whether one change is worth calling less than the other."""
        if one.out_of_reach != other.out_of_reach:
            return one.out_of_reach < other.out_of_reach
        if abs(one.growth_mm2 - other.growth_mm2) > self.same_mm2:
            return one.growth_mm2 < WORTH * other.growth_mm2
        return one.move_mm < WORTH * other.move_mm - SAME_MM


class Verdict(StrEnum):
    """`IMPOSSIBLE` is proven. `NO_LESS`: whatever clears is no less a change than one that is known; proven too.
    `NOT_FOUND`: neither a layout nor a proof that there is none. `NOT_TRIED`: the count of boxes was used up before."""

    CLEARS = "clears"
    IMPOSSIBLE = "impossible"
    NO_LESS = "no less a change"
    NOT_FOUND = "not found"
    NOT_TRIED = "not tried"


@dataclass(frozen=True, slots=True)
class Turned:
    """What turning the shafts of one spec comes to. `found`: layouts that keep every clearance, the least change
    first. No layout at all has a largest move below `move_bound_mm`, none has its plates grow by less than
    `growth_bound_mm2`, and none whose plates grow no more than those of the first has a largest move below
    `same_plates_bound_mm`; with the rail screws that are given, or wherever they stand where none are."""

    verdict: Verdict
    found: tuple[Pair, ...] = ()
    move_bound_mm: float = 0.0
    growth_bound_mm2: float = 0.0
    same_plates_bound_mm: float = 0.0
    boxes: int = 0

    @property
    def change(self) -> Change | None:
        """Of the best layout; None where there is none."""
        return self.found[0][0] if self.found else None


def change_of(spec: LayoutSpec, old: Old, layout: Layout, blocked: int) -> Change:
    """By how much a layout differs from the old one; shafts that only one of them has do not count."""
    moves = [
        math.dist(old.places[shaft.name], (shaft.x_mm, shaft.y_mm))
        for shaft in layout.shafts
        if shaft.name in old.places
    ]
    growth = max(0.0, bare_hull_mm2(spec, layout) - old.hull_mm2)
    return Change(max(0, blocked - old.blocked), growth, max(moves, default=0.0))


def least_change(spec: LayoutSpec, old: Old, known: Change | None = None) -> Turned:
    """The least change by turning the free shafts of `spec`, whose rail screws stay where it gives them (the tool
    places them where it gives none). `known`: a change that is possible otherwise; only a lesser one is looked for."""
    results = [_Question(one, old).answer(known) for one in bound_specs(spec)]
    verdicts = [result.verdict for result in results]
    return Turned(
        next(verdict for verdict in (Verdict.CLEARS, *reversed(Verdict)) if verdict in verdicts),
        old.in_order(pair for result in results for pair in result.found),
        min(result.move_bound_mm for result in results),
        min(result.growth_bound_mm2 for result in results),
        min(result.same_plates_bound_mm for result in results),
        sum(result.boxes for result in results),
    )


class _Question:
    """One spec in which no free shaft is bound by the places of others."""

    def __init__(self, spec: LayoutSpec, old: Old) -> None:
        self.spec, self.old = spec, old
        self.stack: Stack = axial_stack(spec)
        self.rail = rail_screws(spec, self.stack, 0.0)
        given = spec.rail is not None and spec.rail.holes is not None
        self.proof_rail = self.rail if given else ()  # what is proven holds wherever the tool puts them
        self.free = free_shafts(spec)
        self.before = {name: old.places[name] for name in self.free if name in old.places}
        self.boxes = 0

    def answer(self, known: Change | None) -> Turned:
        if not self.free:
            return self._as_given()
        as_it_was = self._as_it_was()
        if as_it_was is not None:
            return Turned(Verdict.CLEARS, (as_it_was,))
        sure = build_model(self.spec, self.stack, self.proof_rail, sure=True)
        bare = self._asked(sure, bound=True)
        if self._solve(bare, Wish.ANY).status is Status.INFEASIBLE:
            return self._none(Verdict.IMPOSSIBLE, math.inf)
        by_move = known is not None and not known.out_of_reach and not self.old.grows(known)
        cutoff = WORTH * known.move_mm if known is not None and by_move else math.inf
        least = self._solve(bare, Wish.MOVE, cutoff=cutoff)
        if least.status is Status.INFEASIBLE:
            return self._none(Verdict.IMPOSSIBLE, math.inf)
        if least.status is Status.NONE_BELOW:
            return self._none(Verdict.NO_LESS, least.bound)
        if by_move and least.angles_rad is None:
            return self._none(Verdict.NOT_FOUND, least.bound)
        screwed = with_screws(bare, self.spec, self.stack, MOST_ANGLES)
        if known is not None and not known.out_of_reach and self.old.grows(known):
            hull = self._solve(screwed, Wish.AREA, cutoff=self.old.hull_mm2 + WORTH * known.growth_mm2)
            if hull.angles_rad is None:
                verdict = Verdict.NOT_FOUND if hull.status is Status.STOPPED else Verdict.NO_LESS
                return self._none(verdict, least.bound)
        found = self._layouts(sure)
        if not found:
            return self._none(Verdict.NOT_FOUND, least.bound)
        return self._bounded(screwed, least, found)

    def _none(self, verdict: Verdict, bound_mm: float) -> Turned:
        growth = math.inf if verdict is Verdict.IMPOSSIBLE else 0.0
        return Turned(verdict, (), bound_mm, growth, bound_mm, self.boxes)

    def _as_it_was(self) -> Pair | None:
        """The old layout, where it still has all these shafts at these distances and clears."""
        old, angles = {OUTPUT: (0.0, 0.0), **self.old.places}, {}
        for link in links(self.spec):
            if link.child in self.free:
                if link.child not in old or link.parent not in old:
                    return None
                (x, y), (px, py) = old[link.child], old[link.parent]
                angles[link.child] = math.atan2(y - py, x - px)
        pair = self._finished(angles)
        if pair is None or pair[0].out_of_reach or self.old.grows(pair[0]) or pair[0].move_mm > SAME_MM:
            return None
        return pair

    def _as_given(self) -> Turned:
        pair = self._finished({})
        if pair is None:
            return self._none(Verdict.NOT_FOUND, 0.0)
        change = pair[0]
        return Turned(Verdict.CLEARS, (pair,), change.move_mm, change.growth_mm2, change.move_mm)

    def _bounded(self, screwed: LayoutProblem, least: Answer, found: tuple[Pair, ...]) -> Turned:
        """The layouts with what can be proven: growth only where there is some, the move of plates of this size only
        where one that moves less may stand in larger ones."""
        best = found[0][0]
        growth = 0.0
        if self.old.grows(best):
            growth = max(0.0, self._solve(screwed, Wish.AREA).bound - self.old.hull_mm2)
        same = least.bound
        if best.move_mm * (1.0 - 2.0 * GAP) > least.bound:
            cap = Cap(Wish.AREA, self.old.hull_mm2 + max(best.growth_mm2, self.old.same_mm2), "plates of this size")
            same = max(same, self._solve(replace(screwed, caps=(cap,)), Wish.MOVE).bound)
        return Turned(Verdict.CLEARS, found, least.bound, growth, min(same, best.move_mm), self.boxes)

    def _layouts(self, sure: Model) -> tuple[Pair, ...]:
        """Finished layouts that keep every clearance, the least change first. One in which every motor screw is in
        reach is asked for only where none of the others is so."""
        found: list[Pair] = []
        for in_reach in (False, True):
            model = build_model(self.spec, self.stack, self.rail, in_reach)
            found += self._tried(self._least_moves(sure, model, self.old.hull_mm2 + self.old.same_mm2))
            if not any(not change.out_of_reach and not self.old.grows(change) for change, _ in found):
                smallest = self._solve(self._screwed(sure, model), Wish.AREA, boxes=SHORT)
                grown = self._tried([smallest])
                found += grown
                sizes = [self.old.hull_mm2 + change.growth_mm2 for change, _ in grown]
                if sizes or smallest.value is not None:
                    most = min([*sizes, max(smallest.value or 0.0, self.old.hull_mm2)]) + self.old.same_mm2
                    found += self._tried(self._least_moves(sure, model, most)[1:])
            if any(not change.out_of_reach for change, _ in found):
                break
        return self.old.in_order(found)

    def _least_moves(self, sure: Model, model: Model, most_mm2: float) -> list[Answer]:
        """The layout with the least largest move, in plates of any size and in plates of at most this one."""
        free = self._solve(self._asked(model), Wish.MOVE)
        problem = self._screwed(sure, model)
        problem = replace(problem, caps=(Cap(Wish.AREA, most_mm2, "plates of this size"),))
        return [free, self._solve(problem, Wish.MOVE, boxes=SHORT, start=free.angles_rad)]

    def _tried(self, answers: Iterable[Answer]) -> list[Pair]:
        found = [self._finished(answer.angles_rad) for answer in answers if answer.angles_rad is not None]
        return [pair for pair in found if pair is not None]

    def _finished(self, angles_rad: Mapping[str, float]) -> Pair | None:
        """The layout at these angles with all in its place; None where it does not clear."""
        angles = {name: angles_rad[name] for name in self.free}
        trial = finish(self.spec, self.stack, place_all(self.spec, angles), self.rail)
        if trial.posts_short:
            trial = with_far_posts(self.spec, self.stack, trial)
        if not trial.kept or nearest_miss(self.spec, trial.layout):
            return None
        return change_of(self.spec, self.old, trial.layout, trial.screws_blocked), trial.layout

    def _screwed(self, sure: Model, model: Model) -> LayoutProblem:
        """What `model` asks, in a hull that covers each motor's own screws instead of their whole circle."""
        problem = self._asked(replace(model, hull_radius=sure.hull_radius))
        return with_screws(problem, self.spec, self.stack, SEARCHED_ANGLES)

    def _asked(self, model: Model, bound: bool = False) -> LayoutProblem:
        if bound:
            return question_of(self.spec, self.stack, model, hull_off=False, slack_mm=0.0, before=self.before)
        return question_of(self.spec, self.stack, model, before=self.before)

    def _solve(
        self,
        problem: LayoutProblem,
        wish: Wish,
        cutoff: float = math.inf,
        boxes: int = BOXES,
        start: Mapping[str, float] | None = None,
    ) -> Answer:
        if wish is Wish.MOVE and not self.before:
            wish = Wish.ANY
        known: tuple[Mapping[str, float], ...] = ()
        if start is not None:  # screws have their angles found
            known = ({problem.nodes[i].name: start.get(problem.nodes[i].name, 0.0) for i in problem.free},)
        settings = Settings(GAP, stop_boxes=boxes, batch=512, seed=self.spec.seed, cutoff=cutoff, start=known)
        answer = solve(replace(problem, wish=wish), settings)
        self.boxes += answer.boxes
        return answer
