"""All means by turns, on many boxes at once: rows, then the area, then the rows once more on what the area has cut."""

from __future__ import annotations

import math

import numpy as np

from gearplate.layout.certified.bounds import RowBounder
from gearplate.layout.certified.combine import Lines
from gearplate.layout.certified.contract import (
    Joints,
    aim_of_area,
    aim_of_rows,
    by_area,
    by_rows,
    clear_of_boxes,
    middle_of,
    together,
)
from gearplate.layout.certified.model import Model
from gearplate.layout.certified.share import ALONE, Share
from gearplate.layout.certified.waves import Array, Ints, Mask

WIDE = 1.6  # of the root of the best area: boxes of a longer reach are not worth a bound of the area
AGAIN = 0.7  # rows are gone through once more where the area (or, of wide boxes, the rows) cut an angle to this
AGAIN_WIDE = 0.85


class Examiner:
    """Throws boxes of angles away, and cuts the others, of a model or of several abreast. `lever` (n,): how far an
    angle moves a node at most, mm a radian."""

    def __init__(self, model: Model) -> None:
        self.model = model
        self.joints = Joints(model)
        self.bounder = RowBounder(model.rows, model.free)
        self.lever = np.abs(model.tree.reach).max(axis=0) if model.free else np.zeros(0)

    def __call__(
        self, target: float, low: Array, high: Array, bound: Array, share: Share = ALONE
    ) -> tuple[Array, Array, Array, Ints]:
        """What is left of boxes (B, n), which are cut in place, that can hold a layout below the target; their bounds
        (B,), raised; and their numbers, in no order."""
        model = self.model
        most_area = min(target, model.most_area) if model.by_area else model.most_area
        constant = self.constant(target)
        start = high - low
        at = self.joints.cut(low, high, share)
        low, high, bound, start, share = low[at], high[at], bound[at], start[at], share.some(at)
        low, high, live, slack, lines = by_rows(model, self.bounder, constant, low, high, share)
        bound, start, at, share = self.raised(target, bound[live], slack), start[live], at[live], share.some(live)
        if model.offs:
            live = clear_of_boxes(model, low, high, share)
            low, high, bound, start, at, share = (
                low[live],
                high[live],
                bound[live],
                start[live],
                at[live],
                share.some(live),
            )
            lines, slack = Lines(lines.slope, lines.rest, lines.middle, lines.at[live]), slack[live]
        if not len(low):
            return low, high, bound, at
        guarded = constant + self.bounder.guard
        if not math.isfinite(most_area):
            if not constant.shape[-1]:
                return low, high, bound, at
            aim = aim_of_rows(model, guarded, lines, slack, share)
            low, high, fit, _ = together(model, guarded, lines, np.arange(len(low)), low, high, aim, share)
            return low[fit], high[fit], bound[fit], at[fit]
        reached = (high - low) @ self.lever
        limit = WIDE * math.sqrt(most_area)
        small = np.flatnonzero(reached < limit)
        before = high[small] - low[small]
        fit, least = self.with_area(most_area, guarded, lines, small, low, high, share.some(small))
        if model.by_area:
            bound[small] = np.maximum(bound[small], least)
        # once more, by the rows, what the area has cut by a good part
        changed = small[fit & ((high[small] - low[small]) < AGAIN * before).any(axis=1)]
        wide = (reached >= limit) & ((high - low) < AGAIN_WIDE * start).any(axis=1)
        changed = np.sort(np.concatenate([changed, np.flatnonzero(wide)]))
        keep = np.ones(len(low), dtype=bool)
        keep[small[~fit]] = False
        keep[changed] = False
        again_low, again_high, share = low[changed], high[changed], share.some(changed)
        alive = self.joints.cut(again_low, again_high, share)
        changed, again_low, again_high, share = changed[alive], again_low[alive], again_high[alive], share.some(alive)
        again_low, again_high, left, slack, _ = by_rows(model, self.bounder, constant, again_low, again_high, share)
        again = self.raised(target, bound[changed][left], slack)
        low = np.concatenate([low[keep], again_low])
        high = np.concatenate([high[keep], again_high])
        return low, high, np.concatenate([bound[keep], again]), np.concatenate([at[keep], at[changed][left]])

    def with_area(
        self, most_area: float, guarded: Array, lines: Lines, small: Ints, low: Array, high: Array, share: Share
    ) -> tuple[Mask, Array]:
        """The boxes `small` by the area and then by area and rows together, cut in place: which of them (C,) can hold a
        layout, and bounds of the area there."""
        model = self.model
        middle, _ = middle_of(low[small], high[small])
        new_low, new_high, fit, area = by_area(model, most_area, low[small], high[small], share)
        least = area.least.copy()
        on = np.flatnonzero(fit)
        if len(on):
            aim = aim_of_area(area, on, most_area, middle)
            new_low[on], new_high[on], fit[on], most = together(
                model, guarded, lines, small[on], new_low[on], new_high[on], aim, share.some(on)
            )
            least[on] = np.maximum(least[on], most_area - most)
        low[small], high[small] = new_low, new_high
        return fit, least

    def row_target(self, target: float) -> float:
        """What goes into the rows of the wish: finite, and no less than the target or than all there can be."""
        rows = self.model.rows
        if not len(rows.wish):
            return 0.0
        most = float(rows.size[..., rows.wish].max())
        return min(target, (math.sqrt(most) if rows.squared else most) + 1.0)

    def constant(self, target: float) -> Array:
        """Constants of the rows with the target in those of the wish."""
        rows = self.model.rows
        constant = rows.constant.copy()
        most = self.row_target(target)
        constant[..., rows.wish] += most * abs(most) if rows.squared else most
        return constant

    def raised(self, target: float, bound: Array, slack: Array) -> Array:
        """Bounds (C,) of boxes, raised by what the rows of the wish leave of the target (C, rows)."""
        rows = self.model.rows
        if not len(rows.wish):
            return bound
        most = self.row_target(target)
        if rows.squared:
            squared: Array = (most * abs(most) - slack[:, rows.wish]).max(axis=1)
            return np.asarray(np.maximum(bound, np.sqrt(np.maximum(squared, 0.0))))
        return np.asarray(np.maximum(bound, (most - slack[:, rows.wish]).max(axis=1)))
