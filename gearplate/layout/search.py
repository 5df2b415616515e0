"""Angles of the free shafts by many starts and vectorised descent: an honest search, without a proof.

Score of a layout = area of the hull of its margin discs (from 48 directions, up to 5 % too large) + 5,000 mm2 for
each millimetre by which a demand is missed: no area gained pays for a miss, so the best score keeps every demand
where any start came near it.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from gearplate.layout.constraints import Array, Model
from gearplate.layout.spec import LimitsSpec

MISS_COST_MM2_PER_MM = 5000.0
STARTS = 2000
KEPT = 96
ROUNDS = 120
DIRECTIONS = 48
SLACK_MM = 0.001  # a found layout stands a micrometre off its demands, so that rounding never makes a finding


@dataclass(frozen=True, slots=True)
class Candidate:
    """One layout that the search offers: angles by free shaft, positions, hull estimate, total miss."""

    angles_rad: tuple[float, ...]
    positions: dict[str, tuple[float, float]]
    hull_mm2: float
    miss_mm: float


def positions_of(model: Model, angles: Array) -> Array:
    """Positions (n, shafts, 2) for angles (n, free)."""
    count = angles.shape[0]
    where = np.zeros((count, len(model.names), 2))
    column = {shaft: index for index, shaft in enumerate(model.free)}
    for shaft, parent, distance in zip(model.order, model.parents, model.distances, strict=True):
        x, y = model.given_xy[shaft]
        if not math.isnan(x):
            where[:, shaft] = (x, y)
            continue
        given = model.given_angle[shaft]
        angle = angles[:, column[shaft]] if math.isnan(given) else np.full(count, given)
        where[:, shaft, 0] = where[:, parent, 0] + distance * np.cos(angle)
        where[:, shaft, 1] = where[:, parent, 1] + distance * np.sin(angle)
    return where


def scorer(model: Model, limits: LimitsSpec, floor_mm: float) -> Callable[[Array], tuple[Array, Array]]:
    """A function angles (n, free) -> (hull area (n,) in mm2, total miss (n,) in mm).

    No shaft but the output reaches below y = `floor_mm`.
    """
    index = {name: i for i, name in enumerate(model.names)}
    a = np.array([index[d.a] for d in model.demands], dtype=int)
    b = np.array([index[d.b] for d in model.demands], dtype=int)
    least = np.array([d.least_mm + SLACK_MM for d in model.demands])
    shaft = np.array([index[f.a] for f in model.fixed], dtype=int)
    boxes = np.array([f.box for f in model.fixed]).reshape(-1, 4)
    room = np.array([f.least_mm + SLACK_MM for f in model.fixed])
    reach = np.array(model.reach)
    radius = np.array(model.hull_radius)
    still = np.array(model.hull_fixed).reshape(-1, 3)
    theta = np.arange(DIRECTIONS) * (2 * math.pi / DIRECTIONS)
    direction = np.stack([np.cos(theta), np.sin(theta)])
    support_still = (
        (still[:, :2] @ direction + still[:, 2:]).max(axis=0) if len(still) else np.full(DIRECTIONS, -np.inf)
    )
    # polygon of tangents at equal angles: area = sum h_i (h_i+1 - h_i cos d) / sin d
    sine, cosine = math.sin(2 * math.pi / DIRECTIONS), math.cos(2 * math.pi / DIRECTIONS)

    def score(angles: Array) -> tuple[Array, Array]:
        where = positions_of(model, angles)
        miss = np.zeros(len(angles))
        if len(least):
            away = where[:, a] - where[:, b]
            miss += np.maximum(0.0, least - np.sqrt((away * away).sum(axis=2))).sum(axis=1)
        if len(room):
            miss += np.maximum(0.0, room - _to_boxes(where[:, shaft], boxes)).sum(axis=1)
        miss += _limit_miss(where, np.maximum(reach, radius), still, limits)
        miss += np.maximum(0.0, floor_mm - (where[:, 1:, 1] - reach[1:])).sum(axis=1)
        support = np.maximum((where @ direction + radius[None, :, None]).max(axis=1), support_still[None, :])
        after = np.roll(support, -1, axis=1)
        hull = (support * (after - support * cosine)).sum(axis=1) / sine
        return hull, miss

    return score


def _to_boxes(points: Array, boxes: Array) -> Array:
    dx = np.maximum(np.maximum(boxes[:, 0] - points[..., 0], points[..., 0] - boxes[:, 2]), 0.0)
    dy = np.maximum(np.maximum(boxes[:, 1] - points[..., 1], points[..., 1] - boxes[:, 3]), 0.0)
    away = np.sqrt(dx * dx + dy * dy)
    inside = np.minimum(
        np.minimum(points[..., 0] - boxes[:, 0], boxes[:, 2] - points[..., 0]),
        np.minimum(points[..., 1] - boxes[:, 1], boxes[:, 3] - points[..., 1]),
    )
    signed: Array = np.where(away > 0.0, away, -np.maximum(inside, 0.0))
    return signed


def _limit_miss(where: Array, reach: Array, still: Array, limits: LimitsSpec) -> Array:
    right = (where[..., 0] + reach).max(axis=1)
    left = (where[..., 0] - reach).min(axis=1)
    top = (where[..., 1] + reach).max(axis=1)
    low = (where[..., 1] - reach).min(axis=1)
    if len(still):
        right = np.maximum(right, (still[:, 0] + still[:, 2]).max())
        left = np.minimum(left, (still[:, 0] - still[:, 2]).min())
        top = np.maximum(top, (still[:, 1] + still[:, 2]).max())
        low = np.minimum(low, (still[:, 1] - still[:, 2]).min())
    miss = np.zeros(len(where))
    for extent, limit in (
        (right, limits.forward_mm),
        (-left, limits.back_mm),
        (top, limits.up_mm),
        (-low, limits.down_mm),
        (right - left, limits.width_mm),
        (top - low, limits.height_mm),
    ):
        if limit is not None:
            miss += np.maximum(0.0, extent - limit)
    return miss


def search(model: Model, limits: LimitsSpec, floor_mm: float, seed: int, wanted: int = 8) -> list[Candidate]:
    """The best layouts found, best first, at most `wanted` that differ by more than five degrees somewhere.

    Deterministic for a seed. With no free shaft: the one layout there is.
    """
    score = scorer(model, limits, floor_mm)
    free = len(model.free)
    if free == 0:
        return [_candidate(model, np.zeros((1, 0)), *score(np.zeros((1, 0))), row=0)]
    random = np.random.default_rng(seed)
    angles = random.uniform(-math.pi, math.pi, (STARTS, free))
    hull, miss = score(angles)
    order = np.argsort(hull + MISS_COST_MM2_PER_MM * miss, kind="stable")[:KEPT]
    angles = angles[order]
    hull, miss = hull[order], miss[order]
    value = hull + MISS_COST_MM2_PER_MM * miss
    step = np.full(len(angles), 0.5)
    for _ in range(ROUNDS):
        move = random.standard_normal(angles.shape) * step[:, None]
        move *= random.random(angles.shape) < max(0.5, 1.0 / free)
        trial = angles + move
        trial_hull, trial_miss = score(trial)
        trial_value = trial_hull + MISS_COST_MM2_PER_MM * trial_miss
        better = trial_value < value
        angles[better] = trial[better]
        value[better], hull[better], miss[better] = trial_value[better], trial_hull[better], trial_miss[better]
        step = np.where(better, np.minimum(step * 1.6, 1.0), np.maximum(step * 0.86, 1e-7))
    found: list[Candidate] = []
    for row in np.argsort(value, kind="stable"):
        candidate = _candidate(model, angles, hull, miss, row=int(row))
        if all(_differ(candidate, other) for other in found):
            found.append(candidate)
        if len(found) == wanted:
            break
    return found


def _candidate(model: Model, angles: Array, hull: Array, miss: Array, row: int) -> Candidate:
    where = positions_of(model, angles[row : row + 1])[0]
    return Candidate(
        tuple(float(angle) for angle in angles[row]),
        {name: (float(where[i, 0]), float(where[i, 1])) for i, name in enumerate(model.names)},
        float(hull[row]),
        float(miss[row]),
    )


def _differ(a: Candidate, b: Candidate) -> bool:
    return any(
        abs(math.remainder(p - q, 2 * math.pi)) > math.radians(5)
        for p, q in zip(a.angles_rad, b.angles_rad, strict=True)
    )
