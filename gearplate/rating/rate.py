"""The whole strength of a drive in one call: loads, forces, and a rating of every part, the weakest link first."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, field

from gearplate.catalog import Catalog
from gearplate.catalog.bearings import Bearing
from gearplate.catalog.materials import Material
from gearplate.catalog.strengths import Strength
from gearplate.gears.made_of import material_of
from gearplate.gears.spec import GearSpec
from gearplate.layout.design import Layout
from gearplate.layout.spec import CarriedBy, LayoutSpec, Side
from gearplate.plate.plate import Plate
from gearplate.rating.bearings import known_ratings, rate_bearings
from gearplate.rating.duty import Duty
from gearplate.rating.forces import MeshForce, mesh_forces
from gearplate.rating.loads import DriveLoads, drive_loads
from gearplate.rating.plates import HoleLoad, Sheet, bore_loads, rate_holes
from gearplate.rating.rating import Kind, Rating
from gearplate.rating.screws import motor_screws, rail_screws
from gearplate.rating.shaft_loads import ShaftCase, shaft_cases
from gearplate.rating.shafts import rate_shaft
from gearplate.rating.sheet_stiffness import rate_bending, rate_spread
from gearplate.rating.teeth import rate_teeth

NOT_MODELLED = (
    "belts on the output axle; a chain that runs slack or is too tight; what a chained wheel takes in a turn",
    "keys, pins, set screws and hubs; a motor's own shaft and bearings; the wheel and its hub; the rail and its blocks",
    "fatigue of shafts; wear and own heat of teeth, lubrication, tooth errors beyond the velocity factor",
    "press fits and clamping in the holes' stress; friction under screw heads, which carries much of the shear",
    "creep: under a lasting load plastics and wood take about half of the bearing stress told here",
    "posts that give way, and frame and rail; shafts in more than two bearings; the loss within idlers' own meshes",
)


@dataclass(frozen=True, slots=True)
class Tables:
    """What ratings look up: gear classes' materials by name, strengths by family, sheets by name, bearings."""

    gear_materials: Mapping[str, str]
    strengths: Mapping[str, Strength]
    sheets: Mapping[str, Material]
    bearings: Mapping[str, Bearing]


@dataclass(frozen=True, slots=True)
class Ratings:
    """`items`: those that may be the weakest link first, the weakest before the others. `unrated`: parts that could
    not be rated, each with why. `meshes`: the tooth forces of the hardest push forward; `cases`: the forces on shafts
    that ratings come from. `not_modelled`: what no rating here looks at."""

    loads: DriveLoads
    duty: Duty
    items: tuple[Rating, ...]
    unrated: tuple[str, ...]
    meshes: tuple[MeshForce, ...] = ()
    cases: tuple[ShaftCase, ...] = ()
    not_modelled: tuple[str, ...] = field(default=NOT_MODELLED)

    @property
    def weakest(self) -> Rating | None:
        """The weakest link of strength and life; None where nothing could be rated."""
        return next((item for item in self.items if item.rules and item.kind is not Kind.STIFFNESS), None)

    @property
    def failing(self) -> tuple[Rating, ...]:
        """Those that rule and do not hold."""
        return tuple(item for item in self.items if item.rules and not item.holds)


def rate(
    layout: Layout, spec: LayoutSpec, tables: Tables, duty: Duty | None = None, plates: tuple[Plate, ...] = ()
) -> Ratings:
    """Rate a placed drive. Pure: no file is read. Without `plates` holes are not rated.

    `duty` None: the defaults. Raises ValueError for a duty out of range, and where no forces exist (`can_be_rated`).
    """
    duty = duty or Duty()
    if faults := duty.faults():
        raise ValueError("; ".join(f"{name}: {accepted}" for name, accepted in faults))
    if not can_be_rated(layout):
        raise ValueError("gears that cannot run together, or shafts in one place, have no tooth forces")
    loads = drive_loads(spec, duty)
    forces = {sense: mesh_forces(layout, loads, sense) for sense in (1, -1)}
    unrated: list[str] = []
    items: list[Rating] = list(
        rate_teeth(forces[1], lambda gear, pinion: _strength(tables, gear, pinion), _Speeds(spec, loads), duty.hall_c)
    )
    cases: list[ShaftCase] = []
    usual = _Speeds(spec, loads, duty.typical_speed)
    for shaft in spec.shafts:
        own = shaft_cases(spec, layout, shaft, forces, loads, duty)
        if not own:
            unrated.append(f"{shaft.name} shaft: it has not two bearings in the plates, so that no statics holds")
            continue
        cases += own
        items += rate_shaft(shaft, own)
        items += rate_bearings(own, usual(shaft.name), duty, tables.bearings)
        for support in own[0].supports:
            if support.bearing is None and shaft.turns:
                unrated.append(
                    f"{shaft.name}, {support.name}: what carries it there is not told (shafts.output.block_bearing)"
                )
            elif support.bearing is not None and known_ratings(support.bearing, tables.bearings) is None:
                unrated.append(f"{shaft.name} {support.name}: no rating is known of {support.bearing.name}")
        if not shaft.turns:
            unrated.append(f"{shaft.name}: the shaft stands still; what its gear turns on is not told")
    sheets = [
        Sheet(plate, tables.sheets[plate.stock.material], tables.strengths[tables.sheets[plate.stock.material].family])
        for plate in plates
        if plate.stock.material in tables.sheets and tables.sheets[plate.stock.material].family in tables.strengths
    ]
    rated_sides = {sheet.plate.side for sheet in sheets}
    unrated += [
        f"{plate.side.value} plate: no strength is known of {plate.stock.material}"
        for plate in plates
        if plate.side not in rated_sides
    ]
    unrated += [f"{motor.name}: what the walls of its slots stand" for motor in spec.motors if motor.slot_travel_mm > 0]
    if spec.carried_by is CarriedBy.BOTH:
        unrated.append("output: its outboard bearing is left out; the inboard one and the rail's outer wall are taken")
    items += _holes_and_screws(layout, spec, tables, duty, loads, sheets, cases)
    items += rate_spread(spec, layout, sheets, forces[1], duty.hall_c)
    items += rate_bending(spec, sheets, cases, duty.hall_c)
    unrated += [
        f"{motor.name}: no torque curve in the tables; taken to push as hard as the wheels grip"
        for motor in loads.motors
        if not motor.known
    ]
    unknown = sorted(_unknown_teeth(tables, layout))
    unrated += [f"gears of {material}: no tooth strength known; taken as acetal" for material in unknown]
    ordered = tuple(sorted(items, key=_order))
    return Ratings(loads, duty, ordered, tuple(unrated), forces[1], _used(cases, ordered))


