"""Reads drawings of other people's programs, with ezdxf and its repairs: as much as can be told, and what
cannot.

The robust path beside `dxf_in.read_dxf`, which knows only what we write. Lines and arcs come as the separate
pieces that they are in the file; joining them into contours is somebody else's work.
"""

from __future__ import annotations

import io
import math
from collections.abc import Iterator
from typing import Any

from gearplate.drawing.dxf_in import ReadBack, ReadEntity, ReadLayer
from gearplate.drawing.ezdxf_import import ezdxf_module
from gearplate.drawing.model import DrawnUnit
from gearplate.errors import FileError
from gearplate.geometry.shapes import Circle, Path, Shape, Stroke

DEEPEST_BLOCK = 8
MOST_ENTITIES = 100_000


def read_foreign(data: bytes) -> ReadBack:
    """Any ASCII DXF as shapes in mm, in file order; blocks are taken apart; layers that are off are told.

    Circles, lines, arcs and flat polylines become shapes. Everything else (text, splines, ellipses,
    solids ...), and what stands askew in space, is listed in `foreign`. Raises FileError where not even
    the repairs of ezdxf make a drawing of it.
    """
    if b"ENTITIES" not in data:
        raise FileError("not a DXF file that can be used: it has no section for what is drawn")
    try:
        return _read_back(data)
    except FileError:
        raise
    except Exception as error:
        # A file damaged in the right place makes the library stumble in its own code (assertions, missing
        # attributes ...) instead of refusing: whatever it raises here says that the file is no use.
        raise FileError(f"not a DXF file that can be used ({type(error).__name__}: {error})") from None


def _read_back(data: bytes) -> ReadBack:
    ezdxf_module()
    from ezdxf import recover

    document, auditor = recover.read(io.BytesIO(data))
    repairs = tuple(str(entry.message) for entry in (*auditor.fixes, *auditor.errors))
    unit, faults = _unit(document)
    scale = 1.0 if unit is None else unit.mm
    entities: list[ReadEntity] = []
    foreign: list[str] = []
    for entity in _pieces(document.modelspace(), foreign, 0):
        if len(entities) >= MOST_ENTITIES:
            raise FileError(f"a drawing of more than {MOST_ENTITIES} pieces")
        piece = _read(entity, scale)
        if piece is None or not _is_finite(piece.shape):
            foreign.append(f"{entity.dxftype()} on layer {entity.dxf.get('layer', '0')!r}")
        else:
            entities.append(piece)
    layers = tuple(
        ReadLayer(layer.dxf.name, abs(layer.color), layer.is_on() and not layer.is_frozen())
        for layer in document.layers
    )
    return ReadBack(unit, tuple(entities), layers, repairs, tuple(foreign), faults)


def _is_finite(shape: Shape) -> bool:
    if isinstance(shape, Circle):
        return math.isfinite(shape.x_mm + shape.y_mm + shape.diameter_mm)
    rows = shape.vertices if isinstance(shape, Path) else shape.points
    return all(math.isfinite(number) for row in rows for number in row)


def _unit(document: Any) -> tuple[DrawnUnit | None, tuple[str, ...]]:
    code = document.header.get("$INSUNITS", 0)
    measurement = document.header.get("$MEASUREMENT", None)
    unit = next((unit for unit in DrawnUnit if unit.insunits == code), None)
    if unit is None:
        return None, (f"the header names neither millimetres nor inches ($INSUNITS is {code})",)
    if measurement != unit.measurement:
        return unit, (f"$INSUNITS says {unit}, $MEASUREMENT is {measurement}: some readers will scale by 25.4",)
    return unit, ()


def _pieces(source: Any, foreign: list[str], depth: int) -> Iterator[Any]:
    for entity in source:
        if entity.dxftype() != "INSERT":
            yield entity
        elif depth == DEEPEST_BLOCK:
            foreign.append(f"a block inside {DEEPEST_BLOCK} others: {entity.dxf.name!r}")
        else:
            for one in entity.multi_insert() if entity.mcount > 1 else (entity,):
                yield from _pieces(one.virtual_entities(), foreign, depth + 1)


def _read(entity: Any, scale: float) -> ReadEntity | None:
    kind = entity.dxftype()
    layer = str(entity.dxf.get("layer", "0"))
    flipped = _flipped(entity)
    if flipped is None:
        return None
    side = -scale if flipped else scale  # seen from below: x is negated, and arcs turn the other way
    if kind == "CIRCLE":
        centre = entity.dxf.center
        return ReadEntity(layer, Circle(centre.x * side, centre.y * scale, 2.0 * entity.dxf.radius * scale), True, 0)
    if kind == "LINE":  # always in the drawing's own frame
        ends = tuple((point.x * scale, point.y * scale) for point in (entity.dxf.start, entity.dxf.end))
        return ReadEntity(layer, Stroke(ends), False, 0)
    if kind == "ARC":
        return ReadEntity(layer, Path(_arc(entity, side, scale)), False, 0)
    if kind == "LWPOLYLINE":
        run = entity.get_points("xyb")
    elif kind == "POLYLINE" and entity.is_2d_polyline:
        run = [(v.dxf.location.x, v.dxf.location.y, v.dxf.get("bulge", 0.0)) for v in entity.vertices]
    else:
        return None
    turn = -1.0 if flipped else 1.0
    vertices = [(float(x) * side, float(y) * scale, float(bulge) * turn) for x, y, bulge in run]
    return _polyline(layer, vertices, bool(entity.is_closed))


def _flipped(entity: Any) -> bool | None:
    """Whether an entity is seen from below; None where it is askew."""
    direction = entity.dxf.get("extrusion", (0.0, 0.0, 1.0))
    if abs(direction[0]) > 1e-9 or abs(direction[1]) > 1e-9:
        return None
    return bool(direction[2] < 0.0)


def _arc(entity: Any, side: float, scale: float) -> tuple[tuple[float, float, float], ...]:
    centre, radius = entity.dxf.center, entity.dxf.radius
    start = math.radians(entity.dxf.start_angle)
    sweep = (math.radians(entity.dxf.end_angle) - start) % math.tau or math.tau
    bulge = math.copysign(math.tan(sweep / 8.0), side)  # two halves: no part over 180 degrees
    angles = (start, start + sweep / 2.0, start + sweep)
    return tuple(
        ((centre.x + radius * math.cos(a)) * side, (centre.y + radius * math.sin(a)) * scale, b)
        for a, b in zip(angles, (bulge, bulge, 0.0), strict=True)
    )


def _polyline(layer: str, run: list[tuple[float, float, float]], closed: bool) -> ReadEntity | None:
    if closed and len(run) > 1 and run[0][:2] == run[-1][:2]:
        run = run[:-1]
    if len(run) < 2:
        return None
    if not closed:
        run = [*run[:-1], (run[-1][0], run[-1][1], 0.0)]
        if all(bulge == 0.0 for _, _, bulge in run):
            return ReadEntity(layer, Stroke(tuple((x, y) for x, y, _ in run)), False, 0)
    return ReadEntity(layer, Path(tuple(run)), closed, 0)
