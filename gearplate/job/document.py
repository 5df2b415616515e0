"""A job as plain data, merged out of its files, with the file and line that every value came from."""

from __future__ import annotations

import re
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from gearplate.errors import Problem
from gearplate.job.lengths import InchFloat, InchInt
from gearplate.source import KeyPath, Source
from gearplate.units import Unit

# Keys that speak of the file in which they stand, not of the gearbox; they are not merged.
SET = "--set "  # begins the name of a source that is no file
_HEADER = re.compile(r"\[\[?[\w\s.\"'-]+\]\]?")  # of a table, which says no more than its key

FILE_KEYS = ("format", "units", "base", "drop", "profiles")


@dataclass(frozen=True, slots=True)
class Origin:
    """Where the value at a key path of the document stands: its key path in the source is `local`."""

    source: Source
    local: KeyPath


@dataclass(frozen=True, slots=True)
class Document:
    """A merged job. `data` holds bare numbers of inch files as InchInt and InchFloat, so that they keep their unit.

    `name` is what reports call the job's own file, `job_name` what its output folder is called after. `units` are
    those of the job's own file; `units_from` tells whether the file says so, its base does, or nobody.
    `folders` are those of the tables, the shipped ones first. `settings` were given from outside (`--set`), each as
    `key=value`; `data` has them already. Treat `data` as frozen: changes make a new document.
    """

    name: str
    job_name: str
    data: dict[str, Any]
    origins: dict[KeyPath, Origin]
    units: Unit
    units_from: str
    folders: tuple[Path, ...]
    settings: tuple[str, ...] = ()

    def origin(self, path: KeyPath) -> tuple[Source, KeyPath] | None:
        """The source of the value at a path, and its path there; None where no file has it or a table above it."""
        for length in range(len(path), 0, -1):
            found = self.origins.get(path[:length])
            if found is not None:
                return found.source, (*found.local, *path[length:])
        return None

    def problem(self, path: KeyPath, message: str, accepted: str = "") -> Problem:
        """A problem of the value at this path: its file and line, and the value as its writer wrote it.

        The path may run on past what stands in the file (a missing key, the count that a bare gear is).
        """
        there = existing(self.data, path)
        path = _as_written(self.data, path)
        found = self.origin(there)
        if found is None:
            return Problem(self.name, None, dotted(path), "", message, accepted)
        source, local = found
        # A key that is missing, or one that a shorthand stands for, has no value of its own to show.
        value = source.raw_value(local) if there == path or not isinstance(at(self.data, there), dict | list) else ""
        key = dotted(path if value == "" or there == path else there)
        if _HEADER.fullmatch(value) or _down_dots(source, local, at(self.data, there)):
            value = ""
        line = None if source.name.startswith(SET) else source.line(local)
        return Problem(source.name, line, key, value, message, accepted)

    def written(self, path: KeyPath) -> KeyPath:
        """The path, or where a table is written as `table.key = 1`, that of the key which stands there first."""
        path = existing(self.data, path)
        found = self.origin(path)
        return path if found is None else (*path, *_down_dots(*found, at(self.data, path)))


def _as_written(data: Any, path: KeyPath) -> KeyPath:
    """The path without the entry 0 that a single table of motors counts as."""
    return ("motors", *path[2:]) if path[:2] == ("motors", 0) and isinstance(data.get("motors"), dict) else path


def _down_dots(source: Source, local: KeyPath, value: Any) -> KeyPath:
    """The keys from a table that is written as `table.key = 1` down to what stands after the equals sign."""
    found: KeyPath = ()
    while isinstance(value, dict) and value and not source.raw_value((*local, *found)).startswith(("{", "[")):
        key = next(iter(value))
        if not source.raw_value((*local, *found, key)):
            break
        found, value = (*found, key), value[key]
    return found


def at(data: Any, path: KeyPath) -> Any:
    """The value at a path that is there."""
    inner: Any = data
    for key in path:
        inner = inner[key]
    return inner


def existing(data: Any, path: KeyPath) -> KeyPath:
    """As much of the path as the data has. A single table where a list may stand counts as its entry 0."""
    found: list[str | int] = []
    for key in path:
        if _has(data, key):
            data = data[key]
            found.append(key)
        elif not (isinstance(data, dict) and key == 0 and found == ["motors"]):
            break
    return tuple(found)


def _has(data: Any, key: str | int) -> bool:
    if isinstance(data, list):
        return isinstance(key, int) and 0 <= key < len(data)
    return isinstance(data, dict) and key in data


def dotted(path: KeyPath) -> str:
    """A key path as people write it, here and with --set: stages[1].driven."""
    text = ""
    for key in path:
        text += f"[{key}]" if isinstance(key, int) else f".{key}" if text else key
    return text


def with_units(value: Any, units: Unit) -> Any:
    """A copy of a file's value in which bare numbers keep that they are inches. Millimetres need no mark."""
    if isinstance(value, dict):
        return {key: with_units(item, units) for key, item in value.items()}
    if isinstance(value, list | tuple):
        return [with_units(item, units) for item in value]
    if units == "inch" and isinstance(value, int) and not isinstance(value, bool):
        return InchInt(value)
    if units == "inch" and isinstance(value, float):
        return InchFloat(value)
    return value


def forget(origins: dict[KeyPath, Origin], path: KeyPath) -> None:
    """Takes out the origins of a value and of all under it."""
    size = len(path)
    for known in [known for known in origins if known[:size] == path]:
        del origins[known]


def dotted_keys(data: dict[str, Any], above: str = "") -> list[str]:
    """Every key of tables, dotted, in order; lists are not entered."""
    keys = []
    for key, value in data.items():
        keys.append(above + key)
        if isinstance(value, dict):
            keys += dotted_keys(value, f"{above}{key}.")
    return keys
