"""Gaps that the train itself fixes."""

from __future__ import annotations

import pytest

from gearplate.layout.chain import mesh_needs
from gearplate.layout.fixed_gaps import fixed_miss_mm, least_gaps
from tests.builders.specs import drive_spec


def test_an_ordinary_train_rules_nothing_out() -> None:
    assert fixed_miss_mm(drive_spec()) == 0.0


def test_a_motor_too_near_its_gears_bearing_is_told_by_how_much() -> None:
    spec = drive_spec(motors=1, teeth=(60, 32, 60))
    centre = mesh_needs(spec)[0].centre_mm
    # body 64 mm and bearing 28.575 mm stand outside the outboard plate; 0.5 mm between still bodies is wanted
    assert fixed_miss_mm(spec) == pytest.approx(max(0.0, 32.0 + 28.575 / 2 + 0.5 - centre))
    assert fixed_miss_mm(spec) > 0.0


def test_a_single_stage_has_its_motor_at_a_fixed_distance_from_the_wheel() -> None:
    spec = drive_spec(motors=1, teeth=(60,))
    centre = mesh_needs(spec)[0].centre_mm
    beside_bearing = max(0.0, 32.0 + 28.575 / 2 + 0.5 - centre)
    assert fixed_miss_mm(spec) == pytest.approx(max(beside_bearing, 50.8 + 32.0 + spec.wheel.clear_mm - centre))


@pytest.mark.parametrize("teeth", [70, 72, 74, 76])
def test_an_output_gear_as_large_as_the_wheel_is_too_near_the_floor(teeth: int) -> None:
    tip = 1.27 * (teeth / 2 + 1)  # mm, of a full-depth gear of diametral pitch 20; the wheel's radius is 50.8 mm
    assert fixed_miss_mm(drive_spec(motors=1, teeth=(72, 32, teeth))) == pytest.approx(max(0.0, tip + 3.0 - 50.8))


def test_the_least_gaps_are_those_of_the_parts_beside_the_gears() -> None:
    room = least_gaps(drive_spec(motors=1))
    assert room.module_mm == 1.27
    # body and bearing stand outside the plate: 32 + 28.575 / 2 and 0.5 mm; the spacer of 16 mm and 1 mm beside tips
    assert room.motor_mm == pytest.approx(32.0 + 28.575 / 2 + 0.5)
    assert room.shaft_mm == pytest.approx(8.0 + 1.0)


@pytest.mark.parametrize(
    ("teeth", "allowed"),
    [
        # the motor: 1.27 (12 + 48) / 2 = 38.1 and 1.27 (12 + 60) / 2 = 45.7 of 46.8 mm, about 1 mm given to shifts
        ((48, 18, 54), False),
        ((60, 32, 60), False),
        # the output: 72 or 84 teeth reach 47.0 or 54.6 mm and 9 mm more; it stands 34.3, 57.2, 58.4 mm away
        ((72, 18, 36), False),
        ((72, 30, 60), True),
        ((72, 32, 60), True),
        ((84, 32, 60), False),
    ],
)
def test_what_the_least_gaps_rule_out_misses_in_every_layout(teeth: tuple[int, int, int], allowed: bool) -> None:
    spec = drive_spec(motors=1, teeth=teeth)
    assert least_gaps(spec).allow([(12, teeth[0]), (teeth[1], teeth[2])]) is allowed
    assert (fixed_miss_mm(spec) == 0.0) is allowed
