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
    shorter by swapping. Where that leaves a choice, equal names stay together. What is left over has no pair."""
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
    return pairs + _nearest(rest, left)


def _nearest(old: list[Feature], new: list[Feature]) -> list[tuple[Feature, Feature]]:
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
            now = _apart(befores[i], afters[i]) + _apart(befores[j], afters[j])
            if _apart(befores[i], afters[j]) + _apart(befores[j], afters[i]) < now - 1e-6:
                afters[i], afters[j] = afters[j], afters[i]
                shorter = True
    return [(a, b) for a, b in zip(befores, afters, strict=True) if a is not None and b is not None]


def _apart(old: Feature | None, new: Feature | None) -> float:
    return 0.0 if old is None or new is None else math.hypot(new["x_mm"] - old["x_mm"], new["y_mm"] - old["y_mm"])
