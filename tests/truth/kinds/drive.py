"""Kinds of worked examples of the drive room: motors, grip, chain and belt."""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import Any

from gearplate.catalog.motors import MotorCurve
from gearplate.drive import belt, chain, grip
from gearplate.drive import motor_line as motor

Result = dict[str, Any]

MM_PER_INCH = 25.4


def _mm(given: dict[str, Any], name: str) -> float:
    return float(given[f"{name}_mm"]) if f"{name}_mm" in given else float(given[f"{name}_in"]) * MM_PER_INCH


def _with_inches(**values: Any) -> Result:
    return values | {key[:-3] + "_in": value / MM_PER_INCH for key, value in values.items() if key.endswith("_mm")}


def _curve(given: dict[str, Any], voltage_v: float) -> MotorCurve:
    return MotorCurve(
        voltage_v,
        given["free_speed_rpm"],
        given["stall_torque_n_m"],
        given["stall_current_a"],
        given["free_current_a"],
    )


def motor_operating_point(**given: Any) -> Result:
    """At a torque, a speed or a current. With `nominal_voltage_v` the four numbers hold there, and `voltage_v` is what
    the motor gets."""
    voltage = given["voltage_v"]
    curve = motor.at_voltage(_curve(given, given.get("nominal_voltage_v", voltage)), voltage)
    curve = motor.several(curve, given.get("motors", 1))
    if "torque_n_m" in given:
        torque = given["torque_n_m"]
    elif "speed_rpm" in given:
        torque = motor.torque_at_speed_n_m(curve, given["speed_rpm"])
    else:
        torque = motor.torque_at_current_n_m(curve, given["current_a"])
    point = motor.operating_point(curve, torque)
    return {
        "torque_n_m": torque,
        "speed_rpm": point.speed_rpm,
        "current_a": point.current_a,
        "power_out_w": point.power_out_w,
        "power_in_w": point.power_in_w,
        "efficiency": point.efficiency,
    }


def motor_constants(**given: Any) -> Result:
    found = motor.constants(_curve(given, given["voltage_v"]))
    return {
        "free_speed_rad_s": found.free_speed_rad_s,
        "resistance_ohm": found.resistance_ohm,
        "kt_n_m_per_a": found.kt_n_m_per_a,
        "ke_v_s_per_rad": found.ke_v_s_per_rad,
        "peak_power_w": found.peak_power_w,
        "max_efficiency": found.max_efficiency,
    }


def wheel_slip(**given: Any) -> Result:
    found = grip.wheel_slip(
        _curve(given, given.get("voltage_v", 12.0)),
        given["motors"],
        given["gear_ratio"],
        given.get("efficiency", 1.0),
        given["mass_kg"],
        given["friction_coefficient"],
        _mm(given, "wheel_diameter"),
        given.get("driven_share", 1.0),
    )
    return {
        "traction_force_n": found.traction_force_n,
        "motor_torque_n_m": found.motor_torque_n_m,
        "current_per_motor_a": found.current_per_motor_a,
        "free_speed_m_s": found.free_speed_m_s,
    }


def sprocket(**given: Any) -> Result:
    found = chain.sprocket(_mm(given, "pitch"), given["teeth"])
    return _with_inches(
        pitch_diameter_mm=found.pitch_diameter_mm,
        outside_diameter_mm=found.outside_diameter_mm,
        over_chain_diameter_mm=found.over_chain_diameter_mm,
    )


def chain_length(**given: Any) -> Result:
    found = chain.chain_run(_mm(given, "pitch"), given["teeth_1"], given["teeth_2"], _mm(given, "centre_distance"))
    return _with_inches(
        length_pitches=found.length_pitches,
        length_even_pitches=found.length_even_pitches,
        corrected_centre_mm=found.corrected_centre_mm,
    )


def chain_wrap(**given: Any) -> Result:
    found = chain.chain_wrap(
        _mm(given, "pitch"), given["teeth_small"], given["teeth_large"], _mm(given, "centre_distance")
    )
    return {
        "wrap_small_deg": math.degrees(found.small_rad),
        "wrap_large_deg": math.degrees(found.large_rad),
        "teeth_in_contact_small": found.teeth_small,
        "teeth_in_contact_large": found.teeth_large,
    }


def chain_slack(**given: Any) -> Result:
    return _with_inches(slack_mm=chain.slack_mm(_mm(given, "span"), given["fraction"]))


def chain_in_tube(**given: Any) -> Result:
    found = chain.chain_in_tube(
        _mm(given, "pitch"),
        _mm(given, "inside_height"),
        _mm(given, "inside_width"),
        _mm(given, "chain_overall_width"),
        given.get("strands", 1),
        _mm(given, "side_gap") if "side_gap_mm" in given or "side_gap_in" in given else 2.0,
    )
    return _with_inches(
        largest_sprocket_teeth=found.largest_teeth,
        over_chain_mm=found.over_chain_mm,
        over_chain_next_mm=found.over_chain_next_mm,
        width_needed_mm=found.width_needed_mm,
        width_spare_mm=found.width_spare_mm,
    )


def belt_pulley(**given: Any) -> Result:
    pitch, teeth = _mm(given, "pitch"), given["teeth"]
    outside = {}
    if "pitch_line_offset_mm" in given or "pitch_line_offset_in" in given:
        offset = _mm(given, "pitch_line_offset")
        outside["outside_diameter_mm"] = belt.pulley_outside_diameter_mm(pitch, teeth, offset)
    return _with_inches(pitch_diameter_mm=belt.pulley_pitch_diameter_mm(pitch, teeth), **outside)


def belt_length(**given: Any) -> Result:
    found = belt.belt_run(_mm(given, "pitch"), given["teeth_1"], given["teeth_2"], _mm(given, "centre_distance"))
    return _with_inches(
        length_approx_mm=found.length_approx_mm,
        length_exact_mm=found.length_exact_mm,
        teeth_on_belt_exact=found.teeth_exact,
    )


KINDS: dict[str, Callable[..., Result]] = {
    "motor_operating_point": motor_operating_point,
    "motor_constants": motor_constants,
    "wheel_slip": wheel_slip,
    "sprocket": sprocket,
    "chain_length": chain_length,
    "chain_wrap": chain_wrap,
    "chain_slack": chain_slack,
    "chain_in_tube": chain_in_tube,
    "belt_pulley": belt_pulley,
    "belt_length": belt_length,
}
