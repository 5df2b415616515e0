"""The search: choices of drivers and of driven gears whose products meet in the window, and the trains they make.

The choices of driven gears are sorted by product once; each product of drivers then cuts a run out of them by two
binary searches of whole numbers. For k stages from one list of N counts that is O(N^k log N) and the trains found.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from itertools import permutations

import numpy as np
from numpy.typing import NDArray

from gearplate.gears.involute import Bools
from gearplate.gears.trains.orders import Order, Orders, Pairs, orders_of
from gearplate.gears.trains.products import Counts, Products, all_products
from gearplate.gears.trains.question import Question, StageChoice
from gearplate.gears.trains.window import Whole

Codes = NDArray[np.int32]  # one stage: the bytes of two int16, driver and driven

# Meetings looked at in one portion: enough to keep numpy busy, few enough to stay in the processor's cache.
PORTION = 32_768


@dataclass(frozen=True, slots=True)
class Tables:
    """What a search needs that does not depend on the window: made once, used for any number of windows. `rising`:
    numbers of the drivers' products in rising order."""

    question: Question
    drivers: Products
    driven: Products
    orders: Orders
    rising: Whole

    @classmethod
    def of(cls, question: Question) -> Tables:
        """Raises ValueError where the choices are more than memory can hold."""
        drivers = all_products([stage.drivers for stage in question.stages])
        driven = all_products([stage.driven for stage in question.stages]).sorted()
        orders = orders_of(question, drivers.groups, driven.groups)
        return cls(question, drivers, driven, orders, np.argsort(drivers.products))


@dataclass(frozen=True, slots=True)
class Meetings:
    """Runs of rows of the driven table, one for each row of the drivers' table: those that lie in the window."""

    starts: Whole
    ends: Whole  # running sum of the runs' lengths

    @property
    def count(self) -> int:
        """How many there are. A meeting makes no train, one or several, by the orders of its gears."""
        return int(self.ends[-1]) if len(self.ends) else 0


def meetings(tables: Tables, question: Question) -> Meetings:
    """Where the window of the question (which may be another than the tables') meets the tables."""
    rising = tables.rising  # a search from place to place that are near each other is four times as fast
    low, high = question.window.driven_products(tables.drivers.products)
    starts, stops = np.empty_like(rising), np.empty_like(rising)
    starts[rising] = np.searchsorted(tables.driven.products, low[rising], side="left")
    stops[rising] = np.searchsorted(tables.driven.products, high[rising], side="right")
    return Meetings(starts, np.cumsum(np.maximum(stops - starts, 0)))


def stages_found(tables: Tables, question: Question) -> Iterator[tuple[Codes, ...]]:
    """Every train that the question asks for, exactly once, in blocks: one array of codes for each stage."""
    for portion in _portions(tables, meetings(tables, question)):
        for driver_order in tables.orders.drivers:
            for driven_order in tables.orders.driven:
                chosen = np.flatnonzero(portion.trains(driver_order, driven_order))
                if not len(chosen):
                    continue
                pairs = zip(driver_order.source, driven_order.source, strict=True)
                stages = tuple(portion.code(a, b)[chosen] for a, b in pairs)
                if question.in_order:
                    yield from _every_order(stages, tables.orders.stages)
                else:
                    yield _told_once(stages, question)


def count_found(tables: Tables, question: Question, most: int | None = None) -> int:
    """How many trains the question asks for, without making them; the first `most` meetings count, or all."""
    if not question.in_order:
        return sum(len(stages[0]) for stages in stages_found(tables, question))
    found = 0
    for number, portion in enumerate(_portions(tables, meetings(tables, question))):
        if most is not None and number * PORTION >= most:
            break
        for driver_order in tables.orders.drivers:
            for driven_order in tables.orders.driven:
                inside = portion.trains(driver_order, driven_order)
                for order in tables.orders.stages:
                    differ = inside
                    for a, b in order.differ:
                        one = portion.code(driver_order.source[a], driven_order.source[a])
                        differ = differ & (one != portion.code(driver_order.source[b], driven_order.source[b]))
                    found += int(np.count_nonzero(differ))
    return found


def _every_order(stages: tuple[Codes, ...], orders: tuple[Order, ...]) -> Iterator[tuple[Codes, ...]]:
    for order in orders:
        if not order.differ:
            yield tuple(stages[source] for source in order.source)
            continue
        differ = np.ones(len(stages[0]), dtype=np.bool_)
        for a, b in order.differ:
            differ &= stages[a] != stages[b]
        if differ.all():
            yield tuple(stages[source] for source in order.source)
        else:
            kept = [stage[differ] for stage in stages]
            yield tuple(kept[source] for source in order.source)


def _told_once(stages: tuple[Codes, ...], question: Question) -> tuple[Codes, ...]:
    """Of trains that differ only in the order of their stages, the first: also across stages with unlike choices."""
    choices = question.stages
    classes = len(set(choices))
    if classes == 1 or len(choices) == 1:
        return stages
    # As one number a stage, so that stages compare by driver, then by driven gear.
    keys = [_driver(stage).astype(np.int64) << 16 | _driven(stage) for stage in stages]
    first = np.ones(len(stages[0]), dtype=np.bool_)
    for order in _legal_orders(choices):
        before = np.zeros(len(first), dtype=np.bool_)
        alike = np.ones(len(first), dtype=np.bool_)
        for place, source in enumerate(order):
            before |= alike & (keys[source] < keys[place])
            alike &= keys[source] == keys[place]
        for place, source in enumerate(order):
            if choices[place] != choices[source]:
                before &= _allowed(choices[place], _driver(stages[source]), _driven(stages[source]))
        first &= ~before
    return tuple(stage[first] for stage in stages)


