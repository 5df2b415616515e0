"""Our writer of cut files against ezdxf, which writes the same sheets by code of its own: the same bytes."""

from __future__ import annotations

import io
from dataclasses import replace
from pathlib import Path as FilePath

import ezdxf
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

import gearplate.drawing
from gearplate.drawing.curves import box_of_all
from gearplate.drawing.dxf_out import dxf_bytes
from gearplate.drawing.model import DrawnUnit, Entity, Layers, LayerStyle, Operation, Sheet
from gearplate.geometry.shapes import Circle, Path, Shape, Stroke
from tests.builders.ezdxf_writer import blank, ezdxf_bytes
from tests.builders.sheets import crowded_sheet, demo_sheet, own_mirror_sheet

same_release = pytest.mark.skipif(
    ezdxf.version[:2] != (1, 4), reason="the blank drawing is that of ezdxf 1.4; other releases may set up another one"
)


@same_release
def test_the_blank_drawing_is_what_the_library_sets_up() -> None:
    kept = FilePath(gearplate.drawing.__file__).with_name("blank.dxf").read_text(encoding="ascii")
    assert kept == blank()


@same_release
@pytest.mark.parametrize("unit", list(DrawnUnit))
@pytest.mark.parametrize(
    "layers",
    [
        Layers(),
        Layers(LayerStyle("0", 4), LayerStyle("innen", 2), LayerStyle("außen", 255)),
        Layers(cut_outside=LayerStyle("@x0@ @seed@", 6)),
    ],
)
def test_the_same_bytes(unit: DrawnUnit, layers: Layers) -> None:
    for sheet in (demo_sheet(), own_mirror_sheet(), crowded_sheet(300)):
        wanted = replace(sheet, unit=unit, layers=layers)
        assert dxf_bytes(wanted) == ezdxf_bytes(wanted)


def _shapes() -> st.SearchStrategy[Shape]:
    number = st.floats(-5000, 5000).map(lambda x: round(x, 3))
    point = st.tuples(number, number)
    bulge = st.floats(-1, 1)
    apart = {"min_size": 3, "max_size": 9, "unique_by": lambda p: p[:2]}
    return st.one_of(
        st.builds(Circle, number, number, st.floats(0.01, 900)),
        st.lists(st.tuples(number, number, bulge), **apart).map(lambda run: Path(tuple(run))),  # type: ignore[arg-type]
        st.lists(point, **apart).map(lambda run: Stroke(tuple(run))),  # type: ignore[arg-type]
    )


@same_release
@settings(max_examples=40)
@given(st.lists(_shapes(), min_size=1, max_size=6), st.sampled_from(DrawnUnit), st.sampled_from(Operation))
def test_the_same_bytes_for_any_shapes(shapes: list[Shape], unit: DrawnUnit, operation: Operation) -> None:
    sheet = Sheet(tuple(Entity(operation, shape, "shape") for shape in shapes), unit)
    # ezdxf takes extents with a corner in the origin for none (such a vector is false) and writes 1e20 in their place
    box = box_of_all(shapes)
    assume((0.0, 0.0) not in (box[:2], box[2:]))
    assert dxf_bytes(sheet) == ezdxf_bytes(sheet)


def test_whatever_its_release_the_library_reads_what_was_drawn_and_finds_nothing_to_mend() -> None:
    sheet = demo_sheet()
    document = ezdxf.read(io.StringIO(dxf_bytes(sheet).decode("ascii")))
    assert not document.audit().errors
    assert document.units == ezdxf.units.MM
    assert [entity.dxf.layer for entity in document.modelspace()] == [
        sheet.layers.of(entity.operation).name for entity in sheet.entities
    ]
