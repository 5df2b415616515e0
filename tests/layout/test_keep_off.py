"""Standoffs that the tool places bring no plate into one of the job's keep-outs."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from shapely.geometry import Point, box
from shapely.ops import unary_union

from gearplate.layout.bodies import margin_discs
from gearplate.layout.certified.problem import HullOff
from gearplate.layout.design import Hole, HoleKind, Layout
from gearplate.layout.keep_off import joins_clear
from gearplate.layout.solve import solve_layout
from gearplate.layout.spec import KeepOut, LayoutSpec, Place
from tests.builders.specs import drive_spec


def hull(spec: LayoutSpec, holes: list[Hole]):  # type: ignore[no-untyped-def]
    """By the polygon library, which shares no code with ours."""
    discs = [disc for hole in holes for disc in margin_discs(hole, spec.margin_mm)]
    return unary_union([Point(x, y).buffer(r, quad_segs=256) for x, y, r in discs]).convex_hull


def bare(layout: Layout) -> list[Hole]:
    return [hole for hole in layout.holes if hole.kind is not HoleKind.STANDOFF]


@pytest.mark.parametrize("flat", [True, False])
def test_a_standoff_that_widens_the_plates_keeps_them_off_a_keep_out(flat: bool) -> None:
    spec = drive_spec(motors=2)
    layout = solve_layout(spec)
    places = {shaft.name: Place(x_mm=shaft.x_mm, y_mm=shaft.y_mm) for shaft in layout.shafts if shaft.name != "output"}
    spec = replace(spec, places=places)
    layout = solve_layout(spec)
    without, whole = hull(spec, bare(layout)), hull(spec, list(layout.holes))
    added = whole.difference(without.buffer(0.05))
    at = max(getattr(added, "geoms", [added]), key=lambda part: part.area).representative_point()
    assert at.distance(without) > 0.3  # standoffs widen the plates there
    keep = KeepOut("hose", disc=(at.x, at.y, 0.1), z0_mm=-500.0, z1_mm=500.0)
    if flat:
        keep = KeepOut("hose", box=(at.x - 0.1, at.y - 0.1, at.x + 0.1, at.y + 0.1), z0_mm=-500.0, z1_mm=500.0)
    shape = box(*keep.box) if keep.box is not None else Point(at.x, at.y).buffer(0.1)
    moved = solve_layout(replace(spec, keep_outs=(keep,)))
    assert len(moved.standoffs) == spec.standoffs.count
    assert not hull(spec, list(moved.holes)).intersects(shape)
    # at another height it is in nobody's way
    above = replace(keep, z0_mm=400.0)
    assert solve_layout(replace(spec, keep_outs=(above,))).standoffs == layout.standoffs


def test_where_a_disc_may_join_against_the_polygon_library() -> None:
    random = np.random.default_rng(5)
    discs = [(0.0, 0.0, 20.0), (60.0, 10.0, 15.0), (30.0, 50.0, 10.0)]
    points = random.uniform(-60.0, 120.0, (1500, 2))
    lost = asked = 0
    for off in (HullOff(90.0, 60.0, 90.0, 60.0, 8.0), HullOff(-60.0, 40.0, -20.0, 80.0, 0.0)):
        found = joins_clear(points, 9.0, discs, [off])
        shape = box(off.x0_mm, off.y0_mm, off.x1_mm, off.y1_mm) if off.x1_mm > off.x0_mm else Point(90.0, 60.0)
        for point, good in zip(points, found, strict=True):
            rims = [Point(x, y).buffer(r, quad_segs=64) for x, y, r in (*discs, (*point, 9.0))]
            away = unary_union(rims).convex_hull.distance(shape) - off.least_mm
            assert not good or away > -0.02  # chords of the polygon library
            lost += away > 0.5 and not good
            asked += away <= 0.0
    assert asked > 300
    assert lost == 0


def test_what_the_hull_already_reaches_into_asks_nothing() -> None:
    points = np.array([[0.0, 30.0], [200.0, 0.0]])
    inside = HullOff(10.0, 0.0, 12.0, 4.0, 0.0)
    assert joins_clear(points, 5.0, [(0.0, 0.0, 20.0)], [inside]).all()
    assert joins_clear(points, 5.0, [(0.0, 0.0, 20.0)], []).all()
    beside = HullOff(100.0, 0.0, 100.0, 0.0, 1.0)
    assert joins_clear(points, 5.0, [(0.0, 0.0, 20.0)], [beside]).tolist() == [True, False]
