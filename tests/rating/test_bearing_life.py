"""ISO 281 and ISO 76. Table rows from memory of the standards; worked examples in print are in tests/truth."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from gearplate.rating import bearing_life as life


@pytest.mark.parametrize(("percent", "a1"), [(90, 1.0), (95, 0.64), (96, 0.55), (98, 0.37), (99, 0.25), (97.5, 0.42)])
def test_reliability(percent, a1):
    assert life.reliability_factor(percent) == pytest.approx(a1)


@pytest.mark.parametrize("percent", [50, 89.9, 99.96, 100])
def test_no_factor_outside_of_the_standard(percent):
    with pytest.raises(ValueError, match="90 to"):
        life.reliability_factor(percent)


def test_rollers_live_longer_above_one_and_the_same_at_c():
    assert life.life_million_turns(100.0, 100.0, life.ROLLER_EXPONENT) == pytest.approx(1.0)
    assert life.life_million_turns(1000.0, 100.0, life.ROLLER_EXPONENT) == pytest.approx(10 ** (10 / 3))
    assert life.life_million_turns(1000.0, 100.0, life_factor=0.64) == pytest.approx(640.0)
    assert life.life_million_turns(1000.0, 0.0) == math.inf
    assert life.hours(216.0, 1500.0) == pytest.approx(2400.0)
    assert life.hours(1.0, 0.0) == math.inf


@given(st.floats(10, 1e5), st.floats(0.1, 1e4), st.sampled_from([3.0, 10 / 3]))
def test_needed_rating_goes_back(load, millions, exponent):
    rating = life.needed_dynamic_n(millions, load, exponent)
    assert life.life_million_turns(rating, load, exponent) == pytest.approx(millions)


def test_axial_factors_of_the_table():
    assert life.axial_factors(28.0, 1000.0) == pytest.approx((0.22, 1.99))
    assert life.axial_factors(1.03 / 14 * 1000, 1000.0, 14.0) == pytest.approx((0.28, 1.55))
    e, y = life.axial_factors(31.5, 1000.0)
    assert (e, y) == pytest.approx((0.22 + 0.02 * 0.25, 1.99 - 0.14 * 0.25))
    assert life.axial_factors(1e9, 1000.0) == (0.44, 1.00)


def test_small_axial_loads_are_ignored():
    found = life.equivalent_load(1000.0, 200.0, 5000.0)  # Fa/C0 = 0.04: e = 0.237 > 0.2
    assert (found.load_n, found.x, found.y) == (1000.0, 1.0, 0.0)
    heavy = life.equivalent_load(1000.0, 900.0, 5000.0)  # Fa/C0 = 0.18
    assert heavy.load_n == pytest.approx(0.56 * 1000 + heavy.y * 900)
    assert life.equivalent_load(100.0, 0.0).load_n == 100.0
    assert life.equivalent_load(1000.0, 0.0, rotation_factor=1.2).load_n == pytest.approx(1200.0)


@given(st.floats(1, 1e4), st.floats(1e2, 1e5))
def test_equivalent_load_never_jumps_at_e(radial, static):
    """X + Y e is 1 within the rounding of the table: the two branches meet."""
    e, y = life.axial_factors(0.25 * radial, static)
    assert 0.56 + y * e == pytest.approx(1.0, abs=0.05)


def test_static_load_of_iso_76():
    assert life.static_load_n(1000.0, 100.0) == 1000.0
    assert life.static_load_n(1000.0, 2000.0) == pytest.approx(1600.0)
    assert life.static_safety(3200.0, 1600.0) == 2.0
    assert life.static_safety(1.0, 0.0) == math.inf


@pytest.mark.parametrize(
    "call",
    [
        lambda: life.life_million_turns(0.0, 1.0),
        lambda: life.life_million_turns(1.0, -1.0),
        lambda: life.equivalent_load(1.0, 1.0),
        lambda: life.axial_factors(1.0, 0.0),
    ],
)
def test_what_cannot_be_is_refused(call):
    with pytest.raises(ValueError, match=r"\w"):
        call()
