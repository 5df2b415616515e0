"""Lewis's equation and the velocity factors. Printed examples are in tests/truth; here what holds everywhere."""

from __future__ import annotations

import numpy as np
import pytest

from gearplate.gears import lewis


def test_factors_of_both_unit_systems_are_nearly_the_same():
    """Rounded constants: 1200 ft/min is 6.096 m/s. (Shigley, equations for both systems, from memory.)"""
    for finish in lewis.Finish:
        for speed in (0.0, 0.5, 3.0, 12.0):
            si = float(lewis.velocity_factor(speed, finish))
            assert si == pytest.approx(float(lewis.velocity_factor_fpm(speed / 0.00508, finish)), rel=2e-3)
            assert si >= 1.0


def test_better_teeth_knock_less():
    factors = [float(lewis.velocity_factor(5.0, finish)) for finish in lewis.Finish]
    assert factors == sorted(factors, reverse=True)


def test_load_and_stress_go_back():
    load = lewis.permissible_load(150.0, 12.7, 1.27, 0.3, 1.4)
    assert float(lewis.static_stress(load, 12.7, 1.27, 0.3)) * 1.4 == pytest.approx(150.0)


def test_many_teeth_at_once():
    found = lewis.bending(np.array([100.0, 200.0]), 10.0, 2.0, np.array([0.3, 0.4]), 6.1)
    assert found.velocity_factor == pytest.approx(2.0)
    assert found.stress == pytest.approx([100 / 6 * 2, 25 * 2])


@pytest.mark.parametrize("sizes", [(0.0, 1.0, 0.3), (10.0, -1.0, 0.3), (10.0, 1.0, 0.0), (10.0, 1.0, np.nan)])
def test_no_tooth_is_refused(sizes):
    with pytest.raises(ValueError, match="above zero"):
        lewis.static_stress(100.0, *sizes)
