"""A changed job as a file of its own: its `base`, and only what differs."""

from __future__ import annotations

import json
import os
import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from gearplate.errors import JobError, ToolBug, UsageError
from gearplate.job.base import shipped_jobs
from gearplate.job.document import Document
from gearplate.job.lengths import InchFloat, InchInt
from gearplate.job.load import load_job_text
from gearplate.job.spec import JobSpec

Path = tuple[str, ...]


@dataclass(frozen=True, slots=True)
class _Number:
    """A bare number and the unit that it has if it is a length."""

    text: str
    inch: bool


def file_of(job: JobSpec, over: Document, base: str, name: str, folder: str, remarks: Sequence[str] = ()) -> str:
    """The text of a file that stands on `base` (as `base_from` gives it) and makes `job` of it; `over` is the base's
    document. The text is read back before it is handed out: it says the same job.

    `name` is what the file is to be called, `folder` where it is to stand; `remarks` become comments at its top.
    Raises UsageError where what differs cannot be said in one file's units.
    """
    changed = job.document
    drop, differ = _differences(over.data, changed.data)
    inch = changed.units == "inch"
    # a bare number from a file in the other unit: text with its unit where it is a length, else the number as it is
    foreign = [number for _, value in differ for number in _numbers(value) if number.inch is not inch]
    with_unit = [False] * len(foreign)

    def text() -> str:
        spelt = dict(zip(map(id, foreign), with_unit, strict=True))
        lines = [*(f"# {remark}" for remark in remarks), "format = 1", f"base = {_text(base)}"]
        if drop:
            lines.append(f"drop = [{', '.join(_text('.'.join(path)) for path in drop)}]")
        lines.append(f'units = "{changed.units}"')
        lines += [f"{'.'.join(map(_key, path))} = {_value(value, spelt)}" for path, value in differ]
        return "\n".join(lines) + "\n"

    for index in range(len(foreign)):
        before = _problems(text(), name, folder)
        with_unit[index] = True
        if _problems(text(), name, folder) > before:
            with_unit[index] = False  # a count, an angle, a plain number
    written = text()
    try:
        back = load_job_text(written, name, folder)
    except JobError as error:
        if foreign:
            raise UsageError("what differs mixes inches and millimetres: give the lengths with their units") from error
        raise ToolBug(f"the changed job cannot be read back: {error}") from error
    if not same_job(back, job):
        raise ToolBug("the changed job does not read back as it was meant")
    return written


def _problems(text: str, name: str, folder: str) -> int:
    try:
        load_job_text(text, name, folder)
    except JobError as error:
        return len(error.problems)
    return 0


def same_job(one: JobSpec, other: JobSpec) -> bool:
    """Whether two jobs ask for the same, but for where they say it."""
    return (
        one.resolved == other.resolved
        and one.wish == other.wish
        and one.plate_spec == other.plate_spec
        and one.identity == other.identity
        and one.shops == other.shops
        and one.drawing_unit == other.drawing_unit
        and one.duty == other.duty
        and one.play == other.play
    )


def base_from(job_path: str, folder: str) -> str:
    """What a file in `folder` gives as its base to stand on a job file, or on the shipped job of that name."""
    if not os.path.isfile(job_path) and job_path in shipped_jobs():
        return job_path
    try:
        path = os.path.relpath(os.path.realpath(job_path), os.path.realpath(folder)).replace(os.sep, "/")
    except ValueError:  # on another drive
        path = os.path.realpath(job_path).replace(os.sep, "/")
    return path if path.endswith(".toml") or "/" in path else f"./{path}"


def _differences(old: Mapping[str, Any], new: Mapping[str, Any]) -> tuple[list[Path], list[tuple[Path, Any]]]:
    """Keys to drop, and keys to set: tables key by key, all else whole."""
    drop: list[Path] = []
    differ: list[tuple[Path, Any]] = []

    def walk(before: Mapping[str, Any], after: Mapping[str, Any], path: Path) -> None:
        drop.extend((*path, key) for key in before if key not in after)
        for key, value in after.items():
            here = (*path, key)
            if key not in before:
                differ.append((here, _numbered(value)))
            elif isinstance(value, dict) and isinstance(before[key], dict):
                walk(before[key], value, here)
            elif not _same(before[key], value):
                differ.append((here, _numbered(value)))

    walk(old, new, ())
    return drop, differ


def _same(one: Any, other: Any) -> bool:
    """Equal, the units of bare numbers with them."""
    if isinstance(one, list) and isinstance(other, list):
        return len(one) == len(other) and all(map(_same, one, other))
    if isinstance(one, dict) and isinstance(other, dict):
        return one.keys() == other.keys() and all(_same(one[key], other[key]) for key in one)
    if isinstance(one, bool) or isinstance(other, bool):
        return one is other
    return bool(one == other) and _inch(one) is _inch(other)


def _inch(value: Any) -> bool:
    return isinstance(value, InchInt | InchFloat)


def _numbered(value: Any) -> Any:
    """The value with every bare number as one."""
    if isinstance(value, dict):
        return {key: _numbered(item) for key, item in value.items()}
    if isinstance(value, list):
        return [_numbered(item) for item in value]
    if isinstance(value, int | float) and not isinstance(value, bool):
        plain = int(value) if isinstance(value, int) else float(value)
        return _Number(repr(plain), _inch(value))
    return value


def _numbers(value: Any) -> Iterator[_Number]:
    if isinstance(value, _Number):
        yield value
    elif isinstance(value, dict | list):
        for item in value.values() if isinstance(value, dict) else value:
            yield from _numbers(item)


def _value(value: Any, with_unit: Mapping[int, bool], deep: bool = False) -> str:
    if isinstance(value, _Number):
        unit = "in" if value.inch else "mm"
        return f'"{value.text} {unit}"' if with_unit.get(id(value)) else value.text
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, list):
        items = [_value(item, with_unit, True) for item in value]
        if not deep and len(items) > 1 and any(isinstance(item, dict) for item in value):
            return "[\n" + "".join(f"    {item},\n" for item in items) + "]"
        return f"[{', '.join(items)}]"
    if isinstance(value, dict):
        pairs = [f"{_key(key)} = {_value(item, with_unit, True)}" for key, item in value.items()]
        return f"{{{', '.join(pairs)}}}"
    return _text(str(value))


def _key(key: str) -> str:
    return key if re.fullmatch(r"[A-Za-z0-9_-]+", key) else _text(key)


def _text(text: str) -> str:
    """A basic string: JSON's form of it, and the one character that TOML escapes and JSON does not."""
    return json.dumps(text, ensure_ascii=False).replace("\x7f", "\\u007f")
