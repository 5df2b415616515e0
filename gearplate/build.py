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
from gearplate.errors import FileError, NoSolution, ToolBug
from gearplate.finding import Finding, Severity, Standing
from gearplate.job.as_written import as_written
from gearplate.job.assemble import auto_of
from gearplate.job.best_train import NonePlaced, Placed, best_placed, trains_of
from gearplate.job.no_place import FIRST_TRAIN, no_place_of, told
from gearplate.job.train import stocked
from gearplate.job.train_choice import nearest_train, trains_to_try, with_train
from gearplate.layout.design import Layout
from gearplate.layout.fixed_gaps import fixed_miss_mm, least_gaps
from gearplate.layout.misses import nearest_miss
from gearplate.layout.solve import solve_layout
from gearplate.plate.make import make_plates
from gearplate.record.design import Design, Status, status_of
from gearplate.record.train_entries import ratio

if TYPE_CHECKING:
    from collections.abc import Mapping

    from gearplate.cut.cut_plate import CutPlate
    from gearplate.gears.spec import ReductionWish
    from gearplate.job.spec import JobSpec
    from gearplate.layout.spec import Side
    from gearplate.layout.watch import Watch
    from gearplate.plate.plate import Plate
    from gearplate.shop.shop import Shop

TRAINS_LISTED = 100
TRAINS_TRIED = 3
OF_THE_JOB = ("cut_file_meeting", "cut_file_doubled")  # what a file shows because the job asks for it


@dataclass(frozen=True, slots=True)
class CutFiles:
    """The cut files by name, in order, and what reading each back found: holes found again, holes asked for."""

    files: tuple[tuple[str, bytes], ...]
    holes: tuple[tuple[int, int], ...]


def make(job: JobSpec, draft: bool = False, quick: bool = False, watch: Watch | None = None) -> Design:
    """Everything from a job, in memory. Errors are findings of the design, not exceptions.

    `draft`: a design with errors gets cut files all the same, which say DRAFT; what no beam can cut, or must never be
    cut, is refused even so, and a design without errors is no draft. `quick`, for a change that is tried: free shafts
    are placed without a proof, and findings come without their cures. `watch` is told how far the search for places has
    come, and may end it: the design then has the best so far, and says so. Raises Stopped where there is none yet.
    """
    job, layout, in_the_way = _place(job, quick, watch)
    none = None if quick else no_place_of(job, in_the_way)
    if none is not None:
        in_the_way = tuple(told(finding, none) for finding in in_the_way)
    plates = make_plates(layout, job.layout_spec, job.plate_spec)
    shops = {side: shop for side, shop in job.shops.items() if shop is not None}
    cut_plates = _cut(job, plates, shops)
    subject = Subject(
        job.layout_spec,
        job.plate_spec,
        layout,
        plates,
        cut_plates,
        shops,
        sheets={side: job.catalog.material(job.layout_spec.stock(side).material) for side in job.shops},
        materials=job.catalog.materials(),
        cutter=job.catalog.cutter(job.raw["cutter"]),
        gear_bores={name: row.pattern.bores for name, row in job.catalog.gears().items()},
        pinion_had=lambda gear: stocked(gear, "pinion", job.catalog),
        wished_pinions=() if job.wish is None else job.wish.pinions,
        play=job.play,
        gear_materials=job.gear_materials,
        duty=job.rated_duty,
        rating_tables=job.rating_tables,
        unit=job.units,
        raw=job.raw,
        told=not quick,
    )
    report = run_rules(subject)
    findings = tuple(as_written(job.document, one) for one in (*in_the_way, *report.findings))
    status = status_of(findings, draft and bool(cut_plates) and not any(cut.faults for cut in cut_plates))
    if status is Status.DRAFT:
        cut_plates = _cut(job, plates, shops, draft=True)
    return Design(
        identity=job.identity,
        drawn_unit=job.drawing_unit,
        spec=job.layout_spec,
        layout=layout,
        plates=plates,
        cut_plates=cut_plates,
        checks=report.compared,
        findings=findings,
        status=status,
        shops=shops,
        assumptions=job.assumptions,
        solver_note=layout.solver_note,
        settings=job.document.settings,
        budgets=subject.budgets,
        auto_added=auto_of(job.reading, job.layout_spec),
        ratings=subject.ratings,
        no_place=none,
    )


def _cut(
    job: JobSpec, plates: tuple[Plate, ...], shops: Mapping[Side, Shop], draft: bool = False
) -> tuple[CutPlate, ...]:
    """Every plate for every hand; nothing where a plate's material must never be cut."""
    if len(shops) < len(plates):
        return ()
    return tuple(
        cut_plate(plate, hand, shops[plate.side], job.identity, job.drawing_unit, draft)
        for hand in job.identity.hands
        for plate in plates
    )


