"""What a whole box of angles can hold: ranges of every row, and a lower bound of the hull's area.

A box is a middle m and half-widths w. Two bounds of each row, both sound:

* natural: each cosine at its range over the box (exact, by its ends and whether it passes a crest or a trough);
* second order: value + slope . (theta - m) at the middle, plus half (w_k + w_l)^2 times the most that the atom's
  second derivative, which is minus the atom itself, can add over the box.

Area of the hull. With the normals phi_k of the outline at m held, the area enclosed is

    A(theta) = constant + sum F_kl sin(theta_l - theta_k) + sum R_k . u(theta_k)

a sum of the same kind, bounded below to second order. It never exceeds the area of the hull as long as some point c
sees the whole closed curve turning round it one way (a star-shaped curve encloses each point at most once, and lies
in the hull). c is the middle of the outline, going along with the discs in part; every tangent stretch and every arc
is tested against the most that its ends can move in the box. Where the test fails, the disc to blame is left out
(fewer discs have no larger hull) and the rest tried again; in the end each disc is shrunk by the most that its
centre can move: the hull of what is left lies in every hull of the box.

Rounding: a row sums at most a few hundred products, each good to 2^-53 of its size; every comparison gives way by
GUARD times the sum of all magnitudes in the row, at least a hundred times as much.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from gearplate.layout.certified.hull import AreaForm, Outline, area_form, hull_area
from gearplate.layout.certified.model import Model, hull_places
from gearplate.layout.certified.rows import Rows
from gearplate.layout.certified.share import ALONE, Share
from gearplate.layout.certified.waves import Array, Ints, Mask, Waves, most_over

GUARD = 1e-11
AREA_GUARD_MM2 = 1e-6
FOLLOW = 0.85  # share of the discs' mean movement that the point which sees the outline goes along with
DROPS = 2  # discs left out, at most, before the bound by shrunk discs


@dataclass(frozen=True, slots=True)
class RowBounds:
    """`top` (B, rows): no value over the box exceeds it (natural bound). For the boxes `at` (C,) that the natural
    bounds let live: each row is at most `rest` (C, rows) + `slope` (n, C, rows) . (theta - m), `slack` (C, rows) being
    the most that this can be."""

    top: Array
    at: Ints
    slope: Array
    rest: Array
    slack: Array


class RowBounder:
    """Bounds of the rows of one problem, or of several; holds the products that do not change."""

    def __init__(self, rows: Rows, free: int) -> None:
        self.rows = rows
        self.free = free
        weight = rows.weight.swapaxes(-1, -2)
        up, down = np.maximum(weight, 0.0), np.minimum(weight, 0.0)
        self.spread = np.ascontiguousarray(np.concatenate([up, down], axis=-2))
        self.rest = np.ascontiguousarray(np.concatenate([weight, up, -down], axis=-2))
        self.guard = GUARD * rows.size
        self.cos_phase, self.sin_phase = np.cos(rows.phase), np.sin(rows.phase)
        self.must = len(rows.plain) + len(rows.wish)

    def __call__(self, middle: Array, width: Array, constant: Array, share: Share = ALONE) -> RowBounds:
        """`constant` (rows,): that of the rows, the target added to the wish's."""
        rows = self.rows
        c, s, low, high, half = self.atoms(middle, width, share)
        constant = constant + self.guard
        top = share.each(constant) + share.times(np.concatenate([high, low], axis=1), self.spread)
        live: Mask = np.all(top[:, : self.must] >= 0.0, axis=1)
        if len(rows.sides):
            sides: Mask = np.any(top[:, self.must :].reshape(len(top), len(rows.sides), 4) >= 0.0, axis=2)
            live &= np.all(sides, axis=1)
        at = np.flatnonzero(live)
        share = share.some(at)
        c, s, low, high, half, width = c[at], s[at], low[at], high[at], half[at], width[at]
        up, down = beyond_line(c, np.abs(s), half)
        terms = np.concatenate([c, up, down], axis=1)
        rest = share.each(constant) + share.times(terms, self.rest)
        slope = share.times(s, rows.slope_of)
        slack = rest.copy()
        for k in range(self.free):
            slack += np.abs(slope[k]) * width[:, k : k + 1]
        return RowBounds(top, at, slope, rest, slack)

    def atoms(self, middle: Array, width: Array, share: Share = ALONE) -> tuple[Array, Array, Array, Array, Array]:
        """Cosine, sine, least and greatest cosine, half-width (B, atoms), by the sum formulas: sooner than cosines."""
        rows = self.rows
        one, zero = np.ones((len(middle), 1)), np.zeros((len(middle), 1))
        width = np.concatenate([width, zero], axis=1)
        cm, sm = np.concatenate([np.cos(middle), one], axis=1), np.concatenate([np.sin(middle), zero], axis=1)
        cw, sw = np.cos(width), np.sin(width)
        l, k = rows.second, rows.first  # noqa: E741
        # the phase belongs to atoms of one angle alone, so it turns the (zero) first angle
        ck = np.where(k >= 0, cm[:, k], share.each(self.cos_phase))
        sk = np.where(k >= 0, sm[:, k], share.each(self.sin_phase))
        cl, sl = cm[:, l], sm[:, l]
        c, s = cl * ck + sl * sk, sl * ck - cl * sk
        half = width[:, l] + width[:, k]  # not cut at half a turn: the remainder needs all of it
        cwl, cwk, swl, swk = cw[:, l], cw[:, k], sw[:, l], sw[:, k]
        wide = half >= math.pi
        ch = np.where(wide, -1.0, cwl * cwk - swl * swk)
        sh = np.where(wide, 0.0, swl * cwk + cwl * swk)
        along, across = c * ch, np.abs(s) * sh
        low = np.where(-c >= ch, -1.0, along - across)
        high = np.where(c >= ch, 1.0, along + across)
        return c, s, low, high, half


