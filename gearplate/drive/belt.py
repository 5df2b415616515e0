"""Toothed belts: pulleys and the length of an open belt. Lengths in mm (geometry)."""

from __future__ import annotations

import math
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class BeltRun:
    """An open belt: by the usual approximation, exactly, and the exact one in teeth."""

    length_approx_mm: float
    length_exact_mm: float
    teeth_exact: float


def pulley_pitch_diameter_mm(pitch_mm: float, teeth: int) -> float:
    """Pitch circle of a pulley: z p / pi. Raises ValueError without teeth."""
    if teeth < 1 or not pitch_mm > 0.0:
        raise ValueError("a pulley has teeth, and a pitch above zero")
    return teeth * pitch_mm / math.pi


def pulley_outside_diameter_mm(pitch_mm: float, teeth: int, pitch_line_offset_mm: float) -> float:
    """Outside of a pulley: the belt's cords run `pitch_line_offset_mm` above it on each side."""
    return pulley_pitch_diameter_mm(pitch_mm, teeth) - 2.0 * pitch_line_offset_mm


def belt_run(pitch_mm: float, teeth_1: int, teeth_2: int, centre_mm: float) -> BeltRun:
    """Length of an open belt on two pulleys.

    Approximately 2 C + pi (D + d) / 2 + (D - d)^2 / (4 C); exactly 2 C cos b + pi (D + d) / 2 + b (D - d) with
    sin b = (D - d) / (2 C). Raises ValueError where one pulley lies in the other.
    """
    small, large = sorted((pulley_pitch_diameter_mm(pitch_mm, teeth_1), pulley_pitch_diameter_mm(pitch_mm, teeth_2)))
    difference = large - small
    if not centre_mm > difference / 2.0:
        raise ValueError("one pulley lies within the other: there is no such drive")
    arcs = math.pi * (large + small) / 2.0
    lean = math.asin(difference / (2.0 * centre_mm))
    exact = 2.0 * centre_mm * math.cos(lean) + arcs + lean * difference
    approx = 2.0 * centre_mm + arcs + difference * difference / (4.0 * centre_mm)
    return BeltRun(approx, exact, exact / pitch_mm)
