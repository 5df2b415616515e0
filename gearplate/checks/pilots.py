"""Pinions that pass the pilot's hole of their motor, where the one that the job has does not."""

from __future__ import annotations

import math
from dataclasses import replace
from typing import TYPE_CHECKING

from gearplate.checks.counts import LEAST_TEETH, teeth_for, with_count, with_teeth
from gearplate.checks.mated import TOUCHING_MM, not_undercut, shift_that_does
from gearplate.finding import Remedy

if TYPE_CHECKING:
    from gearplate.checks.subject import Subject
    from gearplate.gears.spec import GearSpec
    from gearplate.layout.design import GearOnShaft

SAME_SIZE_MM = 0.05  # of a bore and the shaft in it
LONG_SHIFT = 0.5  # of bought pinions of few teeth, in modules; common practice, no source


def passing_teeth(pinion: GearOnShaft, hole_mm: float) -> int:
    """The most teeth with which a pinion of this tooth size passes a hole: tips of (z + 2 + 2 x) modules. Small bought
    ones are mostly cut long, so at least half a module of shift is allowed for."""
    shift = max(pinion.gear.shift, LONG_SHIFT)
    return math.floor((hole_mm + TOUCHING_MM) / pinion.gear.system.module_mm - 2.0 - 2.0 * shift)


def what_passes(subject: Subject, pinion: GearOnShaft, hole_mm: float) -> str:
    """In words, which pinion would come out through the hole; where it would be undercut, the shift that it wants."""
    teeth, module = passing_teeth(pinion, hole_mm), pinion.gear.system.module_mm
    if teeth >= pinion.gear.teeth:
        return f"Tips of {hole_mm:.3f} mm would pass"
    if teeth >= LEAST_TEETH:
        gear = with_teeth(subject, pinion.gear, teeth)
        wants = "" if not_undercut(gear) else f", with a profile shift of {shift_that_does(gear):g} modules,"
        return f"{teeth} teeth of module {module:g}{wants} would pass"
    finest = math.floor(hole_mm / (LEAST_TEETH + 2.0 + 2.0 * LONG_SHIFT) * 100.0) / 100.0
    return f"No pinion of module {module:g} with {LEAST_TEETH} teeth would pass, one of module {finest:g} would"


def smaller_pinions(subject: Subject, pinion: GearOnShaft, hole_mm: float) -> list[Remedy]:
    """Counts that pass, the nearest to the ratio first; one that would be undercut with the shift that it wants, if it
    passes even so. Where the job asks for a reduction: those of its pinions that pass."""
    fewer = passing_teeth(pinion, hole_mm) - pinion.gear.teeth
    if fewer >= 0:  # its tips are longer than usual: a count less may do
        fewer = -teeth_for(pinion, 0.5 * (pinion.tip_diameter_mm - hole_mm))
    cures = _among_wished(subject, pinion.gear, hole_mm)
    gear = with_teeth(subject, pinion.gear, pinion.gear.teeth + fewer)
    shift = None if not_undercut(gear) else shift_that_does(gear)
    if shift is None or _tip_mm(replace(gear, shift=shift)) <= hole_mm + TOUCHING_MM:
        cures += with_count(subject, pinion, fewer, shift=shift) or with_count(
            subject, pinion, fewer, far=True, shift=shift
        )
    return cures or [Remedy("Take finer teeth in the first stage, or a motor with a wider pilot.")]


def _among_wished(subject: Subject, pinion: GearSpec, hole_mm: float) -> list[Remedy]:
    """A reduction that chooses among those pinions alone that pass, are not undercut and are to be had for the motor's
    shaft, if the job leaves the choice to the tool."""
    gears = [with_teeth(subject, pinion, teeth) for teeth in subject.wished_pinions]
    small = [gear for gear in gears if gear.teeth >= LEAST_TEETH and _tip_mm(gear) <= hole_mm + TOUCHING_MM]
    passing = [gear.teeth for gear in small if not_undercut(gear) and _has_bore(subject, gear)]
    if not passing or len(gears) < 2:
        return []
    text = f"Let the tool choose among the pinions that pass: {' or '.join(str(teeth) for teeth in passing)} teeth."
    return [Remedy(text, (("reduction.pinions", passing),))]


def _has_bore(subject: Subject, gear: GearSpec) -> bool:
    bores = subject.gear_bores.get(gear.source, ())
    shafts = [motor.motor.shaft_diameter_mm for motor in subject.layout_spec.motors]
    return not bores or all(
        any(not bore.hexagonal and abs(bore.across_mm - shaft) <= SAME_SIZE_MM for bore in bores) for shaft in shafts
    )


def _tip_mm(gear: GearSpec) -> float:
    if gear.tip_diameter_mm is not None:
        return gear.tip_diameter_mm
    return (gear.teeth + 2.0 + 2.0 * gear.shift) * gear.system.module_mm
