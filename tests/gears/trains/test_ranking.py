"""Rankings, first answers, front and size bound, against sums done plainly here."""

from __future__ import annotations

import math
from fractions import Fraction

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from gearplate.gears.spec import GearSpec, ToothSystem
from gearplate.gears.trains import Question, StageChoice, Window
from gearplate.gears.trains.facts import PlateFacts, facts_of, solid_mass_g
from gearplate.gears.trains.first import first_trains
from gearplate.gears.trains.listing import TrainTable, blocks, list_trains
from gearplate.gears.trains.question import common
from gearplate.gears.trains.ranking import RANKINGS, Ranking
from gearplate.gears.trains.size import size_bounds_mm2, three_discs_mm2, triangle_mm2, two_discs_mm2

SYSTEM = ToothSystem(1.27, math.radians(20))
PLATE = PlateFacts((14.0, 20.5, 20.5, 19.0), (None, 9.8, 9.8, 9.8))
ON_HAND = (18, 45, 60)


def gear(stage, drives, teeth):
    return GearSpec(teeth, SYSTEM, shift=0.5 if stage == 0 and drives else 0.0, source=f"{drives and not stage}")


def ranking(question, *by):
    plate = PlateFacts(PLATE.discs_mm[: len(question.stages) + 1], PLATE.keeps_mm[: len(question.stages) + 1])
    facts = facts_of(question, gear, 0.05, on_hand=lambda g: g.teeth in ON_HAND, plate=plate)
    return Ranking(by, question.window, facts)


def plain_keys(train):
    """The keys of one train by the words of their definitions."""
    gears = [(i, d, n) for i, s in enumerate(train.stages) for d, n in ((True, s.driver), (False, s.driven))]
    specs = [gear(*g) for g in gears]
    return {
        "closeness": abs(train.ratio - 12),
        "distinct": len(set(specs)),
        "on-hand": sum(g.teeth not in ON_HAND for g in specs),
        "hunting": sum(math.gcd(s.driver, s.driven) > 1 for s in train.stages),
        "weight": round(sum(solid_mass_g(g) for g in specs), 6),
        "teeth": train.teeth,
    }


QUESTION = common(range(10, 16), range(18, 40, 3), range(30, 70, 5), 2, Window.around(Fraction(12), Fraction(1, 20)))


@pytest.mark.parametrize("name", [name for name in RANKINGS if name != "size"])
def test_whole_list_is_in_the_order_of_its_keys(name):
    table = list_trains(QUESTION)
    ranked = table.rows(ranking(QUESTION, name).order(table)).trains()
    plain = [plain_keys(train) for train in ranked]
    rows = [(k[name], k["closeness"], k["teeth"], train.stages) for k, train in zip(plain, ranked, strict=True)]
    assert rows == sorted(rows)
    assert len({row[0] for row in rows}) > 1


@settings(deadline=None, max_examples=60)
@given(
    st.lists(st.sampled_from(sorted(RANKINGS)), min_size=1, max_size=2, unique=True),
    st.integers(1, 60),
    st.integers(1, 3),
    st.fractions(0, Fraction(1, 5), max_denominator=60),
    st.booleans(),
)
def test_first_answers_are_the_head_of_the_whole_list(by, limit, stages, tolerance, in_order):
    window = Window.around(Fraction(12), tolerance)
    drivers, driven = range(18, 34, 5), range(30, 64, 5)
    question = common(range(6, 14, 2), drivers, driven, stages, window, in_order=in_order)
    rank = ranking(question, *by)
    table = list_trains(question)
    wanted = table.rows(rank.order(table)).trains()[:limit]
    assert first_trains(question, rank, limit).trains() == wanted
    odd = [train for train in table.rows(rank.order(table)).trains() if train.teeth % 2]
    few = first_trains(question, rank, limit, keep=lambda t: t.counts.sum(axis=1) % 2 == 1)
    assert few.trains() == tuple(odd[:limit])


@settings(deadline=None, max_examples=60)
@given(
    st.lists(st.sampled_from(sorted(RANKINGS)), min_size=1, max_size=2, unique=True),
    st.integers(1, 40),
    st.integers(1, 60),
    st.fractions(0, Fraction(1, 50), max_denominator=200),
)
def test_the_best_of_many_small_tables_are_those_of_the_whole(by, limit, size, tolerance):
    """Many trains come to 12 exactly: what ties in the first key is decided by those that follow."""
    window = Window.around(Fraction(12), tolerance)
    question = common((8, 10, 12), (20, 24, 30), (30, 36, 40, 48, 50, 60), 3, window)
    rank = ranking(question, *by)
    table = list_trains(question)
    assert len(table) >= limit
    wanted = table.rows(rank.order(table)).trains()[:limit]
    assert table.rows(rank.order(table, limit)).trains() == wanted
    assert rank.best(blocks(question, size=size), limit, 3).trains() == wanted
    pieces = [table.rows(slice(begin, begin + size)) for begin in range(0, len(table), size)]
    assert rank.best(pieces, limit, 3).trains() == wanted


