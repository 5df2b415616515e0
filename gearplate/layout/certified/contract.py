"""Cuts from boxes of angles whatever cannot hold a layout that keeps every demand and beats the target."""

from __future__ import annotations

import math

import numpy as np

from gearplate.layout.certified.bounds import AreaBounds, RowBounder, area_bounds
from gearplate.layout.certified.model import Model
from gearplate.layout.certified.rows import Array, Ints

ANGLE_GUARD = 1e-12
_NOTHING = 1e-300


def middle_of(low: Array, high: Array) -> tuple[Array, Array]:
    """Middle and half-width; the half-width is rounded up so that the box is covered."""
    middle = 0.5 * (low + high)
    return middle, np.maximum(high - middle, middle - low) + ANGLE_GUARD


def order_groups(model: Model, low: Array, high: Array) -> None:
    """Interchangeable angles in rising order, in place: every layout has one such copy with angles in [-pi, pi]."""
    for group in model.groups:
        for before, after in zip(group, group[1:], strict=False):
            np.maximum(low[:, after], low[:, before], out=low[:, after])
        for before, after in zip(group[::-1][1:], group[::-1], strict=False):
            np.minimum(high[:, before], high[:, after], out=high[:, before])


def by_rows(
    model: Model, bounder: RowBounder, constant: Array, low: Array, high: Array
) -> tuple[Array, Array, Ints]:
    """The boxes (by number) that can hold a layout, and their new bounds."""
    middle, width = middle_of(low, high)
    bound = bounder(middle, width, constant)
    at, slack = bound.at, bound.slack
    must = bounder.must
    live = (slack[:, :must] >= 0.0).all(axis=1)
    if len(model.rows.sides):
        # a side is a demand only where the three others cannot hold
        sides = np.minimum(bound.top[at, must:], slack[:, must:]).reshape(len(at), len(model.rows.sides), 4) >= 0.0
        ways = sides.sum(axis=2)
        live &= (ways > 0).all(axis=1)
        only = sides & (ways == 1)[..., None]
        slack[:, must:] = np.where(only.reshape(len(at), 4 * len(model.rows.sides)), slack[:, must:], math.inf)
    low, high = low[at], high[at]
    cut(low, high, middle[at], width[at], bound.slope, slack)
    live &= (low <= high).all(axis=1)
    return low[live], high[live], at[live]


def cut(low: Array, high: Array, middle: Array, width: Array, slope: Array, slack: Array) -> None:
    """From rows `slope` (n, B, rows) . (theta - m) + rest >= 0, with `slack` = rest + sum |slope| w: each angle's own
    share, in place.

    theta_k can use up at most `slack` before the row fails: for a positive slope theta_k >= m + w - slack / slope.
    """
    weight = 1.0 / np.maximum(slack, _NOTHING)
    for k in range(low.shape[1]):
        pull = slope[k] * weight
        rising = np.maximum(pull.max(axis=1), _NOTHING)
        falling = np.maximum(-pull.min(axis=1), _NOTHING)
        m, w = middle[:, k], width[:, k]
        np.maximum(low[:, k], m + w - 1.0 / rising - ANGLE_GUARD, out=low[:, k])
        np.minimum(high[:, k], m - w + 1.0 / falling + ANGLE_GUARD, out=high[:, k])


def by_area(model: Model, target: float, low: Array, high: Array) -> tuple[Array, Array, Ints, AreaBounds]:
    """The same by the hull's area, which has to stay below the target."""
    middle, width = middle_of(low, high)
    bound = area_bounds(model, middle, width)
    live = bound.least < target
    if math.isfinite(target):
        lean = (np.abs(bound.slope) * width).sum(axis=1)
        slack = np.where(bound.sloped, target - bound.value + lean, math.inf)
        low, high = low.copy(), high.copy()
        cut(low, high, middle, width, -bound.slope.T[:, :, None], slack[:, None])
        live &= (low <= high).all(axis=1)
    return low, high, live, bound
