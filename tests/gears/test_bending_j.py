"""J of the generated tooth, against rows of AGMA 908-B89's tables from memory: no print was at hand."""

from __future__ import annotations

import math

import numpy as np
import pytest

from gearplate.gears import rack, tooth
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


# AGMA 908-B89, geometry factor J of spur gears without shift, loaded at the highest point of single tooth contact; from
# memory, as textbooks of machine design reprint it. (pinion teeth, gear teeth): (J of the pinion, J of the gear).
TABLE_20_DEG = {
    (21, 21): (0.33, 0.33),
    (21, 26): (0.33, 0.35),
    (26, 26): (0.35, 0.35),
    (21, 35): (0.34, 0.37),
    (26, 35): (0.36, 0.38),
    (35, 35): (0.39, 0.39),
    (21, 55): (0.34, 0.40),
    (26, 55): (0.37, 0.41),
    (35, 55): (0.40, 0.42),
    (55, 55): (0.43, 0.43),
    (21, 135): (0.35, 0.43),
    (26, 135): (0.38, 0.44),
    (35, 135): (0.41, 0.45),
    (55, 135): (0.45, 0.47),
    (135, 135): (0.49, 0.49),
}
TABLE_25_DEG = {
    (14, 14): (0.33, 0.33),
    (14, 17): (0.33, 0.36),
    (17, 17): (0.36, 0.36),
    (14, 21): (0.33, 0.39),
    (17, 21): (0.36, 0.39),
    (21, 21): (0.39, 0.39),
    (14, 26): (0.33, 0.41),
    (17, 26): (0.37, 0.42),
    (21, 26): (0.40, 0.42),
    (26, 26): (0.43, 0.43),
    (14, 35): (0.34, 0.44),
    (17, 35): (0.37, 0.45),
    (21, 35): (0.40, 0.45),
    (26, 35): (0.43, 0.46),
    (35, 35): (0.46, 0.46),
    (14, 55): (0.34, 0.47),
    (55, 55): (0.51, 0.51),
    (135, 135): (0.57, 0.57),
}
TABLE_THINNING = 0.024  # in modules; whole depth 2.25 at 20 degrees and 2.35 at 25


@pytest.mark.parametrize(
    ("angle_deg", "tip_radius", "dedendum", "table"),
    [(20, 0.25, 1.25, TABLE_20_DEG), (25, 0.27, 1.35, TABLE_25_DEG)],
    ids=["20", "25"],
)
def test_rows_of_the_printed_tables(monkeypatch, angle_deg, tip_radius, dedendum, table):
    """The rack of the tables in place of ours; at 25 degrees its tip is one full round a little below 0.27."""
    monkeypatch.setattr(rack, "LARGEST_TIP_RADIUS", tip_radius)
    monkeypatch.setattr(rack, "DEDENDUM", dedendum)
    monkeypatch.setattr(tooth, "DEDENDUM", dedendum)
    z1, z2 = np.array(list(table), dtype=float).T
    printed_1, printed_2 = np.array(list(table.values())).T
    pinion = gear_sizes(z1, 1.0, math.radians(angle_deg), 0.0, TABLE_THINNING)
    gear = gear_sizes(z2, 1.0, math.radians(angle_deg), 0.0, TABLE_THINNING)
    centre = 0.5 * (z1 + z2)
    assert bending_geometry(pinion, gear, centre).j == pytest.approx(printed_1, abs=0.01)
    assert bending_geometry(gear, pinion, centre).j == pytest.approx(printed_2, abs=0.01)


def test_our_rack_is_a_little_stronger_than_the_tables():
    (z1, z2), j = np.array(list(TABLE_20_DEG), dtype=float).T, np.array(list(TABLE_20_DEG.values())).T[0]
    ours = bending_geometry(*pair(z1, z2), 0.5 * (z1 + z2)).j
    assert np.all((ours > j) & (ours < 8 / 7 * j))


def test_flanks_that_never_meet_have_no_factor():
    one, two = pair(20, 20)
    assert np.isnan(float(bending_geometry(one, two, 22.5).j))
