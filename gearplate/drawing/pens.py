"""Lines, fills and colours of the pictures for people.

Line types after ISO 128-2 and ISO 2203 (from memory): wide continuous for edges, narrow continuous for
dimensions, dashed for what is hidden, long-dashed dotted for centre lines and pitch circles, long-dashed
double-dotted for adjacent parts. Colours are our own. They never carry a meaning alone: what differs in
colour differs in line type, width or hatch too, so that a black and white print and a colour-blind reader
lose nothing; each stands out from white by 4.5 to 1 or more (WCAG 2.1, 1.4.3).

Widths and sizes are page millimetres: millimetres on a picture printed 180 mm wide, as it fits an A4 or
Letter page.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

INK = "#111111"
PAPER = "#ffffff"
BLUE = "#0b4f8a"
RUST = "#a84300"
TEAL = "#00695c"
VIOLET = "#6b3fa0"
RED = "#b3001b"
AMBER = "#7a5200"
GREY = "#5c5c5c"
PALE_GREY = "#e9e9e4"
PALE_BLUE = "#dbe8f4"

WIDE, MIDDLE, NARROW = 0.5, 0.35, 0.2
DASHED = (2.4, 1.2)
DOTTED = (0.5, 1.0)
CHAIN = (5.0, 1.0, 0.7, 1.0)
ADJACENT = (4.0, 1.0, 0.7, 1.0, 0.7, 1.0)  # outlines of adjacent parts


@dataclass(frozen=True, slots=True)
class Pen:
    """How a group is drawn. `stroke` and `fill` None: none. `hatch`: fine lines in the stroke's colour
    instead of a fill, at 45 degrees or crossed."""

    stroke: str | None = INK
    width: float = MIDDLE
    dash: tuple[float, ...] = ()
    fill: str | None = None
    hatch: Literal["", "lines", "crossed"] = ""


SHEET = Pen(stroke=None, fill=PALE_GREY)  # the plate's material
OUTLINE = Pen(INK, WIDE)
HOLE = Pen(INK, MIDDLE)
ETCHED = Pen(BLUE, MIDDLE)
LEAD_IN = Pen(RUST, MIDDLE)
OUTBOARD = Pen(BLUE, WIDE)
INBOARD = Pen(RUST, WIDE, DASHED)
PITCH_CIRCLE = Pen(TEAL, NARROW, CHAIN)
TIP_CIRCLE = Pen(TEAL, NARROW)
CENTRE_LINE = Pen(INK, NARROW, CHAIN)
HIDDEN = Pen(INK, NARROW, DASHED)
MOTOR = Pen(VIOLET, MIDDLE, ADJACENT)
WHEEL = Pen(GREY, MIDDLE, (6.0, 1.5))
RAIL = Pen(GREY, NARROW, hatch="lines")
KEEP_OUT = Pen(RED, NARROW, DOTTED, hatch="crossed")
BODY = Pen(INK, NARROW, fill=PALE_BLUE)
DIMENSION = Pen(INK, NARROW)
"""Dimension and leader lines; their text is ink whatever the pen."""

RING_ERROR = Pen(RED, 0.9)
RING_WARNING = Pen(AMBER, 0.9, (3.0, 1.2))
RING_NOTE = Pen(BLUE, 0.6, DOTTED)


def contrast(colour: str, other: str = PAPER) -> float:
    """Contrast ratio of two colours "#rrggbb", 1 to 21 (WCAG 2.1, definitions of relative luminance and
    contrast ratio)."""
    brighter, darker = sorted((_luminance(colour), _luminance(other)), reverse=True)
    return (brighter + 0.05) / (darker + 0.05)


def _luminance(colour: str) -> float:
    red, green, blue = (_linear(int(colour[at : at + 2], 16) / 255.0) for at in (1, 3, 5))
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def _linear(channel: float) -> float:
    return channel / 12.92 if channel <= 0.04045 else float(((channel + 0.055) / 1.055) ** 2.4)
