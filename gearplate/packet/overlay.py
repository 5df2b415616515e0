"""One picture of the whole gearbox: both plates over each other, gears, motors, wheel, rail, and what was found."""

from __future__ import annotations

from functools import partial
from typing import Any

from gearplate.drawing.pens import KEEP_OUT, RAIL
from gearplate.drawing.picture import Picture
from gearplate.geometry.boxes import Box, grown, united
from gearplate.packet.cautions import cautions
from gearplate.packet.characters import harmless
from gearplate.packet.contact_marks import contact_sample, marks_of
from gearplate.packet.labels import Label
from gearplate.packet.lines import (
    CONTACT,
    HEAD,
    LEADER,
    MOTOR_BEHIND,
    MOTOR_IN_FRONT,
    PLATE_INBOARD,
    PLATE_OUTBOARD,
    POST,
    SHAFT,
    WHEEL_IN_FRONT,
    gear_colour,
    pitch_circle,
    tip_circle,
)
from gearplate.packet.picture_items import Labels, Tinted
from gearplate.packet.picture_parts import about_the_scale, below, heading_of, numbered, stamp
from gearplate.packet.rings import ring_findings
from gearplate.packet.shapes_of import contour, covering_discs, disc, middle_and_radius, mirrored, path, seen_from_front
from gearplate.packet.sheet import Sheet, column_beside
from gearplate.packet.side_column import SMALL, Column, findings_block, title_block
from gearplate.packet.sizes import SIDE_WORDS, both, hands_of, listed, one, unit_of

NAME_SIZE, PLAIN_SIZE = 0.85, 0.75
NEAR = 0.25  # share of the picture beside it in which things to be kept free are still shown
POSTS = ("standoff", "rail spacer")
AXIS_HOLES = ("bearing_bore", "motor_pilot", "shaft_clearance")


def overlay(record: dict[str, Any]) -> Sheet:
    """Seen from the wheel: in the frame of the right-hand gearbox, or as the left one stands where only it is made."""
    hand = hands_of(record)[0]
    sign = 1.0 if hand == "right" else -1.0
    plates = {plate["plate"]: plate for plate in record["plates"] if plate["hand"] == hand}
    window = _window(record, plates, sign)
    heading = heading_of(record, "Both plates, seen from the wheel")
    picture = Picture("overlay", heading, _description(record), scale_bar=False, frame=window)
    _rail(picture, record, window)
    _plates_and_gears(picture, record, plates, sign)
    _in_front(picture, record, sign, window)
    stamp(picture, record, window)
    marks = marks_of(record, sign)
    picture.group("contacts", CONTACT).items += marks
    rings = ring_findings(picture, record, numbered(record), sign)
    features = [feature for plate in plates.values() for feature in plate["features"]]
    keep_off = [one for feature in features for one in covering_discs(feature)]
    keep_off += [mark.disc(about_the_scale(picture)) for mark in marks]
    labels = Labels(_labels(record, features, sign, window), keep_off, window, rings)
    picture.group("labels", LEADER).items.append(labels)
    below(picture, window, sign, unit_of(record))
    column = column_beside(picture)
    _write(column, record, hand)
    return Sheet(picture.svg_text(), column, cautions(record))


def _description(record: dict[str, Any]) -> str:
    shafts = [
        f"{shaft['name']} at {shaft['x_mm']:.2f} mm forward, {shaft['y_mm']:.2f} mm up" for shaft in record["shafts"]
    ]
    return f"Outline and holes of both plates with gears, motors, wheel and rail. Shafts: {'; '.join(shafts)}."


def _window(record: dict[str, Any], plates: dict[str, dict[str, Any]], sign: float) -> Box:
    """What the picture shows, mm: plates, gears, motors and the wheel itself, with a little air."""
    boxes: list[Box] = []
    for plate in plates.values():
        x0, y0, x1, y1 = plate["outline"]["bbox_mm"]
        boxes.append((x0, y0, x1, y1))
    for body in record["bodies"]:
        if body["diameter_mm"] is not None and (body["kind"] in ("gear", "motor") or body["group"] == "wheel"):
            boxes.append(_box_of(body, sign))
    boxes += (mark.extents() for mark in marks_of(record, sign))
    if not boxes:
        return -50.0, -50.0, 50.0, 50.0
    window = united(boxes)
    size = max(window[2] - window[0], window[3] - window[1])
    near = grown(window, NEAR * size)
    for body in record["bodies"]:
        if body["kind"] == "keep-out":
            shown = _common(near, _box_of(body, sign))
            if shown is not None:
                whole = _box_of(body, sign)
                small = max(whole[2] - whole[0], whole[3] - whole[1]) <= size
                window = united([window, whole if small else shown])
    return grown(window, 0.02 * size)


