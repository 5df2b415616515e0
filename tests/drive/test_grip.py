"""Grip: the public example is in tests/truth; here what must follow from it."""

from __future__ import annotations

import pytest

from gearplate.catalog.motors import MotorCurve
from gearplate.drive.grip import ground_speed_m_s, wheel_slip

CURVE = MotorCurve(12.0, 6000.0, 2.54, 140.0, 3.5)


def test_losses_spare_the_motors_nothing():
    lossless = wheel_slip(CURVE, 4, 10.0, 1.0, 45.0, 1.1, 101.6)
    lossy = wheel_slip(CURVE, 4, 10.0, 0.9, 45.0, 1.1, 101.6)
    assert lossy.motor_torque_n_m == pytest.approx(lossless.motor_torque_n_m / 0.9)
    assert lossy.traction_force_n == lossless.traction_force_n


def test_only_driven_wheels_push():
    assert wheel_slip(CURVE, 4, 10.0, 1.0, 45.0, 1.1, 101.6, 0.5).traction_force_n == pytest.approx(
        wheel_slip(CURVE, 4, 10.0, 1.0, 22.5, 1.1, 101.6).traction_force_n
    )


def test_a_wheel_of_one_metre_round():
    assert ground_speed_m_s(600.0, 10.0, 1000.0 / 3.141592653589793) == pytest.approx(1.0)


@pytest.mark.parametrize("change", [{"motors": 0}, {"gear_ratio": 0.0}, {"efficiency": 1.1}, {"driven_share": 0.0}])
def test_nonsense_is_refused(change):
    numbers = {
        "motors": 4,
        "gear_ratio": 10.0,
        "efficiency": 0.9,
        "mass_kg": 45.0,
        "friction_coefficient": 1.0,
        "wheel_diameter_mm": 100.0,
    }
    with pytest.raises(ValueError, match="above"):
        wheel_slip(CURVE, **(numbers | change))
