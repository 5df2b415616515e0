"""A first job file, and what editors check it with."""

from __future__ import annotations

import json
import tomllib
from pathlib import Path

import pytest

from gearplate.catalog import profiles_folder
from tests.builders.command import call, contents


def test_new_writes_a_job_that_builds(tmp_path: Path) -> None:
    answer = call("new", folder=tmp_path)
    assert (answer.code, answer.out) == (0, "my-drive.toml\n")
    assert "gearplate check my-drive.toml" in answer.err
    text = (tmp_path / "my-drive.toml").read_text(encoding="utf-8")
    assert len(text.splitlines()) <= 30
    built = call("build", folder=tmp_path)
    assert built.code == 0
    assert "0 findings" in built.out


def test_new_names_the_schema_only_where_it_is_there(tmp_path: Path) -> None:
    """An editor shows an error at a schema that is named and missing, in a file that is right."""
    drives = tmp_path / "drives"
    drives.mkdir()
    assert call("new", "drives/first", folder=tmp_path).code == 0
    first = (drives / "first.toml").read_text(encoding="utf-8").splitlines()
    assert not any(line.startswith("#:schema") for line in first)
    assert "gearplate schema > job.schema.json" in first[1]
    schema = call("schema", folder=tmp_path).out
    (drives / "job.schema.json").write_text(schema, encoding="utf-8")
    assert call("new", "drives/second", folder=tmp_path).code == 0
    named = (drives / "second.toml").read_text(encoding="utf-8").splitlines()[0]
    assert named == first[0].removeprefix("#") == "#:schema job.schema.json"


def test_new_never_overwrites(tmp_path: Path) -> None:
    (tmp_path / "my-drive.toml").write_text("mine", encoding="utf-8")
    answer = call("new", folder=tmp_path)
    assert answer.code == 2
    assert "is there already" in answer.err
    assert contents(tmp_path) == {"my-drive.toml": b"mine"}


@pytest.mark.parametrize(
    ("asked", "file", "part"),
    [
        ("left arm.toml", "left arm.toml", "left-arm"),
        ("arm", "arm.toml", "arm"),
        ("CON", "CON.toml", "part-CON"),
        ('a"b', 'a"b.toml', "a-b"),
        ("..", "...toml", "part"),
    ],
)
def test_the_file_s_name_becomes_the_part_s(asked: str, file: str, part: str, tmp_path: Path) -> None:
    assert call("new", asked, folder=tmp_path).code == 0
    assert list(contents(tmp_path)) == [file]
    assert tomllib.loads((tmp_path / file).read_text(encoding="utf-8"))["part"] == part


def test_new_in_a_folder_that_is_not_there(tmp_path: Path) -> None:
    answer = call("new", "nowhere/x.toml", folder=tmp_path)
    assert answer.code == 2
    assert "there is no folder" in answer.err


def test_the_schema_is_the_one_that_the_examples_name(tmp_path: Path) -> None:
    answer = call("schema", folder=tmp_path, encoding="ascii")
    assert answer.code == 0
    kept = (profiles_folder() / "job.schema.json").read_text(encoding="utf-8")
    assert answer.out == kept
    assert json.loads(answer.out)["title"] == "gearplate job"
