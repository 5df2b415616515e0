"""Roller chain: sprockets, length of a run, wrap, slack, and what fits into a tube. Lengths in mm.

Sprockets after ASME B29.1; the length of a run is the chain makers' formula, which takes the pitch polygon for a
circle of N P / pi and is a little short on large differences of size.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

LINK_HEIGHT_PITCHES = 0.95  # greatest height of an inner link plate over the pitch (ASME B29.1)
_ROUNDING = 1e-9  # a length that is whole but for rounding is whole


@dataclass(frozen=True, slots=True)
class Sprocket:
    """A sprocket: pitch circle, outside of its teeth, and outside of the chain that lies on it."""

    pitch_diameter_mm: float
    outside_diameter_mm: float
    over_chain_diameter_mm: float


@dataclass(frozen=True, slots=True)
class ChainRun:
    """A run of two sprockets: length in pitches at the wanted centres, the whole even length that is not shorter,
    and the centre distance at which that one is straight."""

    length_pitches: float
    length_even_pitches: int
    corrected_centre_mm: float


@dataclass(frozen=True, slots=True)
class Wrap:
    """Where a chain or belt lies on two sprockets: angle and teeth in contact on each."""

    small_rad: float
    large_rad: float
    teeth_small: float
    teeth_large: float


@dataclass(frozen=True, slots=True)
class TubeRun:
    """Chain in a tube. `largest_teeth` 0: none fits. `width_spare_mm` negative: the strands do not fit."""

    largest_teeth: int
    over_chain_mm: float
    over_chain_next_mm: float
    width_needed_mm: float
    width_spare_mm: float


def pitch_diameter_mm(pitch_mm: float, teeth: int) -> float:
    """Circle through the chain's joints: P / sin(180 deg / N). Raises ValueError under 3 teeth."""
    if teeth < 3 or not pitch_mm > 0.0:
        raise ValueError("a sprocket has three teeth or more, and a pitch above zero")
    return pitch_mm / math.sin(math.pi / teeth)


def sprocket(pitch_mm: float, teeth: int) -> Sprocket:
    """Sizes of a sprocket (ASME B29.1): PD = P / sin(180/N), OD = P (0.6 + cot(180/N)), over the chain PD + 0.95 P.

    Raises ValueError under 3 teeth.
    """
    pitch_circle = pitch_diameter_mm(pitch_mm, teeth)
    return Sprocket(
        pitch_diameter_mm=pitch_circle,
        outside_diameter_mm=pitch_mm * (0.6 + 1.0 / math.tan(math.pi / teeth)),
        over_chain_diameter_mm=pitch_circle + LINK_HEIGHT_PITCHES * pitch_mm,
    )


def chain_run(pitch_mm: float, teeth_1: int, teeth_2: int, centre_mm: float) -> ChainRun:
    """Length of chain round two sprockets, L = 2 C + (N1 + N2) / 2 + ((N2 - N1) / 2 pi)^2 / C in pitches, rounded up
    to an even number, and the centre distance that this length wants: C = (q + sqrt(q^2 - 8 k)) / 4 with
    q = L - (N1 + N2) / 2 and k = ((N2 - N1) / 2 pi)^2 (chain makers' formula).

    Raises ValueError for fewer than 3 teeth, or sprockets whose pitch circles overlap at that distance.
    """
    radii = (pitch_diameter_mm(pitch_mm, teeth_1) + pitch_diameter_mm(pitch_mm, teeth_2)) / 2.0
    if not centre_mm > radii * (1.0 - 1e-3):  # touching circles, as makers print them, are let through
        raise ValueError("at this centre distance the two sprockets run into each other")
    centre = centre_mm / pitch_mm
    half = (teeth_1 + teeth_2) / 2.0
    k = ((teeth_2 - teeth_1) / (2.0 * math.pi)) ** 2
    length = 2.0 * centre + half + k / centre
    even = 2 * math.ceil(length / 2.0 - _ROUNDING)
    q = even - half
    return ChainRun(length, even, pitch_mm * (q + math.sqrt(q * q - 8.0 * k)) / 4.0)


def chain_wrap(pitch_mm: float, teeth_1: int, teeth_2: int, centre_mm: float) -> Wrap:
    """Angle of contact on both sprockets: pi -+ 2 asin((R - r) / C), and teeth in it (geometry of an open drive).

    Raises ValueError where one pitch circle lies in the other.
    """
    small, large = sorted((teeth_1, teeth_2))
    difference = (pitch_diameter_mm(pitch_mm, large) - pitch_diameter_mm(pitch_mm, small)) / 2.0
    return wrap(small, large, difference, centre_mm)


def wrap(small: int, large: int, radius_difference_mm: float, centre_mm: float) -> Wrap:
    """Wrap of an open drive whose pitch radii differ so much. Raises ValueError where no open drive exists."""
    if not centre_mm > radius_difference_mm:
        raise ValueError("one pitch circle lies within the other: there is no such drive")
    lean = 2.0 * math.asin(radius_difference_mm / centre_mm)
    return Wrap(
        math.pi - lean,
        math.pi + lean,
        small * (math.pi - lean) / (2.0 * math.pi),
        large * (math.pi + lean) / (2.0 * math.pi),
    )


def slack_mm(span_mm: float, fraction: float) -> float:
    """Sag or movement in mid span: makers give 4 % of the span, 2 % for drives that reverse."""
    return span_mm * fraction


def chain_in_tube(
    pitch_mm: float,
    inside_height_mm: float,
    inside_width_mm: float,
    chain_width_mm: float,
    strands: int = 1,
    side_gap_mm: float = 2.0,
) -> TubeRun:
    """The largest sprocket whose chain passes within a tube's height, and the width that the strands need.

    Height: pitch diameter and 0.95 P. Width: each strand and a gap beside each (geometry). Raises ValueError for
    numbers that are not above zero, or no strand.
    """
    if strands < 1 or not min(pitch_mm, inside_height_mm, inside_width_mm, chain_width_mm) > 0.0:
        raise ValueError("pitch, height, width and strands must be above zero")
    teeth = 2
    while sprocket(pitch_mm, teeth + 1).over_chain_diameter_mm <= inside_height_mm + _ROUNDING:
        teeth += 1
    needed = strands * chain_width_mm + (strands + 1) * side_gap_mm
    return TubeRun(
        largest_teeth=teeth if teeth > 2 else 0,
        over_chain_mm=sprocket(pitch_mm, teeth).over_chain_diameter_mm if teeth > 2 else 0.0,
        over_chain_next_mm=sprocket(pitch_mm, teeth + 1).over_chain_diameter_mm,
        width_needed_mm=needed,
        width_spare_mm=inside_width_mm - needed,
    )
