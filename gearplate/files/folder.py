"""A folder of files that is replaced as a whole.

The files are written into a fresh folder beside the target and flushed to the disk. Then the two are exchanged: in
one call where the system has one, elsewhere by two renames with a note of it, so that the next run can put things
right. What stood there before is removed only if all of it is ours and as we wrote it.

    .NAME.gearplate-<12 hex digits>   a folder being made, or the old one being removed
    .NAME.gearplate-swap              the note: NAME.old was made by us, and this exchange is under way
    NAME.old                          the old folder during an exchange by two renames

Whoever touches any of these holds a lock on the parent folder, so what lies about then belongs to a run that died.
"""

from __future__ import annotations

import errno
import os
from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager, suppress
from typing import NamedTuple

from gearplate.errors import FileError
from gearplate.files.manifest import MANIFEST_NAME, is_half_made, manifest_bytes, remove, survey
from gearplate.files.place import Target, find_target, listing, locked, reported, write_new
from gearplate.files.system import SYSTEM, Ops


class Written(NamedTuple):
    """What write_folder did: `files` in the folder, whether an older build was `replaced`, and what of it could not
    be removed and is still `left_behind` beside the folder (the next run tries again)."""

    folder: str
    files: tuple[str, ...]
    replaced: bool
    left_behind: tuple[str, ...] = ()


class _NotUndone(Exception):
    """An exchange failed half way and could not be undone: nothing more may be touched."""


def write_folder(
    target: str | os.PathLike[str],
    files: Mapping[str, bytes],
    roles: Mapping[str, str],
    ops: Ops = SYSTEM,
) -> Written:
    """Makes `target` a folder of exactly these files and their manifest; nothing else, or no change at all.

    `files`: name -> content; `roles`: name -> what the file is for. Folders above the target are made as needed.
    An existing target is replaced only if it is empty, or holds nothing but what its manifest lists, unchanged.

    Raises FileError (nothing was changed, or the text says what was), ToolBug for names that are not plain.
    """
    manifest = manifest_bytes(files, roles)
    place = find_target(target)
    _not_the_working_folder(place)
    with reported(place.shown), _parents(place, ops), locked(place.folder, ops) as held:
        _recover(place, held, ops)
        replaced = _check(place.path, place.shown, ops)
        fresh = place.fresh()
        try:
            ops.mkdir(fresh)
            write_new(os.path.join(fresh, MANIFEST_NAME), manifest, ops)
            for name, data in files.items():
                write_new(os.path.join(fresh, name), data, ops)
            ops.flush_folder(fresh)
            left_behind = _put_in_place(fresh, place, ops)
        except _NotUndone as stuck:
            raise FileError(f"{place.shown}: {stuck}") from stuck.__cause__
        except BaseException:
            with suppress(OSError):
                remove(fresh, ops)
            raise
    return Written(place.shown, tuple(sorted((*files, MANIFEST_NAME))), replaced, left_behind)


def check_target(target: str | os.PathLike[str], ops: Ops = SYSTEM) -> None:
    """Raises FileError if write_folder would refuse to replace this target: for use before the work is done."""
    place = find_target(target)
    _not_the_working_folder(place)
    with reported(place.shown):
        _check(place.path, place.shown, ops)


def recover(target: str | os.PathLike[str], ops: Ops = SYSTEM) -> None:
    """Puts right what a killed run left: the old folder comes back if it was on its way out, leftovers go.

    write_folder does it by itself; a command that only reads a folder calls this first. Raises FileError.
    """
    place = find_target(target)
    with reported(place.shown):
        if ops.kind(place.folder) == "folder":
            with locked(place.folder, ops) as held:
                _recover(place, held, ops)


def _recover(place: Target, held: bool, ops: Ops) -> None:
    _settle(place, ops)
    # Without a lock a fresh folder may be another run's that is still writing.
    for path in place.leftovers(ops) if held else ():
        with suppress(OSError):
            if ops.kind(path) == "folder":
                remove(path, ops)


def _check(path: str, shown: str, ops: Ops) -> bool:
    """Whether a build of ours stands there. Raises FileError if it may not be replaced."""
    kind = ops.kind(path)
    if kind is None:
        return False
    if kind != "folder":
        raise FileError(f"{shown}: is a file, not a folder. Nothing was changed.")
    if not ops.writable(path):  # it could be renamed all the same, but whoever locked it wants it kept
        raise FileError(f"{shown}: may not be written to (read-only). Nothing was changed.")
    found = survey(path, ops)
    advice = "Nothing was changed: move them elsewhere, or build into another folder with --out."
    if not found.ours and not found.empty:
        raise FileError(
            f"{shown}: is not empty and has no manifest of gearplate; it holds {listing(found.foreign)}. {advice}"
        )
    if found.foreign:
        raise FileError(f"{shown}: holds what gearplate did not write: {listing(found.foreign)}. {advice}")
    if found.changed:
        raise FileError(
            f"{shown}: holds files that were changed since gearplate wrote them: {listing(found.changed)}. {advice}"
        )
    return found.ours


