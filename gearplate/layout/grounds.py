"""What a layout has to keep, thing by thing, each with its name: the question for the search with proof, taken apart
so that any one thing can be left out of it.

A ground is one such thing: two bodies that may not meet, two holes, the wheel over one motor, a limit, a keep-out, the
place that the job gives a shaft.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from enum import StrEnum

from gearplate.layout.certified.conflict import Demand, Given, groups_of
from gearplate.layout.certified.problem import LayoutProblem, Node
from gearplate.layout.chain import OUTPUT
from gearplate.layout.constraints import Demand as Pair
from gearplate.layout.constraints import FixedDemand, Model
from gearplate.layout.design import Body, BodyKind, Stack
from gearplate.layout.misses import EPSILON_MM
from gearplate.layout.question import limits_within, question_of
from gearplate.layout.screws import with_screws
from gearplate.layout.spec import LayoutSpec

RAIL_SCREWS = "rail screws"
MOST_ANGLES = 8  # of shafts and of motors that are turned together


class What(StrEnum):
    """The kind of a ground, from what one would rather leave unsaid to what the job itself says."""

    HOLES = "holes"
    RAIL_SCREWS = "rail screws"
    BODIES = "bodies"
    FLOOR = "floor"
    GEARS = "gears"
    RAIL = "rail"
    MOTORS = "motors"
    WHEEL = "wheel"
    KEEP_OUT = "keep-out"
    PLACE = "place"
    LIMIT = "limit"


@dataclass(frozen=True, slots=True)
class Ground:
    """One thing to keep. `shafts`: the axes it speaks of; `parts`: the bodies; `least_mm`: how far apart the axes (or
    axis and thing) must stand; `key`: where the job says so ("limits.height"), "" for what follows from the parts."""

    name: str
    what: What
    shafts: tuple[str, ...] = ()
    parts: tuple[Body, ...] = ()
    least_mm: float = 0.0
    key: str = ""


@dataclass(frozen=True, slots=True)
class Grounded:
    """A question and its grounds by name, what one would rather leave unsaid first; `groups`: the demands of each."""

    problem: LayoutProblem
    grounds: Mapping[str, Ground]
    groups: Mapping[str, tuple[Demand, ...]]


def grounded(
    spec: LayoutSpec,
    stack: Stack,
    model: Model,
    *,
    slack_mm: float = -EPSILON_MM,
    screws: float | None = None,
    bound: Sequence[str] = (),
) -> Grounded:
    """What `model` asks, thing by thing. The slack is that of the checks: what they do not tell is no fault. `screws`:
    with those of the motors, and this share of the gaps of common practice round them. `bound`: shafts whose place
    follows from the coordinates of others."""
    named: dict[str, Ground] = {}
    pairs, fixed = [], []
    for pair in model.demands:
        ground = _of_pair(pair)
        named[ground.name] = ground
        pairs.append(replace(pair, why=ground.name))
    for one in model.fixed:
        ground = _of_fixed(spec, one)
        named.setdefault(ground.name, ground)
        fixed.append(replace(one, why=ground.name))
    model = replace(model, demands=tuple(pairs), fixed=tuple(fixed))
    problem = question_of(spec, stack, model, slack_mm=slack_mm)
    if screws is not None:
        problem = _with_screws(problem, spec, stack, model, screws, slack_mm)
    groups = groups_of(problem)
    for name in groups:
        named.setdefault(name, _of_name(spec, name))
    given = _given(spec, model, problem)
    follow = tuple(given.pop(shaft) for shaft in bound)
    for shaft, place in given.items():
        name = f"places.{shaft}"
        named[name] = Ground(name, What.PLACE, (shaft,), key=name)
        groups[name] = (place, *(follow if spec.places[shaft].x_mm is not None else ()))
    order = list(What)
    names = sorted(groups, key=lambda name: (order.index(named[name].what), named[name].least_mm))
    return Grounded(problem, {name: named[name] for name in names}, {name: groups[name] for name in names})


def _with_screws(
    problem: LayoutProblem, spec: LayoutSpec, stack: Stack, model: Model, share: float, slack_mm: float
) -> LayoutProblem:
    """The problem with the motors' screws, which the limits hold for as well."""
    problem = with_screws(problem, spec, stack, MOST_ANGLES, share, slack_mm)
    number = {node.name: index for index, node in enumerate(problem.nodes)}
    room = [(disc.node, disc.radius_mm) for disc in problem.hull]
    room += [(number[name], reach) for name, reach in zip(model.names, model.reach, strict=True)]
    others = tuple(one for one in problem.within if not one.why.startswith("limits."))
    return replace(problem, within=(*others, *limits_within(room, spec.limits, slack_mm)))


def _of_pair(pair: Pair) -> Ground:
    name = f"{pair.a} to {pair.b}"
    kinds = {part.kind for part in pair.parts}
    what = What.BODIES if pair.parts else What.HOLES
    if kinds == {BodyKind.MOTOR}:
        what = What.MOTORS
    elif BodyKind.GEAR in kinds:
        what = What.GEARS
    return Ground(name, what, (pair.a, pair.b), pair.parts, pair.least_mm)


def _of_fixed(spec: LayoutSpec, one: FixedDemand) -> Ground:
    still = one.parts[-1] if one.parts else None
    if still is None or still.name.startswith("rail-"):
        return Ground(RAIL_SCREWS, What.RAIL_SCREWS, key="rail.holes" if _rail_given(spec) else "rail")
    if still.kind is BodyKind.KEEP_OUT:
        return _of_name(spec, f"keep-out {still.name}")
    if still.kind is BodyKind.RAIL:
        return Ground(f"{one.a} to rail", What.RAIL, (one.a,), one.parts, one.least_mm, "rail")
    key = "wheel.diameter" if still.kind is BodyKind.WHEEL else ""
    what = What.WHEEL if still.kind is BodyKind.WHEEL else What.BODIES
    shafts = (one.a,) if still.shaft is None else (one.a, still.shaft)
    return Ground(f"{one.a} to {still.name}", what, shafts, one.parts, one.least_mm, key)


def _of_name(spec: LayoutSpec, name: str) -> Ground:
    """A ground that the question itself names."""
    if name.startswith("limits."):
        return Ground(name, What.LIMIT, key=name)
    if name == "ground":
        return Ground(name, What.FLOOR, key="wheel.diameter")
    for index, keep in enumerate(spec.keep_outs):
        if name == f"keep-out {keep.name}":
            return Ground(name, What.KEEP_OUT, key=f"keep_outs[{index}]")
    return Ground(name, What.BODIES)


def _rail_given(spec: LayoutSpec) -> bool:
    return spec.rail is not None and spec.rail.holes is not None


def _given(spec: LayoutSpec, model: Model, problem: LayoutProblem) -> dict[str, Given]:
    """The shafts that the job itself places, each with what it would be without that."""
    number = {node.name: index for index, node in enumerate(problem.nodes)}
    found: dict[str, Given] = {}
    for shaft, parent, distance in zip(model.order, model.parents, model.distances, strict=True):
        name = model.names[shaft]
        place = spec.places.get(name)
        if name != OUTPUT and place is not None and not place.free:
            freed = Node(name, about=number[model.names[parent]], distance_mm=distance)
            found[name] = Given(number[name], freed)
    return found
