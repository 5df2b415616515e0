"""Every demand as one row: a constant plus a weighted sum of cosines of angles and of differences of two angles.

A node stands at c + sum d_k u(theta_k) over the links from its root, so the squared distance of two nodes is

    |c|^2 + sum d_k^2 + 2 sum s_k s_l d_k d_l cos(theta_l - theta_k) + 2 sum s_k d_k |c| cos(theta_k - psi)

with s = +1 or -1, and a coordinate is c + sum d_k cos(theta_k - 0 or pi/2). The distinct cosines (atoms) are few and
shared by the rows; so their values, slopes and ranges over a box of angles are worked out once and spread over the
rows by a product of matrices. A row asks that its value be >= 0.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from gearplate.layout.certified.problem import HullOff, LayoutProblem, Wish
from gearplate.layout.certified.waves import Array, Ints, Mask, Waves, pairs_of

__all__ = ["Array", "Ints", "Mask", "Rows", "Tree", "rows_of", "tree_of"]


@dataclass(frozen=True, slots=True)
class Tree:
    """Places of the nodes: `still` (nodes, 2) + sum over free angles k of `reach` (nodes, n) [i, k] * u(theta_k)."""

    still: Array
    reach: Array


@dataclass(frozen=True, slots=True)
class Rows:
    """`weight` (rows, atoms), `constant` (rows,); atom = cos(theta[second] - theta[first] - phase), first = -1: none.

    First the `plain` demands, then the rows of the `wish`, then the `sides` (rectangles, 4) of rectangles, of which at
    least one of the four must hold. A wish row reads `constant` + weights >= 0 once the target has been added to its
    constant (as it is, or squared if `squared`). `slope_of` (n, atoms, rows): the rows' derivatives for the sines of
    the atoms; `bend_of` (atoms, n * n): pattern of an atom's second derivative. `size`: sum of all magnitudes in a
    row, to which rounding is proportional; `scale`: what turns the value of a row that is nearly met into mm.
    """

    first: Ints
    second: Ints
    phase: Array
    weight: Array
    constant: Array
    sides: Ints
    plain: Ints
    wish: Ints
    squared: bool
    slope_of: Array
    bend_of: Array
    size: Array
    scale: Array
    waves: Waves


def tree_of(problem: LayoutProblem) -> Tree:
    column = {node: k for k, node in enumerate(problem.free)}
    still = np.zeros((len(problem.nodes), 2))
    reach = np.zeros((len(problem.nodes), len(column)))
    for i, node in enumerate(problem.nodes):
        if node.at_mm is not None:
            still[i] = node.at_mm
            continue
        assert node.about is not None
        still[i], reach[i] = still[node.about], reach[node.about]
        if node.along is not None:
            reach[i, column[node.along]] += node.distance_mm
        elif node.angle_rad is not None:
            still[i] += node.distance_mm * np.array([math.cos(node.angle_rad), math.sin(node.angle_rad)])
        else:
            reach[i, column[i]] = node.distance_mm
    return Tree(still, reach)


class _Builder:
    """Collects rows; atoms get their number when they are first met."""

    def __init__(self, tree: Tree) -> None:
        self.tree = tree
        self.atoms: dict[tuple[int, int, float], int] = {}
        self.rows: list[dict[int, float]] = []
        self.constant: list[float] = []
        self.scale: list[float] = []

    def atom(self, first: int, second: int, phase: float) -> int:
        return self.atoms.setdefault((first, second, phase), len(self.atoms))

    def add(self, terms: dict[int, float], constant: float, scale: float = 1.0) -> int:
        self.rows.append({atom: weight for atom, weight in terms.items() if weight != 0.0})
        self.constant.append(constant)
        self.scale.append(scale)
        return len(self.rows) - 1

    def squared_distance(
        self, still: Array, reach: Array, sign: float, constant: float, scale: float | None = None
    ) -> int:
        """sign * |still + sum reach_k u_k|^2 + constant."""
        used = [int(k) for k in np.flatnonzero(reach)]
        length = float(np.hypot(still[0], still[1]))
        total = constant + sign * (length**2 + float((reach**2).sum()))
        terms: dict[int, float] = {}
        for index, l in enumerate(used):  # noqa: E741
            for k in used[:index]:
                terms[self.atom(k, l, 0.0)] = sign * 2.0 * float(reach[k] * reach[l])
            if length > 0.0:
                phase = math.atan2(still[1], still[0])
                terms[self.atom(-1, l, phase)] = sign * 2.0 * length * float(reach[l])
        if scale is None:
            scale = 0.5 / math.sqrt(-constant) if constant < 0.0 else 1.0
        return self.add(terms, total, scale)

    def coordinate(self, axis: int, still: Array, reach: Array, sign: float, constant: float) -> int:
        """sign * coordinate + constant."""
        phase = 0.0 if axis == 0 else 0.5 * math.pi
        terms = {self.atom(-1, int(k), phase): sign * float(reach[k]) for k in np.flatnonzero(reach)}
        return self.add(terms, constant + sign * float(still[axis]))

    def rectangle(self, node: int, box: tuple[float, float, float, float]) -> list[int]:
        """Four rows, of which one holds where the node is not inside; a side at infinity cannot be passed."""
        still, reach = self.tree.still[node], self.tree.reach[node]
        four = []
        for axis, sign, at in ((0, -1.0, box[0]), (0, 1.0, -box[2]), (1, -1.0, box[1]), (1, 1.0, -box[3])):
            if math.isfinite(at):
                four.append(self.coordinate(axis, still, reach, sign, at))
            else:
                four.append(self.add({}, -1e6))  # a row that never holds
        return four


def rows_of(problem: LayoutProblem, tree: Tree) -> Rows:
    """All rows of a problem but the area of the hull, which has its own form for each box."""
    build = _Builder(tree)
    plain: list[int] = []
    for pair in problem.apart:
        still = tree.still[pair.a] - tree.still[pair.b]
        reach = tree.reach[pair.a] - tree.reach[pair.b]
        if pair.least_mm > 0.0:
            plain.append(build.squared_distance(still, reach, 1.0, -(pair.least_mm**2)))
    for limit in problem.within:
        still, reach = tree.still[limit.a], tree.reach[limit.a]
        if limit.b is not None:
            still, reach = still - tree.still[limit.b], reach - tree.reach[limit.b]
        plain.append(build.coordinate(limit.axis, still, reach, -float(limit.sign), limit.most_mm))
    sides = [build.rectangle(o.node, (o.x0_mm, o.y0_mm, o.x1_mm, o.y1_mm)) for o in problem.outside]
    for cap in problem.caps:
        plain += _wish_rows(problem, cap.wish, tree, build, cap.most)
    for off in problem.off:
        _off_rows(problem, off, build, plain, sides)
    wish = _wish_rows(problem, problem.wish, tree, build)
    n = tree.reach.shape[1]
    weight = np.zeros((len(build.rows), len(build.atoms)))
    for r, terms in enumerate(build.rows):
        for atom, value in terms.items():
            weight[r, atom] = value
    constant = np.array(build.constant)
    # a demand that no angles can break needs no row
    plain = [r for r in plain if constant[r] - np.abs(weight[r]).sum() < 0.0]
    order = plain + wish + [r for four in sides for r in four]
    weight, constant = weight[order], constant[order]
    atoms = list(build.atoms)
    slope = np.zeros((n, len(atoms), len(order)))
    bend = np.zeros((len(atoms), n, n))
    for number, (k, l, _) in enumerate(atoms):  # noqa: E741
        slope[l, number] -= weight[:, number]
        bend[number, l, l] = 1.0
        if k >= 0:
            slope[k, number] += weight[:, number]
            bend[number, k, k] = 1.0
            bend[number, k, l] = bend[number, l, k] = -1.0
    count = np.cumsum([0, len(plain), len(wish), 4 * len(sides)])
    return Rows(
        np.array([a[0] for a in atoms], dtype=np.int64),
        np.array([a[1] for a in atoms], dtype=np.int64),
        np.array([a[2] for a in atoms]),
        weight,
        constant,
        np.arange(count[2], count[3]).reshape(-1, 4),
        np.arange(count[0], count[1]),
        np.arange(count[1], count[2]),
        problem.wish is Wish.MOVE,
        slope,
        bend.reshape(len(atoms), n * n),
        np.abs(constant) + np.abs(weight).sum(axis=1),
        np.array(build.scale)[order],
        _waves(weight, atoms, n),
    )


def _waves(weight: Array, atoms: list[tuple[int, int, float]], n: int) -> Waves:
    pairs = pairs_of(n)
    number = {pair: i for i, pair in enumerate(zip(pairs.first.tolist(), pairs.second.tolist(), strict=True))}
    both, cosine, sine = (np.zeros((len(weight), size)) for size in (len(number), n, n))
    for atom, (k, l, phase) in enumerate(atoms):  # noqa: E741
        if k >= 0:
            both[:, number[k, l]] += weight[:, atom]
        else:
            cosine[:, l] += math.cos(phase) * weight[:, atom]
            sine[:, l] += math.sin(phase) * weight[:, atom]
    return Waves(both, np.zeros(both.shape), cosine, sine)


def _off_rows(problem: LayoutProblem, off: HullOff, build: _Builder, plain: list[int], sides: list[list[int]]) -> None:
    """Every disc for itself keeps off the box with round corners: two rectangles and up to four discs."""
    x0, y0, x1, y1 = off.x0_mm, off.y0_mm, off.x1_mm, off.y1_mm
    for disc in off.discs or problem.hull:
        away = off.least_mm + disc.radius_mm
        if away <= 0.0:
            continue
        still, reach = build.tree.still[disc.node], build.tree.reach[disc.node]
        for corner in sorted({(x0, y0), (x0, y1), (x1, y0), (x1, y1)}):
            plain.append(build.squared_distance(still - np.array(corner), reach, 1.0, -(away**2)))
        if y0 < y1:
            sides.append(build.rectangle(disc.node, (x0 - away, y0, x1 + away, y1)))
        if x0 < x1:
            sides.append(build.rectangle(disc.node, (x0, y0 - away, x1, y1 + away)))


def _wish_rows(problem: LayoutProblem, wish: Wish, tree: Tree, build: _Builder, most: float = 0.0) -> list[int]:
    """Rows `most` - extent >= 0 for every pair of hull discs, or `most`^2 - move^2 >= 0; none for an area."""
    if wish in (Wish.AREA, Wish.ANY):
        return []
    if wish is Wish.MOVE:
        return [
            build.squared_distance(
                tree.still[i] - np.array([x, y]), tree.reach[i], -1.0, most * most, 0.5 / max(most, 1e-3)
            )
            for i, x, y in problem.before_mm
        ]
    axis = 1 if wish is Wish.HEIGHT else 0
    found = []
    for far in problem.hull:
        for near in problem.hull:
            still = tree.still[far.node] - tree.still[near.node]
            reach = tree.reach[far.node] - tree.reach[near.node]
            constant = most - (far.radius_mm + near.radius_mm)
            found.append(build.coordinate(axis, still, reach, -1.0, constant))
    return found
