"""What a cut file holds, read here as plain lines: pairs of a group code and a value (DXF reference,
R2000)."""

from __future__ import annotations

import os
import subprocess
import sys
from dataclasses import replace
from hashlib import sha256
from pathlib import Path as FilePath

import pytest

from gearplate.drawing.dxf_out import dxf_bytes
from gearplate.drawing.model import DrawnUnit, Entity, Layers, LayerStyle, Sheet, layer_faults
from gearplate.errors import ToolBug
from gearplate.geometry.shapes import Circle, Path, Shape, Stroke
from tests.builders.sheets import ETCH, INSIDE, OUTSIDE, demo_sheet

Tag = tuple[int, str]


def tags_of(data: bytes) -> list[Tag]:
    lines = data.decode("ascii").split("\n")
    assert lines.pop() == ""
    return [(int(code), value) for code, value in zip(lines[::2], lines[1::2], strict=True)]


def header_of(data: bytes) -> dict[str, list[Tag]]:
    header: dict[str, list[Tag]] = {}
    name = ""
    for code, value in tags_of(data):
        if code == 9:
            name = value
        elif value == "ENDSEC":
            break
        else:
            header.setdefault(name, []).append((code, value))
    return header


def entities_of(data: bytes) -> list[list[Tag]]:
    tags = tags_of(data)
    first = tags.index((2, "ENTITIES")) + 1
    found: list[list[Tag]] = []
    for code, value in tags[first : tags.index((0, "ENDSEC"), first)]:
        if code == 0:
            found.append([])
        found[-1].append((code, value))
    return found


def values(entity: list[Tag], code: int) -> list[str]:
    return [value for found, value in entity if found == code]


def one(shape: Shape, unit: DrawnUnit = DrawnUnit.MM) -> Sheet:
    return Sheet((Entity(INSIDE, shape, "hole_1"),), unit)


@pytest.mark.parametrize(("unit", "insunits", "measurement", "mm"), [("mm", "4", "1", 1.0), ("inch", "1", "0", 25.4)])
def test_the_header_says_the_unit_twice(unit: str, insunits: str, measurement: str, mm: float) -> None:
    header = header_of(dxf_bytes(demo_sheet(DrawnUnit(unit))))
    assert header["$ACADVER"] == [(1, "AC1015")]  # R2000
    assert header["$INSUNITS"] == [(70, insunits)]
    assert header["$MEASUREMENT"] == [(70, measurement)]
    assert float(header["$PSVPSCALE"][0][1]) == 1.0
    corners = [float(value) * mm for name in ("$EXTMIN", "$EXTMAX") for _, value in header[name][:2]]
    assert corners == pytest.approx([-25.0, -25.0, 120.0, 28.0], abs=1e-6)


@pytest.mark.parametrize("unit", list(DrawnUnit))
def test_each_shape_is_the_entity_that_it_should_be_in_cut_order(unit: DrawnUnit) -> None:
    sheet = demo_sheet(unit)
    found = entities_of(dxf_bytes(sheet))
    kinds = {Circle: "CIRCLE", Path: "LWPOLYLINE", Stroke: "LWPOLYLINE"}
    assert [entity[0][1] for entity in found] == [kinds[type(entity.shape)] for entity in sheet.entities]
    names = {ETCH: "etch", INSIDE: "inner", OUTSIDE: "outer"}
    assert [values(entity, 8) for entity in found] == [[names[entity.operation]] for entity in sheet.entities]
    for entity, asked in zip(found, sheet.entities, strict=True):
        if isinstance(asked.shape, Circle):
            x, y, radius = (float(values(entity, code)[0]) * unit.mm for code in (10, 20, 40))
            assert (x, y, 2 * radius) == pytest.approx(
                (asked.shape.x_mm, asked.shape.y_mm, asked.shape.diameter_mm), abs=2e-6
            )
        else:
            assert values(entity, 70) == (["1"] if isinstance(asked.shape, Path) else ["0"])


def test_bulges_stand_with_their_vertices() -> None:
    path = Path(((0.0, 0.0, 0.0), (10.0, 0.0, 1.0), (10.0, 5.0, 0.0), (0.0, 5.0, -0.5)))
    (entity,) = entities_of(dxf_bytes(one(path)))
    run = [(code, float(value)) for code, value in entity if code in (10, 20, 42)]
    assert run == [
        (10, 0.0), (20, 0.0),
        (10, 10.0), (20, 0.0), (42, 1.0),
        (10, 10.0), (20, 5.0),
        (10, 0.0), (20, 5.0), (42, -0.5),
    ]  # fmt: skip


def test_flat_bulges_are_written_as_lines_and_half_circles_as_one() -> None:
    path = Path(((0.0, 0.0, 9e-7), (10.0, 0.0, 1.0 + 1e-12), (10.0, 5.0, -2e-7), (0.0, 5.0, 1.1e-6)))
    (entity,) = entities_of(dxf_bytes(one(path)))
    assert values(entity, 42) == ["1.0", "1.1e-06"]


def test_only_the_layers_of_the_sheet_and_nothing_left_over() -> None:
    data = dxf_bytes(demo_sheet())
    tags = tags_of(data)
    first, last = tags.index((0, "LAYER")), max(n for n, tag in enumerate(tags) if tag == (0, "LAYER"))
    table = tags[first : last + 10]
    assert [value for code, value in table if code == 2] == ["0", "etch", "inner", "outer"]
    assert [value for code, value in table if code == 62] == ["7", "5", "3", "1"]
    blocks = tags[tags.index((2, "BLOCKS")) : tags.index((2, "ENTITIES"))]
    assert {value for code, value in blocks if code == 0} == {"BLOCK", "ENDBLK", "ENDSEC", "SECTION"}
    assert b"-0.0" not in data


