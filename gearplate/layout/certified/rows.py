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

__all__ = ["Array", "Ints", "Mask", "Rows", "Table", "Tree", "rows_of", "table_of", "tree_of"]


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


Place = list[float]  # x and y, mm


@dataclass(frozen=True, slots=True)
class Table:
    """All rows of a problem, the plain ones, `wish` and four times `sides` of them: `weight` (rows, atoms), `constant`
    (rows,), `scale` (rows,); `asks` (plain,): whether any angles break one. Atoms by `first`, `second`, `phase`."""

    first: tuple[int, ...]
    second: tuple[int, ...]
    phase: Array
    weight: Array
    constant: Array
    scale: Array
    asks: Mask
    wish: int
    sides: int


class _Builder:
    """Collects rows; atoms get their number when they are first met. Few numbers at a time: plain lists are sooner than
    arrays."""

    def __init__(self, tree: Tree) -> None:
        self.still: list[Place] = tree.still.tolist()
        self.reach: list[list[float]] = tree.reach.tolist()
        self.atoms: dict[tuple[int, int, float], int] = {}
        self.rows: list[dict[int, float]] = []
        self.constant: list[float] = []
        self.scale: list[float] = []

    def between(self, a: int, b: int) -> tuple[Place, list[float]]:
        """Where node a stands as seen from b."""
        (ax, ay), (bx, by) = self.still[a], self.still[b]
        return [ax - bx, ay - by], [one - other for one, other in zip(self.reach[a], self.reach[b], strict=True)]

    def from_point(self, a: int, x: float, y: float) -> tuple[Place, list[float]]:
        """Where node a stands as seen from a point."""
        own_x, own_y = self.still[a]
        return [own_x - x, own_y - y], self.reach[a]

    def atom(self, first: int, second: int, phase: float) -> int:
        return self.atoms.setdefault((first, second, phase), len(self.atoms))

    def add(self, terms: dict[int, float], constant: float, scale: float = 1.0) -> int:
        self.rows.append(terms)
        self.constant.append(constant)
        self.scale.append(scale)
        return len(self.rows) - 1

    def squared_distance(
        self, seen: tuple[Place, list[float]], sign: float, constant: float, scale: float | None = None
    ) -> int:
        """sign * |still + sum reach_k u_k|^2 + constant."""
        (x, y), reach = seen
        used = [k for k, own in enumerate(reach) if own]
        length = math.hypot(x, y)
        total = constant + sign * (length**2 + sum(own**2 for own in reach))
        phase = math.atan2(y, x) if length > 0.0 else 0.0
        terms: dict[int, float] = {}
        for index, l in enumerate(used):  # noqa: E741
            for k in used[:index]:
                terms[self.atom(k, l, 0.0)] = sign * 2.0 * (reach[k] * reach[l])
            if length > 0.0:
                terms[self.atom(-1, l, phase)] = sign * 2.0 * length * reach[l]
        if scale is None:
            scale = 0.5 / math.sqrt(-constant) if constant < 0.0 else 1.0
        return self.add(terms, total, scale)

    def coordinate(self, axis: int, seen: tuple[Place, list[float]], sign: float, constant: float) -> int:
        """sign * coordinate + constant."""
        phase = 0.0 if axis == 0 else 0.5 * math.pi
        still, reach = seen
        terms = {self.atom(-1, k, phase): sign * own for k, own in enumerate(reach) if own}
        return self.add(terms, constant + sign * still[axis])

    def rectangle(self, node: int, box: tuple[float, float, float, float]) -> list[int]:
        """Four rows, of which one holds where the node is not inside; a side at infinity cannot be passed."""
        seen = self.still[node], self.reach[node]
        four = []
        for axis, sign, at in ((0, -1.0, box[0]), (0, 1.0, -box[2]), (1, -1.0, box[1]), (1, 1.0, -box[3])):
            if math.isfinite(at):
                four.append(self.coordinate(axis, seen, sign, at))
            else:
                four.append(self.add({}, -1e6))  # a row that never holds
        return four


def table_of(problem: LayoutProblem, tree: Tree) -> Table:
    """All rows of a problem but the area of the hull, which has its own form for each box."""
    build = _Builder(tree)
    plain: list[int] = []
    idle: set[int] = set()  # rows that ask nothing
    for pair in problem.apart:
        plain.append(build.squared_distance(build.between(pair.a, pair.b), 1.0, -(max(0.0, pair.least_mm) ** 2)))
        if pair.least_mm <= 0.0:
            idle.add(plain[-1])
    for limit in problem.within:
        seen = build.between(limit.a, limit.b) if limit.b is not None else build.from_point(limit.a, 0.0, 0.0)
        plain.append(build.coordinate(limit.axis, seen, -float(limit.sign), limit.most_mm))
    sides = [build.rectangle(o.node, (o.x0_mm, o.y0_mm, o.x1_mm, o.y1_mm)) for o in problem.outside]
    for cap in problem.caps:
        plain += _wish_rows(problem, cap.wish, build, cap.most)
    for off in problem.off:
        _off_rows(problem, off, build, plain, sides)
    wish = _wish_rows(problem, problem.wish, build)
    order = plain + wish + [r for four in sides for r in four]
    spread = [[0.0] * len(build.atoms) for _ in order]
    for row, number in zip(spread, order, strict=True):
        for atom, value in build.rows[number].items():
            row[atom] = value
    weight = np.array(spread).reshape(len(order), len(build.atoms))
    constant = np.array(build.constant)[order]
    # a demand that no angles can break needs no row
    asks = constant[: len(plain)] - np.abs(weight[: len(plain)]).sum(axis=1) < 0.0
    asks &= np.array([row not in idle for row in plain], dtype=bool)
    atoms = list(build.atoms)
    return Table(
        tuple(atom[0] for atom in atoms),
        tuple(atom[1] for atom in atoms),
        np.array([atom[2] for atom in atoms]),
        weight,
        constant,
        np.array(build.scale)[order],
        asks,
        len(wish),
        len(sides),
    )


