"""Good layouts by many starts and a polish of our own: an augmented Lagrangian with Newton steps, all starts at once.

Nothing here is proven; what it finds is held against every demand before it is used, and serves as the upper bound.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from gearplate.layout.certified.hull import area_slopes
from gearplate.layout.certified.model import (
    Model,
    demands_missed,
    hull_form,
    row_slopes,
    row_values,
    whole_values,
    wish_value,
)
from gearplate.layout.certified.rows import Array, Ints, Mask
from gearplate.layout.certified.share import ALONE, Share

MISS_MM = 1e-7  # a layout that misses no demand by more than this counts as found
SLACK_MM = 2e-8  # what the last repair aims at
FEW, FEW_MM = 5, 1e-3  # so many descents that miss no demand by more go on
NEAR_MM = 1e-5  # a demand kept by no more than this is touched
REST = 1e-4  # share of a slope that may be left over where a layout is at rest
STIFFEST = 300.0  # no stiffer: a step across a kink would always be refused


@dataclass(frozen=True, slots=True)
class Found:
    """Angles (n,) of a layout that keeps every demand, and its wish."""

    angles_rad: Array
    value: float


MOST_NUMBERS = 300_000
LEAST_STARTS = 4
PROMISING = 8
MOST_SEPARATIONS = 8_000  # of the hull from a keep-out
"""A crowd of keep-outs makes every step of a descent dear: then fewer points descend, the most promising ones."""


def starts(model: Model, count: int, keep: int, random: np.random.Generator) -> Array:
    """The `keep` most promising of `count` random points (count, n)."""
    count = min(count, max(10 * model.free, MOST_SEPARATIONS // max(1, len(model.problem.off))))
    angles = random.uniform(-math.pi, math.pi, (count, model.free))
    return angles[np.argsort(merit(model, angles), kind="stable")[:keep]]


def merit(model: Model, angles: Array, share: Share = ALONE) -> Array:
    """The wish as a length plus a cost for each mm missed: for ranking alone."""
    value = row_values(model.rows, angles, share) * share.each(model.rows.scale)
    miss = np.zeros(len(angles))
    if len(model.rows.plain):
        miss += np.maximum(0.0, -value[:, model.rows.plain]).sum(axis=1)
    if len(model.rows.sides):
        miss += np.maximum(0.0, -value[:, model.rows.sides].max(axis=2)).sum(axis=1)
    if model.whole:
        miss += np.maximum(0.0, -whole_values(model, angles, share).kept).sum(axis=1)
    wish = wish_value(model, angles, share)
    return np.asarray((np.sqrt(wish) if model.by_area else wish) + 2.0 * miss)


def descents(model: Model, angles: Array, rounds: int, warm: bool = False) -> tuple[Array, Array]:
    """Where descent from the points (S, n) ends, and by how many mm each end misses a demand at most (S,)."""
    ends = angles
    if model.free:
        ends = _descend(model, angles, rounds, warm)
        ends = _repair(model, ends)
    return ends, demands_missed(model, ends)


def polish(model: Model, angles: Array, rounds: int, warm: bool = False) -> Found | None:
    """The best layout that descent from the points (S, n) ends in, or None. `warm`: they are all but there."""
    rows = model.rows
    size = (len(rows.plain) + len(rows.sides)) * max(1, len(rows.first))
    angles = angles[: max(LEAST_STARTS, MOST_NUMBERS // max(1, size))]
    if model.by_none and len(angles) > PROMISING:  # any layout will do, and the first points promise most
        found = polish(model, angles[:PROMISING], rounds, warm)
        if found is not None:
            return found
        angles = angles[PROMISING:]
    ends, missed = descents(model, angles, rounds, warm)
    good = np.flatnonzero(missed <= MISS_MM)
    if not len(good):
        return None
    value = wish_value(model, ends[good])
    best = int(value.argmin())
    wrapped = (ends[good[best]] + math.pi) % (2 * math.pi) - math.pi
    return Found(wrapped, float(wish_value(model, wrapped[None, :])[0]))


def polish_in_turn(model: Model, angles: Array, rounds: int) -> Found | None:
    """The best layout that the best few of the descents from the points (S, n) end in when they go on, or None."""
    ends, missed = descents(model, angles, rounds)
    near = np.flatnonzero(missed <= FEW_MM)
    if not len(near):
        return None
    few = near[np.argsort(wish_value(model, ends[near]), kind="stable")[:FEW]]
    return polish(model, ends[few], rounds, warm=True)


def at_rest(model: Model, angles: Array) -> bool:
    """Whether demands that are just kept hold a layout (n,) back from every better one nearby: its wish's slope is then
    a sum of theirs with no weight below nothing."""
    local = _local(model, _points(model, angles[None, :]))
    near = local.kept[0] < NEAR_MM
    slope, lean = local.slope[0], local.kept_slope[0, near]
    weight = np.linalg.lstsq(lean.T, slope, rcond=1e-9)[0]
    left = slope - weight @ lean
    return bool((weight >= 0.0).all() and np.abs(left).max() <= REST * np.abs(slope).max())


def _points(model: Model, angles: Array) -> Array:
    """The unknowns of a descent: the angles, and the wish where it is a largest extent."""
    if model.by_area or model.by_none:
        return angles
    return np.concatenate([angles, wish_value(model, angles)[:, None]], axis=1)


@dataclass(slots=True)
class _Local:
    """Demands (S, R) as lengths, >= 0 where kept, with slopes; the wish with slopes; in one more variable where the
    wish is a largest extent. `row`, `share` (S, R): a demand bends like so much of that row; past the last: not at
    all."""

    wish: Array
    slope: Array
    bend: Array
    kept: Array
    kept_slope: Array
    row: Ints
    share: Array
    cosine: Array
    cap: int  # column of the area's cap in `kept`, -1: there is none
    cap_bend: Array  # (S, n, n), or (S, 0, 0)


def _demand_rows(model: Model, value: Array) -> Ints:
    """Numbers (S, R) of the rows that count at each point: the plain ones and of each rectangle its best side."""
    rows = model.rows
    plain = np.broadcast_to(rows.plain, (len(value), len(rows.plain)))
    if not len(rows.sides):
        return plain
    best = value[:, rows.sides].argmax(axis=2)
    sides = rows.sides[np.arange(len(rows.sides))[None, :], best]
    return np.concatenate([plain, sides], axis=1)


def _local(model: Model, point: Array) -> _Local:
    n = model.free
    angles = point[:, :n]
    rows = model.rows
    value, slope, cosine = row_slopes(rows, angles)
    chosen = _demand_rows(model, value)
    line = np.arange(len(point))[:, None]
    kept = value[line, chosen] * rows.scale[chosen]
    kept_slope = slope[line, chosen] * rows.scale[chosen][..., None]
    share = rows.scale[chosen]
    cap = -1
    cap_bend: Array = np.zeros((len(point), 0, 0))
    if model.whole:
        whole = whole_values(model, angles)
        kept = np.concatenate([kept, whole.kept], axis=1)
        kept_slope = np.concatenate([kept_slope, whole.slope], axis=1)
        chosen = np.concatenate([chosen, np.full(whole.kept.shape, len(rows.constant))], axis=1)
        share = np.concatenate([share, np.zeros(whole.kept.shape)], axis=1)
        if math.isfinite(model.most_area):
            cap, cap_bend = kept.shape[1] - 1, whole.bend
    if model.by_area:
        form = hull_form(model, angles)
        gradient, hessian = area_slopes(form, angles)
        root = np.sqrt(form.value)
        half = 0.5 / root  # the wish is the square root of the area: a length
        slope, bend = gradient * half[:, None], hessian * half[:, None, None]
        return _Local(root, slope, bend, kept, kept_slope, chosen, share, cosine, cap, cap_bend)
    if model.by_none:
        nothing, none = np.zeros((len(point), n)), np.zeros((len(point), n, n))
        return _Local(np.zeros(len(point)), nothing, none, kept, kept_slope, chosen, share, cosine, cap, cap_bend)
    z = point[:, n]
    wish_rows = rows.wish
    lengths = value[:, wish_rows]
    wish_slope = slope[:, wish_rows]
    wish_share = np.ones(lengths.shape)
    if rows.squared:
        away = np.sqrt(np.maximum(-lengths, 1e-12))
        lengths, wish_slope = -away, wish_slope / (2.0 * away[..., None])
        wish_share = 0.5 / away
    kept = np.concatenate([kept, lengths + z[:, None]], axis=1)
    kept_slope = np.concatenate([kept_slope, wish_slope], axis=1)
    last = np.concatenate([np.zeros((len(point), kept.shape[1] - len(wish_rows))), np.ones(lengths.shape)], axis=1)
    kept_slope = np.concatenate([kept_slope, last[..., None]], axis=2)
    chosen = np.concatenate([chosen, np.broadcast_to(wish_rows, lengths.shape)], axis=1)
    share = np.concatenate([share, wish_share], axis=1)
    unit = np.zeros((len(point), n + 1))
    unit[:, n] = 1.0
    bend = np.zeros((len(point), n + 1, n + 1))
    return _Local(z, unit, bend, kept, kept_slope, chosen, share, cosine, cap, cap_bend)


def _lagrangian(local: _Local, multiplier: Array, stiffness: Array) -> Array:
    pull = np.maximum(0.0, multiplier - stiffness * local.kept)
    return np.asarray(local.wish + ((pull**2 - multiplier**2) / (2.0 * stiffness)).sum(axis=1))


def _descend(model: Model, angles: Array, rounds: int, warm: bool) -> Array:
    n = model.free
    point = _points(model, angles)
    count, size = point.shape
    lever = np.abs(model.tree.reach).max(axis=0)
    limit = np.full(count, 0.3)
    stiffness = np.full((count, 1), 1.0)
    local = _local(model, point)
    multiplier = np.zeros(local.kept.shape)
    missed_before = np.full(count, math.inf)
    if warm:
        stiffness *= 10.0
        for line in range(count):
            near = local.kept[line] < 1e-2
            weight = np.linalg.lstsq(local.kept_slope[line, near].T, local.slope[line], rcond=1e-9)[0]
            multiplier[line, near] = np.maximum(0.0, weight)
    merit_now = _lagrangian(local, multiplier, stiffness)
    reckon = np.ones(size)  # a length among the unknowns counts against the longest lever
    reckon[n:] = 1.0 / lever.max()
    metric = np.ones(size)
    metric[:n] = lever
    for _ in range(rounds):
        pull = np.maximum(0.0, multiplier - stiffness * local.kept)
        gradient = local.slope - np.matmul(pull[:, None, :], local.kept_slope)[:, 0]
        active = local.kept_slope * (pull > 0.0)[..., None]
        hessian = local.bend + stiffness[..., None] * np.matmul(active.transpose(0, 2, 1), active)
        row_pull = np.zeros((count, len(model.rows.constant) + 1))
        np.put_along_axis(row_pull, local.row, pull * local.share, axis=1)
        atom_pull = (row_pull[:, :-1] @ model.rows.weight) * local.cosine
        hessian[:, :n, :n] += (atom_pull @ model.rows.bend_of).reshape(count, n, n)
        if local.cap >= 0:
            hessian[:, :n, :n] -= pull[:, local.cap, None, None] * local.cap_bend
        scaled = hessian / (metric[:, None] * metric)
        spread, axes = np.linalg.eigh(scaled)
        spread = np.maximum(np.abs(spread), 1e-4)
        slope = np.matmul((gradient / metric)[:, None, :], axes)[:, 0]
        step = -np.matmul(axes, (slope / spread)[..., None])[..., 0] / metric
        length = (np.abs(step) * reckon).max(axis=1)
        shrink = np.minimum(1.0, limit / np.maximum(length, 1e-300))
        trial = point + step * shrink[:, None]
        trial_local = _local(model, trial)
        trial_merit = _lagrangian(trial_local, multiplier, stiffness)
        good = trial_merit <= merit_now + 1e-12 * np.abs(merit_now)
        limit = np.where(good, np.minimum(0.5, 2.0 * limit), 0.25 * np.minimum(limit, length))
        point = np.where(good[:, None], trial, point)
        local = _choose(good, trial_local, local)
        settled = (length * shrink < 2e-2) & good | (limit < 1e-7)
        if settled.any():
            after = np.maximum(0.0, multiplier - stiffness * local.kept)
            multiplier = np.where(settled[:, None], after, multiplier)
            missed = np.maximum(0.0, -local.kept).max(axis=1, initial=0.0)
            stiff = settled & (missed > 0.25 * missed_before)
            missed_before = np.where(settled, missed, missed_before)
            stiffness = np.where(stiff[:, None], np.minimum(stiffness * 3.0, STIFFEST), stiffness)
            limit = np.where(settled, np.maximum(limit, 1e-4), limit)
            done = settled & (length * shrink < 1e-7) & (missed < 1e-7)
            if done.all():
                break
        merit_now = _lagrangian(local, multiplier, stiffness)
    return point[:, :n]


def _choose(good: Mask, new: _Local, old: _Local) -> _Local:
    if good.all():
        return new

    def pick(a: Array, b: Array) -> Array:
        return np.where(good.reshape((-1,) + (1,) * (a.ndim - 1)), a, b)

    return _Local(
        pick(new.wish, old.wish),
        pick(new.slope, old.slope),
        pick(new.bend, old.bend),
        pick(new.kept, old.kept),
        pick(new.kept_slope, old.kept_slope),
        np.where(good[:, None], new.row, old.row),
        pick(new.share, old.share),
        pick(new.cosine, old.cosine),
        new.cap,
        pick(new.cap_bend, old.cap_bend),
    )


def _repair(model: Model, angles: Array) -> Array:
    """Moves points by the least step that makes the demands which are missed, or all but missed, hold."""
    for _ in range(4):
        missed = demands_missed(model, angles)
        todo = np.flatnonzero((missed > MISS_MM * 0.5) & (missed < 0.5))
        if not len(todo):
            break
        angles = angles.copy()
        value, slope, _cosine = row_slopes(model.rows, angles[todo])
        chosen = _demand_rows(model, value)
        whole = whole_values(model, angles[todo]) if model.whole else None
        for line, number in enumerate(todo):
            rows = chosen[line]
            kept = value[line, rows] * model.rows.scale[rows]
            lean = slope[line, rows] * model.rows.scale[rows][:, None]
            if whole is not None:
                kept, lean = np.concatenate([kept, whole.kept[line]]), np.concatenate([lean, whole.slope[line]])
            near = kept < 1e-6
            lean = lean[near]
            step = np.linalg.lstsq(lean, SLACK_MM - kept[near], rcond=1e-9)[0]
            angles[number] += np.clip(step, -0.05, 0.05)
    return angles
