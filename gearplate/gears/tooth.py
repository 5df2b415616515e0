"""One gear's tooth: diameters, thickness at any radius, pointed tips, and the circle where its involute begins.

Formulas of ISO 21771 for a spur gear, with the basic rack of gears/rack.py. All functions take numbers or arrays of
any common shape, lengths in mm, angles in radians, and do not judge: impossible teeth give numbers that are not a
number (`gearplate.mesh` and `require_possible` judge in words).
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from gearplate.gears.fillet import Cutting, flank_start
from gearplate.gears.involute import Array, Bools, inv, inverse_inv
from gearplate.gears.rack import ADDENDUM, DEDENDUM, basic_rack


@dataclass(frozen=True, slots=True)
class GearSizes:
    """The sizes of a gear, or of many: every field an array of one common shape; radii in mm.

    `nominal_tip_radius_mm` is the blank's; `tip_radius_mm` that of the real tooth, which ends sooner where its flanks
    meet in a point (`pointed_radius_mm`). `form_radius_mm` is where the involute begins. The thinning takes its half
    from each flank and leaves root and tip circle alone.
    """

    teeth: Array
    module_mm: Array
    pressure_angle_rad: Array
    shift: Array
    thinning_mm: Array
    reference_radius_mm: Array
    base_radius_mm: Array
    root_radius_mm: Array
    form_radius_mm: Array
    form_normal_angle_rad: Array
    nominal_tip_radius_mm: Array
    pointed_radius_mm: Array
    tip_radius_mm: Array
    reference_thickness_mm: Array
    undercut: Bools
    pointed: Bools

    @property
    def tip_diameter_mm(self) -> Array:
        """Of the blank, mm: r + (1 + x) m as a radius unless the job gives it (ISO 21771)."""
        return np.asarray(2.0 * self.nominal_tip_radius_mm)

    @property
    def root_diameter_mm(self) -> Array:
        """mm: twice r - (1.25 - x) m, whatever the thinning (ISO 21771, dedendum of the basic rack)."""
        return np.asarray(2.0 * self.root_radius_mm)

    @property
    def base_diameter_mm(self) -> Array:
        """Of the circle that the involutes unwind from, mm: m z cos a (ISO 21771)."""
        return np.asarray(2.0 * self.base_radius_mm)

    @property
    def reference_diameter_mm(self) -> Array:
        """mm: m z (ISO 21771)."""
        return np.asarray(2.0 * self.reference_radius_mm)

    @property
    def base_pitch_mm(self) -> Array:
        """From flank to flank along the line of action, mm: pi m cos a (ISO 21771)."""
        return np.asarray(np.pi * self.module_mm * np.cos(self.pressure_angle_rad))

    @property
    def cutting(self) -> Cutting:
        """What shapes the tooth below its tip, in modules."""
        rack = basic_rack(self.pressure_angle_rad)
        return Cutting(rack, self.teeth, self.shift, np.asarray(self.thinning_mm / self.module_mm))

    def half_angle(self, radius_mm: ArrayLike) -> Array:
        """Angle from the tooth's middle to its involute flank at that radius (the involute, not the fillet)."""
        return self.cutting.involute_half_angle(np.asarray(radius_mm) / self.module_mm)

    def flank_length(self, radius_mm: Array) -> Array:
        """Radius of curvature of the involute at that radius: the length along the line of action from its foot."""
        square = (radius_mm - self.base_radius_mm) * (radius_mm + self.base_radius_mm)
        return np.asarray(np.sqrt(np.maximum(square, 0.0)))