def _put_in_place(fresh: str, place: Target, ops: Ops) -> tuple[str, ...]:
    """Gives `fresh` the target's name. Returns what could not be removed of the old folder.

    On any error the old state is back and `fresh` is again the new folder, or _NotUndone is raised.
    """
    if ops.kind(place.path) is None:
        ops.rename(fresh, place.path)
        with _undone(lambda: ops.rename(place.path, fresh), "The new folder stands in its place"):
            ops.flush_folder(place.folder)
        return ()
    if not ops.exchange(fresh, place.path):
        return _put_in_place_by_renames(fresh, place, ops)
    with _undone(lambda: _exchange_back(fresh, place, ops), f"The old folder is now {fresh}"):
        # Once more, now that nobody finds it under its name: a file may have come since the first look.
        _check(fresh, place.shown, ops)
        ops.flush_folder(place.folder)
    return _removed(fresh, ops)


def _put_in_place_by_renames(fresh: str, place: Target, ops: Ops) -> tuple[str, ...]:
    old, note = _old(place), _note(place)
    if ops.kind(old) is not None:
        raise FileError(f"{place.shown}: {old} stands in the way. Nothing was changed: move it elsewhere.")
    ops.mkdir(note)
    with _undone(lambda: _back(place, ops), f"The old folder is now {old}"):
        ops.flush_folder(place.folder)
        ops.rename(place.path, old)
        _check(old, place.shown, ops)
        ops.rename(fresh, place.path)
        with _undone(lambda: ops.rename(place.path, fresh), f"The old folder is now {old}"):
            ops.flush_folder(place.folder)
    left_behind = _removed(old, ops)
    if not left_behind:
        with suppress(OSError):
            ops.rmdir(note)
    return left_behind


def _back(place: Target, ops: Ops) -> None:
    """Takes an exchange by renames back; the note goes if it can, and otherwise in the next run."""
    if ops.kind(place.path) is None:
        ops.rename(_old(place), place.path)
    with suppress(OSError):
        ops.rmdir(_note(place))


def _settle(place: Target, ops: Ops) -> None:
    """Ends an exchange by renames that was killed: back if the new folder is not in its place, else onward."""
    old, note = _old(place), _note(place)
    if ops.kind(note) != "folder":
        return
    if ops.kind(old) == "folder":
        if ops.kind(place.path) is None:
            ops.rename(old, place.path)
        elif is_half_made(old, ops) and _removed(old, ops):
            return
    ops.rmdir(note)


def _exchange_back(fresh: str, place: Target, ops: Ops) -> None:
    if not ops.exchange(fresh, place.path):
        raise OSError(errno.ENOTSUP, os.strerror(errno.ENOTSUP), fresh)


def _removed(folder: str, ops: Ops) -> tuple[str, ...]:
    """Removes the old folder. The new one stands already, so a failure here is told, not raised."""
    try:
        remove(folder, ops)
    except OSError:
        return (folder,)
    return ()


@contextmanager
def _undone(undo: Callable[[], None], otherwise: str) -> Iterator[None]:
    """Takes a step back if what follows it fails; `otherwise` tells how things stand if that fails too."""
    try:
        yield
    except _NotUndone:
        raise
    except BaseException as cause:
        try:
            undo()
        except OSError as failure:
            raise _NotUndone(
                f"replacing it failed half way and could not be taken back ({failure.strerror}). {otherwise}; "
                "both the old and the new build are whole, and the next run puts this right."
            ) from cause
        raise


@contextmanager
def _parents(place: Target, ops: Ops) -> Iterator[None]:
    """Makes the folders above the target, and takes them away again if the work fails."""
    missing: list[str] = []
    folder = place.folder
    while ops.kind(folder) is None and os.path.dirname(folder) != folder:
        missing.append(folder)
        folder = os.path.dirname(folder)
    if ops.kind(folder) != "folder":
        raise FileError(f"{place.shown}: cannot be made, because {folder} is not a folder. Nothing was changed.")
    made: list[str] = []
    try:
        for folder in reversed(missing):
            with suppress(FileExistsError):  # another run was quicker
                ops.mkdir(folder)
                made.append(folder)
        yield
    except BaseException:
        for folder in reversed(made):
            with suppress(OSError):
                ops.rmdir(folder)
        raise


def _not_the_working_folder(place: Target) -> None:
    """A folder that a shell stands in cannot be exchanged under it: it would look into the removed one."""
    with suppress(OSError):
        here = os.path.realpath(os.getcwd())
        if os.path.join(here, "").startswith(os.path.join(place.path, "")):
            raise FileError(
                f"{place.shown}: is the folder in which the command was given. "
                "Nothing was changed: name a folder in it, or go elsewhere first."
            )


def _old(place: Target) -> str:
    return place.path + ".old"


def _note(place: Target) -> str:
    return os.path.join(place.folder, f".{place.name}.gearplate-swap")
