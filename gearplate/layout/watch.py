"""Who looks on while shafts are placed, and may end the search: it then gives the best it has found so far."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from enum import StrEnum
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from gearplate.layout.certified.branch import Progress
    from gearplate.layout.certified.problem import Wish


class Stage(StrEnum):
    TRAINS = "trains"
    SEARCH = "search"
    PROOF = "proof"


@dataclass(frozen=True, slots=True)
class Seen:
    """How far a search has come. `wish`: what is to be small ("area" of the hull, "height", "width", "move"). `best`:
    the value so far, mm2 or mm, None where there is none yet; no layout is below `bound` (infinite where it is proven
    that there is none). `share` of the boxes of angles that it looks at, at most."""

    stage: Stage
    wish: str
    best: float | None
    bound: float
    share: float


Watch = Callable[[Seen], bool]
"""Told after every batch of boxes. Answers False where the search is to end."""


class Onlooker:
    """Passes on what is to be seen, and remembers whether the search was told to end."""

    def __init__(self, watch: Watch | None) -> None:
        self._watch = watch
        self.ended = False

    def sees(self, stage: Stage, most_boxes: int) -> Callable[[Wish, Progress], bool] | None:
        """What a search of so many boxes tells its progress to; None where nobody looks on."""
        watch = self._watch
        if watch is None:
            return None

        def told(wish: Wish, progress: Progress) -> bool:
            best = progress.best if progress.best < float("inf") else None
            goes_on = watch(Seen(stage, wish.value, best, progress.bound, min(1.0, progress.boxes / most_boxes)))
            self.ended = self.ended or not goes_on
            return goes_on

        return told
