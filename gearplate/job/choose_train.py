"""A chosen train written into a job's own text: only what must change is changed, and every comment stays.

A wanted reduction of the file is kept as a comment, so that what was asked for can still be read there.
"""

from __future__ import annotations

import re
import tomllib
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from gearplate.errors import ToolBug, UsageError

if TYPE_CHECKING:
    from tomlkit import TOMLDocument

    from gearplate.job.spec import JobSpec


@dataclass(frozen=True, slots=True)
class ChosenStage:
    """One stage to write. `size`: ("diametral_pitch", 24.0) or ("module", "1.5 mm") where it is not the job's own."""

    driver: int
    driven: int
    idlers: tuple[int, ...] = ()
    size: tuple[str, float | str] | None = None


def with_chosen_train(text: str, job: JobSpec, stages: Sequence[ChosenStage]) -> str:
    """The text of the job's own file with these stages, instead of what it says of its train.

    `job` is the job in the file. Raises UsageError where the file must be changed by hand.
    """
    import tomlkit

    document = tomlkit.parse(text)
    pinion = stages[0].driver
    names_pinion = _set_pinions(document, job, pinion)
    written = [_stage(number, stage, names_pinion) for number, stage in enumerate(stages)]
    if "stages" in document:
        _change_stages(document["stages"], written)
        return tomlkit.dumps(document)
    text = tomlkit.dumps(document)
    if "reduction" in document:
        return _in_place_of_reduction(text, written)
    return _over_the_base(document, job, written)


def _set_pinions(document: TOMLDocument, job: JobSpec, pinion: int) -> bool:
    """Give the motors that name another pinion the chosen one. Whether all of them name one."""
    groups = job.raw.get("motors")
    merged: list[Mapping[str, Any]] = groups if isinstance(groups, list) else [groups or {}]
    own: Any = document.get("motors")
    tables = own if isinstance(own, list) else [own] if own is not None else []
    for number, group in enumerate(merged):
        if "pinion" not in group or _teeth(group["pinion"]) == pinion:
            continue
        if number >= len(tables) or "pinion" not in tables[number]:
            raise UsageError(
                f"the motors' pinion ({_teeth(group['pinion'])} teeth) stands in a base of this job: "
                f"give the motors a pinion of {pinion} teeth in this file first"
            )
        tables[number]["pinion"] = pinion
    return all("pinion" in group for group in merged)


def _teeth(gear: Any) -> int:
    return int(gear["teeth"]) if isinstance(gear, Mapping) else int(gear)


def _stage(number: int, stage: ChosenStage, names_pinion: bool) -> dict[str, Any]:
    table: dict[str, Any] = {}
    if number or not names_pinion:
        table["driver"] = stage.driver
    table["driven"] = stage.driven
    if stage.idlers:
        table["idlers"] = list(stage.idlers)
    if stage.size is not None:
        table[stage.size[0]] = stage.size[1]
    return table


def _change_stages(stages: Any, written: Sequence[Mapping[str, Any]]) -> None:
    """Set the counts in the stages that are there; a gear that keeps its count keeps what is said of it."""
    import tomlkit

    for number, wanted in enumerate(written):
        if number >= len(stages):
            table = tomlkit.table() if isinstance(stages, tomlkit.items.AoT) else tomlkit.inline_table()
            table.update(wanted)
            stages.append(table)
            continue
        table = stages[number]
        for key in ("driver", "driven", "idlers", "diametral_pitch", "module"):
            if key not in wanted:
                if key in table:  # also a first driver where the motors name their pinion: it says it twice
                    del table[key]
                continue
            if key in table and _same(table[key], wanted[key]):
                continue
            table[key] = wanted[key]
    while len(stages) > len(written):
        del stages[len(stages) - 1]


def _same(there: Any, wanted: Any) -> bool:
    if isinstance(wanted, list):
        return isinstance(there, list) and [_teeth(gear) for gear in there] == wanted
    if isinstance(there, Mapping):
        return bool(there.get("teeth") == wanted)
    return bool(there == wanted)