def gear_sizes(
    teeth: ArrayLike,
    module_mm: ArrayLike,
    pressure_angle_rad: ArrayLike,
    shift: ArrayLike = 0.0,
    thinning_mm: ArrayLike = 0.0,
    tip_diameter_mm: ArrayLike | None = None,
) -> GearSizes:
    """Sizes of the generated gear; see GearSizes. `shift` in modules, `thinning_mm` along the reference circle.

    `tip_diameter_mm`: None (or not a number, element by element) means the standard one, teeth + 2 + 2 shift modules.
    """
    wanted_tip = np.nan if tip_diameter_mm is None else tip_diameter_mm
    z, m, a, x, thin, tip = (
        np.asarray(v)
        for v in np.broadcast_arrays(
            *(
                np.asarray(v, dtype=np.float64)
                for v in (teeth, module_mm, pressure_angle_rad, shift, thinning_mm, wanted_tip)
            )
        )
    )
    cutting = Cutting(basic_rack(a), z, x, np.asarray(thin / m))
    start = flank_start(cutting)
    reference = 0.5 * m * z
    standard_tip = reference + (ADDENDUM + x) * m
    nominal_tip = np.where(np.isnan(tip), standard_tip, 0.5 * tip)
    meet = inverse_inv(cutting.thickness / z + inv(a))
    pointed_radius = m * cutting.base_radius / np.cos(meet)
    return GearSizes(
        teeth=z,
        module_mm=m,
        pressure_angle_rad=a,
        shift=x,
        thinning_mm=thin,
        reference_radius_mm=reference,
        base_radius_mm=np.asarray(m * cutting.base_radius),
        root_radius_mm=np.asarray(reference - (DEDENDUM - x) * m),
        form_radius_mm=np.asarray(m * start.radius),
        form_normal_angle_rad=start.normal_angle_rad,
        nominal_tip_radius_mm=nominal_tip,
        pointed_radius_mm=np.asarray(pointed_radius),
        tip_radius_mm=np.minimum(nominal_tip, pointed_radius),
        reference_thickness_mm=np.asarray(m * cutting.thickness),
        undercut=start.undercut,
        pointed=np.asarray(nominal_tip >= pointed_radius),
    )


def pressure_angle_at(gear: GearSizes, radius_mm: ArrayLike) -> Array:
    """Pressure angle of the involute at a radius (rad): the cosine is base radius over radius. NaN inside the base."""
    ratio = gear.base_radius_mm / np.asarray(radius_mm, dtype=np.float64)
    return np.asarray(np.arccos(np.where(ratio <= 1.0, ratio, np.nan)))


def thickness_at(gear: GearSizes, radius_mm: ArrayLike) -> Array:
    """Tooth thickness along the circle of that radius, mm; negative beyond the point where the flanks meet."""
    return np.asarray(2.0 * np.asarray(radius_mm) * gear.half_angle(radius_mm))


def tip_thickness_mm(gear: GearSizes) -> Array:
    """Thickness along the blank's tip circle, mm: negative says by how much the tooth is more than pointed."""
    return thickness_at(gear, gear.nominal_tip_radius_mm)


def half_flank_points(gear: GearSizes, count: int = 40) -> tuple[Array, Array]:
    """Radius (mm) and angle from the tooth's middle (rad) of points along fillet and involute, root to real tip.

    `count` points on each of the two curves, the last axis of the result; the point between them is given once.
    """
    cutting = gear.cutting
    share = np.linspace(0.0, 1.0, count)
    wide = Cutting(
        basic_rack(gear.pressure_angle_rad[..., None]),
        cutting.teeth[..., None],
        cutting.shift[..., None],
        cutting.thinning[..., None],
    )
    first = gear.form_normal_angle_rad[..., None]
    low, half_low = wide.fillet(np.pi / 2 + (first - np.pi / 2) * share)
    form, tip = gear.form_radius_mm[..., None], gear.tip_radius_mm[..., None]
    # Evenly along the line of action: close together near the base circle, where the involute bends most.
    base = gear.base_radius_mm[..., None]
    ends = [np.sqrt(np.maximum(r * r - base * base, 0.0)) for r in (form, tip)]
    high = np.hypot(base, ends[0] + (ends[1] - ends[0]) * share[1:])
    half_high = wide.involute_half_angle(high / gear.module_mm[..., None])
    radius = np.concatenate([low * gear.module_mm[..., None], high], axis=-1)
    return radius, np.concatenate([half_low, half_high], axis=-1)


def thinnest_below_flank_mm(gear: GearSizes, count: int = 60) -> Array:
    """Least thickness of the tooth along the fillet, mm: not above zero where undercut severs the tooth."""
    radius, half = half_flank_points(gear, count)
    return np.asarray(np.min(2.0 * radius[..., :count] * half[..., :count], axis=-1))
