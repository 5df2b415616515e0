"""The zoo once more on every cutter, for both hands, in the other unit and with other faces up.

An ordinary run takes one design on each cutter; `--deep` takes all of them with every choice of faces.
"""

from __future__ import annotations

import itertools
import json
from pathlib import Path

import pytest

from gearplate.build import make
from gearplate.packet.write import write
from tests import zoo
from tests.builders.cut_results import DEFAULT_LAYERS, misses
from tests.builders.solids import collisions
from tests.whole.test_beam import LAYERS
from tests.whole.test_solids import rail_holes

FACES = tuple(itertools.product(("outboard", "inboard"), repeat=2))
CUTTERS = dict(zip(("demo", "demo-axis", "demo-machine-compensates", "demo-lead-in"), FACES, strict=True))
ALL = [name for name in zoo.ZOO if name not in ("scale-corrected", "service-cut-in-metal")]  # they have their cutter


@pytest.mark.parametrize("cutter", CUTTERS)
def test_every_cutter_hand_unit_and_face(cutter: str, deep: int, tmp_path: Path) -> None:
    layers = LAYERS["lead-ins"] if cutter == "demo-lead-in" else DEFAULT_LAYERS
    names, faces = (ALL, FACES) if deep > 1 else (["own-cutouts"], (CUTTERS[cutter],))
    for name, (outboard, inboard) in itertools.product(names, faces):
        unit = "inch" if outboard == inboard else "mm"
        sets = [f"cutter={cutter}", "hand=both", f"drawing_units={unit}"]
        sets += [f"plates.outboard.face_up={outboard}", f"plates.inboard.face_up={inboard}"]
        design = make(zoo.job(name, sets))
        folder = tmp_path / f"{name}-{outboard}-{inboard}"
        write(design, folder)
        record = json.loads((folder / "design.json").read_text("ascii"))
        assert record["status"] == "ok", [one["message"] for one in record["findings"]]
        assert [plate["face_up"] for plate in record["plates"]] == [outboard, inboard] * 2
        for plate in record["plates"]:
            assert misses(plate, folder / plate["file"], layers) == [], (name, plate["plate"], plate["hand"])
        assert collisions(record, rail_holes(design.spec)) == [], name
