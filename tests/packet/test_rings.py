"""Rings round findings: each number can be read, and the line to it crosses no other number and no other line."""

from __future__ import annotations

import itertools
import math
import random
import re
from typing import Any

import pytest

from gearplate.drawing.items import Ring
from gearplate.drawing.picture import Picture
from gearplate.packet.labels import Box
from gearplate.packet.overlay import overlay
from gearplate.packet.plate_picture import plate_picture
from gearplate.packet.rings import ring_findings
from tests.builders.records import finding, record
from tests.builders.svg_reading import SVG, Seen, read_picture

Point = tuple[float, float]

TALL, WIDE = 0.72, 0.69
"""A bold figure in font sizes: what a common sans-serif (DejaVu Sans) draws; most are smaller. Measured."""


def _rings(taken: tuple[Box, ...], *findings: dict[str, Any]) -> tuple[Ring, ...]:
    one = record(findings=list(findings))
    picture = Picture("test", "Test", "Rings.", frame=(0.0, 0.0, 180.0, 240.0))
    found = ring_findings(picture, one, list(enumerate(one["findings"], start=1)), 1.0, taken)
    return found.placed(1.0)  # a page mm for a drawing mm


def _meet(a: Box, b: Box) -> bool:
    return a[0] < b[2] and b[0] < a[2] and a[1] < b[3] and b[1] < a[3]


def _drawn(seen: Seen, count: int) -> tuple[list[Box], list[tuple[Point, Point] | None]]:
    """What the numbers cover and the lines to them, as they stand in the file."""
    boxes, lines = [], []
    for mark in range(1, count + 1):
        group = seen.group(f"finding-{mark}-number")
        text = group.findall(f"{SVG}text")[-1]
        assert text.text == str(mark)
        size, x, y = (float(text.get(key, "nan")) for key in ("font-size", "x", "y"))
        wide = WIDE * size * len(text.text)
        left = x - {"start": 0.0, "middle": 0.5, "end": 1.0}[text.get("text-anchor", "start")] * wide
        boxes.append((left, y - TALL * size, left + wide, y))
        paths = group.findall(f"{SVG}path")
        numbers = [float(one) for one in re.findall(r"-?[0-9.]+", paths[-1].get("d", ""))] if paths else []
        lines.append(((numbers[0], numbers[1]), (numbers[2], numbers[3])) if numbers else None)
    return boxes, lines


def _along(line: tuple[Point, Point]) -> list[Point]:
    (x0, y0), (x1, y1) = line
    return [(x0 + share * (x1 - x0), y0 + share * (y1 - y0)) for share in (step / 400 for step in range(401))]


def _hold_apart(seen: Seen, count: int) -> None:
    boxes, lines = _drawn(seen, count)
    assert not any(_meet(a, b) for a, b in itertools.combinations(boxes, 2))
    for line, box in itertools.product(filter(None, lines), boxes):
        assert not any(box[0] < x < box[2] and box[1] < y < box[3] for x, y in _along(line))
    for a, b in itertools.combinations([line for line in lines if line is not None], 2):
        near = min(math.dist(p, q) for p in _along(a)[::8] for q in _along(b)[::8])
        assert near > 0.4 or not _cross(a, b)


def _cross(a: tuple[Point, Point], b: tuple[Point, Point]) -> bool:
    """By complex numbers: the ends of each, turned so that the other lies along x, are above and below."""

    def apart(line: tuple[Point, Point], other: tuple[Point, Point]) -> bool:
        foot = complex(*line[0])
        turn = (complex(*line[1]) - foot).conjugate()
        first, second = (((complex(*end) - foot) * turn).imag for end in other)
        return first * second < 0.0

    return apart(a, b) and apart(b, a)


def _places(kind: str, count: int) -> list[Point]:
    if kind == "one place":
        return [(-10.0, 60.0)] * count
    if kind == "two places":
        return [(-10.0, 60.0) if one % 2 else (0.0, 58.0) for one in range(count)]
    if kind == "a row":
        return [(-10.0 + 5.0 * one, 60.0) for one in range(count)]
    if kind == "a spiral":
        turns = [(4.0 * math.sqrt(one), 2.39996 * one) for one in range(count)]  # by the golden angle
        return [(-10.0 + r * math.cos(a), 60.0 + r * math.sin(a)) for r, a in turns]
    chance = random.Random(count)
    return [(chance.uniform(-22.0, 2.0), chance.uniform(48.0, 72.0)) for _ in range(count)]


