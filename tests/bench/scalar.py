"""One layout at a time, in plain Python: what a general optimiser is given. Shares no arithmetic with the solver."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence

from gearplate.layout.certified.problem import LayoutProblem, Wish

MISS_COST = {Wish.AREA: 1000.0, Wish.HEIGHT: 10.0, Wish.WIDTH: 10.0, Wish.MOVE: 10.0}
TURN = 2.0 * math.pi

Point = Sequence[float]


def evaluator(problem: LayoutProblem) -> tuple[Callable[[Point], float], Callable[[Point], tuple[float, float]]]:
    """(penalised wish, (wish, sum of mm missed)) as functions of the free angles in radians."""
    fixed = [node.at_mm for node in problem.nodes]
    moving = []
    column = 0
    for i, node in enumerate(problem.nodes):
        if node.about is None:
            continue
        given = node.angle_rad
        moving.append((i, node.about, node.distance_mm, -1 if given is not None else column, given or 0.0))
        column += given is None
    depends = {i for i, *_ in moving}
    pairs = [(p.a, p.b, p.least_mm) for p in problem.apart if p.a in depends or p.b in depends]
    limits = [(w.axis, w.sign, w.a, -1 if w.b is None else w.b, w.most_mm) for w in problem.within]
    boxes = [(o.node, o.x0_mm, o.y0_mm, o.x1_mm, o.y1_mm) for o in problem.outside]
    discs = [(d.node, d.radius_mm) for d in problem.hull]
    wish, cost = problem.wish, MISS_COST[problem.wish]
    start_x = [0.0 if at is None else at[0] for at in fixed]
    start_y = [0.0 if at is None else at[1] for at in fixed]
    cos, sin, sqrt = math.cos, math.sin, math.sqrt

    def both(point: Point) -> tuple[float, float]:
        x, y = start_x[:], start_y[:]
        for i, parent, distance, k, given in moving:
            angle = given if k < 0 else float(point[k])
            x[i] = x[parent] + distance * cos(angle)
            y[i] = y[parent] + distance * sin(angle)
        miss = 0.0
        for a, b, least in pairs:
            dx, dy = x[a] - x[b], y[a] - y[b]
            square = dx * dx + dy * dy
            if square < least * least:
                miss += least - sqrt(square)
        for axis, sign, a, b, most in limits:
            at = x if axis == 0 else y
            over = sign * (at[a] - (0.0 if b < 0 else at[b])) - most
            if over > 0.0:
                miss += over
        for i, x0, y0, x1, y1 in boxes:
            px, py = x[i], y[i]
            if x0 < px < x1 and y0 < py < y1:
                miss += min(px - x0, x1 - px, py - y0, y1 - py)
        if wish is Wish.AREA:
            return _hull_area([(x[i], y[i], r) for i, r in discs]), miss
        if wish is Wish.MOVE:
            return max(math.hypot(x[i] - px, y[i] - py) for i, px, py in problem.before_mm), miss
        at = y if wish is Wish.HEIGHT else x
        return max(at[i] + r for i, r in discs) - min(at[i] - r for i, r in discs), miss

    def penalised(point: Point) -> float:
        value, miss = both(point)
        return value + cost * miss

    return penalised, both


def _hull_area(discs: list[tuple[float, float, float]]) -> float:
    """By rolling a straight edge from disc to disc."""
    atan2, acos, sqrt, cos, sin = math.atan2, math.acos, math.sqrt, math.cos, math.sin
    now = min(discs, key=lambda disc: (disc[1] - disc[2], disc[0]))
    normal, end = -0.5 * math.pi, 1.5 * math.pi
    first, area = now, 0.0
    for _ in range(3 * len(discs)):
        x, y, r = now
        ahead, after = 10.0, now
        for other in discs:
            dx, dy = other[0] - x, other[1] - y
            away = sqrt(dx * dx + dy * dy)
            drop = r - other[2]
            if away <= abs(drop) or other is now:
                continue
            turn = (atan2(dy, dx) - acos(drop / away) - normal + 1e-9) % TURN
            if turn < ahead:
                ahead, after = turn, other
        ahead -= 1e-9
        until = normal + ahead
        if until >= end - 1e-9:
            until, after = end, first
        c0, s0, c1, s1 = cos(normal), sin(normal), cos(until), sin(until)
        area += r * (x * (s1 - s0) - y * (c1 - c0)) + r * r * (until - normal)
        ax, ay = x + r * c1, y + r * s1
        bx, by = after[0] + after[2] * c1, after[1] + after[2] * s1
        area += ax * by - ay * bx
        normal, now = until, after
        if normal >= end:
            break
    return 0.5 * area
