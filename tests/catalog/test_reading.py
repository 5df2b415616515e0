"""A wrong table is reported once, wholly, with file, line, key, value and what is accepted."""

from __future__ import annotations

import re
from collections.abc import Callable
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from gearplate.catalog import Catalog, load_catalog, profiles_folder
from gearplate.catalog.reading import Reader, inches_to_mm
from gearplate.catalog.tables import TABLES
from gearplate.errors import FileError, GearplateError, JobError

Overlay = Callable[..., Catalog]

SHAFT = 'round_mm = 8\nmaterial = "steel"\ndensity_kg_m3 = 7850\nyoungs_modulus_gpa = 205\nyield_mpa = 350\n'
BY_US = 'source = "calliper, our bench"\nstanding = "measured here"\n'


def problems(catalog: Catalog, table: str) -> list[tuple[int | None, str, str]]:
    with pytest.raises(JobError) as caught:
        catalog.table(table)
    return [(problem.line, problem.key, problem.message) for problem in caught.value.problems]


def test_all_mistakes_of_a_table_come_in_one_report(overlaid: Overlay) -> None:
    catalog = overlaid(
        shafts="""\
[shaft.one]
round_mm = "8"
materail = "steel"
density_kg_m3 = 7
youngs_modulus_gpa = true
yield_mpa = 350
standing = "measured by me"

[shaft.two]
"""
        + SHAFT.replace("round_mm = 8", 'round_in = "5/0"')
        + BY_US
    )
    found = problems(catalog, "shafts")
    assert [(line, key) for line, key, _ in found] == [
        (1, "shaft.one.source"),
        (7, "shaft.one.standing"),
        (2, "shaft.one.round_mm"),
        (1, "shaft.one.material"),
        (4, "shaft.one.density_kg_m3"),
        (5, "shaft.one.youngs_modulus_gpa"),
        (3, "shaft.one.materail"),
        (10, "shaft.two.round_in"),
    ]
    assert "Did you mean 'material'?" in found[6][2]


def test_a_problem_names_file_value_and_what_is_accepted(overlaid: Overlay, tmp_path: Path) -> None:
    catalog = overlaid(shafts="[shaft.thick]\n" + SHAFT.replace("= 8", "= 80") + BY_US)
    with pytest.raises(JobError) as caught:
        catalog.shaft("round-8mm")
    (problem,) = caught.value.problems
    assert problem.file == str(tmp_path / "shafts.toml")
    assert (problem.line, problem.value) == (2, "80")
    assert problem.accepted == "a number from 1 to 60 mm"
    assert caught.value.exit_code == 2


# One right row of each table that mistakes are made in below.
BEARING = "[bearing.x]\nbore_mm = 8\noutside_mm = 22\nwidth_mm = 7\nclosure = 'open'\n" + BY_US
FLANGE = "flange_thickness_mm = 1\n"
GEAR = (
    '[gear.x]\ndiametral_pitch = 20\npressure_angle_deg = 20\nteeth = "20 to 30"\nrole = "gear"\n'
    'face_width_mm = 12\nbores = [{round_mm = 8}]\nmaterial = "steel"\n' + BY_US
)
CUTTER = (
    "[cutter.x]\nprocess = 'co2 laser'\nbed_x_mm = 600\nbed_y_mm = 400\n" + BY_US + "[[cutter.x.calibration]]\n"
    'material = "acetal-6mm"\nkerf_mm = 0.2\ntaper_mm_per_mm = 0.01\nfits = {screw_mm = 0}\n'
    'dated = "2025-09-30"\nmeasured_by = "us"\nstanding = "measured here"\n'
)
MOTOR = (
    "[motor.x]\nbody_diameter_mm = 36\nbody_length_mm = 60\nshaft_diameter_mm = 5\nshaft_length_mm = 20\n"
    "mass_kg = 0.3\npilot_diameter_mm = 16\npilot_height_mm = 2\nscrew = 'M3'\nscrew_count = 4\n"
    "bolt_circle_mm = 25\nthread_depth_mm = 4\n" + BY_US
)

