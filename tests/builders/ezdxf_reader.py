"""A cut file as ezdxf reads it: what our own reader is held against."""

from __future__ import annotations

import io
from typing import Any

from ezdxf import recover

from gearplate.drawing.dxf_in import ReadBack, ReadEntity, ReadLayer
from gearplate.drawing.model import DrawnUnit
from gearplate.geometry.shapes import Circle, Path, Stroke


def read_by_ezdxf(data: bytes) -> ReadBack:
    """Circles and flat polylines of the drawing as shapes in mm, in file order; all else as foreign, by its kind."""
    document, auditor = recover.read(io.BytesIO(data))
    code = document.header["$INSUNITS"]
    unit = next(unit for unit in DrawnUnit if unit.insunits == code)
    entities: list[ReadEntity] = []
    foreign: list[str] = []
    for entity in document.modelspace():
        piece = _piece(entity, unit.mm)
        if piece is None:
            foreign.append(entity.dxftype())
        else:
            entities.append(piece)
    layers = tuple(
        ReadLayer(layer.dxf.name, abs(layer.color), layer.is_on() and not layer.is_frozen())
        for layer in document.layers
    )
    repairs = tuple(str(entry.message) for entry in (*auditor.fixes, *auditor.errors))
    agrees = document.header["$MEASUREMENT"] == unit.measurement
    return ReadBack(unit, tuple(entities), layers, repairs, tuple(foreign), () if agrees else ("$MEASUREMENT",))


def _piece(entity: Any, scale: float) -> ReadEntity | None:
    layer = str(entity.dxf.layer)
    if entity.dxftype() == "CIRCLE":
        centre = entity.dxf.center
        return ReadEntity(layer, Circle(centre.x * scale, centre.y * scale, 2.0 * entity.dxf.radius * scale), True, 0)
    if entity.dxftype() != "LWPOLYLINE":
        return None
    run = [(float(x) * scale, float(y) * scale, float(bulge)) for x, y, bulge in entity.get_points("xyb")]
    if entity.is_closed or any(bulge for _, _, bulge in run):
        return ReadEntity(layer, Path(tuple(run)), bool(entity.is_closed), 0)
    return ReadEntity(layer, Stroke(tuple((x, y) for x, y, _ in run)), False, 0)
