"""Reads one table file into rows; whatever is wrong in it comes back as one report with lines."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any, TypeVar

from gearplate.catalog.common import Front, read_standings
from gearplate.catalog.folders import profiles_folder
from gearplate.catalog.reading import MISSING, Fault, Reader, show
from gearplate.errors import JobError, Problem

# File name (without .toml) -> the word that every row's header begins with: [motor.generic-a].
TABLES = {
    "motors": "motor",
    "gears": "gear",
    "bearings": "bearing",
    "fasteners": "fastener",
    "shafts": "shaft",
    "retainers": "retainer",
    "chain": "chain",
    "materials": "material",
    "strengths": "strength",
    "cutters": "cutter",
}

R = TypeVar("R")

TOGETHER = 3  # keys that a row lacks: so many are told as one thing
_QUICK_BYTES = 1 << 17  # larger files go to the reader that has a limit and says so


def read_table(path: Path, word: str, shown: str, read: Callable[[Reader, str, Front], R]) -> dict[str, R]:
    """All rows of a table by name. `shown` is what rows say for the file that they stand in.

    Raises:
        FileError: the file cannot be read.
        JobError: everything that is wrong in it.
    """
    data = _load(path)
    faults: list[Fault] = []
    for key in data:
        if key not in (word, "sources", "standing_of"):
            accepted = f"[{word}.NAME], [sources], [standing_of]"
            faults.append(Fault((key,), "", "this table is not known here.", accepted))
    front = _read_front(data, shown, faults)
    rows: dict[str, R] = {}
    found = data.get(word, {})
    if not isinstance(found, dict):
        faults.append(Fault((word,), show(found), "this is not a table.", f"[{word}.NAME]"))
        found = {}
    for name, row in found.items():
        if isinstance(row, dict):
            rows[name] = read(Reader(row, (word, name), faults), name, front)
        else:
            faults.append(Fault((word, name), show(row), "this row is not a table.", f"[{word}.{name}]"))
    in_use = {key for row in found.values() if isinstance(row, dict) for key in row}
    for key, _ in front.standing_of:
        if key not in in_use:
            faults.append(Fault(("standing_of", key), "", "no row has such a key.", ", ".join(sorted(in_use))))
    if faults:
        raise JobError(_problems(path, _missing_together(faults, path.stem)))
    return rows


def _missing_together(faults: list[Fault], table: str) -> list[Fault]:
    """The faults, the keys that one row lacks as one of them, with the way to a row that has them all."""
    lacking: dict[tuple[str | int, ...], list[str]] = {}
    for fault in faults:
        if fault.message == MISSING:
            lacking.setdefault(fault.path[:2], []).append(dotted(fault.path[2:]))
    together: list[Fault] = []
    for fault in faults:
        keys = lacking.get(fault.path[:2], []) if fault.message == MISSING else []
        if len(keys) < TOGETHER:
            together.append(fault)
        elif keys[0] == dotted(fault.path[2:]):
            message = f"{len(keys)} keys are missing: {', '.join(keys)}. Copy a row, and change it: {_copy_of(table)}"
            together.append(Fault(fault.path[:2], "", message))
    return together


def _copy_of(table: str) -> str:
    """The command that prints a row of the shipped table."""
    row = next(iter(_load(profiles_folder() / f"{table}.toml")[TABLES[table]]))
    return f"gearplate profiles {table} {row}"


def _load(path: Path) -> dict[str, Any]:
    import tomllib

    # tomllib alone is three times as fast as the reader that knows lines; lines are wanted only where something is
    # wrong, so the slow reader runs then: it finds the same fault again and says it in words.
    try:
        raw = path.read_bytes()
        if len(raw) <= _QUICK_BYTES:
            return tomllib.loads(raw.decode("utf-8"))
    except (OSError, ValueError, RecursionError):
        pass
    from gearplate.source import read_toml

    return read_toml(path).data


def _read_front(data: dict[str, Any], shown: str, faults: list[Fault]) -> Front:
    sources = Reader({"sources": data.get("sources", {})}, (), faults).sub("sources")
    standings = Reader({"standing_of": data.get("standing_of", {})}, (), faults).sub("standing_of")
    return Front(
        file=shown,
        sources={key: sources.text(key) for key in sources.keys()} if sources else {},  # noqa: SIM118
        standing_of=read_standings(standings) if standings else (),
    )


def _problems(path: Path, faults: list[Fault]) -> tuple[Problem, ...]:
    from gearplate.source import read_toml

    source = read_toml(path)
    problems = []
    for fault in faults:
        line = source.line(fault.path)
        problems.append(Problem(str(path), line, dotted(fault.path), fault.value, fault.message, fault.accepted))
    return tuple(problems)


def dotted(path: tuple[str | int, ...]) -> str:
    """A key path as people write it: cutter.demo.calibration[1].kerf_mm."""
    text = ""
    for key in path:
        if isinstance(key, int):
            text += f"[{key}]"
        else:
            text += f".{key}" if text else key
    return text
