"""The shipped tables: provenance of every row, agreement with outside values, and with each other."""

from __future__ import annotations

import math
import re
import tomllib
from pathlib import Path
from typing import Any

import pytest

from gearplate.catalog import Catalog, profiles_folder
from gearplate.catalog.gears import GearClass
from gearplate.catalog.row import Row
from gearplate.catalog.tables import TABLES
from gearplate.finding import Standing

TRUTH = Path(__file__).parents[1] / "truth"


def truth_rows(file: str, name: str) -> dict[Any, dict[str, Any]]:
    """Rows of one table of an outside-values file, by their first column."""
    data = tomllib.loads((TRUTH / file).read_text(encoding="utf-8"))
    found = {}
    for table in data["table"]:
        if table["name"] == name:
            found.update({row[0]: dict(zip(table["columns"], row, strict=True)) for row in table["rows"]})
    assert found
    return found


def rows(catalog: Catalog, table: str) -> list[Row]:
    return [row.pattern if isinstance(row, GearClass) else row for row in catalog.table(table).values()]


@pytest.mark.parametrize("table", TABLES)
def test_every_row_says_where_it_comes_from(shipped: Catalog, table: str) -> None:
    found = rows(shipped, table)
    assert found
    for row in found:
        assert " " in row.source, f"{row.name}: {row.source!r} is a key of [sources] that is not there"
        assert row.standing is not Standing.GEOMETRY


@pytest.mark.parametrize("table", TABLES)
def test_every_table_tells_how_it_is_overlaid(table: str) -> None:
    text = (profiles_folder() / f"{table}.toml").read_text(encoding="utf-8")
    header = re.sub(r"\s*#\s*", " ", text.split("\n\n[", 1)[0])
    assert text.startswith("#")
    assert "`profiles` beside" in header


@pytest.mark.parametrize("table", TABLES)
def test_no_name_is_claimed_twice(shipped: Catalog, table: str) -> None:
    names = [name for row in shipped.table(table).values() for name in (row.name, *row.also)]
    assert len(names) == len(set(names))


def test_metric_screws_agree_with_the_printed_tables(shipped: Catalog) -> None:
    # ISO 273, ISO 4762, ISO 4032 as transcribed (tests/truth/holes.toml)
    holes, heads = truth_rows("holes.toml", "clearance_metric"), truth_rows("holes.toml", "socket_head_metric")
    nuts, taps = truth_rows("holes.toml", "hex_nut_metric"), truth_rows("holes.toml", "tap_drill_metric")
    for size in ("M2.5", "M3", "M4", "M5", "M6", "M8", "M10"):
        screw = shipped.fastener(size)
        assert [screw.close_mm, screw.normal_mm, screw.loose_mm] == list(holes[size].values())[1:]
        assert [screw.head_diameter_mm, screw.head_height_mm, screw.key_mm] == list(heads[size].values())[1:]
        assert [screw.nut_across_flats_mm, screw.nut_height_mm] == list(nuts[size].values())[1:]
        assert [screw.nominal_mm, screw.pitch_mm, screw.tap_drill_mm] == list(taps[size].values())[1:]


def test_inch_screws_agree_with_the_printed_tables(shipped: Catalog) -> None:
    # ASME B18.2.8, B18.3 as transcribed (tests/truth/holes.toml)
    holes, heads = truth_rows("holes.toml", "clearance_inch"), truth_rows("holes.toml", "socket_head_inch")
    nuts, taps = truth_rows("holes.toml", "hex_nut_inch"), truth_rows("holes.toml", "tap_drill_inch")
    for thread, size in (("4-40", "#4"), ("6-32", "#6"), ("8-32", "#8"), ("10-24", "#10"), ("10-32", "#10"),
                         ("1/4-20", "1/4"), ("5/16-18", "5/16"), ("3/8-16", "3/8")):  # fmt: skip
        screw = shipped.fastener(thread)
        hole, head, nut, tap = holes[size], heads[size], nuts[size], taps[thread]
        key = head["socket_in"].split("/")
        expected = {
            "nominal_mm": hole["nominal_in"],
            "close_mm": hole["close_in"],
            "normal_mm": hole["normal_in"],
            "loose_mm": hole["loose_in"],
            "head_diameter_mm": head["head_in"],
            "head_height_mm": head["head_height_in"],
            "key_mm": int(key[0]) / int(key[1]),
            "nut_across_flats_mm": nut["across_flats_in"],
            "nut_height_mm": nut["height_in"],
            "tap_drill_mm": tap["drill_in"],
        }
        for name, inches in expected.items():
            assert getattr(screw, name) == pytest.approx(25.4 * inches, abs=1e-9), f"{thread} {name}"
        assert screw.pitch_mm == pytest.approx(25.4 / tap["threads_per_in"])