def beyond_line(c: Array, s: Array, width: Array) -> tuple[Array, Array]:
    """How far c cos d - s' sin d (s' = `s` >= 0 or -`s`) stands above and below its tangent c - s' d at most, for d
    within `width` either way.

    Above by f = -c (1 - cos d) + s (d - sin d), with f' = 2 sin(d/2) (s sin(d/2) - c cos(d/2)): up to half a turn f
    is largest at an end. Beyond, both parts are bounded by themselves.
    """
    bent, third = 1.0 - np.cos(width), s * (width - np.sin(width))
    turn = c * bent
    above, below = np.maximum(0.0, third - turn), np.maximum(0.0, third + turn)
    wide = width > math.pi
    if wide.any():
        above = np.where(wide, third + 2.0 * np.maximum(0.0, -c), above)
        below = np.where(wide, third + 2.0 * np.maximum(0.0, c), below)
    return above, below


@dataclass(frozen=True, slots=True)
class AreaBounds:
    """Lower bounds (B,) of the area over boxes; where `sloped`, area >= `value` + `slope` . (theta - m) there, and
    minus the area <= `constant` (B,) + `waves`."""

    least: Array
    sloped: Mask
    value: Array
    slope: Array
    constant: Array
    waves: Waves


def area_bounds(model: Model, middle: Array, width: Array, share: Share = ALONE) -> AreaBounds:
    """Discs whose stretches fail the test are left out one by one (the hull of fewer discs is no larger)."""
    centre = hull_places(model, middle, share)
    radius = np.broadcast_to(share.each(model.hull_radius), centre.shape[:2]).copy()
    anchor = np.broadcast_to(share.each(model.anchor), len(middle))
    count, free = middle.shape
    pairs = len(model.pairs.first)
    found = AreaBounds(
        np.zeros(count),
        np.zeros(count, dtype=bool),
        np.zeros(count),
        np.zeros(middle.shape),
        np.zeros(count),
        Waves(np.zeros((count, pairs)), np.zeros((count, pairs)), np.zeros((count, free)), np.zeros((count, free))),
    )
    todo = np.arange(len(middle))
    for attempt in range(DROPS + 1):
        form = area_form(centre, radius, model.hull_still, model.hull_reach, share)
        good, worst = _star_shaped(model, form.line, centre, radius, middle, width, share)
        done = np.flatnonzero(good)
        if len(done):
            at = todo[done]
            constant, waves = _lowered(model, form, done, middle[done])
            most = most_over(model.pairs, constant, waves, middle[done], width[done])
            found.value[at], found.slope[at], found.sloped[at] = -most.rest, -most.slope, True
            found.least[at], found.constant[at] = -most.most, constant
            found.waves.pair_sine[at], found.waves.cosine[at], found.waves.sine[at] = (
                waves.pair_sine,
                waves.cosine,
                waves.sine,
            )
        bad = np.flatnonzero(~good)
        if not len(bad):
            return found
        middle, width, centre, radius, todo = middle[bad], width[bad], centre[bad], radius[bad], todo[bad]
        anchor, share = anchor[bad], share.some(bad)
        if attempt < DROPS:
            line = np.flatnonzero(worst[bad] != anchor)  # the anchor stays, or nothing would be left
            leave = worst[bad][line]
            centre[line, leave], radius[line, leave] = centre[line, anchor[line]], -1.0
    found.least[todo] = _shrunk(model, middle, width, share)
    return found


