"""What folders and single files have in common: where the target really is, its lock, new names beside it, words."""

from __future__ import annotations

import os
import re
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from typing import NamedTuple

from gearplate.errors import FileError
from gearplate.files.system import Ops


class Target(NamedTuple):
    """A target as its user calls it (`shown`), and where it really is, links followed: `folder` / `name`."""

    shown: str
    folder: str
    name: str

    @property
    def path(self) -> str:
        return os.path.join(self.folder, self.name)

    def fresh(self) -> str:
        """A new name beside the target that nobody else uses, and that `leftovers` knows again."""
        return os.path.join(self.folder, f".{self.name}.gearplate-{os.urandom(6).hex()}")

    def leftovers(self, ops: Ops) -> list[str]:
        """The paths beside the target that carry such a name: whoever holds the lock knows that their makers died."""
        pattern = re.compile(re.escape(f".{self.name}.gearplate-") + "[0-9a-f]{12}")
        return [os.path.join(self.folder, name) for name in ops.names(self.folder) if pattern.fullmatch(name)]


def find_target(path: str | os.PathLike[str]) -> Target:
    """Follows links, so that a linked folder stays a link and what it points to is replaced.

    Raises FileError for a link to nowhere, for the root, and for what no path can be.
    """
    shown = os.fspath(path)
    if not shown or "\0" in shown:
        raise FileError(f"{shown!r} is not a path.")
    with reported(shown):
        real = os.path.realpath(shown)
        if os.path.islink(shown) and not os.path.exists(shown):
            raise FileError(f"{shown}: is a link to something that does not exist. Nothing was changed.")
    folder, name = os.path.split(real)
    if not name:
        raise FileError(f"{shown}: is the root of a file system; name a folder or file in it. Nothing was changed.")
    return Target(shown, folder, name)


@contextmanager
def reported(shown: str) -> Iterator[None]:
    """Turns an OSError into a FileError that names the target as its user does."""
    try:
        yield
    except OSError as error:
        reason = error.strerror or str(error)
        raise FileError(f"{shown}: cannot be written: {reason}. Nothing was changed.") from error


@contextmanager
def locked(folder: str, ops: Ops) -> Iterator[bool]:
    """Waits for the turn of this process at `folder`. Yields False where the system cannot lock folders.

    The lock ends with the process, however it ends, and leaves no file behind.
    """
    handle = ops.lock(folder)
    try:
        yield handle is not None
    finally:
        if handle is not None:
            with suppress(OSError):
                ops.unlock(handle)


def write_new(path: str, data: bytes, ops: Ops) -> None:
    """Writes a new file and waits until the disk has it. Raises OSError; the file may then be there in part."""
    handle = ops.create(path)
    try:
        rest = memoryview(data)
        while rest:
            rest = rest[ops.write(handle, rest) :]
        ops.flush(handle)
    except BaseException:
        with suppress(OSError):
            ops.close(handle)
        raise
    ops.close(handle)


def listing(names: tuple[str, ...]) -> str:
    """Names for a report: five of them, then how many more; what cannot be printed as escapes."""
    shown = [name if name.isprintable() else ascii(name)[1:-1] for name in names[:5]]
    return ", ".join(shown) + (f" and {len(names) - 5} more" if len(names) > 5 else "")
