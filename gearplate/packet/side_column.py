"""The column of text beside a picture: what it shows, what the lines mean, what was found, what to mind.

Page millimetres, y down; a page is 270 mm wide, so that it prints on a sheet of A4 or Letter on its side.
"""

from __future__ import annotations

import textwrap
from collections.abc import Callable, Sequence
from typing import Any
from xml.etree.ElementTree import Element

from gearplate.drawing.captions import pen_attributes
from gearplate.drawing.items import Item
from gearplate.drawing.pens import GREY, INK, PAPER, RED, Pen
from gearplate.drawing.picture import RING_PENS
from gearplate.drawing.svg_out import shape_element, text_element
from gearplate.finding import Severity
from gearplate.geometry.shapes import Circle, Path, Stroke
from gearplate.packet.cautions import DEFERENCE, Caution
from gearplate.packet.characters import harmless
from gearplate.packet.contents import RECORD_NAME
from gearplate.packet.findings_text import gap_words, it_needs, where
from gearplate.packet.labels import text_width

TITLE, HEADING, TEXT, SMALL = 5.6, 3.7, 3.6, 3.3
LEADING = 1.3
SWATCH = 9.0
MOST_FINDINGS = 10
LONGEST_TOLD = 420  # letters of a finding that has no figures

STATES = {
    "draft": "DRAFT: has errors, not to be cut for use",
    "refused": "REFUSED: no cut file was made",
}


class Column:
    """Sets lines under each other from the top of the page; `y` is where the next one goes."""

    def __init__(self, x: float, y: float, width: float, hatches: str) -> None:
        self.x = x
        self.y = y
        self.width = width
        self.elements: list[Element] = []
        self._hatches = hatches

    def copy(self) -> Column:
        """A column that goes on from here without touching this one."""
        other = Column(self.x, self.y, self.width, self._hatches)
        other.elements = [*self.elements]
        return other

    def _write(
        self, x: float, y: float, text: str, size: float, *, bold: bool = False, fill: str = INK, anchor: str = "start"
    ) -> None:
        element = text_element((x, -y), text, size, anchor, 0.0, bold)
        element.set("fill", fill)
        self.elements.append(element)

    def _draw(self, shape: Circle | Path | Stroke, pen: Pen) -> None:
        element = shape_element(shape)
        element.attrib |= pen_attributes(pen, 1.0, self._hatches)
        self.elements.append(element)

    def gap(self, height: float) -> None:
        """Leave room."""
        self.y += height

    def heading(self, text: str) -> None:
        """A small bold heading under a rule."""
        self.gap(2.2)
        self._draw(Stroke(((self.x, -self.y), (self.x + self.width, -self.y))), Pen(INK, 0.25))
        self.gap(0.8 + 0.5 * LEADING * HEADING)
        self._write(self.x, self.y, text, HEADING, bold=True)
        self.gap(0.5 * LEADING * HEADING + 0.4)

    def text(self, text: str, size: float = TEXT, indent: float = 0.0, *, bold: bool = False, fill: str = INK) -> None:
        """A paragraph, broken to the column's width."""
        for line in broken(text, self.width - indent, size * (1.08 if bold else 1.0)):
            self._write(self.x + indent, self.y + 0.5 * LEADING * size, line, size, bold=bold, fill=fill)
            self.gap(LEADING * size)

    def row(self, cells: Sequence[tuple[float, str]], size: float = SMALL, *, bold: bool = False) -> None:
        """One line of cells, each at its distance from the column's left; a negative one ends at that distance."""
        for at, text in cells:
            anchor = "end" if at < 0 else "start"
            self._write(self.x + abs(at), self.y + 0.5 * LEADING * size, text, size, bold=bold, anchor=anchor)
        self.gap(LEADING * size)

    def swatch(self, text: str, *pens: Pen, disc: bool = False) -> None:
        """A line of the legend: a sample of each pen, one inside the other, and what they stand for."""
        self.gap(0.9)
        middle = -(self.y + 0.5 * LEADING * SMALL)
        for index, pen in enumerate(pens):
            inset = 0.9 * index
            self._draw(_sample(self.x, middle, inset, disc), pen)
        self._explain(text)

    def sample(self, text: str, pen: Pen, drawn: Callable[[float, float], Item]) -> None:
        """A line of the legend whose sample is made for the place of its left end."""
        self.gap(0.9)
        group = Element("g", pen_attributes(pen, 1.0, self._hatches))
        group.extend(drawn(self.x, -(self.y + 0.5 * LEADING * SMALL)).elements(1.0, pen))
        self.elements.append(group)
        self._explain(text)

    def _explain(self, text: str) -> None:
        for line in broken(text, self.width - SWATCH - 2.0, SMALL):
            self._write(self.x + SWATCH + 2.0, self.y + 0.5 * LEADING * SMALL, line, SMALL)
            self.gap(LEADING * SMALL)

    def ring(self, mark: str, text: str, severity: str) -> None:
        """A finding: its ring with its number, and the bold first line of what is told of it."""
        self.gap(0.8)
        pen = RING_PENS[Severity(severity)]
        centre = self.y + 0.5 * LEADING * SMALL
        self._draw(Circle(self.x + 2.3, -centre, 4.4), Pen(pen.stroke, 0.5, pen.dash and (1.4, 0.7)))
        self._write(self.x + 2.3, centre, mark, 3.0, bold=True, anchor="middle")
        self.text(text, SMALL, 6.2, bold=True, fill=pen.stroke or INK)

    def banner(self, text: str) -> None:
        """White on red across the column."""
        self.gap(1.5)
        box = ((0.0, 0.0), (self.width, 0.0), (self.width, 7.0), (0.0, 7.0))
        self._draw(Path(tuple((self.x + x, -(self.y + y), 0.0) for x, y in box)), Pen(None, 0.0, fill=RED))
        self._write(self.x + 0.5 * self.width, self.y + 3.5, text, SMALL, bold=True, fill=PAPER, anchor="middle")
        self.gap(8.0)


