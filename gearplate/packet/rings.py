"""Rings round findings, and the places of their numbers: off each other, with no line across another's number."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from typing import Any
from xml.etree.ElementTree import Element

from gearplate.drawing.items import Ring
from gearplate.drawing.pens import Pen
from gearplate.drawing.picture import RING_PENS, Picture
from gearplate.finding import Severity
from gearplate.geometry.boxes import Box, boxes_meet, grown, line_meets_box
from gearplate.packet.labels import Disc

Line = tuple[tuple[float, float], tuple[float, float]]

RING_MM = 3.0
RING_STEP_MM = 2.5
WIDEST_RINGED_MM = 14.0  # holes up to here have their ring round them, larger ones in their middle
RING_AIR_MM = 1.6
MOST_RINGED = 12
STEPS_OFF = (0.0, 4.0, 8.0, 13.0, 19.0, 26.0, 34.0)
"""How much farther off a number may stand where findings crowd, page mm; a line then leads to it."""
TOWARD = (
    *((1.0, 1.0), (-1.0, 1.0), (1.0, -1.0), (-1.0, -1.0), (1.5, 0.0), (-1.5, 0.0), (0.0, 1.6), (0.0, -1.6)),
    *((1.3, 0.55), (-1.3, 0.55), (1.3, -0.55), (-1.3, -0.55), (0.55, 1.3), (-0.55, 1.3), (0.55, -1.3), (-0.55, -1.3)),
)
"""Where beside a ring its number may stand, the usual one first: the corners, then the sides, then between them."""
ON_A_NUMBER, ACROSS_A_NUMBER, ACROSS_A_LINE, ON_A_RING = 60, 40, 25, 1
"""How bad it is. A number on another can not be read at all, one on a ring can; a line that crosses a foreign ring may
be taken for that one's."""
MOST_SWEEPS = 4
AIR = 0.4  # round a number that a line should keep off, page mm


@dataclass(slots=True)
class Rings:
    """Rings as they are to be drawn, their numbers off the boxes `taken` too where they can be. Where the numbers stand
    is settled once the scale is known."""

    rings: Sequence[Ring]
    taken: Sequence[Box] = ()
    _placed: dict[float, tuple[Ring, ...]] = field(default_factory=dict)

    def placed(self, scale: float) -> tuple[Ring, ...]:
        """The rings, each with the place of its number."""
        if scale not in self._placed:
            self._placed[scale] = _placed(self.rings, self.taken, scale)
        return self._placed[scale]

    def discs(self, scale: float) -> list[Disc]:
        """What the rings cover, and points along the lines to their numbers."""
        placed = self.placed(scale)
        discs = [_disc(ring, scale) for ring in placed]
        for (x0, y0), (x1, y1) in filter(None, (ring.leader(scale) for ring in placed)):
            steps = math.ceil(math.dist((x0, y0), (x1, y1)) / (2.0 * scale))
            shares = [step / steps for step in range(steps)]
            discs += [(x0 + share * (x1 - x0), y0 + share * (y1 - y0), 0.3 * scale) for share in shares]
        return discs

    def boxes(self, scale: float) -> list[Box]:
        """What the numbers cover."""
        return [ring.mark_box(scale) for ring in self.placed(scale)]


@dataclass(frozen=True, slots=True)
class _OneOf:
    """One of the rings or, where `mark`, its number with the line to it, drawn by itself: each has the pen of its
    severity."""

    all: Rings
    index: int
    mark: bool

    def extents(self) -> Box:
        return self.all.rings[self.index].extents()

    def reach(self, scale: float) -> Box:
        return self.all.placed(scale)[self.index].reach(scale)

    def elements(self, scale: float, pen: Pen) -> list[Element]:
        ring = self.all.placed(scale)[self.index]
        return ring.mark_elements(scale, pen) if self.mark else ring.ring_elements(scale, pen)


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
) -> Rings:
    """A ring with its number at every chosen finding that has a place; findings at one place get rings round each
    other. Back come the rings."""
    rings: list[Ring] = []
    severities = []
    for mark, finding in chosen[:MOST_RINGED]:
        place = place_of(record, finding)
        if place is not None:
            at = (sign * place[0], place[1])
            here = sum(_together(ring.at, at) for ring in rings)
            rings.append(Ring(at, _round(record, finding, place) + RING_STEP_MM * here, str(mark)))
            severities.append(finding["severity"])
    found = Rings(rings, taken)
    for part in ("", "-number"):  # a ring's white edge would cut the lines drawn before it
        for index, (ring, severity) in enumerate(zip(rings, severities, strict=True)):
            group = picture.group(f"finding-{ring.text}{part}", RING_PENS[Severity(severity)])
            group.items.append(_OneOf(found, index, bool(part)))
    return found