def _legal_orders(choices: tuple[StageChoice, ...]) -> Iterator[tuple[int, ...]]:
    """Orders other than the first in which each stage stands where gears of its size may stand."""
    for order in permutations(range(len(choices))):
        if order != tuple(range(len(choices))) and all(
            choices[place].module_mm == choices[source].module_mm for place, source in enumerate(order)
        ):
            yield order


def _allowed(choice: StageChoice, driver: Counts, driven: Counts) -> Bools:
    listed = np.isin(driver, np.array(choice.drivers, np.int16)) & np.isin(driven, np.array(choice.driven, np.int16))
    kept = _kept(choice, driver, driven)
    return listed if kept is None else listed & kept


def _kept(choice: StageChoice, driver: Counts, driven: Counts) -> Bools | None:
    """Whether a pair of counts out of a stage's lists may stand in it; None where every pair may."""
    kept: Bools | None = driver < driven if choice.reducing else None
    if choice.most_teeth is not None:
        small = driver + driven <= choice.most_teeth
        kept = small if kept is None else kept & small
    return kept


def _driver(stage: Codes) -> Counts:
    return stage.view(np.int16)[0::2]


def _driven(stage: Codes) -> Counts:
    return stage.view(np.int16)[1::2]


@dataclass(slots=True)
class _Portion:
    """Some meetings: counts by column, and what was worked out of them so far."""

    choices: tuple[StageChoice, ...]
    neighbours: Pairs
    drivers: tuple[Counts, ...]
    driven: tuple[Counts, ...]
    _masks: dict[object, Bools | None] = field(default_factory=dict)
    _codes: dict[tuple[int, int], Codes] = field(default_factory=dict)

    def trains(self, driver_order: Order, driven_order: Order) -> Bools:
        """Which meetings make a train in these orders that no other orders make."""
        size = len(self.drivers[0])
        inside = np.ones(size, dtype=np.bool_)
        for choice, a, b in zip(self.choices, driver_order.source, driven_order.source, strict=True):
            if (kept := self._fits(choice, a, b)) is not None:
                inside &= kept
        for a, b in driver_order.differ:
            inside &= self.drivers[a] != self.drivers[b]
        for a, b in driven_order.differ:
            inside &= self._unlike(a, b)
        for a, b in self.neighbours:
            one, two = driver_order.source[a], driver_order.source[b]
            inside &= self._rising(one, two, driven_order.source[a], driven_order.source[b])
        return inside

    def code(self, a: int, b: int) -> Codes:
        """The stage of driver column `a` and driven column `b`."""
        if (a, b) not in self._codes:
            pair = np.stack([self.drivers[a], self.driven[b]], axis=1)
            self._codes[a, b] = pair.view(np.int32).reshape(-1)
        return self._codes[a, b]

    def _fits(self, choice: StageChoice, a: int, b: int) -> Bools | None:
        key = (choice.reducing, choice.most_teeth, a, b)
        if key not in self._masks:
            self._masks[key] = _kept(choice, self.drivers[a], self.driven[b])
        return self._masks[key]

    def _unlike(self, a: int, b: int) -> Bools:
        key = ("unlike", a, b)
        if key not in self._masks:
            self._masks[key] = self.driven[a] != self.driven[b]
        mask = self._masks[key]
        assert mask is not None
        return mask

    def _rising(self, one: int, two: int, driven_one: int, driven_two: int) -> Bools:
        """Of two equal drivers in stages of one class, the first stands with the smaller driven gear."""
        key = ("rising", one, two, driven_one, driven_two)
        if key not in self._masks:
            unlike = self.drivers[one] != self.drivers[two]
            self._masks[key] = unlike | (self.driven[driven_one] <= self.driven[driven_two])
        mask = self._masks[key]
        assert mask is not None
        return mask


def _portions(tables: Tables, found: Meetings) -> Iterator[_Portion]:
    ends, starts = found.ends, found.starts
    choices, neighbours = tables.question.stages, tables.orders.neighbours
    for begin in range(0, found.count, PORTION):
        end = min(begin + PORTION, found.count)
        first = int(np.searchsorted(ends, begin, side="right"))
        last = int(np.searchsorted(ends, end - 1, side="right")) + 1
        upto = np.minimum(ends[first:last], end)
        # Where each run of this portion begins, counted in meetings; the first may have begun before.
        origin = np.concatenate((ends[first - 1 : first] if first else np.zeros(1, np.int64), ends[first : last - 1]))
        lengths = upto - np.maximum(origin, begin)
        rows = np.arange(begin, end) + np.repeat(starts[first:last] - origin, lengths)
        yield _Portion(
            choices,
            neighbours,
            tuple(np.repeat(column[first:last], lengths) for column in tables.drivers.columns),
            tuple(column[rows] for column in tables.driven.columns),
        )
