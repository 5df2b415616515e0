"""A job file and the files that it starts from (`base`), merged into one document.

Tables merge key by key, lists and single values are replaced whole, `drop` takes keys away before that. Bare numbers
are read in the units of the file in which they stand; a file that names no units has those of its base, else mm.
"""

from __future__ import annotations

import os
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from gearplate.errors import FileError, JobError, Problem
from gearplate.job.document import FILE_KEYS, Document, Origin, dotted, dotted_keys, forget, with_units
from gearplate.job.kinds import Count, Kind, ListOf, Refused, Text, WordOf, near_text
from gearplate.source import KeyPath, Source, parse_toml, read_toml
from gearplate.units import Unit

FORMAT = 1
_LONGEST_CHAIN = 20
_FILE_KINDS: dict[str, Kind] = {
    "format": Count(1, FORMAT),
    "units": WordOf(("mm", "inch")),
    "base": Text(300),
    "drop": ListOf(Text(200), 'dotted keys such as "limits.height"', least=0),
    "profiles": Text(300),
}


def shipped_jobs() -> dict[str, Path]:
    """The ready examples by name, in alphabetical order."""
    from gearplate.catalog import profiles_folder

    return {path.stem: path for path in sorted((profiles_folder() / "jobs").glob("*.toml"))}


def read_document(path: str | os.PathLike[str]) -> Document:
    """The job file at `path`, or the shipped job of that name, with its bases.

    Raises FileError where the file cannot be read, JobError with all that is wrong in the chain of files.
    """
    shown = os.fspath(path)
    if (not os.path.exists(shown) or os.path.isdir(shown)) and shown in (jobs := shipped_jobs()):
        path, shown = jobs[shown], f"{shown}.toml (shipped)"
    return _document(read_toml(path, shown), Path(path).parent, Path(path).stem)


def parse_document(text: str, name: str, folder: str | os.PathLike[str] | None) -> Document:
    """As read_document for text in hand; `base` and `profiles` count from `folder`, where there is one."""
    return _document(parse_toml(text, name), Path(folder) if folder is not None else None, Path(name).stem)


@dataclass(slots=True)
class _File:
    """One file of the chain: what its own keys say, its folder, and its identity for the search for loops."""

    source: Source
    folder: Path | None
    identity: str
    own: dict[str, Any]
    has_base: bool = False  # which could be read


class _Chain:
    def __init__(self) -> None:
        self.files: list[_File] = []  # the job's own file first
        self.problems: list[Problem] = []

    def add(self, source: Source, folder: Path | None, identity: str) -> None:
        file = _File(source, folder, identity, {})
        self.files.append(file)
        self._refuse_newer(source)
        for key, kind in _FILE_KINDS.items():
            if key in source.data:
                try:
                    file.own[key] = kind.read(source.data[key])
                except Refused as refused:
                    self.say(source, (key,), refused.message, refused.accepted)
        base = file.own.get("base")
        if base is not None:
            self._follow(file, base)
        elif file.own.get("drop") and "base" not in source.data:
            self.say(source, ("drop",), "This file has no base to drop keys of.")

    def say(self, source: Source, path: KeyPath, message: str, accepted: str = "") -> None:
        key = dotted(path)
        self.problems.append(Problem(source.name, source.line(path), key, source.raw_value(path), message, accepted))

    def _refuse_newer(self, source: Source) -> None:
        """A newer file may hold keys that this gearplate cannot know: nothing else in it is worth a word then."""
        number = source.data.get("format")
        if isinstance(number, int) and not isinstance(number, bool) and number > FORMAT:
            from importlib.metadata import PackageNotFoundError, version

            try:
                ours = f"gearplate {version('gearplate')}"
            except PackageNotFoundError:  # run from a folder that was never installed
                ours = "gearplate"
            message = (
                f"This file is of format {str(number)[:20]} and needs a newer gearplate: "
                f"this one ({ours}) reads formats up to {FORMAT}."
            )
            self.say(source, ("format",), message, f"format = {FORMAT}, or a newer gearplate")
            raise JobError(tuple(self.problems[-1:]))

    def _follow(self, file: _File, base: str) -> None:
        source = file.source
        jobs = shipped_jobs()
        if base.endswith(".toml") or "/" in base or "\\" in base:
            if file.folder is None:
                accepted = "the name of a shipped job: " + ", ".join(jobs)
                self.say(source, ("base",), "There is no folder that this path could count from.", accepted)
                return
            path = file.folder / base
            shown = os.path.normpath(os.path.join(os.path.dirname(source.name), base))
            if source.name.endswith(" (shipped)"):
                shown = f"{path.name} (shipped)"
        elif base in jobs:
            path, shown = jobs[base], f"{base}.toml (shipped)"
        else:
            beside = file.folder is not None and (file.folder / f"{base}.toml").is_file()
            near = f' Did you mean "{base}.toml", the file beside this one?' if beside else near_text(base, jobs)
            accepted = "a path that ends in .toml, from this file's folder, or a shipped job: " + ", ".join(jobs)
            self.say(source, ("base",), f"There is no shipped job of this name.{near}", accepted)
            return
        identity = os.path.realpath(path)
        names = [known.identity for known in self.files]
        if identity in names:
            loop = [known.source.name for known in self.files[names.index(identity) :]]
            self.say(source, ("base",), "The bases run in a loop: " + " -> ".join([*loop, loop[0]]) + ".")
            return
        if len(self.files) >= _LONGEST_CHAIN:
            self.say(source, ("base",), f"More than {_LONGEST_CHAIN} files stand on each other.")
            return
        if os.path.lexists(path) and not os.path.isfile(path):
            self.say(source, ("base",), "This is not a file.")
            return
        try:
            found = read_toml(path, shown)
        except FileError as error:
            self.say(source, ("base",), str(error))
        except JobError as error:
            self.problems += error.problems
        else:
            file.has_base = True
            self.add(found, path.parent, identity)


