"""Which shaft turns which, and how far apart: the tree of shafts from the output outward."""

from __future__ import annotations

import itertools
import math
from dataclasses import dataclass
from functools import cache

from gearplate.gears.mesh import working_centre_mm
from gearplate.gears.spec import GearSpec
from gearplate.layout.spec import LayoutSpec, Role

OUTPUT = "output"


@dataclass(frozen=True, slots=True)
class MeshNeed:
    """Two gears that must run together. `zero_backlash_mm`: centre distance of the unthinned gears without play."""

    stage: int
    driver_shaft: str
    driven_shaft: str
    driver: GearSpec
    driven: GearSpec
    zero_backlash_mm: float
    added_mm: float

    @property
    def centre_mm(self) -> float:
        """The distance at which the two axes are set."""
        return self.zero_backlash_mm + self.added_mm


@dataclass(frozen=True, slots=True)
class Link:
    """`child` stands `distance_mm` from `parent`; parents come before their children."""

    child: str
    parent: str
    distance_mm: float


@cache
def zero_backlash_centre_mm(driver: GearSpec, driven: GearSpec) -> float:
    """Centre distance without play, mm. Unlike tooth systems (refused by a check) get the sum of their radii."""
    if driver.system == driven.system:
        return float(
            working_centre_mm(
                driver.teeth,
                driven.teeth,
                driver.system.module_mm,
                driver.system.pressure_angle_rad,
                driver.shift,
                driven.shift,
            )
        )
    return 0.5 * (driver.teeth * driver.system.module_mm + driven.teeth * driven.system.module_mm)


def stage_shaft(spec: LayoutSpec, stage: int) -> str:
    """Name of the shaft that carries the driven gear of `stage` (counted from 1)."""
    return OUTPUT if stage == len(spec.train.stages) else f"S{stage}"


def idler_names(spec: LayoutSpec) -> tuple[tuple[str, ...], ...]:
    """Names of each stage's idler shafts, numbered through the train."""
    names: list[tuple[str, ...]] = []
    count = 0
    for stage in spec.train.stages:
        names.append(tuple(f"I{count + i + 1}" for i in range(len(stage.idlers))))
        count += len(stage.idlers)
    return tuple(names)


def mesh_needs(spec: LayoutSpec) -> tuple[MeshNeed, ...]:
    """Every pair of gears in contact, from the motors to the output; one for each motor in the first stage."""
    needs: list[MeshNeed] = []

    def add(stage: int, a: str, b: str, driver: GearSpec, driven: GearSpec, added: float) -> None:
        needs.append(MeshNeed(stage, a, b, driver, driven, zero_backlash_centre_mm(driver, driven), added))

    for index, (stage, idlers) in enumerate(zip(spec.train.stages, idler_names(spec), strict=True)):
        number = index + 1
        run = [*zip(idlers, stage.idlers, strict=True), (stage_shaft(spec, number), stage.driven)]
        first_name, first_gear = run[0]
        if index == 0:
            for motor in spec.motors:
                add(number, motor.name, first_name, motor.pinion, first_gear, stage.added_centre_mm)
        elif stage.driver is not None:
            add(number, f"S{index}", first_name, stage.driver, first_gear, stage.added_centre_mm)
        for (name_a, gear_a), (name_b, gear_b) in itertools.pairwise(run):
            add(number, name_a, name_b, gear_a, gear_b, stage.added_centre_mm)
    return tuple(needs)


def links(spec: LayoutSpec) -> tuple[Link, ...]:
    """The tree of shafts, output first: each shaft with the partner nearer to the output and their distance."""
    return tuple(Link(need.driver_shaft, need.driven_shaft, need.centre_mm) for need in reversed(mesh_needs(spec)))


def place_all(spec: LayoutSpec, angles_rad: dict[str, float]) -> dict[str, tuple[float, float]]:
    """Positions of all shafts: given places, and `angles_rad` about the partner for those left free.

    Raises KeyError where a free shaft has no angle.
    """
    positions: dict[str, tuple[float, float]] = {OUTPUT: (0.0, 0.0)}
    for link in links(spec):
        place = spec.places.get(link.child)
        if place is not None and place.x_mm is not None and place.y_mm is not None:
            positions[link.child] = (place.x_mm, place.y_mm)
            continue
        angle = place.angle_rad if place is not None and place.angle_rad is not None else angles_rad[link.child]
        x, y = positions[link.parent]
        positions[link.child] = (
            x + link.distance_mm * math.cos(angle),
            y + link.distance_mm * math.sin(angle),
        )
    return positions


def known_places(spec: LayoutSpec) -> dict[str, tuple[float, float]]:
    """Positions of the output and of every shaft whose place follows from what the job gives, by coordinate or by
    angles all the way from the output."""
    positions: dict[str, tuple[float, float]] = {OUTPUT: (0.0, 0.0)}
    for link in links(spec):
        place = spec.places.get(link.child)
        if place is None:
            continue
        if place.x_mm is not None and place.y_mm is not None:
            positions[link.child] = (place.x_mm, place.y_mm)
        elif place.angle_rad is not None and link.parent in positions:
            x, y = positions[link.parent]
            positions[link.child] = (
                x + link.distance_mm * math.cos(place.angle_rad),
                y + link.distance_mm * math.sin(place.angle_rad),
            )
    return positions


def free_shafts(spec: LayoutSpec) -> tuple[str, ...]:
    """Shafts whose place the job leaves to the solver, parents first."""
    return tuple(
        link.child for link in links(spec) if spec.places.get(link.child) is None or spec.places[link.child].free
    )


def role_of(spec: LayoutSpec, name: str) -> Role:
    if any(motor.name == name for motor in spec.motors):
        return Role.MOTOR
    return spec.shaft(name).role