def _sample(x: float, y: float, inset: float, disc: bool) -> Circle | Path:
    if disc:
        return Circle(x + 0.5 * SWATCH, y, 4.6 - 2.0 * inset)
    left, right, low, high = x + inset, x + SWATCH - inset, y - 1.7 + 0.7 * inset, y + 1.7 - 0.7 * inset
    return Path(((left, low, 0.0), (right, low, 0.0), (right, high, 0.0), (left, high, 0.0)))


def broken(text: str, width: float, size: float) -> list[str]:
    """Lines no wider than `width`, by the width that this very text is set in."""
    whole = text_width(text, size)
    if whole <= width:
        return [text]
    most = max(8, int(width * len(text) / whole))
    return textwrap.wrap(text, most, break_on_hyphens=False) or [""]


def title_block(column: Column, record: dict[str, Any], what: str) -> None:
    """Part, revision, title, what the picture shows, and what state the build is in."""
    job = record["job"]
    name = f"{harmless(job['part'], 40)} {harmless(job['revision'], 12)}"
    size = min(TITLE, TITLE * column.width / max(text_width(name, 1.08 * TITLE), 1.0))
    column.text(name, max(size, SMALL), bold=True)
    title = harmless(job["title"], 90)
    if title:
        column.text(title)
    column.text(what, SMALL)
    if record["status"] in STATES:
        column.banner(STATES[record["status"]])


def findings_block(column: Column, chosen: Sequence[tuple[int, dict[str, Any]]], total: int) -> None:
    """The findings that are ringed, by their numbers: check, gap there is, gap it needs."""
    column.heading("Findings")
    if not chosen:
        column.text("None in this plate." if total else "None.", SMALL)
    for mark, finding in chosen[:MOST_FINDINGS]:
        column.ring(str(mark), f"{finding['severity']}: {finding['check']}", finding["severity"])
        needs = it_needs(finding)
        parts = [text for text in (gap_words(finding), f"needs {needs}" if needs else "") if text]
        place = where(finding)
        text = "; ".join(parts) if parts else harmless(finding["message"], LONGEST_TOLD)
        column.text(f"{place}: {text}" if parts and place else text, SMALL, 6.2)
    more = len(chosen) - MOST_FINDINGS
    if more > 0:
        column.text(f"and {more} more in {RECORD_NAME}", SMALL)


def cautions_block(column: Column, cautions: Sequence[Caution]) -> None:
    """What to mind, short, with who comes first."""
    column.heading("Cautions")
    for caution in cautions:
        column.text(f"{caution.topic}: {caution.short}", SMALL)
        column.gap(0.6)
    column.text(DEFERENCE, SMALL, fill=GREY)
