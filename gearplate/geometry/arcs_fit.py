"""Arcs in pairs (biarcs) that join points with given directions, and smooth curves drawn by them within a tolerance."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence

from gearplate.geometry.segments import Segment, arc_from, backwards, distance_to

Point = tuple[float, float]
Curve = Callable[[float], tuple[float, float, float, float]]
"""Parameter -> (x, y, unit direction of travel x, y)."""


def biarc(start: Point, start_direction: Point, end: Point, end_direction: Point) -> tuple[Segment, Segment]:
    """Two arcs from `start` to `end` that leave and arrive along the given unit directions and join smoothly.

    Both tangent lengths are chosen equal, the common choice: d solves
    2 (1 - t0.t1) d^2 + 2 v.(t0 + t1) d = |v|^2 with v from start to end (Bolton, "Biarc curves", 1975; from memory).
    """
    vx, vy = end[0] - start[0], end[1] - start[1]
    along = vx * (start_direction[0] + end_direction[0]) + vy * (start_direction[1] + end_direction[1])
    square = vx * vx + vy * vy
    bend = 1.0 - (start_direction[0] * end_direction[0] + start_direction[1] * end_direction[1])
    denominator = along + math.sqrt(along * along + 2.0 * max(0.0, bend) * square)
    if denominator <= 0.0:
        raise ValueError("no pair of arcs joins these directions")
    reach = square / denominator
    joint = (
        0.5 * (start[0] + end[0] + reach * (start_direction[0] - end_direction[0])),
        0.5 * (start[1] + end[1] + reach * (start_direction[1] - end_direction[1])),
    )
    first = arc_from(start, start_direction, joint)
    # The second is drawn from its end backwards, so that it too keeps its direction there exactly.
    second = backwards(arc_from(end, (-end_direction[0], -end_direction[1]), joint))
    return first, second


def fit_arcs(
    curve: Curve, breaks: Sequence[float], tolerance_mm: float, least_length_mm: float = 4e-3
) -> list[Segment]:
    """Arcs along a smooth curve between the parameters in `breaks`, in pairs, within `tolerance_mm`.

    Each stretch between breaks is halved until seven points of the curve inside it lie within the tolerance of its
    pair of arcs. Give breaks where the curvature is greatest and least: between them the error of a pair has one
    hump. Directions are kept exactly at the ends of each pair, so the result has no kinks. Stretches are not halved
    below `least_length_mm`.
    """
    result: list[Segment] = []
    ends = [curve(value) for value in breaks]
    for index in range(len(breaks) - 1):
        _fit(
            curve, breaks[index], ends[index], breaks[index + 1], ends[index + 1], tolerance_mm, least_length_mm, result
        )
    return result


def _fit(
    curve: Curve,
    from_value: float,
    start: tuple[float, float, float, float],
    to_value: float,
    end: tuple[float, float, float, float],
    tolerance_mm: float,
    least_length_mm: float,
    result: list[Segment],
) -> None:
    if math.hypot(end[0] - start[0], end[1] - start[1]) == 0.0:
        return
    pair = biarc(start[:2], start[2:], end[:2], end[2:])
    short = math.hypot(end[0] - start[0], end[1] - start[1]) < 2.0 * least_length_mm
    if short or _deviation(curve, from_value, to_value, pair) <= tolerance_mm:
        result.extend(pair)
        return
    value = 0.5 * (from_value + to_value)
    middle = curve(value)
    _fit(curve, from_value, start, value, middle, tolerance_mm, least_length_mm, result)
    _fit(curve, value, middle, to_value, end, tolerance_mm, least_length_mm, result)


def _deviation(curve: Curve, from_value: float, to_value: float, pair: tuple[Segment, Segment]) -> float:
    worst = 0.0
    for step in range(1, 8):
        x, y, _, _ = curve(from_value + (to_value - from_value) * step / 8.0)
        worst = max(worst, min(distance_to(pair[0], x, y), distance_to(pair[1], x, y)))
    return worst
