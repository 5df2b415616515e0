"""A preview of one plate as it lies in the cutter: what will be left after cutting, with names and sizes."""

from __future__ import annotations

import math
from typing import Any

from gearplate.drawing.pens import DIMENSION, HOLE
from gearplate.drawing.picture import Picture
from gearplate.geometry.boxes import Box, grown
from gearplate.geometry.segments import length, point_at, segments
from gearplate.geometry.shapes import Path
from gearplate.packet.cautions import cutting_cautions
from gearplate.packet.characters import harmless
from gearplate.packet.labels import Label
from gearplate.packet.lines import ETCH, LEADER, PLATE_CUT
from gearplate.packet.picture_items import Labels
from gearplate.packet.picture_parts import below, heading_of, numbered, stamp
from gearplate.packet.rings import place_of, ring_findings
from gearplate.packet.shapes_of import contour, covering_discs, middle_and_radius, path, strokes
from gearplate.packet.sheet import Sheet, column_beside
from gearplate.packet.side_column import SMALL, Column, findings_block, title_block
from gearplate.packet.sizes import bare, counted, kerf_origin, other, roughly, size, unit_of, unit_word
from gearplate.units import Unit

LABEL_SIZE, CROWDED_SIZE, CROWDED = 0.72, 0.58, 30
MOST_SIZES = 16
OUTLINE_STEP_MM = 4.0


def sheet_sign(plate: dict[str, Any]) -> float:
    """-1 where the plate lies turned over: x of the file is x of the frame negated."""
    return -1.0 if plate["turned"] else 1.0


def findings_on(record: dict[str, Any], plate: dict[str, Any]) -> list[tuple[int, dict[str, Any]]]:
    """The findings that concern a plate: those that name it, or one of its own holes and no other plate."""
    names = {feature["id"] for feature in plate["features"]}
    return [
        (number, finding)
        for number, finding in numbered(record)
        if finding["where"]["plate"] == plate["plate"]
        or (finding["where"]["plate"] is None and names.intersection(finding["where"]["features"]))
    ]


def plate_picture(record: dict[str, Any], plate: dict[str, Any]) -> Sheet:
    """The preview of one of the record's plates."""
    sign = sheet_sign(plate)
    x0, y0, x1, y1 = plate["drawn"]["bbox_mm"]
    window: Box = (x0, y0, x1, y1)
    unit = unit_of(record)
    heading = heading_of(
        record, f"{plate['plate'].capitalize()} plate as it lies in the cutter, {plate['face_up']} face up"
    )
    name = f"{plate['plate']}-{plate['hand']}"
    picture = Picture(name, heading, _description(plate, unit), scale_bar=False, frame=window)
    features = plate["features"]
    shapes = [contour(feature, sign) for feature in features]
    picture.group("plate", PLATE_CUT).area(path(plate["outline"]["vertices"], sign), *shapes)
    picture.group("holes", HOLE).add(*shapes)
    etched = picture.group("etched", ETCH)
    for mark in plate["marks"]:
        etched.add(*strokes(mark))
    stamp(picture, record, window)
    hand_sign = 1.0 if plate["hand"] == "right" else -1.0
    chosen = findings_on(record, plate)
    marks = [_mark_box(mark) for mark in plate["marks"]]
    placed = [one for one in chosen if place_of(record, one[1])]
    rings = ring_findings(picture, record, placed, sign * hand_sign, marks)
    discs = [middle_and_radius(feature, sign) for feature in features]
    letter = LABEL_SIZE if len(features) <= CROWDED else CROWDED_SIZE
    middle = 0.5 * (x0 + x1), 0.5 * (y0 + y1)
    # the smallest holes have the least room of their own and come first; slots and windows can be reached from afar
    in_turn = sorted(zip(features, discs, strict=True), key=lambda one: (one[0]["form"] != "circle", one[1][2]))
    labels = [_label(feature, disc, letter, middle, unit) for feature, disc in in_turn]
    covered = [disc for feature in features for disc in covering_discs(feature, sign)]
    keep_off = [*covered, *_along(path(plate["outline"]["vertices"], sign))]
    picture.group("names", LEADER).items.append(Labels(labels, keep_off, _room(window), rings, marks))
    wide, high = size(x1 - x0, y1 - y0, unit).split(" × ")
    unit_name = high.split()[1]
    sides = picture.group("sizes", DIMENSION)
    sides.dimension((x0, y0), (x1, y0), f"{wide} {unit_name}", -0.06 * (x1 - x0))
    sides.dimension((x0, y0), (x0, y1), high, 0.06 * (x1 - x0))
    below(picture, (x0, y0 - 0.075 * (x1 - x0), x1, y1), 0.0, unit)
    column = column_beside(picture)
    _write(column, record, plate, chosen)
    return Sheet(picture.svg_text(), column, cutting_cautions(record))


