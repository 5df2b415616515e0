"""Roots of many functions at once, each inside its own bracket."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
from numpy.typing import ArrayLike

from gearplate.gears.involute import Array


def bracketed_root(function: Callable[[Array], Array], low: ArrayLike, high: ArrayLike) -> Array:
    """x between `low` and `high` (any common shape) where `function`, applied element by element, is zero.

    Chandrupatla's method (Advances in Engineering Software 28, 1997; from memory): inverse quadratic steps where
    they are safe, bisection elsewhere, so it always ends; to machine precision. The function is called with arrays of
    the whole shape. Not a number where the signs at the two ends are alike and neither end is a root.
    """
    a, b = (np.array(x, dtype=np.float64) for x in np.broadcast_arrays(low, high))
    fa, fb = function(a), function(b)
    impossible = np.sign(fa) * np.sign(fb) > 0
    c, fc = a.copy(), fa.copy()
    share = np.full(a.shape, 0.5)
    for _ in range(120):
        smaller_is_a = np.abs(fa) < np.abs(fb)
        best = np.where(smaller_is_a, a, b)
        width = np.abs(b - a)
        tolerance = 4.0 * np.finfo(np.float64).eps * np.maximum(np.abs(best), 1e-9)
        done = (width <= 2.0 * tolerance) | (np.minimum(np.abs(fa), np.abs(fb)) == 0.0) | impossible
        if np.all(done):
            break
        with np.errstate(divide="ignore", invalid="ignore"):
            x = np.where(done, best, a + np.clip(share, tolerance / width, 1 - tolerance / width) * (b - a))
        fx = function(x)
        same = np.sign(fx) == np.sign(fa)
        # The newest point is always `a`; `b` holds the other sign; `c` the point that was thrown out.
        c, fc = np.where(same, a, b), np.where(same, fa, fb)
        b, fb = np.where(same, b, a), np.where(same, fb, fa)
        a, fa = x, fx
        with np.errstate(divide="ignore", invalid="ignore"):
            xi = (a - b) / (c - b)
            phi = (fa - fb) / (fc - fb)
            quadratic = (phi**2 < xi) & ((1.0 - phi) ** 2 < 1.0 - xi)
            step = fa / (fb - fa) * fc / (fb - fc) + (c - a) / (b - a) * fa / (fc - fa) * fb / (fc - fb)
        share = np.where(quadratic & np.isfinite(step), step, 0.5)
    best = np.where(np.abs(fa) < np.abs(fb), a, b)
    return np.asarray(np.where(impossible, np.nan, best))