def test_inch_holes_are_the_standards_and_not_those_of_the_workshop_chart(shipped: Catalog) -> None:
    # the chart's close fit is narrower than the standard's close one, its free fit no wider than the normal one
    chart = truth_rows("holes.toml", "clearance_inch_workshop_chart")
    for thread, size in (("4-40", "#4"), ("6-32", "#6"), ("8-32", "#8"), ("10-32", "#10"),
                         ("1/4-20", "1/4"), ("5/16-18", "5/16"), ("3/8-16", "3/8")):  # fmt: skip
        screw, row = shipped.fastener(thread), chart.pop(size)
        assert screw.close_mm > 25.4 * row["close_fit_in"] + 0.05, thread
        assert screw.normal_mm >= 25.4 * row["free_fit_in"] - 1e-9, thread
        assert screw.loose_mm > 25.4 * row["free_fit_in"] + 0.05, thread
    assert not chart


def test_faces_agree_with_the_printed_tables(shipped: Catalog) -> None:
    # NEMA ICS 16 faces and can motor classes as transcribed (tests/truth/faces.toml)
    nema, cans = truth_rows("faces.toml", "nema"), truth_rows("faces.toml", "can")
    for size in (17, 23, 34):
        motor, row = shipped.motor(f"nema-{size}"), nema[size]
        assert motor.body_square_mm == row["body_mm"]
        assert motor.face.bolt_circle_mm == pytest.approx(math.sqrt(2) * row["hole_square_mm"])
        assert motor.face.bolt_circle_mm == pytest.approx(row["bolt_circle_mm"], abs=0.05)
        assert motor.face.pilot_diameter_mm == row["pilot_mm"]
        assert motor.shaft_diameter_mm == row["shaft_mm"]
        assert motor.face.screw_count == row["holes"]
        assert motor.face.first_hole_deg == 45.0
    assert not shipped.motor("nema-17").face.through_holes
    assert shipped.motor("nema-23").face.through_holes
    assert shipped.motor("nema-34").face.through_holes
    for size in (500, 700):
        motor, row = shipped.motor(f"can-{size}"), cans[f"{size}-class brushed can"]
        face = motor.face
        assert [motor.body_diameter_mm, face.screw, face.bolt_circle_mm] == [
            row["body_mm"],
            row["screw"],
            row["screw_spacing_mm"],
        ]
        assert [face.screw_count, face.pilot_diameter_mm, motor.shaft_diameter_mm] == [
            row["screws"],
            row["pilot_mm"],
            row["shaft_mm"],
        ]


@pytest.mark.parametrize(
    ("name", "bore", "outside", "width"),
    [
        # ISO 15, dimension series 18, 19, 10, 02: sizes that every bearing table prints
        ("608", 8, 22, 7),
        ("688ZZ", 8, 16, 5),
        ("6800", 10, 19, 5),
        ("61801", 12, 21, 5),
        ("6900", 10, 22, 6),
        ("6000", 10, 26, 8),
        ("6001", 12, 28, 8),
        ("6202", 15, 35, 11),
        ("F6801ZZ", 12, 21, 5),
        # ABMA inch instrument series: 1/4 x 5/8, 3/8 x 7/8 x 9/32, 1/2 x 1-1/8 (1/4 open, 5/16 shielded)
        ("R4", 6.35, 15.875, 0.196 * 25.4),
        ("R6ZZ", 9.525, 22.225, 7.14375),
        ("R8", 12.7, 28.575, 6.35),
        ("R8ZZ", 12.7, 28.575, 7.9375),
        ("FR8ZZ", 12.7, 28.575, 7.9375),
        ("FR8ZZ-hex", 12.7, 28.575, 7.9375),
    ],
)
def test_bearings(shipped: Catalog, name: str, bore: float, outside: float, width: float) -> None:
    bearing = shipped.bearing(name)
    assert (bearing.bore.across_mm, bearing.outside_mm) == (bore, outside)
    assert bearing.width_mm == pytest.approx(width, abs=1e-9)
    assert (bearing.flange is not None) == name.startswith("F")


def test_bearings_belong_together(shipped: Catalog) -> None:
    bearings = shipped.bearings()
    compared = 0
    for name, bearing in bearings.items():
        if name.startswith("F") and name.removesuffix("ZZ")[1:] in bearings and "ZZ" not in name:
            plain = bearings[name[1:]]
            assert (bearing.bore, bearing.outside_mm) == (plain.bore, plain.outside_mm)
            compared += 1
        if bearing.dynamic_n is not None:
            assert bearing.static_n is not None
            assert bearing.static_n < bearing.dynamic_n
    assert compared >= 4
    hexagon = bearings["FR8ZZ-hex"]
    assert hexagon.bore.corners_mm == pytest.approx(14.6646968, abs=1e-6)  # geometry, 2 / sqrt(3) x 12.7
    assert hexagon.seat_width_mm == pytest.approx(7.9375 - 1.5748)
    assert hexagon.dynamic_n is None


