"""How much one layout differs from another, which change is the lesser, and what came of looking for a lesser one.

The plates' growth comes first, then the largest move. Growth is counted on the hull of the margins of shafts, motors
and rail screws (standoffs are set anew); plates that grow about as much are alike in that. Motor screws that no driver
reaches any more count as so much growth as a build would pay to have them in reach.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from enum import StrEnum

from gearplate.layout.design import Layout
from gearplate.layout.proof import bare_hull_mm2
from gearplate.layout.solve import REACH_SHARE
from gearplate.layout.spec import LayoutSpec

SAME_SHARE = 0.01  # of the old hull: growth that differs by less counts as the same, and the move decides
WORTH = 0.9  # a way that buys more must bring a change down to this share before it is called less
NO_WORSE = 0.995  # of ways that buy alike, what is left of a change that is called less
SAME_MM = 1e-3

Places = Mapping[str, tuple[float, float]]
Pair = tuple["Change", Layout]


@dataclass(frozen=True, slots=True)
class Change:
    """How much a layout differs from another one: motor screws that no driver reaches any more, growth of the hull (0
    where it does not grow), largest move of a shaft."""

    out_of_reach: int
    growth_mm2: float
    move_mm: float


@dataclass(frozen=True, slots=True)
class Old:
    """The layout to start from: where its shafts stand, its hull without standoffs, motor screws out of reach."""

    places: Places
    hull_mm2: float
    blocked: int

    @property
    def same_mm2(self) -> float:
        """Growth of the hull that counts as none."""
        return SAME_SHARE * self.hull_mm2

    def grows(self, change: Change) -> bool:
        """Whether plates of this change count as larger."""
        return change.growth_mm2 > self.same_mm2

    @property
    def reach_mm2(self) -> float:
        """Growth that it is worth to have all motor screws in reach."""
        return REACH_SHARE * self.hull_mm2

    def cost_mm2(self, change: Change) -> float:
        """Growth, and what screws out of reach count as."""
        return change.growth_mm2 + (self.reach_mm2 if change.out_of_reach else 0.0)

    def in_order(self, found: Iterable[Pair]) -> tuple[Pair, ...]:
        """The least change first: the least growth, then of all that grow about as little the fewest screws out of
        reach, then the least move."""
        pairs = list(found)
        least = min((self.cost_mm2(change) for change, _ in pairs), default=0.0)

        def key(pair: Pair) -> tuple[float, int, float, float]:
            change = pair[0]
            more = self.cost_mm2(change) - least
            return (0.0 if more <= self.same_mm2 else more, change.out_of_reach, change.move_mm, change.growth_mm2)

        return tuple(sorted(pairs, key=key))

    def less(self, one: Change, other: Change, worth: float = WORTH) -> bool:
        """Whether one change is worth calling less than the other."""
        cost, most = self.cost_mm2(one), self.cost_mm2(other)
        if abs(cost - most) > self.same_mm2:
            return cost < worth * most
        if one.out_of_reach != other.out_of_reach:
            return one.out_of_reach < other.out_of_reach
        return one.move_mm < worth * other.move_mm - SAME_MM


class Verdict(StrEnum):
    """`IMPOSSIBLE` is proven. `NO_LESS`: whatever clears is no less a change than one that is known; proven too.
    `NOT_FOUND`: neither a layout (of a lesser change, where one is known) nor a proof that there is none."""

    CLEARS = "clears"
    IMPOSSIBLE = "impossible"
    NO_LESS = "no less a change"
    NOT_FOUND = "not found"


@dataclass(frozen=True, slots=True)
class Turned:
    """What turning the shafts of one spec comes to. `found`: layouts that keep every clearance, the least change
    first. No layout at all has a largest move below `move_bound_mm`, none has its plates grow by less than
    `growth_bound_mm2`, and none whose plates grow no more than those of the first has a largest move below
    `same_plates_bound_mm`; with the rail screws that are given, or wherever they stand where none are.

    `why`: what cannot hold, where that has nothing to do with how shafts are turned."""

    verdict: Verdict
    found: tuple[Pair, ...] = ()
    move_bound_mm: float = 0.0
    growth_bound_mm2: float = 0.0
    same_plates_bound_mm: float = 0.0
    boxes: int = 0
    why: str = ""

    @property
    def change(self) -> Change | None:
        """Of the best layout; None where there is none."""
        return self.found[0][0] if self.found else None


def change_of(spec: LayoutSpec, old: Old, layout: Layout, blocked: int) -> Change:
    """By how much a layout differs from the old one; shafts that only one of them has do not count."""
    moves = [
        math.dist(old.places[shaft.name], (shaft.x_mm, shaft.y_mm))
        for shaft in layout.shafts
        if shaft.name in old.places
    ]
    growth = max(0.0, bare_hull_mm2(spec, layout) - old.hull_mm2)
    return Change(max(0, blocked - old.blocked), growth, max(moves, default=0.0))
