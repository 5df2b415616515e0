"""Builds a picture for people: named groups of shapes, text, dimensions and rings, with a legend, as one
SVG file.

`Picture` collects; nothing is sized until `svg_text()`: then the extents of what was added settle the
scale between drawing millimetres and page millimetres (see pens), and title, legend, notes and scale bar
are set round the drawing. The file needs no font, style sheet or picture of anybody else.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from xml.etree.ElementTree import Element, SubElement

from gearplate.drawing.captions import Caption, caption_below, hatch_id, heading_above, pen_attributes
from gearplate.drawing.curves import Box, Point
from gearplate.drawing.items import Area, Arrow, Cross, Dimension, Drawn, Item, Ring, Text
from gearplate.drawing.pens import INK, PAPER, RING_ERROR, RING_NOTE, RING_WARNING, Pen
from gearplate.drawing.svg_out import clean_text, number, serialised
from gearplate.finding import Severity
from gearplate.geometry.boxes import grown, united
from gearplate.geometry.shapes import Circle, Path, Shape, Stroke

PAGE_WIDTH, PAGE_HEIGHT = 180.0, 240.0
MARGIN = 6.0  # page mm round the drawing
EDGE = 2.0  # page mm round everything
NARROWEST = 120.0  # page mm that title and notes need at least
RING_PENS = {Severity.ERROR: RING_ERROR, Severity.WARNING: RING_WARNING, Severity.NOTE: RING_NOTE}


@dataclass(slots=True)
class Group:
    """A named part of a picture, drawn with one pen; `label` puts it into the legend. Coordinates: mm, y
    up."""

    name: str
    pen: Pen
    label: str | None = None
    items: list[Item] = field(default_factory=list)

    def add(self, *shapes: Shape) -> Group:
        """Shapes as they are; closed ones are filled if the pen fills."""
        self.items.extend(Drawn(shape) for shape in shapes)
        return self

    def area(self, outline: Circle | Path, *holes: Circle | Path) -> Group:
        """A filled outline with its holes left free."""
        self.items.append(Area(outline, holes))
        return self

    def circle(self, x_mm: float, y_mm: float, diameter_mm: float) -> Group:
        """A circle, mm; the group itself, to go on."""
        return self.add(Circle(x_mm, y_mm, diameter_mm))

    def line(self, *points: Point) -> Group:
        """A run of straight lines, mm; the group itself, to go on."""
        return self.add(Stroke(points))

    def box(self, x0: float, y0: float, x1: float, y1: float) -> Group:
        """An upright rectangle."""
        return self.add(Path(((x0, y0, 0.0), (x1, y0, 0.0), (x1, y1, 0.0), (x0, y1, 0.0))))

    def cross(self, x_mm: float, y_mm: float, span_mm: float) -> Group:
        """A centre mark: two lines of that length (at least 4 page mm) through a point."""
        self.items.append(Cross((x_mm, y_mm), span_mm))
        return self

    def arrow(self, tail: Point, tip: Point, text: str = "") -> Group:
        """A line with a head at its tip, and text at its tail."""
        self.items.append(Arrow(tail, tip, text))
        return self

    leader = arrow

    def dimension(self, start: Point, end: Point, text: str, offset_mm: float) -> Group:
        """A dimension along the line between two points, set off to its left by `offset_mm` (negative:
        right)."""
        self.items.append(Dimension(start, end, text, offset_mm))
        return self

    def text(
        self, x_mm: float, y_mm: float, text: str, *, size: float = 1.0, anchor: str = "middle", angle_deg: float = 0.0,
        bold: bool = False,
    ) -> Group:  # fmt: skip
        """A label centred in height on a point; `size` times the usual size; anchor start, middle or end."""
        self.items.append(Text((x_mm, y_mm), text, size, anchor, angle_deg, bold))
        return self

    def ring(self, x_mm: float, y_mm: float, radius_mm: float, text: str) -> Group:
        """A ring round a place (at least 3.5 page mm in radius) with a short text beside it."""
        self.items.append(Ring((x_mm, y_mm), radius_mm, text))
        return self


@dataclass(slots=True)
class Picture:
    """A picture under construction. `name` begins the ids in the file, so that two pictures can stand on
    one page; `description` is read to those who cannot see it. `true_scale`: sized so that a print at 100
    % is 1:1 and page mm are mm. `frame` extends the extents to at least that box."""

    name: str
    title: str
    description: str
    true_scale: bool = False
    scale_bar: bool = True
    frame: Box | None = None
    groups: list[Group] = field(default_factory=list)
    notes: list[tuple[str, str]] = field(default_factory=list)

    def group(self, name: str, pen: Pen, label: str | None = None) -> Group:
        """A new group, drawn over those before it."""
        self.groups.append(Group(name, pen, label))
        return self.groups[-1]

    def note(self, mark: str, text: str) -> None:
        """A line under the picture: what a ring's mark stands for."""
        self.notes.append((mark, text))

    def finding(self, x_mm: float, y_mm: float, radius_mm: float, severity: Severity, mark: str, text: str) -> None:
        """A ring round a place and its text under the picture. Errors, warnings and notes differ in line
        type."""
        name = f"finding-{severity}"
        group = next((group for group in self.groups if group.name == name), None)
        if group is None:
            group = self.group(name, RING_PENS[severity], str(severity))
        group.ring(x_mm, y_mm, radius_mm, mark)
        self.note(mark, text)

    def svg_text(self) -> str:
        """The picture as an SVG element, to stand in a page or a notebook. Raises ValueError where there
        is nothing to draw or a coordinate is not finite."""
        box = self._extents()
        scale = 1.0 if self.true_scale else max((box[2] - box[0]) / PAGE_WIDTH, (box[3] - box[1]) / PAGE_HEIGHT)
        reaches = [item.reach(scale) for group in self.groups for item in group.items]
        drawn = grown(united([box, *reaches]), MARGIN * scale)
        narrow = max(0.0, NARROWEST * scale - (drawn[2] - drawn[0])) / 2.0
        drawn = (drawn[0] - narrow, drawn[1], drawn[2] + narrow, drawn[3])
        heading = heading_above(drawn, self.title, scale)
        below = caption_below(
            drawn,
            [(group.pen, group.label) for group in self.groups if group.label],
            self.notes,
            scale,
            self.scale_bar,
            self._id("hatch"),
        )
        view = grown(united([drawn, heading.box, below.box]), EDGE * scale)
        return serialised(self._document(view, scale, heading, below))

    def svg_bytes(self) -> bytes:
        """The picture as a file."""
        return b'<?xml version="1.0" encoding="UTF-8"?>\n' + self.svg_text().encode("utf-8")

    def _repr_svg_(self) -> str:
        return self.svg_text()

    def _extents(self) -> Box:
        boxes = [item.extents() for group in self.groups for item in group.items]
        if self.frame is not None:
            boxes.append(self.frame)
        if not boxes:
            raise ValueError("a picture of nothing")
        box = united(boxes)
        if box[2] - box[0] <= 0.0 and box[3] - box[1] <= 0.0:
            raise ValueError("a picture of a single point")
        return box

    def _id(self, part: str) -> str:
        return re.sub(r"[^a-z0-9]+", "-", f"{self.name}-{part}".lower()).strip("-") or "picture"

    def _document(self, view: Box, scale: float, heading: Caption, below: Caption) -> Element:
        width, height = view[2] - view[0], view[3] - view[1]
        root = Element("svg", {"xmlns": "http://www.w3.org/2000/svg"})
        if self.true_scale:
            root.attrib |= {"width": f"{number(width)}mm", "height": f"{number(height)}mm"}
        corner = {"x": number(view[0]), "y": number(-view[3]), "width": number(width), "height": number(height)}
        root.set("viewBox", " ".join(corner.values()))
        root.attrib |= {
            "role": "img",
            "aria-labelledby": f"{self._id('title')} {self._id('desc')}",
            "font-family": "sans-serif",
        }
        SubElement(root, "title", {"id": self._id("title")}).text = clean_text(self.title)
        SubElement(root, "desc", {"id": self._id("desc")}).text = clean_text(self.description)
        root.append(self._hatches(scale))
        root.append(Element("rect", corner | {"fill": PAPER}))
        root.extend(heading.elements)
        for group in self.groups:
            root.append(self._drawn(group, scale))
        root.extend(below.elements)
        return root

    def _drawn(self, group: Group, scale: float) -> Element:
        attributes = {"id": self._id(group.name), **pen_attributes(group.pen, scale, self._id("hatch"))}
        element = Element("g", attributes)
        for item in group.items:
            element.extend(item.elements(scale, group.pen))
        return element

    def _hatches(self, scale: float) -> Element:
        """One pattern for each kind and colour of hatch."""
        defs = Element("defs")
        pens = {hatch_id(self._id("hatch"), group.pen): group.pen for group in self.groups if group.pen.hatch}
        side = number(2.0 * scale)
        for name, pen in pens.items():
            pattern = SubElement(defs, "pattern", {"id": name, "width": side, "height": side})
            pattern.attrib |= {"patternUnits": "userSpaceOnUse", "patternTransform": "rotate(45)"}
            look = {"stroke": pen.stroke or INK, "stroke-width": number(0.25 * scale)}
            SubElement(pattern, "line", {"x1": "0", "y1": "0", "x2": "0", "y2": side, **look})
            if pen.hatch == "crossed":
                SubElement(pattern, "line", {"x1": "0", "y1": "0", "x2": side, "y2": "0", **look})
        return defs
