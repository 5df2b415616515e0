"""The sheet: what must never be cut, and what this cutter's process cannot cut."""

from __future__ import annotations

from typing import TYPE_CHECKING

from gearplate.checks.job_keys import Setting, chain_of, plate_key
from gearplate.checks.rule import Outcome, Rule
from gearplate.finding import Finding, Remedy, Severity, Standing, Where

if TYPE_CHECKING:
    from gearplate.catalog.materials import Material
    from gearplate.checks.subject import Subject
    from gearplate.layout.spec import Side

CO2 = "co2 laser"
LIKE_MM = 1.5


def _forbidden(subject: Subject) -> Outcome:
    found: list[tuple[Side, Material, Severity, str, Standing]] = []
    compared = 0
    for plate in subject.plates:
        side = plate.side
        sheet = subject.sheet(side)
        if sheet is None:
            continue
        compared += 1
        name = subject.layout_spec.stock(side).material
        if sheet.never_cut:
            text = f"{name} must never be cut: {sheet.never_cut_why.removesuffix('.')}"
            found.append((side, sheet, Severity.ERROR, text, sheet.standing))
            continue
        shop = subject.shops.get(side)
        cutter = shop.cutter if shop is not None else subject.cutter
        if cutter is None:
            continue
        process = cutter.process
        if process not in sheet.processes:
            can = " or ".join(sheet.processes)
            text = f"{name} is not for a {process} ({cutter.name}); a {can} cuts it"
            found.append((side, sheet, Severity.ERROR, text, sheet.standing_for("processes")))
        elif process == CO2 and sheet.laser_up_to_mm is not None:
            thick = subject.layout_spec.stock(side).nominal_mm
            if thick > sheet.laser_up_to_mm + 1e-6:
                text = f"{name} chars and flames in a {process} above {sheet.laser_up_to_mm:g} mm, and is {thick:g} mm"
                found.append((side, sheet, Severity.WARNING, text, sheet.standing_for("laser_up_to_mm")))
    return Outcome(compared, tuple(_merged(subject, found)))


def _merged(subject: Subject, found: list[tuple[Side, Material, Severity, str, Standing]]) -> list[Finding]:
    by_text: dict[str, list[Side]] = {}
    first: dict[str, tuple[Material, Severity, Standing]] = {}
    for side, sheet, severity, text, standing in found:
        by_text.setdefault(text, []).append(side)
        first.setdefault(text, (sheet, severity, standing))
    findings = []
    for text, sides in by_text.items():
        sheet, severity, standing = first[text]
        remedy, others = chain_of(other_sheets(subject, sides, sheet, subject.layout_spec.stock(sides[0]).nominal_mm))
        findings.append(
            Finding(
                "forbidden-material",
                severity,
                f"{text}.",
                Where(plate=sides[0].value if len(sides) == 1 else None),
                standing=standing,
                remedy=remedy,
                alternatives=others,
            )
        )
    return findings


def other_sheets(subject: Subject, sides: list[Side], instead: Material, at_least_mm: float) -> list[Remedy]:
    """Other sheets that the cutter in use was calibrated for, near that thickness; the nearest first."""
    cutter = subject.cutter
    if cutter is None:
        return []
    rows = [
        row
        for row in subject.materials.values()
        if not row.never_cut
        and row.name != instead.name
        and row.thickness_mm is not None
        and -0.5 <= row.thickness_mm - at_least_mm <= LIKE_MM
        and cutter.process in row.processes
        and cutter.calibration_for(row) is not None
    ]
    rows.sort(
        key=lambda row: (
            row.family != instead.family,
            row.press_fit is None,
            abs((row.thickness_mm or 0) - at_least_mm),
        )
    )
    return [Remedy(f"Cut it from {row.name}.", sheet_settings(subject, sides, row.name)) for row in rows[:2]]


def sheet_settings(subject: Subject, sides: list[Side], name: str) -> tuple[Setting, ...]:
    """The material of both plates by the one key, or of single plates."""
    if len(sides) == len(subject.plates) and _same_sheet(subject):
        return (("material", name),)
    return tuple((plate_key(side, "material"), name) for side in sides)


def _same_sheet(subject: Subject) -> bool:
    return subject.layout_spec.outboard.material == subject.layout_spec.inboard.material


RULES = (
    Rule(
        code="forbidden-material",
        title="Material that must not be cut here",
        why="Some sheets poison the people and the machine: PVC and vinyl give off hydrogen chloride, ABS hydrogen "
        "cyanide and styrene; carbon and glass fibre leave dust that harms lungs. Others only suit another machine: a "
        "CO2 laser reflects from metal, and polycarbonate chars, soots and can flame in it. No label and no safety "
        "data sheet means no cut. The cutter's manual, local rules and the shop's trained operator come before this "
        "list.",
        remedy="Take another sheet, or have it cut by the process that suits it.",
        limit="the material's row: never_cut, processes, laser_up_to_mm.",
        standing=Standing.HANDBOOK,
        source="lists of safe and unsafe materials of a makerspace and of a university",
        applies_to="plates",
        check=_forbidden,
        present=lambda subject: sum(subject.sheet(plate.side) is not None for plate in subject.plates),
    ),
)
