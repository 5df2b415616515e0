"""Which gears each stage may have, and the window that their ratio must lie in."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, field, replace

import numpy as np

from gearplate.gears.trains.values import MOST_STAGES, MOST_TEETH
from gearplate.gears.trains.window import Window


@dataclass(frozen=True, slots=True)
class StageChoice:
    """The gears that one stage may have: any driver with any driven gear.

    `reducing`: only pairs with more driven than driving teeth. `module_mm` tells stages apart whose teeth differ in
    size (None: all alike). `most_teeth`: at most so many in driver and driven gear together. `idlers`: runs of idlers
    that the stage may also have; they change no ratio and are listed as variants.

    Raises ValueError for what is no number of teeth.
    """

    drivers: tuple[int, ...]
    driven: tuple[int, ...]
    reducing: bool = True
    module_mm: float | None = None
    most_teeth: int | None = None
    idlers: tuple[tuple[int, ...], ...] = field(default=(), compare=False)

    def __post_init__(self) -> None:
        object.__setattr__(self, "drivers", tuple(sorted(set(self.drivers))))
        object.__setattr__(self, "driven", tuple(sorted(set(self.driven))))
        for teeth in (*self.drivers, *self.driven, *(count for run in self.idlers for count in run)):
            if not 1 <= teeth <= MOST_TEETH:
                raise ValueError(f"{teeth} is not a number of teeth")

    def allows(self, driver: int, driven: int) -> bool:
        """Whether this pair may stand in the stage."""
        return (
            driver in self.drivers
            and driven in self.driven
            and (not self.reducing or driven > driver)
            and (self.most_teeth is None or driver + driven <= self.most_teeth)
        )

    @property
    def pairs(self) -> int:
        """How many pairs there are."""
        driven = np.array(self.driven, dtype=np.int64)
        count = 0
        for driver in self.drivers:
            low = int(np.searchsorted(driven, driver, side="right")) if self.reducing else 0
            top = len(driven)
            if self.most_teeth is not None:
                top = int(np.searchsorted(driven, self.most_teeth - driver, side="right"))
            count += max(0, top - low)
        return count


@dataclass(frozen=True, slots=True)
class Question:
    """Trains of exactly these stages whose ratio lies in the window.

    `in_order`: trains that differ only in the order of their stages count as different; otherwise they are told as
    one, the one whose stages (driver, driven) come first in order among those that the choices allow.

    Raises ValueError for none or more than four stages.
    """

    stages: tuple[StageChoice, ...]
    window: Window
    in_order: bool = True

    def __post_init__(self) -> None:
        if not 1 <= len(self.stages) <= MOST_STAGES:
            raise ValueError(f"stages = {len(self.stages)}: from 1 to {MOST_STAGES}")

    @property
    def searched(self) -> int:
        """Trains of whatever ratio that the choices allow, counted in order."""
        return math.prod(stage.pairs for stage in self.stages)

    def narrowed(self, window: Window) -> Question:
        """The same question for another window."""
        return replace(self, window=window)


def common(
    pinions: Sequence[int],
    drivers: Sequence[int],
    driven: Sequence[int],
    stages: int,
    window: Window,
    reducing: bool = True,
    in_order: bool = True,
) -> Question:
    """The usual question: pinions drive the first stage, one catalogue holds all other gears."""
    if not 1 <= stages <= MOST_STAGES:
        raise ValueError(f"stages = {stages}: from 1 to {MOST_STAGES}")
    first = StageChoice(tuple(pinions), tuple(driven), reducing)
    later = StageChoice(tuple(drivers), tuple(driven), reducing)
    return Question((first, *[later] * (stages - 1)), window, in_order)
