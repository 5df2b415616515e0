"""Cuts from boxes of angles whatever cannot hold a layout that keeps every demand and beats the target."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from gearplate.layout.certified.bounds import AreaBounds, RowBounder, area_bounds
from gearplate.layout.certified.combine import Lines, sums
from gearplate.layout.certified.model import Model
from gearplate.layout.certified.separation import GONE, separation
from gearplate.layout.certified.share import ALONE, Share
from gearplate.layout.certified.waves import Array, Ints, Mask, Waves, most_over

ANGLE_GUARD = 1e-12
JOINT_GUARD = 1e-7  # an arc cosine near a whole turn is good to the root of 2^-53
TURN = 2.0 * math.pi
OFF_GUARD_MM = 1e-4  # a tangent's direction is good to the root of 2^-53
PIVOTS = 10
_NOTHING = 1e-250


@dataclass(frozen=True, slots=True)
class Aim:
    """Something that has to be at least nothing in a layout: at most `rest` (B,) + `slope` (n, B) . (theta - `middle`
    (B, n)) over a box, and at most `constant` (B,) + `waves`."""

    slope: Array
    rest: Array
    middle: Array
    constant: Array
    waves: Waves


def aim_of_rows(model: Model, constant: Array, lines: Lines, slack: Array, share: Share = ALONE) -> Aim:
    """Of the boxes left by the rows, the row that comes nearest to failing; `slack` (C, rows) as they tell it."""
    rest = lines.rest[lines.at]
    size = slack - rest
    reserve = np.where(rest < math.inf, slack / np.maximum(np.abs(size), 1e-9), math.inf)
    row = reserve.argmin(axis=1)
    waves = model.rows.waves
    least = rest[np.arange(len(row)), row]
    # where no row demands anything, the aim is a length that is kept anyhow
    asks = (least < math.inf)[:, None]
    return Aim(
        np.where(asks.T, lines.slope[:, lines.at, row], 0.0),
        np.where(asks[:, 0], least, 1.0),
        lines.middle[lines.at],
        np.where(asks[:, 0], share.at(constant, row), 1.0),
        Waves(*(asks * share.at(part, row) for part in (waves.pair_cosine, waves.pair_sine, waves.cosine, waves.sine))),
    )


def aim_of_area(area: AreaBounds, some: Ints, most_area: float, middle: Array) -> Aim:
    """That the hull of boxes `some`, whose area was bounded about `middle`, keeps below `most_area`."""
    sloped, waves = area.sloped[some], area.waves
    return Aim(
        -area.slope[some].T,
        most_area - np.where(sloped, area.value[some], area.least[some]),
        middle[some],
        most_area + np.where(sloped, area.constant[some], -area.least[some]),
        Waves(waves.pair_cosine[some], waves.pair_sine[some], waves.cosine[some], waves.sine[some]),
    )


def middle_of(low: Array, high: Array) -> tuple[Array, Array]:
    """Middle and half-width; the half-width is rounded up so that the box is covered."""
    middle = 0.5 * (low + high)
    return middle, np.maximum(high - middle, middle - low) + ANGLE_GUARD


class Joints:
    """Demands that depend on one difference of two angles alone, s = theta_l - theta_k: s keeps within `half` of
    `centre`, give or take whole turns. And interchangeable angles in rising order: every layout has one such copy with
    all its angles in [-pi, pi]."""

    def __init__(self, model: Model) -> None:
        rows = model.rows
        order = {(a, b) for group in model.groups for i, a in enumerate(group) for b in group[i + 1 :]}
        pattern = rows.weight if rows.weight.ndim == 2 else rows.weight[0]  # the same in all
        pairs: list[tuple[int, int]] = []
        starts: list[Array] = []
        spans: list[Array] = []
        for row in rows.plain:
            atoms = np.flatnonzero(pattern[row])
            if len(atoms) != 1 or rows.first[atoms[0]] < 0:
                continue
            weight = rows.weight[..., row, atoms[0]]
            ratio = -rows.constant[..., row] / weight
            asks = np.abs(ratio) < 1.0
            if not asks.any():
                continue
            turn = np.arccos(np.clip(ratio, -1.0, 1.0))
            half = np.where(asks, np.where(weight > 0.0, turn, math.pi - turn), math.pi) + JOINT_GUARD
            pairs.append((int(rows.first[atoms[0]]), int(rows.second[atoms[0]])))
            starts.append(np.where(weight > 0.0, 0.0, math.pi) - half)
            spans.append(2.0 * half)
        for pair in sorted(order - set(pairs)):
            pairs.append(pair)
            starts.append(np.full(rows.constant.shape[:-1], -math.pi))
            spans.append(np.full(rows.constant.shape[:-1], TURN))
        self.k = np.array([first for first, _ in pairs], dtype=np.int64)
        self.l = np.array([second for _, second in pairs], dtype=np.int64)
        none = np.zeros((*rows.constant.shape[:-1], 0))
        self.start = np.stack(starts, axis=-1) if pairs else none
        self.span = np.stack(spans, axis=-1) if pairs else none
        self.least = np.array([0.0 if pair in order else -math.inf for pair in pairs])

    def cut(self, low: Array, high: Array, share: Share = ALONE) -> Ints:
        """In place; answers the numbers of the boxes in which something is left."""
        if not len(self.k):
            return np.arange(len(low))
        start, span = share.each(self.start), share.each(self.span)
        least = np.maximum(low[:, self.l] - high[:, self.k], self.least)
        most = high[:, self.l] - low[:, self.k]
        past = (least - start) % TURN
        least = np.where(past > span, least + (TURN - past), least) - ANGLE_GUARD
        past = (most - start) % TURN
        most = np.where(past > span, most - (past - span), most) + ANGLE_GUARD
        for number, (k, l) in enumerate(zip(self.k, self.l, strict=True)):  # noqa: E741
            np.maximum(low[:, l], low[:, k] + least[:, number], out=low[:, l])
            np.minimum(high[:, l], high[:, k] + most[:, number], out=high[:, l])
            np.maximum(low[:, k], low[:, l] - most[:, number], out=low[:, k])
            np.minimum(high[:, k], high[:, l] - least[:, number], out=high[:, k])
        return np.flatnonzero((least <= most).all(axis=1) & (low <= high).all(axis=1))


def by_rows(
    model: Model, bounder: RowBounder, constant: Array, low: Array, high: Array, share: Share = ALONE
) -> tuple[Array, Array, Ints, Array, Lines]:
    """The boxes (by number) that can hold a layout, cut, the most that each row can be there, and the rows' lines."""
    middle, width = middle_of(low, high)
    bound = bounder(middle, width, constant, share)
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
    left = np.flatnonzero(live)
    lines = Lines(bound.slope, np.where(slack < math.inf, bound.rest, math.inf), middle[at], left)
    return low[left], high[left], at[left], np.minimum(slack[left], bound.top[at[left]]), lines


