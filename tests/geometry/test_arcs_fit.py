"""Pairs of arcs and fitted curves, an ellipse as the outside curve.

Bulges under 1e-8 are straight, so directions have 5e-8 rad of slack.
"""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from gearplate.geometry.arcs_fit import biarc, fit_arcs
from gearplate.geometry.path import kinks, signed_area
from gearplate.geometry.segments import chord_tangent, distance_to, path_of, tangent_at

angle = st.floats(-1.3, 1.3)


@given(angle, angle)
def test_a_pair_keeps_both_directions_and_joins_smoothly(leave: float, arrive: float) -> None:
    start_direction = (math.cos(leave), math.sin(leave))
    end_direction = (math.cos(arrive), math.sin(arrive))
    first, second = biarc((0.0, 0.0), start_direction, (7.0, 0.0), end_direction)
    assert chord_tangent(first, at_end=False) == pytest.approx(start_direction, abs=5e-8)
    assert chord_tangent(second, at_end=True) == pytest.approx(end_direction, abs=5e-8)
    assert tangent_at(first, 1.0) == pytest.approx(tangent_at(second, 0.0), abs=5e-8)
    assert (first.x1, first.y1) == (second.x0, second.y0)


def test_a_pair_on_a_circle_is_that_circle() -> None:
    first, second = biarc((1.0, 0.0), (0.0, 1.0), (0.0, 1.0), (-1.0, 0.0))
    for piece in (first, second):
        assert distance_to(piece, 0.0, 0.0) == pytest.approx(1.0)


def test_directions_that_no_pair_joins() -> None:
    with pytest.raises(ValueError, match="no pair"):
        biarc((0.0, 0.0), (-1.0, 0.0), (1.0, 0.0), (-1.0, 0.0))


@pytest.mark.parametrize("tolerance", [1e-2, 1e-3, 1e-4])
def test_an_ellipse_within_the_tolerance(tolerance: float) -> None:
    a, b = 20.0, 7.0

    def ellipse(t: float) -> tuple[float, float, float, float]:
        dx, dy = -a * math.sin(t), b * math.cos(t)
        size = math.hypot(dx, dy)
        return a * math.cos(t), b * math.sin(t), dx / size, dy / size

    pieces = fit_arcs(ellipse, [k * math.pi / 2 for k in range(5)], tolerance)
    worst = max(min(distance_to(piece, *ellipse(k * math.pi / 1000)[:2]) for piece in pieces) for k in range(2000))
    assert worst <= 1.05 * tolerance
    path = path_of(pieces)
    assert max(abs(kink) for kink in kinks(path)) < 1e-9
    assert signed_area(path) == pytest.approx(math.pi * a * b, abs=60.0 * tolerance)
    assert len(pieces) < 200
