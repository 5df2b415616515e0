"""Writes one cut file: DXF R2000 (AC1015), in the drawn unit, the same bytes on every run.

The choices, each because some reader needs it: R2000 because R12 carries no unit; $INSUNITS and
$MEASUREMENT both set because readers scale by 25.4 where they disagree; $PSVPSCALE 1 because 0 prints
blank pages; bulges under 1e-6 written as 0 and no segment under 0.001 mm because some readers drop the
curve or the whole file; no time stamps, GUIDs or names of the machine, so that equal drawings are equal
files.

All that surrounds the entities (header, tables, blocks, objects) is a blank drawing that ezdxf wrote, kept in
blank.dxf with names in the places that differ from sheet to sheet. Filling it in takes a millisecond; importing
ezdxf for it took a quarter of a whole build. The tests have ezdxf write the same sheets and compare the bytes;
tests/builders/ezdxf_writer.py makes the blank anew.
"""

from __future__ import annotations

import math
import re
from collections.abc import Iterator
from functools import cache
from pathlib import Path as FilePath

from gearplate.drawing.curves import box_of_all
from gearplate.drawing.model import DrawnUnit, Entity, Operation, Sheet, layer_faults
from gearplate.errors import ToolBug
from gearplate.geometry.shapes import Circle, Path, Shape, Stroke

SHORTEST_SEGMENT_MM = 0.001
FLATTEST_BULGE = 1e-6
ROUNDING_MM = 1e-6  # what rounding to the file's decimals may take from a segment of just that length
BULGE_DECIMALS = 10
BULGE_SLACK = 1e-9  # half a circle from a tangent function may come out a few last bits above 1
VIEW_MARGIN = 1.1
WIDE_SCREEN = 1.34  # width to height of the default view
CODE_PAGE = "cp1252"
FIRST_FREE_HANDLE = 0x2F  # the blank drawing uses those below


def dxf_bytes(sheet: Sheet) -> bytes:
    """The cut file of `sheet`: CIRCLE for circles, closed LWPOLYLINE with bulges for paths, open
    LWPOLYLINE for strokes; in the sheet's order, on the sheet's layers; coordinates in the drawn unit.

    Raises ToolBug for an empty sheet, a layer that cannot be written, and a shape that no cutter could
    follow: not finite, a segment under 0.001 mm, a repeated vertex, a bulge over 1 (more than half a
    circle), no area.
    """
    faults = layer_faults(sheet.layers)
    if faults:
        raise ToolBug("the cut file cannot be written: " + "; ".join(faults))
    if not sheet.entities:
        raise ToolBug("the cut file would be empty")
    drawn = drawn_shapes(sheet)
    handles = _handles()
    # In the order in which handles are given out: layers, view, entities, and three names that follow them.
    layers = _layers(sheet, handles)
    view = next(handles)
    entities = [
        line
        for entity, shape in zip(sheet.entities, drawn, strict=True)
        for line in _entity(shape, sheet.layers.of(entity.operation).name, next(handles))
    ]
    x0, y0, x1, y1 = box_of_all(drawn)
    places = {
        "x0": f"{x0}", "y0": f"{y0}", "x1": f"{x1}", "y1": f"{y1}",
        "view_x": f"{(x0 + x1) / 2.0}", "view_y": f"{(y0 + y1) / 2.0}",
        "view_height": f"{VIEW_MARGIN * max(y1 - y0, (x1 - x0) / WIDE_SCREEN)}",
        "insunits": f"{sheet.unit.insunits}", "measurement": f"{sheet.unit.measurement}",
        "layer_count": f"{layers.count('LAYER')}", "layers": _lines(layers), "view": view, "entities": _lines(entities),
        "after_1": next(handles), "after_2": next(handles), "after_3": next(handles), "seed": next(handles),
    }  # fmt: skip
    return re.sub("@([a-z_0-9]+)@", lambda name: places[name[1]], _blank()).encode(CODE_PAGE)


@cache
def _blank() -> str:
    return FilePath(__file__).with_name("blank.dxf").read_text(encoding="ascii")


def _handles() -> Iterator[str]:
    handle = FIRST_FREE_HANDLE
    while True:
        yield f"{handle:X}"
        handle += 1


def _lines(lines: list[str]) -> str:
    return "".join(f"{line}\n" for line in lines)


def _layers(sheet: Sheet, handles: Iterator[str]) -> list[str]:
    """The layer table: layer 0, which every file has, and those of the sheet."""
    styles = dict.fromkeys(sheet.layers.all())
    of_zero = next((style.colour for style in styles if style.name == "0"), 7)
    lines = _layer("0", of_zero, "27")
    for style in styles:
        if style.name != "0":
            lines += _layer(style.name, style.colour, next(handles))
    return lines


