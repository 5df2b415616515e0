"""Rows taken together: where no row alone fails all over a box, a sum of rows with weights may.

Over a box every row is at most  rest_i + slope_i . x  with x in [-1, 1]^n (half-widths as units), and has to be at
least nothing. For weights >= 0, where all rows hold,

    aim  <=  aim + sum weight_i row_i  <=  rest + sum over k of |slope_k|   (of the sum)

so a box in which the aim has to be at least nothing, and this is less, holds no layout. Good weights are those of the
linear programme "the most that the aim can be where all rows hold". The dual simplex method with bounded variables
finds them, on all boxes at once. Weights prove nothing by themselves, and any will do: the sum is worked out anew
from the rows, each of which carries its own guard, so that the guard grows with the weights.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from gearplate.layout.certified.rows import Array, Ints, Mask

MOST_ROWS = 8  # of a box are looked at together: those that cut the largest part of it off
_SUM_GUARD = 1e-12
_LEAST_PIVOT = 1e-7
_MOST_WEIGHT = 1e9
_MISSED = 1e-9


@dataclass(frozen=True, slots=True)
class Lines:
    """Rows over boxes: each at most `rest` (B, rows) + `slope` (n, B, rows) . (theta - `middle` (B, n)), infinite where
    it demands nothing; `at` (C,): numbers of the boxes that are left."""

    slope: Array
    rest: Array
    middle: Array
    at: Ints


@dataclass(frozen=True, slots=True)
class Sums:
    """Aim plus weighted rows: at most `most` (B,) all over the box, made up of `slope` (n, B) . (theta - middle)
    and what is left. `weight` (B, K) of rows `row` (B, K)."""

    most: Array
    slope: Array
    row: Ints
    weight: Array


def sums(lines: Lines, some: Ints, middle: Array, width: Array, aim: Array, aim_rest: Array, pivots: int) -> Sums:
    """For boxes `some` (C,) of those left, which have since become smaller: `middle`, `width` (C, n). The aim is at
    most `aim_rest` (C,) + `aim` (n, C) . (theta - middle)."""
    at = lines.at[some]
    slope = lines.slope[:, at]
    n, count, rows = slope.shape
    moved = middle - lines.middle[at]
    rest = lines.rest[at]
    size = np.zeros((count, rows))
    for k in range(n):
        rest += slope[k] * moved[:, k : k + 1]
        size += np.abs(slope[k]) * width[:, k : k + 1]
    size = np.maximum(size, 1e-9)
    keep = min(MOST_ROWS, rows)
    first = np.argpartition(rest / size, keep - 1, axis=1)[:, :keep]
    line = np.arange(count)[:, None]
    rest, size = rest[line, first], size[line, first]
    live = rest < math.inf
    size = np.where(live, size, math.inf)
    rest = np.where(live, rest, 0.0)
    scaled = slope[:, line, first] * (width.T[:, :, None] / size)  # (n, C, K)
    scaled = np.ascontiguousarray(scaled.transpose(2, 0, 1))
    rest = np.ascontiguousarray((rest / size).T)
    aim = aim * width.T
    aim_size = np.maximum(np.abs(aim).sum(axis=0), 1e-9 + np.abs(aim_rest))
    weight = weights(scaled, rest, aim / aim_size, aim_rest / aim_size, pivots)
    weight = np.where(weight < _MOST_WEIGHT, weight, 0.0)  # no number at all is none either
    total = aim / aim_size + (weight[:, None] * scaled).sum(axis=0)
    parts = weight * rest
    most = aim_rest / aim_size + parts.sum(axis=0) + np.abs(total).sum(axis=0)
    most += _SUM_GUARD * (2.0 + np.abs(parts).sum(axis=0) + weight.sum(axis=0))
    return Sums(most * aim_size, total * aim_size / width.T, first, (weight * aim_size).T / size)


def weights(slope: Array, rest: Array, aim: Array, aim_rest: Array, pivots: int) -> Array:
    """Weights (K, C), >= 0, of rows `slope` (K, n, C), `rest` (K, C) for an aim (n, C), (C,); all of like size, x in
    [-1, 1]^n. No more than so many `pivots` on the way to the best."""
    rows, n, count = slope.shape
    table = np.zeros((rows + n + 1, n + 1, count))
    side = np.where(aim >= 0.0, 1.0, -1.0)
    # every x begins where the aim is largest; the unknowns are the ways inward, each >= 0 and at most 2
    table[:rows, :n] = -slope * side
    table[:rows, n] = rest + (slope * side).sum(axis=1)
    for k in range(n):
        table[rows + k, k] = 1.0
    table[-1, :n] = -np.abs(aim)
    table[-1, n] = aim_rest + np.abs(aim).sum(axis=0)
    owner = np.repeat(np.arange(rows, rows + n)[:, None], count, axis=1)
    found = np.zeros((rows, count))
    at = np.arange(count)
    for _ in range(pivots):
        value = table[:-1, n]
        missed = -value
        missed[rows:] = np.maximum(missed[rows:], value[rows:] - 2.0)
        leave = missed.argmax(axis=0)
        number = np.arange(len(at))
        row = table[leave, :, number]  # (C, n + 1)
        above = (leave >= rows) & (row[:, n] > 0.0)
        row[above] *= -1.0
        row[above, n] += 2.0
        usable = row[:, :n] > _LEAST_PIVOT
        ratio = np.where(usable, -table[-1, :n].T / np.where(usable, row[:, :n], 1.0), math.inf)
        enter = ratio.argmin(axis=1)
        going = (missed[leave, number] > _MISSED) & (table[-1, n] >= 0.0)
        stuck = going & ~usable.any(axis=1)
        going &= ~stuck
        if not going.all():
            _take(found, at, table, owner, ~going)
            if stuck.any():
                _take_failed(found, at, table, owner, stuck, row, leave)
            table, owner, at = np.ascontiguousarray(table[:, :, going]), owner[:, going], at[going]
            if not len(at):
                return found
            row, leave, enter, above = row[going], leave[going], enter[going], above[going]
            number = np.arange(len(at))
        if above.any():
            table[leave[above], :, number[above]] = row[above]
        row = np.ascontiguousarray(row.T)
        factor = table[:, enter, number] / row[enter, number]
        table -= factor[:, None] * row
        table[:, enter, number] = factor
        owner[enter, number] = leave
    _take(found, at, table, owner, np.ones(len(at), dtype=bool))
    return found


def _take(found: Array, at: Ints, table: Array, owner: Ints, some: Mask) -> None:
    """The weights of the rows that hold the aim down."""
    rows = len(found)
    for k in range(len(owner)):
        mine = some & (owner[k] < rows)
        found[owner[k][mine], at[mine]] = np.maximum(0.0, -table[-1, k][mine])


def _take_failed(found: Array, at: Ints, table: Array, owner: Ints, some: Mask, row: Array, leave: Ints) -> None:
    """A row that cannot be met whatever the unknowns: it and those that hold it down, often enough to sink the aim."""
    rows, n = len(found), len(owner)
    step = 2.0 * (table[-1, n] + 1e-3) / np.maximum(-row[:, n], _MISSED)
    for k in range(n):
        mine = some & (owner[k] < rows)
        found[owner[k][mine], at[mine]] += (step * np.maximum(0.0, -row[:, k]))[mine]
    mine = some & (leave < rows)
    found[leave[mine], at[mine]] += step[mine]
