"""Which hole of an old plate became which of a new one, where their names are only numbers.

The tool numbers standoffs, rail holes, a motor's screws, access holes and windows in an order of its own. One more
standoff may shift all the numbers; by name every hole would then seem to have moved across the plate.
"""

from __future__ import annotations

import itertools
import math
import re
from collections.abc import Callable, Sequence
from typing import Any

Feature = dict[str, Any]
_NUMBERED_KINDS = {"standoff", "rail_hole", "motor_screw", "access", "window"}
_OF_A_MOTOR = {"motor_screw", "access"}
_NUMBER = re.compile(r"(.+)-([0-9]+)")


def numbered_as(feature: Feature) -> tuple[str, str] | None:
    """(kind, name without its number) of a hole that the tool numbers; None where the name is the hole's own."""
    found = _NUMBER.fullmatch(feature["id"]) if feature["kind"] in _NUMBERED_KINDS else None
    return None if found is None else (feature["kind"], found[1])


def number_of(feature: Feature) -> int:
    """2 of "standoff-2"."""
    return int(feature["id"].rpartition("-")[2])


def paired(
    old: Sequence[Feature], new: Sequence[Feature], same: Callable[[Feature, Feature], bool]
) -> list[tuple[Feature, Feature]]:
    """Pairs (old, new) of one group: first those that cut the `same` contour, then so that no two pairs would come
    shorter by swapping, a motor's screws as seen from their middle. Where that leaves a choice, equal names stay
    together. What is left over has no pair."""
    left, pairs = list(new), []
    rest: list[Feature] = []
    for feature in old:
        alike = [other for other in left if same(feature, other)]
        twin = next((other for other in alike if other["id"] == feature["id"]), alike[0] if alike else None)
        if twin is None:
            rest.append(feature)
        else:
            left.remove(twin)
            pairs.append((feature, twin))
    shift = (0.0, 0.0)
    if old and new and old[0]["kind"] in _OF_A_MOTOR:  # where that has moved, they have moved with it
        (x0, y0), (x1, y1) = _middle(old), _middle(new)
        shift = (x1 - x0, y1 - y0)
    return pairs + _nearest(rest, left, shift)


def _middle(features: Sequence[Feature]) -> tuple[float, float]:
    count = len(features)
    return sum(one["x_mm"] for one in features) / count, sum(one["y_mm"] for one in features) / count


def _nearest(old: list[Feature], new: list[Feature], shift: tuple[float, float]) -> list[tuple[Feature, Feature]]:
    def apart(before: Feature | None, after: Feature | None) -> float:
        if before is None or after is None:
            return 0.0
        return math.hypot(after["x_mm"] - before["x_mm"] - shift[0], after["y_mm"] - before["y_mm"] - shift[1])

    by_name = {feature["id"]: feature for feature in new}
    befores: list[Feature | None] = [*old]
    afters = [by_name.pop(feature["id"], None) for feature in old]
    spare: list[Feature | None] = list(by_name.values())
    afters = [spare.pop(0) if feature is None and spare else feature for feature in afters] + spare
    befores += [None] * (len(afters) - len(befores))
    shorter = True
    while shorter:  # ends: every swap shortens the whole by more than a rounding
        shorter = False
        for i, j in itertools.combinations(range(len(befores)), 2):
            now = apart(befores[i], afters[i]) + apart(befores[j], afters[j])
            if apart(befores[i], afters[j]) + apart(befores[j], afters[i]) < now - 1e-6:
                afters[i], afters[j] = afters[j], afters[i]
                shorter = True
    return [(a, b) for a, b in zip(befores, afters, strict=True) if a is not None and b is not None]
