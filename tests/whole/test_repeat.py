"""The same job gives the same bytes; a changed one says what changed; units, bases and settings change nothing else."""

from __future__ import annotations

import hashlib
import json
import os
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest

from gearplate.build import cut_files, make
from gearplate.job.load import load_job, load_job_text
from gearplate.packet.differences import LINES_MOVED, NOTHING_ELSE_MOVED, NOTHING_MOVED, difference_lines
from gearplate.packet.write import write
from gearplate.record.design_record import design_record
from tests import zoo
from tests.builders.dxf_tags import contours, header

AGAIN = ("two-stages-three-motors", "metric-both-hands", "kerf-by-axis", "guarded")
ELSEWHERE = """
import sys
from gearplate.build import make
from gearplate.packet.write import write
from tests import zoo
for name in sys.argv[2:]:
    write(make(zoo.job(name)), f"{sys.argv[1]}/{name}")
"""


def sums(folder: Path) -> dict[str, str]:
    return {file.name: hashlib.sha256(file.read_bytes()).hexdigest() for file in sorted(folder.iterdir())}


@pytest.mark.parametrize("name", AGAIN)
def test_the_same_bytes_again(name: str, whole: Any, tmp_path: Path) -> None:
    write(make(zoo.job(name)), tmp_path / "again")
    assert sums(tmp_path / "again") == sums(whole(name).folder)


def test_the_same_bytes_in_another_process_with_other_hashes_and_another_zone(whole: Any, tmp_path: Path) -> None:
    root = Path(__file__).resolve().parents[2]
    surroundings = {**os.environ, "PYTHONHASHSEED": "4711", "TZ": "Pacific/Chatham", "LC_ALL": "C"}
    subprocess.run(
        [sys.executable, "-c", ELSEWHERE, str(tmp_path), *AGAIN], check=True, cwd=root, env=surroundings, timeout=120
    )
    for name in AGAIN:
        assert sums(tmp_path / name) == sums(whole(name).folder)


def test_a_second_build_says_that_nothing_has_moved(tmp_path: Path) -> None:
    name = "every-place-given"
    write(zoo.built(name), tmp_path / "out")
    before = sums(tmp_path / "out")
    assert write(make(zoo.job(name)), tmp_path / "out").changes == (NOTHING_MOVED,)
    assert sums(tmp_path / "out") == before


@pytest.mark.parametrize(
    ("sets", "subject", "said"),
    [
        (['shafts.S1.fit="0.015 mm"'], "S1-bore", "28.535 → 28.590 mm"),
        (['shafts.S1.fit="-0.039 mm"'], "S1-bore", "28.535 → 28.536 mm"),
        (["motors.slots=0.02"], "M1-pilot", "circle → slot"),
    ],
)
def test_a_changed_hole_is_named_with_its_old_and_new_size(
    sets: list[str], subject: str, said: str, whole: Any
) -> None:
    old = whole("every-place-given").record
    lines = difference_lines(old, record_of("every-place-given", sets))
    named = [line for line in lines if subject in line]
    assert named
    assert all(said in line for line in named)
    assert lines[-1] == NOTHING_ELSE_MOVED


def test_only_the_changed_bore_is_named(whole: Any) -> None:
    lines = difference_lines(
        whole("every-place-given").record, record_of("every-place-given", ['shafts.S1.fit="0.015 mm"'])
    )
    assert lines == ("Changed: outboard and inboard: S1-bore 28.535 → 28.590 mm", NOTHING_ELSE_MOVED)


def test_less_than_a_micrometre_is_no_change(whole: Any) -> None:
    old = whole("every-place-given").record
    same = difference_lines(old, record_of("every-place-given", ['shafts.S1.fit="-0.0395 mm"']))
    assert same[-1] == NOTHING_MOVED


def test_a_moved_shaft_moves_its_bore_and_is_told_how_far(whole: Any) -> None:
    old = whole("every-place-given").record
    new = record_of("every-place-given", ["places.S1.angle=77.01"])
    at = [{shaft["name"]: shaft for shaft in one["shafts"]}["S1"] for one in (old, new)]
    dx, dy = at[1]["x_mm"] - at[0]["x_mm"], at[1]["y_mm"] - at[0]["y_mm"]
    line = next(line for line in difference_lines(old, new) if "S1-bore moved" in line)
    assert f"forward {dx:+.3f}, up {dy:+.3f}" in line


def record_of(name: str, sets: list[str]) -> dict[str, Any]:
    read: dict[str, Any] = json.loads(json.dumps(design_record(make(zoo.job(name, sets)))))
    return read


# units


