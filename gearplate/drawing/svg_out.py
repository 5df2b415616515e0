"""The elements of an SVG file: shapes, text, numbers, the document; on the standard library's xml.

Millimetres with y up come in; SVG's y runs down, so that every y is negated here and nowhere else, and an
arc that turns counter-clockwise has sweep flag 0. Arcs stay arcs. Numbers have at most three decimals, so
that the same picture is the same bytes on every machine. Text comes from job files: it is escaped by the
xml library, and what no XML file can hold or what would turn its reading direction is left out.
"""

from __future__ import annotations

import math
import unicodedata
from collections.abc import Iterable
from xml.etree import ElementTree
from xml.etree.ElementTree import Element

from gearplate.drawing.curves import Point, segments
from gearplate.geometry.shapes import Circle, Path, Shape, Stroke

FLATTEST_RAD = 4e-6  # a line: the angle of a bulge of 1e-6
LEFT_OUT = ("Cc", "Cf", "Cn", "Cs")  # control and format characters, unassigned code points, surrogates
ZERO_WIDTH_JOINER = "\u200d"  # a format character that joins letters in some scripts and can do no harm


def number(value: float) -> str:
    """A number with at most three decimals and no minus zero. Raises ValueError for what is not finite."""
    if not math.isfinite(value):
        raise ValueError(f"{value} cannot be drawn")
    text = f"{value:.3f}".rstrip("0").rstrip(".")
    return "0" if text == "-0" else text


def pair(x: float, y: float) -> str:
    """A point in the file: y negated."""
    return f"{number(x)} {number(-y)}"


def clean_text(text: str) -> str:
    """One line of text as it may stand in a picture: no control characters (line ends and tabs become
    blanks), no surrogates or non-characters, no marks that turn the reading direction."""
    blanks = "".join(" " if c in "\t\n\r" else c for c in text)
    return "".join(c for c in blanks if unicodedata.category(c) not in LEFT_OUT or c == ZERO_WIDTH_JOINER)


def path_data(shape: Shape) -> str:
    """The `d` of a path: arcs as A, closed paths and circles with Z."""
    if isinstance(shape, Stroke):
        return "M" + " L".join(pair(x, y) for x, y in shape.points)
    steps: list[str] = []
    for piece in segments(shape):
        if not steps:
            steps.append("M" + pair(*piece.start))
        if abs(piece.sweep_rad) < FLATTEST_RAD:
            steps.append("L" + pair(*piece.end))
            continue
        # In quarters or less: near half a circle the thousandth that is rounded off moves the centre by a tenth.
        parts = math.ceil(abs(piece.sweep_rad) / (math.pi / 2.0) - 1e-9)
        radius, sweep = number(piece.radius_mm), 0 if piece.sweep_rad > 0.0 else 1
        for n in range(1, parts + 1):
            end = piece.end if n == parts else piece.at(n / parts)
            steps.append(f"A{radius} {radius} 0 0 {sweep} {pair(*end)}")
    return " ".join((*steps, "Z"))


def shape_element(shape: Shape) -> Element:
    """A circle as circle, everything else as path."""
    if isinstance(shape, Circle):
        x, y, r = number(shape.x_mm), number(-shape.y_mm), number(shape.diameter_mm / 2.0)
        return Element("circle", {"cx": x, "cy": y, "r": r})
    attributes = {"d": path_data(shape)}
    if isinstance(shape, Stroke):
        attributes["fill"] = "none"
    return Element("path", attributes)


def area_element(outline: Circle | Path, holes: Iterable[Circle | Path]) -> Element:
    """A filled outline with its holes left free."""
    data = " ".join(path_data(shape) for shape in (outline, *holes))
    return Element("path", {"d": data, "fill-rule": "evenodd"})


def polygon_element(points: Iterable[Point]) -> Element:
    """A closed polygon through points in drawing mm."""
    return Element("path", {"d": "M" + " L".join(pair(x, y) for x, y in points) + " Z"})


def text_element(at: Point, text: str, size: float, anchor: str, angle_deg: float, bold: bool) -> Element:
    """Text with the middle of its letters' height at a point; `size` is its font size in drawing mm. The
    angle turns it counter-clockwise."""
    x, y = at
    attributes = {"font-size": number(size), "text-anchor": anchor}
    if bold:
        attributes["font-weight"] = "bold"
    # Capitals are about 0.7 of the font size tall: no renderer agrees with another on dominant-baseline.
    if angle_deg:
        attributes["transform"] = f"translate({pair(x, y)}) rotate({number(-angle_deg)})"
        attributes["y"] = number(0.35 * size)
    else:
        attributes["x"], attributes["y"] = number(x), number(-y + 0.35 * size)
    element = Element("text", attributes)
    element.text = clean_text(text)
    return element


def serialised(root: Element) -> str:
    """The document without an XML declaration, one element a line."""
    ElementTree.indent(root, "")
    return ElementTree.tostring(root, encoding="unicode") + "\n"