def test_motors_name_screws_that_there_are(shipped: Catalog) -> None:
    for motor in shipped.motors().values():
        screw = shipped.fastener(motor.face.screw)
        if motor.face.flange_hole_mm is not None:
            assert motor.face.flange_hole_mm > screw.nominal_mm
        web = (motor.face.bolt_circle_mm - screw.nominal_mm - motor.face.pilot_diameter_mm) / 2
        assert web > 0.5, "pilot and screws cut into each other"
        half = (motor.body_diameter_mm or motor.room_diameter_mm) / 2
        assert half > motor.face.bolt_circle_mm / 2


def test_generic_a_is_a_whole_with_its_pinion(shipped: Catalog) -> None:
    motor = shipped.motor("generic-a")
    pinion = shipped.find_gear(12, diametral_pitch=20)
    assert pinion is not None
    tip = (pinion.teeth + 2 * (1 + pinion.profile_shift)) * pinion.module_mm
    assert tip == pytest.approx(19.05)
    assert motor.face.pilot_diameter_mm > tip  # so that the motor can be taken out without splitting the box
    assert motor.shaft_length_mm >= 6 + 30 + 6
    assert motor.shaft_diameter_mm in [bore.across_mm for bore in pinion.bores]


def test_gears_have_metal_round_their_bores(shipped: Catalog) -> None:
    for entry in shipped.gears().values():
        smallest = entry.gear(entry.counts[0])
        root = (smallest.teeth - 2 * (1.25 - smallest.profile_shift)) * smallest.module_mm
        narrowest = min(bore.corners_mm for bore in smallest.bores)
        assert root - narrowest > 2 * 0.5, f"{entry.name}: {root:.2f} mm root, {narrowest:.2f} mm bore"


def test_small_pinions_at_20_degrees_are_cut_long(shipped: Catalog) -> None:
    # common practice, no source: 9 to 16 teeth as on a blank for one tooth more
    for entry in shipped.gears().values():
        if entry.pattern.pressure_angle_deg == 20.0:
            for teeth in entry.counts:
                assert entry.gear(teeth).profile_shift == (0.5 if teeth <= 16 else 0.0)


def test_cutters_are_calibrated_for_materials_that_there_are(shipped: Catalog) -> None:
    families = {material.family for material in shipped.materials().values()}
    for cutter in shipped.cutters().values():
        for entry in cutter.calibrations:
            assert entry.standing is Standing.INVENTED
            assert "invented" in entry.measured_by
            if entry.material is None:
                assert entry.family in families
            else:
                material = shipped.material(entry.material)
                assert cutter.process in material.processes
                # nobody presses a bearing where the material does not bear it
                if material.press_fit is None:
                    assert "bearing_press" not in dict(entry.fits)
                else:
                    under = -dict(entry.fits)["bearing_press"]
                    assert material.press_fit.under_low_mm <= under <= material.press_fit.under_high_mm


def test_demo_axis_needs_more_than_circles(shipped: Catalog) -> None:
    kerf = shipped.cutter("demo-axis").calibrations[0].kerf
    assert abs(kerf.x_mm - kerf.y_mm) > 0.01  # over a hole, the axes differ by more than 0.005 mm
    assert shipped.cutter("demo-machine-compensates").compensates
    assert not shipped.cutter("demo").compensates
    assert shipped.cutter("demo").lead_in is None


@pytest.mark.parametrize("name", ["pvc", "pvc-3mm", "PVC 6 mm", "abs-quarter-inch", "black vinyl", "carbon-fibre-2mm"])
def test_what_must_never_be_cut_is_known_by_any_name(shipped: Catalog, name: str) -> None:
    material = shipped.material(name)
    assert material.never_cut
    assert len(material.never_cut_why) > 20


def test_harmless_sheets_are_not_taken_for_forbidden_ones(shipped: Catalog) -> None:
    forbidden = [material for material in shipped.materials().values() if material.never_cut]
    assert len(forbidden) >= 5
    for name in ("acetal-6mm", "polycarbonate-6mm", "carbon-steel-3mm", "absolutely-ordinary-ply", "acrylic-6mm"):
        assert not any(material.names(name) for material in forbidden)


def test_acrylic_bears_no_press(shipped: Catalog) -> None:
    assert shipped.material("acrylic-6mm").press_fit is None
    assert shipped.material("acrylic-6mm").no_press_why
    assert shipped.material("acetal-6mm").press_fit is not None
    assert shipped.material("acetal-quarter-inch").thickness_mm == 6.35
