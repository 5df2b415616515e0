"""Kinds of worked examples of spur-gear geometry, each computed with gearplate's own functions.

Lengths may be given in mm or inches (`centre_distance_mm`, `centre_distance_in`), tooth size as module or diametral
pitch; every length comes back under both names.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import Any

from gearplate.gears import contact, limits, measuring, tooth, working
from gearplate.gears.involute import inv
from gearplate.gears.mesh import mesh

Given = dict[str, Any]
Result = dict[str, Any]

MM_PER_INCH = 25.4


def _length(given: Given, name: str) -> float | None:
    if f"{name}_mm" in given:
        return float(given[f"{name}_mm"])
    if f"{name}_in" in given:
        return float(given[f"{name}_in"]) * MM_PER_INCH
    return None


def _needed(given: Given, *names: str) -> float:
    for name in names:
        value = _length(given, name)
        if value is not None:
            return value
    raise KeyError(f"{names[0]}_mm or {names[0]}_in")


def _module(given: Given) -> float:
    for name in ("diametral_pitch_per_in", "diametral_pitch"):
        if name in given:
            return MM_PER_INCH / float(given[name])
    return _needed(given, "module")


def _angle(given: Given) -> float:
    return math.radians(given.get("pressure_angle_deg", 20.0))


def _gear(given: Given, teeth: str = "z", shift: str = "x", tip_mm: float | None = None) -> tooth.GearSizes:
    return tooth.gear_sizes(
        given[teeth],
        _module(given),
        _angle(given),
        given.get(shift, 0.0),
        _length(given, "tooth_thinning") or 0.0,
        tip_mm,
    )


def _pair(given: Given, tip_1: float | None = None, tip_2: float | None = None) -> tuple[tooth.GearSizes, ...]:
    return _gear(given, "z1", "x1", tip_1), _gear(given, "z2", "x2", tip_2)


def _result(**values: Any) -> Result:
    """Plain numbers, and each length in inches too."""
    plain = {k: float(v) if hasattr(v, "dtype") else v for k, v in values.items()}
    inches = {k[:-3] + "_in": v / MM_PER_INCH for k, v in plain.items() if k.endswith("_mm")}
    return {**plain, **inches}


def _up(value: float) -> float:
    return math.ceil(value - 1e-9) if math.isfinite(value) else value


def _down(value: float) -> float:
    return math.floor(value + 1e-9) if math.isfinite(value) else value


def profile_shift_pair(**given: Any) -> Result:
    """Zero-backlash pair with its tips shortened so that the standard tip clearance stays."""
    z1, z2, m, a = given["z1"], given["z2"], _module(given), _angle(given)
    x1, x2 = given.get("x1", 0.0), given.get("x2", 0.0)
    standard = float(working.standard_centre_mm(z1, z2, m))
    centre = float(working.working_centre_mm(z1, z2, m, a, x1, x2))
    increment = (centre - standard) / m
    tips = [
        2.0 * float(working.clearance_keeping_tip_radius_mm(z, mate_shift, m, increment))
        for z, mate_shift in ((z1, x2), (z2, x1))
    ]
    found = mesh(
        z1,
        z2,
        module_mm=m,
        pressure_angle_deg=math.degrees(a),
        x1=x1,
        x2=x2,
        tip_diameter_1_mm=tips[0],
        tip_diameter_2_mm=tips[1],
    )
    one, two = _pair(given, *tips)
    aw = math.radians(found.working_pressure_angle_deg)
    return _result(
        inv_working=inv(aw),
        working_pressure_angle_deg=found.working_pressure_angle_deg,
        sum_profile_shift=x1 + x2,
        centre_distance_increment_factor=increment,
        standard_centre_distance_mm=standard,
        centre_distance_mm=found.centre_mm,
        ratio=z2 / z1,
        base_pitch_mm=one.base_pitch_mm,
        reference_diameter_1_mm=one.reference_diameter_mm,
        reference_diameter_2_mm=two.reference_diameter_mm,
        base_diameter_1_mm=one.base_diameter_mm,
        base_diameter_2_mm=two.base_diameter_mm,
        working_pitch_diameter_1_mm=one.base_diameter_mm / math.cos(aw),
        working_pitch_diameter_2_mm=two.base_diameter_mm / math.cos(aw),
        addendum_1_mm=one.nominal_tip_radius_mm - one.reference_radius_mm,
        addendum_2_mm=two.nominal_tip_radius_mm - two.reference_radius_mm,
        dedendum_1_mm=one.reference_radius_mm - one.root_radius_mm,
        dedendum_2_mm=two.reference_radius_mm - two.root_radius_mm,
        whole_depth_mm=one.nominal_tip_radius_mm - one.root_radius_mm,
        tip_diameter_1_mm=one.tip_diameter_mm,
        tip_diameter_2_mm=two.tip_diameter_mm,
        root_diameter_1_mm=one.root_diameter_mm,
        root_diameter_2_mm=two.root_diameter_mm,
        tooth_thickness_1_mm=one.reference_thickness_mm,
        tooth_thickness_2_mm=two.reference_thickness_mm,
        bottom_clearance_1_mm=found.centre_mm - one.root_radius_mm - two.nominal_tip_radius_mm,
        bottom_clearance_2_mm=found.centre_mm - two.root_radius_mm - one.nominal_tip_radius_mm,
        contact_ratio=found.contact_ratio_formula,
    )


def sum_shift_from_centre(**given: Any) -> Result:
    z1, z2, m, a = given["z1"], given["z2"], _module(given), _angle(given)
    centre = _needed(given, "centre_distance")
    aw = float(working.pressure_angle_at_centre_rad(z1, z2, m, a, centre))
    return _result(
        working_pressure_angle_deg=math.degrees(aw),
        inv_working=inv(aw),
        sum_profile_shift=working.shift_sum_for_centre(z1, z2, m, a, centre),
        standard_centre_distance_mm=working.standard_centre_mm(z1, z2, m),
        centre_distance_increment_factor=(centre - working.standard_centre_mm(z1, z2, m)) / m,
        working_pitch_diameter_1_mm=2.0 * centre * z1 / (z1 + z2),
        working_pitch_diameter_2_mm=2.0 * centre * z2 / (z1 + z2),
    )


def _opened(**given: Any) -> Result:
    """Unshifted pair whose centre distance is more (or less) than the standard one."""
    z1, z2, m, a = given["z1"], given["z2"], _module(given), _angle(given)
    standard = float(working.standard_centre_mm(z1, z2, m))
    added = _length(given, "extra_centre_distance")
    centre = standard + added if added is not None else _needed(given, "operating_centre_distance", "centre_distance")
    found = mesh(z1, z2, module_mm=m, pressure_angle_deg=math.degrees(a), centre_mm=centre)
    one, two = _pair(given)
    operating_1, operating_2 = centre * z1 / (z1 + z2), centre * z2 / (z1 + z2)
    linear = 2.0 * (centre - standard) * math.tan(a)
    return _result(
        standard_centre_distance_mm=standard,
        operating_centre_distance_mm=centre,
        circular_pitch_mm=math.pi * m,
        base_pitch_mm=one.base_pitch_mm,
        base_radius_1_mm=one.base_radius_mm,
        base_radius_2_mm=two.base_radius_mm,
        operating_pressure_angle_deg=found.working_pressure_angle_deg,
        operating_pitch_radius_1_mm=operating_1,
        operating_pitch_radius_2_mm=operating_2,
        contact_ratio=found.contact_ratio_formula,
        circular_backlash_exact_mm=found.backlash_operating_mm,
        circular_backlash_linear_mm=linear,
        normal_backlash_exact_mm=found.backlash_normal_mm,
        backlash_exact_mm=found.backlash_operating_mm,
        backlash_linear_mm=linear,
        gear_1_free_play_deg=math.degrees(found.backlash_operating_mm / operating_1),
        gear_2_free_play_deg=math.degrees(found.backlash_operating_mm / operating_2),
    )


def standard_pair(**given: Any) -> Result:
    z1, z2 = given["z1"], given["z2"]
    one, two = _pair(given)
    m = float(one.module_mm)
    centre = working.standard_centre_mm(z1, z2, m)
    path = contact.textbook_path(one, two, centre)
    return _result(
        pitch_diameter_1_mm=one.reference_diameter_mm,
        pitch_diameter_2_mm=two.reference_diameter_mm,
        centre_distance_mm=centre,
        outside_diameter_1_mm=one.tip_diameter_mm,
        outside_diameter_2_mm=two.tip_diameter_mm,
        root_diameter_1_mm=one.root_diameter_mm,
        root_diameter_2_mm=two.root_diameter_mm,
        base_diameter_1_mm=one.base_diameter_mm,
        base_diameter_2_mm=two.base_diameter_mm,
        circular_pitch_mm=math.pi * m,
        tooth_thickness_mm=one.reference_thickness_mm,
        addendum_mm=one.nominal_tip_radius_mm - one.reference_radius_mm,
        dedendum_mm=one.reference_radius_mm - one.root_radius_mm,
        whole_depth_mm=one.nominal_tip_radius_mm - one.root_radius_mm,
        clearance_mm=centre - one.nominal_tip_radius_mm - two.root_radius_mm,
        base_pitch_mm=one.base_pitch_mm,
        length_of_action_mm=path.length_mm,
        contact_ratio=path.contact_ratio,
        module_mm=m,
        diametral_pitch_per_in=MM_PER_INCH / m,
        ratio=z2 / z1,
    )


def path_of_contact(**given: Any) -> Result:
    m = _module(given)
    addendum_1 = _length(given, "addendum_1")
    addendum_2 = _length(given, "addendum_2")
    each = _length(given, "addendum") or given.get("addendum_coeff", 1.0) * m
    one, two = _pair(
        given,
        given["z1"] * m + 2.0 * (each if addendum_1 is None else addendum_1),
        given["z2"] * m + 2.0 * (each if addendum_2 is None else addendum_2),
    )
    centre = _length(given, "centre_distance")
    if centre is None:
        centre = float(working.standard_centre_mm(given["z1"], given["z2"], m))
    path = contact.textbook_path(one, two, centre)
    return _result(
        path_of_approach_mm=path.approach_mm,
        path_of_recess_mm=path.recess_mm,
        path_of_contact_mm=path.length_mm,
        arc_of_contact_mm=path.arc_mm,
        contact_ratio=path.contact_ratio,
        base_pitch_mm=one.base_pitch_mm,
        pinion_angle_deg=math.degrees(path.angle_1_rad),
        gear_angle_deg=math.degrees(path.angle_2_rad),
        sliding_to_rolling_at_engagement=path.sliding_at_engagement,
        sliding_to_rolling_at_disengagement=path.sliding_at_disengagement,
    )


def undercut_limit(**given: Any) -> Result:
    limit = float(limits.undercut_limit_teeth(_angle(given), given.get("addendum_coeff", 1.0)))
    return _result(z_limit=limit, z_min_whole=_up(limit))


def min_profile_shift(**given: Any) -> Result:
    return _result(x_min=limits.least_shift(given["z"], _angle(given), given.get("addendum_coeff", 1.0)))


def interference_limits(**given: Any) -> Result:
    a, k = _angle(given), given.get("addendum_coeff", 1.0)
    equal = float(limits.least_pinion_teeth(1.0, a, k))
    rack = float(limits.least_pinion_with_rack_teeth(a, k))
    values = {"min_equal_pair": equal, "min_pinion_with_rack": rack}
    whole = {"min_equal_pair_whole": _up(equal), "min_pinion_with_rack_whole": _up(rack)}
    if "ratio" in given:
        at_ratio = float(limits.least_pinion_teeth(given["ratio"], a, k))
        values["min_pinion_at_ratio"], whole["min_pinion_at_ratio_whole"] = at_ratio, _up(at_ratio)
    if "pinion_teeth" in given:
        largest = float(limits.largest_gear_teeth(given["pinion_teeth"], a, k))
        values["largest_gear"], whole["largest_gear_whole"] = largest, _down(largest)
    return _result(**values, **whole)


def span(**given: Any) -> Result:
    gear = _gear(given)
    count = given.get("teeth_spanned", int(measuring.usual_span_teeth(gear)))
    return _result(
        teeth_spanned=count,
        span_mm=measuring.span_mm(gear, count),
        base_pitch_mm=gear.base_pitch_mm,
        contact_diameter_mm=measuring.span_contact_diameter_mm(gear, count),
    )


def over_pins(**given: Any) -> Result:
    found = measuring.over_pins(_gear(given), _needed(given, "pin_diameter"))
    return _result(
        pin_pressure_angle_deg=math.degrees(found.pressure_angle_rad),
        over_pins_mm=found.over_pins_mm,
        contact_diameter_mm=found.contact_diameter_mm,
    )


def chordal(**given: Any) -> Result:
    found = measuring.chordal_thickness(_gear(given, tip_mm=_length(given, "tip_diameter")))
    return _result(
        tooth_thickness_mm=found.tooth_thickness_mm,
        half_angle_deg=math.degrees(found.half_angle_rad),
        chordal_thickness_mm=found.chordal_thickness_mm,
        chordal_height_mm=found.chordal_height_mm,
    )


def tip_thickness(**given: Any) -> Result:
    gear = _gear(given, tip_mm=_length(given, "tip_diameter"))
    thickness = float(tooth.tip_thickness_mm(gear))
    return _result(
        tip_diameter_mm=gear.tip_diameter_mm,
        tip_pressure_angle_deg=math.degrees(tooth.pressure_angle_at(gear, gear.nominal_tip_radius_mm)),
        tip_thickness_mm=thickness,
        tip_thickness_over_module=thickness / float(gear.module_mm),
    )


def consistency(**given: Any) -> Result:
    """Identities: the working circles from the base circles must add up to the centre distance, and so on."""
    z1, z2, m, a = given["z1"], given["z2"], _module(given), _angle(given)
    centre = _needed(given, "centre_distance")
    one, two = _pair(given)
    cosine = math.cos(working.pressure_angle_at_centre_rad(z1, z2, m, a, centre))
    working_1, working_2 = one.base_radius_mm / cosine, two.base_radius_mm / cosine
    return _result(
        sum_working_pitch_radii_minus_centre_mm=working_1 + working_2 - centre,
        a_cos_aw_minus_a0_cos_alpha_mm=centre * cosine - working.standard_centre_mm(z1, z2, m) * math.cos(a),
        base_pitch_mm=one.base_pitch_mm,
        working_circular_pitch_times_cos_aw_mm=2.0 * math.pi * working_1 / z1 * cosine,
    )


def train(**given: Any) -> Result:
    """Stages as [diametral pitch, driver, driven]; `stages_metric` or a `unit` of "mm": [module, driver, driven]."""
    metric = given.get("unit") == "mm" or "stages_metric" in given
    values: Result = {}
    ratio = 1.0
    for number, (size, z1, z2) in enumerate(given.get("stages", given.get("stages_metric")), 1):
        m = size if metric else MM_PER_INCH / size
        values[f"centre_distance_{number}_mm"] = working.standard_centre_mm(z1, z2, m)
        values[f"ratio_{number}"] = z2 / z1
        ratio *= z2 / z1
    return _result(**values, overall_ratio=ratio)


KINDS: dict[str, Callable[..., Result]] = {
    "gear_profile_shift_pair": profile_shift_pair,
    "gear_sum_shift_from_centre": sum_shift_from_centre,
    "gear_extended_centre_dp": _opened,
    "gear_backlash_from_centre": _opened,
    "gear_standard_pair_dp": standard_pair,
    "gear_path_of_contact": path_of_contact,
    "gear_undercut_limit": undercut_limit,
    "gear_min_profile_shift": min_profile_shift,
    "gear_interference": interference_limits,
    "gear_span": span,
    "gear_over_pins": over_pins,
    "gear_chordal_thickness": chordal,
    "gear_tip_thickness": tip_thickness,
    "gear_consistency": consistency,
    "gear_train": train,
}
