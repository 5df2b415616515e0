"""Other layouts than the best: where that one has no room for standoffs or screws, the next best may."""

from __future__ import annotations

import math
from collections.abc import Mapping

import numpy as np

from gearplate.layout.certified.incumbent import MISS_MM, descents, starts
from gearplate.layout.certified.model import demands_missed, model_of, wish_value
from gearplate.layout.certified.problem import LayoutProblem
from gearplate.layout.certified.rows import Array

TRIES = 40
ROUNDS = 10
WORTH = 1.15  # of the smallest wish among them: a larger one will not come out smallest in the end
NEAR_TRIES, NEAR_MOST = 200, 3
NEAR_RAD = (0.05, 0.15, 0.3)
NEAR_WORTH = 1.04
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


def near_layouts(problem: LayoutProblem, best: Mapping[str, float], seed: int) -> list[dict[str, float]]:
    """Angles of layouts round about a good one that keep every demand: their hull is a little larger, but standoffs
    may find better places in them."""
    model = model_of(problem)
    names = [problem.nodes[number].name for number in problem.free]
    here = np.array([best[name] for name in names])
    random = np.random.default_rng(seed)
    turned = here + random.normal(0.0, 1.0, (NEAR_TRIES, len(names))) * random.choice(NEAR_RAD, (NEAR_TRIES, 1))
    kept = demands_missed(model, turned) <= MISS_MM
    value = wish_value(model, turned)
    first = np.argsort(value, kind="stable")
    rows = [int(row) for row in first if kept[row] and value[row] <= NEAR_WORTH * wish_value(model, here[None])[0]]
    picked = rows[:: max(1, math.ceil(len(rows) / NEAR_MOST))]
    return [dict(zip(names, (float(angle) for angle in turned[row]), strict=True)) for row in picked]


def _ordered(angles: Array, groups: tuple[tuple[int, ...], ...]) -> Array:
    """Equal motors in rising order: changing their places is no other layout."""
    angles = angles.copy()
    for group in groups:
        angles[list(group)] = np.sort(np.mod(angles[list(group)], 2 * math.pi))
    return angles
