"""Other tooth counts where the distance of two shafts is too small for what stands on them."""

from __future__ import annotations

import math
from dataclasses import replace
from typing import TYPE_CHECKING

from gearplate.checks.job_keys import gear_settings, remedies
from gearplate.checks.mated import not_undercut
from gearplate.finding import Remedy

if TYPE_CHECKING:
    from fractions import Fraction

    from gearplate.checks.subject import Subject
    from gearplate.gears.spec import GearSpec
    from gearplate.layout.clearance import Pair
    from gearplate.layout.design import GearOnShaft, PlacedMesh

LEAST_TEETH = 10
MOST_RATIO = 1.3
"""A count that changes the ratio by more makes another drive of it: offered after the others only."""
FAR_RATIO = 3.0
"""One that changes it by more is no remedy at all."""


def count_remedies(subject: Subject, pair: Pair) -> list[Remedy]:
    """Tooth counts that give the two bodies of a pair their gap. Only where the teeth of one mesh fix the distance of
    the pair's shafts: a smaller gear where a gear of another stage is in the way, a larger driven gear in that mesh,
    then a larger driver."""
    from gearplate.layout.design import BodyKind

    short = pair.need.gap_mm - pair.gap_mm
    between = _mesh_between(subject, pair.a.shaft, pair.b.shaft)
    if between is None or short <= 0.0:
        return []
    found: list[Remedy] = []
    for body in (pair.a, pair.b):
        if body.kind is not BodyKind.GEAR:
            continue
        gear = next(
            g for g in subject.layout.gears if g.shaft == body.shaft and body.name.endswith(f" {g.gear.teeth}T")
        )
        if gear not in (between.driver, between.driven):
            found += with_count(subject, gear, -teeth_for(gear, short))
    for gear in (between.driven, between.driver):
        found += with_count(subject, gear, teeth_for(gear, short))
    return found


def far_count_remedies(subject: Subject, pair: Pair) -> list[Remedy]:
    """The least count of the driven gear with which the pair has its gap, where that makes another drive of it: who
    typed a count that cannot fit wants to know the first one that does."""
    short = pair.need.gap_mm - pair.gap_mm
    between = _mesh_between(subject, pair.a.shaft, pair.b.shaft)
    if between is None or short <= 0.0:
        return []
    gear = between.driven
    return with_count(subject, gear, teeth_for(gear, short), far=True)


def _mesh_between(subject: Subject, one: str | None, other: str | None) -> PlacedMesh | None:
    ends = {one, other}
    return next((mesh for mesh in subject.layout.meshes if {mesh.driver.shaft, mesh.driven.shaft} == ends), None)


def teeth_for(gear: GearOnShaft, length_mm: float) -> int:
    """How many teeth make the radius so much larger: half a module each. Even where the gear's count is: large gears
    are mostly kept so."""
    count = math.ceil(2.0 * length_mm / gear.gear.system.module_mm - 1e-9)
    return count + count % 2 if gear.gear.teeth % 2 == 0 else count


def with_count(
    subject: Subject, gear: GearOnShaft, more: int, far: bool = False, shift: float | None = None
) -> list[Remedy]:
    """The gear with so many more (or fewer) teeth, and what that makes of the ratio. `far`: only where the ratio
    becomes quite another, else only where it does not. `shift`: the profile shift that it is to have, in modules."""
    spec = subject.layout_spec
    teeth = gear.gear.teeth + more
    if teeth < LEAST_TEETH:
        return []
    if shift is None and more < 0 and not not_undercut(with_teeth(subject, gear.gear, teeth)):
        return []  # what mends one rule and breaks another is no remedy
    motors = {motor.name for motor in spec.motors}
    shafts = [motor.name for motor in spec.motors] if gear.shaft in motors else [gear.shaft]
    ratio = _ratio_with(subject, gear, teeth)
    change = ratio / _ratio_with(subject, gear, gear.gear.teeth)
    change = max(change, 1 / change)
    if far != (change > MOST_RATIO) or change > FAR_RATIO:
        return []
    becomes = "the ratio becomes" if far else "ratio"
    cut = "" if shift is None else f", cut with a profile shift of {shift:g} modules,"
    text = f"Take {teeth} teeth{cut} instead of {gear.gear.teeth} on {gear.shaft} ({becomes} {float(ratio):.4g} to 1)."
    ways = gear_settings(subject, shafts, gear.stage, "teeth", teeth)
    if shift is None:
        return remedies(text, ways)
    shifts = gear_settings(subject, shafts, gear.stage, "shift", shift)
    return remedies(text, ((*count, *cut_so) for count, cut_so in zip(ways, shifts, strict=True)))


def with_teeth(subject: Subject, gear: GearSpec, teeth: int) -> GearSpec:
    """The gear with another count: as the gear catalogue has it, if this one is from there or a plain one."""
    if gear.source or not gear.shift:
        gear = replace(gear, shift=0.0, source="", tip_diameter_mm=None)
    return subject.pinion_had(replace(gear, teeth=teeth))


def _ratio_with(subject: Subject, changed: GearOnShaft, teeth: int) -> Fraction:
    """Speed of the first motor over that of the output with another count on one gear; idlers do not count."""
    from fractions import Fraction  # here, because `explain` loads the rules' texts and no more

    spec = subject.layout_spec
    ratio = Fraction(1)
    for index, stage in enumerate(spec.train.stages):
        first = index == 0 or stage.driver is None
        driver = spec.motors[0].pinion if first else stage.driver
        assert driver is not None
        counts = [stage.driven.teeth, driver.teeth]
        if changed.stage == index + 1:
            if changed.gear == stage.driven:
                counts[0] = teeth
            elif changed.gear == driver:
                counts[1] = teeth
        ratio *= Fraction(counts[0], counts[1])
    return ratio
