"""The root fillet that the rack's rounded tip cuts, and where the involute really begins.

All lengths in modules, angles in radians, every argument an array of any common shape.

A point of the rounding is named by its normal angle t: from the pressure angle, where the rounding leaves the straight
flank, to a right angle at the very tip. It cuts the gear at the moment when its normal passes through the pitch point
(the law of gearing), so the fillet is an exact curve in t. With the rounding's centre at depth d below the rolling
line, and k = d / sin t + radius, it then lies k cos t beside and k sin t below the pitch point.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from gearplate.gears.involute import Array, Bools, inv
from gearplate.gears.rack import BasicRack
from gearplate.gears.roots import bracketed_root

# Room for rounding in the comparison with the undercut limit, modules.
_AT_THE_LIMIT = 1e-9


@dataclass(frozen=True, slots=True)
class Cutting:
    """What shapes a tooth below its tip: a rack, a tooth count, a profile shift and a thinning (both in modules)."""

    rack: BasicRack
    teeth: Array
    shift: Array
    thinning: Array

    @property
    def base_radius(self) -> Array:
        return np.asarray(0.5 * self.teeth * np.cos(self.rack.pressure_angle_rad))

    @property
    def thickness(self) -> Array:
        """Tooth thickness along the reference circle."""
        full = np.pi / 2 + 2.0 * self.shift * np.tan(self.rack.pressure_angle_rad)
        return np.asarray(full - self.thinning)

    def involute_half_angle(self, radius: ArrayLike) -> Array:
        """Angle from the tooth's middle to its involute flank at `radius`; inside the base circle that at its foot."""
        ratio = np.minimum(1.0, self.base_radius / np.asarray(radius, dtype=np.float64))
        return np.asarray(self.thickness / self.teeth + inv(self.rack.pressure_angle_rad) - inv(np.arccos(ratio)))

    def fillet(self, normal_angle_rad: ArrayLike) -> tuple[Array, Array]:
        """Radius, and angle from the tooth's middle, of the fillet point cut at that normal angle of the rounding.

        The radius falls steadily from the end of the flank to the root circle.
        """
        t = np.asarray(normal_angle_rad, dtype=np.float64)
        reference = 0.5 * self.teeth
        depth = self.rack.tip_centre_depth - self.shift
        k = depth / np.sin(t) + self.rack.tip_radius
        beside, below = k * np.cos(t), k * np.sin(t)
        rolled = depth / np.tan(t) - self.rack.tip_centre_offset - 0.5 * self.thinning
        from_space_middle = np.arctan2(beside, reference - below) - rolled / reference
        return np.hypot(beside, reference - below), np.asarray(np.pi / self.teeth - from_space_middle)

    def fillet_normal_angle(self, radius: ArrayLike) -> Array:
        """The normal angle at which the fillet has that radius; not a number where it never has."""
        wanted = np.asarray(radius, dtype=np.float64)
        low = np.broadcast_arrays(self.rack.pressure_angle_rad, wanted, self.teeth)[0]
        return bracketed_root(lambda t: np.asarray(self.fillet(t)[0] - wanted), low, np.pi / 2)

    def at(self, chosen: Bools) -> Cutting:
        """The same for the chosen elements only, in one row."""
        shape = chosen.shape

        def pick(x: Array) -> Array:
            return np.asarray(np.broadcast_to(x, shape)[chosen])

        rack = BasicRack(pick(self.rack.pressure_angle_rad), pick(self.rack.tip_radius))
        return Cutting(rack, pick(self.teeth), pick(self.shift), pick(self.thinning))


@dataclass(frozen=True, slots=True)
class FlankStart:
    """Where the involute begins: its radius (modules), the fillet's normal angle there, and whether it is undercut."""

    radius: Array
    normal_angle_rad: Array
    undercut: Bools


def flank_start(cutting: Cutting) -> FlankStart:
    """The form circle of a generated tooth.

    Without undercut the fillet is tangent to the involute where the rack's straight flank ended. With undercut (the
    straight flank reached past the point where the line of action touches the base circle) the fillet crosses the
    involute above that: solved on both exact curves.
    """
    rack, z, x = cutting.rack, cutting.teeth, cutting.shift
    a = rack.pressure_angle_rad
    along = 0.5 * z * np.sin(a) - (rack.straight_depth - x) / np.sin(a)
    undercut = np.asarray(along < -_AT_THE_LIMIT)
    shape = np.broadcast_shapes(undercut.shape, cutting.thinning.shape)
    undercut = np.asarray(np.broadcast_to(undercut, shape))
    radius = np.array(np.broadcast_to(np.hypot(cutting.base_radius, np.maximum(along, 0.0)), shape))
    angle = np.array(np.broadcast_to(a, shape))
    if np.any(undercut):
        few = cutting.at(undercut)
        # Between the end of the straight flank, still outside the base circle on the far branch of the involute,
        # and the base circle, the fillet passes from the space into the tooth exactly once.
        foot = few.fillet_normal_angle(few.base_radius)

        def gap(t: Array) -> Array:
            r, half = few.fillet(t)
            return np.asarray(half - few.involute_half_angle(r))

        crossing = bracketed_root(gap, few.rack.pressure_angle_rad, foot)
        radius[undercut] = few.fillet(crossing)[0]
        angle[undercut] = crossing
    return FlankStart(radius, angle, undercut)