def can_be_rated(layout: Layout) -> bool:
    """Whether every mesh has a force: gears of one tooth size, apart, at a distance at which they touch."""
    return bool(layout.meshes) and all(
        mesh.driver.gear.system == mesh.driven.gear.system
        and mesh.centre_mm > 0.0
        and math.isfinite(mesh.mesh.working_pressure_angle_deg)
        and mesh.driver.z1_mm > mesh.driven.z0_mm
        and mesh.driven.z1_mm > mesh.driver.z0_mm
        for mesh in layout.meshes
    )


def tables_of(catalog: Catalog) -> Tables:
    """What ratings look up, out of the profiles. Raises JobError where one of these tables is wrong."""
    return Tables(
        gear_materials={name: row.pattern.material for name, row in catalog.gears().items()},
        strengths=catalog.strengths(),
        sheets=catalog.materials(),
        bearings=catalog.bearings(),
    )


def _used(cases: list[ShaftCase], items: tuple[Rating, ...]) -> tuple[ShaftCase, ...]:
    """Those that some rating names, once each."""
    named = {(shaft, item.load_case, item.way) for item in items if item.way for shaft in item.shafts}
    return tuple(case for case in cases if (case.shaft, case.case, case.way) in named)


def _order(item: Rating) -> tuple[bool, bool, float, str]:
    return not item.rules, item.kind is Kind.STIFFNESS, item.margin, item.part


def _holes_and_screws(
    layout: Layout,
    spec: LayoutSpec,
    tables: Tables,
    duty: Duty,
    loads: DriveLoads,
    sheets: list[Sheet],
    cases: list[ShaftCase],
) -> list[Rating]:
    screw = tables.strengths.get("screw")
    holes: dict[Side, list[HoleLoad]] = {side: [] for side in Side}
    items: list[Rating] = []
    if screw is not None:
        for ratings, loaded in (
            motor_screws(spec, sheets, loads, duty, screw),
            rail_screws(spec, layout, sheets, loads, duty, screw),
        ):
            items += ratings
            for side, more in loaded.items():
                holes[side] += more
    for sheet in sheets:
        side = sheet.plate.side
        widths = {
            shaft.name: seat.bearing.seat_width_mm for shaft in spec.shafts if (seat := shaft.seat(side)) is not None
        }
        items += rate_holes(sheet, [*bore_loads(sheet, cases, widths, duty.hall_c), *holes[side]])
    return items


def _strength(tables: Tables, gear: GearSpec, pinion: bool) -> Strength:
    found = tables.strengths.get(material_of(gear, pinion, tables.gear_materials))
    return found if found is not None and found.tooth_bending_mpa is not None else tables.strengths["acetal"]


def _unknown_teeth(tables: Tables, layout: Layout) -> set[str]:
    made_of = {material_of(gear.gear, gear.shaft.startswith("M"), tables.gear_materials) for gear in layout.gears}
    return {
        name for name in made_of if name not in tables.strengths or tables.strengths[name].tooth_bending_mpa is None
    }


class _Speeds:
    """Speed of any shaft, rev/min, by its tooth counts from the motors: at the hardest push, or at a share of the free
    speed. None where no motor's curve is known."""

    def __init__(self, spec: LayoutSpec, loads: DriveLoads, share: float | None = None) -> None:
        self._spec, self._loads, self._share = spec, loads, share

    def __call__(self, shaft: str) -> float | None:
        output = self._loads.free_output_rpm
        if output is None:
            return None
        share = self._share if self._share is not None else self._slowed()
        return output * share * self._over_output(shaft)

    def _slowed(self) -> float:
        """Speed at the hardest push over the free one, of the motor that is slowed least."""
        curves = {motor.name: motor.motor.curve for motor in self._spec.motors}
        shares = []
        for load in self._loads.motors:
            curve = curves[load.name]
            if load.speed_rpm is not None and curve is not None:
                shares.append(load.speed_rpm / curve.free_speed_rpm)
        return max(shares, default=0.0)

    def _over_output(self, shaft: str) -> float:
        from gearplate.layout.chain import idler_names, stage_shaft

        spec = self._spec
        at: dict[str, float] = {"output": 1.0}
        for number in range(len(spec.train.stages), 0, -1):
            stage = spec.train.stages[number - 1]
            rim = at[stage_shaft(spec, number)] * stage.driven.teeth
            for name, idler in zip(idler_names(spec)[number - 1], stage.idlers, strict=True):
                at[name] = rim / idler.teeth
            if stage.driver is not None and number > 1:
                at[f"S{number - 1}"] = rim / stage.driver.teeth
            if number == 1:
                at |= {motor.name: rim / motor.pinion.teeth for motor in spec.motors}
        return at.get(shaft, math.nan)
