"""The old drive of a changed one, made once in each process that runs tests: many tests change the same few drives."""

from __future__ import annotations

from collections.abc import Callable
from functools import cache

from gearplate.build import make
from gearplate.job.spec import JobSpec
from gearplate.record.design import Design


class _Asked:
    """A job that is the same as another of the same document."""

    def __init__(self, job: JobSpec, quick: bool) -> None:
        self.job, self.quick = job, quick
        self.key = repr((job.document, job.resolved, quick))

    def __hash__(self) -> int:
        return hash(self.key)

    def __eq__(self, other: object) -> bool:
        return isinstance(other, _Asked) and self.key == other.key


@cache
def _made(asked: _Asked) -> Design:
    return make(asked.job, quick=asked.quick)


def made_once(job: JobSpec, quick: bool = False) -> Design:
    """What `gearplate.build.make` makes of a job; an error is raised anew each time."""
    return _made(_Asked(job, quick))


def sharing(set_attribute: Callable[[str, object], None]) -> None:
    """Has `stretch` take its old drive from here; what it finds, it builds itself."""
    set_attribute("gearplate.studies.stretch.make", made_once)
