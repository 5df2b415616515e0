"""What a job wishes to be least is least in the finished layout, standoffs and turned motors included."""

from __future__ import annotations

from functools import cache

import pytest
from shapely.geometry import Point
from shapely.ops import unary_union

from gearplate.layout.design import Layout
from gearplate.layout.misses import nearest_miss
from gearplate.layout.solve import solve_layout
from gearplate.layout.spec import LayoutSpec, Least, WishesSpec
from gearplate.layout.wished import wished_sizes
from tests.builders.specs import drive_spec

OTHER = {Least.HEIGHT: Least.WIDTH, Least.WIDTH: Least.HEIGHT}


def wishing(motors: int, *least: Least) -> LayoutSpec:
    return drive_spec(motors=motors, wishes=WishesSpec(least=least, spend=0.0))


@cache
def laid_out(motors: int, *least: Least) -> Layout:
    return solve_layout(wishing(motors, *least))


def sides_mm(spec: LayoutSpec, layout: Layout) -> dict[Least, float]:
    """Width, height and hull of the margins of all holes, by shapely."""
    margins = [(hole, 0.5 * hole.part_diameter_mm + spec.margin_mm) for hole in layout.holes]
    holes = [Point(hole.x_mm, hole.y_mm).buffer(radius, 256) for hole, radius in margins]
    hull = unary_union(holes).convex_hull
    x0, y0, x1, y1 = hull.bounds
    return {Least.WIDTH: x1 - x0, Least.HEIGHT: y1 - y0, Least.HULL: hull.area}


@pytest.mark.parametrize("motors", [2, 3])
@pytest.mark.parametrize("wish", [Least.HEIGHT, Least.WIDTH])
def test_what_is_wished_comes_out_near_its_bound(motors: int, wish: Least) -> None:
    """By hull alone the drive with two motors came out a fifth higher than it must be."""
    spec, layout = wishing(motors, wish), laid_out(motors, wish)
    assert not nearest_miss(spec, layout)
    assert layout.certificate is not None
    assert layout.certificate.wish == wish.value
    assert layout.certificate.bound <= layout.certificate.value
    assert layout.certificate.gap < 0.03
    own = sides_mm(spec, layout)[wish]
    for other in (Least.HULL, OTHER[wish]):
        assert own <= 1.001 * sides_mm(spec, laid_out(motors, other))[wish]


def test_of_layouts_equally_high_a_small_one_is_taken() -> None:
    spec = wishing(2, Least.HEIGHT)
    high = sides_mm(spec, laid_out(2, Least.HEIGHT))
    assert high[Least.HEIGHT] < 0.95 * sides_mm(spec, laid_out(2, Least.HULL))[Least.HEIGHT]
    assert high[Least.HULL] < 1.1 * sides_mm(spec, laid_out(2, Least.HULL))[Least.HULL]


@pytest.mark.parametrize("wish", [Least.HEIGHT, Least.WIDTH, Least.HULL])
def test_sizes_are_those_of_the_drawn_margins(wish: Least) -> None:
    spec, layout = wishing(2, wish), laid_out(2, Least.HULL)
    assert wished_sizes(spec, layout) == pytest.approx((sides_mm(spec, layout)[wish],), rel=1e-4)


def test_a_largest_move_is_that_of_the_shaft_that_moves_most() -> None:
    layout = laid_out(2, Least.HULL)
    before = {shaft.name: (shaft.x_mm, shaft.y_mm) for shaft in layout.shafts}
    x, y = before["S1"]
    wishes = WishesSpec(least=(Least.MOVE,), before_mm={**before, "S1": (x - 3.0, y + 4.0)})
    assert wished_sizes(drive_spec(motors=2, wishes=wishes), layout) == pytest.approx((5.0,))
