"""Gears, stages and wanted reductions: from the job file's tables to the specs of the gears room."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from fractions import Fraction
from typing import cast

from gearplate.catalog import Catalog
from gearplate.catalog.gears import BoughtGear, shift_by_tips
from gearplate.gears.spec import GearSpec, ReductionWish, StageSpec, ToothSystem, TrainSpec
from gearplate.job.defaults import DEFAULTS, Choices
from gearplate.job.model.frame import Rail
from gearplate.job.model.train import Gear, Motors, Stage
from gearplate.job.reading import Reading

# A plain gear that the catalogue does not have is this many modules wide.
_FACE_WIDTH_MODULES = 10.0
DEFAULT_STAGES = cast(tuple[int, ...], DEFAULTS["reduction.stages"].value)


@dataclass(frozen=True, slots=True)
class Level:
    """Tooth size and pressure angle said at one level of the file (top, stage, gear); None where it says nothing."""

    module_mm: float | None
    pressure_angle_deg: float | None

    def under(self, table: Gear | Stage | None) -> Level:
        """The level of a stage or gear within this one: what it says itself goes before."""
        if table is None:
            return self
        module = module_mm(table.diametral_pitch, table.module)
        return Level(
            self.module_mm if module is None else module,
            self.pressure_angle_deg if table.pressure_angle is None else table.pressure_angle,
        )


def module_mm(diametral_pitch: float | None, module: float | None) -> float | None:
    """The module of gears given by diametral pitch (per inch) or module (mm); None where neither is given."""
    if module is not None:
        return module
    return None if diametral_pitch is None else 25.4 / diametral_pitch


def top_level(reading: Reading) -> Level:
    """Tooth size and pressure angle said for all gears."""
    file = reading.file
    return Level(module_mm(file.diametral_pitch, file.module), file.pressure_angle)


def bought(catalog: Catalog, teeth: int, module: float, angle_deg: float, role: str) -> BoughtGear | None:
    """The stock gear of this count and size: one made for the role, else one made for the other."""
    found = catalog.find_gear(teeth, pressure_angle_deg=angle_deg, module_mm=module, role=role)
    return found or catalog.find_gear(teeth, pressure_angle_deg=angle_deg, module_mm=module)


def gear_spec(table: Gear, level: Level, role: str, catalog: Catalog, choices: Choices) -> GearSpec:
    """One gear. `role` is "pinion" on a motor's shaft, else "gear". What the job does not say comes from the stock
    gear of that count; without one it is a plain full-depth gear, or a small one cut as long as its tips say."""
    here = level.under(table)
    angle_deg = choices.pick("pressure_angle", here.pressure_angle_deg)
    module = here.module_mm
    assert module is not None  # looked at by the checks
    row = bought(catalog, table.teeth, module, angle_deg, role)
    shift = table.shift
    tip = table.tip_diameter
    if row is not None and shift is None:
        shift = row.profile_shift
        tip = tip if tip is not None else row.tip_diameter_mm
    elif shift is None and tip is not None and (by_tips := shift_by_tips(table.teeth, module, angle_deg, tip)) > 0.0:
        shift = choices.work_out("gear.shift", None, by_tips, f"{table.teeth} teeth")
    if table.face_width is not None or row is not None:
        width = table.face_width if table.face_width is not None else row.face_width_mm  # type: ignore[union-attr]
    else:
        width = choices.work_out("gear.face_width", None, plain_face_width_mm(module), f"{table.teeth} teeth")
    return GearSpec(
        teeth=table.teeth,
        system=ToothSystem(module, math.radians(angle_deg)),
        shift=shift or 0.0,
        thinning_mm=table.thinning or 0.0,
        tip_diameter_mm=tip,
        face_width_mm=width,
        source="" if row is None else row.name,
    )


def plain_face_width_mm(module: float) -> float:
    """Face width of a gear that the catalogue does not have: ten modules (8 to 12 are common practice)."""
    return round(_FACE_WIDTH_MODULES * module, 3)


def pinion_table(group: Motors, stages: list[Stage] | None) -> Gear | None:
    """The pinion of a group of motors: its own, or the first stage's driver."""
    return group.pinion or (stages[0].driver if stages else None)


def first_level(reading: Reading) -> Level:
    """The level that pinions stand under: that of the first stage."""
    stages = reading.file.stages
    return top_level(reading).under(stages[0] if stages else None)


@dataclass(frozen=True, slots=True)
class Names:
    """What the shafts and motors of a job are called. `certain` is false while a wanted reduction leaves the number
    of stages open: then the names are those of the longest train."""

    intermediate: tuple[str, ...]
    idlers: tuple[str, ...]
    motors: tuple[str, ...]
    certain: bool = True

    @property
    def carried(self) -> tuple[str, ...]:
        """Shafts that the plates carry, the output last."""
        return (*self.intermediate, *self.idlers, "output")


