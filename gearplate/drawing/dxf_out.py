"""Writes one cut file: DXF R2000 (AC1015), in the drawn unit, the same bytes on every run.

The choices, each because some reader needs it: R2000 because R12 carries no unit; $INSUNITS and
$MEASUREMENT both set because readers scale by 25.4 where they disagree; $PSVPSCALE 1 because 0 prints
blank pages; bulges under 1e-6 written as 0 and no segment under 0.001 mm because some readers drop the
curve or the whole file; no time stamps, GUIDs or names of the machine, so that equal drawings are equal
files.

ezdxf is the writer. It sets up its document of 17 kB anew for every file: 0.7 ms of the 8 ms that a plate
of 60 entities takes (measured on 2 shared cores), so a stored template would save nothing that counts.
"""

from __future__ import annotations

import contextlib
import io
import math
from collections.abc import Iterator
from typing import Any

from gearplate.drawing.curves import box_of_all
from gearplate.drawing.library import ezdxf_module
from gearplate.drawing.model import DrawnUnit, Entity, Operation, Sheet, layer_faults
from gearplate.errors import ToolBug
from gearplate.geometry.shapes import Circle, Path, Shape, Stroke

SHORTEST_SEGMENT_MM = 0.001
FLATTEST_BULGE = 1e-6
ROUNDING_MM = 1e-6  # what rounding to the file's decimals may take from a segment of just that length
BULGE_DECIMALS = 10
BULGE_SLACK = 1e-9  # half a circle from a tangent function may come out a few last bits above 1
VIEW_MARGIN = 1.1
WIDE_SCREEN = 1.34  # width to height of the library's default view


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
    drawn = [_drawn(entity, sheet.unit) for entity in sheet.entities]
    ezdxf = ezdxf_module()
    with _fixed_metadata(ezdxf):
        document = ezdxf.new("R2000", units=sheet.unit.insunits)
        _set_up(document, sheet, drawn)
        space = document.modelspace()
        for entity, shape in zip(sheet.entities, drawn, strict=True):
            _add(space, shape, sheet.layers.of(entity.operation).name)
        text = io.StringIO()
        document.write(text)
    return bytes(document.encode(text.getvalue()))


def _set_up(document: Any, sheet: Sheet, drawn: list[Shape]) -> None:
    header = document.header
    header["$MEASUREMENT"] = sheet.unit.measurement
    header["$PSVPSCALE"] = 1.0
    header["$DIMSTYLE"] = "Standard"  # the only one that the file holds
    # Defpoints is a layer of dimensions; an operator who lists the layers should see nothing but what is cut.
    document.layers.remove("Defpoints")
    for style in dict.fromkeys(sheet.layers.all()):
        if style.name in document.layers:
            document.layers.get(style.name).color = style.colour
        else:
            document.layers.add(style.name, color=style.colour)
    x0, y0, x1, y1 = box_of_all(drawn)
    space = document.modelspace()
    space.dxf.extmin, space.dxf.extmax = (x0, y0, 0.0), (x1, y1, 0.0)
    space.reset_limits((x0, y0), (x1, y1))
    height = VIEW_MARGIN * max(y1 - y0, (x1 - x0) / WIDE_SCREEN)
    document.set_modelspace_vport(height, center=((x0 + x1) / 2.0, (y0 + y1) / 2.0))


def _add(space: Any, shape: Shape, layer: str) -> None:
    attributes = {"layer": layer}
    if isinstance(shape, Circle):
        space.add_circle((shape.x_mm, shape.y_mm), shape.diameter_mm / 2.0, dxfattribs=attributes)
    elif isinstance(shape, Path):
        space.add_lwpolyline(shape.vertices, format="xyb", close=True, dxfattribs=attributes)
    else:
        space.add_lwpolyline(shape.points, format="xy", close=False, dxfattribs=attributes)


@contextlib.contextmanager
def _fixed_metadata(ezdxf: Any) -> Iterator[None]:
    """The library's switch for output without time stamps and GUIDs; set back, because it is global."""
    before = ezdxf.options.write_fixed_meta_data_for_testing
    ezdxf.options.write_fixed_meta_data_for_testing = True
    try:
        yield
    finally:
        ezdxf.options.write_fixed_meta_data_for_testing = before


# What is written is what was judged: shapes are brought to the drawn unit and rounded first, then refused
# or taken.


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
