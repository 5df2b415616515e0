"""Items of pictures beside those of the drawing room: tinted discs, labels that find their place, a stamp across."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from xml.etree.ElementTree import Element

from gearplate.drawing.curves import box_of
from gearplate.drawing.items import TEXT, Text
from gearplate.drawing.pens import RED, Pen
from gearplate.drawing.svg_out import number, shape_element, text_element
from gearplate.geometry.boxes import united
from gearplate.geometry.shapes import Circle, Path, Stroke
from gearplate.packet.labels import LINE_HEIGHT, Box, Disc, Label, PlacedLabel, placed_labels
from gearplate.packet.rings import Rings


@dataclass(frozen=True, slots=True)
class Tinted:
    """A shape with a light, see-through fill of its own."""

    shape: Circle | Path
    fill: str
    opacity: float = 0.1

    def extents(self) -> Box:
        """The shape's own box."""
        return box_of(self.shape)

    def reach(self, scale: float) -> Box:
        """The shape's own box."""
        return box_of(self.shape)

    def elements(self, scale: float, pen: Pen) -> list[Element]:
        """The shape, filled."""
        element = shape_element(self.shape)
        element.attrib |= {"fill": self.fill, "fill-opacity": number(self.opacity)}
        return [element]


@dataclass(slots=True)
class Labels:
    """Labels that find their places once the scale is known. They keep off the discs `keep_off`, off the boxes
    `taken`, off each other and off the numbers of rings, and inside `bounds`."""

    labels: Sequence[Label]
    keep_off: Sequence[Disc]
    bounds: Box
    rings: Rings | None = None
    taken: Sequence[Box] = ()
    _placed: dict[float, tuple[PlacedLabel, ...]] = field(default_factory=dict)

    def placed(self, scale: float) -> tuple[PlacedLabel, ...]:
        """The labels in their places."""
        if scale not in self._placed:
            letter = TEXT * scale
            rings = self.rings or Rings(())
            keep_off = [*self.keep_off, *rings.discs(scale)]
            marks = [*self.taken, *rings.boxes(scale)]
            air = 0.5 * letter
            bounds = (self.bounds[0] - air, self.bounds[1] - air, self.bounds[2] + air, self.bounds[3] + air)
            self._placed[scale] = placed_labels(self.labels, letter, keep_off, bounds, marks)
        return self._placed[scale]

    def extents(self) -> Box:
        """What is named; what labels reach beyond that is settled with the scale."""
        points = [(label.x, label.y, label.x, label.y) for label in self.labels]
        return united(points) if points else self.bounds

    def reach(self, scale: float) -> Box:
        """The box round all labels."""
        return united([self.extents(), *(one.box for one in self.placed(scale))])

    def elements(self, scale: float, pen: Pen) -> list[Element]:
        """Leaders first, then the text on white edges."""
        placed = self.placed(scale)
        elements = [shape_element(Stroke(one.leader)) for one in placed if one.leader is not None]
        for one in placed:
            label = one.label
            middle = 0.5 * (one.box[0] + one.box[2])
            step = LINE_HEIGHT * TEXT * label.size * scale
            for index, line in enumerate(label.lines):
                at = (middle, one.box[3] - (index + 0.5) * step)
                elements += Text(at, line, label.size, bold=label.bold and index == 0).elements(scale, pen)
        return elements


@dataclass(frozen=True, slots=True)
class Stamp:
    """A word across a box, light enough to read what lies under it."""

    word: str
    box: Box

    def extents(self) -> Box:
        """The box."""
        return self.box

    def reach(self, scale: float) -> Box:
        """The box."""
        return self.box

    def elements(self, scale: float, pen: Pen) -> list[Element]:
        """The word, turned by 24 degrees."""
        x0, y0, x1, y1 = self.box
        size = 1.1 * min((x1 - x0) / len(self.word), 0.5 * (y1 - y0))
        element = text_element((0.5 * (x0 + x1), 0.5 * (y0 + y1)), self.word, size, "middle", 24.0, True)
        element.attrib |= {"fill": RED, "fill-opacity": "0.17", "stroke": "none"}
        return [element]
