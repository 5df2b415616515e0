"""TOML files with the file, line and column of every key and value, for errors that say where.

tomllib decides what the text means; it keeps no positions. The locator walks the same text once more and
notes where every key path begins and ends.

Words: a *key path* is a tuple of keys and list indices, ("stages", 1, "driven"); the root is the empty tuple.
"""

from __future__ import annotations

import os
import re
import stat
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from gearplate.errors import FileError, JobError
from gearplate.source.report import (
    MAX_BYTES,
    MAX_DEPTH,
    KeyPath,
    Span,
    job_error,
    line_and_column,
    one_line,
    too_deep,
    too_large,
)

if TYPE_CHECKING:
    from gearplate.source.locator import Locator

__all__ = ["MAX_BYTES", "MAX_DEPTH", "KeyPath", "Place", "Source", "parse_toml", "read_toml"]


@dataclass(frozen=True, slots=True)
class Place:
    """Where one key path stands; lines and columns count from 1, columns in characters.

    `line`, `column`: the key (for an element of a list, the element itself).
    `value_line`, `value_column`: its value (for a table or list with a header of its own, the header).
    `start`, `end`: the value as a slice of the source's text.
    """

    line: int
    column: int
    value_line: int
    value_column: int
    start: int
    end: int


@dataclass(frozen=True, slots=True, eq=False)
class Source:
    """One TOML file as it was read.

    `name` is what reports call the file; `path` is None for text that came from elsewhere. `text` has no byte
    order mark and "\\n" for every line end. `data` is what tomllib made of it.
    """

    name: str
    path: str | None
    text: str
    data: dict[str, Any]
    _spans: dict[KeyPath, Span]

    def place(self, path: KeyPath) -> Place | None:
        """Where exactly this key path stands, or None if the file has no such key."""
        span = self._spans.get(path)
        if span is None:
            return None
        key, start, end = span
        return Place(*line_and_column(self.text, key), *line_and_column(self.text, start), start, end)

    def line(self, path: KeyPath) -> int | None:
        """The line of the key, or of the nearest table or list above it; None if that is the root."""
        while path:
            if path in self._spans:
                return line_and_column(self.text, self._spans[path][0])[0]
            path = path[:-1]
        return None

    def raw_value(self, path: KeyPath, longest: int = 60) -> str:
        """The value as it is written, on one line and at most `longest` characters; "" if there is none."""
        if path not in self._spans:
            return ""
        _, start, end = self._spans[path]
        return one_line(self.text[start:end], longest)


def read_toml(path: str | os.PathLike[str], name: str | None = None) -> Source:
    """Reads a TOML file (UTF-8; a byte order mark and Windows line ends are welcome).

    `name` is what reports call it, by default the path as given. Raises FileError if it cannot be read, and
    JobError if it is too large, not UTF-8, not TOML, or nested deeper than MAX_DEPTH.
    """
    shown = os.fspath(path) if name is None else name
    try:
        kind = os.stat(path).st_mode
        if not (stat.S_ISREG(kind) or stat.S_ISDIR(kind)):  # a pipe or a terminal would be waited for
            raise FileError(f"{shown}: is not a file: a pipe or a device is not read.")
        with open(path, "rb") as file:
            raw = file.read(MAX_BYTES + 1)
    except FileNotFoundError:
        raise FileError(f"{shown}: there is no such file.") from None
    except IsADirectoryError:
        raise FileError(f"{shown}: is a folder, not a file.") from None
    except PermissionError:
        raise FileError(f"{shown}: may not be read (no permission, or it is a folder).") from None
    except (OSError, ValueError) as error:  # ValueError: a path with a null character in it
        reason = error.strerror if isinstance(error, OSError) and error.strerror else str(error)
        raise FileError(f"{shown}: cannot be read: {reason}.") from None
    return _parse(_decode(raw, shown), shown, os.fspath(path))


def parse_toml(text: str, name: str) -> Source:
    """As read_toml, for text that is in hand; `name` is what reports call it."""
    if len(text) > MAX_BYTES:
        raise too_large(name)
    return _parse(text, name, None)


def _decode(raw: bytes, name: str) -> str:
    if len(raw) > MAX_BYTES:
        raise too_large(name)
    if raw.startswith((b"\xff\xfe", b"\xfe\xff")):
        raise job_error(name, 1, "The file is saved as UTF-16.", "a file saved as UTF-8")
    try:
        return raw.decode("utf-8")
    except UnicodeDecodeError as error:
        line = raw.count(b"\n", 0, error.start) + 1
        byte = raw[error.start]
        raise job_error(
            name,
            line,
            f"The file is not UTF-8: it holds the byte 0x{byte:02X} here.",
            "a file saved as UTF-8",
        ) from None