def names(reading: Reading) -> Names:
    """The names in a job, as the contract of the frame has them: S1, S2, ... I1, ... M1, ... and output."""
    file = reading.file
    count = sum(group.count or 1 for group in file.motors or ())
    motors = tuple(f"M{index + 1}" for index in range(count))
    if file.stages is None and file.reduction is not None:
        most = max(file.reduction.stages or DEFAULT_STAGES)
        return Names(tuple(f"S{index + 1}" for index in range(most - 1)), (), motors, certain=False)
    stages = file.stages or []
    idlers = sum(len(stage.idlers or ()) for stage in stages)
    return Names(
        tuple(f"S{index + 1}" for index in range(len(stages) - 1)),
        tuple(f"I{index + 1}" for index in range(idlers)),
        motors,
    )


def least_stages(reading: Reading) -> int:
    """The stages that a wanted reduction must have so that every intermediate shaft that the job speaks of exists."""
    file = reading.file
    rail = file.rail if isinstance(file.rail, Rail) else None
    hung = [hole.shaft for hole in file.holes or ()] + [
        relief.shaft for relief in (rail.reliefs if rail else None) or ()
    ]
    spoken = [*(file.shafts or {}), *(file.places or {}), *(name for name in hung if name is not None)]
    return max((int(name[1:]) + 1 for name in spoken if name[0] == "S"), default=1)


def train_spec(reading: Reading, choices: Choices) -> TrainSpec:
    """The train of a job that gives its stages by tooth counts."""
    top = top_level(reading)
    stages = []
    for number, stage in enumerate(reading.file.stages or ()):
        level = top.under(stage)
        driver = stage.driver if number else None
        stages.append(
            StageSpec(
                driver=None if driver is None else gear_spec(driver, level, "gear", reading.catalog, choices),
                driven=gear_spec(stage.driven, level, "gear", reading.catalog, choices),
                added_centre_mm=choices.pick("added_centre", _added_centre(stage, reading)),
                idlers=tuple(gear_spec(idler, level, "gear", reading.catalog, choices) for idler in stage.idlers or ()),
            )
        )
    return TrainSpec(tuple(stages))


AUTO = "auto"


def added_centre_said(stage: Stage | None, reading: Reading) -> float | str | None:
    """What the job says of a stage's added centre distance: a length, "auto", or nothing."""
    said: float | str | None = None if stage is None else stage.added_centre
    return reading.file.added_centre if said is None else said


def _added_centre(stage: Stage | None, reading: Reading) -> float | None:
    """The length to begin with; where it says "auto" it is worked out once the whole job is known."""
    said = added_centre_said(stage, reading)
    return cast(float, DEFAULTS["added_centre"].value) if isinstance(said, str) else said


def wish_spec(reading: Reading, choices: Choices) -> ReductionWish | None:
    """The wanted reduction, with the counts to choose from; None where the job gives stages."""
    wish = reading.file.reduction
    if wish is None:
        return None
    top = top_level(reading)
    module = top.module_mm
    assert module is not None
    angle_deg = choices.pick("pressure_angle", top.pressure_angle_deg)

    def on_hand(role: str) -> tuple[int, ...]:
        return reading.catalog.tooth_counts(module_mm=module, pressure_angle_deg=angle_deg, role=role)

    named = {group.pinion.teeth for group in reading.file.motors if group.pinion is not None}
    gears = on_hand("gear")
    within = Fraction(str(choices.pick("reduction.within", None))) if wish.within is None else wish.within
    return ReductionWish(
        ratio=wish.ratio,
        tolerance=within,
        stage_counts=tuple(
            count for count in sorted(choices.pick("reduction.stages", wish.stages)) if count >= least_stages(reading)
        ),
        pinions=tuple(sorted(named)) or choices.work_out("reduction.pinions", wish.pinions, on_hand("pinion")),
        drivers=choices.work_out("reduction.drivers", wish.drivers, gears),
        driven=choices.work_out("reduction.driven", wish.driven, gears),
        system=ToothSystem(module, math.radians(angle_deg)),
        added_centre_mm=choices.pick("added_centre", _added_centre(None, reading)),
    )


def stocked(gear: GearSpec, role: str, catalog: Catalog) -> GearSpec:
    """A gear that was chosen by its count alone, with what the gear catalogue says of it; a plain full-depth gear
    where it does not have it."""
    if gear.source or gear.shift:
        return gear
    angle_deg = round(math.degrees(gear.system.pressure_angle_rad), 9)
    row = bought(catalog, gear.teeth, gear.system.module_mm, angle_deg, role)
    if row is None:
        return replace(gear, face_width_mm=plain_face_width_mm(gear.system.module_mm))
    return replace(
        gear,
        shift=row.profile_shift,
        tip_diameter_mm=row.tip_diameter_mm if gear.tip_diameter_mm is None else gear.tip_diameter_mm,
        face_width_mm=row.face_width_mm,
        source=row.name,
    )


def bought_train(train: TrainSpec, catalog: Catalog) -> TrainSpec:
    """A train that was chosen by tooth counts alone, with what the gear catalogue says of each gear."""
    return TrainSpec(
        tuple(
            StageSpec(
                driver=None if stage.driver is None else stocked(stage.driver, "gear" if number else "pinion", catalog),
                driven=stocked(stage.driven, "gear", catalog),
                added_centre_mm=stage.added_centre_mm,
                idlers=tuple(stocked(idler, "gear", catalog) for idler in stage.idlers),
            )
            for number, stage in enumerate(train.stages)
        )
    )
