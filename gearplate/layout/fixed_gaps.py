"""What a train itself fixes: two shafts in mesh stand at one distance, wherever the layout turns them, and the output's
gears stand as high as the axle."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from gearplate.layout.bodies import fixed_bodies
from gearplate.layout.chain import OUTPUT, links
from gearplate.layout.clearance import mate_names, may_meet, overlap_along_z, requirement
from gearplate.layout.constraints import bodies_by_shaft
from gearplate.layout.design import BodyKind
from gearplate.layout.floor import LEAST_MM
from gearplate.layout.spec import LayoutSpec
from gearplate.layout.stack import axial_stack

# By how much at most shifted teeth move two gears apart, in modules: no more is usual; common practice, no source.
SHIFTS_MODULES = 0.8


def fixed_miss_mm(spec: LayoutSpec) -> float:
    """By how much, in mm and in all, the gaps between shafts in mesh and over the floor miss what is wanted: 0 = no
    layout is ruled out by them. A train that misses here misses in every layout."""
    stack = axial_stack(spec)
    table = bodies_by_shaft(spec, stack)
    table[OUTPUT] += tuple(body for body in fixed_bodies(spec, stack) if body.shaft == OUTPUT)  # the wheel
    mates = mate_names(spec)
    largest = max((body.radius_mm for body in table[OUTPUT] if body.kind is BodyKind.GEAR), default=0.0)
    total = max(0.0, largest + LEAST_MM - 0.5 * spec.wheel.diameter_mm)
    for link in links(spec):
        miss = 0.0
        for body in table[link.child]:
            for other in table[link.parent]:
                need = requirement(body, other, spec)
                if need is None or not overlap_along_z(body, other, spec) or may_meet(body, other, mates):
                    continue
                # a square motor may be turned so that its side looks at the other
                least = body.least_radius_mm + other.least_radius_mm + need.gap_mm
                miss = max(miss, least - link.distance_mm)
        total += miss
    return total


@dataclass(frozen=True, slots=True)
class LeastGaps:
    """What any train must leave room for, as far as tooth counts alone can tell: the distance of a motor's axis from
    that of the first gear, and the room beside a driven gear's tips for the next shaft, mm."""

    module_mm: float
    motor_mm: float
    shaft_mm: float

    def allow(self, stages: Sequence[tuple[int, int]]) -> bool:
        """False where these (driver, driven) counts are ruled out whatever else holds: quick, for thousands of
        trains; `fixed_miss_mm` judges the rest."""
        slack = SHIFTS_MODULES * self.module_mm
        distances = [0.5 * self.module_mm * (driver + driven) + slack for driver, driven in stages]
        tips = [self.module_mm * (0.5 * driven + 1.0) for _, driven in stages]
        return distances[0] >= self.motor_mm and all(
            distance >= tip + self.shaft_mm for tip, distance in zip(tips, distances[1:], strict=False)
        )


def least_gaps(spec: LayoutSpec) -> LeastGaps:
    """The least gaps of a job, taken from any one of its trains."""
    table = bodies_by_shaft(spec, axial_stack(spec))
    motor = shaft = 0.0
    names = {one.name for one in spec.motors}
    for link in links(spec):
        for body in table[link.child]:
            for other in table[link.parent]:
                if BodyKind.GEAR is other.kind or not overlap_along_z(body, other, spec):
                    continue
                need = requirement(body, other, spec)
                if need is not None and link.child in names and body.kind is not BodyKind.GEAR:
                    motor = max(motor, body.least_radius_mm + other.least_radius_mm + need.gap_mm)
                if need is not None and link.child not in names and body.kind is BodyKind.GEAR:
                    shaft = max(shaft, other.radius_mm + need.gap_mm) if need.check == "gear-to-shaft" else shaft
    return LeastGaps(spec.motors[0].pinion.system.module_mm, motor, shaft)
