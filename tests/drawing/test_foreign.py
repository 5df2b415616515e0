"""Drawings as other programs make them, built here with ezdxf."""

from __future__ import annotations

import io
import math

import ezdxf
import pytest

from gearplate.drawing.curves import segments
from gearplate.drawing.foreign import read_foreign
from gearplate.drawing.model import DrawnUnit
from gearplate.errors import FileError
from gearplate.geometry.shapes import Circle, Path, Stroke


def written(document: ezdxf.document.Drawing) -> bytes:
    text = io.StringIO()
    document.write(text)
    return document.encode(text.getvalue())


def test_lines_arcs_and_old_polylines() -> None:
    document = ezdxf.new("R2010", units=1)
    space = document.modelspace()
    space.add_line((0, 0), (1, 0))
    space.add_arc((0, 0), 2, start_angle=90, end_angle=0)
    space.add_polyline2d([(0, 0, 0.5), (1, 0, 0), (1, 1, 0)], format="xyb", close=True)
    space.add_spline([(0, 0), (1, 1), (2, 0)])
    back = read_foreign(written(document))
    assert back.unit is DrawnUnit.INCH
    line, arc, old = back.entities
    assert line.shape == Stroke(((0.0, 0.0), (25.4, 0.0)))
    assert isinstance(arc.shape, Path)
    assert not arc.closed
    halves = segments(arc.shape, closed=False)
    assert [piece.radius_mm for piece in halves] == pytest.approx([50.8, 50.8])
    assert sum(piece.sweep_rad for piece in halves) == pytest.approx(1.5 * math.pi)
    assert halves[0].start == pytest.approx((0.0, 50.8), abs=1e-9)
    assert halves[-1].end == pytest.approx((50.8, 0.0), abs=1e-9)
    assert old.closed
    assert old.shape == Path(((0.0, 0.0, 0.5), (25.4, 0.0, 0.0), (25.4, 25.4, 0.0)))
    assert back.foreign == ("SPLINE on layer '0'",)


def test_what_is_seen_from_below_is_turned_over() -> None:
    document = ezdxf.new("R2000", units=4)
    below = {"extrusion": (0, 0, -1)}
    space = document.modelspace()
    space.add_circle((3, 4), 1, dxfattribs=below)
    space.add_lwpolyline([(0, 0, 0.5), (2, 0, 0), (2, 2, 0)], format="xyb", close=True, dxfattribs=below)
    space.add_arc((1, 0), 1, start_angle=0, end_angle=90, dxfattribs=below)
    space.add_circle((3, 4), 1, dxfattribs={"extrusion": (0, 1, 1)})
    back = read_foreign(written(document))
    circle, run, arc = back.entities
    assert circle.shape == Circle(-3.0, 4.0, 2.0)
    assert run.shape == Path(((0.0, 0.0, -0.5), (-2.0, 0.0, 0.0), (-2.0, 2.0, 0.0)))
    assert isinstance(arc.shape, Path)
    first = segments(arc.shape, closed=False)[0]
    assert first.centre == pytest.approx((-1.0, 0.0), abs=1e-9)
    assert first.sweep_rad == pytest.approx(-math.pi / 4)
    assert back.foreign == ("CIRCLE on layer '0'",)


def test_blocks_are_taken_apart() -> None:
    document = ezdxf.new("R2000", units=4)
    block = document.blocks.new("holes")
    block.add_circle((1, 0), 2)
    outer = document.blocks.new("plate")
    outer.add_blockref("holes", (10, 0))
    document.modelspace().add_blockref("plate", (0, 5))
    (entity,) = read_foreign(written(document)).entities
    assert entity.shape == Circle(11.0, 5.0, 4.0)


def test_layers_that_are_off_are_told_and_a_missing_unit() -> None:
    document = ezdxf.new("R2000", units=0)
    document.layers.add("hidden", color=3).off()
    document.modelspace().add_circle((0, 0), 1, dxfattribs={"layer": "hidden"})
    back = read_foreign(written(document))
    assert back.unit is None
    assert "neither millimetres nor inches" in back.header_faults[0]
    assert [(layer.name, layer.visible) for layer in back.layers if layer.name == "hidden"] == [("hidden", False)]


@pytest.mark.parametrize("data", [b"", b"\x00\x01\x02", b"<html></html>", b"  0\nSECTION\n"])
def test_no_drawing_at_all(data: bytes) -> None:
    with pytest.raises(FileError, match="not a DXF file"):
        read_foreign(data)
