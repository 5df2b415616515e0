"""Backlash of one pair of gears as a function of what scatters: centre distance, thinning, growth of the gears."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from gearplate.gears.involute import Array


@dataclass(frozen=True, slots=True)
class Pair:
    """Two gears of one tooth system. `shift_sum` is that of both profile shifts, in modules."""

    teeth_1: int
    teeth_2: int
    module_mm: float
    pressure_angle_rad: float
    shift_sum: float = 0.0

    @property
    def base_centre_mm(self) -> float:
        """Sum of the base radii, mm: no contact at or below it."""
        return 0.5 * (self.teeth_1 + self.teeth_2) * self.module_mm * math.cos(self.pressure_angle_rad)

    @property
    def closed_mm(self) -> float:
        """What both teeth fill of the pitch on the reference circles beyond the involutes' own share, mm: the constant
        part of the relation between centre distance and backlash."""
        a = self.pressure_angle_rad
        own = (self.teeth_1 + self.teeth_2) * (math.tan(a) - a) + 2.0 * self.shift_sum * math.tan(a)
        return self.module_mm * own

    def backlash_mm(self, centre_mm: float, thinning_mm: float) -> float:
        """Operating backlash, mm, at a centre distance with the sum of both tooth thinnings (along the reference
        circles). Negative where the teeth would jam; not a number at or below base-circle contact.

        j = cos a / cos aw x (m (z1 + z2) (inv aw - inv a) - 2 m X tan a + T), with cos aw = base sum / centre: the
        exact relation (ISO 21771), not the rule 2 dC tan a, which is a few per cent off.
        """
        base = self.base_centre_mm
        if not centre_mm > base:
            return math.nan
        tangent = math.sqrt((centre_mm - base) * (centre_mm + base)) / base
        opened = self.module_mm * (self.teeth_1 + self.teeth_2) * (tangent - math.atan(tangent)) - self.closed_mm
        return math.cos(self.pressure_angle_rad) * centre_mm / base * (opened + thinning_mm)

    def backlash_many_mm(self, centre_mm: ArrayLike, thinning_mm: ArrayLike, growth: ArrayLike = 0.0) -> Array:
        """`backlash_mm` for arrays; `growth` is the gears' own strain since they were measured.

        A gear that has grown is the same gear with a larger module: the relation at centre / (1 + growth), times it.
        """
        scale = 1.0 + np.asarray(growth, dtype=np.float64)
        ratio = np.asarray(centre_mm, dtype=np.float64) / (scale * self.base_centre_mm)
        with np.errstate(invalid="ignore"):
            tangent = np.sqrt((ratio - 1.0) * (ratio + 1.0))
        opened = self.module_mm * (self.teeth_1 + self.teeth_2) * (tangent - np.arctan(tangent)) - self.closed_mm
        thinning = np.asarray(thinning_mm, dtype=np.float64)
        return np.asarray(scale * math.cos(self.pressure_angle_rad) * ratio * (opened + thinning))

    def working_angle_rad(self, centre_mm: float) -> float:
        """Working pressure angle, rad; not a number at or below base-circle contact."""
        base = self.base_centre_mm
        return math.acos(base / centre_mm) if centre_mm > base else math.nan

    def per_centre(self, centre_mm: float, thinning_mm: float) -> float:
        """Change of the operating backlash by a change of the centre distance: 2 tan aw, and the stretch of what play
        there is (the derivative of the relation above)."""
        return 2.0 * math.tan(self.working_angle_rad(centre_mm)) + self.backlash_mm(centre_mm, thinning_mm) / centre_mm

    def per_thinning(self, centre_mm: float) -> float:
        """Change of the operating backlash by a change of the thinnings' sum: cos a / cos aw."""
        return math.cos(self.pressure_angle_rad) * centre_mm / self.base_centre_mm

    def centre_for_mm(self, backlash_mm: float, thinning_mm: float) -> float:
        """The centre distance, mm, that leaves this operating backlash: Newton's rule on `backlash_mm`.

        Not a number where there is none above base-circle contact.
        """
        base = self.base_centre_mm
        centre = max(0.5 * (self.teeth_1 + self.teeth_2) * self.module_mm, base * (1.0 + 1e-6))
        for _ in range(60):
            off = self.backlash_mm(centre, thinning_mm) - backlash_mm
            step = off / self.per_centre(centre, thinning_mm)
            following = centre - step
            centre = following if following > base else 0.5 * (centre + base)
            if abs(step) < 1e-12 * centre:
                return centre
        return math.nan