def _layer(name: str, colour: int, handle: str) -> list[str]:
    return [
        "  0", "LAYER", "  5", handle, "330", "1", "100", "AcDbSymbolTableRecord", "100", "AcDbLayerTableRecord",
        "  2", name, " 70", "0", " 62", f"{colour}", "  6", "Continuous", "370", "-3", "390", "13",
    ]  # fmt: skip


def _entity(shape: Shape, layer: str, handle: str) -> list[str]:
    head = ["  5", handle, "330", "17", "100", "AcDbEntity", "  8", layer, "100"]
    if isinstance(shape, Circle):
        place = [" 10", f"{shape.x_mm}", " 20", f"{shape.y_mm}", " 30", "0.0", " 40", f"{shape.diameter_mm / 2.0}"]
        return ["  0", "CIRCLE", *head, "AcDbCircle", *place]
    closed = isinstance(shape, Path)
    points = shape.vertices if isinstance(shape, Path) else [(x, y, 0.0) for x, y in shape.points]
    lines = ["  0", "LWPOLYLINE", *head, "AcDbPolyline", " 90", f"{len(points)}", " 70", "1" if closed else "0"]
    for x, y, bulge in points:
        lines += (" 10", f"{x}", " 20", f"{y}")
        if bulge:
            lines += (" 42", f"{bulge}")
    return lines


# What is written is what was judged: shapes are brought to the drawn unit and rounded first, then refused
# or taken.


def drawn_shapes(sheet: Sheet) -> list[Shape]:
    """The shapes of a sheet in the drawn unit, rounded as the file holds them. Raises ToolBug as dxf_bytes does."""
    return [_drawn(entity, sheet.unit) for entity in sheet.entities]


def _drawn(entity: Entity, unit: DrawnUnit) -> Shape:
    """The shape in drawn units, rounded to what the file holds. (The fields keep their names; the unit
    does not.)"""
    shape = entity.shape
    if isinstance(shape, Circle):
        x, y = _number(shape.x_mm, unit, entity), _number(shape.y_mm, unit, entity)
        radius = _number(shape.diameter_mm / 2.0, unit, entity)
        if radius * unit.mm < SHORTEST_SEGMENT_MM:
            raise _refusal(entity, f"a circle of diameter {shape.diameter_mm} mm")
        return Circle(x, y, 2.0 * radius)
    if isinstance(shape, Stroke):
        points = tuple((_number(x, unit, entity), _number(y, unit, entity)) for x, y in shape.points)
        _refuse_short(points, unit, entity, closed=False)
        return Stroke(points)
    vertices = tuple(
        (_number(x, unit, entity), _number(y, unit, entity), _bulge(bulge, entity)) for x, y, bulge in shape.vertices
    )
    _refuse_short(tuple((x, y) for x, y, _ in vertices), unit, entity, closed=True)
    if len(vertices) == 2 and vertices[0][2] + vertices[1][2] == 0.0:
        raise _refusal(entity, "a closed path without area")
    return Path(vertices)


def _number(value_mm: float, unit: DrawnUnit, entity: Entity) -> float:
    if not math.isfinite(value_mm):
        raise _refusal(entity, f"the coordinate {value_mm}")
    return round(value_mm / unit.mm, unit.decimals) + 0.0  # + 0.0: no minus zero in the file


def _bulge(bulge: float, entity: Entity) -> float:
    if not abs(bulge) <= 1.0 + BULGE_SLACK:  # also refuses what is not a number
        raise _refusal(entity, f"the bulge {bulge}, more than half a circle")
    if abs(bulge) < FLATTEST_BULGE:
        return 0.0
    return round(max(-1.0, min(1.0, bulge)), BULGE_DECIMALS)


def _refuse_short(points: tuple[tuple[float, float], ...], unit: DrawnUnit, entity: Entity, closed: bool) -> None:
    if len(points) < 2:
        raise _refusal(entity, "fewer than two points")
    followers = points[1:] + points[:1] if closed else points[1:]
    for (x0, y0), (x1, y1) in zip(points, followers, strict=False):
        length_mm = math.hypot(x1 - x0, y1 - y0) * unit.mm
        if length_mm < SHORTEST_SEGMENT_MM - ROUNDING_MM:
            what = "a repeated vertex" if length_mm == 0.0 else f"a segment of {length_mm:.6f} mm"
            raise _refusal(entity, f"{what} at ({x0}, {y0})")


def _refusal(entity: Entity, what: str) -> ToolBug:
    where = "etched" if entity.operation is Operation.ETCH else "cut"
    return ToolBug(f"the cut file cannot be written: {what} in the {where} shape {entity.tag!r}")
