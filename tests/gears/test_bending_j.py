"""J of the generated tooth. No printed table was at hand: only its order and its load point are held."""

from __future__ import annotations

import math

import numpy as np
import pytest

from gearplate.gears.bending_j import bending_geometry, highest_single_radius_mm
from gearplate.gears.contact import contact_limits_mm
from gearplate.gears.tooth import gear_sizes


def pair(z1, z2, x1=0.0, x2=0.0):
    a = math.radians(20)
    return gear_sizes(z1, 1.0, a, x1), gear_sizes(z2, 1.0, a, x2)


def test_load_point_is_where_the_next_pair_comes_in():
    one, two = pair(20, 40)
    radius = highest_single_radius_mm(one, two, 30.0)
    begin, _ = contact_limits_mm(one, two, 30.0)
    assert float(one.flank_length(radius)) == pytest.approx(float(begin) + math.pi * math.cos(math.radians(20)))
    assert float(two.reference_radius_mm) < float(highest_single_radius_mm(two, one, 30.0)) < 21.0


def test_more_teeth_and_more_shift_are_stronger():
    j = [float(bending_geometry(*pair(z, z), z).j) for z in (18, 26, 40, 80)]
    assert j == sorted(j)
    plain = float(bending_geometry(*pair(14, 40), 27.0).j)
    shifted = float(bending_geometry(*pair(14, 40, 0.4, -0.4), 27.0).j)
    assert shifted > plain


def test_recalled_chart_readings_lie_within_a_fifth():
    """0.30 and 0.40 for 17 on 52 teeth at 20 degrees: chart readings from memory, not seen in print."""
    one, two = pair(17, 52)
    assert float(bending_geometry(one, two, 34.5).j) == pytest.approx(0.30, rel=0.2)
    assert float(bending_geometry(two, one, 34.5).j) == pytest.approx(0.40, rel=0.2)


def test_flanks_that_never_meet_have_no_factor():
    one, two = pair(20, 20)
    assert np.isnan(float(bending_geometry(one, two, 22.5).j))
