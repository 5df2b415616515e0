"""Scatter of one mesh in cut plates: distribution of its centre distance and backlash from what scatters in them.

How the model reads its words:

- Two shafts, each in one bore of every plate. With two plates the gears run half-way between, so that a gear stands at
  the mean of its two bores; the plates are cut independently.
- Place of a bore: its own normal error along x and along y, another one in every plate.
- Strain of the plates: cte_plate x dT + moisture, of the gears: cte_gear x dT. Temperature and moisture are one draw
  for both plates and all gears. The plates' strain moves the bores apart, that of the gears makes the gears larger:
  centre distances are as measured on the part, the backlash is that of the grown gears at that distance.
- Play of a shaft in a bore, to one side: max(0, bore error + bore diameter x (plate's less gear's strain)) / 2, and
  half the bearing's internal clearance. Bore error and clearance are drawn anew for every bore; a bore smaller than
  its bearing locates it exactly, and takes nothing from the internal clearance.
- Direction `load`: in every bore both shafts give way by their whole play along the tooth force, which pushes them
  apart. It acts along the line of action, which stands at the working pressure angle aw to the perpendicular of the
  line of centres: sin aw of the way is along the line of centres, cos aw across it.
- Direction `random`: in every bore the shaft lies against the wall in a direction of its own, all equally likely.
- Thinning: drawn anew for each of both gears, along the reference circle.

The centre distance is the length of the vector between the two axes, the backlash the exact operating one at it.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from gearplate.gears.involute import Array
from gearplate.gears.play.model import Range
from gearplate.gears.play.pair import Pair

DRAWS = 1 << 20
DIRECTIONS = ("load", "random")


@dataclass(frozen=True, slots=True, kw_only=True)
class PlateScatter:
    """What scatters, lengths in mm; ranges are (low, high), uniform. See the module for how it acts.

    `sigma_pos_mm`: standard deviation of a bore's place, per axis. `bore_error_mm` and `clearance_mm` (the bearing's
    internal one) count on the diameter. `dt_k` counts from the temperature at which it was cut. `moisture` is a strain.
    """

    pair: Pair
    centre_mm: float
    thinning_mm: Range = (0.0, 0.0)
    sigma_pos_mm: float = 0.0
    bore_error_mm: Range = (0.0, 0.0)
    bore_diameter_mm: float = 0.0
    clearance_mm: Range = (0.0, 0.0)
    direction: str = "load"
    cte_plate_per_k: float = 0.0
    cte_gear_per_k: float = 0.0
    dt_k: Range = (0.0, 0.0)
    moisture: Range = (0.0, 0.0)
    plates: int = 2

    def __post_init__(self) -> None:
        if self.direction not in DIRECTIONS:
            raise ValueError(f"direction {self.direction!r}: {' or '.join(DIRECTIONS)}")
        if self.plates < 1:
            raise ValueError(f"{self.plates} plates")
        for low, high in (self.thinning_mm, self.bore_error_mm, self.clearance_mm, self.dt_k, self.moisture):
            if not low <= high:
                raise ValueError(f"a range from {low:g} to {high:g}")


@dataclass(frozen=True, slots=True)
class Spread:
    """A distribution in four numbers: mean, standard deviation, quantiles at 0.1 % and 99.9 %."""

    mean: float
    std: float
    q001: float
    q999: float


@dataclass(frozen=True, slots=True)
class Scattered:
    """What came of it: centre distance and operating backlash, mm, and the probability of no backlash or less."""

    centre_mm: Spread
    backlash_mm: Spread
    probability_binds: float


def spread_of(values: Array) -> Spread:
    """The four numbers of a drawn distribution."""
    low, high = np.quantile(values, (0.001, 0.999))
    return Spread(float(values.mean()), float(values.std()), float(low), float(high))


class Layered:
    """Draws in layers: of n draws one falls into each n-th part of its range, in an order of its own for each quantity
    (Latin hypercube; McKay, Beckman and Conover, Technometrics 21, 1979, from memory). Sums of such draws have exact
    means, and their quantiles scatter far less than those of plain draws."""

    def __init__(self, count: int, start: int = 1) -> None:
        self._count = count
        self._random = np.random.Generator(np.random.PCG64(start))

    def share(self) -> Array:
        """Uniform between 0 and 1."""
        order: NDArray[np.int64] = self._random.permutation(self._count)
        return np.asarray((order + self._random.random(self._count)) / self._count)

    def uniform(self, low: float, high: float) -> Array | float:
        """Uniform; the plain number where the range is none."""
        return low if low == high else low + (high - low) * self.share()

    def normal(self, sigma: float) -> Array | float:
        """Normal about zero, drawn in mirrored pairs: no mean, and the very standard deviation."""
        if sigma == 0.0:
            return 0.0
        half = self._random.standard_normal((self._count + 1) // 2)
        both = np.concatenate([half, -half])[: self._count]
        self._random.shuffle(both)
        return np.asarray(both * (sigma / both.std()))


def plate_scatter(given: PlateScatter, draws: int = DRAWS) -> Scattered:
    """Draw `draws` meshes and tell how they come out. The same input gives the same numbers.

    With the million draws of the default the means are exact to some thousandths of a standard deviation, the outer
    quantiles to a hundredth.
    """
    draw = Layered(draws)
    dt = draw.uniform(*given.dt_k)
    plate = given.cte_plate_per_k * dt + draw.uniform(*given.moisture)
    gear = given.cte_gear_per_k * dt
    # The places of two bores in each plate, halved over the plates: one normal deviation along each axis.
    sigma = given.sigma_pos_mm * math.sqrt(2.0 / given.plates)
    angle = given.pair.working_angle_rad(given.centre_mm)
    along = given.centre_mm * (1.0 + plate) + draw.normal(sigma)
    across = np.zeros(draws) + draw.normal(sigma)
    for _ in range(2 * given.plates):
        error = draw.uniform(*given.bore_error_mm)
        loose = np.maximum(0.0, error + given.bore_diameter_mm * (plate - gear))
        play = 0.5 * (loose + draw.uniform(*given.clearance_mm)) / given.plates
        if given.direction == "load":
            along = along + play * math.sin(angle)
            across = across + play * math.cos(angle)
        else:
            turned = 2.0 * math.pi * draw.share()
            along = along + play * np.cos(turned)
            across = across + play * np.sin(turned)
    centre = np.hypot(along, across)
    thinning = draw.uniform(*given.thinning_mm) + draw.uniform(*given.thinning_mm)
    backlash = given.pair.backlash_many_mm(centre, thinning, gear)
    return Scattered(spread_of(centre), spread_of(backlash), float(np.mean(~(backlash > 0.0))))
