"""Sums of one line each, with the numbers of the worked examples or by hand."""

from __future__ import annotations

import math

import pytest

from gearplate.rating.plain_sums import bearing_stress_mpa, mesh_force_n, thermal_growth_mm


def test_mesh_force():
    """2 x 8 N m over 76.2 mm, and over cos 20 degrees."""
    assert mesh_force_n(8000.0, 76.2, math.radians(20)) == pytest.approx((209.973753, 223.449401))


def test_what_cools_shrinks():
    assert thermal_growth_mm(100.0, 1e-4, -10.0) == pytest.approx(-0.1)


def test_what_cannot_be_is_refused():
    with pytest.raises(ValueError, match="diameter"):
        mesh_force_n(1.0, 0.0, 0.3)
    with pytest.raises(ValueError, match="above zero"):
        bearing_stress_mpa(1.0, 0.0, 6.0)
