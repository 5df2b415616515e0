"""gearplate.mesh against gears rolled from the rack by numbers and turned into contact (tests/builders/rolled_flanks).

The builder shares no code and no involute formula with gearplate. Held here: backlash to 0.0001 mm, contact ratio to
0.1 %, and every flag. The spread covers 9 to 80 teeth, DP 10 to 48 and modules 0.5 to 3, the three pressure angles,
shifted and not, thinned, with given tips and centres; each case says what it is for.
"""

from __future__ import annotations

import math

import pytest

from gearplate import mesh
from tests.builders.rolled_flanks import RolledGear, turn

IN = 25.4

CASES = {
    "small equal pinions, both deeply undercut": (12, 12, 14.5, IN / 20, {}),
    "nine on nine": (9, 9, 14.5, 1.0, {"opened": 0.03}),
    "undercut pinion, large gear": (12, 72, 20.0, IN / 20, {"opened": 0.05}),
    "long-addendum pinion at 14.5": (11, 80, 14.5, IN / 32, {"x1": 0.5, "thin": (0.02, 0.03)}),
    "catalogue pinion told by its tip": (9, 60, 20.0, 0.8, {"x1": 0.4, "tip_1": 9.2}),
    "shifted, tips not shortened": (12, 24, 20.0, 3.0, {"x1": 0.6, "x2": 0.36}),
    "long and short addendum": (12, 54, 20.0, 1.27, {"x1": 0.5, "x2": -0.5, "opened": 0.06}),
    "deep rack of 25 degrees, undercut": (10, 34, 25.0, 1.5, {"thin": (0.03, 0.0)}),
    "25 degrees, large": (44, 80, 25.0, IN / 48, {"opened": 0.02, "thin": (0.01, 0.01)}),
    "large gears at 14.5": (40, 80, 14.5, 0.5, {}),
    "both shifted so far that tips meet fillets and roots": (20, 20, 20.0, 1.0, {"x1": 1.0, "x2": 1.0}),
    "overlong tip of gear 1": (40, 20, 20.0, 2.0, {"tip_1": 84.9}),
    "corner digs although the path of contact is whole": (18, 64, 14.5, 0.8, {"x1": 0.66, "x2": 0.4}),
    "undercut and corner in the fillet": (10, 42, 14.5, 0.8, {"x1": -0.155, "x2": -0.355, "opened": 0.04}),
    "pointed pinion": (9, 40, 20.0, 1.0, {"x1": 0.85, "opened": 0.03}),
    "pinion pointed by thinning": (10, 40, 25.0, 1.0, {"x1": 0.5, "thin": (0.08, 0.0)}),
    "short tips": (17, 33, 20.0, IN / 10, {"tip_1": 46.6, "tip_2": 87.0}),
    "closer than without backlash": (24, 36, 20.0, 1.0, {"opened": -0.02}),
    "thirty-two at 14.5: the limit, not undercut": (32, 33, 14.5, IN / 16, {}),
}


def both(z1, z2, angle, module, extra):
    x1, x2 = extra.get("x1", 0.0), extra.get("x2", 0.0)
    thin_1, thin_2 = extra.get("thin", (0.0, 0.0))
    tip_1, tip_2 = extra.get("tip_1"), extra.get("tip_2")
    known = {
        "pressure_angle_deg": angle,
        "module_mm": module,
        "x1": x1,
        "x2": x2,
        "thinning_1_mm": thin_1,
        "thinning_2_mm": thin_2,
        "tip_diameter_1_mm": tip_1,
        "tip_diameter_2_mm": tip_2,
    }
    found = mesh(z1, z2, **known)
    if "opened" in extra:
        found = mesh(z1, z2, **known, centre_mm=found.centre_mm + extra["opened"])
    one, two = (
        RolledGear(z, angle, x, thin / module, tip and tip / 2 / module, points=300)
        for z, x, thin, tip in ((z1, x1, thin_1, tip_1), (z2, x2, thin_2, tip_2))
    )
    return found, turn(one, two, found.centre_mm / module)


@pytest.mark.parametrize("name", CASES)
def test_mesh_agrees_with_rolled_gears(name):
    z1, z2, angle, module, extra = CASES[name]
    found, rolled = both(z1, z2, angle, module, extra)
    assert found.backlash_operating_mm == pytest.approx(rolled.backlash * module, abs=1e-4)
    assert found.contact_ratio == pytest.approx(rolled.contact_ratio, rel=1e-3)
    assert set(found.interference) == rolled.interference


def test_the_spread_fires_every_flag_and_leaves_some_free():
    found = {
        fault
        for z1, z2, angle, module, extra in CASES.values()
        for fault in (both_flags(z1, z2, angle, module, extra) or ("none",))
    }
    assert found >= {"undercut_1", "undercut_2", "tip_in_fillet_1", "tip_in_fillet_2", "pointed_1", "bottoming", "none"}


def both_flags(z1, z2, angle, module, extra):
    thin_1, thin_2 = extra.get("thin", (0.0, 0.0))
    return mesh(
        z1,
        z2,
        module,
        None,
        angle,
        extra.get("x1", 0),
        extra.get("x2", 0),
        thin_1,
        thin_2,
        extra.get("tip_1"),
        extra.get("tip_2"),
    ).interference


def test_the_oracle_knows_plain_truths():
    """Not from gearplate: root, tip and thickness of a standard gear, and backlash of unshifted gears held apart."""
    gear = RolledGear(30, 20.0)
    assert gear.rolled(15.0)[0] * 2 * 15.0 == pytest.approx(math.pi / 2, abs=1e-9)
    assert not gear.undercut
    assert not gear.pointed
    assert RolledGear(12, 20.0).undercut
    # The linear rule of the handbooks: backlash is near 2 x added centre x tan(pressure angle).
    opened = turn(gear, gear, 30.01)
    assert opened.backlash == pytest.approx(2 * 0.01 * math.tan(math.radians(20)), rel=0.01)
    assert opened.interference == frozenset()
