"""Rail screws and standoffs that the tool places."""

from __future__ import annotations

import itertools
import math
from dataclasses import replace

import pytest

from gearplate.job.load import load_job
from gearplate.layout.design import Layout
from gearplate.layout.handedness import mirrored_misfit_mm
from gearplate.layout.misses import nearest_miss
from gearplate.layout.solve import solve_layout
from tests.builders.specs import drive_spec


def test_rail_screws_stand_in_pairs_on_the_rail_beside_the_output_gear() -> None:
    spec = drive_spec(motors=1)
    assert spec.rail is not None
    layout = solve_layout(spec)
    low, high = spec.rail.y_span_mm
    assert len(layout.rail_holes) == 4
    assert all(low < y < high for _, y in layout.rail_holes)
    tip = max(gear.tip_diameter_mm for gear in layout.gears if gear.shaft == "output") / 2
    tube = spec.rail.tube_diameter_mm / 2
    assert all(math.hypot(x, y) >= tip + tube + 1.0 - 1e-9 for x, y in layout.rail_holes)


@pytest.mark.parametrize("count", [0, 2, 5])
def test_as_many_standoffs_as_asked_apart_and_clear(count: int) -> None:
    spec = drive_spec(motors=2)
    spec = replace(spec, standoffs=replace(spec.standoffs, count=count))
    layout = solve_layout(spec)
    assert len(layout.standoffs) == count
    assert nearest_miss(spec, layout) == ()
    for a, b in itertools.combinations((*layout.standoffs, *layout.rail_holes), 2):
        assert math.dist(a, b) > spec.standoffs.diameter_mm


def misfit_mm(layout: Layout, standoffs: tuple[tuple[float, float], ...]) -> float:
    bores = [(h.x_mm, h.y_mm, h.part_diameter_mm) for h in layout.holes if h.shaft and not h.loaded]
    return mirrored_misfit_mm(bores, [*layout.rail_holes, *standoffs])


def test_a_plate_of_the_wrong_hand_does_not_bolt_on() -> None:
    layout = solve_layout(drive_spec(motors=1))
    assert misfit_mm(layout, layout.standoffs) >= 3.0


def test_where_all_else_is_its_own_mirror_one_standoff_is_odd() -> None:
    # the motor straight above the axle, rail screws and standoffs in pairs: nothing tells left from right
    spec = load_job("sieve-single", ["places={M1={angle=90}}", "standoffs.count=2"]).layout_spec
    layout = solve_layout(spec, quick=True)
    (x, y), odd = layout.standoffs
    assert misfit_mm(layout, ((x, y), (-x, y))) == pytest.approx(0.0, abs=1e-6)
    assert misfit_mm(layout, ((x, y), odd)) >= 3.0


def test_given_places_are_kept() -> None:
    spec = drive_spec(motors=1)
    places = ((0.0, 30.0), (40.0, 80.0))
    assert solve_layout(replace(spec, standoffs=replace(spec.standoffs, places=places))).standoffs == places


@pytest.mark.parametrize("count", [2, 3, 5, 6, 8])
@pytest.mark.parametrize("height", [19.0, 25.4, 50.8])
def test_as_many_rail_screws_as_asked_apart_and_on_the_rail(count: int, height: float) -> None:
    spec = drive_spec(motors=1)
    assert spec.rail is not None
    rail = replace(spec.rail, hole_count=count, height_mm=height, axle_from_bottom_mm=0.5 * height)
    spec = replace(spec, rail=rail)
    layout = solve_layout(spec)
    assert len(layout.rail_holes) == count
    assert nearest_miss(spec, layout) == ()
    assert sum(x > 0.0 for x, _ in layout.rail_holes) == math.ceil(count / 2)
    assert max(abs(y) for _, y in layout.rail_holes) + 0.5 * rail.screw.washer_outside_mm <= 0.5 * height
