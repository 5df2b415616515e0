"""What a beam leaves of a cut file, read by GDAL/OGR and held against the record. Shares no code with gearplate."""

from __future__ import annotations

import math
from collections.abc import Mapping
from functools import cache
from pathlib import Path
from typing import Any

import numpy as np
import pyogrio
import shapely
from shapely.affinity import scale
from shapely.geometry import Polygon

from tests.builders import beam
from tests.builders.dxf_tags import along, mm_per_unit

TOLERANCE_MM = 0.005
DEFAULT_LAYERS = {"etch": "etch", "inner": "inner", "outer": "outer"}


Points = np.ndarray[Any, np.dtype[np.float64]]


@cache
def seen_by_ogr(file: Path) -> tuple[tuple[str, Points], ...]:
    """Layer and vertices in mm of everything in the file: a reader that shares no code with the writer."""
    pyogrio.set_gdal_config_options({"OGR_ARC_STEPSIZE": 1})  # degrees: chords 4e-5 of the radius off the arc
    _, _, shapes, fields = pyogrio.raw.read(file, columns=["Layer"])
    mm = mm_per_unit(file.read_bytes())
    return tuple(
        (str(layer), mm * shapely.get_coordinates(shapely.from_wkb(one)))
        for layer, one in zip(fields[0], shapes, strict=True)
    )


def is_closed(points: Points) -> bool:
    return math.dist(points[0], points[-1]) < 1e-6


def finished(feature: dict[str, Any]) -> Polygon:
    """The contour that the record promises, in the frame of the plate's hand."""
    if feature["form"] == "circle":
        centre = shapely.Point(feature["x_mm"], feature["y_mm"])
        return centre.buffer(0.5 * feature["finished_diameter_mm"], quad_segs=90)
    return curve(feature["vertices"])


def curve(vertices: list[list[float]]) -> Polygon:
    return Polygon(along(tuple((x, y, bulge) for x, y, bulge in vertices), True))


def in_the_frame(shape: shapely.Geometry, plate: dict[str, Any], drawn_over_cut: float = 1.0) -> shapely.Geometry:
    """What was cut, seen in the frame: the sheet's own scale and the declared turn undone."""
    size = 1.0 / drawn_over_cut
    turned = -size if plate["face_up"] == "inboard" else size
    return scale(shape, turned, size, origin=(0.0, 0.0))


def kerfs(plate: dict[str, Any], drawn_over_cut: float = 1.0) -> tuple[float, float]:
    """The beam that cuts this file, in drawn lengths: none where the machine offsets by itself."""
    if plate["machine_compensates"]:
        return 0.0, 0.0
    return plate["kerf_x_mm"] * drawn_over_cut, plate["kerf_y_mm"] * drawn_over_cut


def misses(
    plate: dict[str, Any],
    file: Path,
    layers: Mapping[str, str] = DEFAULT_LAYERS,
    drawn_over_cut: float = 1.0,
) -> list[str]:
    """In words, everything that the cut plate will have otherwise than its record says, from 0.005 mm on."""
    kerf_x, kerf_y = kerfs(plate, drawn_over_cut)
    seen = seen_by_ogr(file)
    told = [f"a shape on layer {layer}" for layer, _ in seen if layer not in layers.values()]
    outlines = [points for layer, points in seen if layer == layers["outer"]]
    inner = [points for layer, points in seen if layer == layers["inner"] and is_closed(points)]
    if len(outlines) != 1 or not is_closed(outlines[0]):
        return [*told, f"{len(outlines)} outlines"]
    if len(inner) != len(plate["features"]):
        return [*told, f"{len(inner)} holes instead of {len(plate['features'])}"]
    left = in_the_frame(beam.part(outlines[0], kerf_x, kerf_y), plate, drawn_over_cut)
    off = beam.apart_mm(left, curve(plate["outline"]["vertices"]))
    if off >= TOLERANCE_MM:
        told.append(f"the outline is off by {off:.4f} mm")
    holes = [in_the_frame(beam.hole(points, kerf_x, kerf_y), plate, drawn_over_cut) for points in inner]
    for feature in plate["features"]:
        wanted = finished(feature)
        hole = min(holes, key=lambda one: one.centroid.distance(wanted.centroid))
        holes.remove(hole)
        off = beam.apart_mm(hole, wanted)
        if off >= TOLERANCE_MM:
            told.append(f"{feature['id']} is off by {off:.4f} mm")
        if not left.contains(hole):
            told.append(f"{feature['id']} runs out of the plate")
    return told
