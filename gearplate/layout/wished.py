"""How good a finished layout is by the job's wishes: standoffs placed, motors turned."""

from __future__ import annotations

import math

from gearplate.layout.arrange import hull_discs
from gearplate.layout.design import Layout
from gearplate.layout.spec import LayoutSpec, Least


def wished_sizes(spec: LayoutSpec, layout: Layout) -> tuple[float, ...]:
    """What each of the wishes comes to, in their order, mm2 or mm: the less the better."""
    return tuple(_size(spec, layout, least) for least in spec.wishes.least)


def _size(spec: LayoutSpec, layout: Layout, least: Least) -> float:
    at = {shaft.name: (shaft.x_mm, shaft.y_mm) for shaft in layout.shafts}
    if least is Least.HULL:
        return layout.hull_area_mm2
    if least is Least.MOVE:
        before = spec.wishes.before_mm
        return max((math.dist(at[name], place) for name, place in before.items() if name in at), default=0.0)
    axis = 0 if least is Least.WIDTH else 1
    discs = hull_discs(spec, layout.holes, layout.gears, at)
    return max(disc[axis] + disc[2] for disc in discs) - min(disc[axis] - disc[2] for disc in discs)
