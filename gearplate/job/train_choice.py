"""Trains that a wanted reduction allows, the closest first."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from fractions import Fraction
from typing import TYPE_CHECKING

from gearplate.gears.spec import GearSpec, ReductionWish, StageSpec, TrainSpec
from gearplate.job.load import with_train

if TYPE_CHECKING:
    from gearplate.gears.trains.values import Train

__all__ = ["nearest_train", "trains_to_try", "with_train"]

_SOME, _MANY = 1_000, 20_000  # the closest are looked at first: often enough of them will do
_MOST_ALIKE = 300_000  # of trains that are equally near to the wanted ratio no more are looked at
_WIDEST = Fraction(999, 1000)


def trains_to_try(
    wish: ReductionWish, limit: int, allow: Callable[[Sequence[tuple[int, int]]], bool] | None = None
) -> list[TrainSpec]:
    """The `limit` closest trains over all stage counts that the wish allows, closest first, then fewest teeth.

    `allow`: of the closest 20,000 of each number of stages only those whose (driver, driven) counts it takes.
    """
    found = [train for stages in wish.stage_counts for train in _closest(wish, stages, limit, allow)]
    found.sort(key=lambda train: (abs(train.ratio - wish.ratio), train.teeth, train.stages))
    return [
        TrainSpec(
            tuple(
                StageSpec(
                    GearSpec(stage.driver, wish.system), GearSpec(stage.driven, wish.system), wish.added_centre_mm
                )
                for stage in train.stages
            )
        )
        for train in found[:limit]
    ]


def _closest(
    wish: ReductionWish, stages: int, limit: int, allow: Callable[[Sequence[tuple[int, int]]], bool] | None
) -> list[Train]:
    """The closest trains of so many stages, those that are not allowed left out."""
    from gearplate.gears.trains.first import first_trains
    from gearplate.gears.trains.question import common
    from gearplate.gears.trains.ranking import Ranking
    from gearplate.gears.trains.search import Tables
    from gearplate.gears.trains.window import Window

    window = Window.around(wish.ratio, wish.tolerance)
    question = common(wish.pinions, wish.drivers, wish.driven, stages, window)
    tables = Tables.of(question)
    kept: list[Train] = []
    for many in (limit,) if allow is None else (_SOME, _MANY):
        ranking = Ranking(("closeness",), window)
        trains = first_trains(question, ranking, many, tables=tables, most=_MOST_ALIKE).trains()
        kept = [one for one in trains if allow is None or allow([(pair.driver, pair.driven) for pair in one.stages])]
        if len(kept) >= limit or len(trains) < many:
            break
    return kept


def nearest_train(wish: ReductionWish) -> TrainSpec | None:
    """The train that comes nearest to the wanted reduction, however far off; None where the gears reduce nothing."""
    ends = _range(wish)
    if ends is None:
        return None
    # Beyond either end the nearest is that end, and asking for it spares looking through every train there is.
    wish = replace(wish, ratio=min(max(wish.ratio, ends[0]), ends[1]))
    within = max(wish.tolerance, Fraction(1, 100))
    while not (found := trains_to_try(replace(wish, tolerance=within), 1)) and within < _WIDEST:
        within = min(2 * within, _WIDEST)
    return found[0] if found else None


def _range(wish: ReductionWish) -> tuple[Fraction, Fraction] | None:
    """The least and the greatest reduction that the gears make; None where they make none."""
    first = [Fraction(b, a) for a in wish.pinions for b in wish.driven if b > a]
    later = [Fraction(b, a) for a in wish.drivers for b in wish.driven if b > a]
    counts = [count for count in wish.stage_counts if first and (later or count == 1)]
    if not counts:
        return None
    least = min(min(first) * min(later, default=Fraction(1)) ** (count - 1) for count in counts)
    most = max(max(first) * max(later, default=Fraction(1)) ** (count - 1) for count in counts)
    return least, most
