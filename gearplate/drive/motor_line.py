"""The linear motor: speed and current are straight lines over torque.

n = n0 (1 - T / Ts), I = I0 + (Is - I0) T / Ts, P = T w (any text on DC motors). All four numbers hold at one voltage;
speeds, stall torque and stall current grow with the voltage, the losses at no load are taken to do so too. Several
equal motors on one gear: torques and currents add, the speed stays.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from gearplate.catalog.motors import MotorCurve

RAD_S_PER_RPM = math.pi / 30.0


@dataclass(frozen=True, slots=True)
class OperatingPoint:
    """What a motor does at one load. `efficiency` is 0 where it gives no power."""

    torque_n_m: float
    speed_rpm: float
    current_a: float
    power_out_w: float
    power_in_w: float
    efficiency: float


@dataclass(frozen=True, slots=True)
class MotorConstants:
    """What the four numbers of a motor come to.

    `resistance_ohm` = V / Is. `kt_n_m_per_a` = Ts / (Is - I0). `ke_v_s_per_rad` = (V - I0 R) / w0, in SI the same as
    kt where the four numbers fit each other. `peak_power_w` = Ts w0 / 4, at half the free speed. `max_efficiency` =
    (1 - sqrt(I0 / Is))^2, reached at the current sqrt(I0 Is); both hold where kt and ke agree.
    """

    free_speed_rad_s: float
    resistance_ohm: float
    kt_n_m_per_a: float
    ke_v_s_per_rad: float
    peak_power_w: float
    max_efficiency: float
    current_at_max_efficiency_a: float


def check_curve(curve: MotorCurve) -> None:
    """Raises ValueError where the numbers are no motor's: all above zero, the free current under the stall current."""
    positive = (curve.voltage_v, curve.free_speed_rpm, curve.stall_torque_n_m, curve.stall_current_a)
    if not all(math.isfinite(value) and value > 0.0 for value in positive):
        raise ValueError("voltage, free speed, stall torque and stall current must be above zero")
    if not 0.0 <= curve.free_current_a < curve.stall_current_a:
        raise ValueError("the free current must be from zero to under the stall current")


def at_voltage(curve: MotorCurve, voltage_v: float) -> MotorCurve:
    """The same motor at another voltage: all four numbers in proportion, so that resistance and kt stay.

    Raises ValueError for a voltage that is not above zero.
    """
    if not voltage_v > 0.0:
        raise ValueError("the voltage must be above zero")
    share = voltage_v / curve.voltage_v
    return MotorCurve(
        voltage_v,
        curve.free_speed_rpm * share,
        curve.stall_torque_n_m * share,
        curve.stall_current_a * share,
        curve.free_current_a * share,
    )


def several(curve: MotorCurve, count: int) -> MotorCurve:
    """`count` equal motors on one gear as one: torques and currents add. Raises ValueError under one motor."""
    if count < 1:
        raise ValueError("there must be one motor at least")
    return MotorCurve(
        curve.voltage_v,
        curve.free_speed_rpm,
        curve.stall_torque_n_m * count,
        curve.stall_current_a * count,
        curve.free_current_a * count,
    )


def operating_point(curve: MotorCurve, torque_n_m: float) -> OperatingPoint:
    """The motor at a load torque (N m): at no load 0, at rest the stall torque. Beyond both ends the line goes on.

    Raises ValueError where the curve is no motor's (`check_curve`).
    """
    check_curve(curve)
    share = torque_n_m / curve.stall_torque_n_m
    speed = curve.free_speed_rpm * (1.0 - share)
    current = curve.free_current_a + (curve.stall_current_a - curve.free_current_a) * share
    power_out = torque_n_m * speed * RAD_S_PER_RPM
    power_in = curve.voltage_v * current
    efficiency = power_out / power_in if power_out > 0.0 and power_in > 0.0 else 0.0
    return OperatingPoint(torque_n_m, speed, current, power_out, power_in, efficiency)


def torque_at_speed_n_m(curve: MotorCurve, speed_rpm: float) -> float:
    """Torque (N m) at a speed (rev/min): Ts (1 - n / n0)."""
    return curve.stall_torque_n_m * (1.0 - speed_rpm / curve.free_speed_rpm)


def torque_at_current_n_m(curve: MotorCurve, current_a: float) -> float:
    """Torque (N m) at a current (A): Ts (I - I0) / (Is - I0); negative under the free current."""
    return curve.stall_torque_n_m * (current_a - curve.free_current_a) / (curve.stall_current_a - curve.free_current_a)


def constants(curve: MotorCurve) -> MotorConstants:
    """Resistance, torque and speed constants, peak power and best efficiency; see MotorConstants.

    Raises ValueError where the curve is no motor's (`check_curve`).
    """
    check_curve(curve)
    free = curve.free_speed_rpm * RAD_S_PER_RPM
    resistance = curve.voltage_v / curve.stall_current_a
    return MotorConstants(
        free_speed_rad_s=free,
        resistance_ohm=resistance,
        kt_n_m_per_a=curve.stall_torque_n_m / (curve.stall_current_a - curve.free_current_a),
        ke_v_s_per_rad=(curve.voltage_v - curve.free_current_a * resistance) / free,
        peak_power_w=curve.stall_torque_n_m * free / 4.0,
        max_efficiency=(1.0 - math.sqrt(curve.free_current_a / curve.stall_current_a)) ** 2,
        current_at_max_efficiency_a=math.sqrt(curve.free_current_a * curve.stall_current_a),
    )
