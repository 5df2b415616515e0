"""A shaft on two supports: reactions, bending moments and bending lines by plain statics. N, mm, N mm."""

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


def reactions(force_n: float, distance_to_a_mm: float, span_mm: float) -> tuple[float, float]:
    """What supports A and B, `span_mm` apart, push back against a force at that distance from A toward B.

    Positive against the force. Beyond either support (a negative distance, or one over the span) the far one is pulled
    the other way and comes back negative. Raises ValueError for a span not above zero.
    """
    if not span_mm > 0.0:
        raise ValueError("the supports must be apart")
    b = force_n * distance_to_a_mm / span_mm
    return force_n - b, b
