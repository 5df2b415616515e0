"""Single values set from outside the file: `--set key=value`, and the changes that remedies ask for."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import replace
from typing import Any

from gearplate.errors import JobError, Problem
from gearplate.job.document import FILE_KEYS, SET, Document, Origin, dotted, existing, forget, with_units
from gearplate.source import KeyPath, Source, parse_toml

_LONGEST = 2000
_MOTOR_BY_NAME = re.compile(r"motors\.M[1-9]\.")
_DEEPEST = 12


def with_setting(document: Document, text: str) -> Document:
    """The document with one `key=value` set; the value is TOML, a bare word is text, null takes the key out.

    Raises JobError.
    """
    key, equals, value = text.partition("=")
    name = f"{SET}{_short(text)}"
    if not equals or not value.strip():
        raise _error(name, "", "This is not key=value.", 'such as wheel.diameter="5 in" or motors.count=2')
    if any("\udc80" <= character <= "\udcff" for character in text):
        raise _error(name, "", "This is not UTF-8 text: your terminal sends another encoding.", "text in UTF-8")
    if len(text) > _LONGEST or not (value.isprintable() and key.isprintable()):
        raise _error(name, "", f"A setting is one line of at most {_LONGEST} characters.")
    changed = _with_one(document, key.strip(), value.strip(), name)
    return replace(changed, settings=(*document.settings, f"{key.strip()}={value.strip()}"))


def _with_one(document: Document, key: str, value: str, name: str) -> Document:
    if value == "null":
        return _without(document, key, name)
    try:
        source = parse_toml(f"value = {value}", name)
    except JobError:
        if re.search(r"[\[\]{}\"'#=]", value):
            raise _error(name, key, "This is not a TOML value.", '5, "5 in", true, [1, 2] or {angle = 90}') from None
        source = parse_toml(f"value = '{value}'", name)
    return _set(document, key, source.data["value"], source, name)


def _without(document: Document, key: str, name: str) -> Document:
    """The document without a key: `--set key=null`, which says what a remedy's null in the record says."""
    if len(existing(document.data, path := _key_path(key, name))) < len(path) and not _MOTOR_BY_NAME.match(key):
        raise _error(name, key, "The job has no such key to take out.")
    return _set(document, key, None, Source(name, None, "", {}, {}), name)


def with_changes(document: Document, changes: Mapping[str, object]) -> Document:
    """The document with plain Python values set at dotted keys; None removes a key. Raises JobError.

    Bare numbers are in the units of the job's own file, as if they were written there.
    """
    for key, value in changes.items():
        name = f"{key} = {_short(str(value))}"
        source = Source(name, None, "", {"value": value}, {})
        document = _set(document, key, value, source, name)
    return document


def _set(document: Document, key: str, value: object, source: Source, name: str) -> Document:
    path = _key_path(key, name)
    if path[0] in FILE_KEYS:
        raise _error(name, key, "This key belongs to the file in which it stands and cannot be set.")
    changed = _Changed(document)
    path = changed.settle(path, name)
    for length in range(1, len(path)):
        if len(existing(document.data, path[:length])) < length:  # a table that this setting makes
            changed.origins.setdefault(path[:length], Origin(source, ()))
    changed.put(path, with_units(value, document.units), Origin(source, ("value",)))
    return replace(document, data=changed.data, origins=changed.origins)


def _key_path(key: str, name: str) -> KeyPath:
    parts: list[str | int] = []
    for part in key.split("."):
        match = re.fullmatch(r"([A-Za-z0-9_-]+)((?:\[[0-9]{1,3}\])*)", part.strip())
        if match is None or len(parts) > _DEEPEST:
            raise _error(name, key, "This is not a dotted key.", "such as wheel.diameter or motors[1].side")
        parts.append(match[1])
        parts += [int(index) for index in re.findall(r"[0-9]+", match[2])]
    return tuple(parts)


