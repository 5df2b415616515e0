"""The coupon as a plate: its rows, the room between cuts, letters off every cut."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from gearplate.geometry.path import bbox, kinks
from gearplate.layout.spec import PlateStock
from gearplate.plate.coupon import CouponBore, coupon_plate, hole_id, step_text

STEPS_MM = (-0.1, -0.05, 0.0, 0.05, 0.1)
STOCK = PlateStock("acetal-6mm", 6.0, 6.0)
BORES = st.lists(
    st.builds(
        CouponBore,
        st.sampled_from(["bearing", "pilot"]),
        st.floats(3.0, 80.0),
        st.floats(-0.2, 0.5),
        st.just(("one",)),
    ),
    min_size=1,
    max_size=5,
)


@given(bores=BORES, thickness_mm=st.floats(1.0, 15.0))
def test_webs_and_letters_keep_their_room(bores, thickness_mm):
    plate = coupon_plate(STOCK, thickness_mm, bores, ("6.00 MM", "ACETAL"))
    discs = [(f.x_mm, f.y_mm, 0.5 * (f.part_diameter_mm + f.fit_mm)) for f in plate.features]
    x0, y0, x1, y1 = bbox(plate.outline)
    assert (x0, y0) == (0.0, 0.0)
    web = max(5.0, 1.5 * thickness_mm)
    for index, (x, y, r) in enumerate(discs):
        assert min(x - r - x0, x1 - x - r, y - r - y0, y1 - y - r) >= web - 1e-9
        for a, b, c in discs[:index]:
            # or the room of letters of 3.2 mm, 2 mm off each cut
            assert math.hypot(x - a, y - b) - r - c >= min(web, 2.0 + 3.2 + 2.0) - 1e-9
    rects = [
        (m.x_mm - 0.5 * m.width_mm, m.y_mm - 0.5 * m.tall_mm, m.x_mm + 0.5 * m.width_mm, m.y_mm + 0.5 * m.tall_mm)
        for m in plate.marks
    ]
    for index, (left, low, right, high) in enumerate(rects):
        assert min(left - x0, low - y0, x1 - right, y1 - high) >= 2.0
        for x, y, r in discs:
            assert math.hypot(x - min(max(x, left), right), y - min(max(y, low), high)) - r >= 2.0
        for a, b, c, d in rects[:index]:
            assert a >= right or c <= left or b >= high - 1e-9 or d <= low + 1e-9


def test_each_bore_has_a_row_of_its_steps():
    bore = CouponBore("bearing", 22.0, -0.04, ("608",))
    plate = coupon_plate(STOCK, 6.0, [bore], ())
    assert [f.id for f in plate.features] == [hole_id(1, step) for step in STEPS_MM]
    assert [f.fit_mm for f in plate.features] == [-0.04 + step for step in STEPS_MM]
    assert {f.part_diameter_mm for f in plate.features} == {22.0}
    texts = [mark.text for mark in plate.marks]
    assert texts == ["-0.10", "-0.05", "0", "+0.05", "+0.10", "BEARING 22.000 MM, FIT -0.040 MM"]
    assert step_text(0.0) == "0"


def test_corners_are_tangent():
    plate = coupon_plate(STOCK, 6.0, [CouponBore("pilot", 20.0, 0.2, ("m",))], ())
    assert max(kinks(plate.outline)) < 1e-9


def test_nothing_to_try_is_no_coupon():
    with pytest.raises(ValueError, match="at least one"):
        coupon_plate(STOCK, 6.0, [], ())
