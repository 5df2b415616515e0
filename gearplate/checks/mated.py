"""Meshes of a design as the rules on gears see them: which can be judged, which are alike, and what shift would do."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import replace
from typing import TYPE_CHECKING

from gearplate.checks.job_keys import Setting, gear_settings, remedies
from gearplate.finding import Remedy, Severity, Where

if TYPE_CHECKING:
    from gearplate.checks.subject import Subject
    from gearplate.gears.spec import GearSpec
    from gearplate.layout.chain import MeshNeed
    from gearplate.layout.design import PlacedMesh

    Mated = tuple[PlacedMesh, MeshNeed]

PLACED_MM = 0.05
LEAST_CONTACT = 1.0
TOUCHING_MM = 1e-6
UNDERCUT_MODULES = 0.02
SHIFT_STEP = 0.05


def alike(subject: Subject) -> list[Mated]:
    """Meshes whose two gears have the same tooth size and pressure angle: only those can be judged any further."""
    return [pair for pair in subject.meshes if pair[0].driver.gear.system == pair[0].driven.gear.system]


def runs(placed: PlacedMesh) -> bool:
    """Whether there is backlash and unbroken contact."""
    return placed.mesh.backlash_operating_mm >= TOUCHING_MM and placed.mesh.contact_ratio >= LEAST_CONTACT


def misplaced(pair: Mated) -> Severity | None:
    """How bad it is that the shafts do not stand as far apart as the job's own added centre distance says; None where
    they do. A mesh that would not run at the wanted distance either is left to the other checks."""
    placed, need = pair
    off = placed.centre_mm - need.centre_mm
    if abs(off) < TOUCHING_MM:
        return None
    if not runs(placed) and need.centre_mm > placed.mesh.tightest_centre_mm:
        return Severity.ERROR
    return Severity.WARNING if abs(off) > PLACED_MM + TOUCHING_MM else None


def well_placed(subject: Subject) -> list[Mated]:
    """Alike meshes that mesh-centre does not already tell."""
    return [pair for pair in alike(subject) if misplaced(pair) is None]


def gear_name(shaft: str, gear: GearSpec) -> str:
    """ "S1 72T"."""
    return f"{shaft} {gear.teeth}T"


def mesh_names(placed: PlacedMesh) -> str:
    """ "M1 12T and S1 72T"."""
    return (
        f"{gear_name(placed.driver.shaft, placed.driver.gear)} and {gear_name(placed.driven.shaft, placed.driven.gear)}"
    )


def same_meshes(pairs: Iterable[Mated]) -> list[list[Mated]]:
    """Meshes that are equal in all that counts, together: three motors on one gear are told once."""
    groups: dict[object, list[Mated]] = {}
    for pair in pairs:
        placed = pair[0]
        key = (placed.stage, placed.driver.gear, placed.driven.gear, round(placed.centre_mm, 6))
        groups.setdefault(key, []).append(pair)
    return list(groups.values())


def told(group: list[Mated]) -> str:
    """The names of a group's first mesh, and which others are the same."""
    others = ", ".join(pair[0].driver.shaft for pair in group[1:])
    return mesh_names(group[0][0]) + (f" ({others} likewise)" if others else "")


def group_where(subject: Subject, group: list[Mated]) -> Where:
    """All shafts of a group, and the pitch point of its first mesh: on the line of centres, parted as the teeth."""
    placed = group[0][0]
    a, b = subject.layout.shaft(placed.driver.shaft), subject.layout.shaft(placed.driven.shaft)
    part = placed.driver.gear.teeth / (placed.driver.gear.teeth + placed.driven.gear.teeth)
    shafts = dict.fromkeys(name for one, _ in group for name in (one.driver.shaft, one.driven.shaft))
    return Where(shafts=tuple(shafts), x_mm=a.x_mm + part * (b.x_mm - a.x_mm), y_mm=a.y_mm + part * (b.y_mm - a.y_mm))


def least_shift_of(gear: GearSpec) -> float:
    """Least profile shift (modules) at which the basic rack leaves the gear's involute alone."""
    from gearplate.gears.limits import least_shift
    from gearplate.gears.rack import basic_rack

    angle = gear.system.pressure_angle_rad
    return float(least_shift(gear.teeth, angle, basic_rack(angle).straight_depth))


def not_undercut(gear: GearSpec) -> bool:
    """Whether the rule on undercut lets a gear be: by a hair too little shift is what handbooks accept."""
    return gear.shift >= least_shift_of(gear) - UNDERCUT_MODULES


def shift_that_does(gear: GearSpec) -> float:
    """The least shift without undercut, rounded up to a twentieth of a module."""
    return round(math.ceil((least_shift_of(gear) - 1e-9) / SHIFT_STEP) * SHIFT_STEP, 2)


def with_faults(group: list[Mated], *faults: str) -> list[Mated]:
    """The group as if its meshes had these faults of interference alone."""
    return [(replace(placed, mesh=replace(placed.mesh, interference=faults)), need) for placed, need in group]


def shift_remedies(subject: Subject, group: list[Mated]) -> list[Remedy]:
    """Profile shift for the gears of these meshes that are undercut, rounded up to a twentieth of a module."""
    placed = group[0][0]
    ways: list[tuple[tuple[Setting, ...], ...]] = []
    words: list[str] = []
    for number in (1, 2):
        if f"undercut_{number}" not in placed.mesh.interference:
            continue
        gears = [pair[0].driver if number == 1 else pair[0].driven for pair in group]
        gear = gears[0].gear
        shift = shift_that_does(gear)
        names = dict.fromkeys(one.shaft for one in gears)
        options = gear_settings(subject, names, placed.stage, "shift", shift)
        if not options:
            continue
        ways.append(options)
        words.append(f"{gear.teeth} teeth by {shift:g} modules")
    if not ways:
        return []
    text = f"Take gears cut with profile shift ({' and '.join(words)}); small bought pinions mostly are."
    most = max(len(options) for options in ways)
    return remedies(
        text,
        (
            tuple(setting for options in ways for setting in options[min(turn, len(options) - 1)])
            for turn in range(most)
        ),
    )
