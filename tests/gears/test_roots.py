"""Roots in brackets: found to machine precision, in few steps, and never invented."""

from __future__ import annotations

import numpy as np
from hypothesis import given
from hypothesis import strategies as st

from gearplate.gears.roots import bracketed_root


@given(st.lists(st.floats(-0.999, 0.999), min_size=1, max_size=6))
def test_finds_each_root_in_its_own_bracket(wanted):
    target = np.array(wanted)
    calls = 0

    def function(x):
        nonlocal calls
        calls += 1
        return np.expm1(3 * (x - target))

    found = bracketed_root(function, np.full(len(wanted), -1.0), 1.0)
    assert np.allclose(found, target, rtol=0, atol=2e-15)
    assert calls < 60


def test_steep_and_flat_functions_still_end():
    found = bracketed_root(lambda x: np.where(x < 0.3, -1.0, 1.0), np.array(0.0), np.array(1.0))
    assert abs(float(found) - 0.3) < 1e-14
    found = bracketed_root(lambda x: (x - 0.25) ** 9, np.array(0.0), np.array(1.0))
    assert abs(float(found) - 0.25) < 1e-6


def test_no_root_is_not_a_number_and_an_end_may_be_the_root():
    found = bracketed_root(lambda x: x - np.array([2.0, 1.0, 0.0]), np.zeros(3), 1.0)
    assert np.isnan(found[0])
    assert found[1] == 1.0
    assert found[2] == 0.0
