"""Two gears in mesh: distances, backlash, contact ratio, clearances and interference in one value.

`mesh` is the front door, in words and degrees, and refuses what cannot be. `mesh_arrays` is the same for thousands of
pairs at once, and judges nothing.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, fields

import numpy as np
from numpy.typing import ArrayLike

from gearplate.gears.contact import contact_ratio, contact_ratio_formula
from gearplate.gears.interference import INTERFERENCE_NAMES, Interference, interference, tip_clearance_mm
from gearplate.gears.involute import Array
from gearplate.gears.possible import (
    require_above_base_contact,
    require_possible_gear,
    require_zero_backlash_centre,
    system_module_mm,
    whole_teeth,
)
from gearplate.gears.tooth import GearSizes, gear_sizes
from gearplate.gears.working import backlash_operating_mm as backlash_at_centre_mm
from gearplate.gears.working import (
    base_contact_centre_mm,
    pressure_angle_at_centre_rad,
    standard_centre_mm,
    working_centre_mm,
    working_pressure_angle_rad,
)

__all__ = [
    "Mesh",
    "MeshArrays",
    "mesh",
    "mesh_arrays",
    "mesh_of_sizes",
    "standard_centre_mm",
    "working_centre_mm",
]


@dataclass(frozen=True, slots=True)
class Mesh:
    """What `mesh` finds out about a pair of spur gears.

    centre_mm: the distance asked for, or that without backlash of the unthinned gears.
    tightest_centre_mm: where the flank backlash is zero, thinning counted. Gears thinned beyond reason touch on both
        sides at no distance; then it is the sum of their base radii, the end of all involute contact.
    backlash_operating_mm: working pitch less both tooth thicknesses, along the working circles; negative = jammed.
    backlash_reference_mm: the same brought to the reference circles: times cos(aw) / cos(a).
    backlash_normal_mm: the gap between the flanks, along the line of action: operating times cos(aw).
    contact_ratio: of the real flanks, form circle to real tip; contact_ratio_formula: the textbook's, tips only.
    tip_clearance_1_mm: tip of gear 1 to root of gear 2; tip_clearance_2_mm: tip of gear 2 to root of gear 1.
    interference: any of undercut_1|2 (gear cut by the rack into its own involute), tip_in_fillet_1|2 (tip corner of
        that gear digs into the fillet of its mate), pointed_1|2 (flanks of that gear meet), bottoming.
    """

    centre_mm: float
    tightest_centre_mm: float
    working_pressure_angle_deg: float
    backlash_operating_mm: float
    backlash_reference_mm: float
    backlash_normal_mm: float
    contact_ratio: float
    contact_ratio_formula: float
    tip_clearance_1_mm: float
    tip_clearance_2_mm: float
    interference: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class MeshArrays:
    """The fields of Mesh for many pairs: arrays of one common shape; interference as seven arrays of truth values."""

    centre_mm: Array
    tightest_centre_mm: Array
    working_pressure_angle_deg: Array
    backlash_operating_mm: Array
    backlash_reference_mm: Array
    backlash_normal_mm: Array
    contact_ratio: Array
    contact_ratio_formula: Array
    tip_clearance_1_mm: Array
    tip_clearance_2_mm: Array
    interference: Interference


def mesh_of_sizes(gear_1: GearSizes, gear_2: GearSizes, centre_mm: ArrayLike | None = None) -> MeshArrays:
    """The mesh of two gears (or of many pairs, element by element) of one module and pressure angle.

    `centre_mm` None, or not a number element by element, means the zero-backlash centre of the unthinned gears.
    Impossible pairs give numbers that are not a number. See Mesh for the meaning of each field.
    """
    z1, z2, m, a = gear_1.teeth, gear_2.teeth, gear_1.module_mm, gear_1.pressure_angle_rad
    shift_sum = gear_1.shift + gear_2.shift
    thinning_sum = gear_1.thinning_mm + gear_2.thinning_mm
    free = working_centre_mm(z1, z2, m, a, gear_1.shift, gear_2.shift)
    asked = np.asarray(np.nan if centre_mm is None else centre_mm, dtype=np.float64)
    given = ~np.isnan(asked)
    centre = np.asarray(np.where(given, asked, free))

    base = base_contact_centre_mm(z1, z2, m, a)
    tight_angle = working_pressure_angle_rad(z1, z2, a, shift_sum, thinning_sum / m)
    tightest = np.where(thinning_sum == 0.0, free, base / np.cos(tight_angle))
    tightest = np.where(np.isnan(tight_angle), base, tightest)

    at_free = working_pressure_angle_rad(z1, z2, a, shift_sum)
    working = np.asarray(np.where(given, pressure_angle_at_centre_rad(z1, z2, m, a, centre), at_free))
    # At the free centre the shifts leave no backlash by definition: only the thinning is left, without rounding.
    stretch = np.cos(a) / np.cos(working)
    measured = backlash_at_centre_mm(z1, z2, m, a, shift_sum, thinning_sum, centre)
    operating = np.asarray(np.where(given, measured, stretch * thinning_sum))
    return MeshArrays(
        centre_mm=centre,
        tightest_centre_mm=np.asarray(tightest),
        working_pressure_angle_deg=np.asarray(np.degrees(working)),
        backlash_operating_mm=operating,
        backlash_reference_mm=np.asarray(operating / stretch),
        backlash_normal_mm=np.asarray(operating * np.cos(working)),
        contact_ratio=contact_ratio(gear_1, gear_2, centre),
        contact_ratio_formula=contact_ratio_formula(gear_1, gear_2, centre),
        tip_clearance_1_mm=tip_clearance_mm(gear_1, gear_2, centre),
        tip_clearance_2_mm=tip_clearance_mm(gear_2, gear_1, centre),
        interference=interference(gear_1, gear_2, centre),
    )


def mesh_arrays(
    z1: ArrayLike,
    z2: ArrayLike,
    module_mm: ArrayLike,
    pressure_angle_rad: ArrayLike,
    x1: ArrayLike = 0.0,
    x2: ArrayLike = 0.0,
    thinning_1_mm: ArrayLike = 0.0,
    thinning_2_mm: ArrayLike = 0.0,
    tip_diameter_1_mm: ArrayLike | None = None,
    tip_diameter_2_mm: ArrayLike | None = None,
    centre_mm: ArrayLike | None = None,
) -> MeshArrays:
    """`mesh` for arrays of any common shape, the angle in radians, without judging; see mesh_of_sizes."""
    shape = np.broadcast_shapes(
        *(np.shape(v) for v in (z1, z2, module_mm, pressure_angle_rad, x1, x2, thinning_1_mm, thinning_2_mm)),
        *(np.shape(v) for v in (tip_diameter_1_mm, tip_diameter_2_mm, centre_mm) if v is not None),
    )
    m = np.broadcast_to(np.asarray(module_mm, dtype=np.float64), shape)
    return mesh_of_sizes(
        gear_sizes(z1, m, pressure_angle_rad, x1, thinning_1_mm, tip_diameter_1_mm),
        gear_sizes(z2, m, pressure_angle_rad, x2, thinning_2_mm, tip_diameter_2_mm),
        centre_mm,
    )


def mesh(
    z1: int,
    z2: int,
    module_mm: float | None = None,
    diametral_pitch: float | None = None,
    pressure_angle_deg: float = 20,
    x1: float = 0,
    x2: float = 0,
    thinning_1_mm: float = 0,
    thinning_2_mm: float = 0,
    tip_diameter_1_mm: float | None = None,
    tip_diameter_2_mm: float | None = None,
    centre_mm: float | None = None,
) -> Mesh:
    """Everything about two external spur gears in mesh; see Mesh for what comes back.

    z1, z2: tooth counts, 3 or more. Either module_mm or diametral_pitch (teeth per inch of reference diameter), not
    both. pressure_angle_deg: of the basic rack, 10 to 30 degrees. x1, x2: profile shifts in modules. thinning_i_mm:
    taken off the tooth's thickness along the reference circle, half from each flank. tip_diameter_i_mm: None means
    teeth + 2 + 2 shift modules. centre_mm: None means the zero-backlash centre of the unthinned gears.

    Basic rack: addendum 1, dedendum 1.25, rounded tip (gears/rack.py). Raises ValueError, in words, for what cannot
    be: a gear without teeth, a tip inside its root, a centre at which the base circles do not part.
    Sources: ISO 21771 for distances and backlash; the law of gearing for fillet, form circle and corner path.
    """
    teeth_1, teeth_2 = whole_teeth(z1, "z1"), whole_teeth(z2, "z2")
    m, a = system_module_mm(module_mm, diametral_pitch), pressure_angle_deg
    gear_1 = require_possible_gear(teeth_1, m, a, x1, thinning_1_mm, tip_diameter_1_mm, "1")
    gear_2 = require_possible_gear(teeth_2, m, a, x2, thinning_2_mm, tip_diameter_2_mm, "2")
    if centre_mm is None:
        require_zero_backlash_centre(gear_1, gear_2)
    else:
        require_above_base_contact(gear_1, gear_2, centre_mm)
    many = mesh_of_sizes(gear_1, gear_2, centre_mm)
    faults = tuple(name for name in INTERFERENCE_NAMES if bool(getattr(many.interference, name)))
    numbers = {f.name: float(getattr(many, f.name)) for f in fields(MeshArrays) if f.name != "interference"}
    if not all(math.isfinite(value) for value in numbers.values()):
        raise ValueError(f"no mesh of {teeth_1} and {teeth_2} teeth can be computed from these numbers")
    return Mesh(**numbers, interference=faults)
