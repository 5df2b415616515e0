"""Other layouts than the best: where that one has no room for standoffs or screws, the next best may."""

from __future__ import annotations

import math
from collections.abc import Mapping

import numpy as np

from gearplate.layout.certified.incumbent import MISS_MM, descents, starts
from gearplate.layout.certified.model import model_of, wish_value
from gearplate.layout.certified.problem import LayoutProblem
from gearplate.layout.certified.rows import Array

TRIES = 40
ROUNDS = 10
WORTH = 1.15  # of the smallest wish among them: a larger one will not come out smallest in the end
APART_RAD = math.radians(5)


def other_layouts(
    problem: LayoutProblem, best: Mapping[str, float], seed: int, most: int = 5
) -> list[dict[str, float]]:
    """Angles by node of layouts that keep every demand, the smallest wish first; any two, the `best` among them, differ
    by five degrees somewhere. Found by descent from random starts: nothing is proven about them."""
    model = model_of(problem)
    if not model.free:
        return []
    random = np.random.default_rng(seed)
    begin = starts(model, 200 * model.free, TRIES, random)
    ends, missed = descents(model, begin, ROUNDS)
    ends = ends[missed <= MISS_MM]
    value = wish_value(model, ends) if len(ends) else np.zeros(0)
    names = [problem.nodes[number].name for number in problem.free]
    known = [_ordered(np.array([best[name] for name in names]), model.groups)]
    found: list[Array] = []
    for row in np.argsort(value, kind="stable"):
        if len(found) == most or value[row] > WORTH * value.min():
            break
        angles = _ordered(ends[row], model.groups)
        away = [np.abs(np.remainder(angles - other + math.pi, 2 * math.pi) - math.pi).max() for other in known]
        if all(one > APART_RAD for one in away):
            found.append(angles)
            known.append(angles)
    return [dict(zip(names, (float(angle) for angle in one), strict=True)) for one in found]


def _ordered(angles: Array, groups: tuple[tuple[int, ...], ...]) -> Array:
    """Equal motors in rising order: changing their places is no other layout."""
    angles = angles.copy()
    for group in groups:
        angles[list(group)] = np.sort(np.mod(angles[list(group)], 2 * math.pi))
    return angles
