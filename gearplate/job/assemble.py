"""A checked reading made into the specs of all rooms."""

from __future__ import annotations

import math
from dataclasses import replace
from typing import TYPE_CHECKING, cast

from gearplate.errors import JobError
from gearplate.gears.spec import TrainSpec
from gearplate.job.check_shafts import check_places, check_shafts
from gearplate.job.defaults import Choices
from gearplate.job.layout import layout_spec
from gearplate.job.model.train import Stage
from gearplate.job.plates import own_discs, plate_spec, shop_of
from gearplate.job.reading import Reading
from gearplate.job.spec import JobSpec
from gearplate.job.train import AUTO, Names, added_centre_said, bought_train, train_spec, wish_spec
from gearplate.layout.spec import LayoutSpec, Side
from gearplate.plate.spec import PlateSpec
from gearplate.units import Unit

if TYPE_CHECKING:
    from gearplate.layout.play import AutoAdded


def job_spec(reading: Reading) -> JobSpec:
    """The job. The reading has passed every check."""
    document, file = reading.document, reading.file
    choices = Choices(document.units)
    if document.units_from != "file":
        choices.work_out("units", None, document.units, "as in its base" if document.units_from == "base" else "")
    plates = plate_spec(reading, choices)
    wish = wish_spec(reading, choices)
    resolved = None
    if wish is None:
        resolved = _with_own_holes(layout_spec(reading, train_spec(reading, choices), choices), plates)
        resolved = _with_worked_out_play(reading, resolved)
    if resolved is not None and _shifted_inward(resolved):
        _require_centres(reading, resolved)
    cutter = reading.catalog.cutter(file.cutter)
    unit = choices.work_out("drawing_units", file.drawing_units, cutter.drawing_unit)
    return JobSpec(
        name=document.job_name,
        identity=plates.identity,
        resolved=resolved,
        plate_spec=plates,
        wish=wish,
        shops={side: shop_of(reading, side) for side in Side},
        drawing_unit=cast(Unit, unit),
        units=document.units,
        assumptions=choices.assumptions,
        document=document,
        catalog=reading.catalog,
        reading=reading,
    )


def job_with_train(job: JobSpec, train: TrainSpec) -> JobSpec:
    """The job with the train that was chosen for its wanted reduction."""
    reading = replace(job.reading, problems=[])
    motors = tuple(f"M{number + 1}" for number in range(sum(group.count or 1 for group in reading.file.motors)))
    idlers = sum(len(stage.idlers) for stage in train.stages)
    known = Names(
        tuple(f"S{number}" for number in range(1, len(train.stages))),
        tuple(f"I{number + 1}" for number in range(idlers)),
        motors,
    )
    check_shafts(reading, known)
    check_places(reading, known)
    if reading.problems:
        raise JobError(tuple(reading.problems))
    choices = Choices(job.units)
    resolved = _with_own_holes(layout_spec(reading, bought_train(train, job.catalog), choices), job.plate_spec)
    resolved = _with_worked_out_play(reading, resolved)
    known_keys = {assumption.key for assumption in job.assumptions}
    fresh = tuple(assumption for assumption in choices.assumptions if assumption.key not in known_keys)
    return replace(job, resolved=resolved, assumptions=(*job.assumptions, *fresh))


def _with_worked_out_play(reading: Reading, spec: LayoutSpec) -> LayoutSpec:
    """The added centre distance of each stage that says "auto": what the play of its gears asks for."""
    found = {one.stage: one for one in auto_of(reading, spec)}
    if not found:
        return spec
    changed = tuple(
        replace(stage, added_centre_mm=found[number].added_mm) if number in found else stage
        for number, stage in enumerate(spec.train.stages, 1)
    )
    return replace(spec, train=TrainSpec(changed))


def auto_of(reading: Reading, spec: LayoutSpec) -> tuple[AutoAdded, ...]:
    """What each stage that says "auto" takes, as far as its play can be reckoned. It does not hang on what the spec has
    there already."""
    stages: list[Stage | None] = list(reading.file.stages or ())
    stages = stages or [None] * len(spec.train.stages)
    auto = [number for number, stage in enumerate(stages, 1) if added_centre_said(stage, reading) == AUTO]
    if not auto:
        return ()
    from gearplate.job.play import gear_materials, play_spec
    from gearplate.layout.play import auto_added

    shops = {side: shop for side in Side if (shop := shop_of(reading, side)) is not None}
    found = auto_added(spec, shops, play_spec(reading), gear_materials(reading.catalog))
    return tuple(found[number] for number in auto if number in found)


def _with_own_holes(spec: LayoutSpec, plates: PlateSpec) -> LayoutSpec:
    return replace(spec, own_discs=own_discs(plates.own_holes))


def _shifted_inward(spec: LayoutSpec) -> bool:
    """Whether any gear has a shift below zero: only then can a pair be without a centre distance."""
    gears = [motor.pinion for motor in spec.motors]
    for stage in spec.train.stages:
        gears += [gear for gear in (stage.driver, stage.driven, *stage.idlers) if gear is not None]
    return any(gear.shift < 0 for gear in gears)


def _require_centres(reading: Reading, spec: LayoutSpec) -> None:
    """Raises JobError where two gears are shifted so far that no centre distance brings their flanks together."""
    from gearplate.layout.chain import mesh_needs

    for need in mesh_needs(spec):
        if not math.isfinite(need.zero_backlash_mm):
            total = need.driver.shift + need.driven.shift
            message = f"Shifts that add up to {total:g} leave {need.driver_shaft} and {need.driven_shaft} no mesh."
            reading.say(("stages", need.stage - 1), message, "shifts that add up to more")
    if reading.problems:
        raise JobError(tuple(reading.problems))
