"""What a gear is made of: one answer for its strength and for its growth."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from gearplate.gears.spec import GearSpec

BY_COUNT = {True: "steel", False: "aluminium"}  # of gears by tooth count alone, pinions or not; common practice


def material_of(gear: GearSpec, pinion: bool, by_class: Mapping[str, str]) -> str:
    """Its class says so (`by_class`: materials by the gear class that a GearSpec names as its source); a gear by tooth
    count alone is taken as steel where it is a motor's pinion and as aluminium else, the weaker of what is sold."""
    return by_class.get(gear.source, BY_COUNT[pinion])
