"""Trains that a wanted reduction allows, the closest first."""

from __future__ import annotations

from gearplate.gears.spec import GearSpec, ReductionWish, StageSpec, TrainSpec
from gearplate.job.load import with_train

__all__ = ["trains_to_try", "with_train"]


def trains_to_try(wish: ReductionWish, limit: int) -> list[TrainSpec]:
    """The `limit` closest trains over all stage counts that the wish allows, closest first, then fewest teeth."""
    from gearplate.gears.trains import find_trains

    found = [
        train
        for stages in wish.stage_counts
        for train in find_trains(
            wish.drivers, wish.driven, wish.pinions, stages, wish.ratio, wish.tolerance, limit
        ).trains
    ]
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