def _lowered(model: Model, form: AreaForm, pick: Ints, middle: Array) -> tuple[Array, Waves]:
    """Minus the area, as a sum of waves: constant (B,), its guard included, and waves."""
    pairs = model.pairs
    pair, lone = form.pair[pick][:, pairs.first, pairs.second], form.lone[pick]
    cosine, sine = np.cos(middle), np.sin(middle)
    own = lone[..., 0] * cosine + lone[..., 1] * sine
    k, l = pairs.first, pairs.second  # noqa: E741
    wave = pair * (cosine[:, k] * sine[:, l] - sine[:, k] * cosine[:, l])
    constant = AREA_GUARD_MM2 - form.value[pick] + own.sum(axis=1) + wave.sum(axis=1)
    return constant, Waves(np.zeros(pair.shape), -pair, -lone[..., 0], -lone[..., 1])


def _star_shaped(
    model: Model, line: Outline, centre: Array, radius: Array, middle: Array, width: Array, share: Share
) -> tuple[Mask, Ints]:
    """Boxes in which a point sees the curve turn one way (B,); elsewhere the disc that is best left out (B,)."""
    rows = np.arange(len(centre))[:, None]
    disc, follower, shown = line.disc, line.follower, line.shown
    p, q = centre[rows, disc], centre[rows, follower]
    r, s = radius[rows, disc], radius[rows, follower]
    nx, ny = np.cos(line.after), np.sin(line.after)
    ax, ay = p[..., 0] + r * nx, p[..., 1] + r * ny
    ex, ey = q[..., 0] + s * nx - ax, q[..., 1] + s * ny - ay
    length = np.sqrt(ex * ex + ey * ey)
    # c: middle of the outline's stretches, each by its length and that of its arc
    stretch = (length + r * (line.after - line.before)) * shown
    total = stretch.sum(axis=1)
    cx = (((ax + 0.5 * ex) * stretch).sum(axis=1) / total)[:, None]
    cy = (((ay + 0.5 * ey) * stretch).sum(axis=1) / total)[:, None]
    gx, gy = ax - cx, ay - cy
    hx, hy = gx + ex, gy + ey
    chord = 2.0 * np.sin(np.minimum(0.5 * width, 0.5 * math.pi))  # how far u(theta) moves
    reach = model.hull_reach
    reach_i, reach_j = share.at(reach, disc), share.at(reach, follower)
    # c goes along with the discs, so that they move less as seen from it
    carried = np.matmul((stretch * (FOLLOW / total[:, None]))[:, None, :], reach_i)
    reach_i, reach_j = reach_i - carried, reach_j - carried
    own = np.matmul(np.abs(reach_i), chord[..., None])[..., 0]
    next_own = np.matmul(np.abs(reach_j), chord[..., None])[..., 0]
    stretched = np.matmul(np.abs(reach_i - reach_j), chord[..., None])[..., 0]
    # cross(a + q_a, b + q_b) >= cross(a, b) + sum over angles of what each can take from it - |q_a| |q_b - q_a|
    vx = reach_j * gx[..., None] - reach_i * hx[..., None]
    vy = reach_j * gy[..., None] - reach_i * hy[..., None]
    cosine, sine = np.cos(middle)[:, None, :], np.sin(middle)[:, None, :]
    swing = np.minimum(width, math.pi)
    out, side = vx * sine - vy * cosine, np.abs(vx * cosine + vy * sine)
    size = np.sqrt(out * out + side * side)
    cw, sw = np.cos(swing)[:, None, :], np.sin(swing)[:, None, :]
    trough = np.where(-out >= size * cw, -size, out * cw - side * sw)
    height = gx * hy - gy * hx
    least = height + np.matmul(trough - out, np.ones((out.shape[2], 1)))[..., 0] - np.minimum(own, next_own) * stretched
    fixed = (own == 0.0) & (next_own == 0.0)
    fails = (least <= 0.0) & ~fixed
    # arcs: (p - c) . u + r > 0 on all normals of the arc
    px, py = p[..., 0] - cx, p[..., 1] - cy
    away = np.hypot(px, py)
    mid = 0.5 * (line.before + line.after)
    spread = 0.5 * (line.after - line.before)
    cm, sm = np.cos(mid), np.sin(mid)
    along = px * cm + py * sm
    ends = along * np.cos(spread) - np.abs(py * cm - px * sm) * np.sin(spread)
    lowest = np.where(-along >= away * np.cos(np.minimum(spread, math.pi)), -away, ends)
    fails |= (lowest + r - own <= 0.0) & (own > 0.0)
    fails &= shown > 0.0
    moved = share.times(chord, np.abs(reach).swapaxes(-1, -2))
    own, next_own = moved[rows, disc], moved[rows, follower]
    blame = np.maximum(own, next_own) * fails
    at = blame.argmax(axis=1)
    line_number = rows[:, 0]
    first = own[line_number, at] >= next_own[line_number, at]
    worst = np.where(first, disc[line_number, at], follower[line_number, at])
    return ~fails.any(axis=1), worst


