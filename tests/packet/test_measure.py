"""What the page says to measure: sizes of the record, and distances that follow from tooth counts alone."""

from __future__ import annotations

import math
from typing import Any

import pytest

from gearplate.packet.measure import betweens, hole_sizes
from gearplate.packet.page import page_bytes
from tests.builders.records import record


def round_hole(name: str, kind: str, shaft: str | None, x: float, y: float, size: float) -> dict[str, Any]:
    return {
        "id": name, "kind": kind, "form": "circle", "shaft": shaft, "x_mm": x, "y_mm": y,
        "finished_diameter_mm": size, "wide_face_diameter_mm": size + 0.06,
    }  # fmt: skip


def test_between_two_bores_stays_the_centre_distance_less_both_radii() -> None:
    """(32 + 60) / (2 x 20) in = 58.42 mm between the axes; bores of 28 and 20 mm leave 58.42 - 24 = 34.42 mm."""
    plate = {
        "features": [
            round_hole("S1-bore", "bearing_bore", "S1", 58.42 * math.cos(2.0), 58.42 * math.sin(2.0), 28.0),
            round_hole("output-bore", "bearing_bore", "output", 0.0, 0.0, 20.0),
        ]
    }
    meshes = [{"driver_shaft": "M1", "driven_shaft": "S1"}, {"driver_shaft": "S1", "driven_shaft": "output"}]
    (pair,) = betweens({"train": {"meshes": meshes}}, plate)
    assert pair.names == ("S1-bore", "output-bore")
    assert pair.between_mm == pytest.approx(34.42, abs=1e-9)
    assert pair.centre_mm == pytest.approx(58.42, abs=1e-9)


def test_bores_that_leave_nothing_between_are_no_pair() -> None:
    plate = {
        "features": [
            round_hole("a", "bearing_bore", "S1", 20.0, 0.0, 22.0),
            round_hole("b", "motor_pilot", "M1", 0.0, 0.0, 20.0),
        ]
    }
    assert list(betweens({"train": {"meshes": [{"driver_shaft": "M1", "driven_shaft": "S1"}]}}, plate)) == []


def test_holes_of_one_size_are_one_row_and_seats_come_first() -> None:
    plate = {
        "features": [
            round_hole("standoff-1", "standoff", None, 0, 0, 5.5),
            round_hole("S1-bore", "bearing_bore", "S1", 0, 0, 28.5),
            round_hole("standoff-2", "standoff", None, 9, 0, 5.5),
            round_hole("output-bore", "bearing_bore", "output", 0, 0, 28.6),
            round_hole("M1-access-1", "access", None, 0, 0, 9.0),
        ]
    }
    rows = list(hole_sizes(plate))
    assert [row.names for row in rows] == [("S1-bore",), ("output-bore",), ("standoff-1", "standoff-2")]
    assert rows[0].wide_mm == pytest.approx(28.56)
    assert rows[0].within_mm < rows[2].within_mm


def test_the_page_has_room_to_write_and_says_whose_limit_it_is() -> None:
    page = page_bytes(record("both")).decode()
    assert "To measure after cutting" in page
    assert "common practice, no source" in page
    assert page.count('class="blank"') > 4
    assert page.count('class="measure"') == 2, "the left hand is the mirror of the right one"
    assert "To measure after cutting" not in page_bytes(record(status="refused")).decode()
    assert "To drill into the rail" not in page_bytes(record(rail=None)).decode()
