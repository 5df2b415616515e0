"""A thin plate bent out of its plane, on a grid of square cells with 12 degrees of freedom (the non-conforming element
of Adini, Clough and Melosh; finite element texts, from memory): shares no formula with gearplate."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

Point = tuple[float, float]


def sunk_mm(
    wide_mm: float, high_mm: float, cell_mm: float, stiffness_n_mm: float, poisson: float, posts: Sequence[Point],
    loads: Sequence[tuple[Point, float]],
) -> np.ndarray:  # fmt: skip
    """Deflection of every node (mm, by x and y from the lower left corner) under forces across the plate (N), held
    against the way across at the nodes nearest to the posts. `stiffness_n_mm` is E t^3 / 12 (1 - v^2)."""
    nx, ny, h = round(wide_mm / cell_mm), round(high_mm / cell_mm), cell_mm
    cell = _cell_stiffness(h, stiffness_n_mm, poisson)
    size = 3 * (nx + 1) * (ny + 1)
    whole = np.zeros((size, size))

    def node(i: int, j: int) -> int:
        return i * (ny + 1) + j

    for i in range(nx):
        for j in range(ny):
            corners = (node(i, j), node(i + 1, j), node(i + 1, j + 1), node(i, j + 1))
            at = np.array([3 * corner + k for corner in corners for k in range(3)])
            whole[np.ix_(at, at)] += cell
    force = np.zeros(size)
    for (x, y), newton in loads:
        force[3 * node(round(x / h), round(y / h))] += newton
    held = [3 * node(round(x / h), round(y / h)) for x, y in posts]
    free = np.setdiff1d(np.arange(size), held)
    moved = np.zeros(size)
    moved[free] = np.linalg.solve(whole[np.ix_(free, free)], force[free])
    return np.asarray(moved[::3].reshape(nx + 1, ny + 1))


def _powers(x: float, y: float, dx: int, dy: int) -> np.ndarray:
    """The element's twelve terms, differentiated so often along x and y."""
    terms = [(0, 0), (1, 0), (0, 1), (2, 0), (1, 1), (0, 2), (3, 0), (2, 1), (1, 2), (0, 3), (3, 1), (1, 3)]

    def one(value: float, power: int, often: int) -> float:
        factor = 1.0
        for _ in range(often):
            factor *= power
            power -= 1
        return 0.0 if factor == 0.0 else factor * value**power

    return np.array([one(x, p, dx) * one(y, q, dy) for p, q in terms])


def _cell_stiffness(h: float, stiffness: float, poisson: float) -> np.ndarray:
    corners = [(0.0, 0.0), (h, 0.0), (h, h), (0.0, h)]
    at_corners = np.array([_powers(x, y, *d) for x, y in corners for d in ((0, 0), (1, 0), (0, 1))])
    to_terms = np.linalg.inv(at_corners)
    law = stiffness * np.array([[1, poisson, 0], [poisson, 1, 0], [0, 0, (1 - poisson) / 2]])
    found = np.zeros((12, 12))
    places, weights = np.polynomial.legendre.leggauss(4)
    for a, wa in zip(places, weights, strict=True):
        for b, wb in zip(places, weights, strict=True):
            x, y = 0.5 * h * (1 + a), 0.5 * h * (1 + b)
            bent = np.array([_powers(x, y, 2, 0), _powers(x, y, 0, 2), 2.0 * _powers(x, y, 1, 1)])
            found += 0.25 * h * h * wa * wb * bent.T @ law @ bent
    return np.asarray(to_terms.T @ found @ to_terms)
