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
from functools import lru_cache

import numpy as np

from gearplate.layout.certified.problem import Apart, HullDisc, LayoutProblem, Node, Outside, Wish, Within
from gearplate.layout.certified.rows import Array, Ints

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
    fixed_mm: Mapping[int, tuple[float, float]] | None = None,
) -> LayoutProblem:
    """The common problem of many. `least` has of every demand the weakest and of every disc the smallest among them;
    `distances_mm` (problems, nodes): of each node from its parent, in each of them. `stray_mm`: how far a fixed node
    stands at most from its place in `least`; `covered`: fixed nodes whose disc lies in every hull where it is drawn.
    `apart_mm` (problems, `least.apart`): what each problem asks of each pair, where they differ in that. `fixed_mm`:
    places of fixed nodes, in place of those in `least`.

    Raises ValueError for what has no common problem: the wish to move little, and caps of it.
    """
    if Wish.MOVE in {least.wish, *(cap.wish for cap in least.caps)}:
        raise ValueError("the largest move has no common problem")
    stray = {number: away for number, away in (stray_mm or {}).items() if away > 0.0}
    ways, fixed = _ways(least.nodes), dict(fixed_mm or {})
    radius: dict[int, float] = {}
    for disc in least.hull:
        radius[disc.node] = max(radius.get(disc.node, 0.0), disc.radius_mm)
    distances_mm = np.abs(distances_mm)
    lengths, shares = _shorter(least.nodes, distances_mm)
    nodes = tuple(
        Node(node.name, fixed.get(number, node.at_mm))
        if node.about is None
        else Node(
            node.name,
            None,
            node.about,
            math.copysign(float(lengths[number]), node.distance_mm),
            node.angle_rad,
            node.along,
            node.half_turn,
        )
        for number, node in enumerate(least.nodes)
    )
    moved = _Moved(least, nodes, ways, distances_mm, lengths, stray, apart_mm)
    hull = _hull(least.hull, nodes, ways, shares, radius, moved, covered)
    if not hull:
        raise ValueError("no disc is left of the hull")
    return replace(
        least,
        nodes=nodes,
        hull=hull,
        apart=moved.apart(),
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
    nodes: Sequence[Node],
    ways: Sequence[_Way],
    shares: Array,
    radius: Mapping[int, float],
    moved: _Moved,
    covered: Collection[int],
) -> tuple[HullDisc, ...]:
    # what the nodes before the last on its way make up of each mean
    before = np.zeros(shares.shape)
    for number, node in enumerate(nodes):
        if (about := node.about) is not None:
            before[:, number] = before[:, about] + (shares[:, about] - shares[:, number]) * radius.get(about, 0.0)
    found = []
    for disc in discs:
        way, number = ways[disc.node], disc.node
        stray = 0.0 if number in covered else moved.stray.get(way.root, 0.0)
        bare = any(on_way not in radius for on_way in (way.root, *way.links)[:-1])
        if bare and bool((shares[:, list(way.links)] < 1.0).any()):
            least = disc.radius_mm - float(moved.along((), way.links).max()) - stray
        else:
            least = float((before[:, number] + shares[:, number] * radius[number]).min()) - stray
        if least > GUARD_MM:
            found.append(HullDisc(disc.node, least - GUARD_MM))
    return tuple(found)


@lru_cache(maxsize=1024)
def _links(one: tuple[int, ...], other: tuple[int, ...]) -> list[int]:
    """The links between two nodes, from the ways to them."""
    both = set(one) & set(other)
    return [number for number in (*one, *other) if number not in both]


