"""Why a job's free shafts find no place: a proof that there is none, what cannot hold together, and what would mend it.

The question put first is the barest: nothing touches, the job's own limits hold, and no more. What is proven of that
is proven of every build. Only where the barest has a layout is more asked, and the answer says so.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator, Sequence
from dataclasses import dataclass, replace

from gearplate.layout.bound import bound_specs
from gearplate.layout.certified.branch import Status
from gearplate.layout.certified.conflict import Conflict, Purse, conflict, without
from gearplate.layout.chain import free_shafts
from gearplate.layout.eases import Asks, Ease, ease_of, least_of, nearest_clear, things_of, with_clear
from gearplate.layout.grounds import RAIL_SCREWS, Ground, Grounded, What, grounded
from gearplate.layout.models import Models
from gearplate.layout.question import SLACK_MM
from gearplate.layout.solve import RAIL_TRIES_MM
from gearplate.layout.spec import LayoutSpec
from gearplate.layout.sums import Sum, sums_of

BOXES = 2000  # looked at by all searches together, each search counted as some more
SET_BOXES = 6000  # to find what cannot hold together: most sets take a tenth of them
FAR_BOXES = 60_000  # where somebody asks for the reasons alone
ONE = 1000  # of these for any one search

Points = tuple[tuple[float, float], ...]


@dataclass(frozen=True, slots=True)
class Reason:
    """A ground that cannot hold together with the others. `needed`: proven that the others can without it."""

    ground: Ground
    needed: bool


@dataclass(frozen=True, slots=True)
class Reasons:
    """Why no place was found for the `free` shafts.

    `proven`: no layout keeps what was asked; not: the search `stopped` at its count of boxes, or shafts do find places
    and something else does not; then nothing else is told. What was asked is the least that a build can do with or,
    with `clearances`, every gap of common practice; with `screws`, for the rail's screws where the tool puts them,
    else wherever they stand. `reasons`: a set that cannot hold together. `fitting`: how many of the motors find places
    with every clearance kept; None: not asked or not found out.
    """

    free: tuple[str, ...]
    proven: bool
    stopped: bool = False
    clearances: bool = False
    screws: bool = False
    reasons: tuple[Reason, ...] = ()
    eases: tuple[Ease, ...] = ()
    sums: tuple[Sum, ...] = ()
    motors: int = 0
    fitting: int | None = None
    boxes: int = 0

    @property
    def irreducible(self) -> bool:
        """Whether each reason is proven to be needed."""
        return bool(self.reasons) and all(reason.needed for reason in self.reasons)


@dataclass(frozen=True, slots=True)
class _Asked:
    """How a spec's question is put: with the rail's screws at `rail`, with all clearances or with the least; asking for
    no more than every layout keeps."""

    rail: Points
    clearances: bool
    bound: tuple[str, ...] = ()

    def of(self, spec: LayoutSpec, models: Models) -> Grounded:
        model = models.model(spec, self.rail, True, 1.0 if self.clearances else 0.0)
        return grounded(spec, models.stack(spec), model, bound=self.bound)


def reasons_of(spec: LayoutSpec, boxes: int = BOXES) -> Reasons:
    """The reasons why free shafts of this spec find no place, as far as `boxes` go; `proven` is False too where there
    is a layout that keeps all that can be asked here."""
    purse, models = Purse(boxes), Models()
    free = tuple(sorted(free_shafts(spec), key=lambda name: (name.startswith("M"), name)))
    bound = bound_specs(spec)
    proof = _proof(spec, bound, purse, models)
    if proof is None:
        return Reasons(free, False, purse.undecided > 0, boxes=purse.spent)
    asked, chosen = proof
    ways = [(each, one, one.of(each, models)) for one in asked for each in bound]
    first, _, question = ways[0]
    found = _together(first, question)
    reasons = tuple(Reason(question.grounds[one.group], one.proven) for one in found.needed)
    names = {one.ground.name for one in reasons}
    # another way of laying out may fail by other things: then all of these together rule out every way
    needed = [names]
    for each, _, other in ways[1:]:
        needed.append(names if _fails(names, other, purse) else {one.group for one in _together(each, other).needed})
    everywhere = all(each is names for each in needed)
    if not everywhere:
        every = {name: ground for _, _, other in reversed(ways) for name, ground in other.grounds.items()}
        names = set().union(*needed)
        reasons = tuple(
            Reason(ground, any(_stands_without(name, names, other, purse) for _, _, other in ways))
            for name, ground in every.items()
            if name in names
        )
    grounds = tuple(reason.ground for reason in reasons)
    asks = [_asks(one, purse, models) for _, one, _ in ways]
    things = [{thing.key: thing for thing in things_of(each, other.grounds, grounds)} for each, _, other in ways]

    def eased(key: str) -> Ease:
        """Over all ways: the first layout in any of them is enough, and what is too little is so in each."""
        return least_of(
            ease_of(things[k][key], other, asks[k], needed[k]) if key in things[k] else Ease(key, None)
            for k, (_, _, other) in enumerate(ways)
        )

    def cleared(ease: Ease) -> Ease:
        each = [with_clear(ease, own[ease.key], ask) for own, ask in zip(things, asks, strict=True) if ease.key in own]
        return nearest_clear(each)

    # what the job itself sets comes first: the boxes may not go round
    set_by_job = [key for key, thing in things[0].items() if thing.own]
    eases = [eased(key) for key in set_by_job]
    fitting = _fitting(bound, purse, models)
    eases = [cleared(ease) for ease in eases]
    others = [eased(key) for key in things[0] if key not in set_by_job]
    eases += [cleared(ease) for ease in others]
    return Reasons(
        free,
        True,
        False,
        asked[0].clearances,
        chosen and RAIL_SCREWS in names,  # else the set holds wherever they stand
        reasons,
        tuple(eases),
        sums_of(first, grounds) if everywhere else (),
        len(spec.motors),
        fitting,
        purse.spent,
    )


def _asks(asked: _Asked, purse: Purse, models: Models) -> Asks:
    return Asks(
        lambda spec: asked.of(spec, models),
        lambda spec: can_stand(spec, purse, models),
        lambda spec: clears(spec, purse, models),
        purse,
    )


def _together(spec: LayoutSpec, question: Grounded) -> Conflict:
    """What cannot hold together: if it can be, what fails by a sum of distances alone, which is seen at once. It has a
    purse of its own: the set is told whole, whatever may be told beside it."""
    purse = Purse(SET_BOXES)
    places = {name: one for name, one in question.grounds.items() if one.what is What.PLACE}
    failing = {name: sums_of(spec, [one, *places.values()]) for name, one in question.grounds.items() if one.parts}
    short = {name: sums[0].least_mm - sums[0].furthest_mm for name, sums in failing.items() if sums}
    if short:
        worst = max(short, key=lambda name: short[name])
        names = [name for name in question.grounds if name == worst or name in places]
        alone = without(question.problem, question.groups, names, ())
        found = conflict(alone, {name: question.groups[name] for name in names}, ONE, purse)
        if found is not None:
            return found
    found = conflict(question.problem, question.groups, ONE, purse, infeasible=True)
    assert found is not None
    return found


def _proof(
    spec: LayoutSpec, bound: Sequence[LayoutSpec], purse: Purse, models: Models
) -> tuple[list[_Asked], bool] | None:
    """How the question was put when it was proven to have no answer, the barest first, once for each pattern of the
    rail's screws, and whether their places were the tool's."""
    follow = tuple(name for name in bound[0].places if name not in spec.places or spec.places[name].free)
    for clearances in (False, True):
        for rails, chosen in _rails(bound[0], models):
            asked = [_Asked(rail, clearances, follow) for rail in rails]
            if all(_impossible(one.of(each, models), purse) for one in asked for each in bound):
                return asked, chosen
    return None


def _rails(spec: LayoutSpec, models: Models) -> Iterator[tuple[tuple[Points, ...], bool]]:
    """The rail's screws to ask with: as given, or none and then those that the tool tries."""
    if spec.rail is None:
        yield ((),), False
    elif spec.rail.holes is not None:
        yield (spec.rail.holes,), False
    else:
        yield ((),), False
        yield tuple(models.rail(spec, extra) for extra in RAIL_TRIES_MM), True


