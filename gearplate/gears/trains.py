"""All trains of given gears whose ratio lies in a window, the closest first: complete and exact.

Ratios are whole numbers over whole numbers. Floats only sort and place the window; a train within rounding of an
edge of the window is decided in whole numbers, so that none is lost where the edge is itself a ratio that gears can
make. Memory is bounded: the front stages are gone through in portions, and no more than `limit` trains are kept.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import product
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from gearplate.gears.involute import Array

Whole = NDArray[np.int64]

MOST_STAGES = 4
# How far a ratio in floats can be from the true one, relative: far above the few roundings that make it.
_GUARD = 1e-12
# Trains, and front halves of trains, looked at in one portion; the longest table of pairs of stages kept in memory.
_PORTION = 400_000
_FRONTS = 100_000
_LONGEST_TABLE = 3_000_000


class Stage(NamedTuple):
    """One step of speed: teeth of the driving and of the driven gear."""

    driver: int
    driven: int


class Train(NamedTuple):
    """Stages in order from the motor's pinion to the output."""

    stages: tuple[Stage, ...]

    @property
    def ratio(self) -> Fraction:
        """Motor speed over output speed."""
        return Fraction(math.prod(s.driven for s in self.stages), math.prod(s.driver for s in self.stages))

    @property
    def teeth(self) -> int:
        """Sum of all tooth counts: a plain measure of size."""
        return sum(s.driver + s.driven for s in self.stages)


@dataclass(frozen=True, slots=True)
class TrainList:
    """`found` trains lie in the window; `trains` are the best of them, at most as many as were asked for."""

    trains: tuple[Train, ...]
    found: int


@dataclass(frozen=True, slots=True)
class _Chains:
    """Runs of stages: counts (n, 2 x stages) as driver, driven, driver, ...; products of driven and of drivers."""

    counts: Whole
    driven: Whole
    drivers: Whole

    @property
    def ratios(self) -> Array:
        return np.asarray(self.driven / self.drivers)


def find_trains(
    drivers: Sequence[int],
    driven: Sequence[int],
    pinions: Sequence[int],
    stages: int,
    ratio: Fraction,
    tolerance: Fraction,
    limit: int = 1000,
    reducing_only: bool = True,
) -> TrainList:
    """Every train of exactly `stages` stages (1 to 4) with |train / ratio - 1| <= tolerance, edges included.

    The first stage's driver is one of `pinions`, every other one of `drivers`; every driven gear is one of `driven`.
    Trains count as ordered. With `reducing_only` each stage has more driven than driving teeth. Sorted by closeness
    to the ratio, then by the sum of teeth, then by the counts themselves; the best `limit` are returned, all are
    counted. Raises ValueError for an impossible question.
    """
    _require_possible(stages, ratio, tolerance, limit, (drivers, driven, pinions))
    first = _steps(pinions, driven, reducing_only)
    later = _steps(drivers, driven, reducing_only)
    # The last stage, or the last two where their table is not too long, are sorted by ratio once and searched.
    tail_length = min(stages - 1, 2 if len(later.counts) ** 2 <= _LONGEST_TABLE else 1)
    tail = _rows([later] * tail_length, np.arange(len(later.counts) ** tail_length))
    order = np.argsort(tail.ratios, kind="stable")
    tail = _Chains(tail.counts[order], tail.driven[order], tail.drivers[order])
    front = [first, *[later] * (stages - 1 - tail_length)]
    fronts = math.prod(len(part.counts) for part in front)
    if not len(tail.counts) or not fronts:
        return TrainList((), 0)

    window = _Window(ratio, tolerance)
    keeper = _Keeper(ratio, limit)
    found = 0
    for begin in range(0, fronts, _FRONTS):
        head = _rows(front, np.arange(begin, min(begin + _FRONTS, fronts)))
        for rows, columns in _candidates(head, tail, window):
            n = head.driven[rows] * tail.driven[columns]
            d = head.drivers[rows] * tail.drivers[columns]
            inside = window.holds(n, d)
            found += int(np.count_nonzero(inside))
            keeper.offer(head.counts[rows[inside]], tail.counts[columns[inside]], n[inside], d[inside])
    return TrainList(keeper.best(), found)


def _require_possible(
    stages: int, ratio: Fraction, tolerance: Fraction, limit: int, lists: tuple[Sequence[int], ...]
) -> None:
    if not 1 <= stages <= MOST_STAGES:
        raise ValueError(f"stages = {stages}: from 1 to {MOST_STAGES}")
    if ratio <= 0:
        raise ValueError(f"ratio = {ratio}: it must be above zero")
    if not 0 <= tolerance < 1:
        raise ValueError(f"tolerance = {tolerance}: from 0 to below 1")
    if limit < 1:
        raise ValueError(f"limit = {limit}: at least 1")
    for counts in lists:
        for teeth in counts:
            if not 1 <= teeth <= 5000:
                raise ValueError(f"{teeth} is not a number of teeth")


def _steps(drivers: Sequence[int], driven: Sequence[int], reducing_only: bool) -> _Chains:
    pairs = [(a, b) for a, b in product(sorted(set(drivers)), sorted(set(driven))) if b > a or not reducing_only]
    counts = np.array(pairs, dtype=np.int64).reshape(-1, 2)
    return _Chains(counts, counts[:, 1].copy(), counts[:, 0].copy())