def cut(low: Array, high: Array, middle: Array, width: Array, slope: Array, slack: Array) -> None:
    """From rows `slope` (n, B, rows) . (theta - m) + rest >= 0, with `slack` = rest + sum |slope| w: each angle's own
    share, in place.

    theta_k can use up at most `slack` before the row fails: for a positive slope theta_k >= m + w - slack / slope.
    """
    weight = 1.0 / np.maximum(slack, _NOTHING)
    for k in range(low.shape[1]):
        pull = slope[k] * weight
        rising = np.maximum(pull.max(axis=1, initial=0.0), _NOTHING)
        falling = np.maximum(-pull.min(axis=1, initial=0.0), _NOTHING)
        m, w = middle[:, k], width[:, k]
        np.maximum(low[:, k], m + w - 1.0 / rising - ANGLE_GUARD, out=low[:, k])
        np.minimum(high[:, k], m - w + 1.0 / falling + ANGLE_GUARD, out=high[:, k])


def clear_of_boxes(model: Model, low: Array, high: Array, share: Share = ALONE) -> Ints:
    """Numbers of the boxes of angles in which the hull of what the discs always cover keeps off every box to keep off.

    u(theta) stays within sin w of cos w . u(m), so a disc smaller by that much lies in it whatever the angles are.
    """
    middle, width = middle_of(low, high)
    width = np.minimum(width, 0.5 * math.pi)
    cosine, sine, shrink = np.cos(middle) * np.cos(width), np.sin(middle) * np.cos(width), np.sin(width)
    live = np.arange(len(low))
    for off in model.offs:
        still, reach = share.each(off.still), off.reach.swapaxes(-1, -2)
        radius = share.each(off.radius) - share.times(shrink[live], np.abs(reach))
        radius = np.where(radius >= 0.0, radius, GONE)
        x = still[..., 0] + share.times(cosine[live], reach)
        y = still[..., 1] + share.times(sine[live], reach)
        apart = separation(np.stack([x, y], axis=2), radius, off.box).apart
        kept = np.flatnonzero(apart - off.least_mm >= -OFF_GUARD_MM)
        live, share = live[kept], share.some(kept)
    return live


