"""One question in place of many that are alike but for their lengths: what holds for it holds for each of them.

Problems alike have the same nodes, demands and discs; distances on the tree and lengths of demands differ. Their
common problem has its own distances, no larger than any of theirs, and weaker demands, so that every layout of one of
them, drawn with the same angles, is a layout of the common one with no larger wish. A bound of it is one for all.

* Two vectors of lengths a and b: that their sum is no shorter than L asks that the cosine of the angle between them be
  at least (L^2 - a^2 - b^2) / 2ab. The least such cosine is asked of the common problem too, with its own lengths.
* Other demands give way by as much as the node can have moved.
* The hull: a node at R + sum d_k u_k goes to R + sum s_k d_k u_k. With 1 >= s_1 >= s_2 >= ... >= 0 that is a mean of
  the nodes on the way, (1 - s_1) R + (s_1 - s_2) P_1 + ... + s_m P_m, and a disc round it, of the same mean of their
  radii, lies in their hull.
"""

from __future__ import annotations

import math
from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np

from gearplate.layout.certified.problem import Apart, HullDisc, LayoutProblem, Node, Outside, Wish, Within
from gearplate.layout.certified.rows import Array

GUARD_MM = 1e-7


@dataclass(frozen=True, slots=True)
class _Way:
    """From the origin to a node: numbers of the nodes whose link is on the way, and the fixed node it begins at."""

    links: tuple[int, ...]
    root: int


def common_problem(
    least: LayoutProblem,
    distances_mm: Array,
    stray_mm: Mapping[int, float] | None = None,
    covered: Collection[int] = (),
    apart_mm: Array | None = None,
) -> LayoutProblem:
    """The common problem of many. `least` has of every demand the weakest and of every disc the smallest among them;
    `distances_mm` (problems, nodes): of each node from its parent, in each of them. `stray_mm`: how far a fixed node
    stands at most from its place in `least`; `covered`: fixed nodes whose disc lies in every hull where it is drawn.
    `apart_mm` (problems, `least.apart`): what each problem asks of each pair, where they differ in that.

    Raises ValueError for what has no common problem: the wish to move little, and caps of it.
    """
    if Wish.MOVE in {least.wish, *(cap.wish for cap in least.caps)}:
        raise ValueError("the largest move has no common problem")
    stray = {number: away for number, away in (stray_mm or {}).items() if away > 0.0}
    ways = _ways(least.nodes)
    radius: dict[int, float] = {}
    for disc in least.hull:
        radius[disc.node] = max(radius.get(disc.node, 0.0), disc.radius_mm)
    distances_mm = np.abs(distances_mm)
    lengths, shares = _shorter(least.nodes, distances_mm)
    nodes = tuple(
        node
        if node.about is None
        else replace(node, distance_mm=math.copysign(float(lengths[number]), node.distance_mm))
        for number, node in enumerate(least.nodes)
    )
    moved = _Moved(least, ways, distances_mm, lengths, stray, apart_mm)
    hull = _hull(least.hull, ways, shares, radius, moved, covered)
    if not hull:
        raise ValueError("no disc is left of the hull")
    return replace(
        least,
        nodes=nodes,
        hull=hull,
        apart=tuple(map(moved.apart, range(len(least.apart)))),
        within=tuple(map(moved.within, least.within)),
        outside=tuple(
            one for one in map(moved.outside, least.outside) if one.x0_mm < one.x1_mm and one.y0_mm < one.y1_mm
        ),
        off=tuple(off for off in least.off if not off.discs),
    )


def _ways(nodes: Sequence[Node]) -> list[_Way]:
    ways: list[_Way] = []
    for number, node in enumerate(nodes):
        before = ways[node.about] if node.about is not None else _Way((), number)
        ways.append(_Way((*before.links, number), before.root) if node.about is not None else before)
    return ways


def _shorter(nodes: Sequence[Node], distances: Array) -> tuple[Array, Array]:
    """The common problem's distances (nodes,), and what share of each problem's own they are (problems, nodes): along
    any way no larger than the share before, and never above one."""
    lengths = np.zeros(len(nodes))
    shares = np.ones(distances.shape)
    for number, node in enumerate(nodes):
        if node.about is None:
            continue
        lengths[number] = float((distances[:, number] * shares[:, node.about]).min())
        shares[:, number] = lengths[number] / distances[:, number]
    return lengths, shares


