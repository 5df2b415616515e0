"""Centre distance, backlash and contact ratio of involute gears, worked out anew from the textbook relations.

Independent of gearplate: only tooth counts, module, pressure angle, shifts and thinnings go in. The relations are
those of ISO 21771 (working pressure angle from the shift sum, tooth thickness at any radius) and of any handbook of
gears; the inverse of inv(a) = tan a - a is found by halving an interval.
"""

from __future__ import annotations

import math
from dataclasses import dataclass


def inv(angle_rad: float) -> float:
    return math.tan(angle_rad) - angle_rad


def angle_of(involute: float) -> float:
    """The angle (rad) whose involute function has that value: 200 halvings of 0 to 80 degrees."""
    low, high = 0.0, math.radians(80.0)
    for _ in range(200):
        middle = 0.5 * (low + high)
        low, high = (middle, high) if inv(middle) < involute else (low, middle)
    return 0.5 * (low + high)


@dataclass(frozen=True)
class Pair:
    """Two gears: teeth, shifts in modules, thinnings along the reference circle and tip diameters in mm."""

    module_mm: float
    pressure_angle_deg: float
    teeth: tuple[int, int]
    shift: tuple[float, float] = (0.0, 0.0)
    thinning_mm: tuple[float, float] = (0.0, 0.0)
    tip_mm: tuple[float, float] | None = None

    @property
    def alpha(self) -> float:
        return math.radians(self.pressure_angle_deg)

    def zero_backlash_centre_mm(self) -> float:
        """Of the unthinned gears: m (z1 + z2) / 2 x cos a / cos a', inv a' = inv a + 2 tan a (x1 + x2) / (z1 + z2)."""
        whole = sum(self.teeth)
        working = angle_of(inv(self.alpha) + 2.0 * math.tan(self.alpha) * sum(self.shift) / whole)
        return 0.5 * self.module_mm * whole * math.cos(self.alpha) / math.cos(working)

    def working_angle(self, centre_mm: float) -> float:
        return math.acos(0.5 * self.module_mm * sum(self.teeth) * math.cos(self.alpha) / centre_mm)

    def backlash_reference_mm(self, centre_mm: float) -> float:
        """Working pitch less both tooth thicknesses on the working circles, brought to the reference circle."""
        working = self.working_angle(centre_mm)
        taken = 0.0
        for z, x, thin in zip(self.teeth, self.shift, self.thinning_mm, strict=True):
            reference = self.module_mm * (0.5 * math.pi + 2.0 * x * math.tan(self.alpha)) - thin
            r = 0.5 * self.module_mm * z
            r_working = r * math.cos(self.alpha) / math.cos(working)
            taken += 2.0 * r_working * (reference / (2.0 * r) + inv(self.alpha) - inv(working))
        pitch = math.pi * self.module_mm * math.cos(self.alpha) / math.cos(working)
        return (pitch - taken) * math.cos(working) / math.cos(self.alpha)

    def tips_mm(self) -> tuple[float, float]:
        """Tip radii: given ones, else r + (1 + x) m."""
        if self.tip_mm is not None:
            return 0.5 * self.tip_mm[0], 0.5 * self.tip_mm[1]
        a, b = (self.module_mm * (0.5 * z + 1.0 + x) for z, x in zip(self.teeth, self.shift, strict=True))
        return a, b

    def contact_ratio(self, centre_mm: float) -> float:
        """Length of the path of contact over the base pitch."""
        path = -centre_mm * math.sin(self.working_angle(centre_mm))
        for z, tip in zip(self.teeth, self.tips_mm(), strict=True):
            path += math.sqrt(tip**2 - (0.5 * self.module_mm * z * math.cos(self.alpha)) ** 2)
        return path / (math.pi * self.module_mm * math.cos(self.alpha))

    def flanks_reach(self, centre_mm: float) -> bool:
        """Whether each flank's involute goes as far down as the mate's tip touches it.

        The straight part of the basic rack goes at least one module below the reference line (the tip radius takes no
        more than the last 0.25 of 1.25); so the involute is cut at least down to the radius of curvature
        z m sin a / 2 - (1 - x) m / sin a.
        """
        line = centre_mm * math.sin(self.working_angle(centre_mm))
        tips = self.tips_mm()
        for own, mate in ((0, 1), (1, 0)):
            z, x = self.teeth[own], self.shift[own]
            cut_to = self.module_mm * (0.5 * z * math.sin(self.alpha) - (1.0 - x) / math.sin(self.alpha))
            base = 0.5 * self.module_mm * self.teeth[mate] * math.cos(self.alpha)
            touched = line - math.sqrt(tips[mate] ** 2 - base**2)
            if cut_to < 0.0 or touched < cut_to:
                return False
        return True
