"""Parallels of paths: closed formulas, distances back to the path, and the beam simulated by the polygon library."""

from __future__ import annotations

import math

import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from gearplate.geometry.discs import Disc, hull_of_discs
from gearplate.geometry.offset import offset
from gearplate.geometry.path import area, as_circle, circle_path, is_ccw, kinks, path_length, reversed_path
from gearplate.geometry.segments import Arc, segments
from gearplate.geometry.shapes import Circle, Path
from gearplate.geometry.slot import polygon_path, rectangle_path, slot_path
from gearplate.geometry.waists import waisted_outline
from tests.builders.disc_sets import disc_sets
from tests.builders.outlines import is_closed_simple, random_outline, swept_by_beam
from tests.builders.regions import distances_to_path, largest_deviation, polygon, samples

PLATE = [(0.0, 0.0, 18.0), (60.0, 5.0, 14.0), (25.0, 48.0, 9.0), (-30.0, 30.0, 11.0), (70.0, 50.0, 7.0)]


def test_a_circle_a_slot_and_a_box() -> None:
    shrunk = as_circle(offset(circle_path(Circle(3.0, 4.0, 28.6)), -0.1))
    assert shrunk is not None
    assert (shrunk.x_mm, shrunk.y_mm, shrunk.diameter_mm) == pytest.approx((3.0, 4.0, 28.4), abs=1e-12)
    slot = offset(slot_path(1.0, 2.0, 10.0, 5.5, 0.7), -0.125)
    for vertex, wanted in zip(slot.vertices, slot_path(1.0, 2.0, 10.0, 5.25, 0.7).vertices, strict=True):
        assert vertex == pytest.approx(wanted, abs=1e-12)
    box = offset(rectangle_path(0.0, 0.0, 10.0, 6.0), -0.5)
    assert area(box) == pytest.approx(9.0 * 5.0)
    # Steiner: area + perimeter d + pi d^2 for a convex figure grown by d.
    grown = offset(rectangle_path(0.0, 0.0, 10.0, 6.0), 0.5)
    assert area(grown) == pytest.approx(60.0 + 32.0 * 0.5 + math.pi * 0.25)
    assert max(abs(kink) for kink in kinks(grown)) < 1e-12


def test_no_shift_is_the_path_itself() -> None:
    path = slot_path(0.0, 0.0, 10.0, 4.0)
    assert offset(path, 0.0) is path


@pytest.mark.parametrize("distance", [0.05, 0.1, 0.4])
@pytest.mark.parametrize("outline", [hull_of_discs(PLATE), waisted_outline(PLATE, 8.0).path])
def test_there_and_back_again(outline: Path, distance: float) -> None:
    there = offset(outline, distance)
    back = offset(there, -distance)
    for vertex, old in zip(back.vertices, outline.vertices, strict=True):
        assert vertex == pytest.approx(old, abs=1e-11)
    assert max(abs(kink) for kink in kinks(there)) < 1e-9
    # For a closed path that turns once the length grows by 2 pi d.
    assert path_length(there) - path_length(outline) == pytest.approx(2.0 * math.pi * distance, abs=1e-9)


@pytest.mark.parametrize("kerf", [0.15, 0.3])
def test_the_beam_leaves_the_outline_and_the_hole(kerf: float) -> None:
    outline = waisted_outline(PLATE, 8.0).path
    part = shapely.Polygon(swept_by_beam(offset(outline, 0.5 * kerf), kerf, kerf).interiors[0])
    assert part.symmetric_difference(polygon(outline, 1e-5)).area < 1e-4 * path_length(outline)
    window = rectangle_path(5.0, 5.0, 14.0, 9.0, 0.4, 2.0)
    hole = shapely.Polygon(swept_by_beam(offset(window, -0.5 * kerf), kerf, kerf).exterior)
    assert hole.symmetric_difference(polygon(window, 1e-5)).area < 1e-4 * path_length(window)