def _box_of(body: dict[str, Any], sign: float) -> Box:
    """The box round a body."""
    if body["box_mm"] is not None:
        x0, y0, x1, y1 = body["box_mm"]
        return mirrored((x0, y0, x1, y1), sign)
    x, y = sign * body["x_mm"], body["y_mm"]
    return grown((x, y, x, y), 0.5 * body["diameter_mm"])


def _common(a: Box, b: Box) -> Box | None:
    """Where two boxes overlap."""
    box = max(a[0], b[0]), max(a[1], b[1]), min(a[2], b[2]), min(a[3], b[3])
    return box if box[0] < box[2] and box[1] < box[3] else None


def _rail(picture: Picture, record: dict[str, Any], window: Box) -> None:
    """The rail runs through the whole picture, however long it is."""
    for body in record["bodies"]:
        if body["kind"] == "rail" and body["box_mm"] is not None:
            low, high = max(body["box_mm"][1], window[1]), min(body["box_mm"][3], window[3])
            if low < high:
                picture.group("rail", RAIL).box(window[0], low, window[2], high)


def _plates_and_gears(picture: Picture, record: dict[str, Any], plates: dict[str, dict[str, Any]], sign: float) -> None:
    """From the outboard plate to the inboard one, and what lies behind that."""
    outboard, inboard = plates.get("outboard"), plates.get("inboard")
    if outboard is not None:
        group = picture.group("outboard plate", PLATE_OUTBOARD)
        group.area(path(outboard["outline"]["vertices"]), *(contour(feature) for feature in outboard["features"]))
    shafts = {shaft["name"]: shaft for shaft in record["shafts"]}
    for stage in sorted({gear["stage"] for gear in record["gears"]}):
        gears = [gear for gear in record["gears"] if gear["stage"] == stage]
        tips = picture.group(f"gears {stage}", tip_circle(stage))
        pitch = picture.group(f"pitch circles {stage}", pitch_circle(stage))
        for gear in gears:
            shaft = shafts[gear["shaft"]]
            place = {"x_mm": shaft["x_mm"], "y_mm": shaft["y_mm"]}
            tips.items.append(Tinted(disc({**place, "diameter_mm": gear["tip_diameter_mm"]}, sign), gear_colour(stage)))
            pitch.add(disc({**place, "diameter_mm": gear["reference_diameter_mm"]}, sign))
    posts = [body for body in record["bodies"] if body["kind"] in POSTS]
    if posts:
        group = picture.group("posts", POST)
        group.add(*(disc(body, sign) for body in posts))
    heads = [body for body in record["bodies"] if body["kind"] == "screw head"]
    picture.group("heads", HEAD).add(*(disc(body, sign) for body in heads))
    axes = [body for body in record["bodies"] if body["kind"] in ("shaft", "motor shaft")]
    picture.group("shafts", SHAFT).add(*(disc(body, sign) for body in axes))
    if inboard is not None:
        common = {feature["id"] for feature in outboard["features"]} if outboard is not None else set()
        group = picture.group("inboard plate", PLATE_INBOARD)
        group.add(path(inboard["outline"]["vertices"]))
        group.add(*(contour(feature) for feature in inboard["features"] if feature["id"] not in common))


def _in_front(picture: Picture, record: dict[str, Any], sign: float, window: Box) -> None:
    """Motors, wheel and what is to be kept free."""
    sides = {motor["name"]: motor["side"] for motor in record["motors"]}
    for side, pen in (("outboard", MOTOR_IN_FRONT), ("inboard", MOTOR_BEHIND)):
        motors = [body for body in record["bodies"] if body["kind"] == "motor" and sides.get(body["name"]) == side]
        if motors:
            group = picture.group(f"motors {side}", pen)
            group.items += (Tinted(seen_from_front(body, sign), pen.stroke or "none", 0.07) for body in motors)
    for body in record["bodies"]:
        if body["kind"] == "wheel" and body["group"] == "wheel":
            picture.group("wheel", WHEEL_IN_FRONT).add(disc(body, sign))
    free = [body for body in record["bodies"] if body["kind"] == "keep-out"]
    if free:
        group = picture.group("keep-outs", KEEP_OUT)
        for body in free:
            whole = _box_of(body, sign)
            shown = _common(window, whole)
            if shown is None:
                continue
            if body["box_mm"] is None and shown == whole:
                group.add(disc(body, sign))
            else:  # what reaches out of the picture is drawn as far as the picture goes
                group.box(*shown)


