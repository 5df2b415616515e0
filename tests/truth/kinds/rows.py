"""Kinds of printed rows: fits, bearings, motors, sheets and rules of the trade, each against what gearplate
holds of it. A row of a table is an example of these kinds (see run.py)."""

from __future__ import annotations

import functools
import math
from collections.abc import Callable
from typing import Any

from gearplate.catalog import Catalog, load_catalog, profiles_folder
from gearplate.catalog.materials import Material
from gearplate.catalog.motors import MotorCurve
from gearplate.catalog.row import Row

Result = dict[str, Any]


@functools.cache
def _catalog() -> Catalog:
    return load_catalog((profiles_folder(),))


def tolerance_grades(grade: int) -> Result:
    from gearplate.shop.fits import grade_um

    return {f"up_to_{end}_mm": grade_um(float(end), grade) for end in (3, 6, 10, 18, 30, 50, 80)}


def fit_limits_between(tolerance_class: str, over_mm: float, up_to_mm: float) -> Result:
    """The same just over the lower end, half-way, and at the upper one."""
    from gearplate.shop.fits import limits

    found = [limits(nominal, tolerance_class) for nominal in (over_mm + 0.001, 0.5 * (over_mm + up_to_mm), up_to_mm)]
    return {"lower": _one({one.lower_um for one in found}), "upper": _one({one.upper_um for one in found})}


def outer_ring_between(over_mm: float, up_to_mm: float) -> Result:
    from gearplate.shop.fits import outer_ring

    found = [outer_ring(outside) for outside in (over_mm + 0.001, 0.5 * (over_mm + up_to_mm), up_to_mm)]
    return {"lower": _one({one.lower_um for one in found}), "upper": _one({one.upper_um for one in found})}


def _one(values: set[float]) -> float:
    (value,) = values
    return value


def bearing_row(designation: str) -> Result:
    """Sizes in mm and ratings in kN of a bearing of the shipped table."""
    found = _catalog().bearing(designation)
    told: Result = {"bore_mm": found.bore.across_mm, "outside_mm": found.outside_mm, "width_mm": found.width_mm}
    if found.flange is not None:
        told |= {
            "flange_outside_mm": found.flange.diameter_mm,
            "flange_thickness_mm": found.flange.thickness_mm,
            "flange_outside_in": found.flange.diameter_mm / 25.4,
            "flange_thickness_in": found.flange.thickness_mm / 25.4,
        }
    if found.dynamic_n is not None and found.static_n is not None:
        told |= {"dynamic_kn": found.dynamic_n / 1000.0, "static_kn": found.static_n / 1000.0}
    return told


def motor_from_four_numbers(
    nominal_voltage_v: float,
    free_speed_rpm: float,
    stall_torque_n_m: float,
    stall_current_a: float,
    free_current_a: float,
    name: str = "",
) -> Result:
    """What follows from the four numbers of a motor."""
    from gearplate.drive.motor_line import constants

    found = constants(MotorCurve(nominal_voltage_v, free_speed_rpm, stall_torque_n_m, stall_current_a, free_current_a))
    return {
        "resistance_ohm": found.resistance_ohm,
        "kt_n_m_per_a": found.kt_n_m_per_a,
        "peak_power_w": found.peak_power_w,
        "max_efficiency": found.max_efficiency,
    }


_SHEETS = {
    "pom_h": "acetal-6mm",
    "pom_c": "acetal-6mm",
    "cast_acrylic": "acrylic-6mm",
    "birch_plywood": "birch-ply-6mm",
    "mdf": "mdf-6mm",
    "polycarbonate": "polycarbonate-6mm",
    "aluminium_5052_6061": "aluminium-6mm",
}


def sheet_property(material: str, property: str, low: float, high: float) -> Result:
    """Whether what the shipped sheet says holds the printed span (a sheet sold as either of two kinds holds both)."""
    ours = _property(_catalog().material(_SHEETS[material]), property)
    room = 1e-9 * max(abs(high), 1e-6)
    return {"holds": ours[0] <= low + room and ours[1] >= high - room, "ours": list(ours)}


def _property(sheet: Material, name: str) -> tuple[float, float]:
    spans: dict[str, tuple[Any, float]] = {
        "density_kg_m3": (sheet.density_kg_m3, 1.0),
        "youngs_modulus_gpa": (sheet.youngs_modulus_gpa, 1.0),
        "cte_1e_6_per_k": (sheet.cte_per_k, 1e6),
        "moisture_swelling_percent": (sheet.moisture_swelling_percent, 1.0),
        "bearing_stress_suggested_mpa": (sheet.bearing_stress_mpa, 1.0),
    }
    span, factor = spans[name]
    return factor * span.low, factor * span.high


