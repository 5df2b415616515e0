"""Problems that equal their own mirror image (x negated): half of one angle is then enough."""

from __future__ import annotations

from gearplate.layout.certified.problem import LayoutProblem, Wish


def half_by_mirror(problem: LayoutProblem) -> int | None:
    """Column of an angle that may be kept in [-pi/2, pi/2], because every layout has its mirror image; else None.

    Fixed nodes change places with their images; free nodes with themselves. An angle of an interchangeable group will
    not do, since the image may put another member first.
    """
    if problem.wish is Wish.MOVE or any(node.angle_rad is not None for node in problem.nodes):
        return None
    places = {node.at_mm: i for i, node in enumerate(problem.nodes) if node.at_mm is not None}
    image: list[int] = []
    for i, node in enumerate(problem.nodes):
        if node.at_mm is None:
            image.append(i)
            continue
        other = places.get((-node.at_mm[0], node.at_mm[1]))
        if other is None:
            return None
        image.append(other)
    if any(node.about is not None and image[node.about] != node.about for node in problem.nodes):
        return None
    pairs = {(min(d.a, d.b), max(d.a, d.b), d.least_mm) for d in problem.apart}
    turned_pairs = {(min(image[a], image[b]), max(image[a], image[b]), least) for a, b, least in pairs}
    limits = {(w.axis, w.sign, w.a, w.b, w.most_mm) for w in problem.within}
    turned_limits = {
        (axis, -sign if axis == 0 else sign, image[a], None if b is None else image[b], most)
        for axis, sign, a, b, most in limits
    }
    boxes = {(o.node, o.x0_mm, o.y0_mm, o.x1_mm, o.y1_mm) for o in problem.outside}
    turned_boxes = {(image[i], -x1, y0, -x0, y1) for i, x0, y0, x1, y1 in boxes}
    discs = {(d.node, d.radius_mm) for d in problem.hull}
    turned_discs = {(image[i], radius) for i, radius in discs}
    if (pairs, limits, boxes, discs) != (turned_pairs, turned_limits, turned_boxes, turned_discs):
        return None
    if len({node.at_mm for node in problem.nodes if node.at_mm is not None}) != len(
        [node for node in problem.nodes if node.at_mm is not None]
    ):
        return None  # two fixed nodes in one place: which is whose image is not said
    grouped = {i for group in problem.interchangeable for i in group}
    for column, i in enumerate(problem.free):
        if i not in grouped:
            return column
    return None
