"""Drives that a team might really ask for, and what was accepted of them held to truth from outside.

The drives of tests/builders/drives.py on every cutter, for one hand or both, in either unit, with either face up,
measured plates, lightening and own holes. Files are read by GDAL/OGR and by own lines, the beam is simulated, centre
distances are worked out from tooth counts: nothing here asks gearplate whether gearplate is right.
"""

from __future__ import annotations

import json
import math
import random
from pathlib import Path

import pytest

from gearplate.build import make
from gearplate.errors import JobError
from gearplate.job.load import load_job_text
from gearplate.packet.write import write
from gearplate.record.design import Status
from tests.builders.cut_results import DEFAULT_LAYERS, misses
from tests.builders.drives import drive_text
from tests.builders.schema_check import faults
from tests.builders.solids import collisions
from tests.whole.conftest import Whole
from tests.whole.test_beam import LAYERS
from tests.whole.test_centres import axes_of, pair_of
from tests.whole.test_hands import (
    test_holes_of_both_plates_stand_over_each_other as holes_stand_over_each_other,
)
from tests.whole.test_hands import (
    test_the_left_plate_is_the_mirror_image_of_the_right as left_mirrors_right,
)
from tests.whole.test_solids import rail_holes

SCHEMA = json.loads((Path(__file__).parents[1] / "record" / "design_record.schema.json").read_text("utf-8"))
CUTTERS = ("demo", "demo-axis", "demo-machine-compensates", "demo-lead-in")
DRIVES = 6  # on an ordinary run
FIRST = 100
ADDED_MM = 0.05  # the default added centre distance, which no drive here changes


def plausible(number: int) -> tuple[str, list[str]]:
    """A job's text and what is set over it; the same for the same number."""
    dice = random.Random(f"plausible-{number}")
    text = drive_text(number).replace('"demo"', f'"{CUTTERS[number % len(CUTTERS)]}"')
    sets = [f"hand={dice.choice(['right', 'left', 'both', 'both'])}", f"drawing_units={dice.choice(['inch', 'mm'])}"]
    for plate in ("outboard", "inboard"):
        if dice.random() < 0.4:
            sets.append(f"plates.{plate}.face_up={dice.choice(['outboard', 'inboard'])}")
        if dice.random() < 0.4:
            sets.append(f"plates.{plate}.measured={dice.choice([5.9, 6.05, 6.2])}")
    if dice.random() < 0.3:
        sets.append("plates.lightening=true")
    if dice.random() < 0.3:
        sets.append(f"plates.waist_radius={dice.choice([12, 30, 60])}")
    if dice.random() < 0.4:  # an encoder's hole beside the first shaft
        angle, diameter = dice.randrange(0, 360, 15), dice.choice([3.2, 4.2])
        text += f'\n[[holes]]\nname = "encoder"\nplate = "{dice.choice(["inboard", "outboard"])}"\nshaft = "S1"\n'
        text += f"radius = {dice.choice([24, 28])}\nangle = {angle}\ndiameter = {diameter}\n"
    return text, sets


def built_from(number: int, folder: Path) -> Whole | None:
    """The drive as it lies on the disk, or nothing where the answer was no."""
    text, sets = plausible(number)
    try:
        design = make(load_job_text(text, f"drive-{number}.toml", sets=sets))
    except JobError:  # too few posts where there is no rail
        return None
    if design.status is not Status.OK:
        return None
    packet = write(design, folder)
    # The layers of that cutter's row are the zoo's `lead-ins`: the tests that are called here know them by that name.
    name = "lead-ins" if "demo-lead-in" in text else f"drive-{number}"
    return Whole(name, design, packet, folder, json.loads((folder / "design.json").read_text("ascii")))


def bores_stand_where_the_teeth_want_them(built: Whole) -> None:
    layers = LAYERS.get(built.name, DEFAULT_LAYERS)
    held = set()
    for plate in built.plates():
        at = axes_of(built, plate, layers["inner"])
        for number, mesh in enumerate(built.record["train"]["meshes"]):
            ends = (mesh["driver_shaft"], mesh["driven_shaft"])
            if set(ends) <= set(at):
                wanted = pair_of(mesh).zero_backlash_centre_mm() + ADDED_MM
                assert math.dist(at[ends[0]], at[ends[1]]) == pytest.approx(wanted, abs=1e-3), ends
                held.add(number)
    assert len(held) == len(built.record["train"]["meshes"]) > 0


def test_accepted_drives_are_what_they_say(deep: int, tmp_path: Path) -> None:
    accepted = 0
    first = FIRST if deep == 1 else random.SystemRandom().randrange(10**6)
    for number in range(first, first + DRIVES * deep):
        built = built_from(number, tmp_path / str(number))
        if built is None:
            continue
        accepted += 1
        told = (number, plausible(number))
        layers = LAYERS.get(built.name, DEFAULT_LAYERS)
        for plate in built.plates():
            assert misses(plate, built.folder / plate["file"], layers) == [], told
        bores_stand_where_the_teeth_want_them(built)
        assert collisions(built.record, rail_holes(built.design.spec)) == [], told
        holes_stand_over_each_other(built.name, lambda _, built=built: built)
        if {plate["hand"] for plate in built.plates()} == {"right", "left"}:
            left_mirrors_right(built.name, lambda _, built=built: built)
        assert list(faults(built.record, SCHEMA)) == [], told
        if accepted % 3 == 1:  # worked out a second time: the same bytes
            again = built_from(number, tmp_path / f"{number}-again")
            assert again is not None
            for file in built.folder.iterdir():
                assert (again.folder / file.name).read_bytes() == file.read_bytes(), (file.name, told)
    # Enough of them, or this would prove nothing.
    assert accepted >= DRIVES * deep / 3
