"""Whoever looks on while shafts are placed changes nothing, and can end it."""

from __future__ import annotations

from dataclasses import replace
from functools import cache

import pytest

from gearplate.errors import Stopped
from gearplate.layout.design import Layout
from gearplate.layout.misses import nearest_miss
from gearplate.layout.solve import solve_layout
from gearplate.layout.spec import LayoutSpec, Least, LimitsSpec, Place, WishesSpec
from gearplate.layout.watch import Onlooker, Seen, Stage
from tests.builders.specs import drive_spec

TWO = drive_spec(motors=2)


@cache
def whole() -> Layout:
    """The layout of a search that nobody looks at."""
    return solve_layout(TWO)


def seen_of(spec: LayoutSpec, most: int | None = None) -> tuple[list[Seen], Layout]:
    """What is seen of a search that ends after `most` looks, and what comes of it."""
    seen: list[Seen] = []

    def watch(one: Seen) -> bool:
        seen.append(one)
        return most is None or len(seen) < most

    return seen, solve_layout(spec, watch)


def test_looking_on_changes_nothing() -> None:
    seen, layout = seen_of(TWO)
    assert layout == whole()
    assert {one.stage for one in seen} == {Stage.SEARCH, Stage.PROOF}
    assert all(one.wish == "area" and 0.0 < one.share <= 1.0 for one in seen)
    assert all(one.best is None or one.bound <= one.best for one in seen)
    assert any(one.best is not None and one.bound > 0.5 * one.best for one in seen)


@pytest.mark.parametrize("most", [1, 2, 4])
def test_what_is_ended_gives_the_best_so_far_and_says_so(most: int) -> None:
    seen, layout = seen_of(TWO, most)
    assert len(seen) >= most
    assert nearest_miss(TWO, layout) == ()
    certificate, of_all = layout.certificate, whole().certificate
    assert certificate is not None
    assert of_all is not None
    assert certificate.interrupted
    assert not of_all.interrupted
    # a bound that was proven by then is one of the whole search's layout too
    assert certificate.bound <= of_all.value


def test_ended_before_there_is_a_layout_it_says_that_and_not_that_there_is_none() -> None:
    """Room for no motor: to prove that takes more than one look."""
    spec = replace(TWO, limits=LimitsSpec(height_mm=150.0, width_mm=120.0))
    with pytest.raises(Stopped, match="stopped before a layout was found"):
        seen_of(spec, 1)


def test_each_wish_is_seen_as_what_it_is() -> None:
    spec = drive_spec(motors=1, wishes=WishesSpec(least=(Least.HEIGHT, Least.HULL), boxes=600))
    seen, _ = seen_of(spec)
    search = [one for one in seen if one.stage is Stage.SEARCH]
    assert [*dict.fromkeys(one.wish for one in search)] == ["height", "area"]
    assert all(one.best is None or one.best < 400.0 for one in search if one.wish == "height")
    assert {one.wish for one in seen if one.stage is Stage.PROOF} == {"height"}


def test_nobody_is_told_of_what_is_not_searched() -> None:
    spec = drive_spec(motors=1, places={"S1": Place(angle_rad=1.8), "M1": Place(angle_rad=0.5)})
    seen, layout = seen_of(spec)
    assert seen == []
    assert layout == solve_layout(spec)


def test_an_onlooker_that_nobody_gave_sees_nothing() -> None:
    assert Onlooker(None).sees(Stage.SEARCH, 100) is None
