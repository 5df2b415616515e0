"""A stage and a train, by tooth counts."""

from __future__ import annotations

import math
from fractions import Fraction
from itertools import pairwise
from typing import NamedTuple

MOST_STAGES = 4
MOST_TEETH = 5000  # 5000^4 is far below 2^63: products of the counts of a train are exact in 64 bits


class Stage(NamedTuple):
    """One step of speed: teeth of the driving and of the driven gear, and of the idlers between them, in order."""

    driver: int
    driven: int
    idlers: tuple[int, ...] = ()

    @property
    def meshes(self) -> tuple[tuple[int, int], ...]:
        """Tooth counts of each pair in contact, in order."""
        run = (self.driver, *self.idlers, self.driven)
        return tuple(pairwise(run))


class Train(NamedTuple):
    """Stages in order from the motor's pinion to the output."""

    stages: tuple[Stage, ...]

    @property
    def ratio(self) -> Fraction:
        """Motor speed over output speed. Idlers do not change it."""
        return Fraction(math.prod(s.driven for s in self.stages), math.prod(s.driver for s in self.stages))

    @property
    def teeth(self) -> int:
        """Sum of all tooth counts: a plain measure of size."""
        return sum(s.driver + s.driven + sum(s.idlers) for s in self.stages)
