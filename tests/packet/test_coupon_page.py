"""The page and the account of a coupon: from the record, escaped, with the sentences that fit what is tried."""

from __future__ import annotations

import pytest

from gearplate.job.load import load_job_text
from gearplate.packet.coupon_page import coupon_page
from gearplate.packet.coupon_text import coupon_lines, cutting, turning_into_numbers
from gearplate.studies.coupon import coupon_record, coupons_of

JOB = 'format = 1\nbase = "compost-drive"\nunits = "inch"\n'


def made(more: str = ""):
    job = load_job_text(JOB + more)
    coupons = coupons_of(job)
    return coupon_record(job, coupons), [coupon.sheet for coupon in coupons]


def test_the_page_tells_every_size_with_room_to_write():
    record, sheets = made()
    page = coupon_page(record, sheets).decode("utf-8")
    for bore in record["coupons"][0]["bores"]:
        for hole in bore["holes"]:
            assert f"{hole['finished_diameter_mm']:.3f} mm" in page
            assert f"{hole['path_diameter_mm']:.3f} mm" in page
    assert page.count('<td class="blank">') == 3 * 10
    assert page.count("<circle") + page.count("<path") > 10
    assert "<script" not in page
    assert "extinguisher" in page


def test_names_of_a_job_bring_no_markup():
    record, sheets = made('part = "<script>x</script>"\n')
    page = coupon_page(record, sheets).decode("utf-8")
    assert "<script" not in page
    assert "&lt;script&gt;" in page


def test_a_machine_that_compensates_is_told_so():
    record, _ = made()
    coupon = record["coupons"][0]
    assert any("IS in the lines" in text for text in cutting(coupon))
    assert any("NOT in the lines" in text for text in cutting(coupon | {"machine_compensates": True}))


@pytest.mark.parametrize(("what", "said"), [("bearing", "bearing_press_mm"), ("pilot", "pilot_mm")])
def test_only_what_is_tried_is_spoken_of(what, said):
    coupon = made()[0]["coupons"][0]
    only = coupon | {"bores": [bore for bore in coupon["bores"] if bore["what"] == what]}
    told = " ".join(turning_into_numbers(only))
    assert said in told
    other = {"bearing": "pilot_mm", "pilot": "bearing_press_mm"}[what]
    assert other not in told


def test_lines_keep_to_the_width():
    record, _ = made()
    lines = list(coupon_lines(record, 60))
    assert max(map(len, lines)) <= 60
    assert any("28.535 mm" in line for line in lines)