def _document(source: Source, folder: Path | None, job_name: str) -> Document:
    chain = _Chain()
    chain.add(source, folder, os.path.realpath(source.path) if source.path is not None else "")
    data: dict[str, Any] = {}
    origins: dict[KeyPath, Origin] = {}
    units: Unit = "mm"
    units_from = "nobody"
    for file in reversed(chain.files):
        if "units" in file.own:
            units, units_from = file.own["units"], "file"
        elif units_from == "file":
            units_from = "base"
        _drop(chain, file, data, origins)
        own = {key: value for key, value in file.source.data.items() if key not in FILE_KEYS}
        _merge(data, with_units(own, units), (), file.source, origins)
    folders = _folders(chain)
    if chain.problems:
        raise JobError(tuple(chain.problems))
    return Document(source.name, job_name, data, origins, units, units_from, folders)


def _drop(chain: _Chain, file: _File, data: dict[str, Any], origins: dict[KeyPath, Origin]) -> None:
    if not file.has_base:
        return
    for index, key in enumerate(file.own.get("drop", ())):
        path = tuple(key.split("."))
        table: Any = data
        for part in path[:-1]:
            table = table.get(part) if isinstance(table, dict) else None
        if isinstance(table, dict) and path[-1] in table:
            del table[path[-1]]
            forget(origins, path)
        else:
            known = dotted_keys(data)
            message = "The base has no such key to drop." + near_text(key, known)
            chain.say(file.source, ("drop", index), message, ", ".join(known[:20]))


def _merge(
    data: dict[str, Any], over: dict[str, Any], path: KeyPath, source: Source, origins: dict[KeyPath, Origin]
) -> None:
    for key, value in over.items():
        here = (*path, key)
        if isinstance(value, dict) and isinstance(data.get(key), dict):
            _merge(data[key], value, here, source, origins)
        else:
            if key in data:
                forget(origins, here)
            data[key] = value
            origins[here] = Origin(source, here)


def _folders(chain: _Chain) -> tuple[Path, ...]:
    """The folders of tables: the shipped one, then per file, bases first: the one beside it, the one it names."""
    from gearplate.catalog import profiles_folder

    folders = [profiles_folder()]
    for file in reversed(chain.files):
        if file.folder is not None and (beside := file.folder / "profiles").is_dir():
            folders.append(beside)
        elif file.folder is not None and os.path.lexists(beside):
            told = "Beside this file, `profiles` is no folder: tables of your own stand in a folder of that name."
            chain.problems.append(Problem(file.source.name, None, "", "", told, "a folder, or another name for it"))
        named = file.own.get("profiles")
        if named is None:
            continue
        if file.folder is None:
            chain.say(file.source, ("profiles",), "There is no folder that this path could count from.")
        elif not (file.folder / named).is_dir():
            chain.say(file.source, ("profiles",), "There is no such folder beside this file.")
        else:
            folders.append(file.folder / named)
    for folder in folders[1:]:
        chain.problems += [
            Problem(str(entry), None, "", "", "This is no file: nothing can be read from it.", "a table as a file")
            for entry in sorted(folder.glob("*.toml"))
            if not entry.is_file()
        ]
    unique: dict[str, Path] = {}
    for folder in folders:
        unique.setdefault(os.path.realpath(folder), folder)
    return tuple(unique.values())