def _shrunk(model: Model, middle: Array, width: Array, share: Share) -> Array:
    """Area of the hull of discs that lie in the discs of every layout of the box."""
    narrow = np.minimum(width, 0.5 * math.pi)
    cw, sw = np.cos(narrow), np.sin(narrow)
    still, reach = share.each(model.hull_still), model.hull_reach.swapaxes(-1, -2)
    x = still[..., 0] + share.times(np.cos(middle) * cw, reach)
    y = still[..., 1] + share.times(np.sin(middle) * cw, reach)
    # theta beyond a right angle: the disc about the parent's own place, of the whole distance
    # a node opposite to another has a reach below nothing
    radius = share.each(model.hull_radius) - share.times(sw, np.abs(reach))
    return _hull_of_some(np.stack([x, y], axis=2), radius)


def _hull_of_some(centre: Array, radius: Array) -> Array:
    """Area of the hull of those discs (B, N) whose radius is not negative."""
    found = np.zeros(len(centre))
    usable = radius >= 0.0
    first = usable.argmax(axis=1)
    rows = np.arange(len(centre))
    some = usable.any(axis=1)
    # a disc that has vanished is put where another stands
    centre = np.where(usable[..., None], centre, centre[rows, first][:, None])
    radius = np.where(usable, radius, radius[rows, first][:, None])
    found[some] = hull_area(centre[some], radius[some]) - AREA_GUARD_MM2
    return found
