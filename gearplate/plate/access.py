"""Holes through which a driver reaches a motor's screws from the far side of the gearbox.

A motor's screws go in from the gears' side, so the driver comes through the other plate, or beside it.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Sequence

from gearplate.geometry.nearest import circle_curve_distance, contains, path_distance
from gearplate.geometry.path import bbox
from gearplate.geometry.shapes import Circle, Path
from gearplate.layout.design import BodyKind, HoleKind, Layout
from gearplate.layout.service import access_diameter_mm, blockers
from gearplate.layout.shapes import upright_box
from gearplate.layout.spec import LayoutSpec, Side
from gearplate.plate.contours import contour, gap_mm, slot_ends
from gearplate.plate.features import web_mm
from gearplate.plate.plate import Feature

FOOT_MM = 0.5  # from an access hole to what stands on the plate

Box = tuple[float, float, float, float]
OutlineOf = Callable[[Sequence[Feature]], Path]


def access_features(
    layout: Layout, spec: LayoutSpec, side: Side, present: Sequence[Feature], outline_of: OutlineOf, room: Box
) -> list[Feature]:
    """Access holes of this plate for the screws of the motors on the other one.

    A screw gets none where something in the gap blocks its path anyway, where the path runs beside the plate or
    through an open hole, and where the hole would come nearer than a web to a neighbour or under a flange, washer or
    standoff. Near the edge the outline grows round it, as long as the plate stays off the user's keep-outs and within
    `room` (the box that both plates take anyway), widened by as much as the hole is wider than the screw's as
    far as the job's limits let it, and never downward.
    """
    web = web_mm(spec, side)
    edge = min(web, spec.margin_mm)
    feet = _feet(layout, side)
    taken = list(present)
    outline = outline_of(taken)
    found: list[Feature] = []
    beside = _wanted(layout, spec, side)
    grew = True
    while beside and grew:  # a path beside the plate may lie in it once the plate has grown round another
        waiting, beside, grew = beside, [], False
        for feature in waiting:
            if _open_already(feature, taken) or not _clear(feature, taken, web, feet):
                continue
            place = _place(feature, outline, edge)
            if place == "beside":
                beside.append(feature)
                continue
            if place == "edge":
                grown = outline_of([*taken, feature])
                wider = 0.5 * (feature.part_diameter_mm - spec.motor(feature.shaft or "").screw.normal_mm) + 1e-6
                if not _may_grow(layout, side, grown, _widened(room, layout, spec, wider)):
                    continue
                outline, grew = grown, True
            taken.append(feature)
            found.append(feature)
    return found


def _wanted(layout: Layout, spec: LayoutSpec, side: Side) -> list[Feature]:
    """A hole over every screw of the motors on the other plate that nothing in the gap bars."""
    wanted = []
    for motor in spec.motors:
        if motor.side is side:
            continue
        screws = [hole for hole in layout.holes if hole.shaft == motor.name and hole.kind is HoleKind.MOTOR_SCREW]
        for number, hole in enumerate(screws, start=1):
            if blockers(spec, layout.stack, motor, (hole.x_mm, hole.y_mm), layout.bodies):
                continue
            slot = max(hole.slot_length_mm, 2.0 * motor.slot_travel_mm)
            wanted.append(
                Feature(
                    f"{motor.name}-access-{number}",
                    HoleKind.ACCESS,
                    "slot" if slot > 0.0 else "circle",
                    "free",
                    motor.name,
                    hole.x_mm,
                    hole.y_mm,
                    access_diameter_mm(motor),
                    slot,
                    hole.angle_rad,
                )
            )
    return wanted


def _feet(layout: Layout, side: Side) -> list[tuple[float, float, float]]:
    """Discs on either face of a plate that must keep their support: flanges, washers, heads, standoffs, spacers."""
    low, high = layout.stack.plate(side)
    kinds = (BodyKind.FLANGE, BodyKind.WASHER, BodyKind.SCREW_HEAD, BodyKind.NUT, BodyKind.STANDOFF, BodyKind.RAIL_TUBE)
    return [
        (body.x_mm, body.y_mm, body.radius_mm)
        for body in layout.bodies
        if body.kind in kinds and (abs(body.z0_mm - high) < 0.1 or abs(body.z1_mm - low) < 0.1)
    ]


def _open_already(feature: Feature, taken: Iterable[Feature]) -> bool:
    """Whether the whole hole lies in one that nothing sits in."""
    empty = (HoleKind.SHAFT_CLEARANCE, HoleKind.ACCESS, HoleKind.RELIEF, HoleKind.WINDOW, HoleKind.OWN)
    radius = 0.5 * feature.part_diameter_mm
    for other in taken:
        if other.kind not in empty:
            continue
        shape = contour(other)
        ends = slot_ends(feature)
        if isinstance(shape, Circle):
            if all(
                math.hypot(x - shape.x_mm, y - shape.y_mm) + radius <= 0.5 * shape.diameter_mm + 1e-9 for x, y in ends
            ):
                return True
        elif all(
            contains(shape, x, y) and circle_curve_distance(shape, Circle(x, y, 2.0 * radius)) > 0.0 for x, y in ends
        ):
            return True
    return False


def _clear(feature: Feature, taken: Iterable[Feature], web: float, feet: Iterable[tuple[float, float, float]]) -> bool:
    shape = contour(feature)
    if any(gap_mm(shape, contour(other)) < web for other in taken):
        return False
    return all(gap_mm(shape, Circle(x, y, 2.0 * radius)) >= FOOT_MM for x, y, radius in feet)


def _place(feature: Feature, outline: Path, edge: float) -> str:
    """ "inside" with enough material to the edge, "beside" the plate altogether, or at its "edge"."""
    shape = contour(feature)
    away = circle_curve_distance(outline, shape) if isinstance(shape, Circle) else path_distance(outline, shape)
    inside = contains(outline, feature.x_mm, feature.y_mm)
    if inside and away >= edge:
        return "inside"
    return "beside" if not inside and away > 0.0 else "edge"


def _widened(room: Box, layout: Layout, spec: LayoutSpec, by: float) -> Box:
    """The box with its sides moved out, save the lower one, as far as the job's limits let them.

    Where overall width or height is limited, the plate may reach as far as motors and gears reach anyway.
    """
    limits = spec.limits
    x0, y0, x1, y1 = room
    large = [upright_box(body) for body in layout.bodies if body.kind in (BodyKind.MOTOR, BodyKind.GEAR)]
    if limits.width_mm is None:
        left, right = x0 - by, x1 + by
    else:
        left, right = min(box[0] for box in large), max(box[2] for box in large)
    top = y1 + by if limits.height_mm is None else max(box[3] for box in large)
    if limits.back_mm is not None:
        left = max(left, -limits.back_mm)
    if limits.forward_mm is not None:
        right = min(right, limits.forward_mm)
    if limits.up_mm is not None:
        top = min(top, limits.up_mm)
    return min(x0, left), y0, max(x1, right), max(y1, top)


def _may_grow(layout: Layout, side: Side, grown: Path, room: Box) -> bool:
    x0, y0, x1, y1 = bbox(grown)
    if x0 < room[0] - 1e-6 or y0 < room[1] - 1e-6 or x1 > room[2] + 1e-6 or y1 > room[3] + 1e-6:
        return False
    low, high = layout.stack.plate(side)
    for body in layout.bodies:
        if body.kind is not BodyKind.KEEP_OUT or body.z1_mm <= low or body.z0_mm >= high:
            continue
        if body.box is None:
            if gap_mm(Circle(body.x_mm, body.y_mm, 2.0 * body.radius_mm), grown) <= 0.0:
                return False
        else:
            bx0, by0, bx1, by1 = body.box
            if bx0 < x1 and bx1 > x0 and by0 < y1 and by1 > y0:
                return False
    return True
