"""Contacts in a picture: two arrowheads that point at each other across the gap."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Any
from xml.etree.ElementTree import Element

from gearplate.drawing.pens import INK, PAPER, Pen
from gearplate.drawing.svg_out import number, polygon_element, shape_element
from gearplate.geometry.boxes import Box, grown
from gearplate.geometry.shapes import Stroke
from gearplate.packet.contacts_text import NOTHING_MM, contacts_of
from gearplate.packet.labels import Disc

Point = tuple[float, float]

LONG, HALF = 3.2, 1.2  # of a head, page mm
EDGE = 0.3
BAR = 4.0  # half of the line that stands for a limit, page mm
MOST_SHOWN = 12


@dataclass(frozen=True, slots=True)
class Heads:
    """Two heads with their tips at `at` and `to`: filled, or open where there is room left. `bar`: the line of a limit
    at `to`."""

    at: Point
    to: Point
    filled: bool
    bar: bool = False

    def extents(self) -> Box:
        """The box of the gap."""
        (x0, y0), (x1, y1) = self.at, self.to
        return min(x0, x1), min(y0, y1), max(x0, x1), max(y0, y1)

    def reach(self, scale: float) -> Box:
        """The box with the heads."""
        return grown(self.extents(), max(LONG, BAR if self.bar else 0.0) * scale)

    def disc(self, scale: float) -> Disc:
        """What text should not cover."""
        (x0, y0), (x1, y1) = self.at, self.to
        return 0.5 * (x0 + x1), 0.5 * (y0 + y1), 0.5 * math.dist(self.at, self.to) + 0.7 * LONG * scale

    def elements(self, scale: float, pen: Pen) -> list[Element]:
        """A line across the gap, and the heads over it."""
        away = math.dist(self.at, self.to)
        ux, uy = ((self.to[0] - self.at[0]) / away, (self.to[1] - self.at[1]) / away) if away > 1e-6 else (1.0, 0.0)
        elements = [shape_element(Stroke((self.at, self.to)))] if away > 1e-6 else []
        heads = [_head(self.at, (-ux, -uy), scale)]
        if self.bar:
            dx, dy = -uy * BAR * scale, ux * BAR * scale
            ends = (self.to[0] - dx, self.to[1] - dy), (self.to[0] + dx, self.to[1] + dy)
            elements.append(shape_element(Stroke(ends)))
        else:
            heads.append(_head(self.to, (ux, uy), scale))
        for head in heads:
            head.attrib |= {
                "fill": (pen.stroke or INK) if self.filled else PAPER,
                "stroke": (PAPER if self.filled else pen.stroke) or INK,
                "stroke-width": number(EDGE * scale),
            }
        return [*elements, *heads]


def _head(tip: Point, back: Point, scale: float) -> Element:
    """A head that points at `tip` from the side `back`."""
    (x, y), (ux, uy) = tip, back
    long, half = LONG * scale, HALF * scale
    foot = (x + ux * long, y + uy * long)
    return polygon_element(
        (tip, (foot[0] - uy * half, foot[1] + ux * half), (foot[0] + uy * half, foot[1] - ux * half))
    )


def marks_of(record: dict[str, Any], sign: float) -> list[Heads]:
    """Every contact of the record once: what two shafts have in common is told of both. What stands too near is none:
    it has its finding, and that its ring."""
    found: dict[frozenset[Point], Heads] = {}
    for one in contacts_of(record):
        if one["room_mm"] < -NOTHING_MM:
            continue
        at, to = ((sign * x, y) for x, y in (one["from_mm"], one["to_mm"]))
        key = frozenset((at, to))
        if key not in found:
            found[key] = Heads(at, to, one["holds"], one["kind"] in ("limit", "floor"))
    return list(found.values())[:MOST_SHOWN]


def contact_sample(filled: bool, x: float, y: float) -> Heads:
    """What the legend shows, from x on."""
    return Heads((x + 3.6, y), (x + 5.4, y), filled)
