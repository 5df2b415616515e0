"""Ways to make room that keep most of what is drilled and bought: one motor on the inboard side, an idler, other
first-stage gears of the catalogue."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, replace
from enum import StrEnum
from fractions import Fraction

from gearplate.errors import JobError
from gearplate.gears.spec import GearSpec, StageSpec, ToothSystem
from gearplate.job.spec import JobSpec
from gearplate.job.train import stocked
from gearplate.layout.spec import LayoutSpec, Side

Changes = tuple[tuple[str, object], ...]


class Kind(StrEnum):
    """What a way changes beside turning shafts."""

    TURN = "turning the shafts"
    INBOARD = "one motor inboard"
    IDLER = "an idler"
    GEARS = "other first-stage gears"


@dataclass(frozen=True, slots=True)
class Way:
    """One way: its kind, what is done, what the layout is asked then, and what is set in the job. `ratio`: how many
    times the old reduction."""

    kind: Kind
    text: str
    spec: LayoutSpec
    set: Changes = ()
    ratio: Fraction = Fraction(1)


def ways(job: JobSpec, spec: LayoutSpec, within: Fraction, was: LayoutSpec | None = None) -> Iterator[Way]:
    """Every way, those that buy nothing first. `spec` is the job's own, with what is kept in it; reductions of other
    gears lie within this share of the old one, the closest first. No way undoes what is other than it `was`: that has
    been asked for."""
    was = was or spec
    first, before = spec.train.stages[0], was.train.stages[0]
    yield from _inboard(spec, was)
    yield from _gears(job, spec, within, was)
    if first.idlers == before.idlers:
        yield from _idlers(job, spec)


def _inboard(spec: LayoutSpec, was: LayoutSpec) -> Iterator[Way]:
    before = {motor.name: motor.side for motor in was.motors}
    for motor in spec.motors:
        if motor.side is Side.OUTBOARD and before.get(motor.name, motor.side) is motor.side:
            motors = tuple(replace(one, side=Side.INBOARD) if one is motor else one for one in spec.motors)
            changed = replace(spec, motors=motors)
            yield Way(Kind.INBOARD, f"{motor.name} inboard", changed, ((f"motors.{motor.name}.side", "inboard"),))


def _gears(job: JobSpec, spec: LayoutSpec, within: Fraction, was: LayoutSpec) -> Iterator[Way]:
    """Other pinions and driven gears of the first stage; nothing where the motors have different pinions."""
    stage = spec.train.stages[0]
    counts = {motor.pinion.teeth for motor in spec.motors}
    if len(counts) != 1:
        return
    (pinion,) = counts
    system = spec.motors[0].pinion.system
    old = Fraction(stage.driven.teeth, pinion)
    pairs = [
        (abs(Fraction(driven, driver) / old - 1), driver + driven, driver, driven)
        for driver in _counts(job, system, "pinion")
        for driven in _counts(job, stage.driven.system, "gear")
        if (driver, driven) != (pinion, stage.driven.teeth)
        and (driver == pinion or counts == {motor.pinion.teeth for motor in was.motors})
        and (driven == stage.driven.teeth or stage.driven.teeth == was.train.stages[0].driven.teeth)
    ]
    for off, _, driver, driven in sorted(pairs):
        if off > within:
            break
        changed = spec
        sets: list[tuple[str, object]] = []
        if driver != pinion:
            gear = stocked(GearSpec(driver, system), "pinion", job.catalog)
            changed = replace(changed, motors=tuple(replace(motor, pinion=gear) for motor in spec.motors))
            sets += [(key, driver) for key in _pinion_keys(job)]
        if driven != stage.driven.teeth:
            gear = stocked(GearSpec(driven, stage.driven.system), "gear", job.catalog)
            changed = _with_first(changed, replace(stage, driven=gear))
            sets.append(("stages[0].driven", driven))
        text = f"{driver}:{driven} teeth in the first stage instead of {pinion}:{stage.driven.teeth}"
        yield Way(Kind.GEARS, text, changed, tuple(sets), Fraction(driven, driver) / old)


def _idlers(job: JobSpec, spec: LayoutSpec) -> Iterator[Way]:
    """One idler between pinion and first driven gear, where there is none; its shaft as the job's shafts are."""
    stage = spec.train.stages[0]
    if stage.idlers:
        return
    pattern: LayoutSpec | None = None
    for teeth in _counts(job, stage.driven.system, "gear"):
        sets: Changes = (("stages[0].idlers", [teeth]),)
        if pattern is None:
            try:
                pattern = job.changed(dict(sets)).layout_spec
            except JobError:
                return
        gear = stocked(GearSpec(teeth, stage.driven.system), "gear", job.catalog)
        shafts = (*spec.shafts, *(one for one in pattern.shafts if one.name not in {s.name for s in spec.shafts}))
        order = [one.name for one in pattern.shafts]
        shafts = tuple(sorted(shafts, key=lambda one: order.index(one.name)))
        changed = _with_first(replace(spec, shafts=shafts), replace(stage, idlers=(gear,)))
        yield Way(Kind.IDLER, f"an idler of {teeth} teeth in the first stage", changed, sets)


def _counts(job: JobSpec, system: ToothSystem, role: str) -> tuple[int, ...]:
    angle_deg = round(math.degrees(system.pressure_angle_rad), 9)
    return job.catalog.tooth_counts(module_mm=system.module_mm, pressure_angle_deg=angle_deg, role=role)


def _with_first(spec: LayoutSpec, stage: StageSpec) -> LayoutSpec:
    return replace(spec, train=replace(spec.train, stages=(stage, *spec.train.stages[1:])))


def _pinion_keys(job: JobSpec) -> list[str]:
    """Where the job says what the motors' pinion is."""
    groups = job.raw.get("motors")
    named = groups if isinstance(groups, list) else [groups or {}]
    keys = [
        f"motors[{index}].pinion" if isinstance(groups, list) else "motors.pinion"
        for index, group in enumerate(named)
        if "pinion" in group
    ]
    return keys if len(keys) == len(named) else [*keys, "stages[0].driver"]
