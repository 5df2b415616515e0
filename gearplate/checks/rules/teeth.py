"""What the teeth themselves do to each other: undercut, interference, and teeth that only look alike."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from gearplate.checks.job_keys import chain_of, exact, gear_settings, gear_table, remedies
from gearplate.checks.mated import (
    gear_name,
    group_where,
    least_shift_of,
    not_undercut,
    same_meshes,
    shift_remedies,
    told,
    well_placed,
    with_faults,
)
from gearplate.checks.rule import Outcome, Rule
from gearplate.finding import Finding, Remedy, Severity, Standing

if TYPE_CHECKING:
    from gearplate.checks.mated import Mated
    from gearplate.checks.subject import Subject
    from gearplate.gears.spec import GearSpec, ToothSystem


def _interference(subject: Subject) -> Outcome:
    pairs = well_placed(subject)
    findings: list[Finding] = []
    seen: set[tuple[object, ...]] = set()
    for group in same_meshes(pairs):
        placed = group[0][0]
        for fault in placed.mesh.interference:
            if fault == "bottoming" and any(name.startswith("tip_in_fillet") for name in placed.mesh.interference):
                continue  # the same tips: told once
            one = placed.driver if fault.endswith("1") else placed.driven
            key = (fault.rstrip("_12"), one.shaft) if fault.startswith(("undercut", "pointed")) else (fault, placed)
            if key in seen:
                continue
            seen.add(key)
            judge = _undercut if fault.startswith("undercut") else _clash
            finding = judge(subject, group, fault)
            if finding is not None:
                findings.append(finding)
    return Outcome(len(pairs), tuple(findings))


def _undercut(subject: Subject, group: list[Mated], fault: str) -> Finding | None:
    placed = group[0][0]
    one = placed.driver if fault.endswith("1") else placed.driven
    least = least_shift_of(one.gear)
    if not_undercut(one.gear):
        return None
    remedy, others = chain_of(shift_remedies(subject, with_faults(group, fault)))
    degrees = math.degrees(one.gear.system.pressure_angle_rad)
    return Finding(
        "tooth-interference",
        Severity.WARNING,
        f"{gear_name(one.shaft, one.gear)} is undercut: at {degrees:g} degrees {one.gear.teeth} teeth want a profile "
        f"shift of {least:.3f} modules and have {one.gear.shift:g}. Its roots are weak and its flanks short.",
        group_where(subject, group),
        one.gear.shift,
        least,
        "modules",
        Standing.HANDBOOK,
        remedy,
        others,
    )


_WORDS = {
    "tip_in_fillet": "the tip corners of {one} dig into the root fillets of {other}",
    "pointed": "the teeth of {one} come to a point below its tip circle of {tip:.3f} mm",
    "bottoming": "tips touch the bottoms of the tooth spaces",
}


def _clash(subject: Subject, group: list[Mated], fault: str) -> Finding:
    placed = group[0][0]
    first = fault.endswith("1")
    one, other = (placed.driver, placed.driven) if first else (placed.driven, placed.driver)
    tip_room = placed.mesh.tip_clearance_1_mm if first else placed.mesh.tip_clearance_2_mm
    if fault == "bottoming":
        tip_room = min(placed.mesh.tip_clearance_1_mm, placed.mesh.tip_clearance_2_mm)
        first = placed.mesh.tip_clearance_1_mm <= placed.mesh.tip_clearance_2_mm
        one = placed.driver if first else placed.driven
    kind = fault.rstrip("_12")
    words = _WORDS[kind].format(
        one=gear_name(one.shaft, one.gear), other=gear_name(other.shaft, other.gear), tip=one.tip_diameter_mm
    )
    remedy, others = chain_of(_standard_tip(subject, [one.shaft], placed.stage, one.gear))
    measured = None if kind == "pointed" else tip_room
    return Finding(
        "tooth-interference",
        Severity.ERROR,
        f"{told(group)}: {words}.",
        group_where(subject, group),
        measured,
        None if measured is None else 0.25 * one.gear.system.module_mm,
        "" if measured is None else "mm",
        Standing.GEOMETRY,
        remedy,
        others,
    )


def _standard_tip(subject: Subject, shafts: list[str], stage: int, gear: GearSpec) -> list[Remedy]:
    m = gear.system.module_mm
    found: list[Remedy] = []
    standard = (gear.teeth + 2.0 + 2.0 * gear.shift) * m
    if gear.tip_diameter_mm is not None and gear.tip_diameter_mm > standard:
        text = f"Turn its tips down to the standard {standard:.3f} mm."
        ways = gear_settings(subject, shafts, stage, "tip_diameter", exact(standard, subject.unit))
        found += remedies(text, ways)
    if gear.shift > 0.5:
        ways = gear_settings(subject, shafts, stage, "shift", 0.5)
        found += remedies("Take a gear with less profile shift.", ways)
    return found


# look-alike-teeth


def tooth_words(system: ToothSystem) -> str:
    """ "diametral pitch 32, 20 degrees"."""
    pitch = 25.4 / system.module_mm
    size = f"module {system.module_mm:g} mm"
    if abs(pitch - round(pitch)) < 1e-6 * pitch:
        size = f"diametral pitch {round(pitch)}"
    return f"{size}, {math.degrees(system.pressure_angle_rad):g} degrees"


def _look_alikes(subject: Subject) -> Outcome:
    findings = []
    unlike = (pair for pair in subject.meshes if pair[0].driver.gear.system != pair[0].driven.gear.system)
    for group in same_meshes(unlike):
        placed = group[0][0]
        a, b = placed.driver.gear.system, placed.driven.gear.system
        remedy, others = chain_of(_one_size(subject, group))
        sizes = sorted((a.module_mm, b.module_mm))
        off = 100.0 * (sizes[1] / sizes[0] - 1.0)
        angles = abs(math.degrees(a.pressure_angle_rad - b.pressure_angle_rad))
        by_size = off > 1e-9
        findings.append(
            Finding(
                "look-alike-teeth",
                Severity.ERROR,
                f"{gear_name(placed.driver.shaft, placed.driver.gear)} ({tooth_words(a)}) and "
                f"{gear_name(placed.driven.shaft, placed.driven.gear)} ({tooth_words(b)}) "
                f"{'look alike but ' if off < 3.0 else ''}do not run together"
                + (f"; {', '.join(p.driver.shaft for p, _ in group[1:])} likewise." if len(group) > 1 else "."),
                group_where(subject, group),
                off if by_size else angles,
                0.0,
                "%" if by_size else "deg",
                Standing.STANDARD,
                remedy,
                others,
            )
        )
    return Outcome(len(subject.meshes), tuple(findings))


def _one_size(subject: Subject, group: list[Mated]) -> list[Remedy]:
    """Give the odd gear the size that most gears of the train have; then the other way round."""
    placed = group[0][0]
    systems = [gear.gear.system for gear in subject.layout.gears]
    ends = [placed.driver, placed.driven]
    ends.sort(key=lambda gear: systems.count(gear.gear.system))
    found: list[Remedy] = []
    for odd, kept in ((ends[0], ends[1]), (ends[1], ends[0])):
        shafts = [placed_.driver.shaft for placed_, _ in group] if odd is placed.driver else [odd.shaft]
        system = kept.gear.system
        table = gear_table(odd.gear, system.module_mm, system.pressure_angle_rad)
        text = f"Take a gear of {tooth_words(system)} for {odd.shaft}."
        found += remedies(text, gear_settings(subject, shafts, placed.stage, "", table))
    return found


RULES = (
    Rule(
        code="tooth-interference",
        title="Undercut and interference",
        why="A rack-shaped cutter takes away part of the flanks of a gear with few teeth: thin roots, less contact. "
        "Tips that are too long for their mate dig into its roots or strike the bottom of its tooth spaces: the gears "
        "lock or wear out in minutes.",
        remedy="Take pinions cut with profile shift (small bought ones mostly are), more teeth, or the maker's own "
        "tip diameter.",
        limit="undercut below z = 2 / sin(alpha)^2 teeth (17 at 20 degrees, 32 at 14.5), or below a shift of "
        "x = 1 - z sin(alpha)^2 / 2 modules (warning, from 0.02 modules on: handbooks accept 17 and 32 teeth). Tips in "
        "fillets, pointed teeth and tips that touch bottoms are errors.",
        standing=Standing.HANDBOOK,
        source="ISO 21771; undercut limits as in machine-element handbooks; the fillets are those of the standard "
        "basic rack",
        applies_to="two gears in contact",
        check=_interference,
        present=lambda subject: len(well_placed(subject)),
    ),
    Rule(
        code="look-alike-teeth",
        title="Teeth that only look alike",
        why="Module 0.8 and diametral pitch 32, module 1.25 and diametral pitch 20, or 14.5 and 20 degrees can hardly "
        "be told apart by eye. In mesh they bind after a few teeth, grind, and break.",
        remedy="Give both gears of a mesh the same module (or diametral pitch) and pressure angle. Measure a bought "
        "gear: its tip diameter is about (z + 2) x module.",
        limit="module and pressure angle of both gears are equal: equal base pitch pi m cos(alpha) is the "
        "law of gearing.",
        standing=Standing.STANDARD,
        source="ISO 21771, ISO 53",
        applies_to="two gears in contact",
        check=_look_alikes,
        present=lambda subject: len(subject.meshes),
    ),
)