def sheet_that_is_never_cut(name: str) -> Result:
    found: Row | None = _catalog().material(name)
    assert isinstance(found, Material)
    return {"never_cut": found.never_cut}


def trade_rule(rule: str) -> Result:
    """What gearplate goes by where a rule of the trade gives a figure."""
    return _RULES[rule]()


def _default(key: str) -> float:
    from gearplate.job.defaults import DEFAULTS

    value = DEFAULTS[key].value
    assert isinstance(value, float)
    return value


def _press(name: str) -> Result:
    press = _catalog().material(name).press_fit
    assert press is not None
    return {"low_mm": press.under_low_mm, "high_mm": press.under_high_mm}


def _duty(name: str) -> Result:
    from gearplate.rating.duty import Duty

    return {name: getattr(Duty(), name)}


def _minimum_pinion() -> Result:
    from gearplate.gears.limits import undercut_limit_teeth

    return {"low": math.floor(float(undercut_limit_teeth(math.radians(20.0))))}


def _screw_edge() -> Result:
    from gearplate.checks.webs import SCREW_EDGE

    return {"low": SCREW_EDGE}


def _plastic_web() -> Result:
    from gearplate.checks.webs import PLASTIC_MM

    return {"low_mm": PLASTIC_MM}


def _line_spacing() -> Result:
    from gearplate.checks.webs import BURNT_MM

    return {"low_mm": BURNT_MM}


def _contact_ratio() -> Result:
    from gearplate.checks.rules.meshes import GOOD_CONTACT

    return {"low": GOOD_CONTACT}


def _added_centre() -> Result:
    from gearplate.checks.rules.meshes import LEAST_ADDED_MM

    return {"low_mm": LEAST_ADDED_MM, "usual_mm": _default("added_centre")}


def _linear_backlash() -> Result:
    """Of a pair without shift, over a vanishing added distance."""
    from gearplate.gears.play.pair import Pair

    pair = Pair(30, 60, 1.0, math.radians(20.0))
    return {"factor": pair.backlash_mm(45.0 + 1e-6, 0.0) / 1e-6}


def _two_chains() -> Result:
    from gearplate.drive.chain import chain_in_tube

    inside = 25.4 * 1.75, 25.4 * 1.25
    chain = _catalog().chain_row("25")
    found = chain_in_tube(chain.pitch_mm, *inside, chain.overall_width_mm, strands=2)
    return {"largest_teeth": found.largest_teeth, "fits": found.width_spare_mm >= 0.0}


def _ground() -> Result:
    from gearplate.shop.practice import ground_clearance_mm

    return {"clearance_in": ground_clearance_mm(4 * 25.4, 25.4) / 25.4}


def _larger_wheel() -> Result:
    from gearplate.shop.practice import motor_over_wheel_mm

    return {"extra_in": (motor_over_wheel_mm(5 * 25.4, 64.0, 3.0) - motor_over_wheel_mm(4 * 25.4, 64.0, 3.0)) / 25.4}


_RULES: dict[str, Callable[[], Result]] = {
    "edge_distance": _screw_edge,
    "web": _plastic_web,
    "line_spacing": _line_spacing,
    "added_centre": _added_centre,
    "backlash_linear": _linear_backlash,
    "press_fit_acetal": lambda: _press("acetal-6mm"),
    "press_fit_wood": lambda: _press("birch-ply-6mm"),
    "traction": lambda: _duty("friction"),
    "gear_speed_loss": lambda: _duty("stage_efficiency"),
    "ground_clearance": _ground,
    "rail_two_chains": _two_chains,
    "five_inch_wheel": _larger_wheel,
    "wheel_clearance": lambda: {"low_mm": _default("wheel.clear")},
    "gear_tip_clearance": lambda: {"low_mm": _default("clearances.gear_tip")},
    "min_pinion": _minimum_pinion,
    "contact_ratio": _contact_ratio,
}

KINDS: dict[str, Callable[..., Result]] = {
    "tolerance_grades": tolerance_grades,
    "fit_limits_between": fit_limits_between,
    "outer_ring_between": outer_ring_between,
    "bearing_row": bearing_row,
    "motor_from_four_numbers": motor_from_four_numbers,
    "sheet_property": sheet_property,
    "sheet_that_is_never_cut": sheet_that_is_never_cut,
    "trade_rule": trade_rule,
}
