"""A name that no table has."""

from __future__ import annotations

from collections.abc import Iterable

from gearplate.errors import JobError, Problem


class UnknownProfile(JobError, KeyError):
    """A name that is in no table that was loaded.

    `table` is the table's name ("motors"), `name` what was asked for, `near` the names most like it (best first),
    `known` all of them. `at` gives the same thing as a problem of the job file that named it.
    """

    def __init__(self, table: str, name: str, known: Iterable[str], near: tuple[str, ...] | None = None) -> None:
        self.table = table
        self.name = name
        self.known = tuple(known)
        self.near = _near(name, self.known) if near is None else near
        super().__init__((self.at(f"{table}.toml", None, ""),))

    def at(self, file: str, line: int | None, key: str) -> Problem:
        """This error as a Problem of the file, line and key that named the profile."""
        accepted = ", ".join(self.near or self.known[:12])
        if not self.near and len(self.known) > 12:
            accepted += " and others"
        kind = f"no such name in the table of {self.table}."
        if self.near:
            kind += f" Did you mean {self.near[0]!r}?"
        return Problem(file, line, key, repr(self.name), kind, accepted)

    def __str__(self) -> str:
        # KeyError would show the repr of its argument; people should read the sentence.
        return "\n".join(str(problem) for problem in self.problems)


def _near(name: str, known: tuple[str, ...]) -> tuple[str, ...]:
    from difflib import get_close_matches

    lowered = {word.lower(): word for word in reversed(known)}
    return tuple(lowered[word] for word in get_close_matches(name.lower(), lowered, n=3, cutoff=0.5))
