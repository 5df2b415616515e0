"""What is left of a region beside obstacles, against the polygon library."""

from __future__ import annotations

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely.geometry import LineString, Point

from gearplate.geometry.crossing import self_crossing
from gearplate.geometry.path import is_ccw, signed_area
from gearplate.geometry.segments import arc_about
from gearplate.geometry.shapes import Circle, Path
from gearplate.geometry.slot import rectangle_path
from gearplate.plate.free_region import Bar, BentBar, Island, Rib, disc, free_contours
from tests.builders.regions import polygon

FIELD = rectangle_path(0.0, 0.0, 100.0, 80.0, 0.0, 6.0)


def without_islands(left: object) -> float:
    """Area of the parts that hold no island (those would fall out)."""
    parts = getattr(left, "geoms", [left])
    return sum(part.area for part in parts if not part.interiors)


BARS = st.builds(
    Bar, st.floats(-60, 60), st.floats(-50, 50), st.floats(-60, 60), st.floats(-50, 50), st.floats(1.0, 12.0)
)


@settings(max_examples=70)
@given(st.lists(BARS, max_size=8))
def test_discs_and_bars_leave_what_the_polygon_library_leaves(bars: list[Bar]) -> None:
    left = polygon(FIELD, 1e-5)
    for bar in bars:
        line = LineString([(bar.x0_mm, bar.y0_mm), (bar.x1_mm, bar.y1_mm)])
        base = line if line.length > 0.0 else Point(bar.x0_mm, bar.y0_mm)
        left = left.difference(base.buffer(bar.half_mm, quad_segs=256))
    found = free_contours(FIELD, bars)
    assert all(is_ccw(path) for path in found)
    assert sum(signed_area(path) for path in found) == pytest.approx(without_islands(left), abs=0.2)


def test_a_bent_bar_and_an_island() -> None:
    arc = arc_about(0.0, 0.0, 30.0, 0.3, 2.0)
    box = rectangle_path(0.0, -20.0, 20.0, 90.0)
    found = free_contours(FIELD, [BentBar(arc, 4.0), Island(box)])
    bow = LineString([(30.0 * math.cos(0.3 + 2.0 * n / 400), 30.0 * math.sin(0.3 + 2.0 * n / 400)) for n in range(401)])
    left = polygon(FIELD, 1e-5).difference(bow.buffer(4.0, quad_segs=64)).difference(polygon(box, 1e-5))
    assert sum(signed_area(path) for path in found) == pytest.approx(without_islands(left), abs=0.05)
    assert all(self_crossing(path) is None for path in found)


def test_a_rib_bounds_by_its_sides_alone() -> None:
    ends = [disc(Circle(-50.0, 0.0, 30.0)), disc(Circle(50.0, 0.0, 30.0))]
    bar = Bar(-50.0, 0.0, 50.0, 0.0, 3.0)
    whole = free_contours(FIELD, [*ends, bar])
    rib = free_contours(FIELD, [*ends, Rib(bar, 14.0, 14.0)])
    assert len(whole) == len(rib) == 2
    assert sorted(map(signed_area, rib)) == pytest.approx(sorted(map(signed_area, whole)), abs=1e-9)


def test_what_would_hold_a_loose_piece_is_left_out() -> None:
    assert free_contours(FIELD, [disc(Circle(0.0, 0.0, 20.0))]) == []
    assert free_contours(FIELD, [disc(Circle(0.0, 0.0, 300.0))]) == []
    (whole,) = free_contours(FIELD, [])
    assert isinstance(whole, Path)
    assert signed_area(whole) == pytest.approx(signed_area(FIELD))
