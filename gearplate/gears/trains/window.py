"""The ratios that are wanted, in whole numbers.

A train's ratio is the product of its driven counts over that of its drivers, n / d. That it lies from low to high is
the same as that n lies from the next whole number above low * d to the next below high * d: no rounding anywhere, so
that an edge which gears can make exactly is inside.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

import numpy as np
from numpy.typing import NDArray

Whole = NDArray[np.int64]

_TOP = 2**62


@dataclass(frozen=True, slots=True)
class Window:
    """Ratios from `low` to `high`, both included. Closeness is counted from `target`. Raises ValueError for limits
    that are not 0 < low <= high, or a target that is not above zero."""

    low: Fraction
    high: Fraction
    target: Fraction

    def __post_init__(self) -> None:
        if not 0 < self.low <= self.high:
            raise ValueError(f"ratios from {self.low} to {self.high}: they must be above zero and in order")
        if self.target <= 0:
            raise ValueError(f"ratio = {self.target}: it must be above zero")

    @classmethod
    def around(cls, ratio: Fraction, tolerance: Fraction) -> Window:
        """|train / ratio - 1| <= tolerance, edges included."""
        if ratio <= 0:
            raise ValueError(f"ratio = {ratio}: it must be above zero")
        if not 0 <= tolerance < 1:
            raise ValueError(f"tolerance = {tolerance}: from 0 to below 1")
        return cls(ratio * (1 - tolerance), ratio * (1 + tolerance), ratio)

    @classmethod
    def between(cls, low: Fraction, high: Fraction) -> Window:
        """From low to high; closeness counts from their middle."""
        return cls(low, high, (low + high) / 2)

    def within(self, distance: Fraction) -> Window | None:
        """The part of the window no further from the target than `distance`; None where that is empty."""
        low, high = max(self.low, self.target - distance), min(self.high, self.target + distance)
        return Window(low, high, self.target) if low <= high else None

    @property
    def farthest(self) -> Fraction:
        """Distance from the target to the farther edge."""
        return max(abs(self.low - self.target), abs(self.high - self.target))

    def driven_products(self, drivers: Whole) -> tuple[Whole, Whole]:
        """For each product of drivers the least and the greatest product of driven counts that lies in the window.

        The greatest is below the least where there is none. Values beyond 2^62 are cut there.
        """
        largest = int(drivers.max(initial=1))
        return (
            -_floor_of(-self.low.numerator, self.low.denominator, drivers, largest),
            _floor_of(self.high.numerator, self.high.denominator, drivers, largest),
        )

    def holds(self, driven: int, drivers: int) -> bool:
        """Whether one ratio of whole numbers lies in the window."""
        return self.low <= Fraction(driven, drivers) <= self.high


def _floor_of(numerator: int, denominator: int, factors: Whole, largest: int) -> Whole:
    """floor(numerator * factor / denominator), in 64 bits where nothing can overflow, else in Python's own."""
    if abs(numerator) * largest < _TOP and denominator < _TOP:
        return np.asarray(numerator * factors // denominator)
    exact = [max(-_TOP, min(_TOP, numerator * factor // denominator)) for factor in factors.tolist()]
    return np.array(exact, dtype=np.int64)


def nearness(driven: Whole, drivers: Whole, target: Fraction) -> NDArray[np.float64]:
    """A number for each ratio that sorts exactly like |driven / drivers - target|, and is equal where that is.

    Only within one call: numbers of two calls are not to be compared.
    """
    if not len(driven):
        return np.zeros(0)
    top, bottom = target.numerator, target.denominator
    largest = int(drivers.max())
    # |n bottom - d top| / d of whole numbers has one rounding, of an exact quotient. Two of them differ by at
    # least 1 over the product of their d: while that is more than a float's last place, floats keep the order.
    if int(driven.max()) * bottom + largest * top < _TOP:
        off = np.abs(driven * bottom - drivers * top)
        if int(off.max()) * largest < 2**52:
            return np.asarray(off / drivers)
    pairs = np.stack([driven, drivers], axis=1) // np.gcd(driven, drivers)[:, None]
    unique, inverse = np.unique(pairs, axis=0, return_inverse=True)
    exact = [abs(Fraction(n, d) - target) for n, d in unique.tolist()]
    place = {value: index for index, value in enumerate(sorted(set(exact)))}
    return np.asarray([place[value] for value in exact], dtype=np.float64)[inverse.reshape(-1)]