def _description(plate: dict[str, Any], unit: Unit) -> str:
    sizes = "; ".join(f"{harmless(feature['id'])} {_size_of(feature, unit)}" for feature in plate["features"])
    return f"Outline of the finished plate with its holes, in {unit_word(unit)}: {sizes}."


def _size_of(feature: dict[str, Any], unit: Unit) -> str:
    """A diameter as `bare` tells it; extents to one decimal less."""
    if feature["form"] == "window" or feature["finished_diameter_mm"] is None:
        x0, y0, x1, y1 = feature["bbox_mm"]
        return f"{roughly(x1 - x0, unit)} × {roughly(y1 - y0, unit)}"
    wide = bare(feature["finished_diameter_mm"], unit)
    if feature["form"] == "slot":
        return f"{wide} × {roughly(feature['length_mm'] + feature['finished_diameter_mm'], unit)}"
    return f"Ø {wide}"


def _label(
    feature: dict[str, Any], disc: tuple[float, float, float], letter: float, middle: tuple[float, float], unit: Unit
) -> Label:
    lines = (harmless(feature["id"], 24), _size_of(feature, unit))
    return Label(lines, *disc, size=letter, inside=True, away=(middle[0] - disc[0], middle[1] - disc[1]))


def _room(window: Box) -> Box:
    """Where names may stand: the plate's box, and beside it where no dimension does."""
    wide = window[2] - window[0]
    return window[0], window[1], window[2] + 0.2 * wide, window[3] + 0.06 * wide


def _mark_box(mark: dict[str, Any]) -> Box:
    """The box round what is etched."""
    xs = [x for stroke in mark["strokes_mm"] for x, _ in stroke]
    ys = [y for stroke in mark["strokes_mm"] for _, y in stroke]
    return grown((min(xs), min(ys), max(xs), max(ys)), 0.3) if xs else (0.0, 0.0, 0.0, 0.0)


def _along(outline: Path) -> list[tuple[float, float, float]]:
    """Small discs along an outline, so that names are not written across it where there is room beside it."""
    discs = []
    for piece in segments(outline):
        steps = max(1, math.ceil(length(piece) / OUTLINE_STEP_MM))
        discs += [(*point_at(piece, step / steps), 0.4) for step in range(steps)]
    return discs


def _write(
    column: Column, record: dict[str, Any], plate: dict[str, Any], chosen: list[tuple[int, dict[str, Any]]]
) -> None:
    unit = unit_of(record)
    twin = "; fits both hands" if plate["fits_both_hands"] else ""
    title_block(column, record, f"{plate['plate']} plate, {plate['hand']} hand{twin}")
    column.heading("In the cutter")
    measured = "measured" if plate["thickness_measured"] else "not measured"
    column.text(f"{harmless(plate['material'], 30)}, {plate['thickness_mm']:.2f} mm thick ({measured})", SMALL)
    column.text(f"{plate['face_up']} face up", SMALL, bold=True)
    width, height = plate["drawn"]["size_mm"]
    column.text("The machine's screen must show", SMALL)
    column.text(size(width, height, unit), bold=True)
    column.text(f"({size(width, height, other(unit))})", SMALL)
    for sentence in cut_sentences(plate, kerf_origin(record, plate)):
        column.text(sentence, SMALL)
    cut = plate["drawn"]
    column.text(f"{counted(cut['pierces'], 'pierce')}, {cut['cut_length_mm'] / 1000:.2f} m of cut", SMALL)
    column.heading(f"Holes, finished and drawn ({unit_word(unit)})")
    _sizes(column, plate, unit)
    findings_block(column, chosen, len(record["findings"]))


