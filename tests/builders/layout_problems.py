"""Random questions of where nodes stand, of every kind, and families of them that differ in their lengths."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np

from gearplate.layout.certified.alike import strengths, with_strengths
from gearplate.layout.certified.problem import Apart, HullDisc, HullOff, LayoutProblem, Node, Outside, Wish, Within

WITH_SCREWS = 20  # from this number on


def random_problem(number: int) -> LayoutProblem:
    """One to four free nodes, alike or not, on a chain or branched; tight enough that some have no layout."""
    random = np.random.default_rng(number)
    free = int(random.integers(1, 5))
    nodes = [Node("o", at_mm=(0.0, 0.0)), Node("p", at_mm=(float(random.uniform(60.0, 150.0)), 0.0))]
    alike = random.random() < 0.4
    for k in range(free):
        about = int(random.choice([0, *range(2, 2 + k)])) if not alike or k == 0 else 2
        nodes.append(Node(f"n{k}", about=about, distance_mm=45.0 if alike else float(random.uniform(30.0, 70.0))))
    radius = [20.0, 25.0, *(22.0 if alike else float(r) for r in random.uniform(8.0, 35.0, free))]
    tight = float(random.uniform(0.6, 1.6))
    count = len(nodes)
    apart = tuple(
        Apart(i, j, tight * (radius[i] + radius[j]))
        for i in range(count)
        for j in range(max(2, i + 1), count)
        if nodes[j].about != i
    )
    top = float(random.uniform(40.0, 120.0))
    within = tuple(Within(1, 1, i, None, top - radius[i]) for i in range(2, count)) if random.random() < 0.6 else ()
    outside = (Outside(count - 1, -math.inf, -20.0, math.inf, 20.0),) if random.random() < 0.4 else ()
    off = (HullOff(70.0, 30.0, 80.0, 40.0, 4.0),) if random.random() < 0.25 else ()
    hull = tuple(HullDisc(i, radius[i]) for i in range(count) if i != 1 or random.random() < 0.5)
    wish = [Wish.AREA, Wish.HEIGHT, Wish.WIDTH, Wish.MOVE][int(random.integers(4))]
    before = tuple((i, 50.0 * i, 40.0) for i in range(2, count)) if wish is Wish.MOVE else ()
    problem = LayoutProblem(f"random {number}", tuple(nodes), hull, wish, apart, within, outside, before, off)
    return with_opposite_screws(problem, random) if number >= WITH_SCREWS else problem


def with_opposite_screws(problem: LayoutProblem, random: np.random.Generator) -> LayoutProblem:
    """The problem with two screws about its last node that turn together, a half turn apart."""
    motor, first = len(problem.nodes) - 1, len(problem.nodes)
    radius, least = float(random.uniform(10.0, 30.0)), float(random.uniform(10.0, 45.0))
    screws = (
        Node("screw 1", about=motor, distance_mm=radius, half_turn=True),
        Node("screw 2", about=motor, distance_mm=-radius, along=first),
    )
    apart = tuple(Apart(i, screw, least) for i in range(motor) for screw in (first, first + 1))
    hull = (HullDisc(first, 8.0), HullDisc(first + 1, 8.0))
    return replace(
        problem, nodes=(*problem.nodes, *screws), hull=(*problem.hull, *hull), apart=(*problem.apart, *apart)
    )


def family(number: int, size: int) -> list[LayoutProblem]:
    """A random problem, and others that differ from it in all lengths. A tied one keeps equal distances equal."""
    first = random_problem(number)
    if first.wish is Wish.MOVE:
        first = replace(first, wish=Wish.HEIGHT, before_mm=())
    random = np.random.default_rng(number)
    free = {node.distance_mm for node in first.nodes if node.about is not None}
    found = [first]
    for _ in range(size - 1):
        longer = {distance: distance * float(random.uniform(0.9, 1.15)) for distance in sorted(free)}
        nodes = tuple(
            node if node.about is None else replace(node, distance_mm=longer[node.distance_mm]) for node in first.nodes
        )
        lengths = strengths(first)
        found.append(with_strengths(replace(first, nodes=nodes), lengths + random.uniform(-2.0, 2.0, len(lengths))))
    return found
