"""Coupons of whole jobs: what is tried on them, and that the beam leaves the sizes that are told."""

from __future__ import annotations

import io

import ezdxf
import pytest

from gearplate.errors import ToolBug
from gearplate.job.load import load_job, load_job_text
from gearplate.studies.coupon import coupon_record, coupons_of

JOB = 'format = 1\nbase = "compost-drive"\nunits = "inch"\n'


def test_the_standard_drive_tries_its_bearing_and_its_motors_boss():
    """Sizes by hand: 28.575 mm (1-1/8 in) less the press of 0.04 mm, and the boss of 20 mm with 0.2 mm of play; the
    lines are 0.2 mm of kerf smaller."""
    job = load_job("compost-drive")
    (coupon,) = coupons_of(job)
    (entry,) = coupon_record(job, (coupon,))["coupons"]
    bearing, pilot = entry["bores"]
    assert [hole["finished_diameter_mm"] for hole in bearing["holes"]] == [28.435, 28.485, 28.535, 28.585, 28.635]
    assert [hole["path_diameter_mm"] for hole in pilot["holes"]] == [19.9, 19.95, 20.0, 20.05, 20.1]
    assert (bearing["names"], bearing["fit_mm"]) == (["FR8ZZ-hex"], -0.04)
    assert (pilot["names"], pilot["fit_mm"]) == (["generic-a"], 0.2)


@pytest.mark.parametrize("unit", ["mm", "inch"])
def test_another_reader_finds_every_circle_at_its_place(unit):
    job = load_job_text(f'{JOB}drawing_units = "{unit}"\n')
    (coupon,) = coupons_of(job)
    (entry,) = coupon_record(job, (coupon,))["coupons"]
    space = ezdxf.read(io.StringIO(coupon.data.decode("cp1252"))).modelspace()
    per = 25.4 if unit == "inch" else 1.0
    found = sorted(
        (round(c.dxf.center.x * per, 4), round(c.dxf.center.y * per, 4), round(2 * c.dxf.radius * per, 4))
        for c in space.query("CIRCLE")
    )
    holes = [hole for bore in entry["bores"] for hole in bore["holes"]]
    assert len(found) == 10
    assert found == sorted(
        (round(h["x_mm"], 4), round(h["y_mm"], 4), round(h["finished_diameter_mm"] - 0.2, 4)) for h in holes
    )
    assert [polyline.closed for polyline in space.query('LWPOLYLINE[layer=="outer"]')] == [True]


def test_plates_of_two_sheets_have_a_coupon_each():
    job = load_job_text(f'{JOB}plates.inboard = {{material = "acetal-3mm"}}\n')
    coupons = coupons_of(job)
    assert [coupon.shop.material.name for coupon in coupons] == ["acetal-6mm", "acetal-3mm"]
    assert len({coupon.cut.file_name for coupon in coupons}) == 2


def test_a_reduction_needs_no_counts_for_it():
    job = load_job_text(
        'format = 1\npart = "p"\nunits = "inch"\nmaterial = "acetal-6mm"\ncutter = "demo"\nwheel = {diameter = 4}\n'
        'motors = {type = "generic-a", count = 2, pinion = 12}\nreduction = {ratio = 10, within = 0.05, stages = 2}\n'
        "diametral_pitch = 20\n"
    )
    assert [bore.what for bore in coupons_of(job)[0].bores] == ["bearing", "pilot"]


def test_the_same_job_gives_the_same_bytes():
    first, second = (coupons_of(load_job("compost-drive")) for _ in range(2))
    assert [one.data for one in first] == [one.data for one in second]


def test_what_must_never_be_cut_has_no_coupon():
    job = load_job_text(f'{JOB}material = "pvc-6mm"\n')
    with pytest.raises(ToolBug, match="never"):
        coupons_of(job)
