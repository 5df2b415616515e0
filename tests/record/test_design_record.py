"""The record of whole designs: right by other ways of working the same things out, and the same bytes each time."""

from __future__ import annotations

import json
import math
from dataclasses import replace
from fractions import Fraction
from pathlib import Path
from typing import Any

import pytest
from shapely.geometry import Polygon

from gearplate.errors import ToolBug
from gearplate.finding import Finding, Remedy, Severity, Standing, Where
from gearplate.plate.spec import Hand
from gearplate.record.design import Status, status_of
from gearplate.record.design_record import design_record, encoded
from gearplate.record.plate_entries import slot_angle_deg
from tests.builders.designs import JOBS, design, with_findings
from tests.builders.schema_check import faults

SCHEMA = json.loads((Path(__file__).parent / "design_record.schema.json").read_text("utf-8"))


def finding(check: str = "web", severity: Severity = Severity.ERROR, **more: Any) -> Finding:
    return Finding(check, severity, "too thin", **more)


def feature(plate: dict[str, Any], name: str) -> dict[str, Any]:
    found: dict[str, Any] = next(one for one in plate["features"] if one["id"] == name)
    return found


@pytest.mark.parametrize("name", JOBS)
def test_every_record_fits_the_schema(name: str) -> None:
    record = json.loads(encoded(design_record(design(name))))
    assert list(faults(record, SCHEMA)) == []
    assert record == design_record(design(name))


@pytest.mark.parametrize("name", JOBS)
def test_bores_stand_apart_by_the_teeth(name: str) -> None:
    """Between unshifted gears (z1 + z2) m / 2 and what is added, in every plate where both shafts have a hole."""
    record = design_record(design(name))
    compared = 0
    for mesh in record["train"]["meshes"]:
        if mesh["profile_shift"] != [0.0, 0.0]:
            continue
        wanted = mesh["module_mm"] * (mesh["driver_teeth"] + mesh["driven_teeth"]) / 2 + mesh["added_centre_mm"]
        assert mesh["centre_mm"] == pytest.approx(wanted, abs=2e-6)
        for plate in record["plates"]:
            places = {
                f["shaft"]: (f["x_mm"], f["y_mm"])
                for f in plate["features"]
                if f["kind"] in ("bearing_bore", "motor_pilot", "shaft_clearance")
            }
            if mesh["driver_shaft"] in places and mesh["driven_shaft"] in places:
                apart = math.dist(places[mesh["driver_shaft"]], places[mesh["driven_shaft"]])
                assert apart == pytest.approx(wanted, abs=1e-3)
                compared += 1
    assert compared >= 2


def test_the_ratio_is_that_of_the_teeth() -> None:
    record = design_record(design("compost-drive"))
    assert record["train"]["ratio"] == 72 / 12 * 60 / 32
    assert [motor["ratio"] for motor in record["motors"]] == [11.25] * 3
    assert design_record(design("barrow-idler"))["train"]["ratio"] == 5.0  # 60 / 12: the idler does not count


def test_one_mesh_for_every_pair_of_shafts() -> None:
    meshes = design_record(design("compost-drive"))["train"]["meshes"]
    assert [(m["driver_shaft"], m["driven_shaft"]) for m in meshes] == [
        ("M1", "S1"), ("M2", "S1"), ("M3", "S1"), ("S1", "output"),
    ]  # fmt: skip


def test_shafts_from_the_output_back_to_the_motors() -> None:
    names = [shaft["name"] for shaft in design_record(design("compost-drive"))["shafts"]]
    assert names == ["output", "S1", "M1", "M2", "M3"]


@pytest.mark.parametrize("name", JOBS)
def test_kerf_lies_between_finished_and_drawn(name: str) -> None:
    for plate in design_record(design(name))["plates"]:
        for one in plate["features"]:
            if one["form"] == "circle":
                assert one["finished_diameter_mm"] - one["path_diameter_mm"] == pytest.approx(
                    plate["kerf_mm"], abs=2e-6
                )
                assert one["finished_diameter_mm"] - one["part_diameter_mm"] == pytest.approx(one["fit_mm"], abs=2e-6)


@pytest.mark.parametrize("name", JOBS)
def test_the_drawn_size_is_the_finished_one_and_a_kerf(name: str) -> None:
    for plate in design_record(design(name))["plates"]:
        x0, y0, x1, y1 = plate["outline"]["bbox_mm"]
        if plate["turned"]:
            x0, x1 = -x1, -x0
        half = plate["kerf_mm"] / 2
        assert plate["drawn"]["bbox_mm"] == pytest.approx([x0 - half, y0 - half, x1 + half, y1 + half], abs=2e-5)
        assert plate["drawn"]["size_mm"] == pytest.approx([x1 - x0 + 2 * half, y1 - y0 + 2 * half], abs=2e-5)


