"""The edge of the plates: closed, simple, smooth, and exactly the wanted margin away from what it goes round."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely.geometry import Point

from gearplate.geometry.crossing import self_crossing
from gearplate.geometry.path import area, kinks
from gearplate.layout.design import HoleKind
from gearplate.layout.spec import Side
from gearplate.plate.make import make_plates
from gearplate.plate.outline import margin_discs, margin_rows, outline_of
from gearplate.plate.plate import Feature, Plate
from gearplate.plate.spec import OutlineStyle, OwnHole
from tests.builders.outlines import least_segment_length
from tests.builders.plates import nominal, ordinary, placed, wishes
from tests.builders.regions import polygon


def margins(plate: Plate) -> list[float]:
    """Material between each feature and the edge, by the polygon library."""
    edge = polygon(plate.outline, 1e-5)
    return [
        float(nominal(feature).distance(edge.exterior)) if edge.contains(nominal(feature)) else -1.0
        for feature in plate.features
    ]


@pytest.mark.parametrize("style", list(OutlineStyle))
def test_every_feature_keeps_the_margin_and_the_edge_goes_no_farther(style: OutlineStyle) -> None:
    spec, layout = placed()
    own = (
        OwnHole("tie", "own", "slot", tuple(Side), None, -60.0, 30.0, 4.0, 24.0, 1.2),
        OwnHole(
            "label",
            "own",
            "window",
            tuple(Side),
            None,
            60.0,
            10.0,
            points=((0.0, 0.0), (30.0, 0.0), (30.0, 18.0), (0.0, 18.0)),
            corner_radius_mm=3.0,
        ),
    )
    for margin in (3.0, 9.0):
        for plate in make_plates(layout, spec, wishes(outline=style, margin_mm=margin, own_holes=own, marks=False)):
            found = margins(plate)
            assert min(found) >= margin - 1e-3
            assert min(found) <= margin + 1e-3


@pytest.mark.parametrize("style", list(OutlineStyle))
def test_one_closed_simple_smooth_curve(style: OutlineStyle) -> None:
    spec, layout = placed()
    for plate in make_plates(layout, spec, wishes(outline=style, marks=False)):
        assert self_crossing(plate.outline) is None
        assert least_segment_length(plate.outline) >= 1e-3
        assert max(abs(kink) for kink in kinks(plate.outline)) < 1e-6
        assert area(plate.outline) == pytest.approx(polygon(plate.outline, 1e-5).area, rel=1e-6)
        assert (plate.waist_radius_mm is None) == (style is OutlineStyle.HULL)


def test_the_hull_is_that_of_the_polygon_library() -> None:
    outboard, _ = ordinary()
    grown = shapely.union_all([nominal(f).buffer(6.0, quad_segs=256) for f in outboard.features])
    assert area(outboard.outline) == pytest.approx(grown.convex_hull.area, rel=1e-4)


def test_waists_take_material_away_and_never_a_margin() -> None:
    spec, layout = placed()
    for hull, waisted in zip(
        make_plates(layout, spec, wishes(marks=False)),
        make_plates(layout, spec, wishes(marks=False, outline=OutlineStyle.WAISTED)),
        strict=True,
    ):
        assert area(waisted.outline) < 0.97 * area(hull.outline)
        outside = polygon(waisted.outline, 1e-4).difference(polygon(hull.outline, 1e-4)).area
        assert outside < 0.01


def test_a_plate_that_guards_the_gears_reaches_past_their_tips() -> None:
    spec, layout = placed()
    for plate in make_plates(layout, spec, wishes(cover_gears=True, marks=False)):
        edge = polygon(plate.outline, 1e-4)
        for gear in layout.gears:
            shaft = layout.shaft(gear.shaft)
            tips = Point(shaft.x_mm, shaft.y_mm).buffer(0.5 * gear.tip_diameter_mm + 2.0 - 0.01, quad_segs=64)
            assert edge.covers(tips)


@settings(max_examples=25)
@given(
    st.lists(
        st.tuples(st.floats(-80, 80), st.floats(-80, 80), st.floats(2, 30), st.floats(0, 25), st.floats(0, 3.2)),
        min_size=1,
        max_size=7,
    ),
    st.sampled_from(list(OutlineStyle)),
)
def test_any_features_are_held(holes: list[tuple[float, float, float, float, float]], style: OutlineStyle) -> None:
    features = [
        Feature(f"h{n}", HoleKind.OWN, "slot" if length > 1.0 else "circle", "free", None, x, y, d, length, angle)
        for n, (x, y, d, length, angle) in enumerate(
            (x, y, d, length if length > 1.0 else 0.0, a) for x, y, d, length, a in holes
        )
    ]
    asked = wishes(outline=style)
    outline = outline_of(margin_discs(features, asked), asked, 6.0, margin_rows(features, asked))
    edge = polygon(outline.path, 1e-4)
    for feature in features:
        assert edge.covers(nominal(feature).buffer(6.0 - 0.01))


@pytest.mark.parametrize(
    "slots",
    [
        [(0.0, 0.0, 30.0, 0.4), (0.0, 0.0, 30.0, 0.4)],
        [(0.0, 0.0, 30.0, 0.4), (0.0, 0.0, 30.0, 0.4 + math.pi), (0.0, 0.0, 30.0, 0.4)],
        [(-10.0, 0.0, 30.0, 0.0), (5.0, 0.0, 30.0, 0.0), (20.0, 0.0, 20.0, 0.0)],
        [(0.0, 0.0, 40.0, 0.0), (0.0, 0.0, 40.0, 0.5 * math.pi), (0.0, 0.0, 40.0, 0.8)],
        [(15.0, 0.0, 30.0, 0.0), (0.0, 15.0, 30.0, 0.5 * math.pi)],
    ],
    ids=["two on each other", "three on each other", "in one line", "crossing", "one end in common"],
)
def test_slots_on_each_other_leave_no_scallops(slots: list[tuple[float, float, float, float]]) -> None:
    """What a draft of such holes is cut from: its margin is whole, and along straight sides the edge is straight."""
    features = [
        *(
            Feature(f"s{n}", HoleKind.OWN, "slot", "free", None, x, y, 5.0, r, a)
            for n, (x, y, r, a) in enumerate(slots)
        ),
        Feature("h", HoleKind.OWN, "circle", "free", None, 10.0, 32.0, 8.0),
    ]
    asked = wishes(outline=OutlineStyle.WAISTED)
    path = outline_of(margin_discs(features, asked), asked, 6.0, margin_rows(features, asked)).path
    edge = polygon(path, 1e-6)
    for feature in features:
        assert edge.buffer(1e-5).covers(nominal(feature).buffer(6.0 - 1e-5, quad_segs=64))
    assert len(path.vertices) <= 36


def test_a_plate_without_holes_is_refused() -> None:
    with pytest.raises(ValueError, match="without any feature"):
        outline_of([], wishes(), 6.0)
    spec, layout = placed()
    holes = tuple(hole for hole in layout.holes if hole.side is Side.OUTBOARD)
    with pytest.raises(ValueError, match="without any feature"):
        make_plates(replace(layout, holes=holes), spec, wishes())
    assert math.isfinite(area(ordinary()[0].outline))
