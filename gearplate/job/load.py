"""From a job file to a JobSpec: read, merge, check wholly, and only then make the specs."""

from __future__ import annotations

import os
from collections.abc import Iterable

from gearplate.catalog import Catalog, load_catalog
from gearplate.errors import JobError, Problem
from gearplate.gears.spec import TrainSpec
from gearplate.job.base import parse_document, read_document
from gearplate.job.document import Document
from gearplate.job.setting import with_setting
from gearplate.job.spec import JobSpec


def load_job(path: str | os.PathLike[str], sets: Iterable[str] = ()) -> JobSpec:
    """The job in a file, or the shipped job of that name, ready to be built.

    `sets`: values to set over the file, as `key=value` in TOML ("wheel.diameter=5", 'wheel.diameter="5 in"',
    "motors[1].side=inboard"); bare numbers are in the file's units.

    Raises JobError with every problem of the file, its bases and the tables that it names, and FileError where the
    file itself cannot be read. Nothing is written.
    """
    return _job(read_document(path), sets)


def load_job_text(
    text: str, name: str = "job.toml", folder: str | os.PathLike[str] | None = None, sets: Iterable[str] = ()
) -> JobSpec:
    """As load_job, for the text of a job file. `base`, `profiles` and a `profiles` folder count from `folder`."""
    return _job(parse_document(text, name, folder), sets)


def _job(document: Document, sets: Iterable[str]) -> JobSpec:
    problems: list[Problem] = []
    for text in sets:
        try:
            document = with_setting(document, text)
        except JobError as error:
            problems += error.problems
    if not problems:
        return job_from(document, load_catalog(document.folders))
    try:  # for what else is wrong: one report of everything
        job_from(document, load_catalog(document.folders))
    except JobError as error:
        problems += error.problems
    raise JobError(tuple(problems))


def job_from(document: Document, catalog: Catalog) -> JobSpec:
    """The specs of a merged document. Raises JobError with every problem in it."""
    # Only now, when a job is really read: naming every key that it can have takes longer than reading it.
    from gearplate.job.check import check_job
    from gearplate.job.reading import read

    try:
        reading = read(document, catalog)
        check_job(reading)
    except JobError as error:  # a table of profiles that cannot be read: others may be wrong too
        raise JobError(tuple(dict.fromkeys((*error.problems, *catalog.problems())))) from None
    if reading.problems:
        files = list(dict.fromkeys(problem.file for problem in reading.problems))
        raise JobError(
            tuple(sorted(reading.problems, key=lambda problem: (files.index(problem.file), problem.line or 0)))
        )
    from gearplate.job.assemble import job_spec

    return job_spec(reading)


def with_train(job: JobSpec, train: TrainSpec) -> JobSpec:
    """A job that asked for a reduction, with the train that was chosen for it; the first stage's driver is the pinion
    of every motor that names none. What the gear catalogue says of each count is filled in.

    Raises JobError where the job speaks of a shaft that this train does not have.
    """
    from gearplate.job.assemble import job_with_train

    return job_with_train(job, train)