def kerf_sentence(plate: dict[str, Any], origin: str = "") -> str:
    """Whether kerf is in the lines, in words that cannot be taken the other way round."""
    kerf = f"{plate['kerf_mm']:.3f} mm"
    if plate["kerf_x_mm"] != plate["kerf_y_mm"]:
        kerf = f"{plate['kerf_x_mm']:.3f} mm along x, {plate['kerf_y_mm']:.3f} mm along y"
    kerf += f", {origin}" if origin else ""
    if plate["machine_compensates"]:
        return f"Kerf is NOT in the lines: they are finished sizes, and the machine makes up for {kerf}."
    return f"Kerf ({kerf}) IS in the lines: cut on them, with no compensation at the machine."


def cut_sentences(plate: dict[str, Any], origin: str = "") -> list[str]:
    """What whoever runs the cutter must know of the lines: kerf, taper, scale, and what lightening took out. `origin`:
    where the kerf comes from, unless it was measured."""
    sentences = [kerf_sentence(plate, origin)]
    if origin:
        sentences.append("Nobody measured that kerf on this cutter: cut a coupon and measure before cutting a plate.")
    wider = plate["taper_mm_per_mm"] * plate["thickness_mm"]
    if wider > 0.0:
        sentences.append(
            f"Finished sizes hold at the narrower, lower face; at the upper one holes are {wider:.3f} mm wider."
        )
    if (plate["scale_x"], plate["scale_y"]) != (1.0, 1.0):
        sentences.append(
            f"The lines are drawn {plate['scale_x']:.5f} times along x and {plate['scale_y']:.5f} times along y, "
            "because the cutter's table asks for its scale to be corrected in the file."
        )
    if plate["mass_saved_kg"] > 0.0:
        sentences.append(f"Lightening windows save {1000.0 * plate['mass_saved_kg']:.0f} g.")
    return sentences


def size_groups(plate: dict[str, Any], unit: Unit) -> list[tuple[str, str, str, list[str]]]:
    """Holes of one size together: finished, drawn, finished in the other unit, names; the largest first."""
    groups: dict[tuple[float, str, str, str], list[str]] = {}
    for feature in plate["features"]:
        drawn = feature["path_diameter_mm"]
        key = (
            -(feature["finished_diameter_mm"] or 1e6),
            _size_of(feature, unit),
            "" if drawn is None else bare(drawn, unit) + (" wide" if feature["form"] == "slot" else ""),
            _size_of(feature, other(unit)),
        )
        groups.setdefault(key, []).append(harmless(feature["id"], 24))
    return [(finished, drawn, again, names) for (_, finished, drawn, again), names in sorted(groups.items())]


def names_in_short(names: list[str]) -> str:
    """ "rail-1 to rail-4, standoff-1": runs of numbered names are drawn together."""
    parts: list[str] = []
    index = 0
    while index < len(names):
        last = index
        while last + 1 < len(names) and _follows(names[last], names[last + 1]):
            last += 1
        if last - index >= 2:
            parts.append(f"{names[index]} to {names[last].rpartition('-')[2]}")
        else:
            parts += names[index : last + 1]
        index = last + 1
    return ", ".join(parts)


def _follows(name: str, following: str) -> bool:
    stem, _, number = name.rpartition("-")
    next_stem, _, next_number = following.rpartition("-")
    digits = number.isascii() and number.isdigit() and next_number.isascii() and next_number.isdigit()
    return bool(stem) and stem == next_stem and digits and int(next_number) == int(number) + 1


def _sizes(column: Column, plate: dict[str, Any], unit: Unit) -> None:
    """Who draws in inches measures in mm as often as not: the finished size stands there in both."""
    groups = size_groups(plate, unit)
    for finished, drawn, again, names in groups[:MOST_SIZES]:
        column.row([(0.0, finished), (29.0, drawn), (-column.width, f"{len(names)} ×")], SMALL, bold=True)
        beside = f"{again} mm: " if unit == "inch" else ""
        column.text(f"{beside}{names_in_short(names)}", SMALL, 2.0)
    if len(groups) > MOST_SIZES:
        column.text(f"and {len(groups) - MOST_SIZES} more sizes in the record", SMALL)