def _inline(written: Sequence[Mapping[str, Any]]) -> str:
    tables = []
    for table in written:
        pairs = ", ".join(f"{key} = {_toml(value)}" for key, value in table.items())
        tables.append(f"{{{pairs}}}")
    return f"stages = [{', '.join(tables)}]"


def _toml(value: Any) -> str:
    if isinstance(value, str):
        return f'"{value}"'
    if isinstance(value, list):
        return f"[{', '.join(_toml(item) for item in value)}]"
    return f"{value:g}"


def _in_place_of_reduction(text: str, written: Sequence[Mapping[str, Any]]) -> str:
    lines = text.splitlines(keepends=True)
    header = next((n for n, line in enumerate(lines) if re.match(r"\s*\[\s*reduction\s*\]", line)), None)
    if header is not None:
        end = next((n for n in range(header + 1, len(lines)) if re.match(r"\s*\[", lines[n])), len(lines))
        # Comments and blank lines before the next table belong to that one.
        while end > header + 1 and re.match(r"\s*(#|$)", lines[end - 1]):
            end -= 1
        block = "".join(f"[[stages]]{_end(lines)}{_lines(table, _end(lines))}" for table in written)
        return "".join(lines[:header]) + _commented(lines[header:end]) + block + "".join(lines[end:])
    begin = next(n for n, line in enumerate(lines) if re.match(r"\s*[\"']?reduction[\"']?\s*[.=]", line))
    found: list[int] = []
    for number in range(begin, len(lines)):
        if not re.match(r"\s*[\"']?reduction[\"']?\s*[.=]", lines[number]) or number in found:
            continue
        found += range(number, _value_end(lines, number))
    commented = [_commented([line]) if n in found else line for n, line in enumerate(lines)]
    commented.insert(found[-1] + 1, _inline(written) + _end(lines))
    return "".join(commented)


def _value_end(lines: Sequence[str], begin: int) -> int:
    """The line after the value that begins on a line: the shortest run of lines that is TOML."""
    for end in range(begin + 1, len(lines) + 1):
        try:
            tomllib.loads("".join(lines[begin:end]))
        except tomllib.TOMLDecodeError:
            continue
        return end
    raise ToolBug("a value of the job file was read and then not found again")


def _commented(lines: Sequence[str]) -> str:
    shown = [line if line.lstrip().startswith("#") or not line.strip() else f"# {line}" for line in lines]
    return "".join(line if line.endswith("\n") else f"{line}\n" for line in shown)


def _lines(table: Mapping[str, Any], end: str) -> str:
    return "".join(f"{key} = {_toml(value)}{end}" for key, value in table.items())


def _end(lines: Sequence[str]) -> str:
    return "\r\n" if lines and lines[0].endswith("\r\n") else "\n"


def _over_the_base(document: TOMLDocument, job: JobSpec, written: Sequence[Mapping[str, Any]]) -> str:
    """The train stands in a base: stages in this file go before those of the base; a reduction there is dropped."""
    import tomlkit

    add = [_inline(written)]
    if "reduction" in job.raw:
        if "drop" in document:
            drop: Any = document["drop"]
            drop.append("reduction")
        else:
            add.insert(0, 'drop = ["reduction"]')
    lines = tomlkit.dumps(document).splitlines(keepends=True)
    begin = next((n for n, line in enumerate(lines) if re.match(r"\s*[\"']?base[\"']?\s*=", line)), None)
    if begin is None:
        raise ToolBug("a job without stages, without a reduction and without a base was loaded")
    at = _value_end(lines, begin)
    if not lines[at - 1].endswith("\n"):
        lines[at - 1] += "\n"
    lines[at:at] = [line + _end(lines) for line in add]
    return "".join(lines)


def chosen_counts(job: JobSpec) -> list[tuple[int, int, tuple[int, ...]]]:
    """The counts of each stage of a job as it was loaded: driver, driven gear, idlers."""
    spec = job.layout_spec
    return [
        (
            spec.motors[0].pinion.teeth if stage.driver is None else stage.driver.teeth,
            stage.driven.teeth,
            tuple(idler.teeth for idler in stage.idlers),
        )
        for stage in spec.train.stages
    ]
