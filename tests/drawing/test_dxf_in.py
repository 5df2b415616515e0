"""Our own reader: right on what we write, held against ezdxf; and it tells what it does not know."""

from __future__ import annotations

import contextlib
import io

import ezdxf
import pytest
from ezdxf.lldxf.validator import dxf_info
from hypothesis import given, settings
from hypothesis import strategies as st

from gearplate.drawing.dxf_in import ReadBack, read_dxf
from gearplate.drawing.dxf_out import dxf_bytes
from gearplate.drawing.model import DrawnUnit
from gearplate.errors import FileError
from gearplate.geometry.shapes import Circle, Path, Stroke
from tests.builders.ezdxf_reader import read_by_ezdxf
from tests.builders.sheets import demo_sheet


def written(document: ezdxf.document.Drawing) -> bytes:
    text = io.StringIO()
    document.write(text)
    return document.encode(text.getvalue())


def flat(back: ReadBack) -> list[tuple[object, ...]]:
    """Every number of every shape, for comparison."""
    rows: list[tuple[object, ...]] = []
    for entity in back.entities:
        shape = entity.shape
        if isinstance(shape, Circle):
            numbers = [shape.x_mm, shape.y_mm, shape.diameter_mm]
        else:
            numbers = [n for vertex in (shape.vertices if isinstance(shape, Path) else shape.points) for n in vertex]
        rows.append((entity.layer, type(shape).__name__, entity.closed, [round(n, 9) for n in numbers]))
    return rows


@pytest.mark.parametrize("unit", list(DrawnUnit))
def test_both_readers_see_the_same(unit: DrawnUnit) -> None:
    data = dxf_bytes(demo_sheet(unit))
    ours, theirs = read_dxf(data), read_by_ezdxf(data)
    assert ours.unit is theirs.unit is unit
    assert flat(ours) == flat(theirs)
    # ezdxf makes a layer "Defpoints" in every document that it loads
    assert ours.layers == tuple(layer for layer in theirs.layers if layer.name != "Defpoints")
    assert ours.header_faults == theirs.header_faults == ()
    assert ours.repairs == ours.foreign == theirs.repairs == theirs.foreign == ()


def test_windows_line_ends_and_comments_change_nothing() -> None:
    data = dxf_bytes(demo_sheet())
    dressed = b"999\r\na comment\r\n" + data.replace(b"\n", b"\r\n")
    assert flat(read_dxf(dressed)) == flat(read_dxf(data))


def test_lines_of_the_entities_are_told() -> None:
    data = dxf_bytes(demo_sheet())
    lines = data.split(b"\n")
    for entity in read_dxf(data).entities:
        assert lines[entity.line - 1] == (b"CIRCLE" if isinstance(entity.shape, Circle) else b"LWPOLYLINE")


def test_what_is_foreign_is_told() -> None:
    document = ezdxf.new("R2000", units=4)
    space = document.modelspace()
    space.add_text("not to be cut", dxfattribs={"layer": "notes"})
    space.add_line((0, 0), (5, 5))
    space.add_circle((1, 2), 3, dxfattribs={"color": 1})
    space.add_circle((1, 2, 7), 3)
    space.add_circle((1, 2), 3, dxfattribs={"extrusion": (0, 0, -1)})
    space.add_circle((1, 2), 3, dxfattribs={"invisible": 1})
    space.add_circle((1, 2), 3, dxfattribs={"thickness": 2})
    space.add_lwpolyline([(0, 0), (1, 0), (1, 1)], dxfattribs={"const_width": 0.5})
    space.add_lwpolyline([(0, 0), (1, 0), (1, 1)], dxfattribs={"elevation": 4})
    document.layout("Layout1").add_circle((0, 0), 1)
    document.blocks.new("part").add_circle((0, 0), 1)
    told = [text.split(": ", 1)[1] for text in read_dxf(written(document)).foreign]
    assert told == [
        "TEXT on layer 'notes'",
        "LINE on layer '0'",
        "CIRCLE with a colour of its own",
        "CIRCLE not in the plane z = 0",
        "CIRCLE seen from another side (extrusion direction)",
        "CIRCLE invisible",
        "CIRCLE with a thickness",
        "LWPOLYLINE drawn with a width",
        "LWPOLYLINE not in the plane z = 0",
        "CIRCLE on a paper sheet, not in the drawing",
        "CIRCLE inside a block",
    ]


