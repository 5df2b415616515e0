"""A picture with its column of text beside it, as one SVG: the drawing room's picture, set into a page."""

from __future__ import annotations

import re
from dataclasses import dataclass
from xml.etree.ElementTree import Element

from gearplate.drawing.pens import PAPER
from gearplate.drawing.picture import Picture
from gearplate.drawing.svg_out import number, serialised
from gearplate.packet.cautions import Caution
from gearplate.packet.side_column import Column, cautions_block

PAGE_WIDTH, MARGIN = 270.0, 4.0
DRAWING_WIDTH, DRAWING_HEIGHT = 180.0, 184.0
COLUMN_X = 188.0
COLUMN_WIDTH = PAGE_WIDTH - COLUMN_X - MARGIN

_VIEW = re.compile(r'viewBox="\S+ \S+ (\S+) (\S+)"')


def column_beside(picture: Picture) -> Column:
    """An empty column for the page of a picture."""
    return Column(COLUMN_X, MARGIN, COLUMN_WIDTH, f"{picture.name}-hatch")


@dataclass(frozen=True, slots=True)
class Sheet:
    """A drawing and its column; `mind` are cautions that a file of its own carries at the column's end."""

    drawing: str
    column: Column
    mind: tuple[Caution, ...]

    def text(self) -> str:
        """As an SVG element without the cautions, to stand in a page that has them itself, or in a notebook."""
        return _page(self.drawing, self.column)

    def file(self) -> bytes:
        """As a file of its own."""
        with_cautions = self.column.copy()
        cautions_block(with_cautions, self.mind)
        return b'<?xml version="1.0" encoding="UTF-8"?>\n' + _page(self.drawing, with_cautions).encode("utf-8")


def _page(drawing: str, column: Column) -> str:
    size = _VIEW.search(drawing)
    assert size is not None  # the drawing room always writes one
    wide, high = float(size[1]), float(size[2])
    width = min(DRAWING_WIDTH, DRAWING_HEIGHT * wide / high)
    height = width * high / wide
    page_height = max(height + 2 * MARGIN, column.y + MARGIN)
    left = MARGIN + 0.5 * (DRAWING_WIDTH - width)
    place = f'x="{number(left)}" y="{number(MARGIN)}" width="{number(width)}" height="{number(height)}"'
    box = f"0 0 {number(PAGE_WIDTH)} {number(page_height)}"
    root = f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="{box}" font-family="sans-serif">\n'
    paper = Element("rect", {"width": number(PAGE_WIDTH), "height": number(page_height), "fill": PAPER})
    beside = Element("g", {})
    beside.extend(column.elements)
    return f"{root}{serialised(paper)}{drawing.replace('<svg ', f'<svg {place} ', 1)}{serialised(beside)}</svg>\n"