def by_area(
    model: Model, target: float, low: Array, high: Array, share: Share = ALONE
) -> tuple[Array, Array, Mask, AreaBounds]:
    """The same by the hull's area, which has to stay below the target."""
    middle, width = middle_of(low, high)
    bound = area_bounds(model, middle, width, share)
    live = bound.least < target
    if math.isfinite(target):
        lean = (np.abs(bound.slope) * width).sum(axis=1)
        slack = np.where(bound.sloped, target - bound.value + lean, math.inf)
        low, high = low.copy(), high.copy()
        cut(low, high, middle, width, -bound.slope.T[:, :, None], slack[:, None])
        live &= (low <= high).all(axis=1)
    return low, high, live, bound


def together(
    model: Model,
    constant: Array,
    lines: Lines,
    some: Ints,
    low: Array,
    high: Array,
    aim: Aim,
    share: Share = ALONE,
) -> tuple[Array, Array, Mask, Array]:
    """The same by rows taken together with an aim that has to be at least nothing; the boxes are `some` of those left
    by the rows, cut since (`share` is theirs). Last the most that the aim can be (C,)."""
    rows = model.rows
    middle, width = middle_of(low, high)
    found = sums(
        lines, some, middle, width, aim.slope, aim.rest + ((middle - aim.middle) * aim.slope.T).sum(axis=1), PIVOTS
    )
    low, high = low.copy(), high.copy()
    cut(low, high, middle, width, found.slope[:, :, None], found.most[:, None])
    assert np.isfinite(found.most).all(), "no number would throw a box away without a reason"
    weight = np.zeros((len(low), rows.constant.shape[-1]))
    np.put_along_axis(weight, found.row, found.weight, axis=1)
    waves = Waves(
        share.times(weight, rows.waves.pair_cosine) + aim.waves.pair_cosine,
        aim.waves.pair_sine,
        share.times(weight, rows.waves.cosine) + aim.waves.cosine,
        share.times(weight, rows.waves.sine) + aim.waves.sine,
    )
    asked = share.times(weight, constant[..., None])[..., 0]
    whole = most_over(model.pairs, aim.constant + asked, waves, middle, width)
    steep = (np.abs(whole.slope) * width).sum(axis=1)
    cut(low, high, middle, width, whole.slope.T[:, :, None], (whole.rest + steep)[:, None])
    most = np.minimum(found.most, whole.most)
    return low, high, (most >= 0.0) & (low <= high).all(axis=1), most


def halved(lever: Array, low: Array, high: Array, bound: Array, many: int) -> tuple[Array, Array, Array]:
    """The boxes in halves, each across the angle that moves the most (`lever` (n,): mm a radian); fewer than `many`
    once more, and again."""
    while len(low):
        rows = np.arange(len(low))
        k = ((high - low) * lever).argmax(axis=1)
        middle = 0.5 * (low[rows, k] + high[rows, k])
        left, right = high.copy(), low.copy()
        left[rows, k] = middle
        right[rows, k] = middle
        low, high = np.concatenate([low, right]), np.concatenate([left, high])
        bound = np.concatenate([bound, bound])
        if len(low) >= many:
            break
    return low, high, bound
