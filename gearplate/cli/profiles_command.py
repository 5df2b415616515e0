"""`gearplate profiles`: what a job can name."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import TYPE_CHECKING, Any

import click

from gearplate.cli.options import json_option
from gearplate.cli.say import complain, say, width
from gearplate.errors import JobError, UsageError

if TYPE_CHECKING:
    from pathlib import Path


@click.command("profiles", short_help="List what a job can name: motors, bearings, ...")
@click.argument("table", required=False, metavar="[TABLE")
@click.argument("name", required=False, metavar="[NAME]]")
@json_option
def command(table: str | None, name: str | None, as_json: bool) -> None:
    """List what a job can name: the tables, the rows of one TABLE, or one row as TOML, ready to
    be pasted into a table of your own and changed.

    A folder `profiles` in the working folder is laid over the shipped tables, as it is for a job that stands there.
    """
    from gearplate.cli import profile_text

    if table is None:
        say(_json(profile_text.TABLES) if as_json else profile_text.tables_text())
        return
    if table not in profile_text.TABLES:
        raise UsageError(f"there is no table {table!r}.{_near(table, profile_text.TABLES)}")
    if table == "jobs":
        _jobs(name, as_json)
        return
    rows, folders = _rows(table, name)
    if as_json:
        say(_json([{"name": key, **_plain(row)} for key, row in rows.items()]))
    elif name is None:
        say(profile_text.table_text(table, rows, width()))
    else:
        from gearplate.cli.row_toml import row_toml

        say("\n\n".join(row_toml(table, key, folders, folders[0]) for key in rows))


def _rows(table: str, name: str | None) -> tuple[Mapping[str, Any], list[Path]]:
    """Rows by name, and the folders that were laid over each other, the shipped one first."""
    from pathlib import Path

    from gearplate.catalog import load_catalog, profiles_folder

    folders = [profiles_folder()]
    own = Path("profiles")
    if own.is_dir() and not own.samefile(folders[0]):
        folders.append(own)
    try:
        rows = load_catalog(folders).table(table)
    except JobError as error:
        # Who looks for a row to copy is not helped by what is wrong in their own.
        shipped = load_catalog(folders[:1]).table(table)
        if name is None or name not in shipped:
            raise
        complain(f"The shipped row, since your own table is not right yet:\n{error}")
        return {name: shipped[name]}, folders[:1]
    if name is None:
        return rows, folders
    found = {key: row for key, row in rows.items() if key == name or name in getattr(row, "also", ())}
    if not found:
        raise UsageError(f"the table of {table} has no {name!r}.{_near(name, rows)}")
    return found, folders


def _jobs(name: str | None, as_json: bool) -> None:
    from gearplate.job.base import shipped_jobs

    jobs = shipped_jobs()
    if name is not None:
        if name not in jobs:
            raise UsageError(f"there is no shipped job {name!r}.{_near(name, jobs)}")
        say(jobs[name].read_text(encoding="utf-8").rstrip("\n"))
    elif as_json:
        say(_json(list(jobs)))
    else:
        from gearplate.cli.profile_text import jobs_text

        say(jobs_text(jobs, width()))


def _near(name: str, known: Iterable[str]) -> str:
    import difflib

    known = list(known)
    near = difflib.get_close_matches(name.lower(), known, n=3, cutoff=0.5)
    if near:
        return f" Did you mean {' or '.join(near)}?"
    return f" There are: {', '.join(known[:20])}{' and more' if len(known) > 20 else ''}."


def _plain(row: Any) -> dict[str, Any]:
    from dataclasses import asdict

    return asdict(row)


def _json(value: object) -> str:
    import json

    return json.dumps(value, indent=1, ensure_ascii=True)
