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
BROKEN_OFF = 5.0  # of a bar that goes on past the scale, for its two points
_HOLDS = Pen(BLUE, 0.35, fill="#dbe8f4")
_FAILS = Pen(RED, WIDE, hatch="lines")


def rating_picture(data: dict[str, Any]) -> Picture:
    """One bar a rating that may be the weakest link, the weakest on top, over a margin scale of powers of two. A bar
    that goes on past the scale ends in two points.

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
    beyond = any(row["margin"] is None or row["margin"] > GREATEST for row in rows)
    goes_on = picture.group("goes on", Pen(BLUE, WIDE), f">> goes on past {GREATEST:g}" if beyond else None)
    for number, row in enumerate(rows):
        top = -STEP * number - 7.0
        group = holds if row["holds"] else fails
        if row["margin"] is None or row["margin"] > GREATEST:
            group.box(0.0, top - BAR, WIDTH - BROKEN_OFF, top)
            for at in (WIDTH - 0.7 * BROKEN_OFF, WIDTH - 0.35 * BROKEN_OFF):
                goes_on.line((at, top), (at + 0.35 * BROKEN_OFF, top - 0.5 * BAR), (at, top - BAR))
        else:
            group.box(0.0, top - BAR, max(_x(row["margin"]), 0.5), top)
        words.text(
            0.0, top + 3.2, f"{margin_words(row['margin'])}  {part_words(row)} ({row['load_case']})", anchor="start"
        )
    return picture


def _x(margin: float) -> float:
    held = min(max(margin, LEAST), GREATEST)
    return WIDTH * math.log(held / LEAST) / math.log(GREATEST / LEAST)
