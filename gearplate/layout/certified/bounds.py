"""What a whole box of angles can hold: ranges of every row, and a lower bound of the hull's area.

A box is a middle m and half-widths w. Two bounds of each row, both sound:

* natural: each cosine at its range over the box (exact, by its ends and whether it passes a crest or a trough);
* second order: value + slope . (theta - m) at the middle, plus half (w_k + w_l)^2 times the most that the atom's
  second derivative, which is minus the atom itself, can add over the box.

Area of the hull. With the normals phi_k of the outline at m held, the area enclosed is

    A(theta) = constant + sum F_kl sin(theta_l - theta_k) + sum R_k . u(theta_k)

a sum of the same kind, bounded below to second order. It never exceeds the area of the hull as long as some point c
sees the whole closed curve turning round it one way (a star-shaped curve encloses each point at most once, and lies
in the hull). c is the middle of the outline; every tangent stretch and every arc is tested against the most that
its ends can move in the box. Where the test fails, each disc is shrunk by the most that its centre can move: the
hull of what is left lies in every hull of the box.

Rounding: a row sums at most a few hundred products, each good to 2^-53 of its size; every comparison gives way by
GUARD times the sum of all magnitudes in the row, at least a hundred times as much.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from gearplate.layout.certified.hull import area_form, hull_area
from gearplate.layout.certified.model import Model
from gearplate.layout.certified.rows import Array, Ints, Rows

GUARD = 1e-11
AREA_GUARD_MM2 = 1e-6


@dataclass(frozen=True, slots=True)
class RowBounds:
    """Of every row over every box (B, rows): `top` no value exceeds; slopes (B, rows, n) at the middle; `slack` = the
    most that value + slope . (theta - m) + remainder can be."""

    top: Array
    slope: Array
    slack: Array


def cosine_range(middle: Array, half: Array) -> tuple[Array, Array, Array, Array]:
    """Cosine and sine in the middle, and the least and greatest cosine on middle +- half."""
    half = np.minimum(half, math.pi)
    c, s = np.cos(middle), np.sin(middle)
    ch, sh = np.cos(half), np.sin(half)
    along, across = c * ch, np.abs(s) * sh
    low = np.where(-c >= ch, -1.0, along - across)
    high = np.where(c >= ch, 1.0, along + across)
    return c, s, low, high


class RowBounder:
    """Bounds of the rows of one problem; holds the products that do not change."""

    def __init__(self, rows: Rows, free: int) -> None:
        self.rows = rows
        self.free = free
        self.up = np.ascontiguousarray(np.maximum(rows.weight, 0.0).T)
        self.down = np.ascontiguousarray(np.minimum(rows.weight, 0.0).T)
        self.weight = np.ascontiguousarray(rows.weight.T)
        self.guard = GUARD * rows.size

    def __call__(self, middle: Array, width: Array, constant: Array) -> RowBounds:
        """`constant` (rows,): that of the rows, the target added to the wish's."""
        rows = self.rows
        zero = np.zeros((len(middle), 1))
        m = np.concatenate([middle, zero], axis=1)
        w = np.concatenate([width, zero], axis=1)
        half = w[:, rows.second] + w[:, rows.first]
        c, s, low, high = cosine_range(m[:, rows.second] - m[:, rows.first] - rows.phase, half)
        constant = constant + self.guard
        natural = constant + high @ self.up + low @ self.down
        bend = 0.5 * half * half
        value = constant + c @ self.weight
        rest = (bend * np.maximum(0.0, -low)) @ self.up - (bend * np.maximum(0.0, high)) @ self.down
        slope = (s @ rows.slope_of).reshape(len(middle), len(constant), self.free)
        lean = (np.abs(slope) * width[:, None, :]).sum(axis=2)
        slack = value + rest + lean
        return RowBounds(np.minimum(natural, slack), slope, slack)


@dataclass(frozen=True, slots=True)
class AreaBounds:
    """Lower bounds (B,) of the area over boxes; where `sloped`, area >= `value` + `slope` . (theta - m)."""

    least: Array
    sloped: Array
    value: Array
    slope: Array