def test_first_answers_of_stages_of_unlike_size():
    window = Window.around(Fraction(10), Fraction(1, 10))
    stages = (
        StageChoice((8, 10, 12), tuple(range(30, 60)), module_mm=0.8),
        StageChoice((12, 14, 16), tuple(range(24, 60, 3)), module_mm=1.5),
    )
    question = Question(stages, window)

    def sized(stage, drives, teeth):
        return GearSpec(teeth, ToothSystem(stages[stage].module_mm, math.radians(20)))

    facts = facts_of(question, sized, plate=PlateFacts((10.0, 12.0, 12.0), (None, 6.0, 6.0)))
    for name in ("size", "weight", "teeth"):
        rank = Ranking((name,), window, facts)
        table = list_trains(question)
        assert first_trains(question, rank, 7).trains() == table.rows(rank.order(table, 7)).trains()
    assert len(table) > 7


def test_front_of_closeness_and_size():
    table = list_trains(QUESTION)
    rank = ranking(QUESTION, "size")
    front = rank.front([table.rows(slice(0, 40)), table.rows(slice(40, None))], 2)
    off = [abs(train.ratio - 12) for train in table.trains()]
    size = rank.key("size", table).tolist()
    rows = list(zip(off, size, strict=True))
    best = {row for row in rows if not any(o <= row[0] and s <= row[1] and (o, s) != row for o, s in rows)}
    got = list(zip([abs(t.ratio - 12) for t in front.trains()], rank.key("size", front).tolist(), strict=True))
    assert set(got) == best
    assert got == sorted(got)
    assert len(got) == len(best) > 2


def test_rankings_that_there_are_not():
    with pytest.raises(ValueError, match="no ranking"):
        Ranking(("beauty",), QUESTION.window)
    with pytest.raises(ValueError, match="needs to know more"):
        Ranking(("weight",), QUESTION.window)
    with pytest.raises(ValueError, match="at least 1"):
        first_trains(QUESTION, ranking(QUESTION, "teeth"), 0)
    facts = facts_of(QUESTION, gear)
    with pytest.raises(ValueError, match="margins"):
        size_bounds_mm2(list_trains(QUESTION), facts)


def test_hull_of_two_discs_against_shapely():
    from shapely.geometry import Point

    for r1, r2, c in ((10.0, 4.0, 30.0), (5.0, 12.0, 9.0), (7.0, 7.0, 20.0), (12.0, 3.0, 5.0)):
        hull = Point(0, 0).buffer(r1, 500).union(Point(c, 0).buffer(r2, 500)).convex_hull.area
        assert two_discs_mm2(r1, r2, np.array([c]))[0] == pytest.approx(hull, rel=1e-5)


@settings(deadline=None)
@given(st.floats(1, 40), st.floats(10, 120), st.floats(10, 120), st.floats(0, 200))
def test_three_discs_are_never_smaller_than_the_bound(radius, first, second, apart):
    """Over every distance of the outer two that is allowed: the least is at an end, as the area is concave."""
    near = min(max(apart, abs(first - second)), first + second)
    sides = np.linspace(near, first + second, 400)
    areas = (
        math.pi * radius**2
        + radius * (first + second + sides)
        + triangle_mm2(np.full(400, first), np.full(400, second), sides)
    )
    bound = float(three_discs_mm2(radius, np.array([first]), np.array([second]), np.array([apart]))[0])
    assert bound == pytest.approx(areas.min(), rel=1e-9)


def test_size_bound_of_one_train_by_hand():
    """12 on 60 teeth, then 24 on 48, module 1.27: centres 46.355 + 0.05 and 45.72 + 0.05 mm, no shift here."""

    def plain(stage, drives, teeth):
        return GearSpec(teeth, SYSTEM)

    table = TrainTable(np.array([[12, 60, 24, 48]], np.int16))
    question = Question(
        (StageChoice((12,), (60,)), StageChoice((24,), (48,))), Window.around(Fraction(10), Fraction(0))
    )
    facts = facts_of(question, plain, 0.05, plate=PlateFacts((14.0, 20.0, 20.0), (None, 9.0, 9.0)))
    c1, c2 = 1.27 * 36 + 0.05, 1.27 * 36 + 0.05
    apart = plain(0, True, 12).tip_radius_mm + 9.0
    assert apart == pytest.approx(1.27 * 7 + 9)
    half = math.acos((c1**2 + c2**2 - apart**2) / (2 * c1 * c2))
    three = math.pi * 14**2 + 14 * (c1 + c2 + apart) + 0.5 * c1 * c2 * math.sin(half)
    two = math.pi * 20**2 + 2 * 20 * c2
    assert size_bounds_mm2(table, facts)[0] == pytest.approx(max(two, three), rel=1e-12)