def _rows(parts: Sequence[_Chains], numbers: Whole) -> _Chains:
    """The runs of that number when every row of every part is followed by every row of the next, last part fastest."""
    counts = np.zeros((len(numbers), 0), np.int64)
    driven, drivers = np.ones(len(numbers), np.int64), np.ones(len(numbers), np.int64)
    if parts and all(len(part.counts) for part in parts):
        indices = np.unravel_index(numbers, tuple(len(part.counts) for part in parts))
        for part, index in zip(parts, indices, strict=True):
            counts = np.hstack([counts, part.counts[index]])
            driven, drivers = driven * part.driven[index], drivers * part.drivers[index]
    return _Chains(counts, driven, drivers)


@dataclass(frozen=True, slots=True)
class _Window:
    ratio: Fraction
    tolerance: Fraction

    @property
    def low(self) -> Fraction:
        return self.ratio * (1 - self.tolerance)

    @property
    def high(self) -> Fraction:
        return self.ratio * (1 + self.tolerance)

    def holds(self, n: Whole, d: Whole) -> NDArray[np.bool_]:
        """Whether n / d lies in the window: by floats where that is certain, in whole numbers at the edges."""
        q = n / d
        low, high = float(self.low), float(self.high)
        inside = (q >= low) & (q <= high)
        near = (np.abs(q - low) <= 2 * _GUARD * low) | (np.abs(q - high) <= 2 * _GUARD * high)
        for k in np.nonzero(near)[0]:
            exact = Fraction(int(n[k]), int(d[k]))
            inside[k] = self.low <= exact <= self.high
        return np.asarray(inside)


def _candidates(head: _Chains, tail: _Chains, window: _Window) -> Iterator[tuple[Whole, Whole]]:
    """Pairs of rows of `head` and `tail` whose product lies in the window or within the guard of it, in portions."""
    heads, tails = head.ratios, tail.ratios
    starts = np.searchsorted(tails, float(window.low) * (1 - _GUARD) / heads, side="left")
    stops = np.searchsorted(tails, float(window.high) * (1 + _GUARD) / heads, side="right")
    lengths = np.maximum(stops - starts, 0)
    ends = np.cumsum(lengths)
    total = int(ends[-1])
    for begin in range(0, total, _PORTION):
        place = np.arange(begin, min(begin + _PORTION, total))
        rows = np.searchsorted(ends, place, side="right")
        yield rows, starts[rows] + place - (ends[rows] - lengths[rows])


class _Keeper:
    """Keeps the best trains offered to it, at most `limit`."""

    def __init__(self, ratio: Fraction, limit: int) -> None:
        self._ratio = ratio
        self._limit = limit
        self._counts: Whole | None = None
        self._n = np.zeros(0, np.int64)
        self._d = np.zeros(0, np.int64)

    def offer(self, fronts: Whole, backs: Whole, n: Whole, d: Whole) -> None:
        if not len(n):
            return
        counts = np.hstack([fronts, backs])
        if self._counts is not None:
            counts = np.vstack([self._counts, counts])
            n, d = np.concatenate([self._n, n]), np.concatenate([self._d, d])
        order = self._order(counts, n, d)[: self._limit]
        self._counts, self._n, self._d = counts[order], n[order], d[order]

    def best(self) -> tuple[Train, ...]:
        rows = [] if self._counts is None else self._counts.tolist()
        return tuple(Train(tuple(Stage(row[i], row[i + 1]) for i in range(0, len(row), 2))) for row in rows)

    def _order(self, counts: Whole, n: Whole, d: Whole) -> Whole:
        """Indices by closeness, then sum of teeth, then counts. Only what can be among the best is sorted."""
        rank = self._closeness(n, d)
        if len(rank) > self._limit:
            worst = np.partition(rank, self._limit - 1)[self._limit - 1]
            chosen = np.nonzero(rank <= worst)[0]
        else:
            chosen = np.arange(len(rank))
        keys = [counts[chosen, k] for k in reversed(range(counts.shape[1]))]
        order = np.lexsort([*keys, counts[chosen].sum(axis=1), rank[chosen]])
        return np.asarray(chosen[order])

    def _closeness(self, n: Whole, d: Whole) -> Array:
        """A number that sorts like |n / d - ratio|, equal where that is equal."""
        top, bottom = self._ratio.numerator, self._ratio.denominator
        largest_d = int(d.max())
        # |n bottom - d top| / d of whole numbers has one rounding, of an exact quotient. Two of them differ by at
        # least 1 over the product of their d: while that is more than a float's last place, floats keep the order.
        if int(n.max()) * bottom + largest_d * top < 2**62:
            off = np.abs(n * bottom - d * top)
            if int(off.max()) * largest_d < 2**52:
                return np.asarray(off / d)
        unique, inverse = np.unique(np.stack([n, d], axis=1) // np.gcd(n, d)[:, None], axis=0, return_inverse=True)
        exact = [abs(Fraction(int(a), int(b)) - self._ratio) for a, b in unique]
        place = {value: i for i, value in enumerate(sorted(set(exact)))}
        return np.asarray([place[value] for value in exact], dtype=np.float64)[inverse.reshape(-1)]
