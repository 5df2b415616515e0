"""One shaft in half section: its parts over the axis, plates and rail cut off at the same height, numbers above.

Drawn to scale, z to the right (toward the wheel); what reaches beyond the panel is broken off there. A bearing is a
box with a cross (ISO 8826-1, from memory), a gear's pitch line long dash and dot (ISO 2203, from memory).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from gearplate.drawing.pens import CENTRE_LINE, DIMENSION, INK, MIDDLE, NARROW, RUST, TEAL, Pen
from gearplate.drawing.picture import Group, Picture

PLATE = Pen(INK, MIDDLE, hatch="lines")
RAIL = Pen("#5c5c5c", MIDDLE, hatch="crossed")
SOLID = Pen(INK, NARROW, fill="#e9e9e4")
GEAR = Pen(TEAL, MIDDLE, fill="#d8ebe8")
SPACER = Pen(RUST, MIDDLE, fill="#f7e3d6")
DARK = Pen(INK, NARROW, fill="#3a3a3a")
SHAFT = Pen(INK, MIDDLE, fill="#f4f4f1")
PITCH = Pen(TEAL, NARROW, (5.0, 1.0, 0.7, 1.0))
BROKEN = Pen(INK, NARROW, (2.4, 1.2))

NUMBER = 0.62  # size of the numbers, of the usual letters
STEP = 5.6  # page mm between two numbers


@dataclass(frozen=True, slots=True)
class Numbered:
    """A part that has a number: where the line from the number ends."""

    number: int
    z_mm: float
    radius_mm: float


@dataclass(frozen=True, slots=True)
class Panel:
    """Where a shaft is drawn: height of its axis, how far up parts are drawn, drawing mm in a page mm."""

    axis_mm: float
    clip_mm: float
    scale: float

    def box(self, group: Group, z: Sequence[float], low_mm: float, high_mm: float) -> None:
        """A rectangle along z between two radii, broken off at the panel's height."""
        if high_mm > low_mm + 1e-9 and z[1] > z[0] + 1e-9 and low_mm < self.clip_mm:
            group.box(z[0], self.axis_mm + low_mm, z[1], self.axis_mm + min(high_mm, self.clip_mm))


def draw_shaft(
    picture: Picture, panel: Panel, record: dict[str, Any], shaft: dict[str, Any], first_number: int
) -> None:
    """The panel of one shaft; its parts are numbered from `first_number` on, from the middle toward the wheel."""
    name, radius = shaft["shaft"], 0.5 * shaft["across_mm"]
    bores = _clearances(record, name)
    bores |= {part["name"].split(" ")[-2]: part["outside_mm"] for part in shaft["parts"] if part["kind"] == "bearing"}
    surroundings(picture, panel, record, name, bores, radius)
    panel.box(picture.group(f"{name} bar", SHAFT), shaft["z_mm"], 0.0, radius)
    pens = {
        "gear": GEAR,
        "sprocket": GEAR,
        "spacer": SPACER,
        "shim": SPACER,
        "retainer": DARK,
        "bearing": SOLID,
        "wheel": SOLID,
    }
    places = []
    for index, part in enumerate(shaft["parts"]):
        outside = 0.5 * part["outside_mm"]
        middle = 0.5 * (part["z_mm"][0] + part["z_mm"][1])
        if part["kind"] in pens:
            panel.box(picture.group(f"{name} part {index}", pens[part["kind"]]), part["z_mm"], radius, outside)
        if part["kind"] == "bearing blocks":  # of whatever size they are
            panel.box(picture.group(f"{name} part {index}", BROKEN), part["z_mm"], radius, outside)
        if part["kind"] == "bearing":
            cross(picture, panel, f"{name} cross {index}", part["z_mm"], radius, outside)
        top = min(outside, panel.clip_mm)
        reach = top if part["kind"] == "rail wall" else 0.5 * (radius + top)
        places.append(Numbered(first_number + index, middle, reach))
    flanges = picture.group(f"{name} flanges", SOLID)
    for body in record["bodies"]:
        if body["kind"] == "bearing flange" and body["shaft"] == name:
            outside = next(0.5 * bore for side, bore in bores.items() if f" {side} " in body["name"])
            panel.box(flanges, body["z_mm"], outside, 0.5 * body["diameter_mm"])
    for gear in record["gears"]:
        pitch = 0.5 * gear["reference_diameter_mm"]
        if gear["shaft"] == name and pitch < panel.clip_mm:
            y, past = panel.axis_mm + pitch, 1.5 * panel.scale
            picture.group(f"{name} pitch {gear['stage']}", PITCH).line(
                (gear["z_mm"][0] - past, y), (gear["z_mm"][1] + past, y)
            )
    axis(picture, panel, name, shaft["z_mm"])
    balloons(picture.group(f"{name} numbers", DIMENSION), panel, places)


