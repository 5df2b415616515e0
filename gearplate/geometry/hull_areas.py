"""Areas of the convex hulls of many sets of discs at once."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray


def hull_area_many(x_mm: ArrayLike, y_mm: ArrayLike, radius_mm: ArrayLike) -> NDArray[np.float64]:
    """Areas (N,) in mm2 of the convex hulls of N sets of k discs, from arrays (N, k); exact to rounding.

    Between two neighbouring angles at which any disc of a set takes over from any other, one disc gives the support
    function h; the area is the sum over these stretches of 1/2 (h^2 - h'^2), integrated in closed form. Nothing is
    sampled: the error is rounding, about 1e-13 of the square of the set's extent. Work and memory grow as N k^3.
    """
    x, y, radius = (np.atleast_2d(np.asarray(values, dtype=np.float64)) for values in (x_mm, y_mm, radius_mm))
    x, y, radius = np.broadcast_arrays(x, y, radius)
    x = x - x.mean(axis=1, keepdims=True)
    y = y - y.mean(axis=1, keepdims=True)
    sets, count = x.shape
    first, second = np.nonzero(~np.eye(count, dtype=bool))
    dx, dy = x[:, second] - x[:, first], y[:, second] - y[:, first]
    apart = np.hypot(dx, dy)
    drop = radius[:, first] - radius[:, second]
    with np.errstate(divide="ignore", invalid="ignore"):
        ratio = np.where(apart > 0.0, drop / apart, 2.0)
    met = np.abs(ratio) < 1.0
    angle = np.arctan2(dy, dx) - np.arccos(np.clip(ratio, -1.0, 1.0))
    turns = np.where(met, np.mod(angle, 2.0 * np.pi), 0.0)
    edges = np.sort(np.concatenate([np.zeros((sets, 1)), turns], axis=1), axis=1)
    edges = np.concatenate([edges, np.full((sets, 1), 2.0 * np.pi)], axis=1)
    start, end = edges[:, :-1], edges[:, 1:]
    middle = 0.5 * (start + end)
    support = (
        x[:, None, :] * np.cos(middle)[:, :, None] + y[:, None, :] * np.sin(middle)[:, :, None] + radius[:, None, :]
    )
    who = np.argmax(support, axis=2)
    a, b, r = (np.take_along_axis(values, who, axis=1) for values in (x, y, radius))
    sin0, cos0, sin1, cos1 = np.sin(start), np.cos(start), np.sin(end), np.cos(end)
    double_sin = sin1 * cos1 - sin0 * cos0  # 1/2 (sin 2 end - sin 2 start)
    double_cos = sin1 * sin1 - sin0 * sin0  # 1/2 (cos 2 start - cos 2 end)
    stretches = (
        (a * a - b * b) * double_sin
        + 2.0 * a * b * double_cos
        + 2.0 * r * (a * (sin1 - sin0) - b * (cos1 - cos0))
        + r * r * (end - start)
    )
    return np.asarray(0.5 * stretches.sum(axis=1), dtype=np.float64)
