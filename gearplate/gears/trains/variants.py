"""The same train with idlers: its ratio is the same, its shafts stand elsewhere."""

from __future__ import annotations

from itertools import product

from gearplate.gears.trains.question import Question
from gearplate.gears.trains.values import Stage, Train


def with_idlers(train: Train, question: Question) -> tuple[Train, ...]:
    """Every variant of a train with idlers where the question asks for them: each stage without, or with one of the
    runs of idlers that its choice lists. The train without any idler is not among them."""
    choices = [((), *dict.fromkeys(run for run in stage.idlers if run)) for stage in question.stages]
    return tuple(
        Train(tuple(Stage(stage.driver, stage.driven, run) for stage, run in zip(train.stages, runs, strict=True)))
        for runs in product(*choices)
        if any(runs)
    )


def variants_of_each(question: Question) -> int:
    """How many variants with idlers each train has."""
    total = 1
    for stage in question.stages:
        total *= 1 + len({run for run in stage.idlers if run})
    return total - 1
