"""Tapped holes: drill and depth of thread."""

from __future__ import annotations

# Three quarters of the height of the sharp 60 degree triangle on both sides is the 100 % thread of the workshop:
# 0.75 sqrt(3) pitches on the diameter. The six decimals are those of the handbooks' formula.
FULL_THREAD_PITCHES = 1.299038


def tap_drill_mm(nominal_mm: float, pitch_mm: float) -> float:
    """Tap drill [mm] by the workshop's rule, nominal diameter less one pitch; tables round it to a drill on hand."""
    return nominal_mm - pitch_mm


def thread_percent(nominal: float, pitch: float, drill: float) -> float:
    """Depth of thread in percent of full that a drill leaves; all three in one unit of length.

    Source: percent = (D - d) n / 1.299038 with n threads per unit of length (workshop handbooks).
    """
    return 100.0 * (nominal - drill) / (FULL_THREAD_PITCHES * pitch)