def _clearances(record: dict[str, Any], shaft: str) -> dict[str, float]:
    """Diameter of the hole in which a shaft passes each plate without a bearing; 0 where there is none."""
    holes: dict[str, float] = {plate["plate"]: 0.0 for plate in record["plates"]}
    for plate in record["plates"]:
        for feature in plate["features"]:
            if feature["kind"] == "shaft_clearance" and feature["shaft"] == shaft and feature["form"] == "circle":
                holes[plate["plate"]] = feature["finished_diameter_mm"]
    return holes


def axis(picture: Picture, panel: Panel, name: str, z: Sequence[float]) -> None:
    """The centre line, a little longer than the shaft."""
    past = 3.0 * panel.scale
    picture.group(f"{name} axis", CENTRE_LINE).line((z[0] - past, panel.axis_mm), (z[1] + past, panel.axis_mm))


def surroundings(
    picture: Picture,
    panel: Panel,
    record: dict[str, Any],
    name: str,
    bores: dict[str, float],
    radius_mm: float,
) -> None:
    """Plates with their bores, and on the axle the rail's walls."""
    stack = record["stack"]
    group = picture.group(f"{name} plates", PLATE)
    for side in ("outboard", "inboard"):
        panel.box(group, stack[f"{side}_z_mm"], 0.5 * bores.get(side, 2.0 * radius_mm), panel.clip_mm)
    if name != "output" or record["rail"] is None or record["rail"]["mount"] != "beside":
        return
    z0, z1 = stack["rail_z_mm"]
    wall, hole = record["rail"]["wall_mm"], 0.5 * record["rail"]["axle_hole_mm"]
    walls = picture.group("rail walls", RAIL)
    for span in ((z0, z0 + wall), (z1 - wall, z1)):
        panel.box(walls, span, hole, panel.clip_mm)


def cross(picture: Picture, panel: Panel, name: str, z: Sequence[float], low_mm: float, high_mm: float) -> None:
    """The two diagonals of a bearing's box."""
    low, high = panel.axis_mm + low_mm, panel.axis_mm + min(high_mm, panel.clip_mm)
    picture.group(name, DIMENSION).line((z[0], low), (z[1], high)).line((z[0], high), (z[1], low))


def balloons(group: Group, panel: Panel, places: Sequence[Numbered]) -> None:
    """Numbers in a row above the panel, each with a line to its part, in the order of the lines' ends and spread, so
    that no number covers another and no line crosses another."""
    height = panel.axis_mm + panel.clip_mm + 6.0 * panel.scale
    places = sorted(places, key=lambda place: place.z_mm)
    for place, z in zip(places, spread([one.z_mm for one in places], STEP * panel.scale), strict=True):
        group.line((place.z_mm, panel.axis_mm + place.radius_mm), (z, height - 2.0 * panel.scale))
        group.text(z, height, str(place.number), size=NUMBER, bold=True)


def spread(wanted: Sequence[float], step: float) -> list[float]:
    """Places in the order of the wanted ones, `step` apart at least, as near to them as a few passes bring them."""
    found = list(wanted)
    for _ in range(60):
        moved = False
        for index in range(len(found) - 1):
            short = step - (found[index + 1] - found[index])
            if short > 1e-6 * step:
                found[index] -= 0.5 * short
                found[index + 1] += 0.5 * short
                moved = True
        if not moved:
            return found
    for index in range(1, len(found)):
        found[index] = max(found[index], found[index - 1] + step)
    return found
