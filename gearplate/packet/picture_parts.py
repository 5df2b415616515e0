"""Parts that the pictures share: numbers of findings, scale bar, arrows, the stamp of a draft."""

from __future__ import annotations

from typing import Any

from gearplate.drawing.pens import DIMENSION
from gearplate.drawing.picture import PAGE_HEIGHT, PAGE_WIDTH, Picture
from gearplate.geometry.boxes import Box
from gearplate.packet.picture_items import Stamp
from gearplate.units import Unit

BAR_LENGTHS_MM = (1, 2, 5, 10, 20, 50, 100, 200, 500, 1000)
BAR_LENGTHS_IN = (0.125, 0.25, 0.5, 1, 2, 5, 10, 20)


def numbered(record: dict[str, Any]) -> list[tuple[int, dict[str, Any]]]:
    """The findings with the numbers that the account, the page and every picture give them."""
    return list(enumerate(record["findings"], start=1))


def about_the_scale(picture: Picture) -> float:
    """Drawing mm for a page mm, as the frame alone makes it; what is drawn beyond that makes it a little more."""
    if picture.frame is None:
        return 1.0
    x0, y0, x1, y1 = picture.frame
    return max((x1 - x0) / PAGE_WIDTH, (y1 - y0) / PAGE_HEIGHT)


def heading_of(record: dict[str, Any], what: str) -> str:
    """The heading of a picture: what it shows, and DRAFT or REFUSED before it where it is that."""
    return f"{record['status'].upper()}: {what}" if record["status"] != "ok" else what


def stamp(picture: Picture, record: dict[str, Any], box: Box) -> None:
    """The word across a draft or a refused design."""
    if record["status"] != "ok":
        picture.group("stamp", DIMENSION).items.append(Stamp(record["status"].upper(), box))


def below(picture: Picture, box: Box, ahead: float, unit: Unit) -> None:
    """Under the drawing: a bar of whole units to be measured, and arrows for forward and up. `ahead` is 1 where
    forward is to the right, -1 where it is to the left, 0 where neither is to be told."""
    wide = box[2] - box[0]
    mm = 25.4 if unit == "inch" else 1.0
    lengths = BAR_LENGTHS_IN if unit == "inch" else BAR_LENGTHS_MM
    length = max((known for known in lengths if known * mm <= 0.3 * wide), default=lengths[0])
    y, tick = box[1] - 0.07 * wide, 0.008 * wide
    bar = picture.group("scale bar", DIMENSION)
    x0, x1 = box[0], box[0] + length * mm
    bar.line((x0, y + tick), (x0, y - tick)).line((x1, y + tick), (x1, y - tick)).line((x0, y), (x1, y))
    told = f"{length:g} in = {length * 25.4:g} mm" if unit == "inch" else f"{length:g} mm"
    bar.text(x1 + 0.012 * wide, y, told, size=0.75, anchor="start")
    if ahead:
        size = 0.055 * wide
        x = box[0] + 0.72 * wide
        low = y - 0.4 * size
        group = picture.group("directions", DIMENSION)
        group.arrow((x, low), (x + ahead * size, low)).arrow((x, low), (x, low + size))
        group.text(x + ahead * 1.15 * size, low, "forward", size=0.75, anchor="start" if ahead > 0 else "end")
        group.text(x, low + 1.3 * size, "up", size=0.75)
