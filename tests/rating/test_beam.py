"""The beam against closed forms of any handbook (simply supported and overhung), and by balance."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from gearplate.rating.beam import Beam

EI = 1.0e8


def test_force_in_the_middle():
    beam = Beam(0.0, 80.0, ((40.0, -500.0),))
    assert beam.reactions_n == pytest.approx((250.0, 250.0))
    assert beam.moment_n_mm(40.0) == pytest.approx(500.0 * 80.0 / 4)
    left, middle, right = beam.slopes_rad(EI, (0.0, 40.0, 80.0))
    assert -left == right == pytest.approx(500.0 * 80.0**2 / (16 * EI))
    assert middle == pytest.approx(0.0, abs=1e-15)


def test_overhung_force():
    """Slope at the end of an overhang c beyond a span L: W c (2 L + 3 c) / (6 E I)."""
    beam = Beam(0.0, 50.0, ((80.0, 300.0),))
    assert beam.reactions_n == pytest.approx((180.0, -480.0))
    assert beam.slopes_rad(EI, (80.0,))[0] == pytest.approx(300.0 * 30.0 * (2 * 50.0 + 3 * 30.0) / (6 * EI))


def test_couple_at_a_support():
    """Slope under an end couple M on a span L: M L / (3 E I), and half of it, the other way, at the far end."""
    beam = Beam(0.0, 60.0, (), ((60.0, 9000.0),))
    far, near = beam.slopes_rad(EI, (0.0, 60.0))
    assert near == pytest.approx(9000.0 * 60.0 / (3 * EI))
    assert far == pytest.approx(-near / 2)
    assert beam.moment_n_mm(60.0) == pytest.approx(9000.0)
    assert beam.moment_n_mm(60.0, after=True) == pytest.approx(0.0, abs=1e-9)


loads = st.lists(st.tuples(st.floats(-50, 150), st.floats(-1000, 1000)), max_size=5).map(tuple)


@given(loads, loads)
def test_whatever_acts_is_balanced(forces, couples):
    beam = Beam(0.0, 70.0, forces, couples)
    a, b = beam.reactions_n
    assert a + b + sum(f for _, f in forces) == pytest.approx(0.0, abs=1e-8)
    assert b * 70.0 + sum(f * z for z, f in forces) + sum(c for _, c in couples) == pytest.approx(0.0, abs=1e-6)
    assert beam.moment_n_mm(1000.0) == pytest.approx(0.0, abs=1e-5)


def test_supports_in_one_place_are_refused():
    with pytest.raises(ValueError, match="apart"):
        Beam(5.0, 5.0)
