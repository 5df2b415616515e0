"""What cannot be a gear or a pair is refused here, in words: plain ValueErrors that name the argument."""

from __future__ import annotations

import math
from numbers import Integral, Real

import numpy as np

from gearplate.gears.tooth import GearSizes, gear_sizes, thinnest_below_flank_mm
from gearplate.gears.working import base_contact_centre_mm, working_centre_mm

LEAST_TEETH = 3
# Beyond 32 degrees the basic rack has no tip left; below 10 the involute hardly leaves its base circle.
LEAST_PRESSURE_ANGLE_DEG = 10.0
GREATEST_PRESSURE_ANGLE_DEG = 30.0
_MM_PER_INCH = 25.4


def _number(value: object, name: str) -> float:
    if isinstance(value, bool) or not isinstance(value, Real) or not math.isfinite(value):
        raise ValueError(f"{name} must be a finite number, not {value!r}")
    return float(value)


def whole_teeth(value: object, name: str) -> int:
    """The tooth count as an int: whole, and at least 3."""
    whole = isinstance(value, Integral) or (isinstance(value, Real) and float(value).is_integer())
    if isinstance(value, bool) or not whole:
        raise ValueError(f"{name} must be a whole number of teeth, not {value!r}")
    count = int(value)  # type: ignore[call-overload]
    if count < LEAST_TEETH:
        raise ValueError(f"{name} = {count}: a gear has at least {LEAST_TEETH} teeth")
    return int(count)


def system_module_mm(module_mm: object = None, diametral_pitch: object = None) -> float:
    """The module in mm from one of the two; both or neither is refused."""
    if (module_mm is None) == (diametral_pitch is None):
        both = "not both" if module_mm is not None else "one of the two is needed"
        raise ValueError(f"give module_mm or diametral_pitch: {both}")
    name, value = ("module_mm", module_mm) if diametral_pitch is None else ("diametral_pitch", diametral_pitch)
    size = _number(value, name)
    if size <= 0:
        raise ValueError(f"{name} = {size:g}: it must be above zero")
    return size if diametral_pitch is None else _MM_PER_INCH / size


def require_possible_gear(
    teeth: int,
    module_mm: float,
    pressure_angle_deg: float,
    shift: float,
    thinning_mm: float,
    tip_diameter_mm: float | None,
    which: str,
) -> GearSizes:
    """The sizes of one gear, or a ValueError that says why there is no such gear. `which` ends the argument names."""
    angle = _number(pressure_angle_deg, "pressure_angle_deg")
    if not LEAST_PRESSURE_ANGLE_DEG <= angle <= GREATEST_PRESSURE_ANGLE_DEG:
        raise ValueError(
            f"pressure_angle_deg = {angle:g}: from {LEAST_PRESSURE_ANGLE_DEG:g} to "
            f"{GREATEST_PRESSURE_ANGLE_DEG:g} degrees (usual: 14.5, 20, 25)"
        )
    x, thin = _number(shift, f"x{which}"), _number(thinning_mm, f"thinning_{which}_mm")
    tip = None if tip_diameter_mm is None else _number(tip_diameter_mm, f"tip_diameter_{which}_mm")
    with np.errstate(invalid="ignore", divide="ignore", over="ignore"):
        gear = gear_sizes(teeth, module_mm, math.radians(angle), x, thin, tip)
    if gear.reference_thickness_mm <= 0:
        raise ValueError(
            f"gear {which}: x{which} = {x:g} and thinning_{which}_mm = {thin:g} leave no tooth "
            f"(thickness {float(gear.reference_thickness_mm):.4g} mm)"
        )
    if thin <= -0.5 * math.pi * module_mm:
        raise ValueError(f"gear {which}: thinning_{which}_mm = {thin:g} thickens the teeth until no space is left")
    if gear.root_radius_mm <= 0:
        raise ValueError(f"gear {which}: x{which} = {x:g} cuts deeper than the middle of {teeth} teeth")
    if gear.tip_radius_mm <= gear.root_radius_mm:
        raise ValueError(
            f"gear {which}: its tip diameter, {2 * float(gear.tip_radius_mm):.4f} mm, is not above its root diameter, "
            f"{float(gear.root_diameter_mm):.4f} mm"
        )
    if gear.undercut and thinnest_below_flank_mm(gear) <= 0:
        raise ValueError(
            f"gear {which}: with {teeth} teeth and x{which} = {x:g} the undercut severs the teeth from the gear"
        )
    return gear


def require_zero_backlash_centre(gear_1: GearSizes, gear_2: GearSizes) -> float:
    """The zero-backlash centre of the unthinned gears, mm, or a ValueError where there is none."""
    centre = float(
        working_centre_mm(
            gear_1.teeth,
            gear_2.teeth,
            gear_1.module_mm,
            gear_1.pressure_angle_rad,
            gear_1.shift,
            gear_2.shift,
        )
    )
    if not math.isfinite(centre):
        raise ValueError(
            f"x1 + x2 = {float(gear_1.shift + gear_2.shift):g} is so far below zero that no centre distance brings "
            "these flanks together on both sides"
        )
    return centre


def require_above_base_contact(gear_1: GearSizes, gear_2: GearSizes, centre_mm: object) -> float:
    """The centre distance, mm, or a ValueError where the involutes cannot touch at it."""
    centre = _number(centre_mm, "centre_mm")
    base = float(base_contact_centre_mm(gear_1.teeth, gear_2.teeth, gear_1.module_mm, gear_1.pressure_angle_rad))
    if not centre > base:
        raise ValueError(
            f"centre_mm = {centre:g}: it must be above the sum of the base radii, {base:.4f} mm, "
            "or the involutes cannot touch"
        )
    return centre
