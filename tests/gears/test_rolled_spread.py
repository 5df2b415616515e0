"""Backlash and contact ratio over the whole range of gears that plates carry, against gears rolled from the rack.

Diametral pitch 10 to 48 and modules 0.5 to 3, 9 to 80 teeth, 14.5, 20 and 25 degrees, shifted and not, thinned and
not, held apart. test_rolled.py holds single hard cases closer, and every flag; here the range is what counts.
"""

from __future__ import annotations

import random

import pytest

from gearplate import mesh
from tests.builders.rolled_flanks import RolledGear, turn

ANGLES = (14.5, 20.0, 25.0)
MODULES = (*(25.4 / pitch for pitch in (10, 16, 24, 48)), 0.5, 0.8, 1.5, 3.0)
ENDS = {0: (9, 9), 1: (9, 80), 2: (80, 80)}  # the corners of the range come first


def spread():
    """One pair for each size and angle; teeth, shifts, thinning and distance from the generator, always the same."""
    chosen = random.Random(5)
    for number, (module, angle) in enumerate((m, a) for m in MODULES for a in ANGLES):
        teeth = ENDS.get(number) or sorted(chosen.randint(9, 80) for _ in range(2))
        shifted = number % 3 != 0
        shifts = (round(chosen.uniform(-0.1, 0.6), 2), round(chosen.uniform(-0.3, 0.5), 2)) if shifted else (0.0, 0.0)
        thinning = 0.0 if number % 2 else round(0.03 * module, 4)
        yield module, angle, tuple(teeth), shifts, thinning, round(chosen.uniform(0.02, 0.1) * module, 4)


@pytest.mark.parametrize(
    "case", list(spread()), ids=lambda case: f"{case[2][0]}-{case[2][1]}-m{case[0]:.3g}-{case[1]:g}deg"
)
def test_backlash_and_contact_ratio_are_those_of_rolled_gears(case):
    module, angle, teeth, shifts, thinning, opened = case
    known = (*teeth, module, None, angle, *shifts, thinning, thinning)
    found = mesh(*known, centre_mm=mesh(*known).centre_mm + opened)
    gears = (RolledGear(z, angle, x, thinning / module, points=60) for z, x in zip(teeth, shifts, strict=True))
    rolled = turn(*gears, found.centre_mm / module, positions=41)
    assert found.backlash_operating_mm == pytest.approx(rolled.backlash * module, abs=1e-4)  # wanted: 0.002 mm
    assert found.contact_ratio == pytest.approx(rolled.contact_ratio, rel=1e-3)  # wanted: 0.5 %
