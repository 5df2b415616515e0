"""Every error that gearplate raises on purpose.

GearplateError
 +-- JobError      your file: one report of everything that is wrong in it      exit 2
 +-- UsageError    a command used in a way that it does not know                exit 2
 +-- FileError     a file or folder that cannot be read or written              exit 2
 +-- NoSolution    nothing fits; the nearest miss is attached                   exit 1
 +-- Stopped       the user ended a search that had found nothing yet           exit 130
 +-- ToolBug       ours: a promise that the tool itself broke                   exit 3
"""

from __future__ import annotations

from dataclasses import dataclass

from gearplate.finding import Finding

LONGEST_KEY = 120


@dataclass(frozen=True, slots=True)
class Problem:
    """One thing wrong in a file: where it stands, what it says, what would be accepted.

    `line` counts from 1 and is None where the file has no such line (a key that is missing).
    `value` is the text to show for the offending value; `accepted` says in words what is accepted.
    """

    file: str
    line: int | None
    key: str
    value: str
    message: str
    accepted: str = ""

    def __str__(self) -> str:
        place = self.file if self.line is None else f"{self.file}, line {self.line}"
        key = self.key if len(self.key) <= LONGEST_KEY else f"{self.key[:LONGEST_KEY]} ..."
        text = f"{place}: {key}" if key else place
        if self.value:
            text += f" = {self.value}"
        text += f": {self.message}"
        if self.accepted:
            text += f" Accepted: {self.accepted}."
        return text


class GearplateError(Exception):
    """Base of all errors raised on purpose; `exit_code` is what a command ends with."""

    exit_code = 3


class JobError(GearplateError):
    """The job file, or a profile that it names, cannot be used. Holds every problem found, not only the first."""

    exit_code = 2

    def __init__(self, problems: tuple[Problem, ...]) -> None:
        self.problems = problems
        super().__init__("\n".join(str(problem) for problem in problems))


class UsageError(GearplateError):
    """A command was used in a way that it does not know."""

    exit_code = 2


class FileError(GearplateError):
    """A file or folder cannot be read or written; nothing was changed."""

    exit_code = 2


class NoSolution(GearplateError):
    """Nothing fits. `findings` is the nearest miss: what is in the way and by how much."""

    exit_code = 1

    def __init__(self, message: str, findings: tuple[Finding, ...] = (), nearest: object = None) -> None:
        self.findings = findings
        self.nearest = nearest
        super().__init__(message)


class Stopped(GearplateError):
    """The user ended a search before it had found anything."""

    exit_code = 130


class ToolBug(GearplateError):
    """A promise that the tool itself broke: please report it."""

    exit_code = 3