# Table, its right row, what is changed in it (from, to) or added to it, the key that the report names, its words.
MISTAKES = [
    ("bearings", BEARING, ("", "bore_in = 0.5\n"), "bearing.x.bore_mm", "same length"),
    ("bearings", BEARING, ("", "bore_hex_in = 0.5\n"), "bearing.x", "both round and hexagonal"),
    ("bearings", BEARING, ("= 22", "= 8"), "bearing.x", "bore is wider"),
    ("bearings", BEARING, ("", FLANGE + "flange_diameter_mm = 21\n"), "bearing.x.flange_diameter_mm", "not wider"),
    ("bearings", BEARING, ("", FLANGE), "bearing.x.flange_diameter_mm", "missing"),
    ("bearings", BEARING, ("", 'standing_of = {width_in = "invented"}\n'),
     "bearing.x.standing_of.width_in", "no such key"),
    ("bearings", BEARING, ("", "[standing_of]\nwidht_mm = 'from memory'\n"), "standing_of.widht_mm", "no row"),
    ("bearings", BEARING, ("", "[beering.x]\ny = 1\n"), "beering", "not known here"),
    ("bearings", BEARING, ("", "[sources]\niso = 5\n"), "sources.iso", "not a text"),
    ("gears", GEAR, ("", "module_mm = 1\n"), "gear.x", "diametral pitch or a module"),
    ("gears", GEAR, ('"20 to 30"', '"30 to 20"'), "gear.x.teeth", "runs nowhere"),
    ("gears", GEAR, ('"20 to 30"', "[20.5]"), "gear.x.teeth", "not whole"),
    ("gears", GEAR, ('"20 to 30"', "[3]"), "gear.x.teeth", "out of range"),
    ("gears", GEAR, ("", "tip_diameter_mm = 30\n"), "gear.x", "one tip diameter"),
    ("gears", GEAR, ("[{round_mm = 8}]", "[]"), "gear.x.bores", "empty"),
    ("gears", GEAR, ("round_mm", "square_mm"), "gear.x.bores[0].square_mm", "not known"),
    ("cutters", CUTTER, ("[[cutter.x.calibration]]", "[cutter.x.lead_in]"), "cutter.x.calibration", "ever calibrated"),
    ("cutters", CUTTER, ("kerf_mm = 0.2", "kerf_mm = 5.1"), "cutter.x.calibration[0].kerf_mm", "out of range"),
    ("cutters", CUTTER, ("kerf_mm = 0.2", "kerf_in = 0.2"), "cutter.x.calibration[0].kerf_in", "out of range"),
    ("cutters", CUTTER, ("2025-09-30", "autumn"), "cutter.x.calibration[0].dated", "not a date"),
    ("cutters", CUTTER, ("screw_mm", "scrow_mm"), "cutter.x.calibration[0].fits.scrow_mm", "Did you mean"),
    ("cutters", CUTTER, ("material", 'family = "acetal"\nmaterial'), "cutter.x.calibration[0]", "of which material"),
    ("cutters", CUTTER, ("bed_x_mm", 'layers = [{meaning = "inner", name = "a", colour_index = 1}]\nbed_x_mm'),
     "cutter.x.layers", "once"),
    ("cutters", CUTTER, ("bed_x_mm", 'layers = [{meaning = "inner", name = "a b", colour_index = 1}]\nbed_x_mm'),
     "cutter.x.layers[0].name", "safe"),
    ("motors", MOTOR, ("", "body_square_mm = 30\n"), "motor.x", "round or square"),
    ("motors", MOTOR, ("", "hole_square_mm = 30\n"), "motor.x", "bolt circle too"),
    ("motors", MOTOR, ("", "flange_hole_mm = 5\nflange_thickness_mm = 5\n"), "motor.x", "tapped holes"),
    ("motors", MOTOR, ("", "voltage_v = 12\n"), "motor.x", "4 keys are missing: free_speed_rpm"),
    ("motors", MOTOR, ("= 25", "= 15"), "motor.x.pilot_diameter_mm", "wider than the screw circle"),
    ("motors", MOTOR, ("screw_count = 4", "screw_count = 4.0"), "motor.x.screw_count", "not a whole"),
]  # fmt: skip
ROWS = [("bearings", BEARING), ("gears", GEAR), ("cutters", CUTTER), ("motors", MOTOR)]


@pytest.mark.parametrize(("table", "row", "change", "key", "words"), MISTAKES)
def test_each_mistake_is_named_where_it_stands(
    overlaid: Overlay, table: str, row: str, change: tuple[str, str], key: str, words: str
) -> None:
    old, new = change
    assert old in row
    found = problems(overlaid(**{table: row.replace(old, new, 1) if old else row + new}), table)
    named = [message for _, where, message in found if where == key]
    assert any(words in message for message in named), found
    assert all(line is not None for line, _, _ in found)


@pytest.mark.parametrize("text", ['[bearing]\nx = "608"\n', "bearing = 5\n"])
def test_what_is_no_table_is_told(overlaid: Overlay, text: str) -> None:
    assert "not a table" in problems(overlaid(bearings=text), "bearings")[0][2]


@pytest.mark.parametrize(("table", "text"), ROWS)
def test_the_rows_that_those_mistakes_were_made_in_are_right(overlaid: Overlay, table: str, text: str) -> None:
    assert "x" in overlaid(**{table: text}).table(table)


def test_a_fault_of_syntax_is_told_with_its_line(overlaid: Overlay) -> None:
    found = problems(overlaid(shafts="[shaft.x]\nround_mm 8\n"), "shafts")
    assert found[0][0] == 2


