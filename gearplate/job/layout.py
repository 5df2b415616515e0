"""Everything that the layout needs: from the job file's tables to the layout room's spec."""

from __future__ import annotations

from dataclasses import replace

from gearplate.gears.spec import StageSpec, TrainSpec
from gearplate.job.defaults import Choices
from gearplate.job.model.frame import Clearances as ClearancesTable
from gearplate.job.model.frame import Limits, Rail, Standoffs, Wishes
from gearplate.job.model.plates import OnePlate, Plates
from gearplate.job.reading import Reading
from gearplate.job.shafts import shaft_spec
from gearplate.job.train import first_level, gear_spec, pinion_table
from gearplate.layout.spec import (
    CarriedBy,
    Clearances,
    KeepOut,
    LayoutSpec,
    Least,
    LimitsSpec,
    MotorSpec,
    Mount,
    Place,
    PlateStock,
    RailRelief,
    RailSpec,
    Role,
    ShaftSpec,
    Side,
    SprocketSpec,
    StandoffSpec,
    WheelSpec,
    WishesSpec,
)

# A keep-out without a z range stands everywhere along the axle.
_EVERYWHERE_MM = 1000.0
# The thickness to draw a plate with whose material must never be cut and whose job says none.
_NO_THICKNESS_MM = 6.0


def layout_spec(reading: Reading, train: TrainSpec, choices: Choices) -> LayoutSpec:
    """The layout's spec for a train by tooth counts. The reading has passed every check."""
    file = reading.file
    own = (file.shafts or {}).get("output")
    carried_by = CarriedBy(choices.pick("shaft.carried_by", own.carried_by if own is not None else None))
    shafts = _shafts(reading, train, carried_by, choices)
    plates = file.plates or Plates()
    clear = file.clearances or ClearancesTable()
    wishes = file.layout or Wishes()
    wheel = file.wheel
    return LayoutSpec(
        train=TrainSpec(tuple(_without_pinion(train))),
        shafts=shafts,
        motors=_motors(reading, train, choices),
        carried_by=carried_by,
        wheel=WheelSpec(
            diameter_mm=wheel.diameter,
            width_mm=choices.pick("wheel.width", wheel.width),
            clear_mm=choices.pick("wheel.clear", wheel.clear),
            gap_mm=choices.pick("wheel.gap", wheel.gap),
            neighbours_x_mm=choices.pick("wheel.neighbours", wheel.neighbours),
            clear_given=wheel.clear is not None,
        ),
        rail=None if file.rail is False else _rail(reading, file.rail or Rail(), shafts[-1], choices),
        standoffs=_standoffs(reading, file.standoffs or Standoffs(), choices),
        limits=_limits(file.limits or Limits()),
        outboard=plate_stock(reading, Side.OUTBOARD, choices),
        inboard=plate_stock(reading, Side.INBOARD, choices),
        margin_mm=choices.pick("plates.margin", plates.margin),
        cover_gears=choices.pick("plates.cover_gears", plates.cover_gears),
        washers=choices.pick("plates.washers", plates.washers),
        gap_mm=plates.gap,
        places=_places(reading),
        keep_outs=_keep_outs(reading, choices),
        clearances=Clearances(
            gear_tip_mm=choices.pick("clearances.gear_tip", clear.gear_tip),
            still_mm=choices.pick("clearances.still", clear.still),
            axial_mm=choices.pick("clearances.axial", clear.axial),
            web_mm=plates.web if clear.web is None else clear.web,
        ),
        sprockets=_sprockets(reading, choices),
        wishes=WishesSpec(
            least=tuple(map(Least, choices.pick("layout.least", wishes.least))),
            spend=choices.pick("layout.spend", wishes.spend),
        ),
    )


def _sprockets(reading: Reading, choices: Choices) -> SprocketSpec | None:
    """The sprockets of the duty's chain; None where no chain runs on the axle."""
    duty = reading.file.duty
    if duty is None or duty.chain is None or duty.sprocket is None:
        return None
    chain = reading.catalog.chain_row(duty.chain)
    return SprocketSpec(chain, duty.sprocket, choices.pick("duty.sprockets", duty.sprockets))


def _without_pinion(train: TrainSpec) -> list[StageSpec]:
    """The stages, the first without its driver: a chosen train names the pinion there, but motors bring it."""
    return [stage if number else replace(stage, driver=None) for number, stage in enumerate(train.stages)]


def _shafts(reading: Reading, train: TrainSpec, carried_by: CarriedBy, choices: Choices) -> tuple[ShaftSpec, ...]:
    plates = CarriedBy.PLATES
    idlers = sum(len(stage.idlers) for stage in train.stages)
    return (
        *(
            shaft_spec(reading, f"S{number}", Role.INTERMEDIATE, plates, choices)
            for number in range(1, len(train.stages))
        ),
        *(shaft_spec(reading, f"I{number + 1}", Role.IDLER, plates, choices) for number in range(idlers)),
        shaft_spec(reading, "output", Role.OUTPUT, carried_by, choices),
    )


def _motors(reading: Reading, train: TrainSpec, choices: Choices) -> tuple[MotorSpec, ...]:
    catalog = reading.catalog
    stages = reading.file.stages
    chosen = train.stages[0].driver if train.stages else None
    level = first_level(reading)
    motors: list[MotorSpec] = []
    for group in reading.file.motors:
        motor = catalog.motor(group.type)
        table = pinion_table(group, stages)
        pinion = chosen if table is None else gear_spec(table, level, "pinion", catalog, choices)
        assert pinion is not None  # looked at by the checks
        screws = choices.pick("motors.screws", group.screws) if motor.face.screw_count > 1 else 1
        for _ in range(choices.pick("motors.count", group.count)):
            motors.append(
                MotorSpec(
                    name=f"M{len(motors) + 1}",
                    motor=motor,
                    screw=catalog.fastener(motor.face.screw),
                    pinion=pinion,
                    side=Side(choices.pick("motors.side", group.side)),
                    screws_used=screws,
                    clocking_rad=group.clocking,
                    slot_travel_mm=group.slots or 0.0,
                )
            )
    return tuple(motors)


