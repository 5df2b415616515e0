"""A picture with its column of text beside it, as one SVG: the drawing room's picture, set into a page."""

from __future__ import annotations

import re
from xml.etree.ElementTree import Element

from gearplate.drawing.pens import PAPER
from gearplate.drawing.picture import Picture
from gearplate.drawing.svg_out import number, serialised
from gearplate.packet.side_column import Column

PAGE_WIDTH, MARGIN = 270.0, 4.0
DRAWING_WIDTH, DRAWING_HEIGHT = 180.0, 184.0
COLUMN_X = 188.0
COLUMN_WIDTH = PAGE_WIDTH - COLUMN_X - MARGIN

_VIEW = re.compile(r'viewBox="\S+ \S+ (\S+) (\S+)"')


def column_beside(picture: Picture) -> Column:
    """An empty column for the page of a picture."""
    return Column(COLUMN_X, MARGIN, COLUMN_WIDTH, f"{picture.name}-hatch")


def page_text(picture: Picture, column: Column) -> str:
    """The page as an SVG element, to stand in a page or a notebook."""
    drawing = picture.svg_text()
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


def page_bytes(picture: Picture, column: Column) -> bytes:
    """The page as a file of its own."""
    return b'<?xml version="1.0" encoding="UTF-8"?>\n' + page_text(picture, column).encode("utf-8")
