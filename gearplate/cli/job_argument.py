"""Which job is meant: a path, a shipped job's name, or the only job file of the working folder."""

from __future__ import annotations

import os
import re

from gearplate.errors import UsageError

_JOB_KEYS = re.compile(r"(?m)^[ \t]*[\"']?(format|part|base|stages|reduction|motors)[\"']?[ \t]*[=.]")
_LOOKED_AT = 1 << 16
MOST_LISTED = 12


def find_job(job: str | None, command: str) -> str:
    """The path or shipped name to load. `command` is the one to show in what to type next. Raises UsageError."""
    if job is None:
        return _only_one(os.curdir, command)
    if os.path.lexists(job) and not os.path.isdir(job):
        return job
    from gearplate.job.base import shipped_jobs

    shipped = shipped_jobs()
    if job in shipped:  # also where a folder is called so: its build, most likely
        return job
    if os.path.isdir(job):
        return _only_one(job, command)
    import difflib

    here = job_files(os.path.dirname(job) or os.curdir)
    if f"{job}.toml" in (os.path.normpath(path) for path in here):
        near = [f"{job}.toml"]
    else:
        near = difflib.get_close_matches(job, [*here, *shipped], n=2, cutoff=0.6)
    hint = f" Did you mean {' or '.join(near)}?" if near else f" Shipped jobs: {', '.join(shipped)}."
    raise UsageError(f"{job}: there is no such file, and no shipped job of this name.{hint}")


def _only_one(folder: str, command: str) -> str:
    found = job_files(folder)
    if len(found) == 1:
        return found[0]
    place = "this folder" if folder == os.curdir else folder
    if not found:
        raise UsageError(
            f"there is no job file in {place}. Type gearplate new to write one to start from, "
            f"or gearplate {command} compost-drive for a shipped one."
        )
    listed = "".join(f"\n  gearplate {command} {_quoted(path)}" for path in found[:MOST_LISTED])
    more = f"\n  and {len(found) - MOST_LISTED} more" if len(found) > MOST_LISTED else ""
    raise UsageError(f"there are {len(found)} job files in {place}; say which:{listed}{more}")


def job_files(folder: str) -> list[str]:
    """The job files of a folder, in alphabetical order: TOML files that say a job's keys before their first table."""
    try:
        names = sorted(name for name in os.listdir(folder) if name.endswith(".toml"))
    except OSError:
        return []
    paths = [name if folder == os.curdir else os.path.join(folder, name) for name in names]
    return [path for path in paths if os.path.isfile(path) and _is_job(path)]


def _is_job(path: str) -> bool:
    try:
        with open(path, "rb") as file:
            text = file.read(_LOOKED_AT).decode("utf-8", "replace")
    except OSError:
        return False
    before_tables = re.split(r"(?m)^[ \t]*\[", text.removeprefix("\ufeff"), maxsplit=1)[0]
    return _JOB_KEYS.search(before_tables) is not None


def _quoted(path: str) -> str:
    return f'"{path}"' if re.search(r"\s", path) else path
