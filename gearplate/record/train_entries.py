"""The record's part on the train: meshes, gears, shafts, motors."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from fractions import Fraction
from typing import Any

from gearplate.gears.play.budget import Budget
from gearplate.layout.design import GearOnShaft, Layout, PlacedMesh, PlacedShaft
from gearplate.layout.play import LEAST_ADDED_MM, AutoAdded, MeshBudget
from gearplate.layout.spec import BearingSeat, LayoutSpec, MotorSpec, Role, Side
from gearplate.record.numbers import known, length, maybe, pure

_FROM_THE_OUTPUT = (Role.OUTPUT, Role.INTERMEDIATE, Role.IDLER, Role.MOTOR)


def ratio(spec: LayoutSpec, motor: MotorSpec) -> Fraction:
    """Speed of one motor over that of the output, positive. Idlers turn the sense and leave the ratio."""
    whole = Fraction(1)
    for index, stage in enumerate(spec.train.stages):
        driver = motor.pinion if index == 0 or stage.driver is None else stage.driver
        whole *= Fraction(stage.driven.teeth, driver.teeth)
    return whole


MeshBudgets = Mapping[tuple[int, str, str], MeshBudget]


def train_entry(
    spec: LayoutSpec, layout: Layout | None, budgets: MeshBudgets | None = None, auto: Sequence[AutoAdded] = ()
) -> dict[str, Any]:
    """Ratio of the first motor, and one mesh for every pair of shafts that turn each other, with its play; what was
    added to the centre distances that the job leaves to their play."""
    known_play = budgets or {}
    return {
        "ratio": pure(float(ratio(spec, spec.motors[0]))) if spec.motors else None,
        "meshes": [
            mesh_entry(mesh, known_play.get((mesh.stage, mesh.driver.shaft, mesh.driven.shaft)))
            for mesh in (layout.meshes if layout is not None else ())
        ],
        "auto_added": [auto_entry(one) for one in auto],
    }


def auto_entry(one: AutoAdded) -> dict[str, Any]:
    """What added_centre = "auto" takes for a stage: the greatest proposal of its meshes, that of the shafts told."""
    return {
        "stage": one.stage,
        "driver_shaft": one.driver_shaft,
        "driven_shaft": one.driven_shaft,
        "added_centre_mm": length(one.added_mm),
        "proposed_mm": length(one.proposed_mm),
        "least_added_mm": LEAST_ADDED_MM,
    }


def play_entry(found: Budget) -> dict[str, Any]:
    """The play of one mesh in closed form: operating backlash but where it says otherwise, mm."""
    return {
        "mean_mm": {
            "operating": known(found.operating_mm),
            "reference": known(found.reference_mm),
            "normal": known(found.normal_mm),
        },
        "worst_mm": [known(value) for value in found.worst_mm],
        "likely_mm": [known(value) for value in found.likely_mm],
        "hot_dry_mm": known(found.hot_dry_mm),
        "cold_wet_mm": known(found.cold_wet_mm),
        "probability_binds": known(found.probability_binds),
        "most_of_spread": found.share[0][0].value if found.share else None,
    }


def mesh_entry(placed: PlacedMesh, budget: MeshBudget | None = None) -> dict[str, Any]:
    """One mesh: its gears, where they stand, how they run there, and the play that scatter and climate leave."""
    driver, driven, mesh = placed.driver.gear, placed.driven.gear, placed.mesh
    module = driver.system.module_mm
    return {
        "stage": placed.stage,
        "driver_shaft": placed.driver.shaft,
        "driven_shaft": placed.driven.shaft,
        "driver_teeth": driver.teeth,
        "driven_teeth": driven.teeth,
        "module_mm": pure(module),
        "pressure_angle_deg": length(math.degrees(driver.system.pressure_angle_rad)),
        "profile_shift": [pure(driver.shift), pure(driven.shift)],
        "tooth_thinning_mm": [length(driver.thinning_mm), length(driven.thinning_mm)],
        "added_centre_mm": length(placed.added_centre_mm),
        "centre_mm": length(placed.centre_mm),
        "working_pressure_angle_deg": known(mesh.working_pressure_angle_deg),
        "backlash_mm": known(mesh.backlash_reference_mm),
        "contact_ratio": known(mesh.contact_ratio),
        "reference_centre_mm": length(0.5 * module * (driver.teeth + driven.teeth)),
        "zero_backlash_centre_mm": length(placed.zero_backlash_centre_mm),
        "contact_ratio_formula": known(mesh.contact_ratio_formula),
        "tip_clearance_mm": [known(mesh.tip_clearance_1_mm), known(mesh.tip_clearance_2_mm)],
        "interference": list(mesh.interference),
        "play": None if budget is None else play_entry(budget.budget),
    }


def from_the_output(shafts: tuple[PlacedShaft, ...]) -> list[PlacedShaft]:
    """Shafts from the output back to the motors, each kind by number."""
    return sorted(shafts, key=lambda shaft: (_FROM_THE_OUTPUT.index(shaft.role), len(shaft.name), shaft.name))


def shaft_entry(spec: LayoutSpec, placed: PlacedShaft) -> dict[str, Any]:
    """One shaft's place, and what it is made of and carried by where it is not a motor's own."""
    entry: dict[str, Any] = {
        "name": placed.name,
        "role": placed.role.value,
        "x_mm": length(placed.x_mm),
        "y_mm": length(placed.y_mm),
        "free": placed.free,
        "stock": None,
        "turns": True,
        "bearings": {"outboard": None, "inboard": None},
        "carried_by": None,
    }
    if placed.role is not Role.MOTOR:
        shaft = spec.shaft(placed.name)
        entry["stock"] = shaft.stock.name
        entry["turns"] = shaft.turns
        if shaft.turns:  # a shaft that stands still sits in the plates without bearings
            entry["bearings"] = {side.value: seat_entry(shaft.seat(side)) for side in Side}
        if placed.role is Role.OUTPUT:
            entry["carried_by"] = spec.carried_by.value
    return entry


def seat_entry(seat: BearingSeat | None) -> dict[str, Any] | None:
    """The bearing of one plate."""
    if seat is None:
        return None
    return {
        "bearing": seat.bearing.name,
        "outside_mm": length(seat.bearing.outside_mm),
        "width_mm": length(seat.bearing.width_mm),
        "flanged": seat.bearing.flange is not None,
        "pressed_from": "gap" if seat.pressed_from_gap else "outside",
        "retained": seat.retained,
    }


def motor_entry(spec: LayoutSpec, layout: Layout | None, motor: MotorSpec) -> dict[str, Any]:
    """One motor: which, on which side its body stands, how it is clocked and screwed on."""
    clocking = dict(layout.clocking_rad).get(motor.name) if layout is not None else motor.clocking_rad
    return {
        "name": motor.name,
        "type": motor.motor.name,
        "side": motor.side.value,
        "pinion_teeth": motor.pinion.teeth,
        "ratio": pure(float(ratio(spec, motor))),
        "screws_used": motor.screws_used,
        "clocking_deg": maybe(None if clocking is None else math.degrees(clocking)),
    }


def gear_entry(placed: GearOnShaft) -> dict[str, Any]:
    """One gear in its plane."""
    gear = placed.gear
    return {
        "shaft": placed.shaft,
        "stage": placed.stage,
        "teeth": gear.teeth,
        "tip_diameter_mm": length(placed.tip_diameter_mm),
        "face_width_mm": length(gear.face_width_mm),
        "z_mm": [length(placed.z0_mm), length(placed.z1_mm)],
        "module_mm": pure(gear.system.module_mm),
        "reference_diameter_mm": length(gear.teeth * gear.system.module_mm),
        "profile_shift": pure(gear.shift),
        "catalogue": gear.source or None,
    }
