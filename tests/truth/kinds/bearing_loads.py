"""Kinds of worked examples of bearings and plain stresses: life, equivalent load, a gear between two plates."""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import Any

from gearplate.rating import bearing_life as life
from gearplate.rating.beam import Beam
from gearplate.rating.plain_sums import bearing_stress_mpa, mesh_force_n, thermal_growth_mm

Given = dict[str, Any]
Result = dict[str, Any]

EXPONENTS = {"ball": life.BALL_EXPONENT, "roller": life.ROLLER_EXPONENT}


def _exponent(given: Given) -> float:
    for name in ("exponent", "life_exponent", "p"):
        if name in given:
            return float(given[name])
    return EXPONENTS[given.get("bearing_type", given.get("type", "ball"))]


def _factor(given: Given) -> float:
    if "reliability_percent" in given:
        return life.reliability_factor(given["reliability_percent"])
    if "reliability" in given:  # as a part of one
        return life.reliability_factor(100 * given["reliability"])
    return float(given.get("a1", given.get("life_factor", 1.0)))


def _lives(given: Given, load_n: float) -> Result:
    basic = life.life_million_turns(given["c_n"], load_n, _exponent(given))
    values: Result = {
        "life_million_rev": basic * _factor(given),
        "basic_life_million_rev": basic,
        "adjusted_life_million_rev": basic * _factor(given),
        "a1": _factor(given),
    }
    if "speed_rpm" in given:
        values["life_h"] = life.hours(values["life_million_rev"], given["speed_rpm"])
        values["adjusted_life_h"] = values["life_h"]
        values["basic_life_h"] = life.hours(basic, given["speed_rpm"])
    return values


def bearing_life(**given: Any) -> Result:
    """C, P and speed to life; without C the rating that a wanted life needs."""
    if "c_n" in given:
        return _lives(given, given["p_n"])
    millions = given.get("life_million_rev")
    if millions is None:
        millions = given["life_h"] * 60 * given["speed_rpm"] / 1e6
    needed = life.needed_dynamic_n(millions / _factor(given), given["p_n"], _exponent(given))
    return {"life_million_rev": millions, "c_n": needed, "c_required_n": needed, "required_c_n": needed}


def bearing_equivalent_life(**given: Any) -> Result:
    found = life.equivalent_load(
        given["radial_n"],
        given.get("axial_n", 0.0),
        given.get("c0_n"),
        given.get("x_factor"),
        given.get("y_factor"),
        given.get("rotation_factor", given.get("v_factor", 1.0)),
        given.get("f0"),
    )
    values: Result = {"equivalent_load_n": found.load_n, "x_factor": found.x, "y_factor": found.y, "e": found.e}
    if "c0_n" in given:
        static = life.static_load_n(given["radial_n"], given.get("axial_n", 0.0))
        values.update(static_load_n=static, static_safety=life.static_safety(given["c0_n"], static))
    load = found.load_n * given.get("load_factor", given.get("service_factor", 1.0))
    return values | _lives(given, load) if "c_n" in given else values


def gear_shaft_bearing_load(**given: Any) -> Result:
    """A gear on a shaft between two plates, `distance_to_a_mm` from plate A; the life is that of the worse bearing."""
    tangential, whole = mesh_force_n(
        1000 * given["torque_n_m"], given["pitch_diameter_mm"], math.radians(given.get("pressure_angle_deg", 20.0))
    )
    a, b = Beam(0.0, given["span_mm"], ((given["distance_to_a_mm"], -whole),)).reactions_n
    values: Result = {
        "tangential_force_n": tangential,
        "mesh_force_n": whole,
        "reaction_a_n": a,
        "reaction_b_n": b,
    }
    return values | _lives(given, max(abs(a), abs(b))) if "c_n" in given else values


def thermal_growth(length_mm: float, cte_per_k: float, delta_k: float) -> Result:
    return {"growth_mm": thermal_growth_mm(length_mm, cte_per_k, delta_k)}


def bearing_stress(force_n: float, diameter_mm: float, thickness_mm: float) -> Result:
    return {"bearing_stress_mpa": bearing_stress_mpa(force_n, diameter_mm, thickness_mm)}


KINDS: dict[str, Callable[..., Result]] = {
    "bearing_life": bearing_life,
    "bearing_equivalent_life": bearing_equivalent_life,
    "gear_shaft_bearing_load": gear_shaft_bearing_load,
    "thermal_growth": thermal_growth,
    "bearing_stress": bearing_stress,
}
