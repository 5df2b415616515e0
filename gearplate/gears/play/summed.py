"""The distribution of a sum of independent deviations, by numbers: how often it lies under a value, where 1 in 1000 is.

The characteristic function of a sum is the product of those of its parts (normal: exp(-(s t)^2 / 2); flat: sin(a t) /
(a t); any direction of a fixed size: the Bessel function J0(r t)), and the distribution follows from it by the theorem
of Gil-Pelaez (Biometrika 38, 1951) as a plain sum after Davies (Biometrika 60, 1973); both papers from memory, held in
the tests against sums whose distributions are known.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from enum import StrEnum
from functools import cache
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from gearplate.gears.involute import Array

FAR = 10.0  # deviations of the whole sum on either side; beyond it nothing is
STEPS = 160  # of the sum over the characteristic function's argument
PLACES = np.linspace(0.3, 6.0, 115)  # deviations out, between which a quantile is taken on a straight line
NODES, OUT = 64, 6.0  # of what is left of a normal deviation that is cut off below, as far out as that
SLIGHT = 1e-3  # of the variance: so little counts as normal whatever its form
_FLAT = math.sqrt(3.0)


class Form(StrEnum):
    NORMAL = "normal"
    FLAT = "flat"
    CIRCLE = "circle"
    FLOORED = "floored"


class Deviation(NamedTuple):
    """One deviation about its mean, mm. `sigma_mm`: its standard deviation. `uncut`: of a floored one, max(0, X), mean
    and standard deviation of the normal X."""

    form: Form
    sigma_mm: float
    uncut: tuple[float, float] = (0.0, 0.0)


class Summed:
    """The sum of deviations, each times its own factor."""

    def __init__(self, parts: Sequence[tuple[float, Deviation]]) -> None:
        self.sigma_mm = math.hypot(*(factor * one.sigma_mm for factor, one in parts))
        if self.sigma_mm > 0.0:
            symmetric = np.ones(STEPS)
            lopsided: NDArray[np.complex128] | None = None
            normal = 0.0
            for factor, one in parts:
                share = abs(factor) * one.sigma_mm / self.sigma_mm
                if one.form is Form.NORMAL or share * share < SLIGHT:
                    normal += share * share
                elif one.form is Form.FLAT:
                    symmetric = symmetric * np.sinc(_arguments() * (share * _FLAT / math.pi))
                elif one.form is Form.CIRCLE:
                    symmetric = symmetric * _bessel(_arguments() * (share * math.sqrt(2.0)))
                else:
                    wave = _floored(one.uncut, factor / self.sigma_mm)
                    lopsided = wave if lopsided is None else lopsided * wave
            symmetric *= np.exp(-0.5 * normal * _arguments() ** 2) / (np.pi * (np.arange(STEPS) + 0.5))
            self._even = symmetric if lopsided is None else symmetric * lopsided.real
            self._odd = None if lopsided is None else symmetric * lopsided.imag

    def chance_under(self, value_mm: float) -> float:
        """Probability that the sum lies under a value."""
        if self.sigma_mm == 0.0:
            return float(value_mm > 0.0)
        at = value_mm / self.sigma_mm
        if abs(at) >= FAR:
            return float(at > 0.0)
        turned = _arguments() * at
        found = 0.5 + float(np.sin(turned) @ self._even)
        if self._odd is not None:
            found -= float(np.cos(turned) @ self._odd)
        return min(max(found, 0.0), 1.0)

    def outer_mm(self, share: float = 0.001) -> tuple[float, float]:
        """What so small a part of all sums lies under, and what it lies above."""
        if self.sigma_mm == 0.0:
            return 0.0, 0.0
        sines, cosines = _waves()
        away, lean = sines @ self._even, 0.0 if self._odd is None else cosines @ self._odd
        # falling with the distance; np.interp wants its places rising
        low, high = 0.5 - away - lean, 0.5 - away + lean
        found = [float(np.interp(share, tail[::-1], PLACES[::-1])) for tail in (low, high)]
        return -found[0] * self.sigma_mm, found[1] * self.sigma_mm


@cache
def _arguments() -> Array:
    return np.asarray((np.arange(STEPS) + 0.5) * (math.pi / FAR))


@cache
def _waves() -> tuple[Array, Array]:
    turned = np.outer(PLACES, _arguments())
    return np.sin(turned), np.cos(turned)


@cache
def _bessel_table() -> tuple[Array, Array]:
    """J0 as the mean of cos(x cos f) over a turn, exact to rounding for the arguments here."""
    x = np.linspace(0.0, math.sqrt(2.0) * math.pi / FAR * STEPS, 4000)
    turn = (np.arange(64) + 0.5) * (math.pi / 128.0)
    return x, np.mean(np.cos(np.outer(x, np.cos(turn))), axis=1)


def _bessel(x: Array) -> Array:
    return np.asarray(np.interp(x, *_bessel_table()))


@cache
def _nodes() -> tuple[Array, Array]:
    places, weights = np.polynomial.legendre.leggauss(NODES)
    return places, weights


def _floored(uncut: tuple[float, float], factor: float) -> NDArray[np.complex128]:
    """Characteristic function of max(0, X) less its mean, times a factor: what is cut off lies at 0, over the rest it
    is integrated by Gauss and Legendre."""
    mean, sigma = uncut
    least = max(-mean / sigma, -OUT) if sigma > 0.0 else OUT
    if least >= OUT:
        return np.ones(STEPS, dtype=np.complex128)
    places, weights = _nodes()
    half = 0.5 * (OUT - least)
    normal = least + half * (places + 1.0)
    share = weights * half * np.exp(-0.5 * normal**2) / math.sqrt(2.0 * math.pi)
    at_zero = 1.0 - share.sum()
    values = mean + sigma * normal
    middle = float(share @ values)
    turned = np.exp(1j * np.outer(_arguments(), (values - middle) * factor)) @ share
    return np.asarray(turned + at_zero * np.exp(-1j * _arguments() * (middle * factor)))
