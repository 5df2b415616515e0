"""Screws and posts that the tool places keep a web off the user's own holes."""

from __future__ import annotations

import math

import pytest

from gearplate.layout.design import HoleKind, Layout
from gearplate.layout.solve import solve_layout
from gearplate.layout.spec import LayoutSpec, OwnDisc, Place, Side
from tests.builders.specs import drive_spec

PLACES = {"S1": Place(angle_rad=math.radians(77)), "M1": Place(angle_rad=math.radians(100))}


def solved(*own: OwnDisc) -> tuple[LayoutSpec, Layout]:
    spec = drive_spec(motors=1, places=PLACES, own_discs=own)
    return spec, solve_layout(spec)


@pytest.mark.parametrize("which", ["standoff", "rail"])
@pytest.mark.parametrize("hung", [False, True])
def test_they_make_way_for_an_own_hole_where_they_stood(which: str, hung: bool) -> None:
    _, before = solved()
    x, y = before.standoffs[0] if which == "standoff" else before.rail_holes[0]
    shaft = before.shaft("S1")
    place = ("S1", x - shaft.x_mm, y - shaft.y_mm) if hung else (None, x, y)
    spec, after = solved(OwnDisc((Side.INBOARD,), *place, 4.0))
    moved = after.standoffs if which == "standoff" else after.rail_holes
    assert len(moved) == len(before.standoffs if which == "standoff" else before.rail_holes)
    web = max(spec.inboard.used_mm, 3.0)
    kinds = (HoleKind.STANDOFF, HoleKind.RAIL_HOLE, HoleKind.MOTOR_SCREW)
    for hole in after.holes:
        if hole.side is Side.INBOARD and hole.kind in kinds:
            gap = math.dist((hole.x_mm, hole.y_mm), (x, y)) - 0.5 * (hole.part_diameter_mm + 4.0)
            assert gap >= web - 1e-6, hole.id


def test_a_hole_far_off_changes_nothing() -> None:
    _, before = solved()
    _, after = solved(OwnDisc((Side.OUTBOARD,), None, 300.0, 300.0, 8.0))
    assert (after.standoffs, after.rail_holes) == (before.standoffs, before.rail_holes)
