"""Margins of the weakest links as bars, as one SVG that prints black and white."""

from __future__ import annotations

import math
from typing import Any

from gearplate.drawing.pens import BLUE, DASHED, GREY, INK, NARROW, RED, WIDE, Pen
from gearplate.drawing.picture import Picture
from gearplate.packet.rating_text import alike, margin_words, part_words

MOST_BARS = 24
WIDTH, BAR, STEP = 160.0, 3.2, 11.5
LEAST, GREATEST = 0.25, 16.0
_HOLDS = Pen(BLUE, 0.35, fill="#dbe8f4")
_FAILS = Pen(RED, WIDE, hatch="lines")


def rating_picture(data: dict[str, Any]) -> Picture:
    """One bar a rating that may be the weakest link, the weakest on top, over a margin scale of powers of two.

    Raises ValueError where nothing was rated.
    """
    rows = [row for row in alike(data["ratings"]) if row["rules"] and row["kind"] != "stiffness"][:MOST_BARS]
    if not rows:
        raise ValueError("nothing was rated")
    bottom = -STEP * len(rows)
    picture = Picture(
        f"{data['job']['part']}-strength",
        f"{data['job']['part']}, revision {data['job']['revision']}: weakest links",
        "Margin of every part that may give way first: how many times the load could grow, the weakest on top.",
        scale_bar=False,
        frame=(0.0, bottom - 12.0, WIDTH, 4.0),
    )
    axis = picture.group("axis", Pen(GREY, NARROW))
    picture.group("one", Pen(RED, WIDE, DASHED), "margin 1: the limit is reached").line(
        (_x(1.0), 0.0), (_x(1.0), bottom)
    )
    words = picture.group("words", Pen(INK, NARROW))
    for power in range(round(math.log2(LEAST)), round(math.log2(GREATEST)) + 1):
        at = _x(2.0**power)
        axis.line((at, 0.0), (at, bottom))
        words.text(at, bottom - 3.5, f"{2.0**power:g}")
    words.text(0.5 * WIDTH, bottom - 9.0, "margin: times that the load could grow")
    holds = picture.group("holds", _HOLDS, "holds")
    fails = picture.group("fails", _FAILS, "does not hold")
    for number, row in enumerate(rows):
        top = -STEP * number - 7.0
        group = holds if row["holds"] else fails
        margin = GREATEST if row["margin"] is None else row["margin"]
        group.box(0.0, top - BAR, max(_x(margin), 0.5), top)
        words.text(
            0.0, top + 3.2, f"{margin_words(row['margin'])}  {part_words(row)} ({row['load_case']})", anchor="start"
        )
    return picture


def _x(margin: float) -> float:
    held = min(max(margin, LEAST), GREATEST)
    return WIDTH * math.log(held / LEAST) / math.log(GREATEST / LEAST)
