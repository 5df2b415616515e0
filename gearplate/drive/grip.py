"""What the wheels can push before they slip, and what the motors feel of it."""

from __future__ import annotations

import math
from dataclasses import dataclass

from gearplate.catalog.motors import MotorCurve
from gearplate.drive.motor_line import RAD_S_PER_RPM, operating_point

STANDARD_GRAVITY_M_S2 = 9.80665  # by definition (3rd CGPM, 1901)


@dataclass(frozen=True, slots=True)
class WheelSlip:
    """A machine at the moment when its wheels slip: the push of all driven wheels, and each motor's share of it.

    `free_speed_m_s`: of the machine at the motors' free speed, where nothing would brake it.
    """

    traction_force_n: float
    motor_torque_n_m: float
    current_per_motor_a: float
    free_speed_m_s: float


def traction_force_n(friction_coefficient: float, mass_kg: float) -> float:
    """Greatest push (N) of wheels that carry this mass (kg): mu m g."""
    return friction_coefficient * mass_kg * STANDARD_GRAVITY_M_S2


def ground_speed_m_s(speed_rpm: float, gear_ratio: float, wheel_diameter_mm: float) -> float:
    """Speed over the floor (m/s) of wheels driven by a motor at `speed_rpm` through a reduction."""
    return speed_rpm * RAD_S_PER_RPM / gear_ratio * wheel_diameter_mm / 2000.0


def wheel_slip(
    curve: MotorCurve,
    motors: int,
    gear_ratio: float,
    efficiency: float,
    mass_kg: float,
    friction_coefficient: float,
    wheel_diameter_mm: float,
    driven_share: float = 1.0,
) -> WheelSlip:
    """Where the wheels of the whole machine slip: F = mu m g; each motor's torque is F r / (motors ratio efficiency).

    `gear_ratio`: motor speed over wheel speed. `efficiency`: of the whole train, 0 to 1. `driven_share`: of the weight
    that stands on driven wheels. Raises ValueError for numbers that are none of a machine's.
    """
    sizes = (gear_ratio, mass_kg, friction_coefficient, wheel_diameter_mm)
    if motors < 1 or not all(math.isfinite(size) and size > 0.0 for size in sizes):
        raise ValueError("motors, ratio, mass, friction and wheel diameter must be above zero")
    if not 0.0 < efficiency <= 1.0 or not 0.0 < driven_share <= 1.0:
        raise ValueError("efficiency and the driven share of the weight lie above 0 and at most at 1")
    force = traction_force_n(friction_coefficient, mass_kg * driven_share)
    torque = force * wheel_diameter_mm / 2000.0 / (motors * gear_ratio * efficiency)
    return WheelSlip(
        traction_force_n=force,
        motor_torque_n_m=torque,
        current_per_motor_a=operating_point(curve, torque).current_a,
        free_speed_m_s=ground_speed_m_s(curve.free_speed_rpm, gear_ratio, wheel_diameter_mm),
    )