def test_a_clockwise_path_shifts_the_same_way() -> None:
    path = random_outline(3)
    other = offset(reversed_path(path), 0.2)
    assert not is_ccw(other)
    assert largest_deviation(other, offset(path, 0.2)) < 1e-9


def test_a_corner_arc_as_tight_as_the_beam_becomes_a_corner() -> None:
    window = rectangle_path(0.0, 0.0, 10.0, 6.0, 0.0, 0.25)
    path = offset(window, -0.25)
    assert [vertex[2] for vertex in path.vertices] == [0.0] * 4
    assert area(path) == pytest.approx(9.5 * 5.5)


def test_what_collapses_is_named() -> None:
    with pytest.raises(ValueError, match=r"radius 0\.1000 mm .* tighter than the shift of 0\.1500"):
        offset(rectangle_path(0.0, 0.0, 10.0, 6.0, 0.0, 0.1), -0.15)
    with pytest.raises(ValueError, match="tighter"):
        offset(slot_path(0.0, 0.0, 10.0, 0.2), -0.15)
    with pytest.raises(ValueError, match="tighter"):
        offset(waisted_outline(PLATE, 2.0).path, 50.0)
    with pytest.raises(ValueError, match="shorter than the shift uses up"):
        offset(rectangle_path(0.0, 0.0, 10.0, 6.0), -3.5)
    with pytest.raises(ValueError, match=r"narrow|shorter|inside out"):
        offset(polygon_path([(0.0, 0.0), (10.0, 0.0), (5.0, 9.0)]), -3.1)
    with pytest.raises(ValueError, match="cannot be shifted"):
        offset(rectangle_path(0.0, 0.0, 10.0, 6.0), math.nan)


def test_a_neck_narrower_than_the_beam_is_found() -> None:
    # A frame of 10 by 10 with a bay that opens through a gap of 0.2 mm.
    frame = [(0, 0), (10, 0), (10, 10), (5.1, 10), (5.1, 8), (8, 8), (8, 2), (2, 2), (2, 8), (4.9, 8), (4.9, 10)]
    bay = polygon_path([*frame, (0, 10)])
    assert is_closed_simple(offset(bay, 0.09))
    with pytest.raises(ValueError, match=r"crosses itself|too narrow"):
        offset(bay, 0.11)


@settings(max_examples=80, deadline=None)
@given(st.integers(0, 400), st.one_of(st.floats(0.02, 0.5), st.floats(0.5, 10.0)), st.booleans())
def test_every_point_lies_at_the_distance(seed: int, distance: float, outward: bool) -> None:
    path = random_outline(seed)
    try:
        shifted = offset(path, distance if outward else -distance)
    except ValueError:
        # Refused: the true parallel has lost a piece of the path or fallen apart. It must then differ in that from
        # the path: a piece shorter than what the corners take, an arc tighter than the shift, or a narrow place.
        tightest = min((p.radius for p in segments(path) if isinstance(p, Arc)), default=math.inf)
        region = polygon(path, 1e-3)
        opened = region.buffer(-1.01 * distance).buffer(1.01 * distance)
        closed = region.buffer(1.01 * distance).buffer(-1.01 * distance)
        lost = region.difference(opened).area if not outward else closed.difference(region).area
        assert tightest < distance or lost > 1e-6 * distance**2
        return
    assert is_closed_simple(shifted)
    away = distances_to_path(samples(shifted, 0.5), path)
    assert away.min() > distance - 5e-6
    assert away.max() < distance + 5e-6
    assert (area(shifted) > area(path)) == outward


@settings(max_examples=40, deadline=None)
@given(disc_sets(), st.floats(0.02, 0.45))
def test_smooth_outlines_always_shift_by_a_kerf(discs: list[Disc], distance: float) -> None:
    outline = hull_of_discs(discs)
    assert area(offset(outline, distance)) == pytest.approx(
        area(outline) + path_length(outline) * distance + math.pi * distance**2, rel=1e-6
    )
    assert area(offset(outline, -distance)) == pytest.approx(
        area(outline) - path_length(outline) * distance + math.pi * distance**2, rel=1e-6, abs=1e-5
    )
