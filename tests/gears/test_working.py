"""Centre distances and backlash: identities that hold for every pair."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from gearplate.gears import working
from gearplate.gears.tooth import gear_sizes, thickness_at

ANGLES = st.sampled_from([14.5, 20.0, 25.0]).map(np.radians)
TEETH = st.integers(9, 120)
SHIFTS = st.floats(-0.2, 0.8)


@given(TEETH, TEETH, ANGLES, SHIFTS, SHIFTS)
def test_shift_sum_and_centre_are_each_others_inverse(z1, z2, a, x1, x2):
    centre = working.working_centre_mm(z1, z2, 1.25, a, x1, x2)
    if np.isfinite(centre):
        assert float(working.shift_sum_for_centre(z1, z2, 1.25, a, centre)) == pytest.approx(x1 + x2, abs=1e-9)


@given(TEETH, TEETH, ANGLES, st.floats(1.0001, 1.2))
def test_working_circles_roll_on_each_other(z1, z2, a, opened):
    centre = float(working.standard_centre_mm(z1, z2, 2.0)) * opened
    aw = working.pressure_angle_at_centre_rad(z1, z2, 2.0, a, centre)
    r1, r2 = (z * 1.0 * np.cos(a) / np.cos(aw) for z in (z1, z2))
    assert float(r1 + r2) == pytest.approx(centre, rel=1e-14)
    assert float(r1 / r2) == pytest.approx(z1 / z2, rel=1e-14)


@given(TEETH, TEETH, ANGLES, SHIFTS, SHIFTS, st.floats(0, 0.1), st.floats(0, 0.1), st.floats(0.99, 1.05))
def test_backlash_is_pitch_less_both_thicknesses(z1, z2, a, x1, x2, s1, s2, opened):
    centre = float(working.standard_centre_mm(z1, z2, 1.0)) * opened
    if centre <= working.base_contact_centre_mm(z1, z2, 1.0, a):
        return
    r1, r2 = centre * z1 / (z1 + z2), centre * z2 / (z1 + z2)
    teeth = thickness_at(gear_sizes(z1, 1.0, a, x1, s1), r1) + thickness_at(gear_sizes(z2, 1.0, a, x2, s2), r2)
    found = working.backlash_operating_mm(z1, z2, 1.0, a, x1 + x2, s1 + s2, centre)
    assert float(found) == pytest.approx(2 * np.pi * r1 / z1 - float(teeth), abs=1e-12)


def test_unshifted_gears_stand_at_exactly_half_their_sum():
    assert float(working.working_centre_mm(12, 60, 1.27, np.radians(20))) == 45.72
    assert float(working.working_centre_mm(12, 54, 1.27, np.radians(20), 0.5, -0.5)) == 1.27 * 33


def test_impossible_pairs_are_not_numbers():
    assert np.isnan(working.working_centre_mm(12, 12, 1.0, np.radians(14.5), -0.3, -0.3))
    assert np.isnan(working.pressure_angle_at_centre_rad(12, 12, 1.0, np.radians(20), 11.0))


def test_many_pairs_at_once():
    centres = working.working_centre_mm(np.arange(9, 15)[:, None], np.array([30, 60, 72]), 0.8, 0.35, 0.3)
    assert centres.shape == (6, 3)
    assert np.all(np.diff(centres, axis=0) > 0)
