"""How far the hull of some discs stands from a box, many hulls at once; below nothing, how deep it reaches in.

Two convex shapes are apart by the most that any direction u sees between them:

    max over u of  min over corners q . u  -  max over discs (c . u + r)

a greatest least of sinusoids. It lies at the crest of one of them (u from a disc to a corner) or where two are level:
two corners (a side of the box) or two discs (their common tangent). All these directions are tried.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from gearplate.layout.certified.rows import Array, Ints

GONE = -1e9  # radius of a disc that is not there
_CHUNK = 400_000  # numbers held at once, at most, for one coordinate
_LEVEL_MM = 1e-7
_SIDES = np.array([[1.0, 0.0], [-1.0, 0.0], [0.0, 1.0], [0.0, -1.0]])
_FEW = np.concatenate([_SIDES, math.sqrt(0.5) * np.array([[1.0, 1.0], [-1.0, 1.0], [1.0, -1.0], [-1.0, -1.0]])])


@dataclass(frozen=True, slots=True)
class Separation:
    """`apart` (B,): mm between hull and box, negative where they meet. It changes with the places of two discs,
    (1 - share) of `first` and share of `second`, along -`normal` (B, 2)."""

    apart: Array
    normal: Array
    first: Ints
    second: Ints
    share: Array


def separation(
    centre: Array, radius: Array, box: tuple[float, float, float, float], far_mm: float = math.inf
) -> Separation:
    """For discs with centres (B, N, 2) and radii (B, N) or (N,), those of GONE left out; `box` (x0, y0, x1, y1).

    A hull that stands off its box by more than `far_mm` need not be told how far: at least so much, and seen from a
    direction that sees it.
    """
    count, discs = centre.shape[:2]
    radius = np.broadcast_to(radius, (count, discs))
    x0, y0, x1, y1 = box
    corner = np.array(list(dict.fromkeys([(x0, y0), (x0, y1), (x1, y0), (x1, y1)])))
    if far_mm < math.inf:
        seen = _best_of(np.broadcast_to(_FEW, (count, len(_FEW), 2)), centre, radius, corner)
        near = np.flatnonzero(seen.apart <= far_mm)
        if len(near):
            exact = separation(centre[near], radius[near], box)
            for part, whole in zip(_columns(exact), _columns(seen), strict=True):
                whole[near] = part
        return seen
    each = max(1, _CHUNK // (discs * discs * (discs + 8)))
    parts = [
        _separation(centre[at : at + each], radius[at : at + each], corner) for at in range(0, max(count, 1), each)
    ]
    columns = zip(*map(_columns, parts), strict=True)
    return Separation(*(np.concatenate(column) for column in columns))


def _columns(one: Separation) -> tuple[Array | Ints, ...]:
    return one.apart, one.normal, one.first, one.second, one.share


def _separation(centre: Array, radius: Array, corner: Array) -> Separation:
    return _best_of(_directions(centre, radius, corner), centre, radius, corner)


def _best_of(normal: Array, centre: Array, radius: Array, corner: Array) -> Separation:
    """What the best of some directions (B, K, 2) sees."""
    away = np.matmul(normal, corner.T)
    height = np.matmul(normal, centre.transpose(0, 2, 1)) + radius[:, None, :]
    apart = away.min(axis=2) - height.max(axis=2)
    best = apart.argmax(axis=1)
    rows = np.arange(len(centre))
    u, tops, q = normal[rows, best], height[rows, best], corner[away[rows, best].argmin(axis=1)]
    first = tops.argmax(axis=1)
    level = tops >= tops[rows, first][:, None] - _LEVEL_MM
    level[rows, first] = False
    second = np.where(level.any(axis=1), level.argmax(axis=1), first)
    start = centre[rows, first] + radius[rows, first][:, None] * u
    stretch = centre[rows, second] + radius[rows, second][:, None] * u - start
    length = np.maximum((stretch**2).sum(axis=1), 1e-12)
    share = np.clip(((q - start) * stretch).sum(axis=1) / length, 0.0, 1.0)
    return Separation(apart[rows, best], u, first, second, share)


def _directions(centre: Array, radius: Array, corner: Array) -> Array:
    """Unit vectors (B, K, 2): every direction that may see the most; doubtful ones do no harm."""
    count, discs = centre.shape[:2]
    crest = (corner[None, None] - centre[:, :, None]).reshape(count, discs * len(corner), 2)
    crest = crest / np.maximum(np.hypot(crest[..., 0], crest[..., 1]), 1e-9)[..., None]
    crest = np.where((crest**2).sum(axis=2, keepdims=True) > 0.5, crest, np.array([1.0, 0.0]))
    i, j = _two_of(discs)
    gap = centre[:, j] - centre[:, i]
    drop = radius[:, i] - radius[:, j]
    square = np.maximum((gap**2).sum(axis=2), 1e-18)
    across = np.sqrt(np.maximum(square - drop * drop, 0.0))
    drop = np.clip(drop, -np.sqrt(square), np.sqrt(square))
    # a pair has two common tangents, one on either side
    x, y = gap[..., 0] * drop / square, gap[..., 1] * drop / square
    across /= square
    aside_x, aside_y = gap[..., 1] * across, gap[..., 0] * across
    tangent = np.empty((count, 2 * len(i), 2))
    tangent[:, : len(i), 0], tangent[:, len(i) :, 0] = x + aside_x, x - aside_x
    tangent[:, : len(i), 1], tangent[:, len(i) :, 1] = y - aside_y, y + aside_y
    tangent = np.where((tangent**2).sum(axis=2, keepdims=True) > 0.5, tangent, np.array([1.0, 0.0]))
    sides = np.broadcast_to(_SIDES, (count, 4, 2))
    return np.concatenate([crest, tangent, sides], axis=1)


@lru_cache(maxsize=64)
def _two_of(count: int) -> tuple[Ints, Ints]:
    """Numbers of the first and the second of each two."""
    return np.triu_indices(count, 1)
