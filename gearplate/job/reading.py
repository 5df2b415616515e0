"""A document held against the tables of `gearplate.job.model`: typed values, and every fault in one list."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import cast

from gearplate.catalog import Catalog
from gearplate.errors import Problem
from gearplate.job.document import Document, at, existing
from gearplate.job.kinds import Profile, Refused, near_text, near_word
from gearplate.job.model import JobFile
from gearplate.job.model.table import Faults, Table
from gearplate.source import KeyPath

# Keys that do not exist but that people look for, with what to say instead.
_IN_OTHER_WORDS = {
    "kerf": "The kerf belongs to the cutter: it stands in the cutter's profile, for each material.",
    "taper": "The taper belongs to the cutter: it stands in the cutter's profile, for each material.",
    "fits": "Fits belong to the cutter's profile; for a single bearing set fit in shafts.NAME.",
    "ratio": "A wanted ratio is written reduction = {ratio = 10.5}.",
    "form": "The stock says the form of a shaft. Only round and hexagonal shafts are known; others are out of scope.",
}
_TWO_SPEED = "Gearboxes of two speeds (two gear pairs between one pair of shafts) are out of scope."
_TWO_SPEED_KEYS = ("two_speed", "speeds", "speed", "low", "high", "low_gear", "high_gear", "second", "shifter", "pairs")
MOST_NEAR = 200  # unknown keys whose nearest known one is looked for: that takes a while, and nobody mistypes more
MOST_ALSO = 6  # keys told beside the first where one thing is wrong with many


@dataclass(slots=True)
class Reading:
    """What a document says. `file` holds what could be read: a key that was refused or is missing is None there.

    `refused` are the paths of values that could not be read: whatever else would be said about them, or about keys
    above or below them, is not worth a line of its own.
    """

    document: Document
    catalog: Catalog
    file: JobFile
    problems: list[Problem]
    refused: list[KeyPath]

    def say(self, path: KeyPath, message: str, accepted: str = "", about: tuple[KeyPath, ...] = ()) -> None:
        """Adds a problem, unless the value at the path, or one it is `about`, was refused before, or something was
        said of this very key already (a bearing named once for several shafts)."""
        if any(_related(one, other) for one in (path, *about) for other in self.refused):
            return
        found = self.document.problem(path, message, accepted)
        if not any(
            (known.file, known.line, known.key) == (found.file, found.line, found.key) for known in self.problems
        ):
            self.problems.append(found)

    def has(self, *path: str | int) -> bool:
        """Whether the document has this key."""
        return len(existing(self.document.data, path)) == len(path)


def read(document: Document, catalog: Catalog) -> Reading:
    """Every value of the document, typed; problems for all that cannot be read and for keys that must be there."""
    faults = Faults(catalog)
    file = JobFile.read(document.data, (), faults)
    problems = _all_refused(document, faults.refused)
    problems += [_unknown(document, *one, number < MOST_NEAR) for number, one in enumerate(faults.unknown)]
    paths = [path for path, _ in (*faults.refused, *faults.unknown)]
    refused = [existing(document.data, path) or path[:1] for path in paths]
    # What a mistyped key was meant to be is not missing.
    for path, table in faults.unknown[:MOST_NEAR]:
        near = near_word(str(path[-1]), table.keys)
        if near is not None:
            refused.append((*path[:-1], near))
    reading = Reading(document, catalog, cast(JobFile, file), problems, refused)
    _needed(reading, reading.file, ())
    return reading


def _all_refused(document: Document, refused: list[tuple[KeyPath, Refused]]) -> list[Problem]:
    """A problem for each; where no file names its units, one for all the bare numbers that would do as inches."""
    if document.units_from != "nobody":
        return [_refused(document, path, one) for path, one in refused]
    told = [(path, one if not one.no_units else Refused(one.no_units, one.accepted)) for path, one in refused]
    inches = [path for path, one in refused if one.in_inches]
    if not inches:
        return [_refused(document, path, one) for path, one in told]
    add = 'if bare numbers are inches, add units = "inch"'
    if len(inches) == 1:
        with_units = {path: Refused(f"{one.message} Or, {add}.", one.accepted) for path, one in told}
        return [_refused(document, path, with_units[path] if path in inches else one) for path, one in told]
    problems = [_refused(document, path, one) for path, one in told if path not in inches]
    first, *others = [document.problem(path, "") for path in inches]
    also = ", ".join(_with_line(other) for other in others[:MOST_ALSO])
    more = f" and {len(others) - MOST_ALSO} more" if len(others) > MOST_ALSO else ""
    message = f"no units are given, so bare numbers are mm, and this one is out of range, as are {also}{more}: {add}."
    return [
        replace(first, message=message, accepted='units = "inch" or units = "mm", or text such as "4 in"'),
        *problems,
    ]


def _with_line(problem: Problem) -> str:
    return f"{problem.key} = {problem.value}" + ("" if problem.line is None else f" (line {problem.line})")


def _refused(document: Document, path: KeyPath, refused: Refused) -> Problem:
    if path[-1] in ("driver", "driven") and "stages" in path and isinstance(at(document.data, path), list):
        return document.problem(path, _TWO_SPEED, "one gear: a tooth count or a table")
    return document.problem(path, refused.message, refused.accepted)


def _unknown(document: Document, path: KeyPath, table: type[Table], with_near: bool) -> Problem:
    key, path = str(path[-1]), document.written(path)
    if key in _TWO_SPEED_KEYS and (path[0] == key or "stages" in path):
        return document.problem(path, _TWO_SPEED)
    where = f"`{key[:40]}` is not a key here."
    if key in _IN_OTHER_WORDS:
        return document.problem(path, f"{where} {_IN_OTHER_WORDS[key]}")
    near = near_text(key, table.keys) if with_near else ""
    return document.problem(path, where + near, ", ".join(table.keys))


def _needed(reading: Reading, table: Table, path: KeyPath) -> None:
    """Says which keys are missing that must be given, in this table and in all under it."""
    for key in type(table).needed:
        if getattr(table, key) is None:
            shape = table.keys[key].shape
            accepted = shape.accepted if isinstance(shape, Profile) else table.keys[key].description
            reading.say((*path, key), "This key is missing.", accepted)
    for key in table.keys:
        value = getattr(table, key)
        if isinstance(value, Table):
            _needed(reading, value, (*path, key))
        elif isinstance(value, list | dict):
            items = value.items() if isinstance(value, dict) else enumerate(value)
            for name, item in items:
                if isinstance(item, Table):
                    _needed(reading, item, (*path, key, name))


def _related(one: KeyPath, other: KeyPath) -> bool:
    shorter = min(len(one), len(other))
    return one[:shorter] == other[:shorter]
