"""The section along every shaft: to scale, dimensioned, with a list of what is cut to which length."""

from __future__ import annotations

from typing import Any

from gearplate.drawing.pens import DIMENSION
from gearplate.drawing.picture import Picture
from gearplate.packet.cautions import cautions
from gearplate.packet.characters import harmless
from gearplate.packet.picture_parts import below, heading_of
from gearplate.packet.saw_list import cut_rows, screw_rows
from gearplate.packet.section_panels import (
    GEAR,
    SHAFT,
    SOLID,
    Numbered,
    Panel,
    axis,
    balloons,
    draw_shaft,
    surroundings,
)
from gearplate.packet.sheet import Sheet, column_beside
from gearplate.packet.side_column import SMALL, Column, title_block
from gearplate.packet.sizes import bare, listed, one, unit_of, unit_word

ABOVE, UNDER = 10.0, 17.0  # page mm over a panel for its numbers, and under it for its dimensions
FIRST, SECOND = -6.5, -13.2  # page mm from the axis to the two lines of dimensions
PAGE_WIDTH, PAGE_HEIGHT = 172.0, 178.0  # page mm that the panels may fill
MOTOR_SHOWN_MM = 12.0  # of a motor's body
OVER_MM = 3.0  # of plate that is drawn beyond the widest bearing


def section(record: dict[str, Any]) -> Sheet | None:
    """Every shaft in half section with its motor's pinion; None where nothing was laid out."""
    axial = record.get("axial")
    if axial is None:
        return None
    shafts, pinions = axial["shafts"], _unlike(record)
    low, high = _reach(record)
    clip = _clip(record)
    panels = len(shafts) + len(pinions)
    scale = max(
        (high - low) / PAGE_WIDTH, panels * clip / (PAGE_HEIGHT - panels * (ABOVE + UNDER)) if panels < 7 else 1
    )
    step = clip + (ABOVE + UNDER) * scale
    window = (low, -UNDER * scale, high, (panels - 1) * step + clip + ABOVE * scale)
    unit = unit_of(record)
    heading = heading_of(record, f"Section along every shaft, lengths in {unit_word(unit)}")
    picture = Picture("section", heading, _description(axial), scale_bar=False, frame=window)
    number = 1
    column = column_beside(picture)
    title_block(
        column,
        record,
        f"Lengths in {unit_word(unit)}. Upper halves, the wheel to the right; wide parts broken off. The float lies "
        "half on each side. Measure the sheet before you saw.",
    )
    for index, shaft in enumerate(shafts):
        panel = Panel((panels - 1 - index) * step, clip, scale)
        draw_shaft(picture, panel, record, shaft, number)
        _dimensions(picture, panel, record, shaft)
        _listed(column, record, shaft, number)
        number += len(shaft["parts"])
    for index, pinion in enumerate(pinions):
        panel = Panel((panels - 1 - len(shafts) - index) * step, clip, scale)
        _motor(picture, panel, record, pinion, number)
        column.heading(f"{listed(pinion['motors'])}: pinion")
        column.row([(0.0, str(number)), (7.0, "from motor's face"), (-column.width, _span(record, pinion))], SMALL)
        column.row([(7.0, "of its face on the shaft"), (-column.width, one(pinion["held_mm"], unit))], SMALL)
        number += 1
    below(picture, window, 0, unit)
    _bought(column, record)
    return Sheet(picture.svg_text(), column, cautions(record))


def _description(axial: dict[str, Any]) -> str:
    cut = [f"{shaft['shaft']} {shaft['cut_length_mm']:.2f} mm" for shaft in axial["shafts"]]
    return f"Half sections of all shafts with bearings, gears, spacers and retainers. Cut lengths: {'; '.join(cut)}."


def _unlike(record: dict[str, Any]) -> list[dict[str, Any]]:
    """Pinions that sit in the same way on the same kind of motor, once, with the motors' names."""
    kinds = {motor["name"]: (motor["type"], motor["side"]) for motor in record["motors"]}
    found: dict[tuple[object, ...], dict[str, Any]] = {}
    for pinion in record["axial"]["pinions"]:
        key = (*kinds[pinion["motor"]], *pinion["from_face_mm"])
        found.setdefault(key, {**pinion, "motors": []})["motors"].append(pinion["motor"])
    return list(found.values())


def _bodies(record: dict[str, Any], motor: str) -> dict[str, dict[str, Any]]:
    return {
        body["kind"]: body
        for body in record["bodies"]
        if body["shaft"] == motor and body["kind"] in ("motor", "pilot boss", "motor shaft", "gear")
    }


def _reach(record: dict[str, Any]) -> tuple[float, float]:
    """Least and greatest z that is drawn, with room for numbers."""
    ends = [z for shaft in record["axial"]["shafts"] for z in shaft["z_mm"]]
    for body in record["bodies"]:
        if body["kind"] == "motor shaft":
            ends += body["z_mm"]
    return min(ends) - 6.0, max(*ends, MOTOR_SHOWN_MM) + 6.0


def _clip(record: dict[str, Any]) -> float:
    """How far from the axis parts are drawn: all of every bearing and pilot, a little plate round them."""
    widest = [
        part["outside_mm"]
        for shaft in record["axial"]["shafts"]
        for part in shaft["parts"]
        if part["kind"] in ("bearing", "spacer", "retainer")
    ]
    widest += [body["diameter_mm"] for body in record["bodies"] if body["kind"] == "pilot boss"]
    return 0.5 * max(widest, default=30.0) + OVER_MM


