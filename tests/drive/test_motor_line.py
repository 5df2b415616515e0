"""The linear motor. Relations as seen in university notes (peak power at half speed) and by energy."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from gearplate.catalog.motors import MotorCurve
from gearplate.drive import motor_line

SIZE_700 = MotorCurve(12.0, 18000.0, 0.726, 120.0, 3.0)  # invented, as told in profiles


def consistent(voltage, free_rpm, stall_a, share):
    """A motor without friction but its no-load current: kt = ke, as energy wants it."""
    free_a = stall_a * share
    kt = voltage * (1 - share) / (free_rpm * math.pi / 30)
    return MotorCurve(voltage, free_rpm, kt * (stall_a - free_a), stall_a, free_a)


curves = st.builds(consistent, st.floats(3, 48), st.floats(500, 30000), st.floats(1, 400), st.floats(0.005, 0.3))


def test_ends_of_the_lines():
    free, stalled = motor_line.operating_point(SIZE_700, 0.0), motor_line.operating_point(SIZE_700, 0.726)
    assert (free.speed_rpm, free.current_a, free.efficiency) == (18000.0, 3.0, 0.0)
    assert (stalled.speed_rpm, stalled.current_a, stalled.efficiency) == (0.0, 120.0, 0.0)


@given(curves)
def test_most_power_at_half_the_stall_torque(curve):
    half = motor_line.operating_point(curve, curve.stall_torque_n_m / 2)
    assert half.power_out_w == pytest.approx(motor_line.constants(curve).peak_power_w)
    for share in (0.45, 0.55):
        assert motor_line.operating_point(curve, curve.stall_torque_n_m * share).power_out_w < half.power_out_w


@given(curves)
def test_best_efficiency_is_the_best_of_a_scan(curve):
    found = motor_line.constants(curve)
    best = max(motor_line.operating_point(curve, curve.stall_torque_n_m * k / 2000).efficiency for k in range(2000))
    assert best <= found.max_efficiency + 1e-12
    assert best == pytest.approx(found.max_efficiency, abs=4e-3)
    torque = motor_line.torque_at_current_n_m(curve, found.current_at_max_efficiency_a)
    assert motor_line.operating_point(curve, torque).efficiency == pytest.approx(found.max_efficiency, abs=1e-9)


@given(curves, st.floats(0.0, 1.0))
def test_torque_from_speed_and_current_goes_back(curve, share):
    torque = curve.stall_torque_n_m * share
    point = motor_line.operating_point(curve, torque)
    assert motor_line.torque_at_speed_n_m(curve, point.speed_rpm) == pytest.approx(torque, abs=1e-9)
    assert motor_line.torque_at_current_n_m(curve, point.current_a) == pytest.approx(torque, abs=1e-9)


@given(curves)
def test_torque_and_speed_constants_are_one(curve):
    found = motor_line.constants(curve)
    assert found.kt_n_m_per_a == pytest.approx(found.ke_v_s_per_rad)


def test_voltage_keeps_resistance_and_torque_constant():
    whole, half = motor_line.constants(SIZE_700), motor_line.constants(motor_line.at_voltage(SIZE_700, 6.0))
    assert half.resistance_ohm == pytest.approx(whole.resistance_ohm)
    assert half.kt_n_m_per_a == pytest.approx(whole.kt_n_m_per_a)
    assert half.free_speed_rad_s == pytest.approx(whole.free_speed_rad_s / 2)


def test_three_motors_share_the_torque():
    three = motor_line.several(SIZE_700, 3)
    assert motor_line.operating_point(three, 0.36).speed_rpm == pytest.approx(
        motor_line.operating_point(SIZE_700, 0.12).speed_rpm
    )


@pytest.mark.parametrize(
    "numbers",
    [
        (0.0, 1.0, 1.0, 1.0, 0.1),
        (12.0, 1.0, 1.0, 1.0, 1.0),
        (12.0, -1.0, 1.0, 1.0, 0.1),
        (12.0, 1.0, 1.0, 1.0, -0.1),
        (math.nan, 1.0, 1.0, 1.0, 0.1),
    ],
)
def test_no_motor_is_refused(numbers):
    with pytest.raises(ValueError, match="must be"):
        motor_line.constants(MotorCurve(*numbers))


def test_no_voltage_and_no_motor_are_refused():
    with pytest.raises(ValueError, match="voltage"):
        motor_line.at_voltage(SIZE_700, 0.0)
    with pytest.raises(ValueError, match="one motor"):
        motor_line.several(SIZE_700, 0)