IN_INCHES = """format = 1
part = "compost-units"
units = "inch"
cutter = "demo"
material = "acetal-6mm"
wheel = {diameter = 4, width = 1, clear = 0.125, gap = 0.25}
module = 0.05
stages = [{driven = {teeth = 72, tip_diameter = 3.7, thinning = 0.001}},
          {driver = 32, driven = 60, added_centre = 0.003}]
motors = [{type = "generic-a", count = 2, pinion = 12, slots = 0.05}]
places = {S1 = {at = [0.5, 2.25]}, M1 = {angle = 75}, M2 = {angle = 150}}
standoffs = {places = [[-0.5, 4.625], [2.375, 3.5], [-2.0, 2.0]], diameter = 0.5}
rail = {height = 2, width = 1.5, wall = 0.125, holes = [[1.8, -0.5], [1.8, 0.5], [-1.8, -0.5], [-1.8, 0.5]]}
limits = {height = 10, width = 10}
plates = {margin = 0.25, gap = 1.3}
holes = [{name = "eye", at = [-1.5, 3], diameter = 0.2, fit = 0.002}]
shaft = {spacer = 0.7, fit = -0.001}
"""
IN_MM = """format = 1
part = "compost-units"
units = "mm"
cutter = "demo"
material = "acetal-6mm"
wheel = {diameter = 101.6, width = 25.4, clear = 3.175, gap = 6.35}
module = 1.27
stages = [{driven = {teeth = 72, tip_diameter = 93.98, thinning = 0.0254}},
          {driver = 32, driven = 60, added_centre = 0.0762}]
motors = [{type = "generic-a", count = 2, pinion = 12, slots = 1.27}]
places = {S1 = {at = [12.7, 57.15]}, M1 = {angle = 75}, M2 = {angle = 150}}
standoffs = {places = [[-12.7, 117.475], [60.325, 88.9], [-50.8, 50.8]], diameter = 12.7}
rail.height = 50.8
rail.width = 38.1
rail.wall = 3.175
rail.holes = [[45.72, -12.7], [45.72, 12.7], [-45.72, -12.7], [-45.72, 12.7]]
limits = {height = 254, width = 254}
plates = {margin = 6.35, gap = 33.02}
holes = [{name = "eye", at = [-38.1, 76.2], diameter = 5.08, fit = 0.0508}]
shaft = {spacer = 17.78, fit = -0.0254}
"""


def test_inches_and_millimetres_give_the_same_metal() -> None:
    inch, mm = (design_record(make(load_job_text(text, "units.toml"))) for text in (IN_INCHES, IN_MM))
    for key in ("train", "shafts", "gears", "plates", "bodies", "stack"):
        assert flat(inch[key]) == flat(mm[key], like=flat(inch[key])), key


def flat(value: Any, like: list[Any] | None = None) -> list[Any]:
    """All values of a part of the record in order; numbers compared to a nanometre and a bit."""
    found: list[Any] = []
    if isinstance(value, dict):
        for key in sorted(value):
            found += [key, *flat(value[key])]
    elif isinstance(value, list | tuple):
        for item in value:
            found += flat(item)
    else:
        found.append(value)
    if like is None:
        return found
    return [pytest.approx(x, abs=5e-6) if isinstance(x, float) else x for x in found]


def test_the_drawn_unit_changes_the_file_and_not_the_metal(whole: Any) -> None:
    mm = make(zoo.job("both-hands-drawn-in-inches", ["drawing_units=mm"]))
    old = whole("both-hands-drawn-in-inches").record
    assert difference_lines(old, json.loads(json.dumps(design_record(mm))))[-1] == LINES_MOVED
    for plate, (_, data) in zip(whole("both-hands-drawn-in-inches").plates(), cut_files(mm).files, strict=True):
        inch = whole("both-hands-drawn-in-inches").data(plate)
        assert (header(inch, "$INSUNITS"), header(inch, "$MEASUREMENT")) == ("1", "0")
        assert (header(data, "$INSUNITS"), header(data, "$MEASUREMENT")) == ("4", "1")
        a, b = contours(inch), contours(data)
        assert [one.layer for one in a] == [one.layer for one in b]
        for one, other in zip(a, b, strict=True):
            assert flat(one.vertices) == flat(other.vertices, like=flat(one.vertices))
            assert one.radius == pytest.approx(other.radius, abs=1e-6)


# bases and settings


def test_a_base_gives_what_writing_it_all_gives(whole: Any, tmp_path: Path) -> None:
    (tmp_path / "standard.toml").write_text(zoo.ZOO["every-place-given"].text + "limits = {height = 4}\n", "utf-8")
    (tmp_path / "season.toml").write_text(
        'format = 1\nbase = "standard.toml"\ndrop = ["limits.height"]\nhand = "left"\npart = "compost-other-side"\n',
        "utf-8",
    )
    record = design_record(make(load_job(tmp_path / "season.toml")))
    assert record["plates"] == whole("left-hand").record["plates"]
    assert record["bodies"] == whole("left-hand").record["bodies"]


@pytest.mark.parametrize(
    ("sets", "name"),
    [
        (['hand="left"', 'part="compost-other-side"'], "left-hand"),
        (['cutter="demo-lead-in"', 'part="compost-run-in"'], "lead-ins"),
        (["plates={marks = false, washers = false}", 'plates.margin="8 mm"', "part=compost-plain"], "plain"),
        (['motors.slots="1.5 mm"', "hand=both", 'part="compost-slots"'], "slotted-motors"),
    ],
)
def test_setting_a_value_gives_what_writing_it_gives(sets: list[str], name: str, whole: Any) -> None:
    record = record_of("every-place-given", sets)
    assert record["settings"] == sets
    assert record | {"settings": []} == whole(name).record
