"""What keeps two gears from running although their centre distance is right.

`tip_in_fillet_1` means: the tip corner of gear 1 digs into the root fillet of gear 2, as `tip_clearance_1_mm` runs
from the tip of gear 1 to the root of gear 2. A gear cut by the rack does not interfere merely because it is undercut:
the rack's own corner has cut away more than any mating corner of the same depth asks for. So the path of the real
corner (an epitrochoid, with the flanks in contact) is held against the real fillet.

Lengths in mm, angles in radians, arrays of any common shape.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from gearplate.gears.fillet import Cutting
from gearplate.gears.involute import Array, Bools
from gearplate.gears.rack import basic_rack
from gearplate.gears.tooth import GearSizes

# A corner that digs in by less than this (modules) only touches: far below a cutter's grain, far above rounding.
TOUCHING = 1e-6
_POINTS = 41
_ZOOMS = 3


def tip_clearance_mm(gear: GearSizes, mate: GearSizes, centre_mm: ArrayLike) -> Array:
    """Room between the real tip of `gear` and the root circle of `mate` on the line of centres, mm."""
    return np.asarray(np.asarray(centre_mm) - gear.tip_radius_mm - mate.root_radius_mm)


def corner_depth_mm(gear: GearSizes, mate: GearSizes, centre_mm: ArrayLike) -> Array:
    """How deep the tip corner of `gear` digs into the fillet of `mate`, mm along the arc; negative is room.

    The flanks are in contact on the corner's side, as under load; the greatest depth over the whole path counts.
    Minus infinity where the corner never gets below the mate's form circle: an involute beside it is then touched
    at most, along the line of action (the corner's path and the flank share their tangent only there).
    """
    a = np.asarray(centre_mm, dtype=np.float64)
    tip, nearest = gear.tip_radius_mm, a - gear.tip_radius_mm
    shape = np.broadcast_shapes(a.shape, tip.shape, mate.teeth.shape)
    reaching = np.broadcast_to(nearest < mate.form_radius_mm, shape)
    depth = np.full(shape, -np.inf)
    if not np.any(reaching):
        return depth

    def pick(x: Array) -> Array:
        return np.asarray(np.broadcast_to(x, shape)[reaching][:, None])

    centre, tip, nearest, ratio = pick(a), pick(tip), pick(nearest), pick(mate.teeth / gear.teeth)
    module, first = pick(mate.module_mm), pick(mate.form_normal_angle_rad)
    cutting = Cutting(
        basic_rack(pick(mate.pressure_angle_rad)),
        pick(mate.teeth),
        pick(mate.shift),
        pick(mate.thinning_mm / mate.module_mm),
    )
    working = a / (gear.teeth + mate.teeth)
    at_pitch_gear = pick(gear.half_angle(working * gear.teeth))
    at_pitch_mate = pick(mate.half_angle(working * mate.teeth))
    at_tip = pick(gear.half_angle(gear.tip_radius_mm))
    # The last fillet point that the corner's circle comes down to: on the line of centres, or the root circle.
    root = pick(mate.root_radius_mm)
    deepest = cutting.fillet_normal_angle(np.maximum(nearest, root * (1 + 1e-15)) / module)
    last = np.where((nearest > root) & np.isfinite(deepest), deepest, np.pi / 2)

    def dig(w: Array) -> Array:
        """Depth where the corner passes a fillet point: w from -1 (approach) through 0 (line of centres) to 1."""
        r, half = cutting.fillet(last + (first - last) * w * w)
        r = r * module
        # Half the corner's angle about its own gear, by the law of cosines in the form that keeps its digits.
        sine = np.sqrt(np.maximum((r - nearest) * (r + nearest), 0.0) / (4.0 * centre * tip))
        own = np.where(w > 0.0, 2.0, -2.0) * np.arcsin(np.minimum(sine, 1.0))
        about_mate = np.arctan2(tip * np.sin(own), centre - tip * np.cos(own))
        from_tooth = about_mate + at_pitch_mate - (own - at_pitch_gear + at_tip) / ratio
        return np.asarray(r * (half - from_tooth))

    low, high = np.full(centre.shape, -1.0), np.full(centre.shape, 1.0)
    for _ in range(_ZOOMS + 1):
        w = low + (high - low) * np.linspace(0.0, 1.0, _POINTS)
        depths = dig(w)
        best = np.argmax(depths, axis=-1)[:, None]
        low = np.take_along_axis(w, np.maximum(best - 1, 0), axis=-1)
        high = np.take_along_axis(w, np.minimum(best + 1, _POINTS - 1), axis=-1)
    depth[reaching] = np.max(depths, axis=-1)
    return depth


@dataclass(frozen=True, slots=True)
class Interference:
    """Which of seven faults a pair has: arrays of truth values of one common shape."""

    undercut_1: Bools
    undercut_2: Bools
    tip_in_fillet_1: Bools
    tip_in_fillet_2: Bools
    pointed_1: Bools
    pointed_2: Bools
    bottoming: Bools


INTERFERENCE_NAMES = (
    "undercut_1",
    "undercut_2",
    "tip_in_fillet_1",
    "tip_in_fillet_2",
    "pointed_1",
    "pointed_2",
    "bottoming",
)


def interference(gear_1: GearSizes, gear_2: GearSizes, centre_mm: ArrayLike) -> Interference:
    """All seven faults of a pair.

    undercut_i: the rack cut away involute of gear i. tip_in_fillet_i: the tip corner of gear i digs into the fillet
    of its mate. pointed_i: the flanks of gear i meet at or below its tip circle. bottoming: the tip of either gear
    reaches the root circle of the other, or further.
    """
    clearance = np.minimum(tip_clearance_mm(gear_1, gear_2, centre_mm), tip_clearance_mm(gear_2, gear_1, centre_mm))
    touching = TOUCHING * gear_1.module_mm
    return Interference(
        undercut_1=gear_1.undercut,
        undercut_2=gear_2.undercut,
        tip_in_fillet_1=np.asarray(corner_depth_mm(gear_1, gear_2, centre_mm) > touching),
        tip_in_fillet_2=np.asarray(corner_depth_mm(gear_2, gear_1, centre_mm) > touching),
        pointed_1=gear_1.pointed,
        pointed_2=gear_2.pointed,
        bottoming=np.asarray(clearance <= 1e-12 * gear_1.module_mm),
    )