def area_bounds(model: Model, middle: Array, width: Array) -> AreaBounds:
    n = model.free
    cosine, sine = np.cos(middle), np.sin(middle)
    still, reach = model.hull_still, model.hull_reach
    centre = np.stack([still[:, 0] + cosine @ reach.T, still[:, 1] + sine @ reach.T], axis=2)
    form = area_form(centre, model.hull_radius, still, reach)
    apart = middle[:, None, :] - middle[:, :, None]
    half = width[:, None, :] + width[:, :, None]
    turned = 0.5 * math.pi
    c_sin, c_cos, low, high = cosine_range(apart - turned, half)  # cos(x - pi/2) = sin x; sin(x - pi/2) = -cos x
    pair = 0.5 * form.pair
    turn = pair * -c_cos
    lone_c = form.lone[..., 0] * cosine + form.lone[..., 1] * sine
    lone_s = form.lone[..., 1] * cosine - form.lone[..., 0] * sine
    slope = lone_s + turn.sum(axis=1) - turn.sum(axis=2)
    top = np.where(pair > 0.0, pair * high, pair * low)  # most of each term: second derivative at least minus that
    rest_pairs = (0.5 * half * half * np.maximum(0.0, top)).sum(axis=(1, 2))
    size = np.hypot(form.lone[..., 0], form.lone[..., 1])
    swing = np.minimum(width, math.pi)
    cw, sw = np.cos(swing), np.sin(swing)
    crest = np.where(lone_c >= size * cw, size, lone_c * cw + np.abs(lone_s) * sw)
    rest_lone = (0.5 * width * width * np.maximum(0.0, crest)).sum(axis=1)
    # the same remainder by an interval Hessian: curvatures along one angle first cancel, then count
    bottom = np.where(pair > 0.0, pair * low, pair * high)
    own = top.sum(axis=1) + top.sum(axis=2) + crest
    mixed = np.maximum(np.abs(top), np.abs(bottom))
    rest_own = 0.5 * (width * width * np.maximum(0.0, own)).sum(axis=1)
    rest_mixed = (mixed * width[:, None, :] * width[:, :, None]).sum(axis=(1, 2))
    value = form.value - np.minimum(rest_pairs + rest_lone, rest_own + rest_mixed) - AREA_GUARD_MM2
    least = value - (np.abs(slope) * width).sum(axis=1)
    sloped = _star_shaped(model, form.line.disc, form.line.follower, form.line, centre, width)
    rough = np.flatnonzero(~sloped)
    if len(rough):
        least[rough] = _shrunk(model, middle[rough], width[rough])
    _ = n, c_sin
    return AreaBounds(least, sloped, value, slope)


def _star_shaped(model: Model, disc: Ints, follower: Ints, line: object, centre: Array, width: Array) -> Array:
    """Boxes in which a fixed point sees the curve turn one way (B,)."""
    from gearplate.layout.certified.hull import Outline

    assert isinstance(line, Outline)
    rows = np.arange(len(centre))[:, None]
    reach, radius = model.hull_reach, model.hull_radius
    shown = line.shown
    p, q = centre[rows, disc], centre[rows, follower]
    r, s = radius[disc], radius[follower]
    nx, ny = np.cos(line.after), np.sin(line.after)
    ax, ay = p[..., 0] + r * nx, p[..., 1] + r * ny
    ex, ey = q[..., 0] + s * nx - ax, q[..., 1] + s * ny - ay
    length = np.sqrt(ex * ex + ey * ey)
    # c: middle of the outline's stretches, each by its length and that of its arc
    share = (length + r * (line.after - line.before)) * shown
    total = share.sum(axis=1)
    cx = ((ax + 0.5 * ex) * share).sum(axis=1) / total
    cy = ((ay + 0.5 * ey) * share).sum(axis=1) / total
    gx, gy = ax - cx[:, None], ay - cy[:, None]
    swing = np.minimum(2.0 * np.sin(np.minimum(0.5 * width, 0.5 * math.pi)), 2.0)  # chord of unit radius
    moved = swing @ reach.T
    own = moved[rows, disc]
    apart = np.abs(reach[disc] - reach[follower])
    stretched = (apart * swing[:, None, :]).sum(axis=2)
    height = gx * ey - gy * ex
    least = height - own * length - np.hypot(gx, gy) * stretched - own * stretched
    good = (least > 0.0) | ((stretched == 0.0) & (own == 0.0) & (height >= -1e-9)) | (shown == 0.0)
    # arcs: (p - c) . u + r > 0 on all normals of the arc
    vx, vy = p[..., 0] - cx[:, None], p[..., 1] - cy[:, None]
    away = np.hypot(vx, vy)
    mid = 0.5 * (line.before + line.after)
    spread = 0.5 * (line.after - line.before)
    along = vx * np.cos(mid) + vy * np.sin(mid)
    across = np.abs(vy * np.cos(mid) - vx * np.sin(mid))
    ends = along * np.cos(spread) - across * np.sin(spread)
    least_arc = np.where(-along >= away * np.cos(np.minimum(spread, math.pi)), -away, ends)
    good &= (least_arc + r - own > 0.0) | (shown == 0.0)
    return np.asarray(good.all(axis=1))


def _shrunk(model: Model, middle: Array, width: Array) -> Array:
    """Area of the hull of discs that lie in the discs of every layout of the box."""
    narrow = np.minimum(width, 0.5 * math.pi)
    cw, sw = np.cos(narrow), np.sin(narrow)
    still, reach = model.hull_still, model.hull_reach
    centre = np.stack(
        [still[:, 0] + (np.cos(middle) * cw) @ reach.T, still[:, 1] + (np.sin(middle) * cw) @ reach.T], axis=2
    )
    # theta beyond a right angle: the disc about the parent's own place, of the whole distance
    radius = model.hull_radius - sw @ reach.T
    return _hull_of_some(centre, radius)


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
