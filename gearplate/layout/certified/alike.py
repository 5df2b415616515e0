"""Problems alike but for their lengths: the lengths of demands as a row of numbers, and lists of such problems."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from gearplate.layout.certified.common import common_problem
from gearplate.layout.certified.problem import Apart, HullDisc, LayoutProblem, Outside, Within
from gearplate.layout.certified.rows import Array, Ints


def strengths(problem: LayoutProblem) -> Array:
    """The lengths of all demands and discs, mm: the larger, the more is asked. First those of `apart`."""
    return np.array(
        [
            *(pair.least_mm for pair in problem.apart),
            *(disc.radius_mm for disc in problem.hull),
            *(-limit.most_mm for limit in problem.within),
            *(side for box in problem.outside for side in (-box.x0_mm, -box.y0_mm, box.x1_mm, box.y1_mm)),
        ]
    )


def with_strengths(problem: LayoutProblem, lengths: Array) -> LayoutProblem:
    """The problem with these lengths, in the order of `strengths`. (Made anew, which takes a third of `replace`.)"""
    left = iter(lengths.tolist())
    return replace(
        problem,
        apart=tuple(Apart(pair.a, pair.b, next(left), pair.why) for pair in problem.apart),
        hull=tuple(HullDisc(disc.node, next(left)) for disc in problem.hull),
        within=tuple(Within(one.axis, one.sign, one.a, one.b, -next(left), one.why) for one in problem.within),
        outside=tuple(
            Outside(box.node, -next(left), -next(left), next(left), next(left), box.why) for box in problem.outside
        ),
    )


class Alike:
    """A list of problems to choose from; earlier ones are preferred where they come out equal."""

    def __init__(self, problems: Sequence[LayoutProblem]) -> None:
        self.problems = tuple(problems)
        numbers: dict[object, int] = {}
        self._kinds = np.array([numbers.setdefault(_kind(one), len(numbers)) for one in self.problems], dtype=np.int64)
        self._distances = [np.array([node.distance_mm for node in one.nodes]) for one in self.problems]
        self._strengths = [strengths(one) for one in self.problems]
        free = [[one.nodes[number].distance_mm for number in one.free] for one in self.problems]
        wide = max((len(row) for row in free), default=0)
        self._measures = np.array([row + [0.0] * (wide - len(row)) for row in free])

    @property
    def measures_mm(self) -> Array:
        """Distances of the free nodes."""
        return self._measures

    @property
    def kinds(self) -> Ints:
        return self._kinds

    def problem(self, number: int) -> LayoutProblem:
        return self.problems[number]

    def common(self, numbers: Ints) -> LayoutProblem:
        asked = np.stack([self._strengths[number] for number in numbers])
        first = self.problems[int(numbers[0])]
        distances = np.stack([self._distances[number] for number in numbers])
        least = with_strengths(first, asked.min(axis=0))
        return common_problem(least, distances, apart_mm=asked[:, : len(first.apart)])


def _kind(problem: LayoutProblem) -> object:
    """All of a problem but its lengths."""
    return (
        tuple(
            (node.name, node.at_mm, node.about, node.angle_rad, node.along, node.half_turn) for node in problem.nodes
        ),
        tuple((pair.a, pair.b) for pair in problem.apart),
        tuple(disc.node for disc in problem.hull),
        tuple((limit.axis, limit.sign, limit.a, limit.b) for limit in problem.within),
        tuple(box.node for box in problem.outside),
        problem.wish,
        problem.before_mm,
        problem.off,
        problem.caps,
    )