def _labels(record: dict[str, Any], features: list[dict[str, Any]], sign: float, window: Box) -> list[Label]:
    unit = unit_of(record)
    teeth: dict[str, list[str]] = {}
    for gear in record["gears"]:
        teeth.setdefault(gear["shaft"], []).append(str(gear["teeth"]))
    middle = 0.5 * (window[0] + window[2]), 0.5 * (window[1] + window[3])
    labels = []
    for shaft in record["shafts"]:
        name = shaft["name"]
        holes = [middle_and_radius(f)[2] for f in features if f["shaft"] == name and f["kind"] in AXIS_HOLES]
        lines = (name, f"{listed(teeth[name])} teeth") if name in teeth else (name,)
        x, y = sign * shaft["x_mm"], shaft["y_mm"]
        outward = (x - middle[0], y - middle[1])
        labels.append(Label(lines, x, y, max(holes, default=3.0), NAME_SIZE, True, away=outward))
    for feature in {feature["id"]: feature for feature in features if feature["kind"] == "own"}.values():
        x, y, radius = middle_and_radius(feature)
        labels.append(Label((harmless(feature["id"], 24),), x, y, radius, PLAIN_SIZE))
    for body in record["bodies"]:
        if body["kind"] == "wheel" and body["group"] == "wheel":
            y = body["y_mm"] - 0.5 * body["diameter_mm"]
            labels.append(Label((f"wheel {one(body['diameter_mm'], unit)}",), sign * body["x_mm"], y, 1.0, PLAIN_SIZE))
        elif body["kind"] == "rail" and body["box_mm"] is not None:
            y = 0.5 * (body["box_mm"][1] + body["box_mm"][3])
            labels.append(Label(("rail",), _beside(features, window), y, 1.0, PLAIN_SIZE))
        elif body["kind"] == "keep-out":
            shown = _common(window, _box_of(body, sign))
            if shown is not None:
                x, y = 0.5 * (shown[0] + shown[2]), 0.5 * (shown[1] + shown[3])
                radius = 0.5 * min(shown[2] - shown[0], shown[3] - shown[1])
                labels.append(Label((harmless(body["name"], 24),), x, y, radius, PLAIN_SIZE, inside=True))
    return labels


def _beside(features: list[dict[str, Any]], window: Box) -> float:
    """x in the middle of the wider strip that the plates leave free, left or right of all their holes."""
    left = min((feature["bbox_mm"][0] for feature in features), default=window[2])
    right = max((feature["bbox_mm"][2] for feature in features), default=window[0])
    if left - window[0] >= window[2] - right:
        return 0.65 * window[0] + 0.35 * left
    return 0.35 * right + 0.65 * window[2]


def _write(column: Column, record: dict[str, Any], hand: str) -> None:
    """The column: title, train, what the lines mean, findings, what to mind."""
    unit = unit_of(record)
    other = "left" if hand == "right" else "right"
    mirror = f"; the {other} one is its mirror image" if len(hands_of(record)) > 1 else ""
    title_block(column, record, f"{hand} hand{mirror}")
    if record["train"]["ratio"] is not None:
        column.gap(0.8)
        column.text(f"{record['train']['ratio']:.6g} : 1 from motor to wheel", bold=True)
    told: list[str] = []
    for mesh in record["train"]["meshes"]:
        text = (
            f"stage {mesh['stage']}: {mesh['driver_teeth']} on {mesh['driven_teeth']}, {both(mesh['centre_mm'], unit)}"
        )
        if text not in told:
            told.append(text)
            column.text(text, SMALL)
    column.heading("Lines")
    _legend(column, record)
    findings_block(column, numbered(record), len(record["findings"]))


def _legend(column: Column, record: dict[str, Any]) -> None:
    kinds = {body["kind"] for body in record["bodies"]}
    sides = {motor["side"] for motor in record["motors"]}
    plates = {plate["plate"] for plate in record["plates"]}
    if "outboard" in plates:
        column.swatch("outboard plate, toward the wheel", PLATE_OUTBOARD)
    if "inboard" in plates:
        column.swatch("inboard plate, behind the gears", PLATE_INBOARD)
    for stage in sorted({gear["stage"] for gear in record["gears"]}):
        column.swatch(f"stage {stage}: outside, pitch circle", tip_circle(stage), pitch_circle(stage), disc=True)
    if "outboard" in sides:
        column.swatch(f"motor {SIDE_WORDS['outboard']}", MOTOR_IN_FRONT, disc=True)
    if "inboard" in sides:
        column.swatch(f"motor {SIDE_WORDS['inboard']}", MOTOR_BEHIND, disc=True)
    if "wheel" in kinds:
        column.swatch("wheel, in front of all", WHEEL_IN_FRONT, disc=True)
    if "rail" in kinds:
        column.swatch("rail", RAIL)
    if kinds & set(POSTS):
        column.swatch("standoffs and spacers", POST, disc=True)
    if "keep-out" in kinds:
        column.swatch("to be kept free", KEEP_OUT)
    marks = marks_of(record, 1.0)
    for held, text in ((True, "contact that holds a placed shaft"), (False, "contact with room to spare")):
        if any(mark.filled is held for mark in marks):
            column.sample(text, CONTACT, partial(contact_sample, held))