class _Moved:
    """How demands give way to the nodes having moved."""

    def __init__(
        self,
        problem: LayoutProblem,
        nodes: Sequence[Node],
        ways: Sequence[_Way],
        distances: Array,
        lengths: Array,
        stray: Mapping[int, float],
        apart: Array | None,
    ) -> None:
        self.problem, self.nodes, self.ways, self.stray = problem, nodes, ways, stray
        self.lengths, self.distances = lengths, distances
        self.away = np.abs(distances - lengths)
        self.moved: dict[tuple[int, int | None], float] = {}
        if apart is None:
            own = np.array([pair.least_mm for pair in problem.apart])
            apart = np.broadcast_to(own, (len(distances), len(own)))
        self.asked = apart

    def along(self, one: Sequence[int], other: Sequence[int]) -> Array:
        """How far the difference of two nodes has moved at most, in each problem (problems,)."""
        return np.asarray(self.away[:, _links(tuple(one), tuple(other))].sum(axis=1))

    def between(self, a: int, b: int | None) -> float:
        """How far the difference of two nodes (or a node) has moved at most in any problem."""
        if (a, b) not in self.moved:
            self.moved[a, b] = self.most_between(a, b)
        return self.moved[a, b]

    def most_between(self, a: int, b: int | None) -> float:
        one, other = self.ways[a], (self.ways[b] if b is not None else _Way((), -1))
        moved = float(self.along(one.links, other.links).max())
        return moved + sum(self.stray.get(way.root, 0.0) for way in (one, other) if one.root != other.root)

    def apart(self) -> tuple[Apart, ...]:
        """All pairs of the common problem, those that ask nothing any more included."""
        pairs, distances = self.problem.apart, self.distances
        least, stray = np.zeros(len(pairs)), np.zeros(len(pairs))
        alone: list[tuple[int, int]] = []  # number of the pair, its one link
        angled: list[tuple[int, int, int, float]] = []  # number, links (the second may be none), fixed distance
        for number, pair in enumerate(pairs):
            one, other = self.ways[pair.a], self.ways[pair.b]
            links = _links(one.links, other.links)
            fixed = 0.0
            if one.root != other.root:
                stray[number] = self.stray.get(one.root, 0.0) + self.stray.get(other.root, 0.0)
                fixed = math.dist(self.place(one.root), self.place(other.root))
            if fixed == 0.0 and (len(links) == 1 or (len(links) == 2 and self.alike(*links))):
                alone.append((number, links[0]))
            elif len(links) + (fixed > 0.0) == 2:
                angled.append((number, links[0], links[1] if len(links) == 2 else -1, fixed))
            else:
                asked = self.asked[:, number] - stray[number]
                least[number] = (asked - self.away[:, links].sum(axis=1)).min()
        asked = self.asked - stray
        if alone:
            at, link = (np.array(part) for part in zip(*alone, strict=True))
            least[at] = (asked[:, at] * self.lengths[link] / distances[:, link]).min(axis=0)
        if angled:
            at, first, second = (np.array(part) for part in list(zip(*angled, strict=True))[:3])
            far = np.array([fixed for *_, fixed in angled])
            least[at] = self.by_angle(asked[:, at], first, second, far)
        return tuple(
            Apart(pair.a, pair.b, own - GUARD_MM, pair.why) for pair, own in zip(pairs, least.tolist(), strict=True)
        )

    def alike(self, one: int, other: int) -> bool:
        return bool((self.distances[:, one] == self.distances[:, other]).all())

    def by_angle(self, asked: Array, first: Ints, second: Ints, fixed: Array) -> Array:
        """For each pair (pairs,) the least distance that asks the same of the angle between two vectors as it does in
        the mildest problem. The second vector is `fixed` where there is no second link."""
        one = self.distances[:, first]
        two = np.where(second >= 0, self.distances[:, second], fixed)
        square = np.maximum(asked, 0.0) ** 2
        cosine = ((square - one * one - two * two) / (2.0 * one * two)).min(axis=0)
        a, b = self.lengths[first], np.where(second >= 0, self.lengths[second], fixed)
        return np.asarray(np.sqrt(np.maximum(0.0, a * a + b * b + 2.0 * a * b * cosine)))

    def place(self, number: int) -> tuple[float, float]:
        at = self.nodes[number].at_mm
        assert at is not None
        return at

    def within(self, limit: Within) -> Within:
        most = limit.most_mm + self.between(limit.a, limit.b) + GUARD_MM
        return Within(limit.axis, limit.sign, limit.a, limit.b, most, limit.why)

    def outside(self, box: Outside) -> Outside:
        away = self.between(box.node, None) + GUARD_MM
        x0, y0, x1, y1 = box.x0_mm + away, box.y0_mm + away, box.x1_mm - away, box.y1_mm - away
        return Outside(box.node, x0, y0, x1, y1, box.why)
