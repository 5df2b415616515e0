"""Changes that may give a job without a place for its shafts one: each is looked at as a layout before it is built.

A layout takes a tenth of the time of a build, so many changes can be looked at; what is told as tried was built.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import replace
from typing import TYPE_CHECKING

from gearplate.checks.counts import LEAST_TEETH
from gearplate.checks.job_keys import exact, gear_key, gear_settings, point
from gearplate.checks.mated import not_undercut
from gearplate.errors import GearplateError
from gearplate.finding import Remedy
from gearplate.job.as_written import written_as
from gearplate.job.no_place import Cure, NoPlace, Outcome, figure, listed
from gearplate.job.train import stocked
from gearplate.layout.certified.conflict import Purse
from gearplate.layout.chain import idler_names, stage_shaft
from gearplate.layout.design import BodyKind
from gearplate.layout.grounds import What
from gearplate.layout.models import Models
from gearplate.layout.reasons import can_stand, clears, hopeless
from gearplate.layout.spec import LayoutSpec, Side
from gearplate.record.train_entries import ratio
from gearplate.studies.train_cures import cures_for

if TYPE_CHECKING:
    from gearplate.job.spec import JobSpec

# What is tried, and in which order: common practice, no source; what is told of each was reckoned, whatever is tried.
JUMPS = (2, 4, 8, 16, 32)  # in teeth, until there is a place; then halved down to 2
SCALES = (1.1, 1.2, 1.35, 1.5, 1.75, 2.0)
IDLERS = (24, 32)  # teeth of common stock gears
LOOK_COSTS = 80  # boxes: to read the changed job, and to see what stands in whose way
MOST_PINION = 20  # teeth: from 17 on none of 20 degrees is undercut
FAR = 2.0  # a count that is so many times another makes quite another drive of it

Look = Callable[[Remedy], Cure]


def cures_of(job: JobSpec, none: NoPlace, boxes: int) -> tuple[Cure, ...]:
    """What was looked at, in the order in which it is worth trying, as far as `boxes` go; of each way the least step
    that finds a place, or that the last of its steps does not."""
    purse = Purse(boxes)
    found: list[Cure] = []
    for way in _ways(job, none):
        cure = way(lambda remedy: _looked_at(job, remedy, purse))
        if not purse.left:
            break
        if cure is not None:
            found.append(cure)
    return tuple(found)


def _looked_at(job: JobSpec, remedy: Remedy, purse: Purse) -> Cure:
    remedy = written_as(job.document, remedy)
    purse.spent += LOOK_COSTS
    try:
        spec = job.changed(dict(remedy.set)).layout_spec
    except GearplateError:
        return Cure(remedy, Outcome.NOTHING)
    models = Models()
    if hopeless(spec, purse, models):
        return Cure(remedy, Outcome.NOTHING)
    if clears(spec, purse, models):
        return Cure(remedy, Outcome.PLACE)
    return Cure(remedy, Outcome.TIGHT if can_stand(spec, purse, models) else Outcome.NOTHING)


def _ways(job: JobSpec, none: NoPlace) -> Iterator[Callable[[Look], Cure | None]]:
    """What may help, the lightest change first: the job's own limits and places, tooth counts, sides of the motors,
    the same ratio in larger gears, idlers, other parts, fewer motors."""
    spec = job.layout_spec
    if (pinion := _least_pinion(job)) is not None:
        yield pinion
    for remedy in (*_room(none, job), *_freed(none, spec)):
        yield _one(remedy)
    stages = range(len(spec.train.stages)) if job.wish is None else range(0)
    counts = [(index, step) for step in (2, -2) for index in stages]
    named = _named_counts(none, spec)
    yield from (_count(spec, *one) for one in sorted(counts, key=lambda one: one[1]) if one in named)
    yield from (_one(remedy) for remedy in _sides(job, spec))
    yield from (_steps(_scaled(spec, index)) for index in reversed(stages) if index > 0)
    yield from (_count(spec, *one) for one in counts if one not in named)
    yield from (_steps(_idlers(spec, index)) for index in reversed(stages))
    shafts = {name for one in none.reasons.reasons for name in one.ground.shafts}
    for cure in cures_for(spec, job.catalog):
        if any(key.startswith(f"shafts.{name}.") for key, _ in cure.set for name in shafts):
            yield _one(Remedy(f"Make {cure.text}.", cure.set))
    if none.reasons.fitting is not None and isinstance(job.raw.get("motors"), dict):
        count = none.reasons.fitting
        yield _one(Remedy(f"Take {count} motor{'' if count == 1 else 's'}.", (("motors.count", count),)))


def _named_counts(none: NoPlace, spec: LayoutSpec) -> set[tuple[int, int]]:
    """Counts that the reasons themselves speak of: a gear that is too large for its neighbour, distances that are too
    short in all."""
    driven = {shaft_of(spec, index): index for index in range(len(spec.train.stages))}
    found = {(need.stage - 1, 2) for one in none.reasons.sums for need in one.meshes}
    for reason in none.reasons.reasons:
        for part in reason.ground.parts:
            if part.kind is BodyKind.GEAR and part.shaft in driven:
                found.add((driven[part.shaft], -2))
    return found


def shaft_of(spec: LayoutSpec, index: int) -> str:
    """The shaft that carries the driven gear of a stage (from 0)."""
    return stage_shaft(spec, index + 1)


def _one(remedy: Remedy) -> Callable[[Look], Cure | None]:
    return lambda look: look(remedy)


def _steps(remedies: Iterator[Remedy]) -> Callable[[Look], Cure | None]:
    """One after the other until there is a place."""

    def way(look: Look) -> Cure | None:
        cure = None
        for remedy in remedies:
            cure = look(remedy)
            if cure.outcome is Outcome.PLACE:
                break
        return cure

    return way


def _room(none: NoPlace, job: JobSpec) -> Iterator[Remedy]:
    """Limits and keep-outs by the figures with which a layout was found; a keep-out that has to go left out."""
    for ease in none.reasons.eases:
        if ease.mends and ease.enough is None and ease.key.startswith("keep_outs["):
            yield _without_keep_out(job, int(ease.key.partition("[")[2].partition("]")[0]))
        value = ease.enough if ease.clear is None else ease.clear
        if not ease.mends or value is None or ease.was is None:
            continue
        if ease.key.startswith("limits."):
            room = figure(ease, value, job.units)
            yield Remedy(f"Give {room} of room where {ease.key} allows less.", ((ease.key, room),))
        elif ease.key.endswith(".disc.diameter"):
            size = figure(ease, value, job.units)
            yield Remedy(f"Make the keep-out {size} across.", ((ease.key, size),))
        elif ease.key.endswith(".box"):
            keep = job.layout_spec.keep_outs[int(ease.key.partition("[")[2].partition("]")[0])]
            assert keep.box is not None
            x0, y0, x1, y1 = keep.box
            box = (min(x0, x1) + value, min(y0, y1) + value, max(x0, x1) - value, max(y0, y1) - value)
            sides = [f"{side:.3f} mm" for side in box]
            yield Remedy(f"Make the keep-out {figure(ease, value, job.units)} smaller all round.", ((ease.key, sides),))


def _without_keep_out(job: JobSpec, index: int) -> Remedy:
    """One keep-out left out. A list is set whole, so the others are written again, with their units."""
    others: list[dict[str, object]] = []
    for number, keep in enumerate(job.layout_spec.keep_outs):
        if number == index:
            continue
        table: dict[str, object] = {"name": keep.name}
        if keep.disc is not None:
            x, y, radius = keep.disc
            table["disc"] = {"at": point(x, y, job.units), "diameter": exact(2.0 * radius, job.units)}
        if keep.box is not None:
            table["box"] = [exact(side, job.units) for side in keep.box]
        if "z" in job.raw["keep_outs"][number]:
            table["z"] = [exact(keep.z0_mm, job.units), exact(keep.z1_mm, job.units)]
        others.append(table)
    name = job.layout_spec.keep_outs[index].name
    return Remedy(f"Leave out the keep-out {name}.", (("keep_outs", others or None),))


def _freed(none: NoPlace, spec: LayoutSpec) -> Iterator[Remedy]:
    """Places and clockings that the job gives, left to the tool."""
    for reason in none.reasons.reasons:
        if reason.ground.what is What.PLACE:
            yield Remedy(f"Leave the place of {reason.ground.shafts[0]} to the tool.", ((reason.ground.key, None),))
    given = [motor.name for motor in spec.motors if motor.clocking_rad is not None]
    for names in ([given] if len(given) > 1 else []) + [[name] for name in given]:
        setting = tuple((f"motors.{name}.clocking", None) for name in names)
        yield Remedy(f"Leave the clocking of {listed(names)} to the tool.", setting)


def _least_pinion(job: JobSpec) -> Callable[[Look], Cure | None] | None:
    """Where the motors' pinion has fewer teeth than the rules allow: the least count that they do, as the gear
    catalogue has it, with which there is a place. None where the pinion has enough, or the motors' pinions differ."""
    spec = job.layout_spec
    motors = [motor.name for motor in spec.motors]
    was = spec.motors[0].pinion
    if any(motor.pinion != was for motor in spec.motors) or (was.teeth >= LEAST_TEETH and not_undercut(was)):
        return None
    bare = replace(was, shift=0.0, source="", tip_diameter_mm=None)
    before = float(ratio(spec, spec.motors[0]))

    def remedies() -> Iterator[Remedy]:
        for teeth in range(max(LEAST_TEETH, was.teeth + 1), MOST_PINION + 1):
            if not not_undercut(stocked(replace(bare, teeth=teeth), "pinion", job.catalog)):
                continue
            text = (
                f"Take a pinion of {teeth} teeth instead of {was.teeth} (the ratio becomes "
                f"{before * was.teeth / teeth:.4g} to 1)."
            )
            for setting in gear_settings(job, motors, 1, "teeth", teeth)[:1]:
                yield Remedy(text, setting)

    return _steps(remedies())


