"""The order of the stages, once: the tool as one readable page.

job -> train -> layout -> plates -> cut plates -> checks -> design. `make` does it without touching a file.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

from gearplate.checks.run import run_rules
from gearplate.checks.subject import Subject
from gearplate.cut.make import cut_plate
from gearplate.errors import NoSolution, ToolBug
from gearplate.finding import Finding, Severity, Standing
from gearplate.job.train_choice import trains_to_try, with_train
from gearplate.layout.design import Layout
from gearplate.layout.solve import solve_layout
from gearplate.plate.make import make_plates
from gearplate.record.design import Design, status_of

if TYPE_CHECKING:
    from gearplate.cut.cut_plate import CutPlate
    from gearplate.job.spec import JobSpec

TRAINS_TRIED = 12


@dataclass(frozen=True, slots=True)
class CutFiles:
    """The cut files by name, in order, and what reading them back found: holes found again of holes asked for."""

    files: tuple[tuple[str, bytes], ...]
    holes_found: int
    holes_asked: int


def make(job: JobSpec, draft: bool = False) -> Design:
    """Everything from a job, in memory. Errors are findings of the design, not exceptions."""
    job, layout, in_the_way = _place(job)
    plates = make_plates(layout, job.layout_spec, job.plate_spec)
    cut_plates: tuple[CutPlate, ...] = ()
    shops = {side: shop for side, shop in job.shops.items() if shop is not None}
    if len(shops) == len(plates):
        cut_plates = tuple(
            cut_plate(plate, hand, shops[plate.side], job.identity, job.drawing_unit, draft)
            for hand in job.identity.hands
            for plate in plates
        )
    report = run_rules(
        Subject(
            job.layout_spec,
            job.plate_spec,
            layout,
            plates,
            cut_plates,
            shops,
            sheets={side: job.catalog.material(job.layout_spec.stock(side).material) for side in job.shops},
            materials=job.catalog.materials(),
            cutter=job.catalog.cutter(job.raw["cutter"]),
            unit=job.units,
        )
    )
    findings = (*in_the_way, *report.findings)
    return Design(
        identity=job.identity,
        drawn_unit=job.drawing_unit,
        spec=job.layout_spec,
        layout=layout,
        plates=plates,
        cut_plates=cut_plates,
        checks=report.compared,
        findings=findings,
        status=status_of(findings, draft),
        shops=shops,
        assumptions=job.assumptions,
        solver_note=layout.solver_note,
    )


def _place(job: JobSpec) -> tuple[JobSpec, Layout, tuple[Finding, ...]]:
    """Choose the train where the job asks for a reduction, and place the shafts.

    Where nothing fits, the nearest miss comes back with the finding that says so.
    """
    misses: list[tuple[JobSpec, NoSolution]] = []
    for candidate in [job] if job.wish is None else [with_train(job, t) for t in trains_to_try(job.wish, TRAINS_TRIED)]:
        try:
            return candidate, solve_layout(candidate.layout_spec), ()
        except NoSolution as failure:
            misses.append((candidate, failure))
    if not misses:
        raise NoSolution("no train of the gears on hand has the wanted reduction; widen `within` or the counts.")
    nearest, failure = misses[0]
    if not isinstance(failure.nearest, Layout):
        raise failure
    text = str(failure)
    if len(misses) > 1:
        text = f"{len(misses)} trains of the wanted reduction were tried and none could be placed. The first: {text}"
    return nearest, failure.nearest, (Finding("layout", Severity.ERROR, text, standing=Standing.GEOMETRY),)


def cut_files(design: Design) -> CutFiles:
    """Write every cut plate to bytes, read the bytes back and hold them against what was asked.

    Raises ToolBug where a file does not say what the plate says: then there is no build.
    """
    from gearplate.cut.registration import registration_miss_mm
    from gearplate.drawing.dxf_in import read_dxf
    from gearplate.drawing.dxf_out import dxf_bytes
    from gearplate.drawing.of_cut import sheet_of
    from gearplate.drawing.readback import compare

    files: list[tuple[str, bytes]] = []
    found = asked = 0
    for cut in design.cut_plates:
        sheet = sheet_of(cut, design.shops[cut.plate.side], design.drawn_unit)
        data = dxf_bytes(sheet)
        result = compare(sheet, read_dxf(data), cut.plate.side.value)
        if result.problems:
            said = "; ".join(problem.message for problem in result.problems)
            raise ToolBug(f"{cut.file_name} does not read back as it was asked: {said}")
        files.append((cut.file_name, data))
        found += result.holes.found
        asked += result.holes.asked
    for first, second in zip(design.cut_plates[::2], design.cut_plates[1::2], strict=True):
        miss = registration_miss_mm(first, second)
        if miss > 1e-3 and miss != math.inf:  # infinite where a job leaves the plates nothing in common
            raise ToolBug(f"shared holes of {first.file_name} and {second.file_name} miss each other by {miss:.4f} mm")
    return CutFiles(tuple(files), found, asked)