def _round(record: dict[str, Any], finding: dict[str, Any], place: tuple[float, float]) -> float:
    """Radius of a finding's ring: round the hole that it is of, where that is a small one, so that both are seen."""
    for plate in record["plates"]:
        for feature in plate["features"]:
            x = feature["x_mm"] if plate["hand"] == "right" else -feature["x_mm"]
            here = feature["id"] in finding["where"]["features"] and _together(place, (x, feature["y_mm"]))
            if here and feature["form"] == "circle" and feature["finished_diameter_mm"] <= WIDEST_RINGED_MM:
                return max(RING_MM, 0.5 * float(feature["finished_diameter_mm"]) + RING_AIR_MM)
    return RING_MM


def _together(a: tuple[float, float], b: tuple[float, float]) -> bool:
    return abs(a[0] - b[0]) + abs(a[1] - b[1]) < RING_MM


def _placed(rings: Sequence[Ring], taken: Sequence[Box], scale: float) -> tuple[Ring, ...]:
    """Each number in turn to where it is in nobody's way, else least; then again, with all others in their places."""
    ways = [_ways(ring, rings, scale) for ring in rings]
    # not those of its own place: beside all of these a number stands anyhow
    discs = [[_disc(other, scale) for other in rings if not _together(other.at, ring.at)] for ring in rings]
    placed: list[Ring] = []
    for own, foreign in zip(ways, discs, strict=True):
        placed.append(_best(own, placed, taken, foreign, scale))
    for _ in range(MOST_SWEEPS):
        before = list(placed)
        for index, (own, foreign) in enumerate(zip(ways, discs, strict=True)):
            others = placed[:index] + placed[index + 1 :]
            placed[index] = _best([placed[index], *own], others, taken, foreign, scale)
        if placed == before:
            break
    return tuple(placed)


def _ways(ring: Ring, rings: Sequence[Ring], scale: float) -> list[Ring]:
    """A ring with its number in every place beside the rings of one place: the nearest first."""
    widest = max(other.radius(scale) for other in rings if _together(other.at, ring.at))
    return [replace(ring, toward=to, clear_mm=widest + step * scale) for step in STEPS_OFF for to in TOWARD]


def _best(
    ways: Sequence[Ring], others: Sequence[Ring], taken: Sequence[Box], discs: Sequence[Disc], scale: float
) -> Ring:
    """The first of the ways that are least in the way."""
    boxes = [*(other.mark_box(scale) for other in others), *taken]
    lines = [line for other in others if (line := other.leader(scale)) is not None]
    best, least = ways[0], math.inf
    for way in ways:
        cost = _in_the_way(way, boxes, lines, discs, scale, least)
        if cost < least:
            best, least = way, cost
        if least == 0:
            break
    return best


def _in_the_way(
    ring: Ring, boxes: Sequence[Box], lines: Sequence[Line], discs: Sequence[Disc], scale: float, enough: float
) -> int:
    """What a number and its line cover and cross; once that is `enough`, no more is counted."""
    own, line = ring.mark_box(scale), ring.leader(scale)
    aired = grown(own, AIR * scale)
    cost = ON_A_NUMBER * sum(boxes_meet(own, box) for box in boxes)
    cost += ACROSS_A_NUMBER * sum(line_meets_box(*other, aired) for other in lines)
    cost += ON_A_RING * sum(_gap(own, disc) < 0.0 for disc in discs)
    if line is not None and cost < enough:
        cost += ACROSS_A_NUMBER * sum(line_meets_box(*line, grown(box, AIR * scale)) for box in boxes)
        cost += ACROSS_A_LINE * sum(_cross(line, other) for other in lines)
        cost += ON_A_RING * sum(_from_line(line, disc) < disc[2] for disc in discs)
    return cost


def _disc(ring: Ring, scale: float) -> Disc:
    return *ring.at, ring.radius(scale)


def _gap(box: Box, disc: Disc) -> float:
    x, y, radius = disc
    return math.hypot(max(box[0] - x, 0.0, x - box[2]), max(box[1] - y, 0.0, y - box[3])) - radius


def _from_line(line: Line, disc: Disc) -> float:
    """How far the middle of a disc is from a line."""
    (x0, y0), (x1, y1) = line
    along_x, along_y, to_x, to_y = x1 - x0, y1 - y0, disc[0] - x0, disc[1] - y0
    square = along_x * along_x + along_y * along_y
    share = min(1.0, max(0.0, (along_x * to_x + along_y * to_y) / square)) if square > 0.0 else 0.0
    return math.hypot(to_x - share * along_x, to_y - share * along_y)


def _cross(a: Line, b: Line) -> bool:
    """Whether two lines cross, each with its ends on either side of the other."""
    return _side(a, b[0]) * _side(a, b[1]) < 0.0 and _side(b, a[0]) * _side(b, a[1]) < 0.0


def _side(line: Line, point: tuple[float, float]) -> float:
    (x0, y0), (x1, y1) = line
    return (x1 - x0) * (point[1] - y0) - (y1 - y0) * (point[0] - x0)
