"""No two things of a design stand in one place, by polygons of its record alone (tests/builders/solids.py)."""

from __future__ import annotations

import copy
from collections.abc import Callable
from typing import Any

import pytest

from gearplate.build import make
from gearplate.job.load import load_job_text
from gearplate.layout.spec import LayoutSpec
from gearplate.record.design import Status
from gearplate.record.design_record import design_record
from tests import zoo
from tests.builders.drives import drive_text
from tests.builders.solids import Disc, collisions

Change = Callable[[dict[str, Any]], None]


def rail_holes(spec: LayoutSpec) -> list[Disc]:
    """The axle's hole in the rail, and the reliefs that the job asks for."""
    if spec.rail is None:
        return []
    return [(0.0, 0.0, spec.rail.axle_hole_mm), *((one.x_mm, one.y_mm, one.diameter_mm) for one in spec.rail.reliefs)]


@pytest.mark.parametrize("name", zoo.ZOO)
def test_nothing_stands_in_something_else(name: str, whole: Any) -> None:
    built = whole(name)
    assert collisions(built.record, rail_holes(built.design.spec)) == []


def test_nothing_stands_in_something_else_in_random_drives(deep: int) -> None:
    """Whatever builds without an error stands clear; about half of these drives do."""
    built = 0
    for number in range(6 * deep):
        design = make(load_job_text(drive_text(number), f"drive-{number}.toml"))
        if design.status is Status.OK:
            built += 1
            assert collisions(design_record(design), rail_holes(design.spec)) == [], drive_text(number)
    assert built >= 2 * deep


def closer_motor(record: dict[str, Any]) -> None:
    for body in record["bodies"]:
        if body["shaft"] == "M1":
            body["y_mm"] -= 12.0


def longer_shaft(record: dict[str, Any]) -> None:
    for body in record["bodies"]:
        if body["name"] == "M1 shaft":
            body["diameter_mm"] += 4.0


def lost_bore(record: dict[str, Any]) -> None:
    for plate in record["plates"]:
        plate["features"] = [one for one in plate["features"] if one["id"] != "S1-bore"]


def lost_screw_hole(record: dict[str, Any]) -> None:
    for plate in record["plates"]:
        plate["features"] = [one for one in plate["features"] if one["id"] != "standoff-2"]


def hole_under_a_standoff(record: dict[str, Any]) -> None:
    plate = record["plates"][0]
    post = next(one for one in plate["features"] if one["id"] == "standoff-1")
    plate["features"].append({**post, "id": "extra", "x_mm": post["x_mm"] + 6.2, "finished_diameter_mm": 5.0})


def hole_at_the_edge(record: dict[str, Any]) -> None:
    feature = record["plates"][1]["features"][-1]
    feature["x_mm"] += 60.0


@pytest.mark.parametrize(
    "change", [closer_motor, longer_shaft, lost_bore, lost_screw_hole, hole_under_a_standoff, hole_at_the_edge]
)
def test_the_eye_sees_what_is_put_wrong(change: Change, whole: Any) -> None:
    """Or the test above would prove nothing."""
    built = whole("two-stages-three-motors")
    record = copy.deepcopy(built.record)
    change(record)
    assert collisions(record, rail_holes(built.design.spec))
