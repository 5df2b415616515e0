"""Free shafts that other given places bind: circles that meet, by hand and through the whole layout."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from gearplate.layout.bound import bound_specs
from gearplate.layout.chain import links, place_all
from gearplate.layout.solve import solve_layout
from gearplate.layout.spec import LayoutSpec, Place
from tests.builders.specs import drive_spec

FIRST, SECOND = (link.distance_mm for link in links(drive_spec(motors=1)))  # output to S1, S1 to M1


def spec_with(x: float, y: float, **more: object) -> LayoutSpec:
    return drive_spec(motors=1, places={"M1": Place(x_mm=x, y_mm=y)}, **more)


@given(st.floats(-3.0, 3.0), st.floats(0.05, 3.0), st.sampled_from([-1.0, 1.0]))
def test_the_shaft_between_stands_at_both_distances(turn: float, fold: float, side: float) -> None:
    """A motor is put where an S1 at (turn) reaches it; that very S1 must be among the places found."""
    x, y = FIRST * math.cos(turn), FIRST * math.sin(turn)
    motor = (x + SECOND * math.cos(turn + side * fold), y + SECOND * math.sin(turn + side * fold))
    found = bound_specs(spec_with(*motor))
    assert len(found) == 2
    places = [place_all(one, {})["S1"] for one in found]
    for place in places:
        assert math.dist(place, motor) == pytest.approx(SECOND, abs=1e-6)
    assert min(math.dist(place, (x, y)) for place in places) < 1e-5


@pytest.mark.parametrize("away", [0.0, abs(FIRST - SECOND) - 0.01, FIRST + SECOND + 0.01])
def test_circles_that_do_not_meet_bind_nothing(away: float) -> None:
    spec = spec_with(0.0, away)
    assert bound_specs(spec) == (spec,)


def test_nothing_is_bound_without_a_given_coordinate() -> None:
    for places in ({}, {"M1": Place(angle_rad=1.0)}, {"S1": Place(x_mm=0.0, y_mm=58.0)}):
        spec = drive_spec(motors=1, places=places)
        assert bound_specs(spec) == (spec,)


def test_the_better_of_the_two_places_is_taken_and_told_as_the_tools_own() -> None:
    layout = solve_layout(spec_with(30.0, 99.0))
    assert {shaft.name: shaft.free for shaft in layout.shafts} == {"M1": False, "S1": True, "output": False}
    for mesh in layout.meshes:
        assert mesh.added_centre_mm == pytest.approx(0.05, abs=1e-9)
    assert layout.shaft("S1").y_mm > 0.0