def test_repeated_vertices_are_mended_and_told() -> None:
    document = ezdxf.new("R2000", units=4)
    document.modelspace().add_lwpolyline(
        [(0, 0, 0), (9, 0, 0), (9, 0, 0.5), (9, 9, 0), (0, 0, 0)], format="xyb", close=True
    )
    document.modelspace().add_lwpolyline([(0, 0)])
    back = read_dxf(written(document))
    assert back.entities[0].shape == Path(((0.0, 0.0, 0.0), (9.0, 0.0, 0.5), (9.0, 9.0, 0.0)))
    assert len(back.entities) == 1
    assert [text.split(": ", 1)[1] for text in back.repairs] == [
        "a repeated vertex at (9.0000, 0.0000) mm was left out",
        "the first vertex, repeated at the end, was left out",
        "a polyline of fewer than two points was left out",
    ]


def test_open_runs_keep_their_arcs() -> None:
    document = ezdxf.new("R2000", units=1)
    document.modelspace().add_lwpolyline([(0, 0, 0.25), (1, 0, 0.5)], format="xyb")
    document.modelspace().add_lwpolyline([(0, 0), (1, 0)])
    arc, line = read_dxf(written(document)).entities
    assert (arc.shape, arc.closed) == (Path(((0.0, 0.0, 0.25), (25.4, 0.0, 0.0))), False)
    assert (line.shape, line.closed) == (Stroke(((0.0, 0.0), (25.4, 0.0))), False)


@pytest.mark.parametrize(
    ("before", "after", "word"),
    [
        (b"$INSUNITS\n 70\n4", b"$INSUNITS\n 70\n6", "$INSUNITS is 6"),
        (b"$INSUNITS\n 70\n4", b"$OTHER\n 70\n4", "names no unit"),
        (b"$MEASUREMENT\n 70\n1", b"$OTHER\n 70\n1", "$MEASUREMENT is missing"),
        (b"$MEASUREMENT\n 70\n1", b"$MEASUREMENT\n 70\n0", "scale by 25.4"),
    ],
)
def test_faults_of_the_header(before: bytes, after: bytes, word: str) -> None:
    data = dxf_bytes(demo_sheet())
    assert before in data
    assert any(word in fault for fault in read_dxf(data.replace(before, after)).header_faults)


def test_a_unit_named_twice_is_a_fault() -> None:
    """Readers differ in which one they take: a blank before the name is enough for ezdxf to skip it."""
    data = dxf_bytes(demo_sheet())
    twice = data.replace(b"  9\n$INSUNITS\n 70\n4\n", b"  9\n$INSUNITS\n 70\n1\n  9\n $INSUNITS\n 70\n4\n")
    assert any("more than once" in fault for fault in read_dxf(twice).header_faults)
    assert dxf_info(io.StringIO(twice.decode())).insert_units == 1


@pytest.mark.parametrize(
    ("spoil", "word"),
    [
        (lambda data: b"", "its end is missing"),
        (lambda data: data[: len(data) // 2], "not a"),
        (lambda data: data[:-20], "not a"),
        (lambda data: data.replace(b"\nENDSEC\n", b"\nENDSEX\n"), "inside another"),
        (lambda data: b"AutoCAD Binary DXF\r\n\x1a\x00" + data, "binary"),
        (lambda data: b"<svg></svg>\n" * 9, "where a group code"),
        (lambda data: data.replace(b" 10\n61.0\n", b" 10\nsixty\n"), "'sixty' is no number"),
        (lambda data: data.replace(b" 10\n61.0\n", b" 10\nnan\n"), "'nan' is no number"),
        (lambda data: data.replace(b" 62\n5\n", b" 62\n5.5\n"), "'5.5' is no whole number"),
        (lambda data: data + b"  0\nCIRCLE\n  8\n0\n", "goes on after its end"),
    ],
)
def test_files_that_cannot_be_read(spoil, word: str) -> None:
    data = spoil(dxf_bytes(demo_sheet()))
    with pytest.raises(FileError, match=word):
        read_dxf(data)


@settings(max_examples=60, deadline=None)
@given(st.data())
def test_damaged_bytes_never_end_in_a_traceback(data: st.DataObject) -> None:
    good = bytearray(dxf_bytes(demo_sheet()))
    for _ in range(data.draw(st.integers(1, 4))):
        at = data.draw(st.integers(0, len(good) - 1))
        piece = data.draw(
            st.binary(max_size=6) | st.sampled_from([b"\n", b"0\nEOF\n", b"1e999", b"-1", b"\n  0\nSECTION\n"])
        )
        good[at : at + data.draw(st.integers(0, 12))] = piece
    with contextlib.suppress(FileError):
        assert isinstance(read_dxf(bytes(good)), ReadBack)
