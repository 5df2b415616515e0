"""What the motors can put into the train, and which of three limits rules: stall, breaker or grip.

Each motor gives at most its stall torque, and no more than its breaker lets through for some seconds. What reaches the
output is at most what the wheels of this gearbox can push before they slip: mu m g r over the gearboxes. The least
rules; motors that are held back by grip share it as they would share the rest.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import StrEnum

from gearplate.catalog.motors import MotorCurve
from gearplate.drive.grip import STANDARD_GRAVITY_M_S2, traction_force_n
from gearplate.drive.motor_line import operating_point, torque_at_current_n_m
from gearplate.finding import Standing
from gearplate.gears.spec import StageSpec
from gearplate.layout.spec import LayoutSpec, MotorSpec
from gearplate.rating.duty import Duty


class RuledBy(StrEnum):
    STALL = "stall"
    BREAKER = "breaker"
    GRIP = "grip"


@dataclass(frozen=True, slots=True)
class MotorLoad:
    """One motor in the hardest push: torque, speed and current there. `known`: its torque curve stands in the tables;
    without one it is taken to reach whatever the wheels grip, and has no speed and no current. `limit_n_mm`: the most
    that stall or breaker (`limited_by`) let it give; `ratio`: its speed over the output's. `type_name` and `standing`:
    what motor it is, and where its curve comes from."""

    name: str
    torque_n_mm: float
    speed_rpm: float | None
    current_a: float | None
    known: bool
    limit_n_mm: float
    limited_by: RuledBy
    ratio: float
    curve: MotorCurve | None
    type_name: str
    standing: Standing


@dataclass(frozen=True, slots=True)
class DriveLoads:
    """The hardest push. `ruled_by` says which limit was the least. `own_limit_n_mm`: output torque that the motors
    could give, without end where a motor's curve is not known; `grip_n_mm`: what the wheels take. `stage_n_mm`: torque
    on each stage's driver (all motors together in the first) before that stage's losses. `wheel_weight_n`: what the
    wheel on the axle carries at rest; `wheel_grip_n`: friction times that, the most that it pushes by itself.
    `free_output_rpm`: at the slowest motor's free speed; None where no curve is known."""

    motors: tuple[MotorLoad, ...]
    ruled_by: RuledBy
    own_limit_n_mm: float
    grip_n_mm: float
    output_n_mm: float
    stage_n_mm: tuple[float, ...]
    wheel_weight_n: float
    wheel_grip_n: float
    wheel_radius_mm: float
    free_output_rpm: float | None


def stage_ratio(stage: StageSpec, driver_teeth: int) -> float:
    """Speed in over speed out of a stage; idlers change nothing."""
    return stage.driven.teeth / driver_teeth


def later_ratio(spec: LayoutSpec) -> float:
    """Product of the ratios of all stages after the first."""
    whole = 1.0
    for stage in spec.train.stages[1:]:
        if stage.driver is not None:
            whole *= stage_ratio(stage, stage.driver.teeth)
    return whole


def motor_ratio(spec: LayoutSpec, motor: MotorSpec) -> float:
    """Motor speed over output speed."""
    return stage_ratio(spec.train.stages[0], motor.pinion.teeth) * later_ratio(spec)


def motor_limit(motor: MotorSpec, duty: Duty) -> tuple[float, RuledBy]:
    """The most torque (N mm) of one motor and which of stall and breaker sets it; without end where its curve is not
    known."""
    curve = motor.motor.curve
    if curve is None:
        return math.inf, RuledBy.STALL
    at_breaker = torque_at_current_n_m(curve, duty.breaker_a * duty.breaker_over)
    if at_breaker < curve.stall_torque_n_m:
        return 1000.0 * max(at_breaker, 0.0), RuledBy.BREAKER
    return 1000.0 * curve.stall_torque_n_m, RuledBy.STALL


def grip_torque_n_mm(spec: LayoutSpec, duty: Duty) -> float:
    """Torque on this gearbox's output at which its wheels slip: mu m g r / gearboxes."""
    force = traction_force_n(duty.friction, duty.mass_kg * duty.driven_share) / duty.gearboxes
    return force * spec.wheel.diameter_mm / 2.0


def drive_loads(spec: LayoutSpec, duty: Duty) -> DriveLoads:
    """The hardest push of one gearbox."""
    limits = [motor_limit(motor, duty) for motor in spec.motors]
    ratios = [motor_ratio(spec, motor) for motor in spec.motors]
    efficiency = duty.stage_efficiency ** len(spec.train.stages)
    own = efficiency * sum(limit * ratio for (limit, _), ratio in zip(limits, ratios, strict=True))
    grip = grip_torque_n_mm(spec, duty)
    output = min(own, grip)
    if own <= grip:
        torques = [limit for limit, _ in limits]
        hardest = max(zip(limits, ratios, strict=True), key=lambda one: one[0][0] * one[1])
        ruled_by = hardest[0][1]
    else:
        ruled_by = RuledBy.GRIP
        torques = _shared([limit for limit, _ in limits], ratios, grip / efficiency)
    stages = [
        sum(
            torque * stage_ratio(spec.train.stages[0], motor.pinion.teeth) * duty.stage_efficiency
            for torque, motor in zip(torques, spec.motors, strict=True)
        )
    ]
    for stage in spec.train.stages[1:]:
        if stage.driver is not None:
            stages.append(stages[-1] * stage_ratio(stage, stage.driver.teeth) * duty.stage_efficiency)
    speeds = [
        motor.motor.curve.free_speed_rpm / ratio
        for motor, ratio in zip(spec.motors, ratios, strict=True)
        if motor.motor.curve is not None
    ]
    return DriveLoads(
        motors=tuple(
            _motor_load(motor, torque, limit, ratio)
            for motor, torque, limit, ratio in zip(spec.motors, torques, limits, ratios, strict=True)
        ),
        ruled_by=ruled_by,
        own_limit_n_mm=own,
        grip_n_mm=grip,
        output_n_mm=output,
        stage_n_mm=(sum(torques), *stages[:-1]),
        wheel_weight_n=duty.mass_kg * STANDARD_GRAVITY_M_S2 / duty.wheels,
        wheel_grip_n=traction_force_n(duty.friction, duty.mass_kg / duty.wheels),
        wheel_radius_mm=spec.wheel.diameter_mm / 2.0,
        free_output_rpm=min(speeds, default=None),
    )


def _shared(limits: list[float], ratios: list[float], wanted: float) -> list[float]:
    """Torques that come to `wanted` at the output: in proportion to what each could give; the unknown alike."""
    if any(math.isinf(limit) for limit in limits):
        return [wanted / (len(limits) * ratio) for ratio in ratios]
    whole = sum(limit * ratio for limit, ratio in zip(limits, ratios, strict=True))
    return [limit * wanted / whole for limit in limits]


def _motor_load(motor: MotorSpec, torque_n_mm: float, limit: tuple[float, RuledBy], ratio: float) -> MotorLoad:
    curve = motor.motor.curve
    speed = current = None
    if curve is not None:
        point = operating_point(curve, torque_n_mm / 1000.0)
        speed, current = point.speed_rpm, point.current_a
    row = motor.motor
    return MotorLoad(
        motor.name,
        torque_n_mm,
        speed,
        current,
        curve is not None,
        *limit,
        ratio,
        curve,
        row.name,
        row.standing_for("stall_torque_n_m"),
    )
