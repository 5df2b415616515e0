"""One file, written whole or not at all."""

from __future__ import annotations

import os
from contextlib import suppress

from gearplate.errors import FileError
from gearplate.files.place import find_target, locked, reported, write_new
from gearplate.files.system import SYSTEM, Ops


def write_file(path: str | os.PathLike[str], data: bytes, *, overwrite: bool = False, ops: Ops = SYSTEM) -> None:
    """Writes `data` to `path`, whose folder must be there already.

    A file that is there is kept unless `overwrite` says otherwise, also if it came to be in the meantime.
    Raises FileError; nothing was changed then.
    """
    place = find_target(path)
    with reported(place.shown):
        if ops.kind(place.folder) != "folder":
            raise FileError(f"{place.shown}: there is no folder {place.folder}. Nothing was changed.")
        with locked(place.folder, ops) as held:
            kind = ops.kind(place.path)
            if kind not in ("file", None):
                raise FileError(f"{place.shown}: is not a file. Nothing was changed.")
            if kind == "file" and not overwrite:
                raise FileError(f"{place.shown}: is there already. Nothing was changed.")
            for leftover in place.leftovers(ops) if held else ():
                if ops.kind(leftover) == "file":
                    with suppress(OSError):
                        ops.unlink(leftover)
            fresh = place.fresh()
            try:
                write_new(fresh, data, ops)
                (ops.replace if overwrite else ops.rename)(fresh, place.path)
            except BaseException:
                with suppress(OSError):
                    ops.unlink(fresh)
                raise
            # The file is in its place, whole; a disk that does not confirm the name now loses it only with its power.
            with suppress(OSError):
                ops.flush_folder(place.folder)
