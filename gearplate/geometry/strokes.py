"""Lettering and arrows as single strokes, for etched marks."""

from __future__ import annotations

import math
from typing import Literal

from gearplate.geometry.glyphs import CAPITAL_UNITS, GAP_UNITS, glyph
from gearplate.geometry.shapes import Stroke

Anchor = Literal["left", "centre", "right"]


def text_strokes(
    text: str,
    x_mm: float,
    y_mm: float,
    height_mm: float,
    angle_rad: float = 0.0,
    anchor: Anchor = "left",
    mirrored: bool = False,
) -> tuple[Stroke, ...]:
    """One line of text in capitals `height_mm` tall, its base line through (x_mm, y_mm) at `angle_rad`.

    `anchor` says which end of the text, as read, or its middle stands at the point. Lower case is drawn as capitals,
    accents are dropped, an unknown character is a box. Brackets and commas reach up to an eighth of the height below
    the base line and above the capitals (a comma 0.18). With `mirrored` the text is drawn as seen in a mirror that
    stands upright in the anchor point (before it is turned by the angle): once the plate's x is negated it reads.
    Raises ValueError for a height that is not positive.
    """
    width = text_width_mm(text, height_mm)
    unit = height_mm / CAPITAL_UNITS
    along = {"left": 0.0, "centre": -0.5 * width, "right": -width}[anchor]
    cos, sin = math.cos(angle_rad), math.sin(angle_rad)
    strokes = []
    for character in text:
        shape, glyph_width = glyph(character)
        for run in shape:
            points = []
            for gx, gy in run:
                u, v = along + unit * gx, unit * gy
                if mirrored:
                    u = -u
                points.append((x_mm + cos * u - sin * v, y_mm + sin * u + cos * v))
            strokes.append(Stroke(tuple(points)))
        along += unit * (glyph_width + GAP_UNITS)
    return tuple(strokes)


def text_width_mm(text: str, height_mm: float) -> float:
    """Width of a line of text in capitals `height_mm` tall. Raises ValueError for a height that is not positive."""
    if not (height_mm > 0.0 and math.isfinite(height_mm)):
        raise ValueError(f"letters cannot be {height_mm} mm tall")
    units = sum(glyph(character)[1] for character in text) + GAP_UNITS * max(0, len(text) - 1)
    return units * height_mm / CAPITAL_UNITS
