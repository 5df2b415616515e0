"""Train search: complete and exact, against plain enumeration in fractions."""

from __future__ import annotations

import itertools
from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from gearplate.gears.trains import Stage, Train, find_trains, search


def by_enumeration(drivers, driven, pinions, stages, ratio, tolerance, reducing=True):
    lists = [set(pinions), set(driven)] + [set(drivers), set(driven)] * (stages - 1)
    found = []
    for row in itertools.product(*lists):
        train = Train(tuple(Stage(row[i], row[i + 1]) for i in range(0, len(row), 2)))
        if reducing and any(s.driven <= s.driver for s in train.stages):
            continue
        if abs(train.ratio / ratio - 1) <= tolerance:
            found.append(train)
    return sorted(found, key=lambda t: (abs(t.ratio - ratio), t.teeth, t.stages))


COUNTS = st.lists(st.integers(9, 90), min_size=1, max_size=5)


@settings(deadline=None)
@given(
    COUNTS,
    COUNTS,
    COUNTS,
    st.integers(1, 3),
    st.fractions(1, 60, max_denominator=50),
    st.fractions(0, Fraction(1, 2), max_denominator=100),
    st.booleans(),
)
def test_finds_exactly_what_enumeration_finds(drivers, driven, pinions, stages, ratio, tolerance, reducing):
    wanted = by_enumeration(drivers, driven, pinions, stages, ratio, tolerance, reducing)
    found = find_trains(drivers, driven, pinions, stages, ratio, tolerance, 10**6, reducing)
    assert found.found == len(wanted)
    assert list(found.trains) == wanted


def test_four_stages():
    some = [15, 22, 31, 47]
    wanted = by_enumeration(some, some, [9, 12], 4, Fraction(40), Fraction(1, 20))
    found = find_trains(some, some, [9, 12], 4, Fraction(40), Fraction(1, 20))
    assert len(wanted) > 10
    assert list(found.trains) == wanted


@given(st.integers(1, 40))
@settings(max_examples=12, deadline=None)
def test_limit_keeps_the_best_and_counts_all(limit):
    some = list(range(15, 60, 5))
    whole = find_trains(some, some, [9, 10], 2, Fraction(8), Fraction(1, 5), 10**6)
    few = find_trains(some, some, [9, 10], 2, Fraction(8), Fraction(1, 5), limit)
    assert few.found == whole.found
    assert few.trains == whole.trains[:limit]


def test_portions_do_not_change_the_answer(monkeypatch):
    some = list(range(15, 70, 4))
    question = (some, some, [9, 11, 13], 3, Fraction(41, 2), Fraction(1, 100), 500)
    whole = find_trains(*question)
    monkeypatch.setattr(search, "PORTION", 97)
    assert find_trains(*question) == whole


def test_a_window_edge_that_gears_can_make_is_inside():
    """Ratio 20 within 1/20: a float filter loses the trains of exactly 19 and 21. Counts from plain fractions."""
    some = list(range(15, 88, 3))
    found = find_trains(some, some, range(9, 17), 3, Fraction(20), Fraction(1, 20), 10)
    on_edges = [find_trains(some, some, range(9, 17), 3, Fraction(edge), Fraction(0), 10).found for edge in (19, 21)]
    inside = find_trains(some, some, range(9, 17), 3, Fraction(20), Fraction(1, 20) - Fraction(1, 10**12), 10)
    assert min(on_edges) > 100
    assert found.found == inside.found + sum(on_edges)


def test_ties_are_broken_by_size_and_order_is_exact_for_any_ratio():
    found = find_trains([20], [40, 60, 80], [10, 20], 2, Fraction(8), Fraction(0))
    assert [train.teeth for train in found.trains] == sorted(train.teeth for train in found.trains)
    odd = Fraction(10**15 + 1, 10**14)
    some = list(range(15, 60, 3))
    assert list(find_trains(some, some, [9, 10, 11], 2, odd, Fraction(1, 100)).trains) == by_enumeration(
        some, some, [9, 10, 11], 2, odd, Fraction(1, 100)
    )


def test_nothing_to_find():
    assert find_trains([20], [30], [10], 1, Fraction(50), Fraction(1, 100)).found == 0
    assert find_trains([], [30], [10], 2, Fraction(9), Fraction(1, 100)).trains == ()
    assert find_trains([20], [30], [40], 1, Fraction(3, 4), Fraction(0)).found == 0
    assert find_trains([20], [30], [40], 1, Fraction(3, 4), Fraction(0), reducing_only=False).found == 1


@pytest.mark.parametrize(
    "changes",
    [
        {"stages": 0},
        {"stages": 5},
        {"ratio": Fraction(0)},
        {"tolerance": Fraction(-1, 10)},
        {"tolerance": Fraction(1)},
        {"limit": 0},
        {"driven": [0]},
    ],
)
def test_impossible_questions_are_refused(changes):
    question = {
        "drivers": [20], "driven": [60], "pinions": [12], "stages": 2, "ratio": Fraction(15), "tolerance": Fraction(0)
    }  # fmt: skip
    assert find_trains(**question).found == 1
    with pytest.raises(ValueError, match=r"\d"):
        find_trains(**{**question, **changes})
