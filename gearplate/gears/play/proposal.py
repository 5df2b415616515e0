"""The added centre distance that keeps the smallest acceptable play, and what it costs at the other end."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

from gearplate.gears.play.budget import Budget, budget
from gearplate.gears.play.model import Climate, MeshPlay

STEP_MM = 0.005


@dataclass(frozen=True, slots=True)
class Proposal:
    """`added_mm`: the least, in steps of 0.005 mm, at which 999 of 1000 gearboxes keep `least_mm` of operating backlash
    at the tightest place of a turn; `budget` is that of the mesh there. Nothing is added where the teeth are thin
    enough without."""

    added_mm: float
    least_mm: float
    budget: Budget

    @property
    def centre_mm(self) -> float:
        """Greatest likely centre distance: where the contact ratio is least."""
        return self.budget.likely_centre_mm[1]


def propose(play: MeshPlay, climate: Climate, free_centre_mm: float, least_mm: float) -> Proposal:
    """The proposal for one mesh. `free_centre_mm`: zero-backlash centre distance of the unthinned gears.

    Secant steps on the likely least backlash, which rises with the distance by about twice tan aw.
    """

    def at(added: float) -> Budget:
        return budget(replace(play, centre_mm=free_centre_mm + added), climate)

    added = 0.0
    for _ in range(20):
        here = at(added)
        step = (least_mm - here.likely_mm[0]) / here.per_centre
        added = max(0.0, added + step)
        if abs(step) < 1e-5 or (added == 0.0 and step < 0.0):
            break
    added = round(STEP_MM * math.ceil(added / STEP_MM - 1e-3), 6)
    return Proposal(added, least_mm, at(added))
