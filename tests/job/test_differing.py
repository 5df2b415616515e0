"""A changed job as a file of its own: only what differs, in any mixture of units, and it says the same."""

from __future__ import annotations

import tomllib
from pathlib import Path

import pytest

from gearplate.job.differing import base_from, file_of, same_job
from gearplate.job.load import load_job, load_job_text

MM_BASE = """\
format = 1
part = "base"
units = "mm"
material = "acetal-6mm"
cutter = "demo"
wheel = {diameter = 100, width = 25}
limits = {height = 400, up = 300}
motors = [{type = "generic-a", pinion = 12, slots = 1.5, clocking = 30}, {type = "generic-a", pinion = 12}]
stages = [{driven = 72}]
diametral_pitch = 20
"""
INCH_OVER = 'base = "base.toml"\nunits = "inch"\nwheel = {diameter = 4}\n'


def differing(folder: Path, name: str, changes: dict[str, object]) -> str:
    path = folder / name
    job = load_job(path)
    changed = job.changed(changes)
    return file_of(changed, job.document, base_from(str(path), str(folder)), "new.toml", str(folder), ("Why.",))


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    (tmp_path / "base.toml").write_text(MM_BASE, encoding="utf-8")
    (tmp_path / "over.toml").write_text(INCH_OVER, encoding="utf-8")
    return tmp_path


def test_only_what_differs_stands_there(folder: Path) -> None:
    text = differing(folder, "base.toml", {"wheel.diameter": 127, "part": 'a "part"\\', "places.M1.angle": 90})
    assert text.startswith("# Why.\n")
    told = tomllib.loads(text)
    assert told == {
        "format": 1,
        "base": "base.toml",
        "units": "mm",
        "wheel": {"diameter": 127},
        "part": 'a "part"\\',
        "places": {"M1": {"angle": 90}},
    }


def test_what_is_taken_out_is_dropped(folder: Path) -> None:
    told = tomllib.loads(differing(folder, "base.toml", {"limits.up": None, "limits.down": 80}))
    assert told["drop"] == ["limits.up"]
    assert told["limits"] == {"down": 80}


def test_a_table_in_the_place_of_a_list_and_a_list_in_that_of_a_table(folder: Path) -> None:
    one = {"type": "generic-a", "pinion": 12}
    told = tomllib.loads(differing(folder, "base.toml", {"motors": one}))
    assert told["motors"] == one
    (folder / "single.toml").write_text('base = "base.toml"\nmotors = {type = "generic-a", pinion = 12, count = 2}\n')
    told = tomllib.loads(differing(folder, "single.toml", {"motors.M2.side": "inboard"}))
    assert [motor.get("side") for motor in told["motors"]] == [None, "inboard"]


def test_lengths_from_a_file_in_other_units_carry_theirs(folder: Path) -> None:
    """The list comes from a file in mm and goes whole into one in inches: 1.5 is a length, 12 and 30 are none."""
    text = differing(folder, "over.toml", {"motors.M2.side": "inboard"})
    told = tomllib.loads(text)
    assert told["units"] == "inch"
    assert told["motors"][0] == {"type": "generic-a", "pinion": 12, "slots": "1.5 mm", "clocking": 30}
    assert load_job_text(text, "new.toml", folder).layout_spec.motors[0].slot_travel_mm == pytest.approx(1.5)


def test_a_base_is_named_from_the_new_files_folder(folder: Path) -> None:
    deep = folder / "a" / "b"
    deep.mkdir(parents=True)
    assert base_from(str(folder / "base.toml"), str(deep)) == "../../base.toml"
    (folder / "bare").write_text(MM_BASE, encoding="utf-8")
    assert base_from(str(folder / "bare"), str(folder)) == "./bare"
    assert base_from("compost-drive", str(folder)) == "compost-drive"


def test_jobs_are_the_same_whatever_file_says_it(folder: Path) -> None:
    job = load_job(folder / "base.toml")
    assert same_job(job, load_job(folder / "base.toml", ['wheel.diameter="10 cm"']))
    assert not same_job(job, load_job(folder / "base.toml", ["wheel.diameter=101"]))
    assert not same_job(job, load_job(folder / "base.toml", ["title=other"]))
