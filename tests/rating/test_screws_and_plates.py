"""Screws and holes by hand and by balance."""

from __future__ import annotations

import math

import pytest

from gearplate.catalog import load_catalog, profiles_folder
from gearplate.rating.duty import Duty
from gearplate.rating.plates import wall_mm
from gearplate.rating.rate import rate, tables_of
from gearplate.rating.screws import group_shear_n, stress_area_mm2
from tests.builders.designs import design

SQUARE = [(40.0, 20.0), (-40.0, 20.0), (-40.0, -20.0), (40.0, -20.0)]


def test_stress_areas_as_the_standard_prints_them():
    """ISO 898-1: M4 8.78, M5 14.2, M6 20.1 mm2 (from memory); ASME B1.1: #10-32 0.0200 in2 (from memory)."""
    catalog = load_catalog((profiles_folder(),))
    for name, area in (("M4", 8.78), ("M5", 14.2), ("M6", 20.1), ("#10-32", 0.0200 * 645.16)):
        assert stress_area_mm2(catalog.fastener(name)) == pytest.approx(area, rel=0.01)


def test_a_force_through_the_middle_is_shared_alike():
    assert group_shear_n(SQUARE, (30.0, 40.0), (0.0, 0.0), 0.0) == pytest.approx([12.5] * 4)


def test_a_moment_alone():
    arm = math.hypot(40, 20)
    assert group_shear_n(SQUARE, (0.0, 0.0), (5.0, 5.0), 1000.0) == pytest.approx([1000.0 / (4 * arm)] * 4)


def test_an_eccentric_force_by_hand():
    """100 N up at x = 140: 25 N each, and 14000 N mm: 14000 x 40 / 8000 = 70 N up and 35 N across at x = 40."""
    found = group_shear_n(SQUARE, (0.0, 100.0), (140.0, 0.0), 0.0)
    assert found[0] == pytest.approx(math.hypot(25 + 70, 35))
    assert found[1] == pytest.approx(math.hypot(25 - 70, 35))


def test_what_holds_nothing_is_refused():
    with pytest.raises(ValueError, match="no screw"):
        group_shear_n([], (1.0, 0.0), (0.0, 0.0), 0.0)
    with pytest.raises(ValueError, match="no moment"):
        group_shear_n([(0.0, 0.0)], (0.0, 0.0), (0.0, 0.0), 5.0)
    assert group_shear_n([(0.0, 0.0)], (3.0, 4.0), (0.0, 0.0), 0.0) == pytest.approx([5.0])


def test_wall_of_a_hole_is_the_least_way_to_anything_cut():
    plate = design("compost-drive").plates[0]
    for feature in plate.features:
        if feature.form != "circle":
            continue
        wall = wall_mm(plate, feature)
        radius = feature.part_diameter_mm / 2
        for other in plate.features:
            if other is not feature and other.form == "circle":
                away = math.dist((feature.x_mm, feature.y_mm), (other.x_mm, other.y_mm))
                assert wall <= away - radius - other.part_diameter_mm / 2 + 1e-9
        assert 0 < wall < 60


def test_a_hanging_motor_pulls_one_screw_over_the_rim_of_its_body():
    """1.4 kg, 105 mm long, 64 mm wide, screws on 48 mm: ten weights at 52.5 mm over 56 mm; an M5 and its washer."""
    made = design("compost-drive")
    catalog = load_catalog((profiles_folder(),))
    pull = 1.4 * 9.80665 * 10 * 52.5 / 56.0
    items = {one.part: one for one in rate(made.layout, made.spec, tables_of(catalog), Duty(), made.plates).items}
    assert items["M2 screws, M5 pulled"].value == pytest.approx(pull / stress_area_mm2(catalog.fastener("M5")))
    pressed = items["M2 screw heads in the outboard plate, pressed into the sheet"]
    washer = catalog.fastener("M5").washer_outside_mm
    hole = next(one for one in made.plates[0].features if one.id == "M2-screw-1")
    assert pressed.value == pytest.approx(pull / (math.pi / 4 * (washer**2 - hole.part_diameter_mm**2)))
    assert pressed.limit == pytest.approx(8 * TABLE_SHARE_AT_75, rel=1e-3)


TABLE_SHARE_AT_75 = 1 - 0.35 * (75 - 23) / (60 - 23)  # acetal: 65 % left at 60 deg C, on a straight line from 23
