"""All trains of a question as one table, or their number."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from gearplate.gears.trains.products import Counts
from gearplate.gears.trains.question import Question
from gearplate.gears.trains.search import Codes, Tables, count_found, stages_found
from gearplate.gears.trains.values import Stage, Train
from gearplate.gears.trains.window import Whole

_BLOCK = 200_000


@dataclass(frozen=True, slots=True)
class TrainTable:
    """Trains as rows of tooth counts: driver and driven gear of the first stage, of the second, ..."""

    counts: Counts

    def __len__(self) -> int:
        return len(self.counts)

    @property
    def stages(self) -> int:
        """How many stages each train has."""
        return int(self.counts.shape[1]) // 2

    @property
    def driven(self) -> Whole:
        """Product of the driven counts of each train."""
        return _product(self.counts[:, 1::2])

    @property
    def drivers(self) -> Whole:
        """Product of the driving counts of each train."""
        return _product(self.counts[:, 0::2])

    @property
    def teeth(self) -> Whole:
        """Sum of all counts of each train."""
        total = np.zeros(len(self.counts), np.int64)
        for column in self.counts.T:
            total += column
        return total

    def rows(self, chosen: slice | np.ndarray[tuple[int, ...], np.dtype[np.generic]]) -> TrainTable:
        """The table of some of the trains."""
        return TrainTable(self.counts[chosen])

    def and_also(self, other: TrainTable) -> TrainTable:
        """The trains of both, one table after the other."""
        return TrainTable(np.concatenate([self.counts, other.counts]))

    def trains(self) -> tuple[Train, ...]:
        """Each row as a train."""
        return tuple(
            Train(tuple(Stage(row[i], row[i + 1]) for i in range(0, len(row), 2))) for row in self.counts.tolist()
        )


def _product(counts: Counts) -> Whole:
    """Of each row, column by column: numpy takes three times as long along the rows."""
    product = np.ones(len(counts), np.int64)
    for column in counts.T:
        product *= column
    return product


def empty_table(stages: int) -> TrainTable:
    """A table without a train."""
    return TrainTable(np.zeros((0, 2 * stages), np.int16))


def list_trains(question: Question, tables: Tables | None = None) -> TrainTable:
    """Every train that the question asks for. The order is that of the search: stable, but no ranking.

    Needs no more than about twice the bytes of the answer. Raises ValueError where the choices are too many to search.
    """
    tables = Tables.of(question) if tables is None else tables
    return _table(list(stages_found(tables, question)), len(question.stages))


def count_trains(question: Question, tables: Tables | None = None, most: int | None = None) -> int:
    """How many trains the question asks for, or at least how many: about `most` meetings of gears are looked at, which
    may make several trains each. Raises ValueError where the choices are too many to search."""
    return count_found(Tables.of(question) if tables is None else tables, question, most)


def blocks(question: Question, tables: Tables | None = None, size: int | None = None) -> Iterator[TrainTable]:
    """As list_trains, in tables of about `size` trains, so that any number of trains fits in memory."""
    tables = Tables.of(question) if tables is None else tables
    wanted = _BLOCK if size is None else size
    held: list[tuple[Codes, ...]] = []
    waiting = 0
    for stages in stages_found(tables, question):
        held.append(stages)
        waiting += len(stages[0])
        if waiting >= wanted:
            yield _table(held, len(question.stages))
            held, waiting = [], 0
    if held:
        yield _table(held, len(question.stages))


def _table(found: list[tuple[Codes, ...]], stages: int) -> TrainTable:
    """Pieces put together. Orders of the same stages share their memory, so the pieces are smaller than the whole."""
    rows = sum(len(piece[0]) for piece in found)
    codes = np.empty((rows, stages), dtype=np.int32)
    begin = 0
    for piece in found:
        end = begin + len(piece[0])
        for number, stage in enumerate(piece):
            codes[begin:end, number] = stage
        begin = end
    return TrainTable(codes.view(np.int16).reshape(rows, 2 * stages))
