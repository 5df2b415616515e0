"""Give a little of the best value for room: a plate that touches every limit is fragile.

The smallest clearance beyond what is demanded is raised as far as the share that may be spent allows. A descent looks
for it; nothing is proven about how far it could be raised.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

import numpy as np

from gearplate.layout.certified.incumbent import polish
from gearplate.layout.certified.model import model_of
from gearplate.layout.certified.problem import Apart, Cap, LayoutProblem, Wish
from gearplate.layout.certified.rows import Array, tree_of

MOST_MM = 2.0  # more room than that is of no use to a gearbox; common practice, no source
LEAST_MM = 0.01
STEPS = 7
SPREAD_RAD = 0.03
TRIES = 6


def with_room(
    problem: LayoutProblem, angles_rad: Mapping[str, float], values: Mapping[Wish, float], share: float, seed: int
) -> tuple[dict[str, float], float] | None:
    """The layout near the one given in which every demand that the angles can change has the most room, and that
    room (mm); no value grows by more than `share`. None where there is no room to be had."""
    names = [problem.nodes[number].name for number in problem.free]
    if share <= 0.0 or not names:
        return None
    caps = tuple(Cap(wish, value * (1.0 + share), "what may be spent") for wish, value in values.items())
    capped = replace(problem, caps=(*problem.caps, *caps))
    here = np.array([angles_rad[name] for name in names])
    spread = np.random.default_rng(seed).normal(0.0, SPREAD_RAD, (TRIES, len(names)))
    low, high, best = 0.0, MOST_MM, None
    for step in range(STEPS):
        room = high if step == 0 else 0.5 * (low + high)
        model = model_of(_roomier(capped, room))
        near = here if best is None else best
        found = polish(model, np.concatenate([near[None, :], near + spread]), 30)
        if found is None:
            high = room
        else:
            low, best = room, found.angles_rad
            if step == 0:
                break
    if best is None or low < LEAST_MM:
        return None
    return dict(zip(names, (float(angle) for angle in best), strict=True)), low


def _roomier(problem: LayoutProblem, room_mm: float) -> LayoutProblem:
    """The same demands, each with so much more room, as far as angles can change them."""
    tree = tree_of(problem)

    def changes(still: Array, reach: Array) -> bool:
        return bool(np.count_nonzero(reach) >= 2 or (reach.any() and still.any()))

    def wider(pair: Apart) -> Apart:
        still, reach = tree.still[pair.a] - tree.still[pair.b], tree.reach[pair.a] - tree.reach[pair.b]
        return replace(pair, least_mm=pair.least_mm + room_mm) if changes(still, reach) else pair

    outside = tuple(
        replace(
            box,
            x0_mm=box.x0_mm - room_mm,
            y0_mm=box.y0_mm - room_mm,
            x1_mm=box.x1_mm + room_mm,
            y1_mm=box.y1_mm + room_mm,
        )
        if tree.reach[box.node].any()
        else box
        for box in problem.outside
    )
    within = tuple(
        replace(limit, most_mm=limit.most_mm - room_mm)
        if (tree.reach[limit.a] - (tree.reach[limit.b] if limit.b is not None else 0.0)).any()
        else limit
        for limit in problem.within
    )
    off = tuple(replace(one, least_mm=one.least_mm + room_mm) for one in problem.off)
    return replace(problem, apart=tuple(map(wider, problem.apart)), within=within, outside=outside, off=off)
