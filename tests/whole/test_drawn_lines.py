"""What the account says of the cut lines, held against the cut files: it never says that nothing that is cut has moved
where a cut contour is another one, and says it wherever all of them are the same to a micrometre."""

from __future__ import annotations

import json
from typing import Any

import pytest

from gearplate.build import cut_files, make
from gearplate.packet.differences import LINES_MOVED, NOTHING_ELSE_MOVED, NOTHING_MOVED, difference_lines
from gearplate.record.design_record import design_record
from tests import zoo
from tests.builders.dxf_tags import Contour, contours, mm_per_unit

MICROMETRE = 1e-3

CASES = {
    "cutter=demo-axis": LINES_MOVED,
    "cutter=demo-lead-in": LINES_MOVED,
    "cutter=demo-machine-compensates": LINES_MOVED,
    "plates.outboard.face_up=outboard": LINES_MOVED,
    "drawing_units=inch": LINES_MOVED,
    "plates.measured=0.25": NOTHING_MOVED,
    "revision=B": NOTHING_MOVED,
    "part=compost-renamed": NOTHING_MOVED,
    "plates.marks=false": NOTHING_MOVED,
    "wheel.width=1.2": NOTHING_MOVED,
    'shafts.S1.fit="0.015 mm"': NOTHING_ELSE_MOVED,
    "hand=left": NOTHING_ELSE_MOVED,
}


@pytest.mark.parametrize(("change", "closing"), CASES.items())
def test_the_closing_line_agrees_with_the_cut_files(change: str, closing: str, whole: Any) -> None:
    old = whole("every-place-given")
    new = make(zoo.job("every-place-given", [change]))
    lines = difference_lines(old.record, json.loads(json.dumps(design_record(new))))
    assert lines[-1] == closing
    before = [cut_contours(old.data(plate)) for plate in old.plates()]
    after = [cut_contours(data) for _, data in cut_files(new).files]
    same = len(before) == len(after) and all(map(alike, before, after))
    assert same is (closing == NOTHING_MOVED)


def test_kerf_by_axis_is_told_as_the_files_have_it(whole: Any) -> None:
    """The demo cutter's kerf is 0.2 mm; demo-axis has 0.26 mm along x and 0.14 mm along y, the same on the average."""
    new = json.loads(json.dumps(design_record(make(zoo.job("every-place-given", ["cutter=demo-axis"])))))
    assert difference_lines(whole("every-place-given").record, new)[0] == (
        "Changed: outboard and inboard: kerf 0.2 → 0.26 mm along x, 0.2 → 0.14 mm along y: "
        "the drawn lines follow, the finished sizes stay"
    )


def cut_contours(data: bytes) -> list[Contour]:
    """As drawn, in the numbers of the file."""
    scale = mm_per_unit(data)
    return [_unscaled(one, scale) for one in contours(data) if one.layer != "etch"]


def _unscaled(one: Contour, scale: float) -> Contour:
    centre = None if one.centre is None else (one.centre[0] / scale, one.centre[1] / scale)
    vertices = tuple((x / scale, y / scale, bulge) for x, y, bulge in one.vertices)
    return Contour(one.layer, one.closed, centre, one.radius / scale, vertices)


def alike(one: list[Contour], other: list[Contour]) -> bool:
    return len(one) == len(other) and all(_same(a, b) for a, b in zip(one, other, strict=True))


def _same(a: Contour, b: Contour) -> bool:
    if (a.layer, a.closed, a.centre is None, len(a.vertices)) != (b.layer, b.closed, b.centre is None, len(b.vertices)):
        return False
    numbers = [(*(one.centre or ()), one.radius, *(x for vertex in one.vertices for x in vertex)) for one in (a, b)]
    return all(abs(x - y) < MICROMETRE for x, y in zip(*numbers, strict=True))
