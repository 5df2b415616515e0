"""Random jobs, valid and mangled: loading takes them or refuses them in words, quickly, and nothing else happens."""

from __future__ import annotations

import time
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings

from gearplate.catalog import Catalog, load_catalog, profiles_folder
from gearplate.errors import FileError, JobError
from gearplate.job.load import load_job_text
from tests.builders.jobs import Job, job_text, mangled_jobs, valid_jobs

VALID, MANGLED = 400, 600  # 1,000 loads in all
SLOWEST_S = 2.0
# Reading the shipped tables takes longer than reading a job; they are the same every time.
CATALOG = load_catalog([profiles_folder()])
_QUIET = [HealthCheck.too_slow, HealthCheck.data_too_large, HealthCheck.filter_too_much]


@pytest.fixture(autouse=True)
def _one_catalogue(monkeypatch: pytest.MonkeyPatch) -> None:
    def shared(folders: tuple[Path, ...]) -> Catalog:
        assert folders == (profiles_folder(),)
        return CATALOG

    monkeypatch.setattr("gearplate.job.load.load_catalog", shared)


def test_valid_jobs_load(deep: int) -> None:
    @settings(max_examples=VALID * deep, suppress_health_check=_QUIET)
    @given(valid_jobs())
    def load(job: Job) -> None:
        start = time.perf_counter()
        spec = load_job_text(job_text(job))
        assert time.perf_counter() - start < SLOWEST_S
        assert spec.identity.part == job["part"]
        assert (spec.wish is None) == ("stages" in job)
        if spec.wish is None:
            assert len(spec.layout_spec.train.stages) == len(job["stages"])

    load()


def test_mangled_jobs_are_refused_in_words(deep: int) -> None:
    counts = {"taken": 0, "refused": 0}

    @settings(max_examples=MANGLED * deep, suppress_health_check=_QUIET)
    @given(mangled_jobs())
    def load(text: str) -> None:
        start = time.perf_counter()
        error: JobError | FileError | None = None
        try:
            load_job_text(text)
        except (JobError, FileError) as refusal:
            error = refusal
        assert time.perf_counter() - start < SLOWEST_S
        counts["taken" if error is None else "refused"] += 1
        for problem in error.problems if isinstance(error, JobError) else ():
            assert problem.message.strip()
            assert problem.line is None or 1 <= problem.line <= text.count("\n") + 1

    load()
    # Enough of either, or the draw does not test what it says.
    assert counts["refused"] > MANGLED / 2
    assert counts["taken"] > MANGLED / 50
