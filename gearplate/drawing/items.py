"""What a picture is made of. Every item tells its extents in the drawing, how far its text and heads
reach once the scale is known, and its elements. Sizes in page mm are multiplied by `scale`, drawing mm in
a page mm."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Protocol
from xml.etree.ElementTree import Element

from gearplate.drawing.curves import Box, Point, box_of
from gearplate.drawing.pens import INK, PAPER, Pen
from gearplate.drawing.svg_out import area_element, number, polygon_element, shape_element, text_element
from gearplate.geometry.boxes import grown, united
from gearplate.geometry.shapes import Circle, Path, Shape, Stroke

TEXT = 4.4  # usual font size, page mm: 12 pt in print; 8 px on a phone 360 px wide
HALO = 1.1  # width of the white edge round letters, page mm
HEAD = 3.0  # length of an arrowhead
LETTER = 0.6  # width of a letter in font sizes, on the broad side for any sans-serif
SMALLEST_RING = 3.5
FAR_MARK = 3.0  # page mm from a ring, beyond which a line leads to its mark
LEADER_WIDTH = 0.3
LEADER_INSET = 0.25  # letter sizes: letters are smaller than the box that is kept free for them
SMALLEST_CROSS = 4.0


class Item(Protocol):
    """Anything in a picture. `extents`: its box in drawing mm. `reach`: its box with text and heads, once `scale`
    (drawing mm in a page mm) is known. `elements`: its SVG elements, in drawing mm."""

    def extents(self) -> Box: ...
    def reach(self, scale: float) -> Box: ...
    def elements(self, scale: float, pen: Pen) -> list[Element]: ...


@dataclass(frozen=True, slots=True)
class Drawn:
    """A plain shape."""

    shape: Shape

    def extents(self) -> Box:
        return box_of(self.shape)

    def reach(self, scale: float) -> Box:
        return box_of(self.shape)

    def elements(self, scale: float, pen: Pen) -> list[Element]:
        return [shape_element(self.shape)]


@dataclass(frozen=True, slots=True)
class Area:
    """A filled outline with holes."""

    outline: Circle | Path
    holes: tuple[Circle | Path, ...]

    def extents(self) -> Box:
        return box_of(self.outline)

    def reach(self, scale: float) -> Box:
        return box_of(self.outline)

    def elements(self, scale: float, pen: Pen) -> list[Element]:
        return [area_element(self.outline, self.holes)]


@dataclass(frozen=True, slots=True)
class Text:
    """A label with a white edge, so that it can be read across lines."""

    at: Point
    text: str
    size: float = 1.0
    anchor: str = "middle"
    angle_deg: float = 0.0
    bold: bool = False

    def extents(self) -> Box:
        return (*self.at, *self.at)

    def reach(self, scale: float) -> Box:
        size = TEXT * self.size * scale
        length = text_width(self.text, size)
        left = {"start": 0.0, "middle": 0.5, "end": 1.0}[self.anchor] * length
        angle = math.radians(self.angle_deg)
        ux, uy = math.cos(angle), math.sin(angle)
        ends = [(self.at[0] + along * ux, self.at[1] + along * uy) for along in (-left, length - left)]
        (x0, y0), (x1, y1) = ends
        half = 0.6 * size
        return min(x0, x1) - half, min(y0, y1) - half, max(x0, x1) + half, max(y0, y1) + half

    def elements(self, scale: float, pen: Pen) -> list[Element]:
        size = TEXT * self.size * scale
        # Two elements and no paint-order: a renderer that does not know it would eat the letters.
        edge = text_element(self.at, self.text, size, self.anchor, self.angle_deg, self.bold)
        edge.attrib |= {"stroke": PAPER, "stroke-width": number(HALO * scale), "stroke-linejoin": "round"}
        edge.attrib |= {"stroke-dasharray": "none", "fill": PAPER, "aria-hidden": "true"}
        letters = text_element(self.at, self.text, size, self.anchor, self.angle_deg, self.bold)
        letters.attrib |= {"stroke": "none", "fill": INK}
        return [edge, letters]


@dataclass(frozen=True, slots=True)
class Cross:
    """A centre mark."""

    at: Point
    span_mm: float

    def extents(self) -> Box:
        return self._box(self.span_mm / 2.0)

    def reach(self, scale: float) -> Box:
        return self._box(self._half(scale))

    def elements(self, scale: float, pen: Pen) -> list[Element]:
        (x, y), half = self.at, self._half(scale)
        lines = (Stroke(((x - half, y), (x + half, y))), Stroke(((x, y - half), (x, y + half))))
        return [shape_element(line) for line in lines]

    def _half(self, scale: float) -> float:
        return max(self.span_mm, SMALLEST_CROSS * scale) / 2.0

    def _box(self, half: float) -> Box:
        return self.at[0] - half, self.at[1] - half, self.at[0] + half, self.at[1] + half


@dataclass(frozen=True, slots=True)
class Arrow:
    """A line with a head at its tip and text at its tail, beyond it as the line points."""

    tail: Point
    tip: Point
    text: str = ""

    def extents(self) -> Box:
        return box_of(Stroke((self.tail, self.tip)))

    def reach(self, scale: float) -> Box:
        box = self.extents()
        label = self._label(scale)
        if label is not None:
            other = label.reach(scale)
            box = min(box[0], other[0]), min(box[1], other[1]), max(box[2], other[2]), max(box[3], other[3])
        return box

    def elements(self, scale: float, pen: Pen) -> list[Element]:
        label = self._label(scale)
        return [
            shape_element(Stroke((self.tail, self.tip))),
            _head(self.tip, _direction(self.tail, self.tip), scale, pen),
            *(label.elements(scale, pen) if label is not None else ()),
        ]

    def _label(self, scale: float) -> Text | None:
        if not self.text:
            return None
        ux, uy = _direction(self.tip, self.tail)
        gap = 1.2 * scale
        if abs(uy) > 0.8:  # a steep line: text above or below its tail
            return Text((self.tail[0], self.tail[1] + math.copysign(gap + 0.5 * TEXT * scale, uy)), self.text)
        return Text(
            (self.tail[0] + math.copysign(gap, ux), self.tail[1]), self.text, anchor="start" if ux > 0 else "end"
        )


@dataclass(frozen=True, slots=True)
class Dimension:
    """A linear dimension beside the line between two points."""

    start: Point
    end: Point
    text: str
    offset_mm: float

    def extents(self) -> Box:
        return box_of(Stroke((self.start, self.end, *self._line())))

    def reach(self, scale: float) -> Box:
        box, other = self.extents(), self._label(scale).reach(scale)
        return min(box[0], other[0]), min(box[1], other[1]), max(box[2], other[2]), max(box[3], other[3])

    def elements(self, scale: float, pen: Pen) -> list[Element]:
        a, b = self._line()
        u = _direction(a, b)
        past = math.copysign(1.0 * scale, self.offset_mm)
        beyond = [(p[0] - u[1] * past, p[1] + u[0] * past) for p in (a, b)]
        # Too short for two heads inside: they stand outside and point inward.
        inside = math.dist(a, b) > 3.0 * HEAD * scale
        tail = 2.0 * HEAD * scale
        run = (a, b) if inside else ((a[0] - u[0] * tail, a[1] - u[1] * tail), (b[0] + u[0] * tail, b[1] + u[1] * tail))
        turn = 1.0 if inside else -1.0
        return [
            shape_element(Stroke((self.start, beyond[0]))),
            shape_element(Stroke((self.end, beyond[1]))),
            shape_element(Stroke(run)),
            _head(a, (-u[0] * turn, -u[1] * turn), scale, pen),
            _head(b, (u[0] * turn, u[1] * turn), scale, pen),
            *self._label(scale).elements(scale, pen),
        ]

    def _line(self) -> tuple[Point, Point]:
        ux, uy = _direction(self.start, self.end)
        dx, dy = -uy * self.offset_mm, ux * self.offset_mm
        return (self.start[0] + dx, self.start[1] + dy), (self.end[0] + dx, self.end[1] + dy)

    def _label(self, scale: float) -> Text:
        a, b = self._line()
        ux, uy = _direction(a, b)
        if ux < -1e-9 or (abs(ux) <= 1e-9 and uy < 0.0):
            ux, uy = -ux, -uy  # read from below or from the right (ISO 129-1)
        up = 0.75 * TEXT * scale
        middle = ((a[0] + b[0]) / 2.0 - uy * up, (a[1] + b[1]) / 2.0 + ux * up)
        return Text(middle, self.text, anchor="middle", angle_deg=math.degrees(math.atan2(uy, ux)))


@dataclass(frozen=True, slots=True)
class Ring:
    """A ring round a place, white beneath, with a bold mark beside it: in the direction `toward`, at least `clear_mm`
    away. A thin line leads to a mark that stands far from its ring."""

    at: Point
    radius_mm: float
    text: str
    toward: Point = (1.0, 1.0)
    clear_mm: float = 0.0

    def extents(self) -> Box:
        return box_of(Circle(*self.at, 2.0 * self.radius_mm))

    def reach(self, scale: float) -> Box:
        return united([box_of(Circle(*self.at, 2.0 * self.radius(scale))), self.mark_box(scale)])

    def elements(self, scale: float, pen: Pen) -> list[Element]:
        return [*self.ring_elements(scale, pen), *self.mark_elements(scale, pen)]

    def ring_elements(self, scale: float, pen: Pen) -> list[Element]:
        """The ring alone: where many crowd, all of them are drawn before the first mark."""
        ring = Circle(*self.at, 2.0 * self.radius(scale))
        return [_beneath(ring, pen.width, scale), shape_element(ring)]

    def mark_elements(self, scale: float, pen: Pen) -> list[Element]:
        """The mark, and the line to it."""
        lines = []
        leader = self.leader(scale)
        if leader is not None:
            line = shape_element(Stroke(leader))
            line.attrib |= {"stroke-width": number(LEADER_WIDTH * scale), "stroke-dasharray": "none"}
            lines = [_beneath(Stroke(leader), LEADER_WIDTH, scale), line]
        return [*lines, *self._mark(scale).elements(scale, pen)]

    def radius(self, scale: float) -> float:
        """As drawn: never too small to be seen."""
        return max(self.radius_mm, SMALLEST_RING * scale)

    def mark_box(self, scale: float) -> Box:
        """What the mark covers."""
        return self._mark(scale).reach(scale)

    def leader(self, scale: float) -> tuple[Point, Point] | None:
        """The line from the ring to its mark; none to one that stands near."""
        radius = self.radius(scale)
        if self.clear_mm < radius + FAR_MARK * scale:
            return None
        box = grown(self.mark_box(scale), -LEADER_INSET * TEXT * scale)
        x, y = self.at
        to_x, to_y = min(max(x, box[0]), box[2]) - x, min(max(y, box[1]), box[3]) - y
        away = math.hypot(to_x, to_y)
        if away <= radius:
            return None
        part = radius / away
        return (x + part * to_x, y + part * to_y), (x + to_x, y + to_y)

    def _mark(self, scale: float) -> Text:
        away = (max(self.radius(scale), self.clear_mm) + 0.6 * scale) * math.sqrt(0.5)
        to_x, to_y = self.toward
        at = (self.at[0] + to_x * away, self.at[1] + to_y * (away + 0.4 * TEXT * scale))
        return Text(at, self.text, 1.2, "middle" if to_x == 0.0 else "start" if to_x > 0.0 else "end", bold=True)


def _beneath(shape: Shape, width: float, scale: float) -> Element:
    """The white edge of a line so wide, drawn before it."""
    edge = shape_element(shape)
    edge.attrib |= {"stroke": PAPER, "stroke-width": number((width + HALO) * scale), "stroke-dasharray": "none"}
    return edge


def text_width(text: str, size: float) -> float:
    """About the width of a text; a renderer's own font decides."""
    return LETTER * size * len(text)


def _direction(start: Point, end: Point) -> Point:
    length = math.dist(start, end) or 1.0
    return (end[0] - start[0]) / length, (end[1] - start[1]) / length


def _head(tip: Point, toward: Point, scale: float, pen: Pen) -> Element:
    """A filled arrowhead."""
    (x, y), (ux, uy) = tip, toward
    back, half = HEAD * scale, HEAD * scale / 6.0
    points = (
        tip,
        (x - ux * back - uy * half, y - uy * back + ux * half),
        (x - ux * back + uy * half, y - uy * back - ux * half),
    )
    head = polygon_element(points)
    head.attrib |= {"fill": pen.stroke or INK, "stroke": "none"}
    return head
