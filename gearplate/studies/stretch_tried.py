"""One way that was tried and what it came to, and the changed job of the one that is chosen."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from gearplate.job.spec import JobSpec
from gearplate.record.design import Design
from gearplate.studies.stretch_change import Change, Turned
from gearplate.studies.stretch_ways import Way


class Kept(StrEnum):
    """What stays in every way, and is given up only in a trial of its own."""

    RAIL = "new rail holes"
    SPACERS = "spacers of another length"


@dataclass(frozen=True, slots=True)
class Tried:
    """One way and what it came to. `gave`: the kept thing that was given up in it. `anywhere_mm`: wherever the rail is
    drilled, no largest move is below. `ruled_out`: the train's own fixed distances leave no layout."""

    way: Way
    turned: Turned
    gave: Kept | None = None
    anywhere_mm: float = 0.0
    ruled_out: bool = False


@dataclass(frozen=True, slots=True)
class Chosen:
    """The changed job, built: what it gives up, how much it changes."""

    tried: Tried
    job: JobSpec
    design: Design
    change: Change
    spacers_mm: tuple[float, float] | None  # length before and after where they could not stay


def to_be_less(change: Change) -> bool:
    """Whether there is anything about a change that could be less."""
    return change.out_of_reach > 0 or change.growth_mm2 > 1.0 or change.move_mm > 0.001
