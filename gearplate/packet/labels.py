"""Where to write beside what: labels that cover neither each other nor the holes they name. Drawing mm, y up."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from gearplate.geometry.boxes import line_meets_box

Box = tuple[float, float, float, float]
"""x0, y0, x1, y1."""

Disc = tuple[float, float, float]
"""x, y, radius."""

LINE_HEIGHT = 1.2
_LETTER_WIDTH = 0.58  # of the letter size, a generous mean for lower case
_WIDE = frozenset("MWmw@%×±Ø…")
_BEYOND_LATIN = "\u0100"  # from here on nothing is known of a letter's width
_NARROW = frozenset("ijlI.,:;'|! -()")
_DIRECTIONS = tuple(
    (math.cos(math.radians(angle)), math.sin(math.radians(angle)))
    for angle in (0, 180, 90, -90, 30, -30, 150, -150, 60, -60, 120, -120, 15, -15, 165, -165)
)
_REACHES = (0.3, 0.9, 1.8, 2.9, 4.2, 6.0, 8.5)  # distances tried, in letter sizes
_LEADER_FROM = 1.5  # letter sizes from which a line leads to what is named
_MOST_LOOKED_AT = 400  # discs near one label; where there are more, some of them stand for all
_CROWD = 150  # discs and boxes from which all directions are judged at once: fewer are quicker one by one
_LEAST_NAMED = 0.3  # letter sizes: smaller discs stand for lines, not for holes


@dataclass(frozen=True, slots=True)
class Label:
    """Lines of text that name the round thing of `radius` at (x, y). `size` times the usual letters; the first line is
    bold where `bold`. `inside`: its middle is tried first. `away`: a direction to be tried before others."""

    lines: tuple[str, ...]
    x: float
    y: float
    radius: float
    size: float = 1.0
    bold: bool = False
    inside: bool = False
    away: tuple[float, float] | None = None


@dataclass(frozen=True, slots=True)
class PlacedLabel:
    """A label in its place: `box` holds its text; `leader` runs from the thing named to the text, or is None."""

    label: Label
    box: Box
    leader: tuple[tuple[float, float], tuple[float, float]] | None


def text_width(text: str, letter: float) -> float:
    """About how wide a line is set, by classes of letters: fonts differ, so it is on the generous side."""
    if not all(c < _BEYOND_LATIN or c in _WIDE for c in text):
        return 0.8 * letter * len(text)
    widths = (0.86 if c in _WIDE else 0.36 if c in _NARROW else _LETTER_WIDTH if c.islower() else 0.66 for c in text)
    return letter * sum(widths)


def label_size(label: Label, letter: float) -> tuple[float, float]:
    """Width and height of the box that a label needs, its letters `letter` tall."""
    bold = 1.1 if label.bold else 1.0
    width = max(text_width(line, letter) * (bold if index == 0 else 1.0) for index, line in enumerate(label.lines))
    return width + 0.3 * letter, letter * LINE_HEIGHT * len(label.lines)


def placed_labels(
    labels: Sequence[Label], letter: float, keep_off: Sequence[Disc], bounds: Box, taken: Sequence[Box] = ()
) -> tuple[PlacedLabel, ...]:
    """Place the labels one after the other; letters of size 1 are `letter` tall.

    `keep_off` are discs that text should not cover, `taken` boxes. The first place that is free is taken, nearer ones
    and level ones before others; where none is, the one that covers least.
    """
    boxes = list(taken)
    result = []
    for label in labels:
        placed = _place(label, letter * label.size, keep_off, boxes, bounds)
        boxes.append(placed.box)
        result.append(placed)
    return tuple(result)


def _place(label: Label, letter: float, keep_off: Sequence[Disc], taken: list[Box], bounds: Box) -> PlacedLabel:
    width, height = label_size(label, letter)
    if label.inside and math.hypot(width, height) <= 1.9 * label.radius:
        box = _box(label.x, label.y, width, height)
        foreign = [disc for disc in keep_off if math.hypot(disc[0] - label.x, disc[1] - label.y) > 1e-6]
        if _covered(box, foreign, taken, bounds, math.inf) == 0.0:
            return PlacedLabel(label, box, None)
    far = label.radius + (_REACHES[-1] + 1.0) * letter + width
    near = [disc for disc in keep_off if math.hypot(disc[0] - label.x, disc[1] - label.y) < far + disc[2]]
    near = near[:: 1 + len(near) // _MOST_LOOKED_AT]
    best = PlacedLabel(label, _box(label.x, label.y, width, height), None)
    least, crossed = math.inf, 0  # what the best so far covers, and how much text its line runs through
    directions: Sequence[tuple[float, float]] = _DIRECTIONS
    if label.away is not None:
        to_x, to_y = label.away
        directions = sorted(directions, key=lambda unit: -unit[0] * to_x - unit[1] * to_y)
    for reach in _REACHES:
        away = label.radius + reach * letter
        tried = [
            _box(label.x + ux * away + _toward(ux, width), label.y + uy * away + _toward(uy, height), width, height)
            for ux, uy in directions
        ]
        costs = _covered_at_once(tried, near, taken, bounds) if len(near) + len(taken) > _CROWD else None
        for index, (ux, uy) in enumerate(directions):
            box = tried[index]
            cost = _covered(box, near, taken, bounds, least) if costs is None else costs[index]
            if cost < least or (cost == least and crossed):
                start = (label.x + ux * label.radius, label.y + uy * label.radius)
                inset = 0.1 * width  # text is rarely as wide as its box
                end = (
                    min(max(label.x, box[0] + inset), box[2] - inset),
                    min(max(label.y, box[1]), box[3]),
                )
                led = reach >= _LEADER_FROM or _nearer_to_another(box, label, near, letter)
                across = _crossed(start, end, taken) if led else 0
                if cost == least and across >= crossed:
                    continue
                least, crossed = cost, across
                best = PlacedLabel(label, box, (start, end) if led else None)
                if cost == 0.0 and not crossed:
                    return best
    return best


def _crossed(start: tuple[float, float], end: tuple[float, float], taken: Sequence[Box]) -> int:
    """How many boxes of other text a leader runs through."""
    return sum(line_meets_box(start, end, other) for other in taken)


def _nearer_to_another(box: Box, label: Label, discs: Sequence[Disc], letter: float) -> bool:
    """Whether a label could be taken for that of another hole."""
    own = _gap(box, label.x, label.y, label.radius)
    return any(
        radius > _LEAST_NAMED * letter
        and math.hypot(x - label.x, y - label.y) > label.radius + radius
        and _gap(box, x, y, radius) < own + 0.6 * letter
        for x, y, radius in discs
    )


def _gap(box: Box, x: float, y: float, radius: float) -> float:
    """Distance between a box and a disc."""
    return math.hypot(max(box[0] - x, 0.0, x - box[2]), max(box[1] - y, 0.0, y - box[3])) - radius


def _toward(share: float, extent: float) -> float:
    """How far the middle of a box lies beyond its edge in a direction: half its extent, none when square to it."""
    return math.copysign(0.5 * extent, share) if abs(share) > 0.45 else share * extent


def _box(x: float, y: float, width: float, height: float) -> Box:
    return x - 0.5 * width, y - 0.5 * height, x + 0.5 * width, y + 0.5 * height


def _covered(box: Box, discs: Sequence[Disc], taken: Sequence[Box], bounds: Box, enough: float) -> float:
    """How much a box covers what it should not, mm2; 0 = free. Stops counting beyond `enough`."""
    x0, y0, x1, y1 = box
    outside = max(bounds[0] - x0, 0.0) + max(bounds[1] - y0, 0.0) + max(x1 - bounds[2], 0.0) + max(y1 - bounds[3], 0.0)
    cost = 20.0 * (y1 - y0) * outside
    for other in taken:
        wide = min(x1, other[2]) - max(x0, other[0])
        if wide > 0.0:
            high = min(y1, other[3]) - max(y0, other[1])
            if high > 0.0:
                cost += 10.0 * wide * high
                if cost > enough:
                    return cost
    for cx, cy, radius in discs:
        dx = cx - x0 if cx < x0 else cx - x1 if cx > x1 else 0.0
        dy = cy - y0 if cy < y0 else cy - y1 if cy > y1 else 0.0
        into = radius * radius - dx * dx - dy * dy
        if into > 0.0:
            cost += into
            if cost > enough:
                return cost
    return cost


def _covered_at_once(boxes: Sequence[Box], discs: Sequence[Disc], taken: Sequence[Box], bounds: Box) -> list[float]:
    """`_covered` of many boxes, each counted to the end and in the same order: the same numbers to the last bit."""
    import numpy as np

    x0, y0, x1, y1 = np.array(boxes).T
    outside = (
        np.maximum(bounds[0] - x0, 0.0)
        + np.maximum(bounds[1] - y0, 0.0)
        + np.maximum(x1 - bounds[2], 0.0)
        + np.maximum(y1 - bounds[3], 0.0)
    )
    other = np.array(taken).reshape(-1, 4, 1)
    wide = np.maximum(np.minimum(x1, other[:, 2]) - np.maximum(x0, other[:, 0]), 0.0)
    high = np.maximum(np.minimum(y1, other[:, 3]) - np.maximum(y0, other[:, 1]), 0.0)
    round_thing = np.array(discs).reshape(-1, 3, 1)
    cx, cy, radius = round_thing[:, 0], round_thing[:, 1], round_thing[:, 2]
    dx = np.maximum(np.maximum(x0 - cx, cx - x1), 0.0)
    dy = np.maximum(np.maximum(y0 - cy, cy - y1), 0.0)
    into = np.maximum(radius * radius - dx * dx - dy * dy, 0.0)
    rows = np.concatenate([(20.0 * (y1 - y0) * outside)[np.newaxis], 10.0 * wide * high, into])
    costs: list[float] = np.cumsum(rows, axis=0)[-1].tolist()
    return costs
