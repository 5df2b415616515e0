"""Backlash of a pair against the gears room's own relation and against plain differences."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from gearplate.gears.mesh import mesh
from gearplate.gears.play.pair import Pair

pairs = st.builds(
    Pair,
    st.integers(9, 80),
    st.integers(9, 80),
    st.floats(0.5, 3.0),
    st.sampled_from([math.radians(14.5), math.radians(20), math.radians(25)]),
    st.floats(0.0, 1.0),
)


@given(pairs, st.floats(0.0, 0.5), st.floats(0.0, 0.2))
def test_it_is_the_backlash_of_the_mesh(pair: Pair, added: float, thinning: float) -> None:
    degrees = math.degrees(pair.pressure_angle_rad)
    known = (pair.teeth_1, pair.teeth_2, pair.module_mm, None, degrees, pair.shift_sum, 0.0, 0.5 * thinning)
    free = mesh(*known[:7])
    found = mesh(*known, 0.5 * thinning, centre_mm=free.centre_mm + added)
    assert pair.backlash_mm(found.centre_mm, thinning) == pytest.approx(found.backlash_operating_mm, abs=1e-9)
    assert pair.working_angle_rad(found.centre_mm) == pytest.approx(math.radians(found.working_pressure_angle_deg))
    many = pair.backlash_many_mm(np.array([found.centre_mm]), thinning)
    assert many[0] == pytest.approx(found.backlash_operating_mm, abs=1e-9)


@given(pairs, st.floats(0.01, 0.5), st.floats(0.0, 0.2))
def test_slopes_are_those_of_plain_differences(pair: Pair, added: float, thinning: float) -> None:
    centre = pair.centre_for_mm(0.0, 0.0) + added
    step = 1e-5
    apart = pair.backlash_mm(centre + step, thinning) - pair.backlash_mm(centre - step, thinning)
    assert pair.per_centre(centre, thinning) == pytest.approx(apart / (2 * step), rel=1e-5)
    thinner = pair.backlash_mm(centre, thinning + step) - pair.backlash_mm(centre, thinning - step)
    assert pair.per_thinning(centre) == pytest.approx(thinner / (2 * step), rel=1e-5)


@given(pairs, st.floats(-0.02, 0.4), st.floats(0.0, 0.2))
def test_the_centre_for_a_backlash_has_it(pair: Pair, backlash: float, thinning: float) -> None:
    centre = pair.centre_for_mm(backlash, thinning)
    assert pair.backlash_mm(centre, thinning) == pytest.approx(backlash, abs=1e-10)


def test_a_grown_gear_is_the_gear_of_a_larger_module() -> None:
    pair, grown = Pair(20, 40, 1.0, math.radians(20)), Pair(20, 40, 1.001, math.radians(20))
    assert pair.backlash_many_mm(30.08, 0.05, 0.001) == pytest.approx(grown.backlash_mm(30.08, 0.05 * 1.001))
    # Plates and gears that grow alike scale everything, and no more.
    alike = pair.backlash_many_mm(30.05 * 1.002, 0.0, 0.002)
    assert alike == pytest.approx(1.002 * pair.backlash_mm(30.05, 0.0))


def test_the_linear_rule_is_some_per_cent_off_on_shifted_pairs() -> None:
    """2 dC tan a against the exact relation: the pair of the handbooks, 12 and 24 teeth shifted by 0.6 and 0.36."""
    pair = Pair(12, 24, 3.0, math.radians(20), 0.96)
    centre = pair.centre_for_mm(0.0, 0.0)
    assert centre == pytest.approx(56.4999, abs=1e-4)  # printed with the example
    exact = pair.backlash_mm(centre + 0.05, 0.0)
    assert 0.30 < exact / (2 * 0.05 * math.tan(math.radians(20))) - 1.0 < 0.40
    assert abs(exact / (2 * 0.05 * math.tan(math.radians(26.0888))) - 1.0) < 0.01


def test_below_base_contact_there_is_none() -> None:
    pair = Pair(20, 40, 1.0, math.radians(20))
    assert math.isnan(pair.backlash_mm(pair.base_centre_mm, 0.0))
    assert math.isnan(pair.working_angle_rad(20.0))
    assert math.isnan(float(pair.backlash_many_mm(20.0, 0.0)))
