"""What the rules look at, made from a job as a build makes it, and the findings of single rules over it."""

from __future__ import annotations

import functools
from pathlib import Path

from gearplate.checks.rule import Outcome
from gearplate.checks.rules import ALL_RULES
from gearplate.checks.subject import Subject
from gearplate.cut.make import cut_plate
from gearplate.finding import Finding, Severity
from gearplate.job.load import load_job
from gearplate.job.spec import JobSpec
from gearplate.job.train import stocked
from gearplate.layout.solve import solve_layout
from gearplate.plate.make import make_plates

BAD = Path(__file__).parents[1] / "bad"
FAIR = BAD / "base" / "fair.toml"
ASTRIDE = BAD / "base" / "astride.toml"


@functools.cache
def job_of(path: Path) -> JobSpec:
    """The job in a file, loaded once."""
    return load_job(path)


def subject_of(job: JobSpec) -> Subject:
    """The finished design of a job whose every place is given."""
    spec = job.layout_spec
    layout = solve_layout(spec)
    plates = make_plates(layout, spec, job.plate_spec)
    shops = {side: shop for side, shop in job.shops.items() if shop is not None}
    cuts = tuple(
        cut_plate(plate, hand, shops[plate.side], job.identity, job.drawing_unit)
        for hand in job.identity.hands
        for plate in plates
        if len(shops) == len(plates)
    )
    sheets = {side: job.catalog.material(spec.stock(side).material) for side in job.shops}
    return Subject(
        spec,
        job.plate_spec,
        layout,
        plates,
        cuts,
        shops,
        sheets,
        job.catalog.materials(),
        job.catalog.cutter(job.raw["cutter"]),
        {name: row.pattern.bores for name, row in job.catalog.gears().items()},
        unit=job.units,
        raw=job.raw,
        pinion_had=lambda gear: stocked(gear, "pinion", job.catalog),
        play=job.play,
        gear_materials=job.gear_materials,
        duty=job.rated_duty,
        rating_tables=job.rating_tables,
    )


def fair(**changes: object) -> Subject:
    """The fair drive with values set at dotted keys ("__" for ".")."""
    job = job_of(FAIR)
    return subject_of(job.changed({key.replace("__", "."): value for key, value in changes.items()}))


@functools.cache
def fair_unchanged() -> Subject:
    """The fair drive as it is."""
    return subject_of(job_of(FAIR))


@functools.cache
def fair_pinned() -> Subject:
    """The fair drive with its standoffs and screws where they stand widest: both plates reach under both motors."""
    motors = [{"type": "generic-a", "pinion": 12, "clocking": turn} for turn in (-45, 45)]
    return fair(standoffs={"places": [[-2.5, 115], [55, 60], [-55, 60]]}, motors=motors)


def run(code: str, subject: Subject) -> Outcome:
    """One rule over a subject."""
    return next(rule for rule in ALL_RULES if rule.code == code).check(subject)


def severities(code: str, subject: Subject) -> list[Severity]:
    """How bad one rule finds it."""
    return [finding.severity for finding in run(code, subject).findings]


def one(code: str, subject: Subject) -> Finding:
    """The only finding of one rule."""
    found = run(code, subject).findings
    assert len(found) == 1, [finding.message for finding in found]
    return found[0]
