"""Where the lettering stands: many places are tried, text is shortened before it is dropped, what finds no place is
listed."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

import numpy as np

from gearplate.geometry.path import area
from gearplate.geometry.shapes import Path
from gearplate.layout.design import Body, BodyKind, GearOnShaft, HoleKind, Layout
from gearplate.layout.spec import Side
from gearplate.plate.contours import contour
from gearplate.plate.mark_shapes import arrow_room_mm, sign_room_mm, text_room_mm
from gearplate.plate.plate import Feature, Mark
from gearplate.plate.room import Centres, Rect, Room
from gearplate.plate.spec import Identity, PlateSpec

LEAST_LETTER_MM = 3.0
KEEP_MM = 2.0  # from letters to every cut
FIT_ROOM_MM = 0.3  # a finished hole may be this much wider than what goes in, half on each side, and still keep 2 mm
BETWEEN_MM = 2.5  # between marks
TOUCH_MM = 0.3  # what comes so near to the face counts as touching it
GRID_MM = 2.5
LINE_PITCH = 1.6  # of a block of lines, in letter heights
NAMED_WITHIN_MM = (0.0, 2.0, 4.0, 7.0, 11.0, 15.0, 20.0)  # how far past its hole a shaft's name may stand
PART_LENGTHS = (24, 16, 12, 8, 5, 3)
NAME_ANGLES = 24
DRAFT = "DRAFT"
LINE_AREA_MM2 = 250.0  # about what a short line with its clearances takes

_NAMED_HOLES = (HoleKind.BEARING_BORE, HoleKind.MOTOR_PILOT, HoleKind.SHAFT_CLEARANCE)


@dataclass(frozen=True, slots=True)
class Line:
    """One line of lettering that is wanted: the longest wording first, each for the right and the left hand."""

    id: str
    kind: str
    wordings: tuple[tuple[str, str], ...]

    def room_mm(self, wording: int, height_mm: float) -> tuple[float, float]:
        sizes = [text_room_mm(text, height_mm) for text in self.wordings[wording]]
        return max(width for width, _ in sizes), height_mm


def touching(layout: Layout, side: Side, face_up: Side) -> tuple[Body, ...]:
    """The bodies that touch the face that lies up (whichever else they pass through)."""
    low, high = layout.stack.plate(side)
    face, away = (high, 1.0) if face_up is Side.OUTBOARD else (low, -1.0)
    near, far = sorted((face, face + away * TOUCH_MM))
    return tuple(
        body for body in layout.bodies if body.kind is not BodyKind.PLATE and body.z0_mm <= far and body.z1_mm >= near
    )


def lines_for(identity: Identity, side: Side, face_up: Side) -> tuple[Line, ...]:
    """Part and revision, plate and hand, which face is up."""
    part, revision = identity.part.upper(), identity.revision.upper()
    parts = [f"{part} {revision}"] + [f"{part[:length]}.. {revision}" for length in PART_LENGTHS if length < len(part)]
    name, face = side.value.upper(), face_up.value.upper()
    short = {"OUTBOARD": "OUTB", "INBOARD": "INB"}
    return (
        Line("part", "text", tuple((text, text) for text in parts)),
        Line(
            "plate",
            "text",
            (
                (f"{name} RIGHT", f"{name} LEFT"),
                (f"{short[name]} RIGHT", f"{short[name]} LEFT"),
                (f"{short[name]} R", f"{short[name]} L"),
            ),
        ),
        Line("face", "text", tuple((text, text) for text in (f"{face} FACE UP", f"{short[face]} UP"))),
    )


def place_marks(
    layout: Layout,
    wishes: PlateSpec,
    side: Side,
    face_up: Side,
    outline: Path,
    features: Sequence[Feature],
    give_up: bool = False,
) -> tuple[tuple[Mark, ...], tuple[str, ...]]:
    """The marks of one plate, and in words those that found no place. Without marks asked for, only the word for
    drafts is given a place. `give_up`: stop once something is missing that must stand."""
    bodies = touching(layout, side, face_up)
    room = Room(
        outline,
        [contour(feature) for feature in features],
        KEEP_MM + FIT_ROOM_MM,
        [(body.x_mm, body.y_mm, body.radius_mm) for body in bodies if body.box is None],
        [body.box for body in bodies if body.box is not None],
    )
    maker = MarkMaker(layout, room, wishes, side, face_up)
    if wishes.marks:
        maker.general()
        if not (give_up and must_stand(maker.unplaced)):
            maker.shaft_names(features, bodies)
            maker.draft()
    else:
        maker.draft()
    return tuple(maker.marks), tuple(maker.unplaced)


def must_stand(unplaced: Sequence[str]) -> bool:
    """Whether something is missing without which a plate cannot be told from its twin: everything but the names of
    shafts, tooth counts and the word for drafts."""
    return any(text != DRAFT and not text.startswith(("name of ", "tooth counts of ")) for text in unplaced)


def less_one(windows: Sequence[Feature]) -> list[Feature]:
    """The lightening windows without the smallest that can hold a line of lettering (else without the largest)."""
    sized = sorted((area(window.path), index) for index, window in enumerate(windows) if window.path is not None)
    roomy = [(size, index) for size, index in sized if size >= LINE_AREA_MM2]
    _, gone = roomy[0] if roomy else sized[-1]
    return [window for index, window in enumerate(windows) if index != gone]


class MarkMaker:
    """Places the marks of one plate, one after the other, in the room that is left."""

    def __init__(self, layout: Layout, room: Room, wishes: PlateSpec, side: Side, face_up: Side) -> None:
        self.layout, self.room, self.side, self.face_up = layout, room, side, face_up
        self.height = max(LEAST_LETTER_MM, wishes.letter_height_mm)
        self.identity = wishes.identity
        self.grid = room.grid(GRID_MM)
        self.marks: list[Mark] = []
        self.unplaced: list[str] = []

    def general(self) -> None:
        """Title lines and arrows."""
        lines = lines_for(self.identity, self.side, self.face_up)
        if not self._block(lines):
            for line in lines:
                self._line(line, self.grid)
        self._arrow("forward", "FWD", 0.0)
        self._arrow("up", "UP", 0.5 * math.pi)
        self._out()

    def draft(self) -> None:
        """The word that a cut file of a refused design carries."""
        self._line(Line("draft", "draft", ((DRAFT, DRAFT),)), self.grid)

    def shaft_names(self, features: Iterable[Feature], touching_bodies: Sequence[Body]) -> None:
        """Each shaft's name with its tooth counts beside its hole, nearer to it than to any other shaft's."""
        holes = [feature for feature in features if feature.kind in _NAMED_HOLES and feature.shaft]
        holes.sort(key=lambda feature: feature.shaft or "")
        seen: set[str] = set()
        for hole in holes:
            name = hole.shaft or ""
            if name in seen:
                continue
            seen.add(name)
            counts = " ".join(f"{gear.gear.teeth}T" for gear in _outboard_first(self.layout, name))
            full = f"{name.upper()} {counts}".strip()
            for text in dict.fromkeys((full, name.upper())):
                if self._beside(hole, holes, text, touching_bodies):
                    if text != full:
                        self.unplaced.append(f"tooth counts of {name}")
                    break
            else:
                self.unplaced.append(f"name of {name}")

    def _block(self, lines: Sequence[Line]) -> bool:
        sizes = [line.room_mm(0, self.height) for line in lines]
        width = max(size[0] for size in sizes)
        pitch = LINE_PITCH * self.height
        rect = self.room.first_free(self.grid, width, self.height + (len(lines) - 1) * pitch)
        if rect is None:
            return False
        self.room.take(rect, BETWEEN_MM)
        for index, (line, size) in enumerate(zip(lines, sizes, strict=True)):
            y = rect.y_mm + 0.5 * (len(lines) - 1) * pitch - index * pitch
            self._add(line, 0, Rect(rect.x_mm, y, *size))
        return True

    def _line(self, line: Line, centres: Centres) -> None:
        for wording in range(len(line.wordings)):
            rect = self.room.first_free(centres, *line.room_mm(wording, self.height))
            if rect is not None:
                self.room.take(rect, BETWEEN_MM)
                self._add(line, wording, rect)
                return
        self.unplaced.append(line.wordings[0][0])

    def _add(self, line: Line, wording: int, rect: Rect) -> None:
        text, left = line.wordings[wording]
        self.marks.append(
            Mark(
                line.id,
                line.kind,
                text,
                rect.x_mm,
                rect.y_mm,
                self.height,
                rect.width_mm,
                0.0,
                rect.height_mm,
                left if left != text else "",
            )
        )

    def _arrow(self, name: str, word: str, angle_rad: float) -> None:
        upright = abs(math.cos(angle_rad)) < 0.5
        self._single(name, "arrow", word, arrow_room_mm(word, self.height, upright), angle_rad)

    def _out(self) -> None:
        toward_wheel = self.face_up is Side.OUTBOARD
        self._single("out", "out", "OUT", sign_room_mm("OUT", self.height), 0.0 if toward_wheel else math.pi)

    def _single(self, name: str, kind: str, word: str, size: tuple[float, float], angle_rad: float) -> None:
        rect = self.room.first_free(self.grid, *size)
        if rect is None:
            self.unplaced.append(f"arrow {word}")
            return
        self.room.take(rect, BETWEEN_MM)
        self.marks.append(Mark(name, kind, word, rect.x_mm, rect.y_mm, self.height, size[0], angle_rad, size[1]))

    def _beside(self, hole: Feature, holes: Sequence[Feature], text: str, bodies: Sequence[Body]) -> bool:
        width, height = text_room_mm(text, self.height)
        radius = 0.5 * (hole.part_diameter_mm + hole.length_mm)
        for body in bodies:
            if body.box is None and math.hypot(body.x_mm - hole.x_mm, body.y_mm - hole.y_mm) < 1e-6:
                radius = max(radius, body.radius_mm)
        centres = []
        for past in NAMED_WITHIN_MM:
            for step in range(NAME_ANGLES):
                angle = 0.5 * math.pi + step * 2.0 * math.pi / NAME_ANGLES
                cos, sin = math.cos(angle), math.sin(angle)
                reach = radius + KEEP_MM + FIT_ROOM_MM + past + 0.5 * (width * abs(cos) + height * abs(sin))
                centres.append((hole.x_mm + reach * cos, hole.y_mm + reach * sin))
        points = np.array(centres)
        own = np.hypot(points[:, 0] - hole.x_mm, points[:, 1] - hole.y_mm) - 0.5 * hole.part_diameter_mm
        for other in holes:
            if other.shaft != hole.shaft:
                away = np.hypot(points[:, 0] - other.x_mm, points[:, 1] - other.y_mm) - 0.5 * other.part_diameter_mm
                points, own = points[away > own], own[away > own]
        rect = self.room.first_free(self.room.centres(points), width, height)
        if rect is None:
            return False
        self.room.take(rect, BETWEEN_MM)
        self._add(Line(f"name-{hole.shaft}", "text", ((text, text),)), 0, rect)
        return True


def _outboard_first(layout: Layout, shaft: str) -> list[GearOnShaft]:
    return sorted((gear for gear in layout.gears if gear.shaft == shaft), key=lambda gear: -gear.z1_mm)
