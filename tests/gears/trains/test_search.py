"""The list of trains against plain enumeration in fractions: any catalogues a stage, any window, edges attainable."""

from __future__ import annotations

import itertools
import subprocess
import sys
import tracemalloc
from fractions import Fraction
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from gearplate.gears.trains import Question, Stage, StageChoice, Train, Window, search
from gearplate.gears.trains.first import first_trains
from gearplate.gears.trains.listing import blocks, count_trains, list_trains
from gearplate.gears.trains.question import common
from gearplate.gears.trains.ranking import Ranking
from gearplate.gears.trains.search import Tables
from gearplate.gears.trains.variants import variants_of_each, with_idlers


def enumerated(question):
    """Every train by brute force; with `in_order` false, one of each set of stages."""
    window = question.window
    found = []
    for pairs in itertools.product(*(itertools.product(c.drivers, c.driven) for c in question.stages)):
        stages = tuple(Stage(*pair) for pair in pairs)
        if not all(_fits(choice, *pair) for choice, pair in zip(question.stages, pairs, strict=True)):
            continue
        if window.low <= Train(stages).ratio <= window.high:
            found.append(Train(stages))
    if question.in_order:
        return sorted(found)
    first = {}
    for train in sorted(found):
        sized = zip(train.stages, question.stages, strict=True)
        first.setdefault(tuple(sorted((s, c.module_mm or 0.0) for s, c in sized)), train)
    return sorted(first.values())


def _fits(choice, driver, driven):
    small = choice.most_teeth is None or driver + driven <= choice.most_teeth
    return small and (driven > driver or not choice.reducing)


COUNTS = st.lists(st.integers(9, 40), min_size=1, max_size=4, unique=True).map(tuple)
CHOICES = st.builds(
    StageChoice,
    COUNTS,
    COUNTS,
    reducing=st.booleans(),
    module_mm=st.sampled_from([None, 1.0]),
    most_teeth=st.none() | st.integers(30, 80),
)


@st.composite
def questions(draw):
    """Stages often with the same choices, and windows whose edges are ratios that the gears can make."""
    kinds = draw(st.lists(CHOICES, min_size=1, max_size=3))
    stages = tuple(draw(st.lists(st.sampled_from(kinds), min_size=1, max_size=3)))
    edges = []
    for _ in range(2):
        n = [draw(st.sampled_from(stage.driven)) for stage in stages]
        d = [draw(st.sampled_from(stage.drivers)) for stage in stages]
        edges.append(Fraction(int(np.prod(n)), int(np.prod(d))))
    low, high = min(edges), max(edges)
    nudge = draw(st.sampled_from([Fraction(0), Fraction(1, 10**15), Fraction(-1, 10**15)]))
    window = Window.between(low + nudge, max(high - nudge, low + nudge))
    return Question(stages, window, draw(st.booleans()))


@settings(deadline=None, max_examples=300)
@given(questions())
def test_lists_exactly_what_enumeration_finds(question):
    wanted = enumerated(question)
    assert sorted(list_trains(question).trains()) == wanted
    assert count_trains(question) == len(wanted)


@settings(deadline=None, max_examples=25)
@given(st.data())
def test_four_stages_of_common_and_own_catalogues(data):
    small = st.lists(st.integers(9, 30), min_size=1, max_size=3, unique=True).map(tuple)
    kinds = [StageChoice(data.draw(small), data.draw(small), data.draw(st.booleans())) for _ in range(2)]
    stages = tuple(data.draw(st.sampled_from(kinds)) for _ in range(4))
    question = Question(stages, Window.around(Fraction(2), Fraction(1, 2)), data.draw(st.booleans()))
    assert sorted(list_trains(question).trains()) == enumerated(question)
    assert count_trains(question) == len(enumerated(question))


def test_searched_counts_all_pairs():
    choice = StageChoice((10, 12, 20), (11, 12, 30), most_teeth=40)
    assert choice.pairs == sum(_fits(choice, a, b) for a in choice.drivers for b in choice.driven) == 3
    assert Question((choice, choice), Window.around(Fraction(3), Fraction(0))).searched == 9


def test_figures_of_known_questions():
    """41/2 within 1/200, stages in order: counts by integer enumeration done once outside this project."""
    for size, step, found in ((15, 4, 4_079), (25, 3, 70_492), (40, 2, 773_645)):
        gears = [15 + step * i for i in range(size)]
        question = common(range(9, 17), gears, gears, 3, Window.around(Fraction(41, 2), Fraction(1, 200)))
        assert count_trains(question) == found
    gears = range(15, 90, 3)
    edged = common(range(9, 17), gears, gears, 3, Window.around(Fraction(20), Fraction(1, 20)))
    assert count_trains(edged) == len(list_trains(edged)) == 717_658  # float filters lose 19,656 of these


