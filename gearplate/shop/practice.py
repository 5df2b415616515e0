"""Trade practice in plain sums that several rooms need. All lengths in mm."""

from __future__ import annotations


def edge_from_centre_mm(hole_diameter_mm: float, factor: float) -> float:
    """Least distance from a loaded screw hole's centre to an edge: factor times its diameter.

    1.5 diameters, 2 where the load pulls toward the edge (bolted-joint guides); bearing bores go by thickness instead.
    """
    return factor * hole_diameter_mm


def web_to_edge_mm(hole_diameter_mm: float, factor: float) -> float:
    """Least material between that hole's wall and the edge."""
    return edge_from_centre_mm(hole_diameter_mm, factor) - hole_diameter_mm / 2


def ground_clearance_mm(wheel_diameter_mm: float, axle_from_bottom_mm: float) -> float:
    """Height over the floor of something whose lowest point lies axle_from_bottom_mm under the axle (geometry)."""
    return wheel_diameter_mm / 2 - axle_from_bottom_mm


def motor_over_wheel_mm(wheel_diameter_mm: float, motor_diameter_mm: float, gap_mm: float) -> float:
    """Height of a motor's axis straight over the axle that leaves gap_mm between motor and wheel (geometry)."""
    return (wheel_diameter_mm + motor_diameter_mm) / 2 + gap_mm
