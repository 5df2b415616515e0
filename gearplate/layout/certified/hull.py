"""Convex hulls of discs, many at once: which discs show, between which directions, and the area.

The hull's outline turns once round: an arc of disc i_k while the outward normal turns from phi_(k-1) to phi_k, then
the common tangent to disc i_(k+1), whose normal is phi_k. Found by turning the normal from disc to disc.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from gearplate.layout.certified.share import ALONE, Share
from gearplate.layout.certified.waves import Array, Ints

TURN = 2.0 * math.pi
_TIE = 1e-9
NEVER = 9.0 * TURN
FEW = 4096
VERY_FEW = 4  # hulls that are sooner gone round one by one


@dataclass(frozen=True, slots=True)
class Outline:
    """`disc` (B, S): discs in turn; `before`, `after` (B, S): normals where the arc begins and ends; `shown` (B, S):
    0 past the last. `follower` (B, S): the disc after (the first again after the last)."""

    disc: Ints
    follower: Ints
    before: Array
    after: Array
    shown: Array


def _turns(x: Array, y: Array, radius: Array, own_x: Array, own_y: Array, own_radius: Array) -> Array:
    """How far a normal turns from -x, in [0, TURN), until it is that of the common tangent from discs (...) to discs
    (..., N); NEVER where there is no such tangent."""
    dx, dy = x - own_x[..., None], y - own_y[..., None]
    away = np.sqrt(dx * dx + dy * dy)
    drop = own_radius[..., None] - radius
    crosses = away > np.abs(drop) + 1e-12
    ratio = np.where(crosses, drop, 0.0) / np.maximum(away, 1e-12)
    # the disc with the larger radius leads until (p_j - p_i).u = r_i - r_j
    turn = np.arctan2(dy, dx) - np.arccos(ratio) + math.pi
    turn += TURN * (turn < -_TIE)
    turn -= TURN * (turn >= TURN - _TIE)
    return np.where(crosses, turn, NEVER)


def outline(centre: Array, radius: Array) -> Outline:
    """Outlines of the hulls of discs with centres (B, N, 2) and radii (N,) or (B, N)."""
    count, discs = centre.shape[0], centre.shape[1]
    radius = np.broadcast_to(radius, (count, discs))
    rows = np.arange(count)
    x, y = centre[:, :, 0], centre[:, :, 1]
    start = (radius - x).argmax(axis=1)  # normal pi, that is -x
    # of a few small hulls all normals are found at once: there the calls cost more than the numbers
    table = None
    if count * discs * discs <= FEW:
        table = _turns(x[:, None, :], y[:, None, :], radius[:, None, :], x, y, radius)
    if table is not None and count <= VERY_FEW:
        disc, after, shown = _one_by_one(table, start)
    else:
        disc, after, shown = _all_at_once(table, x, y, radius, start)
    steps = disc.shape[1]
    length = shown.sum(axis=1).astype(np.int64)
    # the last stretch belongs to the first disc again: the arc of the first runs from its negative end
    last = length - 1
    if steps == 1:
        return Outline(disc, disc, np.full((count, 1), -math.pi), np.full((count, 1), math.pi), shown)
    shown[rows[last > 0], last[last > 0]] = 0.0
    begin = np.concatenate([np.zeros((count, 1)), after[:, :-1]], axis=1)
    begin[:, 0] = np.where(last > 0, begin[rows, last] - TURN, 0.0)
    follower = np.concatenate([disc[:, 1:], disc[:, :1]], axis=1)
    keep = max(1, int(last.max()))
    return Outline(
        disc[:, :keep],
        follower[:, :keep],
        begin[:, :keep] + math.pi,
        after[:, :keep] + math.pi,
        shown[:, :keep],
    )


def _all_at_once(table: Array | None, x: Array, y: Array, radius: Array, start: Ints) -> tuple[Ints, Array, Array]:
    """From disc to disc for all hulls together: the discs, where their arcs end, and 1 up to the disc that is the first
    again (count, steps). `table`: how far the normal turns from each disc to each, where that is known."""
    count, discs = x.shape
    rows = np.arange(count)
    now, turned = start, np.full(count, -_TIE)
    sequence, ends, alive_at = [], [], []
    alive = np.ones(count, dtype=bool)
    for _ in range(2 * discs + 2):
        if table is None:
            ahead = _turns(x, y, radius, x[rows, now], y[rows, now], radius[rows, now])
        else:
            ahead = table[rows, now]
        ahead = ahead + TURN * (ahead < turned[:, None])
        best = ahead.argmin(axis=1)
        reached = ahead[rows, best]
        full = reached >= TURN - _TIE
        sequence.append(now)
        alive_at.append(alive)
        alive = alive & ~(full & (now == start))
        ends.append(np.minimum(reached, TURN))
        if not alive.any():
            break
        # two discs level at the first normal: the turn still has to end at the first disc
        now = np.where(full, start, best)
        turned = np.where(full, TURN, reached) - _TIE
    disc = np.stack(sequence, axis=1)
    after = np.stack(ends, axis=1)
    shown = np.stack(alive_at, axis=1).astype(float)
    return disc, after, shown


def _one_by_one(table: Array, start: Ints) -> tuple[Ints, Array, Array]:
    """The same for a few hulls, sooner: step by step in plain numbers."""
    begin = start.tolist()
    now, turned = list(begin), [-_TIE] * len(begin)
    alive = [True] * len(begin)
    turns = table.tolist()
    sequence, ends, alive_at = [], [], []
    for _ in range(2 * table.shape[1] + 2):
        sequence.append(list(now))
        alive_at.append(list(alive))
        end = []
        for hull, at in enumerate(now):
            before = turned[hull]
            ahead = [turn + TURN if turn < before else turn for turn in turns[hull][at]]
            reached = min(ahead)
            end.append(min(reached, TURN))
            full = reached >= TURN - _TIE
            alive[hull] = alive[hull] and not (full and at == begin[hull])
            # two discs level at the first normal: the turn still has to end at the first disc
            now[hull] = begin[hull] if full else ahead.index(reached)
            turned[hull] = (TURN if full else reached) - _TIE
        ends.append(end)
        if not any(alive):
            break
    steps = (np.array(sequence, dtype=np.int64), np.array(ends), np.array(alive_at, dtype=float))
    disc, after, shown = (np.ascontiguousarray(one.T) for one in steps)
    return disc, after, shown


def hull_area(centre: Array, radius: Array) -> Array:
    """Areas (B,) of the hulls of discs with centres (B, N, 2) and radii (N,) or (B, N)."""
    line = outline(centre, radius)
    rows = np.arange(centre.shape[0])[:, None]
    radius = np.broadcast_to(radius, centre.shape[:2])
    p, q = centre[rows, line.disc], centre[rows, line.follower]
    r, s = radius[rows, line.disc], radius[rows, line.follower]
    c0, s0 = np.cos(line.before), np.sin(line.before)
    c1, s1 = np.cos(line.after), np.sin(line.after)
    ax, ay = p[..., 0] + r * c1, p[..., 1] + r * s1
    bx, by = q[..., 0] + s * c1, q[..., 1] + s * s1
    arc = r * (p[..., 0] * (s1 - s0) + p[..., 1] * (c0 - c1)) + r * r * (line.after - line.before)
    return np.asarray(0.5 * ((ax * by - ay * bx + arc) * line.shown).sum(axis=1))


@dataclass(frozen=True, slots=True)
class AreaForm:
    """The area with the normals of the outline held: value + a function of the angles that is exact to second order.

    area(theta) = constant + sum_(k<l) `pair` [k, l] sin(theta_l - theta_k) + sum_k `lone` [k] . u(theta_k).
    """

    line: Outline
    value: Array
    pair: Array
    lone: Array


def area_form(centre: Array, radius: Array, still: Array, reach: Array, share: Share = ALONE) -> AreaForm:
    """The form for places (B, N, 2) of the hull discs; `still` (N, 2), `reach` (N, n): the tree's, for these discs."""
    line = outline(centre, radius)
    rows = np.arange(centre.shape[0])[:, None]
    i, j, shown = line.disc, line.follower, line.shown
    radius = np.broadcast_to(radius, centre.shape[:2])
    p, q = centre[rows, i], centre[rows, j]
    r, s = radius[rows, i] * shown, radius[rows, j] * shown
    c0, s0 = np.cos(line.before), np.sin(line.before)
    c1, s1 = np.cos(line.after), np.sin(line.after)
    ax, ay = p[..., 0] + r * c1, p[..., 1] + r * s1
    bx, by = q[..., 0] + s * c1, q[..., 1] + s * s1
    arc = r * (p[..., 0] * (s1 - s0) + p[..., 1] * (c0 - c1)) + r * r * (line.after - line.before)
    value = 0.5 * ((ax * by - ay * bx + arc) * shown).sum(axis=1)
    # coefficient of the place of disc i in the linear part, the partner's fixed part included
    fixed_i, fixed_j = share.at(still, i), share.at(still, j)
    own_x = 0.5 * (s * s1 + r * (s1 - s0) + fixed_j[..., 1] * shown)
    own_y = 0.5 * (-s * c1 + r * (c0 - c1) - fixed_j[..., 0] * shown)
    next_x = 0.5 * (-r * s1 - fixed_i[..., 1] * shown)
    next_y = 0.5 * (r * c1 + fixed_i[..., 0] * shown)
    reach_i, reach_j = share.at(reach, i), share.at(reach, j)
    lone_x = (own_x[..., None] * reach_i + next_x[..., None] * reach_j).sum(axis=1)
    lone_y = (own_y[..., None] * reach_i + next_y[..., None] * reach_j).sum(axis=1)
    cross = 0.5 * np.matmul((reach_i * shown[..., None]).transpose(0, 2, 1), reach_j)
    return AreaForm(line, np.asarray(value), cross - cross.transpose(0, 2, 1), np.stack([lone_x, lone_y], axis=2))


def area_slopes(form: AreaForm, angles: Array) -> tuple[Array, Array]:
    """Gradient (B, n) and Hessian (B, n, n) of the area, normals held."""
    n = angles.shape[1]
    cosine, sine = np.cos(angles), np.sin(angles)
    apart = angles[:, None, :] - angles[:, :, None]
    turn = 0.5 * form.pair * np.cos(apart)  # every pair is met twice, [k, l] and [l, k]
    along = 0.5 * form.pair * np.sin(apart)
    outward = form.lone[..., 0] * cosine + form.lone[..., 1] * sine
    gradient = form.lone[..., 1] * cosine - form.lone[..., 0] * sine + turn.sum(axis=1) - turn.sum(axis=2)
    bend = along + along.transpose(0, 2, 1)
    hessian = bend.copy()
    index = np.arange(n)
    hessian[:, index, index] -= bend.sum(axis=2) + outward
    return gradient, hessian
