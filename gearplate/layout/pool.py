"""Other layouts than the best: where that one has no room for standoffs or screws, the next best may."""

from __future__ import annotations

import math

import numpy as np

from gearplate.layout.certified.incumbent import MISS_MM, descents, starts
from gearplate.layout.certified.model import model_of, wish_value
from gearplate.layout.certified.problem import LayoutProblem

TRIES = 40
ROUNDS = 12
APART_RAD = math.radians(5)


def other_layouts(problem: LayoutProblem, seed: int, most: int = 6) -> list[dict[str, float]]:
    """Angles by node of layouts that keep every demand, the smallest wish first; any two differ by five degrees
    somewhere. Found by descent from random starts: nothing is proven about them."""
    model = model_of(problem)
    if not model.free:
        return []
    random = np.random.default_rng(seed)
    begin = starts(model, 200 * model.free, TRIES, random)
    ends, missed = descents(model, begin, ROUNDS)
    ends = ends[missed <= MISS_MM]
    value = wish_value(model, ends) if len(ends) else np.zeros(0)
    found: list[np.ndarray[tuple[int, ...], np.dtype[np.float64]]] = []
    for row in np.argsort(value, kind="stable"):
        angles = ends[row].copy()
        for group in model.groups:  # equal motors in rising order: changing their places is no other layout
            angles[list(group)] = np.sort(np.mod(angles[list(group)], 2 * math.pi))
        away = [np.abs(np.remainder(angles - other + math.pi, 2 * math.pi) - math.pi).max() for other in found]
        if all(one > APART_RAD for one in away):
            found.append(angles)
        if len(found) == most:
            break
    names = [problem.nodes[number].name for number in problem.free]
    return [dict(zip(names, (float(angle) for angle in one), strict=True)) for one in found]
