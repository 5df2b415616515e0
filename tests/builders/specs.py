"""Layout specs made by hand, without a job file: an ordinary drive of the compost rover (invented)."""

from __future__ import annotations

import math
from dataclasses import replace

from gearplate.catalog import load_catalog, profiles_folder
from gearplate.gears.spec import GearSpec, StageSpec, ToothSystem, TrainSpec
from gearplate.layout.spec import (
    BearingSeat,
    CarriedBy,
    LayoutSpec,
    LimitsSpec,
    MotorSpec,
    Mount,
    PlateStock,
    RailSpec,
    Role,
    ShaftSpec,
    Side,
    StandoffSpec,
    WheelSpec,
)

DP20 = ToothSystem(1.27, math.radians(20))


def drive_spec(
    wheel_mm: float = 101.6, motors: int = 3, pinion: int = 12, teeth: tuple[int, ...] = (72, 32, 60), **changes: object
) -> LayoutSpec:
    """Two stages (driven, driver, driven) or one (driven,) with `motors` on the first gear, all places free."""
    catalog = load_catalog([profiles_folder()])
    bearing = catalog.bearing("FR8ZZ-hex")
    seat = BearingSeat(bearing)
    stock = catalog.shaft("hex-1/2in")
    motor = catalog.motor("generic-a")
    small = GearSpec(pinion, DP20, shift=0.5 if pinion <= 16 else 0.0)
    if len(teeth) == 1:
        stages = (StageSpec(None, GearSpec(teeth[0], DP20), 0.05),)
    else:
        stages = (
            StageSpec(None, GearSpec(teeth[0], DP20), 0.05),
            StageSpec(GearSpec(teeth[1], DP20), GearSpec(teeth[2], DP20), 0.05),
        )
    shafts = [ShaftSpec("output", Role.OUTPUT, stock, outboard=seat, inboard=seat)]
    shafts += [
        ShaftSpec(f"S{i + 1}", Role.INTERMEDIATE, stock, outboard=seat, inboard=seat) for i in range(len(stages) - 1)
    ]
    screw = catalog.fastener("#10-32")
    spec = LayoutSpec(
        train=TrainSpec(stages),
        shafts=tuple(shafts),
        motors=tuple(MotorSpec(f"M{i + 1}", motor, catalog.fastener(motor.face.screw), small) for i in range(motors)),
        carried_by=CarriedBy.PLATES,
        wheel=WheelSpec(wheel_mm, 25.4, 3.0, 6.0),
        rail=RailSpec(50.8, 38.1, 3.175, 25.4, Mount.BESIDE, bearing.outside_mm + 1.0, screw, 12.7),
        standoffs=StandoffSpec(3, screw, 12.7),
        limits=LimitsSpec(),
        outboard=PlateStock("acetal-6mm", 6.0),
        inboard=PlateStock("acetal-6mm", 6.0),
        margin_mm=6.0,
    )
    return replace(spec, **changes)  # type: ignore[arg-type]


SIDES = tuple(Side)
