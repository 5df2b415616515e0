"""What can be named, as lists and row by row."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

from gearplate.catalog import profiles_folder
from gearplate.catalog.tables import TABLES
from gearplate.cli.profile_text import TABLES as LISTED
from gearplate.cli.row_toml import row_toml
from tests.builders.command import call


def test_every_table_is_listed(tmp_path: Path) -> None:
    answer = call("profiles", folder=tmp_path)
    assert answer.code == 0
    for table in (*TABLES, "jobs"):
        assert f"  {table} " in answer.out
    assert set(LISTED) == {*TABLES, "jobs"}


@pytest.mark.parametrize("table", TABLES)
def test_every_row_is_shown_as_it_can_be_pasted_into_a_table_of_one_s_own(table: str, tmp_path: Path) -> None:
    """All rows printed, put into one file as they are, and laid over: the catalogue has the same rows, and each says
    that it stands in that file now."""
    listed = call("profiles", table, folder=tmp_path).out
    rows = json.loads(call("profiles", table, "--json", folder=tmp_path).out)
    assert rows
    folders = [profiles_folder()]
    texts = [row_toml(table, row["name"], folders, folders[0]) for row in rows]
    own = tmp_path / "profiles" / f"{table}.toml"
    own.parent.mkdir()
    own.write_text("\n".join(texts), encoding="utf-8")
    after = json.loads(call("profiles", table, "--json", folder=tmp_path).out)
    assert without_file(after) == without_file(rows)
    assert f"{table}.toml (shipped)" not in json.dumps(after)
    for row in rows:
        assert f"  {row['name']} " in listed
    shown = call("profiles", table, rows[0]["name"], folder=tmp_path).out
    assert shown.startswith(f"# From {Path('profiles', own.name)}. ")
    assert shown.splitlines()[2:] == texts[0].splitlines()[2:], "a row of one's own is shown as it stands there"


def without_file(value: Any) -> Any:
    """Rows without the file that they stand in."""
    if isinstance(value, dict):
        return {key: without_file(item) for key, item in value.items() if key != "file"}
    return [without_file(item) for item in value] if isinstance(value, list) else value


def test_a_value_is_shown_with_its_own_standing(tmp_path: Path) -> None:
    (row,) = json.loads(call("profiles", "bearings", "608", "--json", folder=tmp_path).out)
    assert (row["outside_mm"], row["width_mm"]) == (22.0, 7.0)  # ISO 15: 608 is 8 x 22 x 7
    shown = call("profiles", "bearings", "608", folder=tmp_path).out
    assert "outside_mm = 22\n" in shown
    assert 'standing_of = {dynamic_n = "handbook"' in shown
    assert 'source = "ISO 15' in shown, "in words, not as a key of a table that is left behind"


def test_a_folder_of_one_s_own_is_laid_over(tmp_path: Path) -> None:
    (tmp_path / "profiles").mkdir()
    text = """
[sources]
me = "our caliper"
[shaft.round-7mm]
round_mm = 7
material = "steel"
density_kg_m3 = 7850
youngs_modulus_gpa = 205
yield_mpa = 350
source = "me"
standing = "measured here"
"""
    (tmp_path / "profiles" / "shafts.toml").write_text(text, encoding="utf-8")
    answer = call("profiles", "shafts", folder=tmp_path)
    assert answer.code == 0, answer.err
    assert "round-7mm" in answer.out
    assert "hex-1/2in" in answer.out


def test_ready_jobs(tmp_path: Path) -> None:
    names = json.loads(call("profiles", "jobs", "--json", folder=tmp_path).out)
    assert "compost-drive" in names
    text = call("profiles", "jobs", "compost-drive", folder=tmp_path).out
    assert 'part = "compost-drive"' in text
    assert call("profiles", "jobs", "compost", folder=tmp_path).code == 2


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        (("motor",), "Did you mean motors"),
        (("motors", "generic-c"), "Did you mean generic-"),
        (("bearings", "qqq"), "There are: 623, "),
    ],
)
def test_a_name_that_is_not_there_has_neighbours(arguments: tuple[str, ...], said: str, tmp_path: Path) -> None:
    answer = call("profiles", *arguments, folder=tmp_path)
    assert answer.code == 2
    assert said in answer.err


def test_what_is_wrong_in_several_own_tables_is_one_report_and_rows_to_copy_still_come(tmp_path: Path) -> None:
    own = tmp_path / "profiles"
    own.mkdir()
    (own / "materials.toml").write_text('[material.hdpe-8mm]\nfamily = "hdpe"\n', encoding="utf-8")
    (own / "cutters.toml").write_text('[cutter.ours]\nprocess = "co2 laser"\n', encoding="utf-8")
    (tmp_path / "job.toml").write_text('base = "compost-drive"\nmaterial = "hdpe-8mm"\n', encoding="utf-8")
    answer = call("check", "job.toml", folder=tmp_path)
    assert answer.code == 2
    assert answer.err.count("keys are missing") == 2
    assert "material.hdpe-8mm" in answer.err
    assert "cutter.ours" in answer.err
    row = call("profiles", "materials", "acetal-6mm", folder=tmp_path)
    assert row.code == 0
    assert "[material.acetal-6mm]" in row.out
    assert "your own table is not right yet" in row.err


def test_a_sheet_that_a_cutter_was_not_calibrated_for_is_told_what_mends_it(tmp_path: Path) -> None:
    own = tmp_path / "profiles"
    own.mkdir()
    row = call("profiles", "materials", "acetal-6mm", folder=tmp_path).out.replace("acetal-6mm]", "hdpe-8mm]")
    (own / "materials.toml").write_text(row.replace('family = "acetal"', 'family = "hdpe"'), encoding="utf-8")
    (tmp_path / "job.toml").write_text('base = "compost-drive"\nmaterial = "hdpe-8mm"\n', encoding="utf-8")
    told = call("check", "job.toml", folder=tmp_path).err
    assert '[[cutter.demo.calibration]] with material = "hdpe-8mm" in profiles/cutters.toml' in told
    # what is told works: the cutter's whole row with that block
    row = call("profiles", "cutters", "demo", folder=tmp_path).out
    more = "\n[[cutter.demo.calibration]]\n" + row.partition("[[cutter.demo.calibration]]\n")[2].partition("[[")[0]
    (own / "cutters.toml").write_text(row + more.replace('"acetal-6mm"', '"hdpe-8mm"'), encoding="utf-8")
    assert call("check", "job.toml", folder=tmp_path).code == 0
