"""The system calls that write files and folders, as one table, so that tests can make each of them fail.

Every function takes plain paths as text and raises OSError. What differs between systems is settled here:
Linux and macOS exchange two folders in one call, Windows does not; folders can be flushed and locked on POSIX only.
"""

from __future__ import annotations

import errno
import os
import stat
import sys
from collections.abc import Callable
from typing import Literal, NamedTuple

Kind = Literal["file", "folder", "other"]

_LOCK_SECONDS = 30.0

# The file system, or the sandbox around it, does not know the call; EPERM is what older containers answer.
_NOT_OFFERED = {errno.EINVAL, errno.ENOSYS, errno.ENOTSUP, errno.EOPNOTSUPP, errno.EPERM}
# NFS and some others cannot lock a folder.
_NO_LOCKS = {errno.ENOLCK, errno.ENOTSUP, errno.EOPNOTSUPP, errno.EBADF, errno.EINVAL, errno.ENOSYS}


class Ops(NamedTuple):
    """The table. `SYSTEM` is the real one.

    create: a new file open for writing, an error if the name is taken. write: as much as the system takes at once,
    returns how much. flush, flush_folder: until the disk has it. rename: onto nothing, an error if the new name is
    taken. replace: onto a file. exchange: two names swap what they mean; False if the system cannot. kind: what
    stands there itself (a link is "other"), None for nothing. writable: whether a folder's files may come and go.
    lock: waits for its turn at that folder, the handle for `unlock` or None if the system cannot lock folders.
    """

    mkdir: Callable[[str], None]
    create: Callable[[str], int]
    write: Callable[[int, memoryview], int]
    flush: Callable[[int], None]
    close: Callable[[int], None]
    flush_folder: Callable[[str], None]
    rename: Callable[[str, str], None]
    replace: Callable[[str, str], None]
    exchange: Callable[[str, str], bool]
    unlink: Callable[[str], None]
    rmdir: Callable[[str], None]
    names: Callable[[str], list[str]]
    read: Callable[[str], bytes]
    kind: Callable[[str], Kind | None]
    writable: Callable[[str], bool]
    lock: Callable[[str], int | None]
    unlock: Callable[[int], None]


def _create(path: str) -> int:
    binary: int = getattr(os, "O_BINARY", 0)
    return os.open(path, os.O_WRONLY | os.O_CREAT | os.O_EXCL | binary, 0o666)


def _read(path: str) -> bytes:
    with open(path, "rb") as file:
        return file.read()


def _kind(path: str) -> Kind | None:
    try:
        mode = os.lstat(path).st_mode
    except (FileNotFoundError, NotADirectoryError):
        return None
    return "folder" if stat.S_ISDIR(mode) else "file" if stat.S_ISREG(mode) else "other"


def _writable(folder: str) -> bool:
    return os.access(folder, os.W_OK)


def _flush_folder(path: str) -> None:
    if sys.platform == "win32":
        return
    handle = os.open(path, os.O_RDONLY)
    try:
        os.fsync(handle)
    except OSError as error:
        if error.errno not in (errno.EINVAL, errno.EBADF):  # file systems that keep no such promise
            raise
    finally:
        os.close(handle)


def _special_rename(old: str, new: str, linux_flag: int, macos_flag: int) -> bool:
    """A rename with a flag; False if the system does not offer it. The flags are those of renameat2(2) on Linux
    and renamex_np(2) on macOS."""
    import ctypes

    try:
        if sys.platform == "linux":
            library = ctypes.CDLL(None, use_errno=True)
            here = -100  # AT_FDCWD
            answer = library.renameat2(here, os.fsencode(old), here, os.fsencode(new), linux_flag)
        elif sys.platform == "darwin":
            library = ctypes.CDLL(None, use_errno=True)
            answer = library.renamex_np(os.fsencode(old), os.fsencode(new), macos_flag)
        else:
            return False
    except AttributeError:  # a C library without it
        return False
    if answer == 0:
        return True
    code = ctypes.get_errno()
    if code in _NOT_OFFERED:
        return False
    raise OSError(code, os.strerror(code), old, None, new)


def _exchange(one: str, other: str) -> bool:
    return _special_rename(one, other, linux_flag=2, macos_flag=2)  # RENAME_EXCHANGE, RENAME_SWAP


def _rename(old: str, new: str) -> None:
    if _special_rename(old, new, linux_flag=1, macos_flag=4):  # RENAME_NOREPLACE, RENAME_EXCL
        return
    if os.path.lexists(new):
        raise FileExistsError(errno.EEXIST, os.strerror(errno.EEXIST), new)
    os.rename(old, new)


def _lock(folder: str) -> int | None:
    if sys.platform == "win32":
        return _lock_on_windows(folder)
    import fcntl

    handle = os.open(folder, os.O_RDONLY)
    try:
        if _wait_for(lambda: fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB), folder):
            return handle
    except BaseException:
        os.close(handle)
        raise
    os.close(handle)
    return None


def _lock_on_windows(folder: str) -> int | None:
    """Windows locks no folders: a file in the folder for temporary files stands for it."""
    if sys.platform != "win32":
        return None
    import hashlib
    import msvcrt
    import tempfile

    token = hashlib.sha256(os.path.normcase(folder).encode("utf-8", "surrogatepass")).hexdigest()[:24]
    handle = os.open(os.path.join(tempfile.gettempdir(), f"gearplate-{token}.lock"), os.O_RDWR | os.O_CREAT)
    try:
        if _wait_for(lambda: msvcrt.locking(handle, msvcrt.LK_NBLCK, 1), folder):
            return handle
    except BaseException:
        os.close(handle)
        raise
    os.close(handle)
    return None


def _wait_for(attempt: Callable[[], None], folder: str) -> bool:
    """Tries until the lock is ours (True); False if locks are not offered, TimeoutError after half a minute."""
    import time

    begun = time.monotonic()
    while True:
        try:
            attempt()
        except OSError as error:
            if error.errno in _NO_LOCKS:
                return False
            if error.errno not in (errno.EWOULDBLOCK, errno.EAGAIN, errno.EACCES, errno.EDEADLK):
                raise
        else:
            return True
        if time.monotonic() - begun > _LOCK_SECONDS:
            raise TimeoutError(errno.ETIMEDOUT, "another gearplate is writing beside it and does not end", folder)
        time.sleep(0.01)


SYSTEM = Ops(
    mkdir=os.mkdir,
    create=_create,
    write=os.write,
    flush=os.fsync,
    close=os.close,
    flush_folder=_flush_folder,
    rename=_rename,
    replace=os.replace,
    exchange=_exchange,
    unlink=os.unlink,
    rmdir=os.rmdir,
    names=os.listdir,
    read=_read,
    kind=_kind,
    writable=_writable,
    lock=_lock,
    unlock=os.close,
)
