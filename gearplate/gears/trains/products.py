"""Every choice of gears for one side of all stages, drivers or driven, with its product.

Stages that choose from the same list are filled with each set of counts once (in rising order), not with each order of
it: for k stages of one list of N counts that is C(N + k - 1, k) rows instead of N^k.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from gearplate.gears.trains.window import Whole

Counts = NDArray[np.int16]

# Above this the tables of products alone would take more than half a gigabyte.
MOST_ROWS = 20_000_000


@dataclass(frozen=True, slots=True)
class Products:
    """`columns[stage]`: the count that each row gives to that stage. `groups`: stages with the same list of counts;
    within a group the counts of a row rise (or stay) from stage to stage."""

    columns: tuple[Counts, ...]
    products: Whole
    groups: tuple[tuple[int, ...], ...]

    def sorted(self) -> Products:
        """The same rows by rising product."""
        order = np.argsort(self.products, kind="stable")
        return Products(tuple(column[order] for column in self.columns), self.products[order], self.groups)


def all_products(lists: Sequence[tuple[int, ...]]) -> Products:
    """Every choice of one count for each stage out of its list.

    Raises ValueError where they are more than memory can hold.
    """
    groups = tuple(
        tuple(stage for stage, other in enumerate(lists) if other == counts) for counts in dict.fromkeys(lists)
    )
    sizes = [math.comb(len(lists[group[0]]) + len(group) - 1, len(group)) for group in groups]
    rows = math.prod(sizes)
    if rows > MOST_ROWS:
        raise ValueError(f"{rows} choices of gears are too many to hold: fewer tooth counts or fewer stages")
    columns: dict[int, Counts] = {}
    after = rows
    for group, size in zip(groups, sizes, strict=True):
        after //= max(size, 1)
        counts = np.array(lists[group[0]], dtype=np.int16)
        for stage, rising in zip(group, _rising(len(counts), len(group)), strict=True):
            columns[stage] = np.tile(np.repeat(counts[rising], after), rows // max(size * after, 1))
    products = np.ones(rows, dtype=np.int64)
    for column in columns.values():
        products *= column
    return Products(tuple(columns[stage] for stage in range(len(lists))), products, groups)


def _rising(values: int, places: int) -> list[NDArray[np.intp]]:
    """Every rising (or staying) run of `places` indices below `values`: one array for each place."""
    runs = [np.arange(values)]
    for _ in range(places - 1):
        follow = values - runs[-1]
        repeated = [np.repeat(run, follow) for run in runs]
        begin = np.cumsum(follow) - follow
        last = np.arange(len(repeated[0])) - np.repeat(begin, follow) + repeated[-1]
        runs = [*repeated, last]
    return runs