def test_no_train_comes_twice_and_blocks_hold_the_same(monkeypatch):
    gears = range(15, 75, 3)
    question = common(range(9, 20), gears, gears, 3, Window.around(Fraction(12), Fraction(1, 50)))
    table = list_trains(question)
    assert len(np.unique(table.counts, axis=0)) == len(table) > 10_000
    monkeypatch.setattr(search, "PORTION", 501)
    parts = list(blocks(question, size=1000))
    assert len(parts) > 5
    assert sorted(map(tuple, np.concatenate([p.counts for p in parts]).tolist())) == sorted(
        map(tuple, table.counts.tolist())
    )


def test_memory_stays_below_three_times_the_answer():
    gears = [15 + 2 * i for i in range(40)]
    question = common(range(9, 17), gears, gears, 3, Window.around(Fraction(41, 2), Fraction(1, 200)))
    tracemalloc.start()
    size = list_trains(question).counts.nbytes
    peak = tracemalloc.get_traced_memory()[1]
    tracemalloc.stop()
    assert size == 773_645 * 6 * 2
    assert peak < 3 * size


def test_tables_serve_any_window():
    gears = range(15, 60, 3)
    question = common((9, 12), gears, gears, 3, Window.around(Fraction(20), Fraction(1, 20)))
    tables = Tables.of(question)
    narrow = question.narrowed(Window.around(Fraction(21), Fraction(1, 1000)))
    assert list_trains(narrow, tables).trains() == list_trains(narrow).trains()


def test_too_many_choices_are_refused_before_memory_is_gone():
    gears = range(10, 400)
    with pytest.raises(ValueError, match="too many to hold"):
        count_trains(common(gears, gears, gears, 4, Window.around(Fraction(20), Fraction(1, 20))))


@pytest.mark.parametrize(("low", "high"), [(0, 1), (2, 1), (-1, 3)])
def test_windows_that_are_none(low, high):
    with pytest.raises(ValueError, match="above zero"):
        Window.between(Fraction(low), Fraction(high))


def test_variants_with_idlers_keep_the_ratio():
    first = StageChoice((12,), (60,), idlers=((), (24,)))
    second = StageChoice((30,), (60,), idlers=((30,), (18, 20), (18, 20)))
    question = Question((first, second), Window.around(Fraction(10), Fraction(0)))
    (train,) = list_trains(question).trains()
    variants = with_idlers(train, question)
    assert len(variants) == variants_of_each(question) == 5
    assert {variant.ratio for variant in variants} == {Fraction(10)}
    assert variants[0].stages[1].meshes == ((30, 30), (30, 60))
    assert len(set(variants)) == 5
    assert train not in variants


def test_bench_compares_methods_that_find_the_same():
    bench = Path(__file__).parents[2] / "bench" / "trains.py"
    command = [sys.executable, str(bench), "--ratio", "20", "--window", "1/20", "--counts", "9", "--json"]
    run = subprocess.run(command, capture_output=True, text=True, check=True)
    import json

    result = json.loads(run.stdout)
    assert set(result) == {"searched", "found", "seconds", "itertools_seconds", "numpy_seconds"}
    assert result["found"] > 100


def test_where_there_are_too_many_to_count_them_all_there_are_at_least_so_many():
    gears = range(15, 90, 3)
    question = common(range(9, 17), gears, gears, 3, Window.around(Fraction(20), Fraction(1, 20)))
    some = count_trains(question, most=1)  # one portion of meetings
    assert 0 < some < 717_658
    assert count_trains(question, most=10**9) == 717_658


def test_of_many_equally_near_some_may_be_left_out_but_none_that_is_nearer():
    """Gears of 12 to 96 teeth in steps of 12 make 8 to 1 in two thousand ways."""
    gears = range(12, 97, 12)
    question = common(gears, gears, gears, 4, Window.around(Fraction(8), Fraction(1, 10)))
    ranking = Ranking(("closeness",), question.window)
    exact = {train for train in list_trains(question).trains() if train.ratio == 8}
    assert len(exact) > 1000
    for limit, most in ((50, 60), (1000, 200), (len(exact) + 100, 300)):
        found = first_trains(question, ranking, limit, most=most).trains()
        alike = [train for train in found if train.ratio == 8]
        nearest = first_trains(question, ranking, len(found)).trains()
        assert [abs(train.ratio - 8) for train in found] == [abs(train.ratio - 8) for train in nearest]
        assert set(alike) <= exact
        assert len(found) >= min(limit, most)
