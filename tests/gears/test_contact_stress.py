"""Contact stress: Hertz's own equation for two cylinders solved by numbers, and I against it."""

from __future__ import annotations

import math

import pytest

from gearplate.gears import contact_stress as contact


def test_steel_on_steel_as_printed():
    """Shigley's table of elastic coefficients: 2300 sqrt(psi) for steel at 30e6 psi and 0.3, 191 sqrt(MPa) beside it
    (from memory). It prints few digits."""
    mpa = 30e6 * 0.00689476
    assert float(contact.elastic_coefficient(30e6, 0.3, 30e6, 0.3)) == pytest.approx(2300, rel=0.005)
    assert float(contact.elastic_coefficient(mpa, 0.3, mpa, 0.3)) == pytest.approx(191, rel=0.005)


def test_the_pressure_carries_the_load():
    """Half an ellipse of pressure on a strip of half width b = 4 w / (pi 2 p): b from the flattening of two cylinders,
    b^2 = 4 w R / (pi E*), any text on contact."""
    w, radius_1, radius_2, e = 250.0, 4.0, 9.0, 2.1e5
    a = math.radians(20)
    one, two = (2 * r / math.sin(a) for r in (radius_1, radius_2))
    cp = contact.elastic_coefficient(e, 0.3, e, 0.3)
    p = float(contact.contact_stress(w * math.cos(a), 1.0, one, two, a, cp))
    e_star = e / (2 * (1 - 0.09))
    radius = 1 / (1 / radius_1 + 1 / radius_2)
    half_width = math.sqrt(4 * w * radius / (math.pi * e_star))
    assert p * math.pi * half_width / 2 == pytest.approx(w, rel=1e-12)


@pytest.mark.parametrize("internal", [False, True])
def test_agma_i_says_the_same_as_hertz(internal):
    a, d1, ratio, load, face, cp = math.radians(20), 30.0, 2.5, 800.0, 12.0, 190.0
    d2 = -d1 * ratio if internal else d1 * ratio
    hertz = float(contact.contact_stress(load, face, d1, d2, a, cp))
    i = float(contact.geometry_factor_i(ratio, a, internal=internal))
    assert cp * math.sqrt(load / (face * d1 * i)) == pytest.approx(hertz, rel=1e-12)


def test_what_cannot_be_is_refused():
    with pytest.raises(ValueError, match="above zero"):
        contact.elastic_coefficient(0.0, 0.3, 2e5, 0.3)
    with pytest.raises(ValueError, match="1 or more"):
        contact.geometry_factor_i(0.5, 0.35)
