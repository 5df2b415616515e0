"""What a train itself fixes: two shafts in mesh stand at one distance, wherever the layout turns them."""

from __future__ import annotations

from gearplate.layout.chain import links
from gearplate.layout.constraints import build_model
from gearplate.layout.spec import LayoutSpec
from gearplate.layout.stack import axial_stack


def fixed_miss_mm(spec: LayoutSpec) -> float:
    """By how much, in mm and in all, the gaps between shafts in mesh miss what is wanted: 0 = no layout is ruled out
    by them. A train that misses here misses in every layout."""
    distance = {frozenset((link.child, link.parent)): link.distance_mm for link in links(spec)}
    model = build_model(spec, axial_stack(spec), ())
    return sum(
        max(0.0, demand.least_mm - distance[pair])
        for demand in model.demands
        if (pair := frozenset((demand.a, demand.b))) in distance
    )
