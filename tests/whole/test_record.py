"""The design record of every design of the zoo: its keys, and whether they mean what they say."""

from __future__ import annotations

import math
import tomllib
from fractions import Fraction
from typing import Any

import pytest
from shapely.geometry import Polygon

from tests import zoo
from tests.builders.dxf_tags import along

KEYS = {
    "": {"record", "status", "job", "drawn_units", "train", "shafts", "gears", "plates", "checks", "findings"},
    "job": {"part", "revision", "title", "hand"},
    "train": {"ratio", "meshes"},
    "mesh": {
        "stage", "driver_shaft", "driven_shaft", "driver_teeth", "driven_teeth", "module_mm", "pressure_angle_deg",
        "profile_shift", "tooth_thinning_mm", "added_centre_mm", "centre_mm", "working_pressure_angle_deg",
        "backlash_mm", "contact_ratio",
    },
    "shaft": {"name", "role", "x_mm", "y_mm"},
    "gear": {"shaft", "stage", "teeth", "tip_diameter_mm", "face_width_mm", "z_mm"},
    "plate": {
        "plate", "hand", "file", "face_up", "material", "thickness_mm", "kerf_mm", "outline", "features",
    },
    "outline": {"area_mm2", "bbox_mm"},
    "feature": {
        "id", "kind", "form", "shaft", "x_mm", "y_mm", "finished_diameter_mm", "path_diameter_mm", "length_mm",
        "angle_deg", "area_mm2", "bbox_mm",
    },
    "check": {"check", "compared"},
    "finding": {"check", "severity", "where", "measured", "limit", "unit", "standing", "message", "remedy"},
    "where": {"plate", "shafts", "features", "x_mm", "y_mm"},
    "remedy": {"text", "set", "tried"},
}  # fmt: skip
KINDS = {
    "bearing_bore", "motor_pilot", "motor_screw", "standoff", "rail_hole", "shaft_clearance", "access", "relief",
    "window", "own",
}  # fmt: skip


def the_things(record: dict[str, Any]) -> list[tuple[str, dict[str, Any]]]:
    """Every table of a record with the name of its kind."""
    found = [("", record), ("job", record["job"]), ("train", record["train"])]
    found += [("mesh", one) for one in record["train"]["meshes"]]
    found += [("shaft", one) for one in record["shafts"]] + [("gear", one) for one in record["gears"]]
    for plate in record["plates"]:
        found += [("plate", plate), ("outline", plate["outline"])]
        found += [("feature", one) for one in plate["features"]]
    found += [("check", one) for one in record["checks"]] + [("finding", one) for one in record["findings"]]
    found += [("where", one["where"]) for one in record["findings"]]
    found += [("remedy", one["remedy"]) for one in record["findings"] if one["remedy"] is not None]
    return found


@pytest.mark.parametrize("name", zoo.ZOO)
def test_no_key_is_missing(name: str, whole: Any) -> None:
    for kind, table in the_things(whole(name).record):
        assert KEYS[kind] <= set(table), kind


@pytest.mark.parametrize("name", zoo.ZOO)
def test_the_zoo_builds_without_errors(name: str, whole: Any) -> None:
    built = whole(name)
    assert built.record["record"] == "gearplate-design/1"
    assert built.record["status"] == "ok"
    assert [one["message"] for one in built.record["findings"] if one["severity"] == "error"] == []
    assert built.packet.holes_found == built.packet.holes_asked == sum(len(one["features"]) for one in built.plates())
    assert built.record["checks"]


@pytest.mark.parametrize("name", zoo.ZOO)
def test_job_hands_and_units_are_those_of_the_text(name: str, whole: Any) -> None:
    text = tomllib.loads(zoo.ZOO[name].text)
    record = whole(name).record
    hand = text.get("hand", "right")
    assert record["job"]["part"] == text["part"]
    assert record["job"]["hand"] == hand
    assert record["drawn_units"] == text.get("drawing_units", "mm")
    hands = ["right", "left"] if hand == "both" else [hand]
    assert [(one["plate"], one["hand"]) for one in record["plates"]] == [
        (side, one) for one in hands for side in ("outboard", "inboard")
    ]


