"""What stands round a picture: its title above; legend, notes and scale bar below."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from xml.etree.ElementTree import Element

from gearplate.drawing.curves import Box
from gearplate.drawing.items import TEXT, text_width
from gearplate.drawing.pens import INK, Pen
from gearplate.drawing.svg_out import clean_text, number, shape_element, text_element
from gearplate.geometry.shapes import Path, Shape, Stroke

LINE = 1.5  # from line to line, in font sizes
TITLE = 1.3  # times the usual size
SWATCH = 14.0  # page mm
BAR_LENGTHS_MM = (1, 2, 5, 10, 20, 50, 100, 200, 500, 1000)


@dataclass(frozen=True, slots=True)
class Caption:
    box: Box
    elements: tuple[Element, ...]


def pen_attributes(pen: Pen, scale: float, hatches: str) -> dict[str, str]:
    """The presentation attributes of a pen; `hatches` begins the ids of the patterns."""
    fill = pen.fill or "none"
    attributes = {"fill": f"url(#{hatch_id(hatches, pen)})" if pen.hatch else fill}
    if pen.stroke is None:
        return attributes | {"stroke": "none"}
    attributes |= {"stroke": pen.stroke, "stroke-width": number(pen.width * scale), "stroke-linejoin": "round"}
    if pen.dash:
        attributes["stroke-dasharray"] = " ".join(number(part * scale) for part in pen.dash)
    else:
        attributes["stroke-linecap"] = "round"
    return attributes


def hatch_id(hatches: str, pen: Pen) -> str:
    return f"{hatches}-{pen.hatch}-{(pen.stroke or INK).lstrip('#')}"


def heading_above(drawn: Box, title: str, scale: float) -> Caption:
    """The title above a drawing, in as many lines as it takes."""
    size = TEXT * TITLE * scale
    lines = wrapped(clean_text(title), drawn[2] - drawn[0], size)
    top = drawn[3] + LINE * size * len(lines)
    elements = tuple(
        _line(drawn[0] + 0.25 * size, top - LINE * size * (n + 0.6), line, size, bold=True)
        for n, line in enumerate(lines)
    )
    return Caption((drawn[0], drawn[3], drawn[2], top + 0.4 * size), elements)


def caption_below(
    drawn: Box,
    legend: Sequence[tuple[Pen, str]],
    notes: Sequence[tuple[str, str]],
    scale: float,
    scale_bar: bool,
    hatches: str,
) -> Caption:
    """Legend in columns, then the scale bar, then the notes, below a drawing and within its width."""
    size = TEXT * scale
    step = LINE * size
    left, y = drawn[0] + 0.3 * size, drawn[1]
    elements: list[Element] = []
    labels = [(pen, clean_text(label)) for pen, label in legend]
    if labels:
        column = SWATCH * scale + 1.8 * size + max(text_width(label, size) for _, label in labels)
        columns = max(1, int((drawn[2] - left + 0.8 * size) / column))
        for n, (pen, label) in enumerate(labels):
            x, row = left + n % columns * column, n // columns
            elements.extend(_entry(x, y - step * (row + 0.5), pen, label, scale, hatches))
        y -= step * -(-len(labels) // columns)
    if scale_bar:
        elements.extend(_scale_bar(left, y - step / 2.0, drawn[2] - drawn[0], size, scale))
        y -= step
    for mark, text in notes:
        indent = text_width(clean_text(mark), size) + 0.8 * size
        for n, line in enumerate(wrapped(clean_text(text), drawn[2] - left - indent, size)):
            if n == 0:
                elements.append(_line(left, y - step / 2.0, clean_text(mark), size, bold=True))
            elements.append(_line(left + indent, y - step / 2.0, line, size))
            y -= step
    return Caption((drawn[0], y - 0.4 * size, drawn[2], drawn[1]), tuple(elements))


def _entry(x: float, y: float, pen: Pen, text: str, scale: float, hatches: str) -> list[Element]:
    long, half = SWATCH * scale, 0.3 * TEXT * scale
    shape: Shape = Stroke(((x, y), (x + long, y)))
    if pen.fill or pen.hatch:
        shape = Path(((x, y - half, 0.0), (x + long, y - half, 0.0), (x + long, y + half, 0.0), (x, y + half, 0.0)))
    swatch = shape_element(shape)
    swatch.attrib |= pen_attributes(pen, scale, hatches)
    return [swatch, _line(x + long + 0.5 * TEXT * scale, y, text, TEXT * scale)]


def _scale_bar(x: float, y: float, room: float, size: float, scale: float) -> list[Element]:
    """A bar of a round length, a tenth to a third of the width, with its length beside it."""
    length = max((known for known in BAR_LENGTHS_MM if known <= room / 3.0), default=room / 3.0)
    tick = 0.3 * size
    bar = shape_element(Stroke(((x, y + tick), (x, y), (x + length, y), (x + length, y + tick))))
    bar.attrib |= {"stroke": INK, "stroke-width": number(0.35 * scale)}
    return [bar, _line(x + length + 0.5 * size, y, f"{number(length)} mm", size)]


def _line(x: float, y: float, text: str, size: float, bold: bool = False) -> Element:
    element = text_element((x, y), text, size, "start", 0.0, bold)
    element.set("fill", INK)
    return element


def wrapped(text: str, width: float, size: float) -> list[str]:
    """Text in lines that fit a width, broken at blanks; a word that is too long alone is cut."""
    most = max(8, int(width / text_width("n", size)))
    lines = [""]
    for word in text.split():
        for part in (word[at : at + most] for at in range(0, len(word), most)):
            if lines[-1] and len(lines[-1]) + 1 + len(part) > most:
                lines.append(part)
            else:
                lines[-1] = f"{lines[-1]} {part}".strip()
    return lines
