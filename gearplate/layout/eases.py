"""How far one thing alone has to give way for a job to find its places: a limit, a keep-out, the wheel, the motors.

Each figure is the value that the job's own key would have, found by halving on the spec with that value in it.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Container, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import partial

from gearplate.layout.certified.branch import Status
from gearplate.layout.certified.conflict import Purse, least_mend, without
from gearplate.layout.certified.problem import LayoutProblem
from gearplate.layout.design import BodyKind
from gearplate.layout.grounds import Ground, Grounded, What
from gearplate.layout.spec import KeepOut, LayoutSpec

ONE = 1000  # boxes for any one search
WITHIN_MM = 0.02
CLEAR_WITHIN_MM = 0.25
ROUNDING_MM = 0.005  # what is found keeps a micrometre more than what is proven
FIRST_STEPS = 4
FAR_MM = 2000.0  # no limit is wider
LADDER = (0.01, 0.02, 0.04, 0.08, 0.16, 0.32, 0.5, 0.65, 0.8, 0.9)  # shares of a size that is made smaller
PLANE = ("height", "width", "up", "down", "forward", "back")
SMALLEST_MM = 1.0  # of a keep-out: smaller ones are left out


@dataclass(frozen=True, slots=True)
class Ease:
    """`key`: the job's, or "motors", "rail", "floor". `mends`: giving way by itself is enough, or proven not to be
    however far it goes; None: not found out in the boxes there were. Values as the key would have them, mm (`key` of a
    place: rad): `was`; `enough` has a layout in which nothing touches, `clear` one with every gap of common practice;
    `too_little` is proven to have none."""

    key: str
    mends: bool | None
    was: float | None = None
    enough: float | None = None
    too_little: float | None = None
    clear: float | None = None


@dataclass(frozen=True, slots=True)
class Thing:
    """What may give way: the grounds that go with it, and the spec with it so much smaller (or wider), if it can be
    said in one figure; `sign` of the change."""

    key: str
    grounds: tuple[str, ...]
    was: float | None = None
    sign: float = 1.0
    at: Callable[[float], LayoutSpec] | None = None
    ladder: tuple[float, ...] = ()

    @property
    def own(self) -> bool:
        """Whether it is room that the job itself takes away."""
        return self.key.startswith(("limits.", "keep_outs["))


@dataclass(frozen=True, slots=True)
class Asks:
    """What is asked of a spec. `question`: no more than every layout keeps. `built`: whether a layout was found that
    can be built, with all screws in it; `clear`: one with every gap of common practice."""

    question: Callable[[LayoutSpec], Grounded]
    built: Callable[[LayoutSpec], bool]
    clear: Callable[[LayoutSpec], bool]
    purse: Purse


def ease_of(thing: Thing, asked: Grounded, asks: Asks, needed: Container[str]) -> Ease:
    """What one thing alone would have to be. What was `asked` is proven to have no answer because of the grounds
    `needed`."""
    if not any(name in needed for name in thing.grounds):
        return Ease(thing.key, False, thing.was)  # the reasons stay without it
    without_it = without(asked.problem, asked.groups, asked.groups, thing.grounds)
    status, angles = asks.purse.layout(without_it, ONE)
    if angles is None:
        return Ease(thing.key, False if status is Status.INFEASIBLE else None, thing.was)
    if thing.at is None or thing.was is None:
        return Ease(thing.key, True, thing.was)
    at, was, sign = thing.at, thing.was, thing.sign
    for most in thing.ladder:
        needs = partial(_over_mm, asked.problem, thing.key) if thing.key.startswith("limits.") else None
        most = most if needs is None else min(most, needs(angles) + WITHIN_MM)
        mend = least_mend(lambda by: asks.question(at(by)).problem, most, asks.purse, WITHIN_MM, ONE, needs)
        if mend.enough is None:
            continue
        built = _from(mend.enough + ROUNDING_MM, WITHIN_MM, thing, asks.built, asks.purse)
        return Ease(thing.key, True, was, None if built is None else was + sign * built, was + sign * mend.too_little)
    whole = thing.key.startswith("keep_outs[") and asks.purse.left > 0  # it has to go, however small it is
    return Ease(thing.key, True if whole else None, was)


def least_of(eases: Iterable[Ease]) -> Ease:
    """One ease for several ways in which a job may be laid out, each of which has none as it is. One layout in any way
    mends it; that it does not, and what is too little, has to be proven of all."""
    each = list(eases)
    mending = [one for one in each if one.mends]
    if not mending:
        return each[0] if all(one.mends is False for one in each) else replace(each[0], mends=None)
    found = min(mending, key=_change)
    in_doubt = any(one.mends is None or (one.mends and one.too_little is None) for one in each)
    little = [one for one in mending if one.too_little is not None and one.was is not None]
    if in_doubt or not little:
        return replace(found, too_little=None)
    least = min(little, key=lambda one: abs((one.too_little or 0.0) - (one.was or 0.0)))
    return replace(found, too_little=least.too_little)


def _change(ease: Ease) -> float:
    return math.inf if ease.enough is None or ease.was is None else abs(ease.enough - ease.was)


def nearest_clear(eases: Sequence[Ease]) -> Ease:
    """The one of these, alike but for the figure with every clearance, that asks for the least change."""
    return min(eases, key=lambda one: math.inf if one.clear is None or one.was is None else abs(one.clear - one.was))


def _over_mm(problem: LayoutProblem, why: str, angles_rad: Mapping[str, float]) -> float:
    """By how much a layout is over a limit."""
    at: list[tuple[float, float]] = []
    for node in problem.nodes:
        if node.at_mm is not None or node.about is None:
            at.append(node.at_mm or (0.0, 0.0))
            continue
        angle = angles_rad[node.name] if node.angle_rad is None else node.angle_rad
        x, y = at[node.about]
        at.append((x + node.distance_mm * math.cos(angle), y + node.distance_mm * math.sin(angle)))
    over = 0.0
    for one in problem.within:
        if one.why == why:
            other = 0.0 if one.b is None else at[one.b][one.axis]
            over = max(over, one.sign * (at[one.a][one.axis] - other) - one.most_mm)
    return over


def with_clear(ease: Ease, thing: Thing, asks: Asks) -> Ease:
    """The ease with the figure for every clearance."""
    if ease.enough is None or thing.was is None or thing.at is None:
        return ease
    clear = _from(thing.sign * (ease.enough - thing.was), CLEAR_WITHIN_MM, thing, asks.clear, asks.purse)
    return ease if clear is None else replace(ease, clear=thing.was + thing.sign * clear)


def _from(
    enough: float, within: float, thing: Thing, holds: Callable[[LayoutSpec], bool], purse: Purse
) -> float | None:
    """How far it must give way for something more to hold than with `enough`; None where that was not found."""
    assert thing.at is not None
    most = thing.was if thing.sign < 0.0 and thing.was is not None else FAR_MM
    low, high, step = enough, enough, FIRST_STEPS * within
    while not holds(thing.at(high)):
        low, high, step = high, high + step, 2.0 * step
        if high >= most or not purse.left:
            return None
    while high - low > within and purse.left:
        middle = 0.5 * (low + high)
        low, high = (low, middle) if holds(thing.at(middle)) else (middle, high)
    return high


def things_of(spec: LayoutSpec, grounds: Mapping[str, Ground], reasons: Sequence[Ground]) -> Iterator[Thing]:
    """What may give way: all that the job sets in the plane, then what else the reasons speak of."""
    for key in PLANE:
        was = getattr(spec.limits, f"{key}_mm")
        if was is not None:
            yield Thing(f"limits.{key}", (f"limits.{key}",), was, 1.0, _limit(spec, key, was), (FAR_MM,))
    for index, keep in enumerate(spec.keep_outs):
        yield _keep_out(spec, index, keep)
    spoken = {one.what for one in reasons}
    if What.WHEEL in spoken:
        yield from _wheel(spec, _named(grounds, What.WHEEL))
    motors = tuple(name for name, one in grounds.items() if any(part.kind is BodyKind.MOTOR for part in one.parts))
    if any(one.name in motors for one in reasons):
        yield _motors(spec, motors)
    for what, key in ((What.RAIL, "rail"), (What.FLOOR, "floor")):
        if what in spoken:
            yield Thing(key, _named(grounds, what))
    for one in reasons:
        if one.what is What.PLACE:
            yield Thing(one.key, (one.name,))


def _named(grounds: Mapping[str, Ground], what: What) -> tuple[str, ...]:
    return tuple(name for name, one in grounds.items() if one.what is what)


def _limit(spec: LayoutSpec, key: str, was: float) -> Callable[[float], LayoutSpec]:
    return lambda by: replace(spec, limits=replace(spec.limits, **{f"{key}_mm": was + by}))


def _keep_out(spec: LayoutSpec, index: int, keep: KeepOut) -> Thing:
    """A disc by its diameter; a box by how far its sides move in."""

    def with_keep(new: KeepOut) -> LayoutSpec:
        return replace(spec, keep_outs=(*spec.keep_outs[:index], new, *spec.keep_outs[index + 1 :]))

    name = (f"keep-out {keep.name}",)
    if keep.disc is not None:
        x, y, radius = keep.disc
        most = max(0.0, 2.0 * radius - SMALLEST_MM)
        return Thing(
            f"keep_outs[{index}].disc.diameter",
            name,
            2.0 * radius,
            -1.0,
            lambda by: with_keep(replace(keep, disc=(x, y, radius - 0.5 * by))),
            (most,),
        )
    assert keep.box is not None
    x0, y0, x1, y1 = keep.box
    x0, y0, x1, y1 = min(x0, x1), min(y0, y1), max(x0, x1), max(y0, y1)
    most = max(0.0, 0.5 * (min(x1 - x0, y1 - y0) - SMALLEST_MM))
    return Thing(
        f"keep_outs[{index}].box",
        name,
        0.0,
        1.0,
        lambda by: with_keep(replace(keep, box=(x0 + by, y0 + by, x1 - by, y1 - by))),
        (most,),
    )


def _wheel(spec: LayoutSpec, names: tuple[str, ...]) -> Iterator[Thing]:
    """The wheel's diameter, and its clearance. A smaller wheel lifts the floor too: so it is tried little by little."""
    was = spec.wheel.diameter_mm
    yield Thing(
        "wheel.diameter",
        names,
        was,
        -1.0,
        lambda by: replace(spec, wheel=replace(spec.wheel, diameter_mm=was - by)),
        tuple(was * share for share in LADDER),
    )
    clear = spec.wheel.clear_mm
    if clear > 0.0:
        yield Thing(
            "wheel.clear",
            names,
            clear,
            -1.0,
            lambda by: replace(spec, wheel=replace(spec.wheel, clear_mm=clear - by)),
            (clear,),
        )


def _motors(spec: LayoutSpec, names: tuple[str, ...]) -> Thing:
    """The body of the largest motor across, with the room it asks for; the others shrink with it."""
    was = max(motor.motor.room_diameter_mm + 2.0 * motor.motor.body_clearance_mm for motor in spec.motors)

    def smaller(by: float) -> LayoutSpec:
        motors = tuple(
            replace(one, motor=replace(one.motor, body_clearance_mm=one.motor.body_clearance_mm - 0.5 * by))
            for one in spec.motors
        )
        return replace(spec, motors=motors)

    return Thing("motors", names, was, -1.0, smaller, tuple(was * share for share in LADDER[:7]))
