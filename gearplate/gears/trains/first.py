"""The best few trains of a ranking without listing all of them.

By closeness the window is grown from the target until it holds enough trains. By size, weight or teeth the stages are
let grow until the best found are better than any train with a larger stage could be. Every other ranking has only few
values, and all trains are looked at, a block at a time.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import replace
from fractions import Fraction

import numpy as np

from gearplate.gears.involute import Array
from gearplate.gears.trains.listing import TrainTable, blocks
from gearplate.gears.trains.question import Question
from gearplate.gears.trains.ranking import Keep, Ranking
from gearplate.gears.trains.search import Tables, meetings
from gearplate.gears.trains.size import two_discs_mm2

_WIDER, _NARROWER = 4, 16
_LARGER = 1.12
_ROUNDING = 1e-5  # keys are rounded to less
# Windows so narrow are widened blindly: the numbers that decide them have about as many digits.
_NARROWEST = Fraction(1, 10**9)


def first_trains(
    question: Question,
    ranking: Ranking,
    limit: int,
    keep: Keep | None = None,
    tables: Tables | None = None,
    most: int | None = None,
) -> TrainTable:
    """The best `limit` trains, in order: the same as the head of the whole list ranked. `keep` tells which trains of
    a table count. `most`, for closeness: where more than about so many are equally near to the ratio, no more of them
    are looked at, so that others as near may be left out, but none that is nearer. Raises ValueError where the choices
    are too many to search, or for a limit below 1."""
    if limit < 1:
        raise ValueError(f"limit = {limit}: at least 1")
    tables = Tables.of(question) if tables is None else tables
    if ranking.keys[0] == "closeness":
        return _by_closeness(question, ranking, limit, keep, tables, most)
    if ranking.keys[0] in ("size", "weight", "teeth"):
        return _by_growing_stages(question, ranking, limit, keep, tables)
    stages = len(question.stages)
    return ranking.best(blocks(question, tables), limit, stages, keep)


def _by_closeness(
    question: Question, ranking: Ranking, limit: int, keep: Keep | None, tables: Tables, most: int | None
) -> TrainTable:
    window, stages = question.window, len(question.stages)
    distance = _first_distance(question, limit, tables)
    if most is not None:
        distance = _not_too_many(question, distance, tables, most)
    while True:
        part = window.within(min(distance, window.farthest))
        found = None
        if part is not None:
            tables_in_it = blocks(question.narrowed(part), tables)
            if most is not None and not distance:
                tables_in_it = _until(tables_in_it, most)
            found = ranking.best(tables_in_it, limit, stages, keep)
        if distance >= window.farthest:
            return found if found is not None else ranking.best((), limit, stages)
        if found is not None and len(found) >= limit:
            return found
        distance = max(distance, window.farthest * _NARROWEST) * _WIDER


def _not_too_many(question: Question, distance: Fraction, tables: Tables, most: int) -> Fraction:
    """A shorter distance, within which no more than `most` trains can lie; 0 where that many may be equally near."""
    window, ways = question.window, _ways(question, tables)

    def too_many(away: Fraction) -> bool:
        part = window.within(away)
        return part is not None and meetings(tables, question.narrowed(part)).count * ways > most

    if not too_many(distance):
        return distance
    if too_many(Fraction(0)):
        return Fraction(0)
    while too_many(distance):
        distance = distance / _NARROWER if distance > window.farthest * _NARROWEST else Fraction(0)
    return distance


def _until(tables: Iterator[TrainTable], most: int) -> Iterator[TrainTable]:
    """Tables until they hold `most` trains."""
    seen = 0
    for table in tables:
        yield table
        seen += len(table)
        if seen >= most:
            return


def _first_distance(question: Question, limit: int, tables: Tables) -> Fraction:
    """A distance from the target within which no more than about `limit` trains should be found, were they spread
    evenly: half of the farthest, half of that, and so on, so that the window is told in few digits."""
    found = meetings(tables, question).count * _ways(question, tables)
    return question.window.farthest * Fraction(1, 1 << (found // limit).bit_length())


def _ways(question: Question, tables: Tables) -> int:
    """How many trains one meeting makes at most."""
    orders = tables.orders
    return len(orders.drivers) * len(orders.driven) * (len(orders.stages) if question.in_order else 1)


def _by_growing_stages(
    question: Question, ranking: Ranking, limit: int, keep: Keep | None, tables: Tables
) -> TrainTable:
    stages = len(question.stages)
    best: TrainTable | None = None
    for part, floor in _larger_and_larger(question, ranking):
        whole = part == question
        own = tables if whole else Tables.of(part)
        best = ranking.best(blocks(part, own), limit, stages, keep)
        # Equal is not enough: a larger stage that comes out the same could win by its counts.
        if whole or (len(best) == limit and float(ranking.key(ranking.keys[0], best)[-1]) < floor):
            return best
    assert best is not None  # the last part is the whole question
    return best


def _larger_and_larger(question: Question, ranking: Ranking) -> Iterator[tuple[Question, float]]:
    """The question with stages up to a size, larger and larger, and what any train with a larger stage has at least."""
    least = _least_of_pair(question, ranking)
    modules = [stage.module_mm or 1.0 for stage in question.stages]
    tables = []
    for number, stage in enumerate(question.stages):
        sums = np.add.outer(np.array(stage.drivers, dtype=np.int64), np.array(stage.driven, dtype=np.int64))
        if not sums.size:
            break
        keys = least(number).reshape(-1)
        order = np.argsort(sums.reshape(-1), kind="stable")
        suffix = np.minimum.accumulate(keys[order][::-1])[::-1]
        tables.append((sums.reshape(-1)[order], np.append(suffix, np.inf)))
    if len(tables) == len(question.stages):
        size = max(module * float(sums[0]) for module, (sums, _) in zip(modules, tables, strict=True))
        largest = max(module * float(sums[-1]) for module, (sums, _) in zip(modules, tables, strict=True))
        while size * _LARGER < largest:
            size *= _LARGER
            caps = [int(size / module) for module in modules]
            floor = min(
                float(suffix[int(np.searchsorted(sums, cap, side="right"))])
                for cap, (sums, suffix) in zip(caps, tables, strict=True)
            )
            parts = []
            for stage, cap in zip(question.stages, caps, strict=True):
                cap = cap if stage.most_teeth is None else min(cap, stage.most_teeth)
                drivers = tuple(teeth for teeth in stage.drivers if teeth + stage.driven[0] <= cap)
                driven = tuple(teeth for teeth in stage.driven if teeth + stage.drivers[0] <= cap)
                parts.append(replace(stage, drivers=drivers, driven=driven, most_teeth=cap))
            yield replace(question, stages=tuple(parts)), floor
    yield question, np.inf


def _least_of_pair(question: Question, ranking: Ranking) -> Callable[[int], Array]:
    """For a stage, what any train with each of its pairs (driver, driven) has at least in the ranking's first key."""
    name, facts = ranking.keys[0], ranking.facts
    if name == "size":
        assert facts is not None
        plate = facts.plate
        assert plate is not None
        return lambda number: (
            two_discs_mm2(plate.discs_mm[number], plate.discs_mm[number + 1], facts.stages[number].centres_mm)
            - _ROUNDING
        )
    if name == "weight":
        assert facts is not None
        pairs = [np.add.outer(stage.driver.masses_g, stage.driven.masses_g) for stage in facts.stages]
    else:
        pairs = [
            np.add.outer(np.array(stage.drivers, float), np.array(stage.driven, float)) for stage in question.stages
        ]
    least = [float(pair.min(initial=np.inf)) for pair in pairs]
    return lambda number: pairs[number] + (sum(least) - least[number] - _ROUNDING)