def _place(job: JobSpec, quick: bool, watch: Watch | None) -> tuple[JobSpec, Layout, tuple[Finding, ...]]:
    """Choose the train where the job asks for a reduction, and place the shafts.

    The train with the best layout of all is taken; where trains cannot be weighed so, the first whose layout keeps
    every clearance, failing that the first that can be built. Where nothing fits, the nearest miss comes back with the
    finding that says so.
    """
    trains = trains_of(job) if job.wish is not None else None
    placed = best_placed(job, trains, quick, watch) if trains is not None and trains.found else None
    if isinstance(placed, Placed):
        return placed.job, placed.layout, ()
    misses: list[tuple[JobSpec, NoSolution]] = []
    second_best: tuple[JobSpec, Layout] | None = None
    for candidate in _candidates(job):
        try:
            layout = solve_layout(candidate.layout_spec, watch, quick)
        except NoSolution as failure:
            misses.append((candidate, failure))
            continue
        if job.wish is None or not nearest_miss(candidate.layout_spec, layout):
            return candidate, layout, ()
        second_best = second_best or (candidate, layout)
    if second_best is not None:
        return *second_best, ()
    if not misses and job.wish is not None:
        return _nearest(job, job.wish, watch)
    job, first = misses[0]
    if not isinstance(first.nearest, Layout):
        raise first
    text = str(first)
    if isinstance(placed, NonePlaced):
        text = f"{placed.text}{FIRST_TRAIN}{text}"
    elif len(misses) > 1:
        text = f"{len(misses)} trains of the wanted reduction were tried and none could be placed.{FIRST_TRAIN}{text}"
    return job, first.nearest, (Finding("layout", Severity.ERROR, text, standing=Standing.GEOMETRY),)


def _nearest(job: JobSpec, wish: ReductionWish, watch: Watch | None) -> tuple[JobSpec, Layout, tuple[Finding, ...]]:
    """Where no train has the wanted reduction: the one that comes nearest to it, with the finding that says so.

    Raises NoSolution where the gears on hand come nowhere near it.
    """
    train = nearest_train(wish)
    if train is None:
        raise NoSolution("no train of the gears on hand comes near the wanted reduction; give other counts.")
    nearest = with_train(job, train)
    try:
        layout = solve_layout(nearest.layout_spec, watch)
    except NoSolution as failure:
        if not isinstance(failure.nearest, Layout):
            raise
        layout = failure.nearest
    got = float(ratio(nearest.layout_spec, nearest.layout_spec.motors[0]))
    text = (
        f"No train of the gears on hand has a reduction of {float(wish.ratio):g} within {float(wish.tolerance):.3g}; "
        f"the nearest has {got:.5g}. Give other counts, more stages or a wider `within`."
    )
    return nearest, layout, (Finding("layout", Severity.ERROR, text, standing=Standing.JOB),)


def _candidates(job: JobSpec) -> list[JobSpec]:
    """The job itself; for a wanted reduction one job a train: the closest of those that their own fixed distances do
    not rule out, or else the one that misses least. The closest ratios often need gears too small for the shafts."""
    if job.wish is None:
        return [job]
    possible: list[JobSpec] = []
    ruled_out: list[tuple[float, JobSpec]] = []
    closest = trains_to_try(job.wish, 1)
    if not closest:
        return []
    room = least_gaps(with_train(job, closest[0]).layout_spec)
    for train in trains_to_try(job.wish, TRAINS_LISTED, room.allow) or trains_to_try(job.wish, TRAINS_LISTED):
        candidate = with_train(job, train)
        miss = fixed_miss_mm(candidate.layout_spec)
        if miss > 0.0:
            ruled_out.append((miss, candidate))
            continue
        possible.append(candidate)
        if len(possible) == TRAINS_TRIED:
            break
    return possible or [min(ruled_out, key=lambda one: one[0])[1]]


def cut_files(design: Design) -> CutFiles:
    """Write every cut plate to bytes, read the bytes back and hold them against what was asked.

    Raises ToolBug where a file does not say what the plate says: then there is no build. Holes that run into each
    other are the job's own fault, which its findings tell: a draft is written with them.
    """
    from gearplate.cut.registration import registration_miss_mm
    from gearplate.drawing.dxf_in import read_dxf
    from gearplate.drawing.dxf_out import dxf_bytes
    from gearplate.drawing.of_cut import sheet_of
    from gearplate.drawing.readback import compare

    files: list[tuple[str, bytes]] = []
    holes: list[tuple[int, int]] = []
    for cut in design.cut_plates:
        sheet = sheet_of(cut, design.shops[cut.plate.side], design.drawn_unit)
        data = dxf_bytes(sheet)
        try:
            back = read_dxf(data)
        except FileError as error:  # no file of the user's: what we wrote ourselves a moment ago
            raise ToolBug(f"{cut.file_name} cannot be read back: {error}") from error
        result = compare(sheet, back, cut.plate.side.value)
        own_faults = OF_THE_JOB if design.status is Status.DRAFT else ()
        problems = [problem for problem in result.problems if problem.check not in own_faults]
        if problems:
            said = "; ".join(problem.message for problem in problems)
            raise ToolBug(f"{cut.file_name} does not read back as it was asked: {said}")
        files.append((cut.file_name, data))
        holes.append((result.holes.found, result.holes.asked))
    for first, second in zip(design.cut_plates[::2], design.cut_plates[1::2], strict=True):
        miss = registration_miss_mm(first, second)
        if miss > 1e-3 and miss != math.inf:  # infinite where a job leaves the plates nothing in common
            raise ToolBug(f"shared holes of {first.file_name} and {second.file_name} miss each other by {miss:.4f} mm")
    return CutFiles(tuple(files), tuple(holes))
