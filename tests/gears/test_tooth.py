"""One generated tooth: the rack's numbers, thickness, points, and where its involute begins."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from gearplate.gears.rack import basic_rack
from gearplate.gears.tooth import (
    gear_sizes,
    half_flank_points,
    pressure_angle_at,
    thickness_at,
    thinnest_below_flank_mm,
    tip_thickness_mm,
)
from tests.builders.rolled_flanks import RolledGear

ANGLES = st.sampled_from([14.5, 20.0, 25.0])
TEETH = st.integers(9, 120)


def test_rack_has_the_tip_radii_of_the_convention():
    # 0.334, 0.380, 0.318 modules, as the project's own convention prints them.
    rack = basic_rack(np.radians([14.5, 20.0, 25.0]))
    assert np.round(rack.tip_radius, 3) == pytest.approx([0.334, 0.380, 0.318])
    assert rack.straight_depth == pytest.approx([1.0, 1.0, 1.0665], abs=5e-5)
    assert rack.tip_centre_offset[2] == pytest.approx(0.0, abs=1e-15)


def test_sizes_of_a_plain_gear():
    gear = gear_sizes(20, 2.0, np.radians(20))
    assert float(gear.reference_diameter_mm) == 40.0
    assert float(gear.tip_diameter_mm) == 44.0
    assert float(gear.root_diameter_mm) == 35.0
    assert float(gear.base_diameter_mm) == pytest.approx(40 * np.cos(np.radians(20)))
    assert float(gear.reference_thickness_mm) == pytest.approx(np.pi)
    assert float(thickness_at(gear, 20.0)) == pytest.approx(np.pi)
    assert float(np.degrees(pressure_angle_at(gear, 20.0))) == pytest.approx(20.0)
    assert np.isnan(pressure_angle_at(gear, 18.0))


@given(TEETH, ANGLES, st.floats(-0.3, 0.8), st.floats(0, 0.1))
def test_flanks_meet_at_the_pointed_radius(teeth, angle, shift, thinning):
    gear = gear_sizes(teeth, 1.0, np.radians(angle), shift, thinning)
    assert float(thickness_at(gear, gear.pointed_radius_mm)) == pytest.approx(0.0, abs=1e-12)
    assert bool(gear.pointed) == bool(tip_thickness_mm(gear) <= 0)
    assert float(gear.tip_radius_mm) == min(float(gear.nominal_tip_radius_mm), float(gear.pointed_radius_mm))


@given(TEETH, ANGLES, st.floats(-0.4, 0.8), st.floats(0, 0.1))
def test_fillet_meets_the_involute_at_the_form_circle(teeth, angle, shift, thinning):
    gear = gear_sizes(teeth, 1.0, np.radians(angle), shift, thinning)
    radius, half = gear.cutting.fillet(gear.form_normal_angle_rad)
    assert float(radius) == pytest.approx(float(gear.form_radius_mm), rel=1e-12)
    assert float(half) == pytest.approx(float(gear.half_angle(gear.form_radius_mm)), abs=1e-12)
    assert gear.form_radius_mm >= gear.base_radius_mm * (1 - 1e-15)
    root, _ = gear.cutting.fillet(np.pi / 2)
    assert float(root) == pytest.approx(float(gear.root_radius_mm), rel=1e-14)


@given(TEETH, ANGLES, st.floats(-0.4, 0.8))
def test_undercut_begins_where_the_straight_flank_passes_the_base_tangent(teeth, angle, shift):
    a = np.radians(angle)
    gear = gear_sizes(teeth, 1.0, a, shift)
    spare = teeth / 2 * np.sin(a) ** 2 - (float(basic_rack(a).straight_depth) - shift)
    if abs(spare) > 1e-8:
        assert bool(gear.undercut) == (spare < 0)


@pytest.mark.parametrize(
    ("angle", "teeth", "undercut"),
    # The handbook limits: 32 at 14.5 degrees, 18 at 20; at 25 the textbook says 12 and so does this deeper rack.
    [(14.5, 31, True), (14.5, 32, False), (20, 17, True), (20, 18, False), (25, 11, True), (25, 12, False)],
)
def test_handbook_undercut_limits(angle, teeth, undercut):
    assert bool(gear_sizes(teeth, 1.0, np.radians(angle)).undercut) is undercut


@given(TEETH, ANGLES, st.floats(-0.3, 0.6), st.floats(0.2, 10))
def test_sizes_scale_with_the_module(teeth, angle, shift, module):
    one = gear_sizes(teeth, 1.0, np.radians(angle), shift, 0.02)
    other = gear_sizes(teeth, module, np.radians(angle), shift, 0.02 * module)
    for name in ("form_radius_mm", "pointed_radius_mm", "root_radius_mm", "tip_radius_mm", "reference_thickness_mm"):
        assert float(getattr(other, name)) == pytest.approx(module * float(getattr(one, name)), rel=1e-12)


def test_arrays_agree_with_single_gears():
    teeth, shift = np.arange(9, 49)[:, None], np.array([-0.2, 0.0, 0.5])
    many = gear_sizes(teeth, 1.5, np.radians(14.5), shift, 0.01, np.full((40, 3), np.nan))
    for i, j in [(0, 0), (3, 1), (22, 2), (39, 0)]:
        single = gear_sizes(teeth[i, 0], 1.5, np.radians(14.5), shift[j], 0.01)
        assert many.form_radius_mm[i, j] == pytest.approx(float(single.form_radius_mm), rel=1e-14)
        assert many.undercut[i, j] == single.undercut


@settings(max_examples=8, deadline=None)
@given(st.integers(9, 80), ANGLES, st.floats(-0.2, 0.7), st.floats(0, 0.06))
def test_whole_boundary_is_the_rolled_one(teeth, angle, shift, thinning):
    """Every point of fillet and flank lies where rolling the rack by numbers leaves the boundary."""
    rolled = RolledGear(teeth, angle, shift, thinning, points=40)
    gear = gear_sizes(teeth, 1.0, np.radians(angle), shift, thinning)
    radius, half = half_flank_points(gear, 25)
    inner = slice(1, None)  # at the very root circle the rolled boundary is the whole arc
    assert radius.shape == half.shape == (49,)
    assert rolled.rolled(radius[inner]) == pytest.approx(half[inner], abs=1e-8)
    assert rolled.tip == pytest.approx(float(gear.tip_radius_mm), abs=1e-8)


def test_few_teeth_are_severed_by_their_undercut():
    assert thinnest_below_flank_mm(gear_sizes(4, 1.0, np.radians(14.5), -0.3)) < 0
    assert thinnest_below_flank_mm(gear_sizes(9, 1.0, np.radians(14.5), 0.0)) > 0.4