def polygon(vertices: list[list[float]]) -> Polygon:
    """Arcs in 200 chords each: the area is short by about 1e-4 of the arcs' own segments."""
    points: list[tuple[float, float]] = []
    for (x0, y0, bulge), (x1, y1, _) in zip(vertices, vertices[1:] + vertices[:1], strict=True):
        sweep = 4 * math.atan(bulge)
        for step in range(200 if bulge else 1):
            if bulge == 0:
                points.append((x0, y0))
                continue
            half = math.hypot(x1 - x0, y1 - y0) / 2
            radius, rise = half / math.sin(sweep / 2), half / math.tan(sweep / 2)
            ux, uy = (x1 - x0) / (2 * half), (y1 - y0) / (2 * half)
            cx, cy = (x0 + x1) / 2 - uy * rise, (y0 + y1) / 2 + ux * rise
            start = math.atan2(y0 - cy, x0 - cx)
            angle = start + sweep * step / 200
            points.append((cx + abs(radius) * math.cos(angle), cy + abs(radius) * math.sin(angle)))
    return Polygon(points)


@pytest.mark.parametrize("name", JOBS)
def test_areas_and_boxes_agree_with_shapely(name: str) -> None:
    for plate in design_record(design(name))["plates"]:
        outline = polygon(plate["outline"]["vertices"])
        assert plate["outline"]["area_mm2"] == pytest.approx(outline.area, rel=1e-5)
        assert plate["outline"]["bbox_mm"] == pytest.approx(outline.bounds, abs=2e-3)
        left_over = outline
        for one in plate["features"]:
            if one["form"] == "circle":
                continue
            shape = polygon(one["vertices"])
            assert one["area_mm2"] == pytest.approx(shape.area, rel=1e-4)
            assert one["bbox_mm"] == pytest.approx(shape.bounds, abs=2e-3)
            left_over = left_over.difference(shape)
        round_ones = sum(
            math.pi * f["finished_diameter_mm"] ** 2 / 4 for f in plate["features"] if f["form"] == "circle"
        )
        assert plate["area_left_mm2"] == pytest.approx(left_over.area - round_ones, rel=1e-5)
        assert plate["mass_kg"] == pytest.approx(plate["area_left_mm2"] * plate["thickness_mm"] * 1415e-9, rel=1e-5)


def test_the_left_hand_is_the_right_one_mirrored() -> None:
    plates = {(p["plate"], p["hand"]): p for p in design_record(design("every-key"))["plates"]}
    assert len(plates) == 4
    for side in ("outboard", "inboard"):
        right, left = plates[side, "right"], plates[side, "left"]
        assert [f["id"] for f in right["features"]] == [f["id"] for f in left["features"]]
        for a, b in zip(right["features"], left["features"], strict=True):
            assert (b["x_mm"], b["y_mm"]) == (-a["x_mm"] + 0.0, a["y_mm"])
            assert b["finished_diameter_mm"] == a["finished_diameter_mm"]
            if a["form"] == "slot":
                assert b["angle_deg"] == pytest.approx((180 - a["angle_deg"]) % 180)
                ax, ay = math.cos(math.radians(b["angle_deg"])), math.sin(math.radians(b["angle_deg"]))
                (x0, y0, _), (x1, y1, _) = (v for v in b["vertices"] if v[2] == 0.0)
                assert abs((x1 - x0) * ay - (y1 - y0) * ax) <= b["finished_diameter_mm"] + 1e-6
        assert left["outline"]["area_mm2"] == pytest.approx(right["outline"]["area_mm2"], abs=1e-5)


def test_left_alone_has_its_plates_mirrored_and_its_shafts_not() -> None:
    right, left = design_record(design("barrow-idler")), design_record(design("barrow-idler", "left"))
    assert left["job"]["hand"] == "left"
    assert left["shafts"] == right["shafts"]
    assert left["bodies"] == right["bodies"]
    for shaft in left["shafts"]:
        bores = [f for p in left["plates"] for f in p["features"] if f["shaft"] == shaft["name"] and "bore" in f["id"]]
        assert all((f["x_mm"], f["y_mm"]) == (-shaft["x_mm"] + 0.0, shaft["y_mm"]) for f in bores)


@pytest.mark.parametrize("name", JOBS)
def test_common_holes_have_one_place(name: str) -> None:
    by_hand: dict[str, list[dict[str, Any]]] = {}
    for plate in design_record(design(name))["plates"]:
        by_hand.setdefault(plate["hand"], []).append(plate)
    for first, second in by_hand.values():
        names = {f["id"] for f in first["features"] if f["shared"]} & {f["id"] for f in second["features"]}
        assert len(names) >= 6
        for one in names:
            a, b = feature(first, one), feature(second, one)
            assert (a["x_mm"], a["y_mm"]) == (b["x_mm"], b["y_mm"])