def _parse(text: str, name: str, path: str | None) -> Source:
    import tomllib

    # Its patterns cost 3 ms, which a command that reads no file never pays.
    from gearplate.source.locator import Locator

    text = text.removeprefix("\ufeff").replace("\r\n", "\n")
    # The locator goes first: its limits on depth and length are what keeps tomllib within its own.
    locator = Locator(text, name)
    locator.run()
    try:
        data = tomllib.loads(text)
    except ValueError as error:  # TOMLDecodeError is one
        raise _syntax_error(str(error), text, name, locator) from None
    except RecursionError:
        raise too_deep(name, 1) from None
    return Source(name, path, text, data, locator.spans)


# What tomllib says, and what to say instead. The first entry that its message starts with holds.
_IN_WORDS = (
    ("Expected '=' after a key", "a key is followed by = and its value"),
    ("Invalid statement", "a line starts with a key, a [table] or a # comment"),
    (
        "Expected newline or end of document",
        'more follows on this line than one key and its value; text such as "0.25 in" stands in quotes',
    ),
    (
        "Invalid value",
        'this is not a value: text stands in quotes ("0.25 in"), numbers start with a digit (0.25), '
        "true and false are in lower case",
    ),
    ("Invalid date", "there is no such date or time"),
    ("Unclosed array", "a list goes on with a comma or ends with ]"),
    ("Unclosed inline table", "a table in braces goes on with a comma or ends with }, all on one line"),
    (
        "Invalid initial character for a key part",
        "a key is expected here: letters, digits, - and _, or in quotes",
    ),
    ("Unescaped '\\' in a string", "in double quotes \\ starts an escape: write \\\\, or use single quotes"),
    ("Invalid hex value", "\\u takes four and \\U eight hexadecimal digits"),
    ("Escaped character is not", "there is no such character"),
    ("Unterminated string", "the text that starts here has no closing quote"),
    ("Illegal character '\\n'", "the text in quotes does not end on its line"),
    ("Illegal character", "text in quotes cannot hold this control character"),
    ("Found invalid character '\\n'", "the text in quotes does not end on its line"),
    ("Found invalid character", "a control character stands here"),
    ('Expected "\'"', "the text that starts here has no closing quote"),
    ("Expected \"'''\"", "the text that starts here has no closing quotes"),
    ("Expected ']", "the name of a table ends with ] and of a list of tables with ]]"),
    ("Exceeds the limit", "a number has too many digits"),
)
_SAID_TWICE = ("Cannot overwrite", "Cannot declare", "Cannot redefine", "Cannot mutate", "Duplicate inline")


def _syntax_error(said: str, text: str, name: str, locator: Locator) -> JobError:
    match = re.fullmatch(r"(.*) \(at (?:line (\d+), column (\d+)|end of document)\)", said, re.DOTALL)
    message = match[1] if match else said
    if match is None or match[2] is None:
        line, column = line_and_column(text, locator.at)
        words = "the file ends before what starts here is complete" if match else _in_words(message)
    else:
        line, column = int(match[2]), int(match[3])
        words = _in_words(message)
        if message.startswith(_SAID_TWICE):
            words = "this key, or a table or list that it belongs to, already has a value"
            if locator.twice is not None and line_and_column(text, locator.twice[1]) <= (line, column):
                first, again = locator.twice
                line, column = line_and_column(text, again)
                words = f"this key already stands in line {line_and_column(text, first)[0]}"
        elif text[: _offset(text, line, column) + 1].endswith("{") and words.startswith("a key is expected"):
            words += "; perhaps a } is missing before it"
        elif locator.opened is not None and (opened := line_and_column(text, locator.opened)[0]) < line:
            words += f"; the list or table opened in line {opened} is not closed before it"
    if comma := re.search(r"=\s*(\d+),(\d+)\s*(#|$)", text.split("\n")[line - 1].rstrip("\r")):
        words = f"a decimal mark is a point here: {comma[1]}.{comma[2]}"
    shown = one_line(text.split("\n")[line - 1], 60)
    return job_error(name, line, f"Column {column}: {words}." + (f" The line reads: {shown}" if shown else ""))


def _offset(text: str, line: int, column: int) -> int:
    """Where a line's column is in the text."""
    return sum(len(one) + 1 for one in text.split("\n")[: line - 1]) + column - 1


def _in_words(message: str) -> str:
    return next((words for start, words in _IN_WORDS if message.startswith(start)), message)
