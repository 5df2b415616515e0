"""Cuts from boxes of angles whatever cannot hold a layout that keeps every demand and beats the target."""

from __future__ import annotations

import math

import numpy as np

from gearplate.layout.certified.bounds import AreaBounds, RowBounder, RowBounds, area_bounds
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
) -> tuple[Array, Array, Ints, RowBounds]:
    """New bounds of the boxes, which of them (mask) can hold a layout, and the bounds of the rows that said so."""
    rows = model.rows
    middle, width = middle_of(low, high)
    bound = bounder(middle, width, constant)
    live = np.ones(len(low), dtype=bool)
    slack = bound.slack
    if len(rows.sides):
        open_sides = bound.top[:, rows.sides] >= 0.0
        ways = open_sides.sum(axis=2)
        live &= (ways > 0).all(axis=1)
        only = open_sides & (ways == 1)[..., None]
        slack = slack.copy()
        slack[:, rows.sides] = np.where(only, slack[:, rows.sides], math.inf)
    must = np.concatenate([rows.plain, rows.wish])
    if len(must):
        live &= (bound.top[:, must] >= 0.0).all(axis=1)
    low, high = cut(low, high, middle, width, bound.slope, slack)
    live &= (low <= high).all(axis=1)
    return low, high, live, bound


def cut(low: Array, high: Array, middle: Array, width: Array, slope: Array, slack: Array) -> tuple[Array, Array]:
    """From rows `slope` . (theta - m) + rest >= 0, where `slack` = rest + sum |slope| w: each angle's own share.

    theta_k can use up at most `slack` before the row fails: for a positive slope theta_k >= m + w - slack / slope.
    """
    pull = slope / np.maximum(slack, _NOTHING)[..., None]
    rising = np.maximum(pull.max(axis=1), _NOTHING)
    falling = np.maximum(-pull.min(axis=1), _NOTHING)
    low = np.maximum(low, middle + width - 1.0 / rising - ANGLE_GUARD)
    high = np.minimum(high, middle - width + 1.0 / falling + ANGLE_GUARD)
    return low, high


def by_area(model: Model, target: float, low: Array, high: Array) -> tuple[Array, Array, Ints, AreaBounds]:
    """The same by the hull's area, which has to stay below the target."""
    middle, width = middle_of(low, high)
    bound = area_bounds(model, middle, width)
    live = bound.least < target
    if math.isfinite(target):
        lean = (np.abs(bound.slope) * width).sum(axis=1)
        slack = np.where(bound.sloped, target - bound.value + lean, math.inf)
        low, high = cut(low, high, middle, width, -bound.slope[:, None, :], slack[:, None])
        live &= (low <= high).all(axis=1)
    return low, high, live, bound
