"""The manifest of a folder: what gearplate wrote into it, with role, size and SHA-256 of each file.

It is what lets a later build replace a folder without losing anything that somebody else put there or changed.
"""

from __future__ import annotations

import errno
import os
from collections.abc import Mapping
from typing import NamedTuple

from gearplate.errors import ToolBug
from gearplate.files.names import is_plain_name
from gearplate.files.system import SYSTEM, Ops

MANIFEST_NAME = "manifest.json"
FORMAT = "gearplate-manifest/1"
_HEAD = f'{{\n "manifest": "{FORMAT}",\n "files": ['

# Made by file browsers whenever somebody looks at a folder; nobody's work.
LITTER = frozenset({".DS_Store", "Thumbs.db"})


class Entry(NamedTuple):
    """One file of a manifest: name, role ("cut file", "preview", ...), SHA-256 in hex, size in bytes."""

    name: str
    role: str
    sha256: str
    size: int


def manifest_bytes(files: Mapping[str, bytes], roles: Mapping[str, str]) -> bytes:
    """The manifest of these files, sorted by name: the same files give the same bytes.

    Raises ToolBug for names that are not plain, equal but for upper and lower case, or without a role.
    """
    import json

    for name in files:
        if not is_plain_name(name):
            raise ToolBug(f"{name!r} is not a plain file name")
    if len({name.lower() for name in (*files, MANIFEST_NAME)}) != len(files) + 1:
        raise ToolBug(f"two files of one folder have the same name: {', '.join(sorted(files))}")
    if set(files) != set(roles):
        raise ToolBug(f"files and roles differ: {', '.join(sorted(set(files) ^ set(roles)))}")
    rows = [
        json.dumps({"name": name, "role": roles[name], "sha256": _sha256(data), "bytes": len(data)})
        for name, data in sorted(files.items())
    ]
    return (_HEAD + ",".join(f"\n  {row}" for row in rows) + "\n ]\n}\n").encode("ascii")


def read_manifest(folder: str | os.PathLike[str], ops: Ops = SYSTEM) -> tuple[Entry, ...] | None:
    """The entries of a folder's manifest, or None if it has none of ours. Raises OSError if it cannot be read."""
    import json

    path = os.path.join(folder, MANIFEST_NAME)
    if ops.kind(path) != "file":
        return None
    try:
        data = json.loads(ops.read(path))
        if data["manifest"] != FORMAT:
            return None
        entries = tuple(Entry(row["name"], row["role"], row["sha256"], row["bytes"]) for row in data["files"])
    except (ValueError, KeyError, TypeError, RecursionError):
        return None
    sound = all(
        isinstance(entry.name, str)
        and is_plain_name(entry.name)
        and isinstance(entry.role, str)
        and isinstance(entry.sha256, str)
        and isinstance(entry.size, int)
        for entry in entries
    )
    return entries if sound else None


class Survey(NamedTuple):
    """What stands in a folder beside what its manifest lists.

    `empty`: nothing but litter. `ours`: it has a manifest of ours. `foreign`: names that the manifest does not
    list. `changed`: listed files that are not what was written.
    """

    empty: bool
    ours: bool
    foreign: tuple[str, ...]
    changed: tuple[str, ...]


def survey(folder: str, ops: Ops) -> Survey:
    """Looks at every file of the folder. Raises OSError."""
    names = sorted(set(ops.names(folder)) - LITTER)
    entries = read_manifest(folder, ops)
    if entries is None:
        return Survey(not names, False, tuple(names), ())
    listed = {entry.name: entry for entry in entries}
    foreign, changed = [], []
    for name in names:
        path = os.path.join(folder, name)
        if name == MANIFEST_NAME:
            continue
        if name not in listed or ops.kind(path) != "file":
            foreign.append(name)
        elif _sha256(ops.read(path)) != listed[name].sha256:
            changed.append(name)
    return Survey(False, True, tuple(foreign), tuple(changed))


def is_half_made(folder: str, ops: Ops) -> bool:
    """Whether everything in this folder is provably ours, though it may be half written or half removed.

    The manifest is the first file that is written and the last that is removed, so what remains of a killed run
    is an empty folder, one with nothing but a torn manifest, or one whose manifest lists all that is there.
    """
    names = set(ops.names(folder)) - LITTER
    if names <= {MANIFEST_NAME}:
        if not names:
            return True
        path = os.path.join(folder, MANIFEST_NAME)
        if ops.kind(path) != "file":
            return False
        start, head = ops.read(path), _HEAD.encode()
        return start.startswith(head) or head.startswith(start)
    found = survey(folder, ops)
    return found.ours and not found.foreign


def remove(folder: str, ops: Ops) -> None:
    """Removes a folder of ours, file by file, the manifest last. Raises OSError, also where it is not all ours."""
    if not is_half_made(folder, ops):
        raise OSError(errno.ENOTEMPTY, os.strerror(errno.ENOTEMPTY), folder)
    for name in sorted(ops.names(folder), key=lambda name: (name == MANIFEST_NAME, name)):
        ops.unlink(os.path.join(folder, name))
    ops.rmdir(folder)


def _sha256(data: bytes) -> str:
    import hashlib

    return hashlib.sha256(data).hexdigest()
