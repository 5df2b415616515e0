"""A sheet with two holes pushed apart, in plane stress on a grid of square cells: shares no formula with gearplate."""

from __future__ import annotations

import math

import numpy as np


def pushed_apart_mm(
    centre_mm: float, radius_mm: float, wide_mm: float, high_mm: float, cell_mm: float, modulus: float, poisson: float,
    thickness_mm: float, force_n: float,
) -> float:  # fmt: skip
    """How far two holes on the middle line give way, each pressed outward over half of its rim as a bearing does.

    Square elements of four nodes, cells within a hole a million times softer, solved by conjugate gradients.
    """
    nx, ny, h = round(wide_mm / cell_mm), round(high_mm / cell_mm), cell_mm
    x, y = np.meshgrid((np.arange(nx) + 0.5) * h - wide_mm / 2, (np.arange(ny) + 0.5) * h - high_mm / 2, indexing="ij")
    away = np.minimum(np.hypot(x - centre_mm / 2, y), np.hypot(x + centre_mm / 2, y))
    solid = np.where(away < radius_mm, 1e-6, 1.0)[..., None]
    cell = _cell_stiffness(h, modulus, poisson, thickness_mm)
    corners = [(0, 0), (1, 0), (1, 1), (0, 1)]

    def forces_of(moved: np.ndarray) -> np.ndarray:
        gathered = np.concatenate([moved[i : nx + i, j : ny + j] for i, j in corners], -1)
        each = (gathered @ cell) * solid
        total = np.zeros_like(moved)
        for n, (i, j) in enumerate(corners):
            total[i : nx + i, j : ny + j] += each[..., 2 * n : 2 * n + 2]
        return total

    diagonal = np.zeros((nx + 1, ny + 1, 2))
    for n, (i, j) in enumerate(corners):
        diagonal[i : nx + i, j : ny + j] += solid * np.diag(cell)[2 * n : 2 * n + 2]
    xn, yn = np.meshgrid(np.arange(nx + 1) * h - wide_mm / 2, np.arange(ny + 1) * h - high_mm / 2, indexing="ij")
    load = np.zeros((nx + 1, ny + 1, 2))
    rims = []
    for side in (1, -1):
        out = (xn - side * centre_mm / 2) * side
        r = np.hypot(out, yn)
        rim = np.where((r >= radius_mm - 0.1 * h) & (r < radius_mm + 0.75 * h) & (out > 0), out / np.maximum(r, h), 0.0)
        rim /= rim.sum()
        load[..., 0] += side * force_n * rim
        rims.append((side, rim))
    moved = np.zeros_like(load)
    left = load.copy()
    step = left / diagonal
    measure = float(np.sum(left * step))
    for _ in range(3000):
        pushed = forces_of(step)
        share = measure / float(np.sum(step * pushed))
        moved += share * step
        left -= share * pushed
        if np.linalg.norm(left) < 1e-5 * np.linalg.norm(load):
            break
        scaled = left / diagonal
        following = float(np.sum(left * scaled))
        step = scaled + following / measure * step
        measure = following
    return float(sum(side * np.sum(moved[..., 0] * rim) for side, rim in rims))


def _cell_stiffness(h: float, modulus: float, poisson: float, thickness: float) -> np.ndarray:
    law = modulus / (1 - poisson**2) * np.array([[1, poisson, 0], [poisson, 1, 0], [0, 0, (1 - poisson) / 2]])
    stiffness = np.zeros((8, 8))
    for a in (-1 / math.sqrt(3), 1 / math.sqrt(3)):
        for b in (-1 / math.sqrt(3), 1 / math.sqrt(3)):
            slopes = np.array([[-(1 - b), 1 - b, 1 + b, -(1 + b)], [-(1 - a), -(1 + a), 1 + a, 1 - a]]) / (2 * h)
            strain = np.zeros((3, 8))
            strain[0, 0::2], strain[1, 1::2] = slopes
            strain[2, 0::2], strain[2, 1::2] = slopes[1], slopes[0]
            stiffness += strain.T @ law @ strain * thickness * h * h / 4
    return stiffness