@pytest.mark.parametrize("name", zoo.ZOO)
def test_the_ratio_is_that_of_the_tooth_counts(name: str, whole: Any) -> None:
    text = tomllib.loads(zoo.ZOO[name].text)
    record = whole(name).record
    motors = text["motors"] if isinstance(text["motors"], list) else [text["motors"]]
    if "reduction" in text:
        assert record["train"]["ratio"] == pytest.approx(float(text["reduction"]["ratio"]), rel=0.02)
        return
    ratio = Fraction(1)
    for number, stage in enumerate(text["stages"]):
        driver = motors[0]["pinion"] if number == 0 else stage["driver"]
        ratio *= Fraction(teeth(stage["driven"]), teeth(driver))
    assert record["train"]["ratio"] == pytest.approx(float(ratio), rel=1e-8)
    count = sum(motor.get("count", 1) for motor in motors)
    idlers = [len(stage.get("idlers", ())) for stage in text["stages"]]
    # one mesh for every pair of shafts that turn each other: all motors on the first gear, then one a gear
    assert len(record["train"]["meshes"]) == count + sum(idlers) + len(text["stages"]) - 1
    assert len(record["shafts"]) == count + sum(idlers) + len(text["stages"])


def teeth(gear: Any) -> int:
    return int(gear["teeth"] if isinstance(gear, dict) else gear)


@pytest.mark.parametrize("name", zoo.ZOO)
def test_gears_of_one_mesh_run_in_one_plane_and_others_do_not_touch_them(name: str, whole: Any) -> None:
    record = whole(name).record
    z = {(gear["shaft"], gear["stage"]): gear["z_mm"] for gear in record["gears"]}
    for gear in record["gears"]:
        assert gear["z_mm"][1] - gear["z_mm"][0] == pytest.approx(gear["face_width_mm"], abs=2e-6)
    for mesh in record["train"]["meshes"]:
        a, b = z[mesh["driver_shaft"], mesh["stage"]], z[mesh["driven_shaft"], mesh["stage"]]
        assert min(a[1], b[1]) - max(a[0], b[0]) == pytest.approx(min(a[1] - a[0], b[1] - b[0]), abs=2e-6)
    outboard, inboard = record["stack"]["outboard_z_mm"], record["stack"]["inboard_z_mm"]
    assert all(inboard[1] < one[0] and one[1] < outboard[0] for one in z.values())


@pytest.mark.parametrize("name", zoo.ZOO)
def test_areas_and_boxes_are_those_of_the_contours(name: str, whole: Any) -> None:
    for plate in whole(name).plates():
        outline = curve(plate["outline"]["vertices"])
        assert plate["outline"]["area_mm2"] == pytest.approx(outline.area, rel=2e-5)
        assert plate["outline"]["bbox_mm"] == pytest.approx(outline.bounds, abs=2e-3)
        ids = [feature["id"] for feature in plate["features"]]
        assert len(ids) == len(set(ids))
        for feature in plate["features"]:
            assert feature["kind"] in KINDS
            x, y, size = feature["x_mm"], feature["y_mm"], feature["finished_diameter_mm"]
            if feature["form"] == "circle":
                assert feature["area_mm2"] == pytest.approx(math.pi * size**2 / 4.0, rel=1e-7)
                assert feature["bbox_mm"] == pytest.approx((x - size / 2, y - size / 2, x + size / 2, y + size / 2))
                assert feature["length_mm"] is None
                continue
            shape = curve(feature["vertices"])
            assert feature["area_mm2"] == pytest.approx(shape.area, rel=1e-4)
            assert feature["bbox_mm"] == pytest.approx(shape.bounds, abs=2e-3)
            assert (shape.centroid.x, shape.centroid.y) == pytest.approx((x, y), abs=2e-3)
            assert outline.contains(shape)
            if feature["form"] == "slot":
                slot = size * feature["length_mm"] + math.pi * size**2 / 4.0
                assert feature["area_mm2"] == pytest.approx(slot, rel=1e-6)
            else:
                assert size is None


