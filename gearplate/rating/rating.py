"""One rating: what a part feels in one load case, held against what it stands."""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import StrEnum

from gearplate.finding import Standing


class Kind(StrEnum):
    """strength and life rule the weakest link; stiffness is told beside it."""

    STRENGTH = "strength"
    LIFE = "life"
    STIFFNESS = "stiffness"


@dataclass(frozen=True, slots=True)
class Rating:
    """What was worked out for one part.

    `part`: what it is of, in words ("S1 32T in mesh with output 60T"). `value` and `limit` are in `unit`. `margin`: how
    many times the load could grow before the limit is reached (for stresses limit over value; where the value does not
    grow with the load itself, as lives and contact pressures do not, so much of it that the load may grow). `standing`
    is that of the limit, `source` where formula and limit come from. `rules`: it may be the weakest link; where it may
    not, `note` says why. `shafts`, `plate`, `features`: where it is. `way`: which forces of the load case these are
    (forward or backward, and where the floor or a chain pushes), in the words of `ShaftCase`.
    """

    part: str
    kind: Kind
    load_case: str
    formula: str
    source: str
    value: float
    limit: float
    unit: str
    margin: float
    standing: Standing
    rules: bool = True
    note: str = ""
    shafts: tuple[str, ...] = ()
    plate: str | None = None
    features: tuple[str, ...] = ()
    way: str = ""

    @property
    def holds(self) -> bool:
        """Whether the limit is kept."""
        return self.margin >= 1.0


def over(limit: float, value: float) -> float:
    """Limit over value; without end where there is no load."""
    return math.inf if value <= 0.0 else limit / value
