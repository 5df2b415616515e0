"""Faces that are printed but not shipped: a team's own row of one gives the plate the printed holes."""

from __future__ import annotations

import itertools
import math
import tomllib
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from gearplate.catalog import Catalog, load_catalog, profiles_folder
from gearplate.layout.bodies import gears_on_shafts
from gearplate.layout.design import Hole
from gearplate.layout.holes import layout_holes
from gearplate.layout.spec import Side
from gearplate.layout.stack import axial_stack
from tests.builders.specs import drive_spec

FACES = tomllib.loads((Path(__file__).parents[1] / "truth" / "faces.toml").read_text(encoding="utf-8"))
BOLT_OF_HOLE = {7.0: "M6", 10.0: "M8", 12.0: "M10"}  # IEC 60072-1, from memory


def rows(table: str) -> list[Any]:
    """The rows of one table, by column, each under its own name."""
    (found,) = [one for one in FACES["table"] if one["name"] == table]
    names = found["columns"]
    return [pytest.param(dict(zip(names, row, strict=True)), id=row[0].split()[0]) for row in found["rows"]]


def catalog_with(folder: Path, text: str) -> Catalog:
    """The shipped profiles under a team's motor; what no table prints is invented here."""
    invented = 'body_length_mm = 80\nshaft_length_mm = 20\nmass_kg = 1\nsource = "own"\nstanding = "from memory"\n'
    (folder / "motors.toml").write_text(f'[sources]\nown = "as printed"\n[motor.ours]\n{text}{invented}', "utf-8")
    return load_catalog([profiles_folder(), folder])


def holes_of(catalog: Catalog) -> tuple[Hole, list[Hole]]:
    """The pilot's and the screws' holes in the plate of that motor, all of its screws used."""
    spec = drive_spec(motors=1)
    motor = catalog.motor("ours")
    screw = catalog.fastener(motor.face.screw)
    used = replace(spec.motors[0], motor=motor, screw=screw, screws_used=motor.face.screw_count)
    spec = replace(spec, motors=(used,))
    stack = axial_stack(spec)
    at = {"output": (0.0, 0.0), "S1": (0.0, 58.0), "M1": (3.0, 190.0)}
    found = layout_holes(spec, stack, gears_on_shafts(spec, stack), at, {"M1": 0.3}, (), ())
    own = {hole.id: hole for hole in found if hole.side is Side.OUTBOARD and hole.shaft == "M1"}
    return own.pop("M1-pilot"), list(own.values())


def held_against(pilot: Hole, screws: list[Hole], count: int, circle_mm: float, pilot_mm: float) -> None:
    assert (pilot.x_mm, pilot.y_mm, pilot.part_diameter_mm) == (3.0, 190.0, pilot_mm)
    assert len(screws) == count
    assert len({hole.id for hole in screws}) == count
    apart = sorted(math.dist((a.x_mm, a.y_mm), (b.x_mm, b.y_mm)) for a, b in itertools.combinations(screws, 2))
    # across the circle; of four also the sides of their square
    assert apart[-count // 2 :] == pytest.approx([circle_mm] * (count // 2))
    assert apart[: -count // 2] == pytest.approx([circle_mm / math.sqrt(2.0)] * (len(apart) - count // 2))
    for hole in screws:
        assert math.dist((hole.x_mm, hole.y_mm), (3.0, 190.0)) == pytest.approx(0.5 * circle_mm)


@pytest.mark.parametrize("row", rows("iec_b14_flange"))
def test_a_flange_with_tapped_holes(tmp_path: Path, row: dict[str, Any]) -> None:
    catalog = catalog_with(
        tmp_path,
        f"body_diameter_mm = {row['outside_mm']}\npilot_diameter_mm = {row['pilot_mm']}\n"
        f'pilot_height_mm = {row["pilot_height_mm"]}\nscrew = "{row["thread"]}"\nscrew_count = {row["holes"]}\n'
        f"bolt_circle_mm = {row['bolt_circle_mm']}\nfirst_hole_deg = 45\nthread_depth_mm = 10\nshaft_diameter_mm = 9\n",
    )
    pilot, screws = holes_of(catalog)
    held_against(pilot, screws, row["holes"], row["bolt_circle_mm"], row["pilot_mm"])
    medium = {"M5": 5.5, "M6": 6.6, "M8": 9.0}[row["thread"]]  # ISO 273
    assert {hole.part_diameter_mm for hole in screws} == {medium}


@pytest.mark.parametrize("row", rows("iec_b5_flange"))
def test_a_flange_with_clearance_holes(tmp_path: Path, row: dict[str, Any]) -> None:
    bolt = BOLT_OF_HOLE[row["hole_mm"]]
    catalog = catalog_with(
        tmp_path,
        f"body_diameter_mm = {row['outside_mm']}\npilot_diameter_mm = {row['pilot_mm']}\n"
        f'pilot_height_mm = {row["pilot_height_mm"]}\nscrew = "{bolt}"\nscrew_count = {row["holes"]}\n'
        f"bolt_circle_mm = {row['bolt_circle_mm']}\nfirst_hole_deg = 45\nflange_thickness_mm = 8\n"
        f"flange_hole_mm = {row['hole_mm']}\nshaft_diameter_mm = 9\n",
    )
    # IEC makes the holes of its flanges by the coarse series of ISO 273
    assert catalog.fastener(bolt).loose_mm == row["hole_mm"]
    pilot, screws = holes_of(catalog)
    held_against(pilot, screws, row["holes"], row["bolt_circle_mm"], row["pilot_mm"])
    assert all(hole.part_diameter_mm < row["hole_mm"] for hole in screws)  # the plate's are the medium ones


@pytest.mark.parametrize("row", rows("can_small"))
def test_a_small_can_motor(tmp_path: Path, row: dict[str, Any]) -> None:
    catalog = catalog_with(
        tmp_path,
        f"body_diameter_mm = {row['body_mm']}\npilot_diameter_mm = {row['pilot_mm']}\npilot_height_mm = 2\n"
        f'screw = "{row["screw"]}"\nscrew_count = {row["screws"]}\nbolt_circle_mm = {row["screw_spacing_mm"]}\n'
        f"thread_depth_mm = 4\nshaft_diameter_mm = {row['shaft_mm']}\n",
    )
    pilot, screws = holes_of(catalog)
    held_against(pilot, screws, row["screws"], row["screw_spacing_mm"], row["pilot_mm"])
    assert {hole.part_diameter_mm for hole in screws} == {2.9}  # M2.5 medium, ISO 273