def rows_of(table: Table, n: int, squared: bool) -> Rows:
    """The rows of a problem with n free angles, or of several whose tables lie one behind the other along a first axis:
    without plain ones that no angles can break in any of them. `squared`: the wish is the largest move."""
    asks: Mask = table.asks if table.asks.ndim == 1 else np.any(table.asks, axis=0)
    keep = np.concatenate([np.flatnonzero(asks), np.arange(len(asks), table.constant.shape[-1])])
    weight, constant = table.weight[..., keep, :], table.constant[..., keep]
    first, second = np.array(table.first, dtype=np.int64), np.array(table.second, dtype=np.int64)
    number = np.arange(len(first))
    turns = np.zeros((n, len(first)))
    turns[second, number] = -1.0
    turns[first[first >= 0], number[first >= 0]] = 1.0
    slope = turns[:, :, None] * weight.swapaxes(-1, -2)[..., None, :, :]
    bend = (turns[:, None] * turns[None]).transpose(2, 0, 1)
    count = np.cumsum([0, int(asks.sum()), table.wish, 4 * table.sides])
    return Rows(
        first,
        second,
        table.phase,
        weight,
        constant,
        np.arange(count[2], count[3]).reshape(-1, 4),
        np.arange(count[0], count[1]),
        np.arange(count[1], count[2]),
        squared,
        np.ascontiguousarray(slope),
        bend.reshape(len(first), n * n),
        np.abs(constant) + np.abs(weight).sum(axis=-1),
        table.scale[..., keep],
        _waves(table, weight, n),
    )


def _waves(table: Table, weight: Array, n: int) -> Waves:
    pairs = pairs_of(n)
    number = {pair: i for i, pair in enumerate(zip(pairs.first.tolist(), pairs.second.tolist(), strict=True))}
    of_pair, of_angle = np.zeros((len(table.first), len(number))), np.zeros((len(table.first), n))
    for atom, (k, l) in enumerate(zip(table.first, table.second, strict=True)):  # noqa: E741
        if k >= 0:
            of_pair[atom, number[k, l]] = 1.0
        else:
            of_angle[atom, l] = 1.0
    both = weight @ of_pair
    cosine, sine = ((weight * turned[..., None, :]) @ of_angle for turned in (np.cos(table.phase), np.sin(table.phase)))
    return Waves(both, np.zeros(both.shape), cosine, sine)


def _off_rows(problem: LayoutProblem, off: HullOff, build: _Builder, plain: list[int], sides: list[list[int]]) -> None:
    """Every disc for itself keeps off the box with round corners: two rectangles and up to four discs."""
    x0, y0, x1, y1 = off.x0_mm, off.y0_mm, off.x1_mm, off.y1_mm
    for disc in off.discs or problem.hull:
        away = off.least_mm + disc.radius_mm
        if away <= 0.0:
            continue
        for corner in sorted({(x0, y0), (x0, y1), (x1, y0), (x1, y1)}):
            plain.append(build.squared_distance(build.from_point(disc.node, *corner), 1.0, -(away**2)))
        if y0 < y1:
            sides.append(build.rectangle(disc.node, (x0 - away, y0, x1 + away, y1)))
        if x0 < x1:
            sides.append(build.rectangle(disc.node, (x0, y0 - away, x1, y1 + away)))


def _wish_rows(problem: LayoutProblem, wish: Wish, build: _Builder, most: float = 0.0) -> list[int]:
    """Rows `most` - extent >= 0 for every pair of hull discs, or `most`^2 - move^2 >= 0; none for an area."""
    if wish in (Wish.AREA, Wish.ANY):
        return []
    if wish is Wish.MOVE:
        return [
            build.squared_distance(build.from_point(i, x, y), -1.0, most * most, 0.5 / max(most, 1e-3))
            for i, x, y in problem.before_mm
        ]
    axis = 1 if wish is Wish.HEIGHT else 0
    found = []
    for far in problem.hull:
        for near in problem.hull:
            constant = most - (far.radius_mm + near.radius_mm)
            found.append(build.coordinate(axis, build.between(far.node, near.node), -1.0, constant))
    return found