def _dimensions(picture: Picture, panel: Panel, record: dict[str, Any], shaft: dict[str, Any]) -> None:
    """The cut length under the shaft; under that the gap between the plates, and the longest spacers."""
    unit = unit_of(record)
    group = picture.group(f"{shaft['shaft']} dimensions", DIMENSION)
    z0, z1 = shaft["z_mm"]
    y = panel.axis_mm
    group.dimension((z0, y), (z1, y), f"{shaft['shaft']}: {one(shaft['cut_length_mm'], unit)}", SECOND * panel.scale)
    inner, outer = record["stack"]["inboard_z_mm"][1], record["stack"]["outboard_z_mm"][0]
    group.dimension((inner, y), (outer, y), bare(outer - inner, unit), FIRST * panel.scale)
    for part in shaft["parts"]:
        if part["kind"] == "spacer" and part["length_mm"] > 26.0 * panel.scale:
            low, high = part["z_mm"]
            group.dimension((low, y), (high, y), bare(part["length_mm"], unit), FIRST * panel.scale)


def _span(record: dict[str, Any], pinion: dict[str, Any]) -> str:
    unit = unit_of(record)
    return f"{bare(pinion['from_face_mm'][0], unit)} to {one(pinion['from_face_mm'][1], unit)}"


def _motor(picture: Picture, panel: Panel, record: dict[str, Any], pinion: dict[str, Any], number: int) -> None:
    """A motor's shaft with its pilot boss and pinion; of its body only what is next to the plate."""
    name, parts = pinion["motor"], _bodies(record, pinion["motor"])
    body, boss, bar, gear = parts["motor"], parts["pilot boss"], parts["motor shaft"], parts["gear"]
    side = next(motor["side"] for motor in record["motors"] if motor["name"] == name)
    outward = side == "outboard"
    radius = 0.5 * bar["diameter_mm"]
    other = "inboard" if outward else "outboard"
    bores = {side: boss["diameter_mm"], other: 2.0 * panel.clip_mm}
    surroundings(picture, panel, record, name, bores, radius)
    face = body["z_mm"][0] if outward else body["z_mm"][1]
    shown = (face, face + MOTOR_SHOWN_MM) if outward else (face - MOTOR_SHOWN_MM, face)
    group = picture.group(f"{name} body", SOLID)
    panel.box(group, shown, 0.0, 0.5 * body["diameter_mm"])
    panel.box(group, boss["z_mm"], radius, 0.5 * boss["diameter_mm"])
    panel.box(picture.group(f"{name} bar", SHAFT), bar["z_mm"], 0.0, radius)
    panel.box(picture.group(f"{name} pinion", GEAR), gear["z_mm"], radius, 0.5 * gear["diameter_mm"])
    ends = sorted((*bar["z_mm"], *shown))
    axis(picture, panel, name, (ends[0], ends[-1]))
    middle = 0.5 * (gear["z_mm"][0] + gear["z_mm"][1])
    balloons(picture.group(f"{name} numbers", DIMENSION), panel, [Numbered(number, middle, radius + 1.0)])
    unit = unit_of(record)
    y = panel.axis_mm
    near, far = (gear["z_mm"][1], gear["z_mm"][0]) if outward else (gear["z_mm"][0], gear["z_mm"][1])
    dims = picture.group(f"{name} dimensions", DIMENSION)
    dims.dimension((min(face, far), y), (max(face, far), y), bare(abs(far - face), unit), SECOND * panel.scale)
    # too short for its figure: that stands beside it, under the motor
    dims.dimension((min(face, near), y), (max(face, near), y), "", FIRST * panel.scale)
    beside = 2.0 * panel.scale if outward else -2.0 * panel.scale
    figure = bare(abs(near - face), unit)
    dims.text(face + beside, y + FIRST * panel.scale, figure, anchor="start" if outward else "end")


def _listed(column: Column, record: dict[str, Any], shaft: dict[str, Any], first: int) -> None:
    unit = unit_of(record)
    column.heading(f"{shaft['shaft']}: {harmless(shaft['stock'], 24)}")
    column.row([(7.0, "cut to"), (-column.width, one(shaft["cut_length_mm"], unit))], SMALL, bold=True)
    for index, part in enumerate(shaft["parts"]):
        name = harmless(part["name"].removeprefix(f"{shaft['shaft']} "), 30)
        told = bare(part["length_mm"], unit)
        column.row(
            [(0.0, str(first + index)), (7.0, name), (-column.width, told)], SMALL, bold=part["kind"] == "spacer"
        )
    if shaft["float_mm"] is None:
        column.text("spacers beside the blocks and float along it: set on the bench", SMALL, 7.0)
    else:
        column.text(f"float along it {one(shaft['float_mm'], unit)}", SMALL, 7.0)


def _bought(column: Column, record: dict[str, Any]) -> None:
    column.heading("Posts and screws")
    for count, what, told in (*cut_rows(record, shafts=False), *screw_rows(record)):
        column.text(f"{count} × {what}: {told}" if told else f"{count} × {what}", SMALL)
