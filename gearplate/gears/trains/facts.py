"""What is known of the gears of a question beyond their tooth counts: for every ranking but closeness."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from gearplate.gears.involute import Array, Bools
from gearplate.gears.spec import GearSpec
from gearplate.gears.trains.listing import TrainTable
from gearplate.gears.trains.products import Counts
from gearplate.gears.trains.question import Question
from gearplate.gears.trains.window import Whole
from gearplate.gears.working import working_centre_mm

# Which gear stands in a stage (from 0) as its driver (True) or driven gear, by tooth count.
GearOf = Callable[[int, bool, int], GearSpec]


@dataclass(frozen=True, slots=True)
class GearFacts:
    """Of the gears of one list, in order of their counts. `kinds`: equal numbers are one and the same gear to buy."""

    counts: Counts
    tips_mm: Array  # tip radius
    masses_g: Array
    faces_mm: Array  # face width
    kinds: Whole
    on_hand: Bools
    by_count: Whole  # where each count stands in the list, by the count itself

    def places(self, column: Counts) -> Whole:
        """Where each count of a column stands in the list."""
        return np.asarray(self.by_count[column])


@dataclass(frozen=True, slots=True)
class StageFacts:
    """`centres_mm`: running centre distance of each driver (row) with each driven gear (column)."""

    driver: GearFacts
    driven: GearFacts
    centres_mm: Array


@dataclass(frozen=True, slots=True)
class PlateFacts:
    """What every plate has, whatever the train. Of the axes from the motor's to the output's, one number each.

    `discs_mm`: radius of the disc round the axis that the plate covers at least (hole and margin).
    `keeps_mm`: what a tip circle in another shaft's plane keeps from the axis (radius of what stands on it, and
    clearance); None on the motor's axis, whose shaft need not reach the other planes.
    """

    discs_mm: tuple[float, ...]
    keeps_mm: tuple[float | None, ...]


@dataclass(frozen=True, slots=True)
class Facts:
    """All that rankings ask for. `plate` is only needed for the size bound."""

    stages: tuple[StageFacts, ...]
    plate: PlateFacts | None = None

    def centres_mm(self, table: TrainTable) -> list[Array]:
        """Centre distance of each stage, a column a stage."""
        return [
            stage.centres_mm[
                stage.driver.places(table.counts[:, 2 * number]), stage.driven.places(table.counts[:, 2 * number + 1])
            ]
            for number, stage in enumerate(self.stages)
        ]

    def gears(self, table: TrainTable) -> list[tuple[GearFacts, Whole]]:
        """For each gear of the trains, from the pinion on: the facts of its list and the places in it."""
        found = []
        for number, stage in enumerate(self.stages):
            for gear, column in ((stage.driver, 2 * number), (stage.driven, 2 * number + 1)):
                found.append((gear, gear.places(table.counts[:, column])))
        return found


def facts_of(
    question: Question,
    gear_of: GearOf,
    added_centre_mm: float = 0.0,
    mass_g: Callable[[GearSpec], float] | None = None,
    on_hand: Callable[[GearSpec], bool] = lambda gear: False,
    plate: PlateFacts | None = None,
) -> Facts:
    """The facts of every gear that a question may use. Masses are those of solid steel blanks unless said."""
    kinds: dict[GearSpec, int] = {}
    weigh = solid_mass_g if mass_g is None else mass_g

    def listed(specs: list[GearSpec]) -> GearFacts:
        counts = np.array([gear.teeth for gear in specs], dtype=np.int16)
        by_count = np.zeros(int(counts.max(initial=0)) + 1, dtype=np.int64)
        by_count[counts] = np.arange(len(counts))
        return GearFacts(
            counts,
            np.array([gear.tip_radius_mm for gear in specs], dtype=np.float64),
            np.array([weigh(gear) for gear in specs], dtype=np.float64),
            np.array([gear.face_width_mm for gear in specs], dtype=np.float64),
            np.array([kinds.setdefault(gear, len(kinds)) for gear in specs], dtype=np.int64),
            np.array([on_hand(gear) for gear in specs], dtype=np.bool_),
            by_count,
        )

    stages = []
    for number, choice in enumerate(question.stages):
        drivers = [gear_of(number, True, teeth) for teeth in choice.drivers]
        driven = [gear_of(number, False, teeth) for teeth in choice.driven]
        centres = added_centre_mm + _centres_mm(drivers, driven)
        stages.append(StageFacts(listed(drivers), listed(driven), centres))
    return Facts(tuple(stages), plate)


def solid_mass_g(gear: GearSpec, density_kg_m3: float = 7850.0) -> float:
    """Mass of a solid blank of the reference diameter: bore, hub and pockets are left out, so it only ranks. The
    default density is that of carbon steel (materials handbooks, from memory)."""
    radius = 0.5 * gear.teeth * gear.system.module_mm
    return math.pi * radius * radius * gear.face_width_mm * density_kg_m3 * 1e-6


def _centres_mm(drivers: list[GearSpec], driven: list[GearSpec]) -> Array:
    """Zero-backlash centre of each pair; the sum of the reference radii where the teeth differ in size or angle."""
    if not drivers or not driven:
        return np.zeros((len(drivers), len(driven)))

    def column(of: Callable[[GearSpec], float], gears: list[GearSpec]) -> Array:
        return np.array([of(gear) for gear in gears], dtype=np.float64)

    module_1, module_2 = (column(lambda gear: gear.system.module_mm, gears) for gears in (drivers, driven))
    angle_1, angle_2 = (column(lambda gear: gear.system.pressure_angle_rad, gears) for gears in (drivers, driven))
    teeth_1, teeth_2 = (column(lambda gear: gear.teeth, gears) for gears in (drivers, driven))
    shift_1, shift_2 = (column(lambda gear: gear.shift, gears) for gears in (drivers, driven))
    alike = (module_1[:, None] == module_2) & (angle_1[:, None] == angle_2)
    centres = working_centre_mm(
        teeth_1[:, None], teeth_2[None, :], module_1[:, None], angle_1[:, None], shift_1[:, None], shift_2[None, :]
    )
    plain = 0.5 * (teeth_1 * module_1)[:, None] + 0.5 * teeth_2 * module_2
    return np.asarray(np.where(alike, centres, plain))
