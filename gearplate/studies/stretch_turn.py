"""The least change of a layout by turning its shafts alone, and the bounds below which no layout does."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np

from gearplate.layout.bodies import fixed_bodies
from gearplate.layout.bound import bound_specs
from gearplate.layout.certified.branch import Answer, Settings, Status, solve
from gearplate.layout.certified.incumbent import polish
from gearplate.layout.certified.model import demands_missed, model_of
from gearplate.layout.certified.problem import Cap, LayoutProblem, Wish
from gearplate.layout.chain import OUTPUT, free_shafts, links, place_all
from gearplate.layout.clearance import pairs
from gearplate.layout.constraints import Model, build_model
from gearplate.layout.design import Layout
from gearplate.layout.finish import finish, rail_screws, with_far_posts
from gearplate.layout.hardware import rail_screw_bodies
from gearplate.layout.misses import nearest_miss, too_near
from gearplate.layout.proof import MOST_ANGLES, angles_of
from gearplate.layout.question import question_of
from gearplate.layout.screws import with_screws
from gearplate.layout.spec import LayoutSpec
from gearplate.layout.stack import axial_stack
from gearplate.studies.stretch_change import (
    SAME_MM,
    WORTH,
    Change,
    Old,
    Pair,
    Turned,
    Verdict,
    change_of,
)

GAP = 0.005  # share to which the least change is sought
BOXES = 6000  # looked at, at most, for each bound
DEEP = 30_000  # for the bounds of the change that is chosen
SHORT = 600  # of a search whose bound nobody is told
PROOF = 1500  # to see that a hull is no less than one that is known
SEARCHED_ANGLES = 8  # shafts and motors turned at once where only a layout is sought, no bound
STARTS, ROUNDS = 12, 25  # of a descent that only guesses how much a change comes to
NEAR_RAD = 0.1  # layouts of alike trains are started from, and from so far round about


@dataclass(frozen=True, slots=True)
class Known:
    """A change that is possible otherwise: only one of at most this share of it is looked for."""

    change: Change
    worth: float = WORTH
    proof: bool = True  # whether it is worth while to prove that there is none


class Turning:
    """The free shafts of a spec, whose rail screws stay where it gives them (the tool places them where it gives none,
    and what is proven holds wherever they stand). `near`: layouts of alike specs, as starts for guesses."""

    def __init__(self, spec: LayoutSpec, old: Old) -> None:
        self.spec, self.old = spec, old
        self._questions = [_Question(one, old) for one in bound_specs(spec)]

    def impossible(self) -> Turned | None:
        """The proof that nothing clears, where there is one."""
        none = [question.impossible() for question in self._questions]
        return self._joined(none) if all(none) else None

    def guess(self, near: Sequence[Layout] = ()) -> tuple[float, float]:
        """About how much the hull grows, and the largest move where it does not; infinite where nothing was found."""
        return min(question.guess(near) for question in self._questions)

    def least(self, known: Known | None = None, near: Sequence[Layout] = ()) -> Turned:
        """The least change."""
        return self._joined([question.answer(known, near) for question in self._questions])

    def bounded(self, turned: Turned) -> Turned:
        """With what can be proven about the first of its layouts."""
        results = [question.bounded(turned) for question in self._questions]
        return replace(
            turned,
            move_bound_mm=min(result.move_bound_mm for result in results),
            growth_bound_mm2=min(result.growth_bound_mm2 for result in results),
            same_plates_bound_mm=min(result.same_plates_bound_mm for result in results),
        )

    def least_move_mm(self) -> float:
        """No layout has a largest move below."""
        return min(
            math.inf if question.impossible() is not None else question.least_move.bound for question in self._questions
        )

    def _joined(self, results: Sequence[Turned | None]) -> Turned:
        all_of = [result for result in results if result is not None]
        verdicts = [result.verdict for result in all_of]
        return Turned(
            next(verdict for verdict in (Verdict.CLEARS, *reversed(Verdict)) if verdict in verdicts),
            self.old.in_order(pair for result in all_of for pair in result.found),
            min(result.move_bound_mm for result in all_of),
            min(result.growth_bound_mm2 for result in all_of),
            min(result.same_plates_bound_mm for result in all_of),
            sum(result.boxes for result in all_of),
            all_of[0].why,
        )


class _Question:
    """One spec in which no free shaft is bound by the places of others."""

    def __init__(self, spec: LayoutSpec, old: Old) -> None:
        self.spec, self.old = spec, old
        self.stack = axial_stack(spec)
        self.rail = rail_screws(spec, self.stack, 0.0)
        given = spec.rail is not None and spec.rail.holes is not None
        self.proof_rail = self.rail if given else ()  # what is proven holds wherever the tool puts them
        self.free = free_shafts(spec)
        # all that may move: also what stands at a given angle about a shaft that turns
        nailed = {name for name, place in spec.places.items() if place.x_mm is not None}
        self.before = {
            link.child: old.places[link.child]
            for link in links(spec)
            if link.child in old.places and link.child not in nailed
        }
        self.boxes = 0
        self._impossible: list[Turned | None] = []

    @cached_property
    def sure(self) -> Model:
        """What every layout must keep."""
        return build_model(self.spec, self.stack, self.proof_rail, sure=True)

    @cached_property
    def bare(self) -> LayoutProblem:
        """The same as a question, with no more room than there must be: for proofs."""
        return question_of(self.spec, self.stack, self.sure, hull_off=False, slack_mm=0.0, before=self.before)

    @cached_property
    def screwed(self) -> LayoutProblem:
        """The same with as many motors' screws as a proof can do with."""
        return with_screws(self.bare, self.spec, self.stack, MOST_ANGLES)

    @cached_property
    def least_move(self) -> Answer:
        """The least largest move of any layout."""
        return self._solve(self.bare, Wish.MOVE)

    def impossible(self) -> Turned | None:
        if not self._impossible:
            still = self._still()
            found = None
            if still or self._solve(self.bare, Wish.ANY).status is Status.INFEASIBLE:
                found = replace(self._none(Verdict.IMPOSSIBLE, math.inf), why=still)
            self._impossible.append(found)
        return self._impossible[0]

    def guess(self, near: Sequence[Layout]) -> tuple[float, float]:
        if not self.free:
            return 0.0, 0.0
        problem = self._screwed(build_model(self.spec, self.stack, self.rail))
        growth = max(0.0, self._descent(problem, Wish.AREA, near) - self.old.hull_mm2)
        if growth > self.old.same_mm2:
            return growth, 0.0
        return 0.0, self._descent(problem, Wish.MOVE, near) if self.before else 0.0

    def answer(self, known: Known | None, near: Sequence[Layout]) -> Turned:
        if not self.free:
            return self.impossible() or self._as_given()
        as_it_was = self._as_it_was()
        if as_it_was is not None:
            return Turned(Verdict.CLEARS, (as_it_was,))
        none = self.impossible()
        if none is not None:
            return none
        move_bound = 0.0
        if known is not None:
            none = self._no_less(known, near)
            if none is not None:
                return none
        elif self.before:
            move_bound = self.least_move.bound
        found = self._layouts()
        verdict = Verdict.CLEARS if found else Verdict.NOT_FOUND
        return replace(self._none(verdict, move_bound), found=found)

    def bounded(self, turned: Turned) -> Turned:
        """Growth is bounded only where there is some, the move of plates of this size only where one that moves less
        may stand in larger ones."""
        best, layout = turned.found[0]
        if self.impossible() is not None:
            return self._none(Verdict.IMPOSSIBLE, math.inf)
        start = [self._start(self.screwed, layout)]
        growth = 0.0
        if self.old.grows(best):
            growth = max(0.0, self._solve(self.screwed, Wish.AREA, boxes=DEEP, start=start).bound - self.old.hull_mm2)
        if not self.before or not self.free:
            return self._none(Verdict.CLEARS, 0.0 if self.free else best.move_mm, growth)
        same = self.least_move.bound
        if best.move_mm * (1.0 - 2.0 * GAP) > same:
            cap = Cap(Wish.AREA, self.old.hull_mm2 + max(best.growth_mm2, self.old.same_mm2), "plates of this size")
            capped = replace(self.screwed, caps=(cap,))
            same = max(same, self._solve(capped, Wish.MOVE, boxes=DEEP, start=start).bound)
        result = self._none(Verdict.CLEARS, self.least_move.bound, growth)
        return replace(result, same_plates_bound_mm=min(same, best.move_mm))

    def _none(self, verdict: Verdict, move_mm: float, growth_mm2: float | None = None) -> Turned:
        if growth_mm2 is None:
            growth_mm2 = math.inf if verdict is Verdict.IMPOSSIBLE else 0.0
        return Turned(verdict, (), move_mm, growth_mm2, move_mm, self.boxes)

    def _still(self) -> str:
        """What stands in the way of itself, however shafts are turned: rail screws under the wheel, say."""
        bodies = [*fixed_bodies(self.spec, self.stack)]
        for index, place in enumerate(self.proof_rail):
            bodies += rail_screw_bodies(self.spec, self.stack, index, place)
        found = [finding for pair in pairs(bodies, self.spec, {OUTPUT: (0.0, 0.0)}) if (finding := too_near(pair))]
        # what stands on the rail may stand in a relief round a shaft, wherever that is
        sure = [one for one in found if one.check != "rail-face" or not (self.spec.rail and self.spec.rail.reliefs)]
        return sure[0].message if sure else ""

    def _as_it_was(self) -> Pair | None:
        """The old layout, where it still has all these shafts at these distances and clears."""
        old, angles = {OUTPUT: (0.0, 0.0), **self.old.places}, {}
        for link in links(self.spec):
            if link.child in self.free:
                if link.child not in old or link.parent not in old:
                    return None
                (x, y), (px, py) = old[link.child], old[link.parent]
                angles[link.child] = math.atan2(y - py, x - px)
        row = np.array([[angles[self.bare.nodes[number].name] for number in self.bare.free]])
        if float(demands_missed(model_of(replace(self.bare, wish=Wish.ANY)), row)[0]) > SAME_MM:
            return None
        pair = self._finished(angles)
        if pair is None or pair[0].out_of_reach or self.old.grows(pair[0]) or pair[0].move_mm > SAME_MM:
            return None
        return pair

    def _as_given(self) -> Turned:
        pair = self._finished({})
        if pair is None:
            return self._none(Verdict.NOT_FOUND, 0.0)
        return replace(self._none(Verdict.CLEARS, pair[0].move_mm), found=(pair,))

    def _no_less(self, known: Known, near: Sequence[Layout]) -> Turned | None:
        """The verdict that nothing is a lesser change than the known one, None where something may be."""
        change, hull = known.change, self.old.hull_mm2
        if change.out_of_reach:
            most = hull + known.worth * self.old.cost_mm2(change)
            in_reach = self._screwed(build_model(self.spec, self.stack, self.rail, in_reach=True))
            if self._descent(in_reach, Wish.AREA, near) < most:
                return None
        elif not self.old.grows(change):
            if not self.before:
                return self._none(Verdict.NO_LESS, 0.0)
            least = self._solve(self.bare, Wish.MOVE, cutoff=known.worth * change.move_mm)
            if least.angles_rad is not None:
                return None
            proven = least.status in (Status.NONE_BELOW, Status.INFEASIBLE)
            return self._none(Verdict.NO_LESS if proven else Verdict.NOT_FOUND, least.bound)
        if not self.old.grows(change):
            return self._none(Verdict.NOT_FOUND, 0.0)
        most = hull + known.worth * change.growth_mm2
        if self._descent(self._screwed(build_model(self.spec, self.stack, self.rail)), Wish.AREA, near) < most:
            return None
        return self._none(Verdict.NOT_FOUND, 0.0) if change.out_of_reach or not known.proof else self._proof(most)

    def _proof(self, most_mm2: float) -> Turned:
        """That no hull is smaller, where few boxes show it: by the shafts alone, then with motors' screws."""
        bound = 0.0
        for problem, boxes in ((self.bare, SHORT), (self.screwed, PROOF)):
            if self._descent(problem, Wish.AREA, ()) < most_mm2:
                continue  # what need not be a layout is smaller: no proof in that
            answer = self._solve(problem, Wish.AREA, cutoff=most_mm2, boxes=boxes)
            bound = max(bound, answer.bound - self.old.hull_mm2)
            if answer.status is Status.NONE_BELOW:
                return self._none(Verdict.NO_LESS, 0.0, bound)
        return self._none(Verdict.NOT_FOUND, 0.0, bound)

    def _descent(self, problem: LayoutProblem, wish: Wish, near: Sequence[Layout]) -> float:
        """A wish of the best layout that a few starts lead to; infinite where they lead to none."""
        model = model_of(replace(problem, wish=wish))
        random = np.random.default_rng(self.spec.seed)
        points = [random.uniform(-math.pi, math.pi, (STARTS, model.free))]
        for layout in near:
            known = self._start(problem, layout)
            if known is not None:
                row = np.array([[known[problem.nodes[number].name] for number in problem.free]])
                points += [row, row + NEAR_RAD * random.standard_normal((2, model.free))]
        found = polish(model, np.concatenate(points[::-1]), ROUNDS)
        return math.inf if found is None else found.value

    def _layouts(self) -> tuple[Pair, ...]:
        """Finished layouts that keep every clearance, the least change first. One in which every motor screw is in
        reach is asked for only where none of the others is so."""
        found: list[Pair] = []
        for in_reach in (False, True):
            model = build_model(self.spec, self.stack, self.rail, in_reach)
            if in_reach and found:
                most = self.old.hull_mm2 + self.old.cost_mm2(self.old.in_order(found)[0][0])
                if self._descent(self._screwed(model), Wish.AREA, [layout for _, layout in found]) > most:
                    break
            free = self._solve(self._asked(model), Wish.MOVE)
            found += self._tried([free])
            if not any(not change.out_of_reach and not self.old.grows(change) for change, _ in found):
                found += self._in_small_plates(self._screwed(model), [layout for _, layout in found])
            if any(not change.out_of_reach for change, _ in found):
                break
        return self.old.in_order(found)

    def _in_small_plates(self, problem: LayoutProblem, near: Sequence[Layout]) -> list[Pair]:
        """The layout in the smallest plates, and the one that moves least in plates that are hardly larger."""
        smallest = self._solve(problem, Wish.AREA, boxes=SHORT)
        grown = self._tried([smallest])
        if smallest.value is None or smallest.angles_rad is None:
            return grown
        sizes = [self.old.hull_mm2 + change.growth_mm2 for change, _ in grown]
        most = min([*sizes, max(smallest.value, self.old.hull_mm2)]) + self.old.same_mm2
        capped = replace(problem, caps=(Cap(Wish.AREA, most, "plates of this size"),))
        start = [smallest.angles_rad, *(self._start(problem, layout) for layout in near)]
        return grown + self._tried([self._solve(capped, Wish.MOVE, boxes=SHORT, start=start)])

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

    def _start(self, problem: LayoutProblem, layout: Layout) -> dict[str, float] | None:
        """A layout's angles as a start; None where it lacks a shaft."""
        names = {shaft.name for shaft in layout.shafts}
        if any(name not in names for name in self.free):
            return None
        return angles_of(problem, layout)

    def _screwed(self, model: Model) -> LayoutProblem:
        """What `model` asks, in a hull that covers each motor's own screws instead of their whole circle."""
        problem = self._asked(replace(model, hull_radius=self.sure.hull_radius))
        return with_screws(problem, self.spec, self.stack, SEARCHED_ANGLES)

    def _asked(self, model: Model) -> LayoutProblem:
        return question_of(self.spec, self.stack, model, before=self.before)

    def _solve(
        self,
        problem: LayoutProblem,
        wish: Wish,
        cutoff: float = math.inf,
        boxes: int = BOXES,
        start: Sequence[Mapping[str, float] | None] = (),
    ) -> Answer:
        if wish is Wish.MOVE and not self.before:
            wish = Wish.ANY
        known = tuple(one for one in start if one is not None)
        settings = Settings(GAP, stop_boxes=boxes, batch=512, seed=self.spec.seed, cutoff=cutoff, start=known)
        answer = solve(replace(problem, wish=wish), settings)
        self.boxes += answer.boxes
        return answer