def _impossible(question: Grounded, purse: Purse) -> bool:
    return purse.layout(question.problem, ONE)[0] is Status.INFEASIBLE


def _fails(names: Collection[str], question: Grounded, purse: Purse) -> bool:
    """Whether it is proven that these grounds cannot hold together in this way of putting the question either."""
    problem = without(question.problem, question.groups, names, ())
    return purse.layout(problem, ONE)[0] is Status.INFEASIBLE


def _stands_without(name: str, names: Collection[str], question: Grounded, purse: Purse) -> bool:
    """Whether a layout keeps all the other grounds."""
    return purse.layout(without(question.problem, question.groups, names, [name]), ONE)[1] is not None


def hopeless(spec: LayoutSpec, purse: Purse, models: Models) -> bool:
    """Whether it is proven that no layout can be built, wherever the rail's screws stand."""
    rail = () if spec.rail is None or spec.rail.holes is None else spec.rail.holes
    return all(_impossible(_Asked(rail, False).of(one, models), purse) for one in bound_specs(spec))


def can_stand(spec: LayoutSpec, purse: Purse, models: Models) -> bool:
    """Whether a layout was found that a build would take where it finds no better one: all screws in it, those of the
    rail where the tool puts them."""
    for rail in _built_rails(spec, models):
        model = models.model(spec, rail, True, 0.0)
        for screws in (None, 0.0):  # most fail without the screws already
            question = grounded(spec, models.stack(spec), model, slack_mm=SLACK_MM, screws=screws)
            if not purse.left or purse.layout(question.problem, ONE)[1] is None:
                break
        else:
            return True
        if not purse.affords(question.problem):
            break  # for other places of the rail's screws no more than for these
    return False


def clears(spec: LayoutSpec, purse: Purse, models: Models) -> bool:
    """Whether a layout with every clearance was found, as a build looks for it first."""
    for rail in _built_rails(spec, models):
        model = models.model(spec, rail, False, 1.0)
        question = grounded(spec, models.stack(spec), model, slack_mm=SLACK_MM)
        if purse.left and purse.layout(question.problem, ONE)[1] is not None:
            return True
        if not purse.affords(question.problem):
            break
    return False


def _built_rails(spec: LayoutSpec, models: Models) -> Iterator[Points]:
    """The rail's screws that a build tries, what is in the way of least first."""
    if spec.rail is None or spec.rail.holes is not None:
        yield models.rail(spec, 0.0)
        return
    for extra in reversed(RAIL_TRIES_MM):
        yield models.rail(spec, extra)


def _fitting(bound: Sequence[LayoutSpec], purse: Purse, models: Models) -> int | None:
    """How many of the motors, the last left out first, find places with every clearance; None: not one alone, or that
    was not found out."""
    for count in range(len(bound[0].motors) - 1, 0, -1):
        if any(clears(replace(spec, motors=spec.motors[:count]), purse, models) for spec in bound):
            return count
    return None
