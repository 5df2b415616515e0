"""The axial part of the record, worked out again from its own z values, face widths and plates."""

from __future__ import annotations

import json
from typing import Any

import pytest

from gearplate.record.design_record import design_record
from tests.builders.designs import JOBS, design

EXACT = 2e-6  # the record rounds to a nanometre, sums of a dozen of them to less than this


def the(record: dict[str, Any], name: str) -> dict[str, Any]:
    return next(one for one in record["axial"]["shafts"] if one["shaft"] == name)


@pytest.mark.parametrize("name", JOBS)
def test_every_chain_adds_up(name: str) -> None:
    """Between two bearings: faces' distance = gears (from the train) + spacers + retainers + float."""
    record = design_record(design(name))
    widths: dict[str, float] = {}
    for gear in record["gears"]:
        widths[gear["shaft"]] = widths.get(gear["shaft"], 0.0) + gear["face_width_mm"]
    compared = 0
    for shaft in record["axial"]["shafts"]:
        bearings = [part for part in shaft["parts"] if part["kind"] == "bearing"]
        if len(bearings) == 2:
            low, high = bearings[0]["z_mm"][1], bearings[1]["z_mm"][0]
        else:  # it stands still: between the plates
            low, high = record["stack"]["inboard_z_mm"][1], record["stack"]["outboard_z_mm"][0]
        inside = [part for part in shaft["parts"] if low < sum(part["z_mm"]) / 2 < high]
        others = sum(part["z_mm"][1] - part["z_mm"][0] for part in inside if part["kind"] in ("spacer", "retainer"))
        assert widths[shaft["shaft"]] + others + shaft["float_mm"] == pytest.approx(high - low, abs=EXACT)
        compared += 1
    assert compared == len([shaft for shaft in record["shafts"] if shaft["role"] != "motor"])


@pytest.mark.parametrize("name", JOBS)
def test_gears_stand_in_the_chain_where_the_record_has_them(name: str) -> None:
    record = design_record(design(name))
    for shaft in record["axial"]["shafts"]:
        listed = sorted(part["z_mm"] for part in shaft["parts"] if part["kind"] == "gear")
        assert listed == sorted(gear["z_mm"] for gear in record["gears"] if gear["shaft"] == shaft["shaft"])


@pytest.mark.parametrize("name", JOBS)
def test_the_axle_reaches_past_both_of_its_rings(name: str) -> None:
    record = design_record(design(name))
    axle = the(record, "output")
    rings = [part for part in axle["parts"] if part["kind"] == "retainer"]
    assert len(rings) == 2
    assert axle["z_mm"][0] < rings[0]["z_mm"][0]
    assert axle["z_mm"][1] > rings[1]["z_mm"][1]
    assert rings[1]["z_mm"][0] - record["stack"]["wheel_z_mm"][1] == pytest.approx(axle["float_mm"] / 2, abs=EXACT)
    # the spacer to the wheel runs from the bearing to the wheel, through rail and gap
    wheel_spacer = next(part for part in axle["parts"] if part["name"] == "output spacer to the wheel")
    assert wheel_spacer["z_mm"][1] == pytest.approx(record["stack"]["wheel_z_mm"][0], abs=EXACT)


@pytest.mark.parametrize("name", JOBS)
def test_lengths_are_those_of_the_places(name: str) -> None:
    record = design_record(design(name))
    axial = record["axial"]
    for shaft in axial["shafts"]:
        assert shaft["cut_length_mm"] == pytest.approx(shaft["z_mm"][1] - shaft["z_mm"][0], abs=EXACT)
        for part in shaft["parts"]:
            assert part["length_mm"] == pytest.approx(part["z_mm"][1] - part["z_mm"][0], abs=EXACT)
    for post in axial["posts"]:
        assert post["cut_length_mm"] == record["stack"]["gap_mm"]
    for screw in axial["screws"]:
        assert screw["length_mm"] == pytest.approx(screw["grip_mm"] + screw["engaged_mm"], abs=EXACT)
    heads = [body for body in record["bodies"] if body["kind"] == "screw head"]
    assert sum(screw["count"] for screw in axial["screws"]) == len(heads)


def test_pinions_count_from_the_face_that_their_motor_stands_on() -> None:
    record = design_record(design("compost-drive"))
    for pinion in record["axial"]["pinions"]:
        gear = next(one for one in record["gears"] if one["shaft"] == pinion["motor"])
        assert pinion["from_face_mm"] == pytest.approx([-gear["z_mm"][1], -gear["z_mm"][0]], abs=EXACT)
        assert pinion["held_mm"] == gear["face_width_mm"]


def test_it_is_plain_data() -> None:
    axial = design_record(design("compost-drive"))["axial"]
    assert json.loads(json.dumps(axial)) == axial
