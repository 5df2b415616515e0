"""Tolerances of cut teeth by published classes: runout by ISO 1328-1, tooth thickness by DIN 3967. All in mm.

Both from memory, not seen in print; a gear's own drawing comes before them.
"""

from __future__ import annotations

import math
import re

FINEST, COARSEST = 3, 12

# Upper allowance of the tooth thickness, um, by letter, for reference diameters up to 10, 50, 125 and 280 mm.
ALLOWANCE_UM = {
    "a": (100, 135, 180, 250),
    "ab": (85, 110, 150, 200),
    "b": (70, 95, 125, 170),
    "bc": (58, 75, 105, 140),
    "c": (48, 65, 85, 115),
    "cd": (40, 54, 70, 95),
    "d": (33, 44, 60, 80),
    "e": (22, 30, 40, 56),
    "f": (10, 14, 19, 26),
    "g": (5, 7, 9, 12),
    "h": (0, 0, 0, 0),
}
# Tolerance below it, um, by number, for the same diameters.
TOLERANCE_UM = {
    21: (3, 5, 6, 8),
    22: (5, 8, 10, 12),
    23: (8, 12, 16, 20),
    24: (12, 20, 25, 30),
    25: (20, 30, 40, 50),
    26: (30, 50, 60, 80),
    27: (50, 80, 100, 130),
    28: (80, 130, 160, 200),
    29: (130, 200, 250, 300),
    30: (200, 300, 400, 500),
}
_UP_TO_MM = (10.0, 50.0, 125.0)
_CLASS = re.compile(r"([a-h]{1,2})(\d\d)")


def runout_mm(reference_diameter_mm: float, module_mm: float, quality: int) -> float:
    """Radial runout F_r of a gear, total reading, mm, for an ISO 1328-1 flank tolerance class.

    F_r = 0.9 F_p, F_p = (0.002 d + 0.55 sqrt d + 0.7 m + 12) um at class 5, times sqrt 2 a class. Raises ValueError for
    a class that the tables do not have.
    """
    if not FINEST <= quality <= COARSEST:
        raise ValueError(f"class {quality}: from {FINEST} to {COARSEST}")
    d, m = reference_diameter_mm, module_mm
    return 0.9e-3 * (0.002 * d + 0.55 * math.sqrt(d) + 0.7 * m + 12.0) * math.sqrt(2.0) ** (quality - 5)


def thinning_range_mm(reference_diameter_mm: float, thickness_class: str) -> tuple[float, float]:
    """Least and greatest thinning, mm, by a class such as "e26". Raises ValueError for one that there is not."""
    found = _CLASS.fullmatch(thickness_class)
    if found is None or found[1] not in ALLOWANCE_UM or int(found[2]) not in TOLERANCE_UM:
        raise ValueError(f"{thickness_class!r} is no class: a letter from {', '.join(ALLOWANCE_UM)} and 21 to 30")
    column = sum(reference_diameter_mm > up_to for up_to in _UP_TO_MM)
    least = ALLOWANCE_UM[found[1]][column]
    return 1e-3 * least, 1e-3 * (least + TOLERANCE_UM[int(found[2])][column])
