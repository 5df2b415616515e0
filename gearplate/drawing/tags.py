"""The tags of an ASCII DXF file: pairs of a group code and a value, one a line, by the DXF reference of
R2000.

Our own few lines, sharing no code with the library that writes the files: a mistake of the writer cannot
hide here.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

from gearplate.errors import FileError

BINARY_MARK = b"AutoCAD Binary DXF"


@dataclass(frozen=True, slots=True)
class Record:
    """One entity, table entry or object: its name after group 0, its tags, the line that its name stands
    on."""

    name: str
    line: int
    tags: tuple[tuple[int, str], ...]

    def text(self, code: int, default: str = "") -> str:
        """First value of that group code."""
        for found, value in self.tags:
            if found == code:
                return value
        return default

    def number(self, code: int, default: float) -> float:
        """First value of that group code as a number. Raises FileError where it is none."""
        for found, value in self.tags:
            if found == code:
                return as_number(value, self.line)
        return default


def as_number(value: str, line: int) -> float:
    """The number in a tag; FileError names the line of the record it belongs to."""
    try:
        number = float(value)
    except ValueError:
        number = math.nan
    if not math.isfinite(number):
        raise FileError(f"not a DXF file that can be used: {value[:40]!r} is no number (from line {line})")
    return number


def as_integer(value: str, line: int) -> int:
    """The whole number in a tag; FileError names the line of the record it belongs to."""
    try:
        return int(value)
    except ValueError:
        shown = value[:40]
        raise FileError(f"not a DXF file that can be used: {shown!r} is no whole number (from line {line})") from None


def sections(data: bytes) -> dict[str, list[Record]]:
    """The records of each section by its name. The header's variables come as one record a variable,
    named by it.

    Raises FileError for anything that is not a whole ASCII DXF file: binary, cut short, a group code that
    is no number, a section that does not end.
    """
    found: dict[str, list[Record]] = {}
    current: list[Record] | None = None
    ended = False
    for record in _records(data):
        if ended:
            raise FileError(f"not a DXF file that can be used: it goes on after its end (line {record.line})")
        if record.name == "SECTION":
            if current is not None:
                raise FileError(f"not a DXF file that can be used: a section inside another (line {record.line})")
            current = found.setdefault(record.text(2), [])
            if record.text(2) == "HEADER":
                current.extend(_header_variables(record))
        elif record.name == "ENDSEC":
            current = None
        elif record.name == "EOF":
            ended = True
        elif current is not None:
            current.append(record)
    if not ended or current is not None:
        raise FileError("not a whole DXF file: its end is missing")
    return found


def _records(data: bytes) -> Iterator[Record]:
    if data.startswith(BINARY_MARK):
        raise FileError("a binary DXF file: only the ASCII form is read here")
    lines = data.decode("cp1252", errors="replace").split("\n")
    name, start, tags = "", 0, list[tuple[int, str]]()
    for at in range(0, len(lines) - 1, 2):
        try:
            code = int(lines[at])
        except ValueError:
            shown = lines[at].strip()[:40]
            raise FileError(f"not a DXF file: line {at + 1} holds {shown!r} where a group code should stand") from None
        value = lines[at + 1].rstrip("\r")
        if code == 0:
            if name:
                yield Record(name, start, tuple(tags))
            name, start, tags = value.strip(), at + 2, []
        elif code != 999:  # 999: a comment
            tags.append((code, value))
    if name:
        yield Record(name, start, tuple(tags))


def _header_variables(section: Record) -> Iterator[Record]:
    name, tags = "", list[tuple[int, str]]()
    for code, value in section.tags:
        if code == 9:
            if name:
                yield Record(name, section.line, tuple(tags))
            name, tags = value.strip(), []
        else:
            tags.append((code, value))
    if name:
        yield Record(name, section.line, tuple(tags))
