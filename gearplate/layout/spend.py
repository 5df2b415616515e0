"""Give a little of the best value for room: a plate that touches every limit is fragile.

The smallest clearance beyond what is demanded is raised as far as the share that may be spent allows. A descent looks
for it; nothing is proven about how far it could be raised.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import replace

import numpy as np

from gearplate.layout.certified.incumbent import polish
from gearplate.layout.certified.model import model_of
from gearplate.layout.certified.problem import Apart, Cap, LayoutProblem
from gearplate.layout.certified.rows import Array, tree_of
from gearplate.layout.clearance import POSTS
from gearplate.layout.constraints import Model
from gearplate.layout.design import Layout, Stack
from gearplate.layout.misses import placed_pairs
from gearplate.layout.proof import ALL_ANGLES, WISHES, angles_of, value_of
from gearplate.layout.question import question_of
from gearplate.layout.screws import with_screws
from gearplate.layout.spec import LayoutSpec

MOST_MM = 2.0  # more room than that is of no use to a gearbox; common practice, no source
LEAST_MM = 0.01
STEPS = 6
SPREAD_RAD = 0.03
TRIES = 3


def spend(spec: LayoutSpec, stack: Stack, sure: Model, layout: Layout) -> dict[str, float] | None:
    """Angles of a layout with more room in which no wish grows by more than the share that may be spent; None where
    there is none to be had."""
    share = spec.wishes.spend
    if share <= 0.0:
        return None
    problem = question_of(spec, stack, sure, before=spec.wishes.before_mm)
    problem = with_screws(problem, spec, stack, ALL_ANGLES)
    angles = angles_of(problem, layout)
    caps = [
        Cap(WISHES[least], value_of(problem, WISHES[least], angles) * (1.0 + share), "what may be spent")
        for least in spec.wishes.least
    ]
    return with_room(replace(problem, caps=tuple(caps)), angles, spec.seed)


def least_room_mm(spec: LayoutSpec, layout: Layout) -> float:
    """The smallest gap beyond what is demanded, of what stands on different shafts of which one is free; standoffs are
    left out, which are set as near as they may."""
    free = {shaft.name for shaft in layout.shafts if shaft.free}
    room = [
        pair.gap_mm - pair.need.gap_mm
        for pair in placed_pairs(spec, layout)
        if pair.a.shaft != pair.b.shaft
        and free & {pair.a.shaft, pair.b.shaft}
        and not {pair.a.kind, pair.b.kind} & POSTS
    ]
    return min(room, default=math.inf)


def with_room(problem: LayoutProblem, angles_rad: Mapping[str, float], seed: int) -> dict[str, float] | None:
    """The layout near the one given in which every demand that the angles can change has the most room, within the
    caps of the problem. None where there is no room to be had."""
    names = [problem.nodes[number].name for number in problem.free]
    if not names:
        return None
    here = np.array([angles_rad[name] for name in names])
    spread = np.random.default_rng(seed).normal(0.0, SPREAD_RAD, (TRIES, len(names)))
    low, high, best = 0.0, MOST_MM, None
    for step in range(STEPS):
        room = high if step == 0 else 0.5 * (low + high)
        model = model_of(_roomier(problem, room))
        near = here if best is None else best
        found = polish(model, np.concatenate([near[None, :], near + spread]), 24)
        if found is None:
            high = room
        else:
            low, best = room, found.angles_rad
            if step == 0:
                break
    if best is None or low < LEAST_MM:
        return None
    return dict(zip(names, (float(angle) for angle in best), strict=True))


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
