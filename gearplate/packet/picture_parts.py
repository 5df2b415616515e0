"""Parts that the pictures share: rings round findings, scale bar, arrows, the stamp of a draft."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace
from typing import Any

from gearplate.drawing.pens import DIMENSION
from gearplate.drawing.picture import PAGE_HEIGHT, PAGE_WIDTH, RING_PENS, Picture
from gearplate.finding import Severity
from gearplate.geometry.boxes import Box
from gearplate.packet.labels import Disc
from gearplate.packet.picture_items import RingPlace, Stamp
from gearplate.units import Unit

RING_MM = 3.0
RING_STEP_MM = 2.5
CORNERS = ((1.0, 1.0), (-1.0, 1.0), (1.0, -1.0), (-1.0, -1.0))
"""Where beside a ring its number is written, the usual one first."""
MOST_RINGED = 12
BAR_LENGTHS_MM = (1, 2, 5, 10, 20, 50, 100, 200, 500, 1000)
BAR_LENGTHS_IN = (0.125, 0.25, 0.5, 1, 2, 5, 10, 20)


def numbered(record: dict[str, Any]) -> list[tuple[int, dict[str, Any]]]:
    """The findings with the numbers that the account, the page and every picture give them."""
    return list(enumerate(record["findings"], start=1))


def place_of(record: dict[str, Any], finding: dict[str, Any]) -> tuple[float, float] | None:
    """Where a finding stands, mm, in the frame of the right-hand gearbox: where it says, else its feature's or its
    shaft's place; None for one that stands for the whole."""
    where = finding["where"]
    if where["x_mm"] is not None and where["y_mm"] is not None:
        return where["x_mm"], where["y_mm"]
    for plate in record["plates"]:
        if where["plate"] in (None, plate["plate"]):
            for feature in plate["features"]:
                if feature["id"] in where["features"]:
                    return (feature["x_mm"] if plate["hand"] == "right" else -feature["x_mm"]), feature["y_mm"]
    for shaft in record["shafts"]:
        if shaft["name"] in where["shafts"]:
            return shaft["x_mm"], shaft["y_mm"]
    return None


def ring_findings(
    picture: Picture,
    record: dict[str, Any],
    chosen: list[tuple[int, dict[str, Any]]],
    sign: float,
    taken: Sequence[Box] = (),
) -> list[RingPlace]:
    """A ring with its number at every chosen finding that has a place; findings at one place get rings round each
    other. Numbers stand beside all rings of their place, off each other and off the boxes `taken` where they can.
    Back come the rings."""
    places = [(one, place) for one in chosen[:MOST_RINGED] if (place := place_of(record, one[1])) is not None]
    bare: list[RingPlace] = []
    for _, (x, y) in places:
        here = [ring for ring in bare if _together(ring, sign * x, y)]
        bare.append(RingPlace(sign * x, y, RING_MM + RING_STEP_MM * len(here)))
    rings: list[RingPlace] = []
    scale = about_the_scale(picture)
    for (mark, finding), ring in zip((one for one, _ in places), bare, strict=True):
        same = [other for other in bare if _together(other, ring.x, ring.y)]
        clear = max(other.radius for other in same) if len(same) > 1 else 0.0
        off = [*taken, *(other.number_box(scale) for other in rings)]
        discs = [other.disc(scale) for other in bare if other not in same]
        turned = [replace(ring, corner=corner, clear=clear) for corner in CORNERS]
        best = min(turned, key=lambda one: _covered(one.number_box(scale), off, discs))  # the first of equal ones
        group = picture.group(f"finding-{mark}", RING_PENS[Severity(finding["severity"])])
        group.ring(best.x, best.y, best.radius, str(mark), best.corner, best.clear)
        rings.append(best)
    return rings


def _together(ring: RingPlace, x: float, y: float) -> bool:
    return abs(ring.x - x) + abs(ring.y - y) < RING_MM


def about_the_scale(picture: Picture) -> float:
    """Drawing mm for a page mm, as the frame alone makes it; what is drawn beyond that makes it a little more."""
    if picture.frame is None:
        return 1.0
    x0, y0, x1, y1 = picture.frame
    return max((x1 - x0) / PAGE_WIDTH, (y1 - y0) / PAGE_HEIGHT)


def _covered(box: Box, boxes: Sequence[Box], discs: Sequence[Disc]) -> int:
    """How many of these a box lies on."""
    x0, y0, x1, y1 = box
    on = sum(x0 < other[2] and other[0] < x1 and y0 < other[3] and other[1] < y1 for other in boxes)
    return on + sum(math.hypot(max(x0 - x, 0.0, x - x1), max(y0 - y, 0.0, y - y1)) < r for x, y, r in discs)


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
