"""Boxes of one model, or of several models alike but for their numbers, worked on side by side.

Tables of one model serve all its boxes. Tables of several lie one behind the other along a first axis, and each box
looks into those of its own model.
"""

from __future__ import annotations

from typing import TypeVar

import numpy as np

from gearplate.layout.certified.waves import Array, Ints

Table = TypeVar("Table", Array, Ints)


class Share:
    """All boxes belong to one model."""

    def some(self, at: Ints) -> Share:
        """The same for some of the boxes, by number, in rising order."""
        return self

    def each(self, table: Table) -> Table:
        """What a table holds for each box, to be spread over the boxes."""
        return table

    def at(self, table: Array, line: Ints) -> Array:
        """Lines (B, ...) of a table, for each box its own."""
        return table[line]

    def times(self, left: Array, table: Array) -> Array:
        """Products of rows (..., B, k) with a table (..., k, m)."""
        return np.asarray(left @ table)


ALONE = Share()


class Several(Share):
    """Box i belongs to model `of` [i], numbers that never fall."""

    def __init__(self, of: Ints) -> None:
        self.of = of
        ends = np.flatnonzero(np.diff(of, append=-1)) + 1
        starts = [0, *ends[:-1].tolist()]
        self._parts = [(int(of[start]), slice(start, end)) for start, end in zip(starts, ends.tolist(), strict=False)]

    def some(self, at: Ints) -> Several:
        return Several(self.of[at])

    def each(self, table: Table) -> Table:
        found: Table = table[self.of]
        return found

    def at(self, table: Array, line: Ints) -> Array:
        return table[self.of.reshape(-1, *[1] * (line.ndim - 1)), line]

    def times(self, left: Array, table: Array) -> Array:
        found = np.empty((*table.shape[1:-2], len(self.of), table.shape[-1]))
        for model, part in self._parts:
            np.matmul(left[..., part, :], table[model], out=found[..., part, :])
        return found