def test_layers_by_the_operators_habits() -> None:
    layers = Layers(LayerStyle("0", 4), LayerStyle("innen", 2), LayerStyle("aussen", 6))
    tags = tags_of(dxf_bytes(replace(demo_sheet(), layers=layers)))
    start = tags.index((0, "LAYER"))
    table = tags[start : tags.index((0, "ENDTAB"), start)]
    assert [value for code, value in table if code == 2] == ["0", "innen", "aussen"]
    assert [value for code, value in table if code == 62] == ["4", "2", "6"]


@pytest.mark.parametrize(
    ("layers", "word"),
    [
        (Layers(etch=LayerStyle("", 1)), "empty"),
        (Layers(etch=LayerStyle("a|b", 1)), "cannot have"),
        (Layers(etch=LayerStyle("a\nb", 1)), "cannot have"),
        (Layers(etch=LayerStyle("刻印", 1)), "cannot have"),
        (Layers(etch=LayerStyle("x" * 256, 1)), "too long"),
        (Layers(etch=LayerStyle("INNER", 1)), "two layers"),
        (Layers(etch=LayerStyle("etch", 0)), "between 1 and 255"),
        (Layers(etch=LayerStyle("etch", 256)), "between 1 and 255"),
    ],
)
def test_layers_that_cannot_be_written(layers: Layers, word: str) -> None:
    (fault,) = layer_faults(layers)
    assert word in fault
    with pytest.raises(ToolBug, match=word):
        dxf_bytes(replace(demo_sheet(), layers=layers))


SQUARE = ((0.0, 0.0, 0.0), (10.0, 0.0, 0.0), (10.0, 10.0, 0.0), (0.0, 10.0, 0.0))


@pytest.mark.parametrize("unit", list(DrawnUnit))
@pytest.mark.parametrize(
    ("shape", "word"),
    [
        (Path((*SQUARE, (0.0009, 9.9999, 0.0))), "segment of 0.000"),
        (Path((*SQUARE, (0.0, 10.0, 0.0))), "repeated vertex"),
        (Path((*SQUARE, (0.0, 0.0, 0.0))), "repeated vertex"),
        (Path(((0.0, 0.0, 1.01), (10.0, 0.0, 0.0), (5.0, 5.0, 0.0))), "bulge 1.01"),
        (Path(((0.0, 0.0, -1.01), (10.0, 0.0, 0.0), (5.0, 5.0, 0.0))), "bulge -1.01"),
        (Path(((0.0, 0.0, float("nan")), (10.0, 0.0, 0.0), (5.0, 5.0, 0.0))), "bulge nan"),
        (Path(((0.0, 0.0, 0.0), (10.0, 0.0, 0.0))), "without area"),
        (Path(((0.0, 0.0, 0.5), (10.0, 0.0, -0.5))), "without area"),
        (Path(((0.0, 0.0, 1.0),)), "fewer than two"),
        (Path(()), "fewer than two"),
        (Circle(0.0, 0.0, 0.0), "circle of diameter"),
        (Circle(0.0, 0.0, -3.0), "circle of diameter"),
        (Circle(float("nan"), 0.0, 3.0), "coordinate nan"),
        (Circle(0.0, float("inf"), 3.0), "coordinate inf"),
        (Stroke(((0.0, 0.0),)), "fewer than two"),
        (Stroke(((0.0, 0.0), (0.0005, 0.0))), "segment of 0.0005"),
    ],
)
def test_what_no_cutter_can_follow_is_refused(shape: Shape, word: str, unit: DrawnUnit) -> None:
    with pytest.raises(ToolBug, match=word) as refusal:
        dxf_bytes(one(shape, unit))
    assert "hole_1" in str(refusal.value)


@pytest.mark.parametrize("unit", list(DrawnUnit))
def test_a_segment_of_just_a_micrometre_is_written(unit: DrawnUnit) -> None:
    path = Path(((0.0, 0.0, 0.0), (10.0, 0.0, 0.0), (10.0, 10.0, 0.0), (9.999, 10.0, 0.0)))
    assert len(values(entities_of(dxf_bytes(one(path, unit)))[0], 10)) == 4


def test_an_empty_sheet_is_refused() -> None:
    with pytest.raises(ToolBug, match="empty"):
        dxf_bytes(Sheet(()))


def test_the_last_bits_of_a_number_do_not_reach_the_file() -> None:
    nudged = Circle(10.0 + 2e-15, 5.0 - 1e-15, 3.0)
    assert dxf_bytes(one(nudged)) == dxf_bytes(one(Circle(10.0, 5.0, 3.0)))


WRITE = """
import sys
from gearplate.drawing.dxf_out import dxf_bytes
from tests.builders.sheets import demo_sheet
sys.stdout.buffer.write(dxf_bytes(demo_sheet()))
assert "ezdxf" not in sys.modules
"""


def test_the_same_bytes_in_another_process_at_another_place_and_time(tmp_path: FilePath) -> None:
    """And without ezdxf, which would take longer to load than the file to write."""
    root = FilePath(__file__).parents[2]
    environment = {
        **os.environ,
        "PYTHONPATH": str(root),
        "PYTHONHASHSEED": "77",
        "TZ": "Pacific/Auckland",
        "USER": "somebody",
        "HOME": str(tmp_path),
        "USERPROFILE": str(tmp_path),
    }
    environment.pop("XDG_CACHE_HOME", None)
    run = subprocess.run([sys.executable, "-c", WRITE], env=environment, capture_output=True, cwd=tmp_path, check=False)
    assert run.stderr == b""
    assert sha256(run.stdout).hexdigest() == sha256(dxf_bytes(demo_sheet())).hexdigest()
    assert list(tmp_path.iterdir()) == []
