"""Reactions: balance of forces and moments, whatever the place."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from gearplate.rating.plain_sums import bearing_stress_mpa, thermal_growth_mm
from gearplate.rating.statics import mesh_force_n, reactions


@given(st.floats(-1e4, 1e4), st.floats(-200, 300), st.floats(1, 200))
def test_forces_and_moments_balance(force, place, span):
    a, b = reactions(force, place, span)
    assert a + b == pytest.approx(force, abs=1e-6)
    assert b * span == pytest.approx(force * place, abs=1e-5)


def test_an_overhung_gear_loads_the_near_bearing_with_more_than_its_force():
    a, b = reactions(100.0, -25.0, 50.0)
    assert (a, b) == (150.0, -50.0)


def test_mesh_force():
    assert mesh_force_n(8000.0, 76.2, math.radians(20)) == pytest.approx((209.973753, 223.449401))


def test_what_cannot_be_is_refused():
    with pytest.raises(ValueError, match="apart"):
        reactions(1.0, 1.0, 0.0)
    with pytest.raises(ValueError, match="diameter"):
        mesh_force_n(1.0, 0.0, 0.3)
    with pytest.raises(ValueError, match="above zero"):
        bearing_stress_mpa(1.0, 0.0, 6.0)
    assert thermal_growth_mm(100.0, 1e-4, -10.0) == pytest.approx(-0.1)
