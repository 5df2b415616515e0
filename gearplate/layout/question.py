"""The demands of a job's layout as a pure question of geometry, for the search with proof.

Nodes 0 to n - 1 are the model's shafts in the order of its tree; after them come fixed points (rail screws, corners of
boxes, discs to keep off). A disc that keeps `least` from a box stays out of two rectangles and four discs, whose union
is the box grown by `least`: exact, corners included.
"""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass

from gearplate.layout.certified.problem import Apart, HullDisc, LayoutProblem, Node, Outside, Within, Wish
from gearplate.layout.constraints import Model
from gearplate.layout.spec import LimitsSpec

SLACK_MM = 1e-3
"""A found layout stands a micrometre off its demands, so that rounding never makes a finding. The proof is of the
demands with this slack: it holds for every layout that keeps them by a micrometre."""

ENDLESS_MM = 9000.0  # a side as far away as this is never passed


@dataclass(frozen=True, slots=True)
class Question:
    """The problem, and the model's number of each of its shaft nodes. `fixed_miss`: a demand between things whose
    places are given is missed, so that no angle helps."""

    problem: LayoutProblem
    shafts: tuple[int, ...]

    def angles_by_name(self, angles_rad: Sequence[float]) -> dict[str, float]:
        names = [self.problem.nodes[number].name for number in self.problem.free]
        return dict(zip(names, map(float, angles_rad), strict=True))


class _Nodes:
    """The nodes of a problem while it is being written: shafts first, then points as they are needed."""

    def __init__(self, model: Model) -> None:
        self.nodes: list[Node] = [Node(model.names[0], at_mm=(0.0, 0.0))]
        self.number = {0: 0}
        for shaft, parent, distance in zip(model.order, model.parents, model.distances, strict=True):
            self.number[shaft] = len(self.nodes)
            x, y = model.given_xy[shaft]
            if not math.isnan(x):
                self.nodes.append(Node(model.names[shaft], at_mm=(x, y)))
                continue
            angle = model.given_angle[shaft]
            self.nodes.append(
                Node(
                    model.names[shaft],
                    about=self.number[parent],
                    distance_mm=distance,
                    angle_rad=None if math.isnan(angle) else angle,
                )
            )
        self.points: dict[tuple[float, float], int] = {}

    def point(self, x: float, y: float) -> int:
        if (x, y) not in self.points:
            self.points[x, y] = len(self.nodes)
            self.nodes.append(Node(f"point {len(self.points)}", at_mm=(x, y)))
        return self.points[x, y]


def question_of(
    model: Model, limits: LimitsSpec, floor_mm: float, wish: Wish = Wish.AREA, extra_mm: float = 0.0
) -> Question:
    """What `model` asks. `extra_mm`: how much more than each demand is asked of those that the angles can change."""
    write = _Nodes(model)
    number = write.number
    by_name = {name: number[index] for index, name in enumerate(model.names)}
    slack = SLACK_MM + extra_mm
    apart = [
        Apart(by_name[demand.a], by_name[demand.b], demand.least_mm + slack, demand.why)
        for demand in model.demands
    ]
    outside: list[Outside] = []
    for fixed in model.fixed:
        x0, y0, x1, y1 = fixed.box
        node, least = by_name[fixed.a], fixed.least_mm + slack
        if (x0, y0) == (x1, y1):
            apart.append(Apart(node, write.point(x0, y0), least, fixed.why))
            continue
        ends = [-math.inf if x0 <= -ENDLESS_MM else x0, math.inf if x1 >= ENDLESS_MM else x1]
        outside.append(Outside(node, ends[0] - least, y0, ends[1] + least, y1, fixed.why))
        outside.append(Outside(node, ends[0], y0 - least, ends[1], y1 + least, fixed.why))
        for x in ends:
            if math.isfinite(x):
                apart += [Apart(node, write.point(x, y), least, fixed.why) for y in (y0, y1)]
    discs = [HullDisc(number[index], radius) for index, radius in enumerate(model.hull_radius)]
    discs += [HullDisc(write.point(x, y), radius) for x, y, radius in model.hull_fixed]
    reach = [(number[index], radius) for index, radius in enumerate(model.reach)]
    room = [(disc.node, disc.radius_mm) for disc in discs] + reach
    within = [*_limits(room, limits), *_floor(reach, number[0], floor_mm)]
    nodes = tuple(write.nodes)
    problem = LayoutProblem(
        "layout", nodes, tuple(discs), wish, tuple(apart), tuple(within), tuple(outside)
    )
    groups = _alike(problem)
    if groups:
        problem = LayoutProblem(
            "layout", nodes, tuple(discs), wish, tuple(apart), tuple(within), tuple(outside), groups
        )
    return Question(problem, tuple(sorted(number, key=lambda shaft: number[shaft])))


def _limits(room: Sequence[tuple[int, float]], limits: LimitsSpec) -> list[Within]:
    """Every disc inside the limits; height and width by every pair, a disc with itself included."""
    largest: dict[int, float] = {}
    for node, radius in room:
        largest[node] = max(largest.get(node, 0.0), radius)
    found: list[Within] = []
    for axis, sign, limit, why in (
        (0, 1, limits.forward_mm, "limits.forward"),
        (0, -1, limits.back_mm, "limits.back"),
        (1, 1, limits.up_mm, "limits.up"),
        (1, -1, limits.down_mm, "limits.down"),
    ):
        if limit is not None:
            found += [Within(axis, sign, node, None, limit - radius, why) for node, radius in largest.items()]
    for axis, limit, why in ((0, limits.width_mm, "limits.width"), (1, limits.height_mm, "limits.height")):
        if limit is not None:
            found += [
                Within(axis, 1, a, b, limit - radius - other, why)
                for a, radius in largest.items()
                for b, other in largest.items()
            ]
    return found


def _floor(reach: Sequence[tuple[int, float]], output: int, floor_mm: float) -> list[Within]:
    """Nothing but the output's own gears hangs lower than the floor allows."""
    return [Within(1, -1, node, None, -floor_mm - radius, "ground") for node, radius in reach if node != output]


def _alike(problem: LayoutProblem) -> tuple[tuple[int, ...], ...]:
    """Free nodes that may change places without any other change: equal motors on one gear."""
    free = problem.free
    parents = {node.about for node in problem.nodes}
    sets: dict[object, list[int]] = {}
    for number in free:
        node = problem.nodes[number]
        if number in parents:
            continue
        discs = sorted(disc.radius_mm for disc in problem.hull if disc.node == number)
        sets.setdefault((node.about, node.distance_mm, *discs), []).append(number)
    found = []
    for group in sets.values():
        if len(group) > 1 and all(_equal(problem, group[0], other) for other in group[1:]):
            found.append(tuple(group))
    return tuple(found)


def _equal(problem: LayoutProblem, one: int, other: int) -> bool:
    """Whether swapping two nodes leaves every demand as it is."""
    return _demands(problem, {}) == _demands(problem, {one: other, other: one})


def _demands(problem: LayoutProblem, swap: dict[int, int]) -> Counter[object]:
    def at(number: int | None) -> int | None:
        return None if number is None else swap.get(number, number)

    rows: list[object] = [
        (frozenset((at(row.a), at(row.b))), row.least_mm) for row in problem.apart
    ]
    rows += [(at(row.a), at(row.b), row.axis, row.sign, row.most_mm) for row in problem.within]
    rows += [(at(row.node), row.x0_mm, row.y0_mm, row.x1_mm, row.y1_mm) for row in problem.outside]
    return Counter(rows)