class _Changed:
    """A copy of a document's data, opened along one path at a time, so that the document stays as it is."""

    def __init__(self, document: Document) -> None:
        self.document = document
        self.data = dict(document.data)
        self.origins = dict(document.origins)

    def settle(self, path: KeyPath, name: str) -> KeyPath:
        """The path as it is in this document once shorthands in its way are written out; makes room for it."""
        settled: list[str | int] = []
        table: Any = self.data
        for place, key in enumerate(path):
            if settled == ["motors"]:
                table, key = self._motor(table, key)
            if isinstance(table, list):
                key = self._index(table, key, settled, name)
            elif not isinstance(table, dict) or isinstance(key, int):
                raise _error(name, dotted(path), f"{dotted(tuple(settled))} is not a {_WANTED[isinstance(key, int)]}.")
            settled.append(key)
            if place < len(path) - 1:
                table = self._open(table, key, tuple(settled), path[place + 1])
        return tuple(settled)

    def put(self, path: KeyPath, value: object, origin: Origin) -> None:
        table: Any = self.data
        for key in path[:-1]:
            table = table[key]
        forget(self.origins, path)
        if value is None:
            if isinstance(table, list):
                raise _error(dotted(path), dotted(path), "An entry of a list cannot be removed: set the whole list.")
            table.pop(path[-1], None)
            return
        if isinstance(table, list) and path[-1] == len(table):
            table.append(value)
        else:
            table[path[-1]] = value
        self.origins[path] = origin

    def _open(self, table: Any, key: str | int, path: KeyPath, following: str | int) -> Any:
        """The table or list under a key, copied into the copy; a shorthand there becomes the table that it means."""
        if isinstance(table, list) and key == len(table):
            table.append({})
        inner: Any = table.get(key) if isinstance(table, dict) else table[int(key)]
        if isinstance(inner, dict):
            inner = dict(inner)
        elif isinstance(inner, list):
            inner = list(inner)
        elif inner is None:
            inner = [] if isinstance(following, int) or (following == "0" and key in ("holes", "keep_outs")) else {}
        elif isinstance(inner, bool):
            inner = {}  # rail = false, and then a key of the rail: there is one after all
        elif isinstance(inner, int) and key in ("driver", "driven", "pinion", *range(10)):
            found = self.origins.get(path) or _origin(self.document, path)
            if found is not None:
                self.origins[(*path, "teeth")] = found
            inner = {"teeth": inner}
        table[key] = inner
        return inner

    def _index(self, table: list[Any], key: str | int, settled: list[str | int], name: str) -> int:
        index = key if isinstance(key, int) else int(key) if key.isdecimal() and len(key) < 4 else -1
        if not 0 <= index <= len(table):
            where = dotted(tuple(settled))
            accepted = f"{where}[0]" if len(table) < 2 else f"{where}[0] to {where}[{len(table) - 1}]"
            raise _error(name, where, f"There is no entry {key} in this list of {len(table)}.", accepted)
        return index

    def _motor(self, motors: Any, key: str | int) -> tuple[Any, str | int]:
        """Motors as single ones where one of a group is meant: by its name (M2), or by index into a single table."""
        named = re.fullmatch(r"M([1-9])", key) if isinstance(key, str) else None
        by_index = isinstance(motors, dict) and (isinstance(key, int) or key.isdecimal())
        if named is None and not by_index:
            return motors, key
        groups = motors if isinstance(motors, list) else [motors]
        singles: list[Any] = []
        origins: dict[KeyPath, Origin] = {}
        for number, group in enumerate(groups):
            count = group.get("count", 1) if isinstance(group, dict) else 1
            old = ("motors", number) if isinstance(motors, list) else ("motors",)
            for _ in range(count if isinstance(count, int) and 1 <= count <= 9 else 1):
                new = ("motors", len(singles))
                for path, origin in self.origins.items():
                    if path[: len(old)] == old:
                        origins[new + path[len(old) :]] = origin
                if new not in origins and (found := _origin(self.document, old)) is not None:
                    origins[new] = found
                single = dict(group) if isinstance(group, dict) else group
                if isinstance(single, dict):
                    single.pop("count", None)
                singles.append(single)
        forget(self.origins, ("motors",))
        self.origins |= origins
        self.data["motors"] = singles
        return singles, (int(named[1]) - 1 if named else key)


_WANTED = ("table", "list")


def _origin(document: Document, path: KeyPath) -> Origin | None:
    found = document.origin(existing(document.data, path))
    return None if found is None else Origin(*found)


def _short(text: str) -> str:
    text = "".join(character if character.isprintable() else "?" for character in text)
    return text if len(text) <= 60 else text[:57] + "..."


def _error(name: str, key: str, message: str, accepted: str = "") -> JobError:
    return JobError((Problem(name, None, _short(key), "", message, accepted),))
