"""The involute function: against its definition in exact arithmetic and against printed tables."""

from __future__ import annotations

from fractions import Fraction

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from gearplate.gears.involute import inv, inverse_inv


def exact_inv(angle: float) -> float:
    """tan(a) - a by the series of sine and cosine in fractions: no cancellation, no float until the end."""
    a = Fraction(angle)
    sine = cosine = Fraction(0)
    term = Fraction(1)
    for n in range(0, 40, 2):
        cosine += term
        term = term * a / (n + 1)
        sine += term
        term = -term * a / (n + 2)
    return float(sine / cosine - a)


@pytest.mark.parametrize("degrees", [1e-4, 0.01, 1, 5, 10, 14.3, 14.5, 20, 25, 45, 60, 80])
def test_inv_is_exact_to_the_last_places(degrees):
    angle = float(np.radians(degrees))
    assert float(inv(angle)) == pytest.approx(exact_inv(angle), rel=5e-15)


@pytest.mark.parametrize(
    ("degrees", "printed"),
    # Involute tables as in any gear handbook, seven decimals (from memory).
    [(14.5, 0.0055448), (20, 0.0149044), (25, 0.0299753), (30, 0.0537515)],
)
def test_inv_agrees_with_handbook_tables(degrees, printed):
    assert float(inv(np.radians(degrees))) == pytest.approx(printed, abs=6e-8)


@given(st.floats(1e-6, 80.0))
def test_inverse_gives_the_angle_back(degrees):
    angle = np.radians(degrees)
    assert float(inverse_inv(inv(angle))) == pytest.approx(angle, rel=4e-15)


@given(st.floats(1e-300, 1e4))
def test_inv_of_the_inverse_gives_the_value_back(value):
    # Close to a right angle the tangent runs away: a unit in the last place of the angle is worth value^2 there.
    assert float(inv(inverse_inv(value))) == pytest.approx(value, rel=1e-14 + 1e-15 * value)


def test_whole_arrays_keep_their_shape_and_sign():
    values = np.array([[0.0, 0.0149], [-0.0149, 0.3]])
    angles = inverse_inv(values)
    assert angles.shape == (2, 2)
    assert angles[0, 0] == 0.0
    assert angles[1, 0] == -angles[0, 1]
    assert np.all(np.diff(inverse_inv(np.linspace(0, 50, 4001))) > 0)


def test_what_is_not_finite_has_no_angle():
    assert np.isnan(inverse_inv([np.nan, np.inf, -np.inf])).all()