def _hull(
    discs: Sequence[HullDisc],
    ways: Sequence[_Way],
    shares: Array,
    radius: Mapping[int, float],
    moved: _Moved,
    covered: Collection[int],
) -> tuple[HullDisc, ...]:
    found = []
    for disc in discs:
        way = ways[disc.node]
        stray = 0.0 if disc.node in covered else moved.stray.get(way.root, 0.0)
        on_way = [radius.get(number) for number in (way.root, *way.links)]
        if any(own is None for own in on_way[:-1]) and bool((shares[:, list(way.links)] < 1.0).any()):
            least = disc.radius_mm - float(moved.along((), way.links).max()) - stray
        else:
            own = np.array([0.0 if one is None else one for one in on_way])
            after = np.concatenate([np.ones((len(shares), 1)), shares[:, list(way.links)]], axis=1)
            weight = after - np.concatenate([after[:, 1:], np.zeros((len(shares), 1))], axis=1)
            least = float((weight @ own).min()) - stray
        if least > GUARD_MM:
            found.append(HullDisc(disc.node, least - GUARD_MM))
    return tuple(found)


class _Moved:
    """How demands give way to the nodes having moved."""

    def __init__(
        self,
        problem: LayoutProblem,
        ways: Sequence[_Way],
        distances: Array,
        lengths: Array,
        stray: Mapping[int, float],
        apart: Array | None,
    ) -> None:
        self.problem, self.ways, self.stray, self.lengths, self.distances = problem, ways, stray, lengths, distances
        self.away = np.abs(distances - lengths)
        self.moved: dict[tuple[int, int | None], float] = {}
        if apart is None:
            own = np.array([pair.least_mm for pair in problem.apart])
            apart = np.broadcast_to(own, (len(distances), len(own)))
        self.asked = apart

    def along(self, one: Sequence[int], other: Sequence[int]) -> Array:
        """How far the difference of two nodes has moved at most, in each problem (problems,)."""
        both = set(one) & set(other)
        links = [number for number in (*one, *other) if number not in both]
        return np.asarray(self.away[:, links].sum(axis=1))

    def between(self, a: int, b: int | None) -> float:
        """How far the difference of two nodes (or a node) has moved at most in any problem."""
        if (a, b) not in self.moved:
            self.moved[a, b] = self.most_between(a, b)
        return self.moved[a, b]

    def most_between(self, a: int, b: int | None) -> float:
        one, other = self.ways[a], (self.ways[b] if b is not None else _Way((), -1))
        moved = float(self.along(one.links, other.links).max())
        return moved + sum(self.stray.get(way.root, 0.0) for way in (one, other) if one.root != other.root)

    def apart(self, number: int) -> Apart:
        pair = self.problem.apart[number]
        one, other = self.ways[pair.a], self.ways[pair.b]
        both = set(one.links) & set(other.links)
        links = [link for link in (*one.links, *other.links) if link not in both]
        stray, fixed = 0.0, 0.0
        if one.root != other.root:
            stray = self.stray.get(one.root, 0.0) + self.stray.get(other.root, 0.0)
            fixed = math.dist(self.place(one.root), self.place(other.root))
        asked = self.asked[:, number] - stray
        alike = len(links) == 2 and bool((self.distances[:, links[0]] == self.distances[:, links[1]]).all())
        if fixed == 0.0 and (len(links) == 1 or alike):
            least = float((asked * self.lengths[links[0]] / self.distances[:, links[0]]).min())
        elif len(links) + (fixed > 0.0) == 2:
            least = self.by_angle(links, fixed, asked)
        else:
            least = float((asked - self.away[:, links].sum(axis=1)).min())
        return Apart(pair.a, pair.b, least - GUARD_MM, pair.why)

    def by_angle(self, links: Sequence[int], fixed: float, asked: Array) -> float:
        """The least distance that asks the same of the angle between two vectors as it does in the mildest problem."""
        first = self.distances[:, links[0]]
        second = self.distances[:, links[1]] if len(links) == 2 else np.full(len(first), fixed)
        square = np.maximum(asked, 0.0) ** 2
        cosine = float(((square - first * first - second * second) / (2.0 * first * second)).min())
        a = float(self.lengths[links[0]])
        b = float(self.lengths[links[1]]) if len(links) == 2 else fixed
        return math.sqrt(max(0.0, a * a + b * b + 2.0 * a * b * cosine))

    def place(self, number: int) -> tuple[float, float]:
        at = self.problem.nodes[number].at_mm
        assert at is not None
        return at

    def within(self, limit: Within) -> Within:
        most_mm = limit.most_mm + self.between(limit.a, limit.b) + GUARD_MM
        return Within(limit.axis, limit.sign, limit.a, limit.b, most_mm, limit.why)

    def outside(self, box: Outside) -> Outside:
        away = self.between(box.node, None) + GUARD_MM
        return Outside(box.node, box.x0_mm + away, box.y0_mm + away, box.x1_mm - away, box.y1_mm - away, box.why)
