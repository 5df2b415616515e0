"""Forces, stresses and growth that are one division or product each. N, mm, MPa, K."""

from __future__ import annotations

import math


def mesh_force_n(torque_n_mm: float, pitch_diameter_mm: float, pressure_angle_rad: float) -> tuple[float, float]:
    """Tangential force 2 T / d and the whole tooth force along the line of action, Ft / cos a (N).

    Raises ValueError for a diameter not above zero.
    """
    if not pitch_diameter_mm > 0.0:
        raise ValueError("the pitch diameter must be above zero")
    tangential = 2.0 * torque_n_mm / pitch_diameter_mm
    return tangential, tangential / math.cos(pressure_angle_rad)


def bearing_stress_mpa(force_n: float, diameter_mm: float, thickness_mm: float) -> float:
    """Force over the projected area of a hole's wall, F / (d t): MPa. Raises ValueError for an area not above zero."""
    if not min(diameter_mm, thickness_mm) > 0.0:
        raise ValueError("diameter and thickness must be above zero")
    return force_n / (diameter_mm * thickness_mm)


def thermal_growth_mm(length_mm: float, cte_per_k: float, delta_k: float) -> float:
    """Growth of a length, L a dT; negative where it cools."""
    return length_mm * cte_per_k * delta_k
