"""Paths for an elliptical beam, against the exact parallel curve and the beam simulated by the polygon library."""

from __future__ import annotations

import math

import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from gearplate.geometry.kerf_curve import anisotropic_circle, anisotropic_offset, ellipse_reach
from gearplate.geometry.nearest import distance_to_path
from gearplate.geometry.offset import offset
from gearplate.geometry.path import area, as_circle, kinks, path_length
from gearplate.geometry.slot import rectangle_path, slot_path
from gearplate.geometry.waists import waisted_outline
from tests.builders.outlines import least_segment_length, swept_by_beam
from tests.builders.regions import polygon

OUTLINE = waisted_outline([(0.0, 0.0, 18.0), (60.0, 5.0, 14.0), (25.0, 48.0, 9.0)], 8.0).path


def test_the_reach_of_an_ellipse() -> None:
    assert ellipse_reach(3.0, 2.0, 1.0, 0.0) == pytest.approx((3.0, 0.0))
    x, y = ellipse_reach(3.0, 2.0, math.cos(0.7), math.sin(0.7))
    assert (x / 3.0) ** 2 + (y / 2.0) ** 2 == pytest.approx(1.0)
    # Its normal is the gradient (x / a^2, y / b^2).
    assert math.atan2(y / 4.0, x / 9.0) == pytest.approx(0.7)


@pytest.mark.parametrize("inside", [True, False])
@pytest.mark.parametrize(
    ("diameter", "kx", "ky"), [(3.0, 0.3, 0.2), (5.5, 0.12, 0.3), (28.6, 0.25, 0.18), (90, 0.5, 0.1)]
)
def test_circles_within_a_micrometre_of_the_exact_curve(diameter: float, kx: float, ky: float, inside: bool) -> None:
    path = anisotropic_circle(10.0, -4.0, diameter, kx, ky, inside)
    sign = -1.0 if inside else 1.0
    for step in range(720):
        u = (math.cos(step * math.pi / 360.0), math.sin(step * math.pi / 360.0))
        ex, ey = ellipse_reach(0.5 * kx, 0.5 * ky, *u)
        x, y = 10.0 + 0.5 * diameter * u[0] + sign * ex, -4.0 + 0.5 * diameter * u[1] + sign * ey
        assert distance_to_path(path, x, y) < 0.6e-3
    assert max(abs(kink) for kink in kinks(path)) < 1e-9
    assert least_segment_length(path) > 1e-3
    assert len(path.vertices) <= 44
    cut = swept_by_beam(path, kx, ky)
    edge = shapely.Polygon(cut.exterior if inside else cut.interiors[0])
    wanted = shapely.Point(10.0, -4.0).buffer(0.5 * diameter, quad_segs=1024)
    assert edge.symmetric_difference(wanted).area < 1e-3 * math.pi * diameter
    assert edge.hausdorff_distance(wanted) < 0.003


def test_equal_kerfs_give_the_exact_circle() -> None:
    circle = as_circle(anisotropic_circle(1.0, 2.0, 28.6, 0.2, 0.2, True))
    assert circle is not None
    assert circle.diameter_mm == pytest.approx(28.4, abs=1e-12)
    assert anisotropic_offset(OUTLINE, 0.2, 0.2, True) == offset(OUTLINE, 0.1)


@pytest.mark.parametrize(
    ("path", "outward"),
    [
        (OUTLINE, True),
        (OUTLINE, False),
        (slot_path(3.0, 2.0, 12.0, 5.0, 0.5), False),
        (rectangle_path(0.0, 0.0, 20.0, 12.0, 0.3), True),
        (rectangle_path(0.0, 0.0, 20.0, 12.0, 0.3), False),
        (rectangle_path(0.0, 0.0, 20.0, 12.0, 0.3, 2.0), False),
    ],
)
def test_the_beam_leaves_the_edge(path, outward: bool) -> None:  # type: ignore[no-untyped-def]
    shifted = anisotropic_offset(path, 0.32, 0.18, outward)
    assert least_segment_length(shifted) >= 1e-3
    cut = swept_by_beam(shifted, 0.32, 0.18)
    edge = shapely.Polygon(cut.interiors[0] if outward else cut.exterior)
    wanted = polygon(path, 1e-5)
    # Sharp corners of a window are rounded by the beam: up to the area outside an ellipse's quarter, four times.
    corners = 4.0 * 0.16 * 0.16 if (not outward and path.vertices[0][2] == 0.0 and len(path.vertices) == 4) else 0.0
    assert edge.symmetric_difference(wanted).area < 1e-3 * path_length(path) + corners
    assert (area(shifted) > area(path)) == outward


def test_what_the_beam_cannot_cut_is_refused() -> None:
    with pytest.raises(ValueError, match="tighter than the beam"):
        anisotropic_circle(0.0, 0.0, 0.3, 0.3, 0.2, True)
    for kx, ky in ((0.0, 0.2), (0.2, -0.1), (math.nan, 0.2)):
        with pytest.raises(ValueError, match="no ellipse"):
            anisotropic_circle(0.0, 0.0, 5.0, kx, ky, True)


@settings(max_examples=30, deadline=None)
@given(st.floats(1.5, 60.0), st.floats(0.05, 0.5), st.floats(0.6, 1.6))
def test_any_hole(diameter: float, kx: float, ratio: float) -> None:
    ky = kx * ratio
    path = anisotropic_circle(0.0, 0.0, diameter, kx, ky, True)
    # Mixed areas of a disc and an ellipse: A(path) = A(disc) - r L(ellipse) + A(ellipse), exact for parallel curves.
    a, b = 0.5 * kx, 0.5 * ky
    steps = 2000
    perimeter = sum(
        math.hypot(a * math.sin(t), b * math.cos(t)) for t in (2.0 * math.pi * k / steps for k in range(steps))
    ) * (2.0 * math.pi / steps)
    radius = 0.5 * diameter
    wanted = math.pi * radius**2 - radius * perimeter + math.pi * a * b
    assert area(path) == pytest.approx(wanted, abs=5e-4 * math.pi * diameter)