@pytest.mark.parametrize("name", JOBS)
def test_gears_and_bodies_lie_in_their_planes(name: str) -> None:
    record = design_record(design(name))
    for gear in record["gears"]:
        low, high = record["stack"]["stage_planes_mm"][gear["stage"] - 1]
        assert low - 1e-6 <= gear["z_mm"][0] < gear["z_mm"][1] <= high + 1e-6
        assert gear["z_mm"][1] - gear["z_mm"][0] == pytest.approx(gear["face_width_mm"], abs=2e-6)
    assert all(body["z_mm"][0] <= body["z_mm"][1] for body in record["bodies"])
    assert not [body for body in record["bodies"] if body["kind"] == "plate"]


def test_the_same_job_gives_the_same_bytes() -> None:
    once = encoded(design_record(design("barrow-idler")))
    design.cache_clear()
    assert encoded(design_record(design("barrow-idler"))) == once


@pytest.mark.parametrize("name", JOBS)
def test_nothing_of_the_machine_is_in_it(name: str) -> None:
    data = encoded(design_record(design(name)))
    assert data.isascii()
    here = Path(__file__).resolve()
    for folder in (*here.parents[:-1], Path.home(), Path.cwd()):
        if len(str(folder)) > 1:
            assert str(folder).encode() not in data
    assert b"-0.0," not in data
    assert b"-0.0]" not in data
    assert b"NaN" not in data
    assert b"Infinity" not in data


def test_a_refused_design_names_no_cut_file() -> None:
    refused = with_findings(design(), finding())
    record = design_record(refused)
    assert record["status"] == "refused"
    assert [plate["file"] for plate in record["plates"]] == [None, None]
    drafted = design_record(with_findings(design(), finding(), draft=True))
    assert drafted["status"] == "draft"
    assert all(plate["file"].endswith(".dxf") for plate in drafted["plates"])
    assert list(faults(record, SCHEMA)) == []
    assert list(faults(drafted, SCHEMA)) == []


def test_the_status_follows_from_errors_alone() -> None:
    warning = finding(severity=Severity.WARNING)
    assert status_of((warning, finding(severity=Severity.NOTE)), draft=False) is Status.OK
    assert status_of((warning, finding()), draft=False) is Status.REFUSED
    assert status_of((warning, finding()), draft=True) is Status.DRAFT
    assert with_findings(design(), warning, finding()).errors == (finding(),)


def test_a_finding_with_its_remedy() -> None:
    remedy = Remedy("Take another.", (("reduction.ratio", Fraction(21, 2)), ("places.S1", {"angle": 0.1 + 0.2})), True)
    one = finding(
        where=Where("outboard", ("S1",), ("S1-bore",), 1.23456789, -0.0),
        measured=0.1,
        limit=1.0,
        unit="mm",
        standing=Standing.COMMON_PRACTICE,
        remedy=remedy,
    )
    record = design_record(with_findings(design(), one))
    assert record["findings"] == [
        {
            "check": "web",
            "severity": "error",
            "where": {"plate": "outboard", "shafts": ["S1"], "features": ["S1-bore"], "x_mm": 1.234568, "y_mm": 0.0},
            "measured": 0.1,
            "limit": 1.0,
            "unit": "mm",
            "standing": "common practice, no source",
            "message": "too thin",
            "remedy": {
                "text": "Take another.",
                "set": {"reduction.ratio": "21/2", "places.S1": {"angle": 0.3}},
                "drop": [],
                "tried": True,
            },
        }
    ]
    assert list(faults(record, SCHEMA)) == []


def test_where_nothing_could_be_laid_out() -> None:
    lost = with_findings(design(), finding("layout"), layout=None, plates=(), cut_plates=(), shops={})
    record = design_record(lost)
    assert list(faults(record, SCHEMA)) == []
    assert record["train"]["ratio"] == 11.25
    assert record["plates"] == record["bodies"] == record["train"]["meshes"] == []
    assert record["shop"]["cutter"] is None


def test_a_length_that_was_never_worked_out_is_our_bug() -> None:
    with pytest.raises(ToolBug):
        encoded(design_record(with_findings(design(), finding(measured=math.nan))))


@pytest.mark.parametrize(("right", "left"), [(0.0, 0.0), (30.0, 150.0), (90.0, 90.0), (135.0, 45.0), (-30.0, 30.0)])
def test_a_slot_leans_the_other_way_on_the_other_hand(right: float, left: float) -> None:
    angle = math.radians(right)
    assert slot_angle_deg(angle, Hand.RIGHT) == pytest.approx(right % 180)
    assert slot_angle_deg(angle, Hand.LEFT) == pytest.approx(left)


def test_a_notebook_shows_the_picture_that_was_handed_in() -> None:
    assert design()._repr_svg_() is None
    shown = replace(design(), draw=lambda one: f"<svg>{one.identity.part}</svg>")
    assert shown._repr_svg_() == "<svg>compost-drive</svg>"
