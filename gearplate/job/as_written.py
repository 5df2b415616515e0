"""The keys of a remedy as this job's file writes them: a bare tooth count stays bare, a motor is found where it stands.

Checks speak of `stages[0].driven.teeth` and `motors.M1.pinion.teeth`, whatever form the file has. A person reads
`driven = 72` there, so what is told to set is `stages[0].driven`. `--set` and JobSpec.changed take either.
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterable
from dataclasses import replace
from typing import Any

from gearplate.finding import Finding, Remedy
from gearplate.job.document import Document, existing

_GEAR_FIELD = re.compile(
    r"(?P<gear>.*(?:\.(?:driver|driven|pinion)|\.idlers\[\d+\]))\."
    r"(?P<field>teeth|shift|tip_diameter|thinning|face_width|diametral_pitch|module|pressure_angle)"
)
_MOTOR = re.compile(r"motors\.M(?P<number>[1-9])(?P<rest>\..*)")


def as_written(document: Document, finding: Finding) -> Finding:
    """The finding, its remedies speaking in the keys of this document."""
    if finding.remedy is None and not finding.alternatives:
        return finding
    return replace(
        finding,
        remedy=None if finding.remedy is None else written_as(document, finding.remedy),
        alternatives=tuple(written_as(document, one) for one in finding.alternatives),
    )


def sets_a_count(key: str) -> bool:
    """Whether a key names how many teeth a gear has, bare or in its table."""
    return re.search(r"(\.teeth|\.driven|\.driver|\.pinion|\.idlers\[\d+\])$", key) is not None


def written_as(document: Document, remedy: Remedy) -> Remedy:
    """The remedy in the keys of this document."""
    if not remedy.set:
        return remedy
    settings = _motor_keys(document, remedy.set)
    return replace(remedy, set=tuple(_gears(document, settings).items()))


def _gears(document: Document, settings: list[tuple[str, object]]) -> dict[str, object]:
    """Fields of gears that the file writes as bare counts: the count alone, or a table with the count in it."""
    written: dict[str, object] = {}
    fields: dict[str, dict[str, object]] = {}
    for key, value in settings:
        match = _GEAR_FIELD.fullmatch(key)
        if match is None or not _is_bare(document, match["gear"]):
            written[key] = value
            continue
        gear = match["gear"]
        if gear not in fields:
            fields[gear] = {}
            written[gear] = None  # keeps its place
        fields[gear][match["field"]] = value
    for gear, given in fields.items():
        if set(given) == {"teeth"}:
            written[gear] = given["teeth"]
        else:
            written[gear] = {"teeth": int(_value(document, gear))} | given
    return written


def _is_bare(document: Document, key: str) -> bool:
    value = _value(document, key)
    return isinstance(value, int) and not isinstance(value, bool)


def _value(document: Document, key: str) -> Any:
    """What the document holds at a key; a motor's by its name in the group that it belongs to. None where nothing."""
    match = _MOTOR.fullmatch(key)
    if match is not None:
        place = _place_of(document, int(match["number"]))
        if place is None:
            return None
        key = f"{place[0]}{match['rest']}"
    path = _path(key)
    if len(existing(document.data, path)) < len(path):
        return None
    inner: Any = document.data
    for part in path:
        inner = inner[part]
    return inner


def _motor_keys(document: Document, settings: Iterable[tuple[str, object]]) -> list[tuple[str, object]]:
    """`motors.M1.side` as `motors.side` or `motors[0].side` where that table of the file speaks of M1 alone, or where
    all the motors that it means are set alike."""
    given = [(key, value, _shared_key(document, key)) for key, value in settings]
    said = Counter((shared[0], repr(value)) for _, value, shared in given if shared is not None)
    written: dict[str, object] = {}
    for key, value, shared in given:
        whole = shared is not None and said[shared[0], repr(value)] == shared[1]
        written[shared[0] if shared is not None and whole else key] = value
    return list(written.items())


def _shared_key(document: Document, key: str) -> tuple[str, int] | None:
    """The key of a motor in the table that it belongs to, and how many motors that means; None where it is none's."""
    match = _MOTOR.fullmatch(key)
    place = None if match is None else _place_of(document, int(match["number"]))
    return None if match is None or place is None else (f"{place[0]}{match['rest']}", place[1])


def _place_of(document: Document, number: int) -> tuple[str, int] | None:
    """The key of the table that a motor belongs to, and how many motors that table means."""
    motors = document.data.get("motors")
    groups = motors if isinstance(motors, list) else [motors]
    before = 0
    for index, group in enumerate(groups):
        if not isinstance(group, dict):
            return None
        count = group.get("count", 1)
        before += count if isinstance(count, int) else 1
        if number <= before:
            return (f"motors[{index}]" if isinstance(motors, list) else "motors"), count
    return None


def _path(key: str) -> tuple[str | int, ...]:
    parts: list[str | int] = []
    for part in key.split("."):
        name, *indices = part.replace("]", "").split("[")
        parts.append(name)
        parts += [int(index) for index in indices]
    return tuple(parts)
