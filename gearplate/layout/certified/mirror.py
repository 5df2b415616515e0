"""Symmetry of a problem: nodes that may change places, and problems that equal their own mirror image (x negated)."""

from __future__ import annotations

from gearplate.layout.certified.problem import Apart, HullDisc, LayoutProblem, Wish

Image = dict[int, int]


def alike_groups(problem: LayoutProblem) -> tuple[tuple[int, ...], ...]:
    """Groups of free nodes without followers that may change places without any other change."""
    followed = {number for node in problem.nodes for number in (node.about, node.along)}
    groups: list[list[int]] = []
    for i in problem.free:
        if i in followed:
            continue
        for group in groups:
            if _may_change(problem, group[0], i):
                group.append(i)
                break
        else:
            groups.append([i])
    return tuple(tuple(group) for group in groups if len(group) > 1)


def _may_change(problem: LayoutProblem, a: int, b: int) -> bool:
    """Whether the problem stays what it is when `a` and `b` change places (being alike is then transitive)."""
    one, other = problem.nodes[a], problem.nodes[b]
    if (one.about, one.distance_mm) != (other.about, other.distance_mm):
        return False
    image = {i: i for i in range(len(problem.nodes))} | {a: b, b: a}
    return _turned(problem, image, mirror=False) == _turned(problem, {i: i for i in image}, mirror=False)


def half_by_mirror(problem: LayoutProblem) -> int | None:
    """Column of an angle that may be kept in [-pi/2, pi/2], because every layout has its mirror image; else None.

    Fixed nodes change places with their images; free nodes with themselves. An angle of an interchangeable group will
    not do, since the image may put another member first.
    """
    if problem.wish is Wish.MOVE or any(cap.wish is Wish.MOVE for cap in problem.caps):
        return None
    if any(node.angle_rad is not None for node in problem.nodes):
        return None
    places = {node.at_mm: i for i, node in enumerate(problem.nodes) if node.at_mm is not None}
    if len(places) != sum(node.at_mm is not None for node in problem.nodes):
        return None  # two fixed nodes in one place: which is whose image is not said
    image: Image = {}
    for i, node in enumerate(problem.nodes):
        if node.at_mm is None:
            image[i] = i
            continue
        other = places.get((-node.at_mm[0], node.at_mm[1]))
        if other is None:
            return None
        image[i] = other
    if any(node.about is not None and image[node.about] != node.about for node in problem.nodes):
        return None
    if _turned(problem, image, mirror=True) != _turned(problem, {i: i for i in image}, mirror=False):
        return None
    grouped = {i for group in alike_groups(problem) for i in group}
    for column, i in enumerate(problem.free):
        if i not in grouped:
            return column
    return None


def _turned(problem: LayoutProblem, image: Image, mirror: bool) -> tuple[object, ...]:
    """All demands with nodes in the place of their images, x negated if asked; alike for equal problems."""

    def pair(apart: Apart) -> tuple[int, int, float]:
        a, b = image[apart.a], image[apart.b]
        return (min(a, b), max(a, b), apart.least_mm)

    def discs(some: tuple[HullDisc, ...]) -> frozenset[tuple[int, float]]:
        return frozenset((image[disc.node], disc.radius_mm) for disc in some)

    def span(x0: float, x1: float) -> tuple[float, float]:
        return (-x1, -x0) if mirror else (x0, x1)

    return (
        frozenset(pair(apart) for apart in problem.apart),
        frozenset(
            (
                w.axis,
                -w.sign if mirror and w.axis == 0 else w.sign,
                image[w.a],
                None if w.b is None else image[w.b],
                w.most_mm,
            )
            for w in problem.within
        ),
        frozenset((image[o.node], *span(o.x0_mm, o.x1_mm), o.y0_mm, o.y1_mm) for o in problem.outside),
        frozenset(
            (discs(o.discs or problem.hull), *span(o.x0_mm, o.x1_mm), o.y0_mm, o.y1_mm, o.least_mm) for o in problem.off
        ),
        discs(problem.hull),
        frozenset((image[i], x, y) for i, x, y in problem.before_mm) if not mirror else frozenset(),
    )
