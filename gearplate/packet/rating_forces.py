"""Where the forces of the strength table come from, step by step, so that each can be reckoned again by hand."""

from __future__ import annotations

import math
from typing import Any

from gearplate.packet.columns import wrapped

GRAVITY = 9.80665  # m/s2, by definition


def forces_lines(data: dict[str, Any], width: int) -> list[str]:
    """From motors and floor through the meshes to the bearings."""
    duty = {one["key"]: one["value"] for one in data["duty"]}
    lines = ["Where the forces come from:"]
    for text in (_grip(data, duty), *_motors(data, duty), *map(_mesh, _unlike(data["forces"]["meshes"]))):
        lines += wrapped(text, width, "  ", "    ")
    lines += wrapped(
        "On the shafts, in N: x forward, y up, z in mm from the outboard plate's outer face toward the wheel; in each "
        "case of those that rule above. What lacks between a shaft's torques is lost in its stage.",
        width,
    )
    for case in data["forces"]["shafts"]:
        lines += wrapped(_case(case), width, "  ", "    ")
    return lines


def _grip(data: dict[str, Any], duty: dict[str, float]) -> str:
    grip, wheel = data["loads"]["wheels_grip_n_m"], data["wheel_diameter_mm"] / 1000.0
    return (
        f"Grip: friction x mass x driven_share x g / gearboxes x wheel / 2 = {duty['friction']:g} x "
        f"{duty['mass_kg']:g} kg x {duty['driven_share']:g} x {GRAVITY} m/s2 / {duty['gearboxes']:g} x {wheel:.4g} m "
        f"/ 2 = {grip:.3g} N m. Each wheel carries mass x g / wheels = {data['loads']['wheel_weight_n']:.0f} N at rest."
    )


def _motors(data: dict[str, Any], duty: dict[str, float]) -> list[str]:
    """Equal motors once. The line of a motor after any text on DC motors."""
    stages = max(mesh["stage"] for mesh in data["forces"]["meshes"])
    alike: dict[tuple[object, ...], list[dict[str, Any]]] = {}
    for motor in data["loads"]["motors"]:
        curve = motor["curve"] or {}
        alike.setdefault((*curve.values(), motor["ratio"], motor["limit_n_m"]), []).append(motor)
    told = []
    for group in alike.values():
        one, curve = group[0], group[0]["curve"]
        if curve is None:
            continue
        stall, most = curve["stall_torque_n_m"], curve["stall_current_a"]
        free, passed = curve["free_current_a"], duty["breaker_a"] * duty["breaker_over"]
        names = ", ".join(motor["name"] for motor in group)
        if one["limited_by"] == "breaker":
            why = (
                f"the breaker passes {duty['breaker_a']:g} x {duty['breaker_over']:g} = {passed:g} A, so that of "
                f"{stall:g} N m at stall ({passed:g} - {free:g}) / ({most:g} - {free:g}) = {one['limit_n_m']:.3g} N m"
            )
        else:
            why = f"stalls at {stall:g} N m, {most:g} A, which the breaker's {passed:g} A let through"
        told.append(
            f"{names}: {why}; on the output times {one['ratio']:.4g} and {duty['stage_efficiency']:g}^{stages} = "
            f"{one['limit_n_m'] * one['ratio'] * duty['stage_efficiency'] ** stages:.3g} N m each. In the hardest push "
            f"{one['torque_n_m']:.3g} N m at {one['speed_rpm']:.0f} of {curve['free_speed_rpm']:g} rev/min."
        )
    return told


def _unlike(meshes: list[dict[str, Any]]) -> list[dict[str, Any]]:
    """Meshes of equal motors once, with the motors' names."""
    found: dict[tuple[object, ...], dict[str, Any]] = {}
    for mesh in meshes:
        key = mesh["stage"], mesh["driver_teeth"], mesh["driven_shaft"], round(mesh["whole_n"], 1)
        if key in found and mesh["driver_shaft"].startswith("M"):
            found[key] = {**found[key], "driver_shaft": f"{found[key]['driver_shaft']}, {mesh['driver_shaft']}"}
        else:
            found[key] = mesh
    return list(found.values())


def _mesh(mesh: dict[str, Any]) -> str:
    name = f"{mesh['driver_shaft']} {mesh['driver_teeth']}T on {mesh['driven_shaft']} {mesh['driven_teeth']}T"
    if mesh["base_diameter_mm"] is None:
        return f"{name}: no force"
    return (
        f"{name}: {mesh['torque_n_m']:.4g} N m over half the base circle, {mesh['base_diameter_mm']:.2f} mm, is "
        f"{mesh['whole_n']:.0f} N along the line of action; x cos {mesh['working_pressure_angle_deg']:.2f} deg = "
        f"{mesh['tangential_n']:.0f} N tangential"
    )


def _case(case: dict[str, Any]) -> str:
    acting = [
        f"{push['what']} at z {push['z_mm']:.1f} ({push['x_n']:+.0f}, {push['y_n']:+.0f}) with "
        f"{push['torque_n_m']:+.3g} N m"
        for push in case["pushes"]
    ]
    if case["couple"] is not None:
        acting.append(
            f"{case['axial_n']:.0f} N sideways at the wheel's rim (scrub x friction x its load), a moment of "
            f"{case['couple']['n_mm'] / 1000.0:+.3g} N m at z {case['couple']['z_mm']:.1f}"
        )
    held = [
        f"{one['name']} at z {one['z_mm']:.1f} ({one['x_n']:+.0f}, {one['y_n']:+.0f}), "
        f"{math.hypot(one['x_n'], one['y_n']):.0f} in all"
        for one in case["supports"]
    ]
    return f"{case['shaft']}, {case['load_case']}, {case['way']}: {'; '.join(acting)}. Held by {'; '.join(held)}."
