"""What calipers and micrometers find on a gear: span over teeth, size over pins, chordal thickness.

Formulas of ISO 21771 / DIN 3960 for spur gears; lengths in mm, angles in radians, shift in modules, thinning in mm
along the reference circle; numbers or arrays.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from gearplate.gears.involute import Array, inv, inverse_inv
from gearplate.gears.tooth import GearSizes


def usual_span_teeth(gear: GearSizes) -> Array:
    """Whole number of teeth over which calipers touch the flanks near the reference circle (ISO 21771)."""
    a = gear.pressure_angle_rad
    # The flank touched lies on a circle of radius r + x m.
    at = np.arccos(np.minimum(1.0, gear.teeth * np.cos(a) / (gear.teeth + 2.0 * gear.shift)))
    count = gear.teeth / np.pi * (np.tan(at) - inv(a)) - 2.0 * gear.shift * np.tan(a) / np.pi + 0.5
    return np.asarray(np.maximum(np.rint(count), 1.0))


def span_mm(gear: GearSizes, teeth_spanned: ArrayLike) -> Array:
    """Length over that many teeth, measured across parallel jaws that touch two involute flanks."""
    a, m = gear.pressure_angle_rad, gear.module_mm
    k = np.asarray(teeth_spanned, dtype=np.float64)
    full = m * np.cos(a) * ((k - 0.5) * np.pi + gear.teeth * inv(a)) + 2.0 * gear.shift * m * np.sin(a)
    return np.asarray(full - gear.thinning_mm * np.cos(a))


def span_contact_diameter_mm(gear: GearSizes, teeth_spanned: ArrayLike) -> Array:
    """Diameter on which the jaws touch: the measurement is right only between form and tip circle."""
    return np.asarray(np.hypot(gear.base_diameter_mm, span_mm(gear, teeth_spanned)))


@dataclass(frozen=True, slots=True)
class OverPins:
    """`pressure_angle_rad` at the pins' centres, the diameter over two pins, and that on which they touch; mm."""

    pressure_angle_rad: Array
    over_pins_mm: Array
    contact_diameter_mm: Array


def over_pins(gear: GearSizes, pin_diameter_mm: ArrayLike) -> OverPins:
    """Size over two pins in opposite spaces; with an odd tooth count in the two most nearly opposite."""
    pin = np.asarray(pin_diameter_mm, dtype=np.float64)
    z, base = gear.teeth, gear.base_diameter_mm
    # Half the space on the base circle, widened by the pin's own radius as seen along the base tangent.
    value = pin / base - np.pi / z + gear.cutting.thickness / z + inv(gear.pressure_angle_rad)
    at = inverse_inv(value)
    centres = base / np.cos(at) * np.where(z % 2 == 0, 1.0, np.cos(np.pi / (2.0 * z)))
    touch = np.hypot(base, base * np.tan(at) - pin)
    return OverPins(at, np.asarray(centres + pin), np.asarray(touch))


@dataclass(frozen=True, slots=True)
class ChordalThickness:
    """Thickness along the reference circle, half its angle, its chord, and the tip's height above the chord."""

    tooth_thickness_mm: Array
    half_angle_rad: Array
    chordal_thickness_mm: Array
    chordal_height_mm: Array


def chordal_thickness(gear: GearSizes) -> ChordalThickness:
    """What a tooth caliper set to the chordal height finds on the reference circle."""
    reference = gear.reference_diameter_mm
    half = gear.reference_thickness_mm / reference
    addendum = gear.nominal_tip_radius_mm - gear.reference_radius_mm
    return ChordalThickness(
        gear.reference_thickness_mm,
        np.asarray(half),
        np.asarray(reference * np.sin(half)),
        np.asarray(addendum + 0.5 * reference * (1.0 - np.cos(half))),
    )
