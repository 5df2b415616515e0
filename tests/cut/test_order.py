"""The order of cutting, and the sheet that is made of it."""

from __future__ import annotations

from dataclasses import replace

from gearplate.cut.make import cut_plate
from gearplate.cut.order import CUT_INSIDE, CUT_OUTSIDE, ETCH, begin_of, cut_steps, inner_order
from gearplate.drawing.dxf_in import read_dxf
from gearplate.drawing.dxf_out import dxf_bytes
from gearplate.drawing.model import DrawnUnit
from gearplate.drawing.of_cut import sheet_of
from gearplate.drawing.readback import compare
from gearplate.geometry.path import bbox
from gearplate.geometry.shapes import Stroke
from gearplate.plate.make import make_plates
from gearplate.plate.spec import Hand
from tests.builders.plates import IDENTITY, ordinary, placed, shop, wishes


def test_marks_first_then_holes_windows_and_the_outline_last() -> None:
    spec, layout = placed()
    for plate in make_plates(layout, spec, wishes(lightening=True)):
        made = cut_plate(plate, Hand.RIGHT, shop(), IDENTITY, "mm")
        steps = cut_steps(made)
        words = [word for word, _, _ in steps]
        assert words == sorted(words, key=[ETCH, CUT_INSIDE, CUT_OUTSIDE].index)
        assert words.count(CUT_OUTSIDE) == 1
        assert steps[-1][2] == "outline"
        inner = [tag for word, _, tag in steps if word == CUT_INSIDE]
        assert sorted(inner) == sorted(feature.id for feature in plate.features)
        windows = [tag.startswith("window-") for tag in inner]
        assert windows == sorted(windows)
        assert sum(len(strokes) for _, strokes in made.etch) == words.count(ETCH)


def test_a_run_in_comes_right_before_its_bore() -> None:
    made = cut_plate(ordinary()[0], Hand.RIGHT, shop("demo-lead-in"), IDENTITY, "mm")
    steps = cut_steps(made)
    runs = [at for at, (word, shape, _) in enumerate(steps) if word == CUT_INSIDE and isinstance(shape, Stroke)]
    assert len(runs) == 2
    for at in runs:
        shape, following = steps[at][1], steps[at + 1][1]
        assert isinstance(shape, Stroke)
        assert steps[at][2] == steps[at + 1][2]
        assert shape.points[-1] == following.vertices[0][:2]  # type: ignore[union-attr]


def test_each_next_hole_is_the_nearest_one_left() -> None:
    made = cut_plate(ordinary()[1], Hand.RIGHT, shop(), IDENTITY, "mm")
    x, y, _, _ = bbox(made.outline_path)
    left = list(inner_order(made))
    while left:
        nearest = min(round(((begin_of(f)[0] - x) ** 2 + (begin_of(f)[1] - y) ** 2) ** 0.5, 6) for f in left)
        here = left.pop(0)
        assert round(((begin_of(here)[0] - x) ** 2 + (begin_of(here)[1] - y) ** 2) ** 0.5, 6) == nearest
        x, y = begin_of(here)


def test_the_order_does_not_hang_on_how_features_are_listed() -> None:
    plate = ordinary()[0]
    made = cut_plate(plate, Hand.RIGHT, shop(), IDENTITY, "mm")
    turned = cut_plate(replace(plate, features=plate.features[::-1]), Hand.RIGHT, shop(), IDENTITY, "mm")
    assert cut_steps(made) == cut_steps(turned)


def test_sheets_carry_the_operators_layers_and_order_and_read_back_whole() -> None:
    for cutter, names in (("demo", ("etch", "inner", "outer")), ("demo-lead-in", ("MARK", "HOLES", "EDGE"))):
        made = shop(cutter)
        for unit in ("mm", "inch"):
            for plate in ordinary():
                cut = cut_plate(plate, Hand.LEFT, made, IDENTITY, unit)
                sheet = sheet_of(cut, made, unit)
                assert sheet.unit is DrawnUnit(unit)
                assert tuple(style.name for style in sheet.layers.all()) == names
                result = compare(sheet, read_dxf(dxf_bytes(sheet)))
                assert result.problems == ()
                assert result.holes.found == result.holes.asked == len(plate.features)


def test_another_order_of_operations_is_kept() -> None:
    demo = shop()
    reordered = shop(layers=demo.cutter.layers[::-1])
    sheet = sheet_of(cut_plate(ordinary()[0], Hand.RIGHT, reordered, IDENTITY, "mm"), reordered, "mm")
    assert sheet.entities[0].tag == "outline"