def test_a_table_in_another_encoding_is_refused(overlaid: Overlay, tmp_path: Path) -> None:
    catalog = overlaid()
    (tmp_path / "shafts.toml").write_bytes("# größe\n".encode("latin-1"))
    assert "UTF-8" in problems(catalog, "shafts")[0][2]


def test_a_table_of_an_unknown_name_is_refused(tmp_path: Path) -> None:
    (tmp_path / "bearing.toml").write_text("")
    (tmp_path / "notes.txt").write_text("not ours")
    with pytest.raises(JobError, match="bearings"):
        load_catalog([tmp_path])


def test_a_folder_that_is_none_is_refused(tmp_path: Path) -> None:
    with pytest.raises(FileError, match="nowhere"):
        load_catalog([tmp_path / "nowhere"])


def test_a_table_is_read_when_it_is_asked_for(overlaid: Overlay) -> None:
    catalog = overlaid(bearings="this is no table")
    assert catalog.motor("generic-a").body_diameter_mm == 64
    with pytest.raises(JobError):
        catalog.bearing("608")


@pytest.mark.parametrize(
    ("value", "mm"),
    [(1.125, 28.575), ("1-1/8", 28.575), ("1 1/8", 28.575), ("5/16", 7.9375), ("1/2", 12.7), (0.196, 4.9784)],
)  # fmt: skip
def test_inches_are_exact(value: object, mm: float) -> None:
    reader = Reader({"bore_in": value}, (), [])
    assert reader.length("bore", 0, 100) == mm
    assert reader.faults == []


@pytest.mark.parametrize("value", ["1/0", "one", "", "0.5 in", "1/2/3", True, float("nan"), float("inf"), [1], "-1/2"])
def test_what_is_no_length_in_inches_is_refused(value: object) -> None:
    reader = Reader({"bore_in": value}, (), [])
    reader.length("bore", 0, 100)
    assert [fault.path for fault in reader.faults] == [("bore_in",)]


@given(st.fractions(min_value=0, max_value=4, max_denominator=64))
def test_inch_fractions_and_decimals_agree(inches) -> None:  # type: ignore[no-untyped-def]
    assert inches_to_mm(float(inches)) == pytest.approx(float(inches * 254 / 10), abs=1e-9)


VALUES = st.one_of(
    st.none(), st.booleans(), st.integers(-5, 5), st.floats(), st.text("ab1/- ", max_size=5), st.just([]), st.just({}),
    st.just([1, 2]), st.just(["a"]), st.just([{}]),
)  # fmt: skip


@pytest.mark.parametrize("table", TABLES)
@settings(max_examples=25, deadline=None)
@given(data=st.data())
def test_mangled_rows_are_reported_and_never_crash(shipped: Catalog, table: str, data: st.DataObject) -> None:
    """Any row of a shipped table with a few values replaced or dropped is either a row still, or a report."""
    import importlib
    import tomllib

    from gearplate.catalog.common import Front

    text = (profiles_folder() / f"{table}.toml").read_text(encoding="utf-8")
    raw = tomllib.loads(text)[TABLES[table]]
    name = data.draw(st.sampled_from(sorted(raw)))
    row = dict(raw[name])
    for key in data.draw(st.lists(st.sampled_from(sorted(row)), max_size=3)):
        value = data.draw(VALUES)
        if value is None:
            row.pop(key, None)
        else:
            row[key] = value
    reading = {
        "chain": ("shafts", "read_chain"),
        "shafts": ("shafts", "read_shaft"),
        "gears": ("gears", "read_gear_class"),
    }
    module, function = reading.get(table, (table, "read_" + TABLES[table]))
    read = getattr(importlib.import_module(f"gearplate.catalog.{module}"), function)
    reader = Reader(row, (TABLES[table], name), [])
    read(reader, name, Front("a file", {}, ()))
    for fault in reader.faults:
        assert fault.message
        assert re.match(r"[a-z]+", str(fault.path[0]))


def test_errors_are_of_our_tree() -> None:
    assert issubclass(JobError, GearplateError)


def test_the_keys_that_a_row_lacks_are_told_once_with_a_row_to_copy(tmp_path: Path) -> None:
    (tmp_path / "materials.toml").write_text('[material.hdpe-8mm]\nfamily = "hdpe"\nthickness_mm = 8\n')
    with pytest.raises(JobError) as caught:
        load_catalog([profiles_folder(), tmp_path]).materials()
    (problem,) = caught.value.problems
    assert (problem.line, problem.key) == (1, "material.hdpe-8mm")
    assert problem.message.startswith("11 keys are missing: source, standing, thickness_span_mm, press_fit, processes")
    assert problem.message.endswith("change it: gearplate profiles materials acetal-6mm")
    assert "acetal-6mm" in load_catalog([profiles_folder()]).materials()
