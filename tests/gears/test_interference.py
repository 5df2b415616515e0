"""Interference: real corners against real fillets, and the textbook limits beside them."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from gearplate import mesh
from gearplate.gears import limits
from gearplate.gears.interference import corner_depth_mm, interference
from gearplate.gears.tooth import gear_sizes

ANGLES = st.sampled_from([14.5, 20.0, 25.0]).map(np.radians)


@given(st.integers(9, 200), st.integers(9, 200), ANGLES, st.floats(0, 0.2))
def test_standard_gears_cut_by_the_rack_never_interfere(z1, z2, a, opened):
    """The rack's corner, the deepest of all mates, has already cut away what a mate's corner needs."""
    one, two = gear_sizes(z1, 1.0, a), gear_sizes(z2, 1.0, a)
    found = interference(one, two, (z1 + z2) / 2 + opened)
    assert not found.tip_in_fillet_1
    assert not found.tip_in_fillet_2
    assert not found.bottoming
    assert bool(found.undercut_1) == bool(one.undercut)


def test_names_say_whose_tip_it_is():
    """Gear 1 with an overlong tip: it is gear 1's corner that digs, and its tip that runs out of clearance."""
    found = mesh(40, 20, module_mm=1, tip_diameter_1_mm=42.45)
    assert found.tip_clearance_1_mm == pytest.approx(0.025)
    assert found.tip_clearance_2_mm == pytest.approx(0.25)
    assert found.interference == ("tip_in_fillet_1",)
    assert mesh(20, 40, module_mm=1, tip_diameter_2_mm=42.45).interference == ("tip_in_fillet_2",)


def test_depth_grows_steadily_from_the_first_touch():
    mate = gear_sizes(24, 1.0, np.radians(20))
    tips = np.linspace(42.0, 42.49, 200)
    depth = corner_depth_mm(gear_sizes(40, 1.0, np.radians(20), tip_diameter_mm=tips), mate, 32.0)
    assert depth[0] < 0 < depth[-1]
    assert np.all(np.diff(depth) > 0)


def test_bottoming_is_told_at_the_root_circle():
    assert "bottoming" not in mesh(40, 40, module_mm=1, tip_diameter_1_mm=42.4999).interference
    assert "bottoming" in mesh(40, 40, module_mm=1, tip_diameter_1_mm=42.5).interference


def test_pointed_teeth_end_where_the_flanks_meet():
    found = mesh(9, 60, module_mm=1, x1=0.9)
    assert "pointed_1" in found.interference
    ends = 2 * float(gear_sizes(9, 1.0, np.radians(20), 0.9).pointed_radius_mm)
    real = mesh(9, 60, module_mm=1, x1=0.9, tip_diameter_1_mm=ends - 1e-9)
    assert "pointed_1" not in real.interference
    assert real.contact_ratio == pytest.approx(found.contact_ratio, abs=1e-8)
    assert found.contact_ratio < found.contact_ratio_formula


def test_shortened_tips_of_a_shifted_pair_mend_the_interference():
    x = 1.0
    full = mesh(20, 20, module_mm=1, x1=x, x2=x)
    assert full.interference == ("tip_in_fillet_1", "tip_in_fillet_2", "bottoming")
    tip = 2 * (full.centre_mm - (10 - 1.25 + x) - 0.25)
    assert mesh(20, 20, module_mm=1, x1=x, x2=x, tip_diameter_1_mm=tip, tip_diameter_2_mm=tip).interference == ()


def test_arrays_agree_with_single_pairs():
    tips = np.linspace(41.0, 43.0, 9)
    one = gear_sizes(40, 1.0, np.radians(14.5), tip_diameter_mm=tips)
    two = gear_sizes(np.array([[12], [25], [60]]), 1.0, np.radians(14.5))
    centres = np.array([[26.0], [32.5], [50.0]])
    many = corner_depth_mm(one, two, centres)
    assert many.shape == (3, 9)
    for i, z in enumerate((12, 25, 60)):
        for j in range(9):
            single = corner_depth_mm(
                gear_sizes(40, 1.0, np.radians(14.5), tip_diameter_mm=tips[j]),
                gear_sizes(z, 1.0, np.radians(14.5)),
                float(centres[i, 0]),
            )
            assert many[i, j] == pytest.approx(float(single), abs=1e-12)


@given(ANGLES, st.floats(0.7, 1.1))
def test_textbook_limits_hang_together(a, addendum):
    equal = float(limits.least_pinion_teeth(1.0, a, addendum))
    rack = float(limits.least_pinion_with_rack_teeth(a, addendum))
    assert equal < float(limits.least_pinion_teeth(4.0, a, addendum)) < rack
    assert float(limits.least_pinion_teeth(1e7, a, addendum)) == pytest.approx(rack, rel=1e-6)
    assert float(limits.largest_gear_teeth(equal, a, addendum)) == pytest.approx(equal, rel=1e-9)
    assert float(limits.largest_gear_teeth(rack + 1, a, addendum)) == np.inf
    assert float(limits.least_shift(rack, a, addendum)) == pytest.approx(0.0, abs=1e-12)


@given(st.floats(0.3, 8), ANGLES)
def test_at_the_least_pinion_the_mate_reaches_just_to_the_base_tangent(ratio, a):
    """What the textbook's formula says, held against the tip circle itself."""
    z1 = float(limits.least_pinion_teeth(ratio, a))
    z2 = z1 * ratio
    tip = z2 / 2 + 1
    reach = np.sqrt(tip**2 - (z2 / 2 * np.cos(a)) ** 2)
    assert reach == pytest.approx((z1 + z2) / 2 * np.sin(a), rel=1e-12)