def curve(vertices: list[list[float]]) -> Polygon:
    return Polygon(along(tuple((x, y, bulge) for x, y, bulge in vertices), True))


@pytest.mark.parametrize("name", zoo.ZOO)
def test_kerf_is_taken_once(name: str, whole: Any) -> None:
    """A hole's own kerf is finished less path; at the machine it is nothing."""
    for plate in whole(name).plates():
        for feature in plate["features"]:
            if feature["form"] != "circle":
                continue
            taken = feature["finished_diameter_mm"] - feature["path_diameter_mm"]
            mean = 0.5 * (plate["kerf_x_mm"] + plate["kerf_y_mm"])
            wanted = 0.0 if plate["machine_compensates"] else mean
            assert taken == pytest.approx(wanted, abs=2e-6)


def test_sizes_that_anybody_can_look_up(whole: Any) -> None:
    """R8 bearing 1-1/8 in (ABMA inch series), M5 medium hole 5.5 mm (ISO 273), pilot 20 mm; press and play as the demo
    cutter's invented row says."""
    plates = whole("two-stages-three-motors").plates()
    found = {(one["plate"], feature["id"]): feature for one in plates for feature in one["features"]}
    assert found["outboard", "S1-bore"]["finished_diameter_mm"] == pytest.approx(28.575 - 0.04)
    assert found["inboard", "output-bore"]["finished_diameter_mm"] == pytest.approx(28.575 - 0.04)
    assert found["outboard", "M1-screw-1"]["finished_diameter_mm"] == pytest.approx(5.5)
    assert found["outboard", "M3-pilot"]["finished_diameter_mm"] == pytest.approx(20.2)
    assert found["outboard", "M3-pilot"]["path_diameter_mm"] == pytest.approx(20.0)
    metric = {one["id"]: one for one in whole("metric-both-hands").plates("left")[0]["features"]}
    assert metric["S1-bore"]["finished_diameter_mm"] == pytest.approx(21.0 - 0.04)  # 61801: 21 mm outside (ISO 15)


def test_own_cutouts_stand_where_the_job_says(whole: Any) -> None:
    built = whole("own-cutouts")
    at = {shaft["name"]: (shaft["x_mm"], shaft["y_mm"]) for shaft in built.record["shafts"]}
    found = {(one["plate"], feature["id"]): feature for one in built.plates() for feature in one["features"]}
    encoder = found["inboard", "encoder"]
    angle = math.radians(200.0)
    x, y = at["S1"][0] + 1.02 * 25.4 * math.cos(angle), at["S1"][1] + 1.02 * 25.4 * math.sin(angle)
    assert (encoder["x_mm"], encoder["y_mm"]) == pytest.approx((x, y), abs=1e-5)
    assert encoder["finished_diameter_mm"] == pytest.approx(0.16 * 25.4 + 0.1)
    assert ("outboard", "encoder") not in found
    tie = found["outboard", "cable-tie"]
    assert (tie["x_mm"], tie["y_mm"], tie["angle_deg"]) == pytest.approx((-36.0, 65.0, 70.0))
    assert (tie["finished_diameter_mm"], tie["length_mm"]) == pytest.approx((4.0, 8.0))
    sensor = found["inboard", "sensor"]
    assert sensor["angle_deg"] == pytest.approx(160.0)
    assert math.hypot(sensor["x_mm"], sensor["y_mm"]) == pytest.approx(36.0)
    for side in ("outboard", "inboard"):
        label = found[side, "label"]
        assert label["bbox_mm"] == pytest.approx((-30.0, 28.0, -18.0, 36.0))
        # the corners of the rectangle are rounded by 2.5 mm: four squares less a circle are missing
        assert label["area_mm2"] == pytest.approx(96.0 - (4.0 - math.pi) * 2.5**2, rel=1e-9)
        assert found[side, "brace"]["shared"]
    # the triangle grows by half its allowance on every side
    assert found["inboard", "hatch"]["form"] == "window"
