"""A document held against the tables of `gearplate.job.model`: typed values, and every fault in one list."""

from __future__ import annotations

import typing
from dataclasses import dataclass
from typing import Any

from pydantic import BaseModel, ValidationError

from gearplate.catalog import Catalog
from gearplate.errors import Problem
from gearplate.job.document import Document, existing
from gearplate.job.kinds import Refused, near_text
from gearplate.job.model import JobFile
from gearplate.job.model.table import Table, table_in
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
    problems: list[Problem] = []
    refused: list[KeyPath] = []
    data = document.data
    file = JobFile()
    for _ in range(3):  # what is refused is taken out, and the rest read again
        try:
            file = JobFile.model_validate(data, context=catalog)
            break
        except ValidationError as error:
            for fault in error.errors(include_url=False):
                path = tuple(fault["loc"])
                problems.append(_problem(document, path, fault))
                refused.append(existing(document.data, path) or path[:1])
        data = _without(data, refused)
    reading = Reading(document, catalog, file, problems, refused)
    _needed(reading, file, ())
    return reading


def _problem(document: Document, path: KeyPath, fault: Any) -> Problem:
    kind = fault["type"]
    if kind == "value_error" and isinstance(fault["ctx"]["error"], Refused):
        refused = fault["ctx"]["error"]
        return document.problem(path, refused.message, refused.accepted)
    if kind == "extra_forbidden":
        return _unknown(document, path)
    if kind in ("model_type", "model_attributes_type", "dict_type"):
        if path[-1] in ("driver", "driven") and isinstance(fault["input"], list):
            return document.problem(path, _TWO_SPEED, "one gear: a tooth count or a table")
        table = _table_at(path)
        if table is None or not table.shorthand:
            return document.problem(path, "This is not a table.", "a table { ... }")
        what = "text" if isinstance(fault["input"], str) else "no whole number"
        return document.problem(path, f"This is {what}.", "a tooth count (a whole number), or a table { ... }")
    if kind == "list_type":
        return document.problem(path, "This is not a list.", "a list [ ... ]")
    if kind == "too_long":
        most = fault["ctx"]["max_length"]
        return document.problem(path, "There are too many entries.", f"at most {most}")
    return document.problem(path, f"{fault['msg']}.")


def _unknown(document: Document, path: KeyPath) -> Problem:
    key = str(path[-1])
    table = _table_at(path[:-1])
    if key in _TWO_SPEED_KEYS and (len(path) == 1 or "stages" in path):
        return document.problem(path, _TWO_SPEED)
    known = () if table is None else tuple(table.model_fields)
    where = f"`{key[:40]}` is not a key here."
    if key in _IN_OTHER_WORDS:
        return document.problem(path, f"{where} {_IN_OTHER_WORDS[key]}")
    return document.problem(path, where + near_text(key, known), ", ".join(known))


def _table_at(path: KeyPath) -> type[Table] | None:
    """The table class that stands at a path, by the annotations of the tables above it."""
    table: type[Table] = JobFile
    for key in path:
        if isinstance(key, str) and key in table.model_fields:
            found = table_in(table.model_fields[key])
            if found is None:
                return None
            table = found
    return table


def _without(data: Any, paths: list[KeyPath]) -> Any:
    """A copy without what stands at these paths; a list with a refused entry goes as a whole."""
    for path in paths:
        if path:
            data = _cut(data, path)
    return data


def _cut(data: Any, path: KeyPath) -> Any:
    key, rest = path[0], path[1:]
    if isinstance(data, list):
        if not rest or not isinstance(key, int) or not key < len(data):
            return _GONE
        inner = _cut(data[key], rest)
        return _GONE if inner is _GONE else [*data[:key], inner, *data[key + 1 :]]
    if not isinstance(data, dict) or key not in data:
        return data
    inner = _cut(data[key], rest) if rest else _GONE
    others = {name: value for name, value in data.items() if name != key}
    return others if inner is _GONE else {**others, key: inner}


_GONE = object()


def _needed(reading: Reading, table: Table, path: KeyPath) -> None:
    """Says which keys are missing that must be given, in this table and in all under it."""
    fields = type(table).model_fields
    for key in type(table).needed:
        if getattr(table, key) is None:
            description = fields[key].description or ""
            reading.say((*path, key), "This key is missing.", description)
    for key in fields:
        value = getattr(table, key)
        if isinstance(value, BaseModel):
            _needed(reading, typing.cast(Table, value), (*path, key))
        elif isinstance(value, list | dict):
            items = value.items() if isinstance(value, dict) else enumerate(value)
            for name, item in items:
                if isinstance(item, Table):
                    _needed(reading, item, (*path, key, name))


def _related(one: KeyPath, other: KeyPath) -> bool:
    shorter = min(len(one), len(other))
    return one[:shorter] == other[:shorter]
