"""Kinds of worked examples of tooth strength: Lewis in both systems of units, Hertz, AGMA's I.

Any one of load, torque and power may be given where the public rows give another; a form factor that is not given is
taken from the printed table by the tooth count.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import Any

from gearplate.gears import contact_stress as contact
from gearplate.gears import lewis
from gearplate.gears.form_factor import form_factor_20

FT_PER_IN = 1 / 12
LBF_FPM_PER_HP = 33_000.0  # by definition of the horsepower
KPSI = 1000.0

Given = dict[str, Any]
Result = dict[str, Any]


def _y(given: Given) -> float:
    return float(given["form_factor"] if "form_factor" in given else form_factor_20(given["teeth"]))


def _finish(given: Given) -> lewis.Finish:
    return lewis.Finish(given.get("finish", lewis.Finish.CUT.value))


def lewis_barth_us(**given: Any) -> Result:
    """lbf, inch, psi, ft/min. With an allowable stress the load that it permits; with a load the stress."""
    pitch, face, y = given["diametral_pitch_per_in"], given["face_width_in"], _y(given)
    diameter = given["teeth"] / pitch
    speed = math.pi * diameter * given["speed_rpm"] * FT_PER_IN
    factor = float(lewis.velocity_factor_fpm(speed, _finish(given)))
    if "allowable_stress_psi" in given:
        load = float(lewis.permissible_load(given["allowable_stress_psi"], face, 1 / pitch, y, factor))
    elif "tangential_load_lbf" in given:
        load = given["tangential_load_lbf"]
    elif "torque_lbf_in" in given:
        load = 2 * given["torque_lbf_in"] / diameter
    else:
        load = given["power_hp"] * LBF_FPM_PER_HP / speed
    static = float(lewis.static_stress(load, face, 1 / pitch, y))
    return {
        "form_factor": y,
        "pitch_diameter_in": diameter,
        "pitch_line_velocity_fpm": speed,
        "velocity_factor": factor,
        "tangential_load_lbf": load,
        "power_hp": load * speed / LBF_FPM_PER_HP,
        "torque_lbf_in": load * diameter / 2,
        "static_stress_psi": static,
        "bending_stress_psi": static * factor,
    }


def lewis_barth_si(**given: Any) -> Result:
    """N, mm, MPa, m/s."""
    m, face, y = given["module_mm"], given["face_width_mm"], _y(given)
    diameter = given["teeth"] * m
    speed = float(lewis.pitch_line_speed_m_s(diameter, given["speed_rpm"]))
    factor = float(lewis.velocity_factor(speed, _finish(given)))
    if "allowable_stress_mpa" in given:
        load = float(lewis.permissible_load(given["allowable_stress_mpa"], face, m, y, factor))
    elif "tangential_load_n" in given:
        load = given["tangential_load_n"]
    elif "torque_n_m" in given:
        load = 2000 * given["torque_n_m"] / diameter
    elif "power_kw" in given:
        load = 1000 * given["power_kw"] / speed
    else:
        load = given["power_w"] / speed
    found = lewis.bending(load, face, m, y, speed, _finish(given))
    return {
        "form_factor": y,
        "pitch_diameter_mm": diameter,
        "pitch_line_velocity_m_s": speed,
        "velocity_factor": factor,
        "tangential_load_n": load,
        "torque_n_m": load * diameter / 2000,
        "power_w": load * speed,
        "power_kw": load * speed / 1000,
        "static_stress_mpa": float(found.static_stress),
        "bending_stress_mpa": float(found.stress),
    }


def lewis_static(**given: Any) -> Result:
    y = _y(given)
    if "tangential_load_lbf" in given:
        stress = lewis.static_stress(
            given["tangential_load_lbf"], given["face_width_in"], 1 / given["diametral_pitch_per_in"], y
        )
        return {"form_factor": y, "bending_stress_psi": float(stress), "bending_stress_kpsi": float(stress) / KPSI}
    stress = lewis.static_stress(given["tangential_load_n"], given["face_width_mm"], given["module_mm"], y)
    return {"form_factor": y, "bending_stress_mpa": float(stress)}


def _hertz(given: Given, force: str, length: str, pressure: str) -> Result:
    elastic = float(
        contact.elastic_coefficient(
            given[f"e_pinion_{pressure}"],
            given["nu_pinion"],
            given[f"e_gear_{pressure}"],
            given["nu_gear"],
        )
    )
    a = math.radians(given.get("pressure_angle_deg", 20.0))
    one, two = given[f"pinion_pitch_diameter_{length}"], given[f"gear_pitch_diameter_{length}"]
    stress = contact.contact_stress(
        given[f"tangential_load_{force}"],
        given[f"face_width_{length}"],
        one,
        two,
        a,
        elastic,
        given.get("velocity_factor", 1.0),
    )
    return {
        f"elastic_coefficient_sqrt_{pressure}": elastic,
        f"radius_1_{length}": float(contact.pitch_point_radius(one, a)),
        f"radius_2_{length}": float(contact.pitch_point_radius(two, a)),
        f"contact_stress_{pressure}": float(stress),
    }


def hertz_contact_us(**given: Any) -> Result:
    return _hertz(given, "lbf", "in", "psi")


def hertz_contact_si(**given: Any) -> Result:
    return _hertz(given, "n", "mm", "mpa")


def agma_geometry_i(**given: Any) -> Result:
    ratio = given["ratio"] if "ratio" in given else given["z2"] / given["z1"]
    internal = bool(given.get("internal", False))
    factor = contact.geometry_factor_i(
        ratio, math.radians(given.get("pressure_angle_deg", 20.0)), given.get("load_sharing", 1.0), internal
    )
    return {"ratio": ratio, "geometry_factor_i": float(factor)}


def form_factor(**given: Any) -> Result:
    return {"form_factor": float(form_factor_20(given["teeth"]))}


KINDS: dict[str, Callable[..., Result]] = {
    "lewis_barth_us": lewis_barth_us,
    "lewis_barth_si": lewis_barth_si,
    "lewis_static": lewis_static,
    "lewis_form_factor": form_factor,
    "hertz_contact_us": hertz_contact_us,
    "hertz_contact_si": hertz_contact_si,
    "agma_geometry_i": agma_geometry_i,
}
