"""Sums of waves over a box of angles: a constant, p cos + q sin of each difference of two, u cos + v sin of each one.

Every row is such a sum, the hull's area with its normals held is one, and so are they all together. With d = theta - m,
x = cos d - 1 and y = sin d, a sum is exactly

    value + sum over k of (a_k y_k + o_k x_k) + sum over k < l of C (x_k x_l + y_k y_l) + S (x_k y_l - y_k x_l)

C and S being the wave of the pair and its slope at m, o_k and a_k what all waves of angle k make up together. Bounded
above: y_k y_l by (y_k^2 t_l / t_k + y_l^2 t_k / t_l) / 2 with t = the most of y, y^2 by -2 x, so that what bends down
in one wave makes up for what bends up in another; then each angle by itself, exactly.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

Array = np.ndarray[tuple[int, ...], np.dtype[np.float64]]
Ints = np.ndarray[tuple[int, ...], np.dtype[np.int64]]
Mask = np.ndarray[tuple[int, ...], np.dtype[np.bool_]]


@dataclass(frozen=True, slots=True)
class Pairs:
    """The pairs k < l of n angles, `first` and `second` (P,): columns of everything of a pair; `turns` (P, n): +1 at
    the second, -1 at the first; `both` (P, n): 1 at both."""

    first: Ints
    second: Ints
    turns: Array
    both: Array


def pairs_of(n: int) -> Pairs:
    first, second = np.triu_indices(n, 1)
    turns = np.zeros((len(first), n))
    turns[np.arange(len(first)), second] = 1.0
    turns[np.arange(len(first)), first] = -1.0
    return Pairs(first, second, turns, np.abs(turns))


@dataclass(frozen=True, slots=True)
class Waves:
    """Cosines and sines of the pairs (B, P) and of the lone angles (B, n)."""

    pair_cosine: Array
    pair_sine: Array
    cosine: Array
    sine: Array


@dataclass(frozen=True, slots=True)
class Most:
    """A sum of waves over boxes: at most `most` (B,), and at most `rest` + `slope` (B, n) . (theta - m)."""

    most: Array
    rest: Array
    slope: Array


def most_over(pairs: Pairs, constant: Array, waves: Waves, middle: Array, width: Array) -> Most:
    """Of `constant` (B,) + `waves` over the boxes `middle`, `width` (B, n)."""
    k, l = pairs.first, pairs.second  # noqa: E741
    cosine, sine = np.cos(middle), np.sin(middle)
    p, q, u, v = waves.pair_cosine, waves.pair_sine, waves.cosine, waves.sine
    ck, cl, sk, sl = cosine[:, k], cosine[:, l], sine[:, k], sine[:, l]
    c, s = cl * ck + sl * sk, sl * ck - cl * sk
    wave, lean = p * c + q * s, q * c - p * s
    own = u * cosine + v * sine
    value = constant + wave.sum(axis=1) + own.sum(axis=1)
    slope = v * cosine - u * sine + lean @ pairs.turns
    bend = -own - wave @ pairs.both
    swing = np.minimum(width, math.pi)
    far = np.sin(np.minimum(swing, 0.5 * math.pi))
    half = np.sin(0.5 * swing)
    short = 2.0 * half * half
    fk, fl, bk, bl = far[:, k], far[:, l], short[:, k], short[:, l]
    bend += ((np.abs(wave) * fk * fl) @ pairs.both) / (far * far)
    value = value + (np.abs(lean) * (bk * fl + bl * fk) + np.maximum(0.0, wave) * bk * bl).sum(axis=1)
    # the most of slope sin d + bend (1 - cos d)
    steep = np.abs(slope)
    size = np.sqrt(slope * slope + bend * bend)
    # size + bend, each way round without a difference of like numbers
    crest = np.where(bend > 0.0, size + bend, steep * steep / np.maximum(size - bend, 1e-250))
    ends = steep * np.sin(swing) + bend * short
    most = value + np.where(-bend >= size * np.cos(swing), crest, ends).sum(axis=1)
    above = np.maximum(0.0, steep * (width - np.sin(width)) + bend * short)
    wide = width > math.pi
    if wide.any():
        above = np.where(wide, steep * (width - np.sin(width)) + 2.0 * np.maximum(0.0, bend), above)
    return Most(most, value + above.sum(axis=1), slope)
