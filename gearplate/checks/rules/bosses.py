"""A motor's pilot boss and its own pinion: on one axis, so that only z keeps them apart."""

from __future__ import annotations

from typing import TYPE_CHECKING

from gearplate.checks.job_keys import chain_of, rounded_up
from gearplate.checks.rule import Outcome
from gearplate.finding import Finding, Remedy, Severity, Standing, Where

if TYPE_CHECKING:
    from gearplate.checks.subject import Subject

TOUCHING_MM = 1e-6


def own_bosses(subject: Subject) -> Outcome:
    """From the top of each motor's pilot boss to its own pinion."""
    from gearplate.checks.rules.axial import plan_of

    pinions, wanted = plan_of(subject).pinions, subject.layout_spec.clearances.axial_mm
    near = [pinion for pinion in pinions if pinion.boss_room_mm < wanted - TOUCHING_MM]
    near = [pinion for pinion in near if not _told_of_its_mate(subject, pinion.motor)]
    if not near:
        return Outcome(len(pinions))
    room = min(pinion.boss_room_mm for pinion in near)
    names = tuple(pinion.motor for pinion in near)
    shaft = subject.layout.shaft(names[0])
    touches = room < TOUCHING_MM
    more = Remedy(
        "Leave more room beside the gears.",
        (("clearances.axial", rounded_up(2.0 * wanted - room, subject.unit)),),
    )
    remedy, others = chain_of([more] if subject.layout_spec.gap_mm is None else [])
    finding = Finding(
        "gear-to-body",
        Severity.ERROR if touches else Severity.WARNING,
        f"the pilot boss of {' and '.join(names)} "
        + (f"stands {-room:.3f} mm in its pinion." if touches else f"ends {room:.3f} mm before its pinion."),
        Where(shafts=names, x_mm=shaft.x_mm, y_mm=shaft.y_mm),
        room,
        0.0 if touches else wanted,
        "mm",
        Standing.GEOMETRY if touches else Standing.COMMON_PRACTICE,
        remedy,
        others,
    )
    return Outcome(len(pinions), (finding,))


def _told_of_its_mate(subject: Subject, motor: str) -> bool:
    """Whether the boss comes too near to the gear that the pinion drives as well: that is told already."""
    from gearplate.layout.design import BodyKind

    clear = subject.layout_spec.clearances
    bosses = [body for body in subject.layout.bodies if body.kind is BodyKind.PILOT and body.shaft == motor]
    return any(
        mesh.driver.shaft == motor
        and boss.z0_mm < mesh.driven.z1_mm + clear.axial_mm - TOUCHING_MM
        and boss.z1_mm > mesh.driven.z0_mm - clear.axial_mm + TOUCHING_MM
        and mesh.centre_mm < 0.5 * mesh.driven.tip_diameter_mm + boss.radius_mm + clear.gear_tip_mm
        for mesh in subject.layout.meshes
        for boss in bosses
    )
