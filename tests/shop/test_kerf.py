"""Kerf, threads and practice in plain sums."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from gearplate.shop.kerf import cut_hole_mm, cut_outside_mm, drawn_hole_mm, drawn_outside_mm, wider_face_mm
from gearplate.shop.practice import edge_from_centre_mm, ground_clearance_mm, motor_over_wheel_mm, web_to_edge_mm
from gearplate.shop.threads import tap_drill_mm, thread_percent

SIZES = st.floats(0.5, 600)
KERFS = st.floats(0, 1)


@given(SIZES, KERFS)
def test_the_beam_gives_back_what_was_asked_for(size: float, kerf: float) -> None:
    # the beam takes half a kerf on either side of the path
    assert cut_hole_mm(drawn_hole_mm(size, kerf), kerf) == pytest.approx(size)
    assert cut_outside_mm(drawn_outside_mm(size, kerf), kerf) == pytest.approx(size)
    assert drawn_hole_mm(size, kerf) <= size <= drawn_outside_mm(size, kerf)


def test_kerf_as_a_cutting_service_prints_it() -> None:
    # cutting service help page: a 40 mm square comes out 39.8 mm at 0.2 mm kerf, draw 40.2 mm
    assert cut_outside_mm(40, 0.2) == pytest.approx(39.8)
    assert drawn_outside_mm(40, 0.2) == pytest.approx(40.2)


def test_taper_opens_the_wider_face() -> None:
    assert wider_face_mm(22, 0.01, 6) == pytest.approx(22.06)
    assert wider_face_mm(22, 0, 6) == 22


@pytest.mark.parametrize(
    ("nominal", "pitch", "drill"), [(3, 0.5, 2.5), (4, 0.7, 3.3), (5, 0.8, 4.2), (6, 1, 5), (10, 1.5, 8.5)]
)
def test_tap_drills_as_charts_print_them(nominal: float, pitch: float, drill: float) -> None:
    assert tap_drill_mm(nominal, pitch) == pytest.approx(drill)
    assert 70 < thread_percent(nominal, pitch, drill) < 80


def test_thread_percent_in_inches() -> None:
    # 10-32 with a number 21 drill: about 76 % (workshop charts)
    assert thread_percent(0.190, 1 / 32, 0.159) == pytest.approx(76.36, abs=0.01)


def test_practice() -> None:
    assert edge_from_centre_mm(5.5, 1.5) == 8.25
    assert web_to_edge_mm(5.5, 1.5) == 5.5
    assert ground_clearance_mm(101.6, 25.4) == pytest.approx(25.4)  # 4 in wheel, axle 1 in over the rail's lower face
    assert motor_over_wheel_mm(101.6, 63.5, 3.175) == pytest.approx(3.375 * 25.4)