def _count(spec: LayoutSpec, index: int, step: int) -> Callable[[Look], Cure | None]:
    """Another count of a stage's driven gear: the nearest with which there is a place."""
    stage = spec.train.stages[index]
    was = stage.driven.teeth
    shaft = shaft_of(spec, index)
    before = float(ratio(spec, spec.motors[0]))
    key = f"{gear_key(spec, shaft, index + 1)}.teeth"

    def remedy(teeth: int) -> Remedy:
        becomes = before * teeth / was
        text = f"Take {teeth} teeth instead of {was} on {shaft} (the ratio becomes {becomes:.4g} to 1)."
        return Remedy(text, ((key, teeth),))

    def way(look: Look) -> Cure | None:
        sign = 1 if step > 0 else -1
        low, best = 0, None
        for jump in JUMPS:
            teeth = was + sign * jump
            if teeth < LEAST_TEETH or not was / FAR <= teeth <= FAR * was:
                break
            cure = look(remedy(teeth))
            if cure.outcome is Outcome.PLACE:
                best, high = cure, jump
                break
            low = jump
        if best is None:
            return cure if low else None
        while high - low > 2:
            middle = low + 2 * ((high - low) // 4) or low + 2
            cure = look(remedy(was + sign * middle))
            if cure.outcome is Outcome.PLACE:
                best, high = cure, middle
            else:
                low = middle
        return best

    return way


def _sides(job: JobSpec, spec: LayoutSpec) -> Iterator[Remedy]:
    """One motor, then two, then all on the other side of the box."""
    over = [motor.name for motor in spec.motors if motor.side is Side.OUTBOARD]
    names = sorted(over or [motor.name for motor in spec.motors])
    side, words = (Side.INBOARD, "toward the robot's middle") if over else (Side.OUTBOARD, "over the wheel")
    for count in sorted({1, 2, len(names)}):
        if count > len(names):
            continue
        chosen = names[-count:]
        setting: tuple[tuple[str, object], ...] = tuple((f"motors.{name}.side", side.value) for name in chosen)
        if count == len(spec.motors) and isinstance(job.raw.get("motors"), dict):
            setting = (("motors.side", side.value),)
        yield Remedy(f"Let {listed(chosen)} stand {words}.", setting)


def _scaled(spec: LayoutSpec, index: int) -> Iterator[Remedy]:
    """Both gears of a stage with more teeth, in as good as the same ratio."""
    stage = spec.train.stages[index]
    if stage.driver is None:
        return
    before = float(ratio(spec, spec.motors[0]))
    seen = set()
    for scale in SCALES:
        driver = round(scale * stage.driver.teeth)
        driven = round(driver * stage.driven.teeth / stage.driver.teeth)
        if driver in seen:
            continue
        seen.add(driver)
        becomes = before * (driven / driver) / (stage.driven.teeth / stage.driver.teeth)
        stem = f"stages[{index}]"
        yield Remedy(
            f"Take {driver} on {driven} teeth in stage {index + 1} (the ratio becomes {becomes:.4g} to 1).",
            ((f"{stem}.driver.teeth", driver), (f"{stem}.driven.teeth", driven)),
        )


def _idlers(spec: LayoutSpec, index: int) -> Iterator[Remedy]:
    """An idler in a stage that has none: it turns the sense of rotation, and leaves the ratio."""
    if idler_names(spec)[index]:
        return
    for teeth in IDLERS:
        yield Remedy(
            f"Put an idler of {teeth} teeth into stage {index + 1} (the output then turns the other way).",
            ((f"stages[{index}].idlers", [teeth]),),
        )
