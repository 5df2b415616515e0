"""Worked examples of motor faces: bolt squares and circles, and where a motor stands over a wheel."""

from __future__ import annotations

from collections.abc import Callable

from gearplate.catalog.motors import circle_chord_mm, circle_points_mm, square_to_circle_mm
from gearplate.shop.practice import ground_clearance_mm, motor_over_wheel_mm


def bolt_square(side_mm: float) -> dict[str, object]:
    return {"bolt_circle_mm": square_to_circle_mm(side_mm), "half_side_mm": side_mm / 2}


def bolt_circle_points(bolt_circle_mm: float, count: int, start_deg: float = 0.0) -> dict[str, object]:
    return {
        "points_mm": [list(point) for point in circle_points_mm(bolt_circle_mm, count, start_deg)],
        "chord_mm": circle_chord_mm(bolt_circle_mm, count),
    }


def ground_clearance(
    wheel_diameter_in: float, rail_height_in: float, axle_from_rail_bottom_in: float
) -> dict[str, object]:
    """The functions work in any one unit: inches here."""
    return {
        "clearance_in": ground_clearance_mm(wheel_diameter_in, axle_from_rail_bottom_in),
        "rail_top_above_axle_in": rail_height_in - axle_from_rail_bottom_in,
    }


def motor_over_wheel(wheel_diameter_in: float, motor_diameter_in: float, gap_in: float) -> dict[str, object]:
    return {"motor_axis_above_axle_in": motor_over_wheel_mm(wheel_diameter_in, motor_diameter_in, gap_in)}


KINDS: dict[str, Callable[..., dict[str, object]]] = {
    "bolt_square": bolt_square,
    "bolt_circle_points": bolt_circle_points,
    "ground_clearance": ground_clearance,
    "motor_over_wheel": motor_over_wheel,
}
