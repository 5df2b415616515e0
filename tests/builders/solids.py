"""Looks for two things in one place, from the design record alone: discs, boxes, plates, extents along z (shapely).

Shares no code with gearplate's clearances. Left out, because they belong together: what stands on one axis, what is
bolted to the same thing, gears that mesh, and the wheel on its own axle beside the rail.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterable, Iterator
from typing import Any

from shapely.affinity import rotate
from shapely.geometry import Point, Polygon, box
from shapely.ops import unary_union

from tests.builders.dxf_tags import along

SEAT_MM = 0.12  # a press fit is no collision
AREA_MM2 = 0.02
FEET = {"washer", "standoff", "rail spacer", "bearing flange", "screw head", "nut"}
Disc = tuple[float, float, float]


def disc(x: float, y: float, diameter: float) -> Polygon:
    return Point(x, y).buffer(0.5 * diameter, quad_segs=48)


def polygon(vertices: Iterable[Iterable[float]], sign: float = 1.0) -> Polygon:
    """A closed run of vertices with bulges; `sign` -1 turns it over (x and bulges negated)."""
    run = tuple((sign * x, y, sign * bulge) for x, y, bulge in vertices)
    return Polygon(along(run, True, math.radians(2.0)))


def overlap(a: list[float], b: list[float]) -> bool:
    return a[0] < b[1] - 1e-6 and b[0] < a[1] - 1e-6


def collisions(record: dict[str, Any], rail_holes: Iterable[Disc] = ()) -> list[str]:
    """In words, everything of a record that cannot be where something else is. `rail_holes` (x, y, diameter) are open
    in the rail's wall."""
    return [*_bodies(record, list(rail_holes)), *_plates(record)]


def _shape(body: dict[str, Any], rail_holes: list[Disc]) -> Polygon:
    if body["square_mm"] is not None:
        core = 0.5 * body["square_mm"] - body["corner_mm"]
        x, y = body["x_mm"], body["y_mm"]
        upright = box(x - core, y - core, x + core, y + core).buffer(body["corner_mm"], quad_segs=48)
        return rotate(upright, body["angle_deg"], origin=(x, y))
    if body["box_mm"] is None:
        return disc(body["x_mm"], body["y_mm"], body["diameter_mm"])
    whole = box(*body["box_mm"])
    if body["kind"] == "rail" and rail_holes:
        return whole.difference(unary_union([disc(*hole) for hole in rail_holes]))
    return whole


def _bodies(record: dict[str, Any], rail_holes: list[Disc]) -> Iterator[str]:
    meshed = {frozenset((mesh["driver_shaft"], mesh["driven_shaft"])) for mesh in record["train"]["meshes"]}
    shapes = [(body, _shape(body, rail_holes)) for body in record["bodies"]]
    for (a, first), (b, second) in itertools.combinations(shapes, 2):
        kinds = {a["kind"], b["kind"]}
        if not overlap(a["z_mm"], b["z_mm"]) or kinds <= {"wheel", "rail", "keep-out"}:
            continue
        if a["group"] is not None and a["group"] == b["group"]:
            continue
        if a["shaft"] is not None and a["shaft"] == b["shaft"] and (a["x_mm"], a["y_mm"]) == (b["x_mm"], b["y_mm"]):
            continue
        if kinds == {"gear"} and frozenset((a["shaft"], b["shaft"])) in meshed:
            continue
        if kinds == {"rail", "rail spacer"}:
            continue
        if first.intersection(second).area > AREA_MM2:
            yield f"{a['name']} ({a['kind']}) and {b['name']} ({b['kind']})"


def _plates(record: dict[str, Any]) -> Iterator[str]:
    if record["stack"] is None or not record["plates"]:
        return
    hand = record["plates"][0]["hand"]
    sign = -1.0 if hand == "left" else 1.0  # bodies stand in the frame of the right hand
    for plate in (one for one in record["plates"] if one["hand"] == hand):
        yield from _plate(record, plate, sign)


def _plate(record: dict[str, Any], plate: dict[str, Any], sign: float) -> Iterator[str]:
    name, z = plate["plate"], record["stack"][f"{plate['plate']}_z_mm"]
    solid = polygon(plate["outline"]["vertices"], sign)
    if not solid.is_valid:
        yield f"the outline of the {name} plate crosses itself"
    cut: list[tuple[dict[str, Any], Polygon]] = []
    for feature in plate["features"]:
        if feature["form"] == "circle":
            shape = disc(sign * feature["x_mm"], feature["y_mm"], feature["finished_diameter_mm"])
        else:
            shape = polygon(feature["vertices"], sign)
        if not solid.contains(shape):
            yield f"{feature['id']} runs out of the {name} plate"
        cut.append((feature, shape))
    for (a, first), (b, second) in itertools.combinations(cut, 2):
        if first.intersects(second):
            yield f"{a['id']} and {b['id']} of the {name} plate run into each other"
    left = solid.difference(unary_union([shape.buffer(0.5 * SEAT_MM) for _, shape in cut]))
    for body in record["bodies"]:
        if body["kind"] == "rail":
            continue
        shape = _shape(body, [])
        if overlap(body["z_mm"], z) and shape.intersection(left).area > 0.5:
            yield f"{body['name']} ({body['kind']}) stands in the {name} plate"
        if body["kind"] in FEET and (abs(body["z_mm"][0] - z[1]) < 1e-6 or abs(body["z_mm"][1] - z[0]) < 1e-6):
            yield from _foot(body, shape, cut, left, name)


def _foot(
    body: dict[str, Any], shape: Polygon, cut: list[tuple[dict[str, Any], Polygon]], left: Polygon, name: str
) -> Iterator[str]:
    """What stands on a plate stands on material all round its own hole."""
    own = [one for _, one in cut if one.buffer(1e-3).contains(Point(body["x_mm"], body["y_mm"]))]
    if not own:
        yield f"{body['name']} has no hole under it in the {name} plate"
        return
    foot = shape.difference(own[0].buffer(0.5 * SEAT_MM))
    if foot.difference(left).area > 0.02 * shape.area:
        yield f"{body['name']} stands partly on nothing on the {name} plate"
