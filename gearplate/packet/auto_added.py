"""What added_centre = "auto" takes for a stage, in words, with both of its rules."""

from __future__ import annotations

from typing import Any


def auto_words(taken: dict[str, Any]) -> str:
    """ "added_centre = "auto" takes 0.060 mm for stage 1: the greatest proposal of its meshes, ..."; `taken` as in the
    record."""
    least = f"{taken['least_added_mm']:g} mm (0.001 in; common practice, no source)"
    whose = f"{taken['driver_shaft']} on {taken['driven_shaft']}"
    if taken["proposed_mm"] > taken["least_added_mm"]:
        why = f"the greatest proposal of its meshes, that of {whose}, and never under {least}"
    else:
        asked = f"{taken['proposed_mm']:.3f} mm"
        why = f"never under {least}, and the greatest proposal of its meshes, that of {whose}, is {asked}"
    return (
        f'added_centre = "auto" takes {taken["added_centre_mm"]:.4g} mm for stage {taken["stage"]}: {why}. It is '
        "reckoned before the layout, the line of centres along the cutter's worse axis"
    )
