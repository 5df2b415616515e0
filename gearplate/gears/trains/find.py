"""The usual question in one call: the closest trains, and how many there are."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

from gearplate.gears.trains.first import first_trains
from gearplate.gears.trains.listing import count_trains
from gearplate.gears.trains.question import common
from gearplate.gears.trains.ranking import Ranking
from gearplate.gears.trains.search import Tables
from gearplate.gears.trains.values import Train
from gearplate.gears.trains.window import Window


@dataclass(frozen=True, slots=True)
class TrainList:
    """`found` trains lie in the window; `trains` are the best of them, at most as many as were asked for."""

    trains: tuple[Train, ...]
    found: int


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
    window = Window.around(ratio, tolerance)
    question = common(pinions, drivers, driven, stages, window, reducing_only)
    tables = Tables.of(question)
    first = first_trains(question, Ranking(("closeness",), window), limit, tables=tables)
    return TrainList(first.trains(), count_trains(question, tables))