def _rail(reading: Reading, rail: Rail, output: ShaftSpec, choices: Choices) -> RailSpec:
    height = choices.pick("rail.height", rail.height)
    return RailSpec(
        height_mm=height,
        width_mm=choices.pick("rail.width", rail.width),
        wall_mm=choices.pick("rail.wall", rail.wall),
        axle_from_bottom_mm=choices.work_out("rail.axle_from_bottom", rail.axle_from_bottom, height / 2),
        mount=Mount(choices.pick("rail.mount", rail.mount)),
        axle_hole_mm=choices.work_out("rail.axle_hole", rail.axle_hole, axle_hole_mm(output)),
        screw=reading.catalog.fastener(choices.pick("rail.screw", rail.screw)),
        tube_diameter_mm=choices.pick("rail.tube", rail.tube),
        holes=rail.holes,
        hole_count=len(rail.holes) if rail.holes is not None else choices.pick("rail.count", rail.count),
        reliefs=tuple(
            RailRelief(*(relief.at or (0.0, 0.0)), diameter_mm=relief.diameter, shaft=relief.shaft)
            for relief in rail.reliefs or ()
        ),
    )


def axle_hole_mm(output: ShaftSpec) -> float:
    """The hole in the rail for the axle: what is widest there and 1 mm: the outboard bearing's outside, its flange
    where that lies on the outer face, or the shaft itself."""
    seat = output.outboard or output.inboard
    widest = output.stock.section.corners_mm if seat is None else seat.bearing.outside_mm
    outer = output.outboard
    if outer is not None and outer.bearing.flange is not None and not outer.pressed_from_gap:
        widest = outer.bearing.flange.diameter_mm
    return widest + 1.0


def _standoffs(reading: Reading, table: Standoffs, choices: Choices) -> StandoffSpec:
    count = len(table.places) if table.places is not None else choices.pick("standoffs.count", table.count)
    return StandoffSpec(
        count=count,
        screw=reading.catalog.fastener(choices.pick("standoffs.screw", table.screw)),
        diameter_mm=choices.pick("standoffs.diameter", table.diameter),
        places=table.places,
    )


def _limits(table: Limits) -> LimitsSpec:
    return LimitsSpec(
        height_mm=table.height,
        width_mm=table.width,
        forward_mm=table.forward,
        back_mm=table.back,
        up_mm=table.up,
        down_mm=table.down,
        outward_mm=table.outward,
        inward_mm=table.inward,
    )


def plate_tables(reading: Reading, side: Side) -> tuple[Plates, OnePlate]:
    """The table for both plates and the one for this plate, empty where the job has none."""
    plates = reading.file.plates or Plates()
    one = plates.outboard if side is Side.OUTBOARD else plates.inboard
    return plates, one or OnePlate()


def material_name(reading: Reading, side: Side) -> str | None:
    """The material of a plate as the job names it; None where it names none."""
    _, one = plate_tables(reading, side)
    return one.material if one.material is not None else reading.file.material


def nominal_mm(reading: Reading, side: Side) -> float | None:
    """Nominal thickness of a plate: the job's own for this plate, for both, or the material's."""
    plates, one = plate_tables(reading, side)
    name = material_name(reading, side)
    if one.thickness is not None or name is None:
        return one.thickness
    if plates.thickness is not None:
        return plates.thickness
    return reading.catalog.material(name).thickness_mm


def measured_mm(reading: Reading, side: Side) -> float | None:
    """Measured thickness of a plate. One measured for both holds only where this plate has no thickness of its own."""
    plates, one = plate_tables(reading, side)
    if one.measured is not None or one.thickness is not None or one.material is not None:
        return one.measured
    return plates.measured


def plate_stock(reading: Reading, side: Side, choices: Choices) -> PlateStock:
    """Material and thickness of one plate."""
    plates, one = plate_tables(reading, side)
    name = material_name(reading, side)
    assert name is not None  # looked at by the checks
    nominal = nominal_mm(reading, side) or _NO_THICKNESS_MM
    if one.thickness is None and plates.thickness is None:
        choices.work_out("plates.thickness", None, nominal, side.value)
    measured = measured_mm(reading, side)
    if measured is None:
        choices.work_out("plates.measured", None, nominal, side.value)
    density = reading.catalog.material(name).density_kg_m3
    return PlateStock(
        material=name,
        nominal_mm=nominal,
        measured_mm=measured,
        density_kg_m3=density.middle if density is not None else 0.0,
    )


def _places(reading: Reading) -> dict[str, Place]:
    places = {}
    for name, place in (reading.file.places or {}).items():
        if name == "output":
            continue
        x, y = place.at or (None, None)
        places[name] = Place(angle_rad=place.angle, x_mm=x, y_mm=y)
    return places


def _keep_outs(reading: Reading, choices: Choices) -> tuple[KeepOut, ...]:
    found = []
    for table in reading.file.keep_outs or ():
        z0, z1 = choices.work_out("keep_outs.z", table.z, (-_EVERYWHERE_MM, _EVERYWHERE_MM), table.name)
        disc = (*table.disc.at, table.disc.diameter / 2) if table.disc is not None else None
        found.append(KeepOut(name=table.name, z0_mm=z0, z1_mm=z1, disc=disc, box=table.box))
    return tuple(found)
