"""Distances that a train fixes, as sums that can be done again by hand: how far two axes ever stand apart, and how far
they would have to."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass

from gearplate.layout.chain import OUTPUT, MeshNeed, known_places, mesh_needs
from gearplate.layout.design import Body, BodyKind
from gearplate.layout.grounds import Ground, What
from gearplate.layout.spec import LayoutSpec


@dataclass(frozen=True, slots=True)
class Sum:
    """Axes `a` and `b` need `least_mm` for `parts` (and the gap between them, `gap_mm`); at most they stand as far
    apart as the centre distances `meshes` in a row, or, where the job gives all places between, `placed_mm`.

    `teeth` of all gears on the way; `enough_teeth` with which the distance would do (None: tooth sizes differ, or the
    gears themselves are what needs the room)."""

    a: str
    b: str
    parts: tuple[Body, ...]
    gap_mm: float
    least_mm: float
    meshes: tuple[MeshNeed, ...] = ()
    placed_mm: float | None = None
    enough_teeth: int | None = None

    @property
    def furthest_mm(self) -> float:
        """As far apart as the two axes can stand, mm."""
        return sum(need.centre_mm for need in self.meshes) if self.placed_mm is None else self.placed_mm

    @property
    def teeth(self) -> int:
        """Of all gears on the way together."""
        return sum(need.driver.teeth + need.driven.teeth for need in self.meshes)


def sums_of(spec: LayoutSpec, grounds: Iterable[Ground]) -> tuple[Sum, ...]:
    """The sums of those grounds that fail by their distances alone, wherever the rest stands."""
    found = []
    known = known_places(spec)
    every = tuple(grounds)
    others = [one for one in every if one.what is not What.PLACE]
    for one in others:
        if not one.parts or len(one.shafts) != 2:
            continue
        a, b = one.shafts
        gap = one.least_mm - sum(part.radius_mm for part in one.parts)
        if len(others) == 1 and a in known and b in known:
            apart = math.dist(known[a], known[b])
            if apart < one.least_mm:
                found.append(Sum(a, b, one.parts, gap, one.least_mm, placed_mm=apart))
                continue
        meshes = _way(spec, a, b)
        furthest = sum(need.centre_mm for need in meshes)
        if meshes and furthest < one.least_mm:
            found.append(Sum(a, b, one.parts, gap, one.least_mm, meshes, None, _teeth(meshes, one)))
    return tuple(found)


def _way(spec: LayoutSpec, a: str, b: str) -> tuple[MeshNeed, ...]:
    """The meshes between two axes, from `a` on; none where a shaft on the way has coordinates of its own, and so need
    not stand at its centre distance."""
    by_child = {need.driver_shaft: need for need in mesh_needs(spec)}
    lines: list[list[str]] = []
    for name in (a, b):
        line = [name]
        while line[-1] != OUTPUT:
            line.append(by_child[line[-1]].driven_shaft)
        lines.append(line)
    shared = set(lines[0]) & set(lines[1])
    first, second = ([name for name in line if name not in shared] for line in lines)
    way = [*first, *reversed(second)]
    places = [spec.places.get(name) for name in way]
    if any(place is not None and place.x_mm is not None for place in places):
        return ()
    return tuple(by_child[name] for name in way)


def _teeth(meshes: tuple[MeshNeed, ...], ground: Ground) -> int | None:
    """The least sum of all counts with which the centre distances reach as far as they must: half a module a tooth."""
    modules = {need.driver.system.module_mm for need in meshes} | {need.driven.system.module_mm for need in meshes}
    if len(modules) > 1 or any(part.kind is BodyKind.GEAR for part in ground.parts):
        return None
    short = ground.least_mm - sum(need.centre_mm for need in meshes)
    return sum(need.driver.teeth + need.driven.teeth for need in meshes) + math.ceil(2.0 * short / modules.pop() - 1e-9)