@pytest.mark.parametrize("count", range(2, 13))
def test_every_number_of_a_crowd_can_be_read_and_followed_to_its_ring(count: int) -> None:
    one = record(status="refused", findings=[finding("web", at=place) for place in _places("a crowd", count)])
    _hold_apart(read_picture(overlay(one).file()), count)


@pytest.mark.parametrize("kind", ["one place", "two places", "a row", "a spiral"])
def test_twelve_at_most_are_ringed_however_they_crowd(kind: str) -> None:
    one = record(status="refused", findings=[finding("web", at=at, plate="outboard") for at in _places(kind, 13)])
    _hold_apart(read_picture(overlay(one).file()), 12)
    _hold_apart(read_picture(plate_picture(one, one["plates"][0]).file()), 12)


def test_findings_at_one_place_ring_each_other() -> None:
    seen = read_picture(overlay(record(findings=[finding(), finding("web"), finding("edge")])).file())
    rings = {seen.circles(f"finding-{n}")[0][2] for n in (1, 2, 3)}
    assert len(rings) == 3


def test_numbers_of_findings_at_one_place_stand_outside_all_its_rings() -> None:
    rings = _rings((), *(finding(check, at=(90.0, 120.0)) for check in ("web", "edge", "bed-size")))
    widest = max(ring.radius(1.0) for ring in rings)
    for box in (ring.mark_box(1.0) for ring in rings):
        near = math.hypot(max(box[0] - 90.0, 90.0 - box[2], 0.0), max(box[1] - 120.0, 120.0 - box[3], 0.0))
        assert near > widest - 3.0  # what is kept free is larger than the figure


def test_a_number_keeps_off_what_is_etched() -> None:
    (free,) = _rings((), finding(at=(90.0, 120.0)))
    assert free.toward == (1.0, 1.0)
    assert free.leader(1.0) is None
    etched = (91.0, 120.0, 140.0, 126.0)
    (moved,) = _rings((etched,), finding(at=(90.0, 120.0)))
    assert _meet(free.mark_box(1.0), etched)
    assert not _meet(moved.mark_box(1.0), etched)


def test_names_keep_off_the_lines_to_numbers() -> None:
    one = record(status="refused", findings=[finding("web", at=place) for place in _places("one place", 12)])
    picture = Picture("test", "Test", "Rings.", frame=(0.0, 0.0, 180.0, 240.0))
    found = ring_findings(picture, one, list(enumerate(one["findings"], start=1)), 1.0)
    lines = [line for ring in found.placed(1.0) if (line := ring.leader(1.0)) is not None]
    assert len(lines) >= 9
    discs = found.discs(1.0)
    for line in lines:
        assert all(min(math.dist(at, disc[:2]) - disc[2] for disc in discs[12:]) < 2.0 for at in _along(line))


def test_a_small_hole_is_seen_within_its_ring_and_a_large_one_is_ringed_in_its_middle() -> None:
    plates = record()["plates"]
    screw = next(one for one in plates[0]["features"] if one["id"] == "standoff-2")
    bore = next(one for one in plates[0]["features"] if one["kind"] == "bearing_bore")
    assert screw["finished_diameter_mm"] < 14.0 < bore["finished_diameter_mm"]
    told = finding("web", at=(screw["x_mm"], screw["y_mm"]))
    (ring,) = _rings((), told)
    assert ring.radius_mm >= 0.5 * screw["finished_diameter_mm"] + 1.0
    (elsewhere,) = _rings((), finding("web", at=(screw["x_mm"] + 20.0, screw["y_mm"])))
    of_bore = finding("web", at=(bore["x_mm"], bore["y_mm"]))
    of_bore["where"]["features"] = [bore["id"]]
    (middle,) = _rings((), of_bore)
    assert middle.radius_mm == elsewhere.radius_mm < 0.5 * bore["finished_diameter_mm"]
