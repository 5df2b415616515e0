"""A gear is of one material, whoever asks."""

from __future__ import annotations

import math

from gearplate.gears.made_of import material_of
from gearplate.gears.spec import GearSpec, ToothSystem

SYSTEM = ToothSystem(module_mm=1.27, pressure_angle_rad=math.radians(20.0))
CLASSES = {"stock hub": "steel", "stock plain": "bronze"}


def test_the_class_says_so_and_a_bare_count_is_the_weaker_of_what_is_sold() -> None:
    assert material_of(GearSpec(61, SYSTEM, source="stock plain"), True, CLASSES) == "bronze"
    assert material_of(GearSpec(61, SYSTEM), False, CLASSES) == "aluminium"
    assert material_of(GearSpec(12, SYSTEM), True, CLASSES) == "steel"
