"""What a train itself fixes: two shafts in mesh stand at one distance, wherever the layout turns them, and the output's
gears stand as high as the axle."""

from __future__ import annotations

from gearplate.layout.bodies import fixed_bodies
from gearplate.layout.chain import OUTPUT, links
from gearplate.layout.clearance import mate_names, may_meet, overlap_along_z, requirement
from gearplate.layout.constraints import bodies_by_shaft
from gearplate.layout.design import BodyKind
from gearplate.layout.spec import LayoutSpec
from gearplate.layout.stack import axial_stack

FLOOR_MM = 3.0  # under the output's gears, as the check of the ground wants it; common practice, no source


def fixed_miss_mm(spec: LayoutSpec) -> float:
    """By how much, in mm and in all, the gaps between shafts in mesh and over the floor miss what is wanted: 0 = no
    layout is ruled out by them. A train that misses here misses in every layout."""
    stack = axial_stack(spec)
    table = bodies_by_shaft(spec, stack)
    table[OUTPUT] += tuple(body for body in fixed_bodies(spec, stack) if body.shaft == OUTPUT)  # the wheel
    mates = mate_names(spec)
    largest = max((body.radius_mm for body in table[OUTPUT] if body.kind is BodyKind.GEAR), default=0.0)
    total = max(0.0, largest + FLOOR_MM - 0.5 * spec.wheel.diameter_mm)
    for link in links(spec):
        miss = 0.0
        for body in table[link.child]:
            for other in table[link.parent]:
                need = requirement(body, other, spec)
                if need is None or not overlap_along_z(body, other, spec) or may_meet(body, other, mates):
                    continue
                miss = max(miss, body.radius_mm + other.radius_mm + need.gap_mm - link.distance_mm)
        total += miss
    return total
