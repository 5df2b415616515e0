"""Where each key path of a TOML document begins and ends.

Takes the text as valid: whether it is, tomllib says. Where it is not, the walk stops, and all that counts is
in which line the trouble began.
"""

from __future__ import annotations

import re
from contextlib import suppress

from gearplate.source.report import MAX_DEPTH, KeyPath, Span, job_error, line_and_column, one_line, too_deep

_MAX_BARE_VALUE = 100

_SPACE = re.compile(r"[ \t]*")
_SPACE_AND_LINES = re.compile(r"(?:[ \t\n]|#[^\n]*)*+")
_BARE_KEY = re.compile(r"[A-Za-z0-9_-]+")
_BASIC = re.compile(r'"[^"\\\n]*(?:\\.[^"\\\n]*)*+"')
_LITERAL = re.compile(r"'[^'\n]*'")
# Up to two quotes may stand directly before the closing three.
_LONG_BASIC = re.compile(r'"""(?:[^"\\]|\\.|"(?!""))*+"{3,5}', re.DOTALL)
_LONG_LITERAL = re.compile(r"'''(?:[^']|'(?!''))*+'{3,5}")
_BARE_VALUE = re.compile(r"[^,\]}#\n]+")


class _Lost(Exception):
    """The text is not TOML from here on."""


class Locator:
    """Walks a document and fills `spans`: key path -> start of its key, start and end of its value.

    Where the text is not TOML it stops; `at` is then the start of what it could not make sense of, and `opened`
    that of the list or table in braces that it was in. `twice` holds both places of the first key that is given
    a second time. All are offsets into the text.
    """

    def __init__(self, text: str, name: str) -> None:
        self.text = text
        self.name = name
        self.at = 0
        self.opened: int | None = None
        self.spans: dict[KeyPath, Span] = {}
        self.twice: tuple[int, int] | None = None
        self._given: set[KeyPath] = set()
        self._lengths: dict[KeyPath, int] = {}

    def run(self) -> None:
        """Raises JobError where tables and lists are nested too deep or a number is too long to be one."""
        table: KeyPath = ()
        pos = 0
        with suppress(_Lost):
            while (pos := _end(_SPACE_AND_LINES, self.text, pos)) < len(self.text):
                self.at = pos
                if self.text[pos] == "[":
                    pos, table = self._header(pos)
                else:
                    pos = self._pair(pos, table)

    def _header(self, pos: int) -> tuple[int, KeyPath]:
        """[a.b] or [[a.b]]: the position after it and the key path that it opens."""
        text, start = self.text, pos
        is_list = text.startswith("[[", pos)
        close = "]]" if is_list else "]"
        pos, keys = self._keys(_end(_SPACE, text, pos + len(close)))
        if not text.startswith(close, pos):
            raise _Lost
        end = pos + len(close)
        path: KeyPath = ()
        for key, key_start in keys[:-1]:
            path = (*path, key)
            self.spans.setdefault(path, (key_start, start, end))
            if path in self._lengths:
                path = (*path, self._lengths[path] - 1)
        path = (*path, keys[-1][0])
        span = (keys[-1][1], start, end)
        if is_list:
            self.spans.setdefault(path, span)
            index = self._lengths.get(path, 0)
            self._lengths[path] = index + 1
            path = (*path, index)
        # A table that so far was only a part of longer names stands where its own header is.
        self._give(path, span)
        return end, path

    def _keys(self, pos: int) -> tuple[int, list[tuple[str, int]]]:
        """The parts of a dotted key, each with its start."""
        text = self.text
        keys: list[tuple[str, int]] = []
        while True:
            self._check_depth(len(keys), pos)
            pattern = {'"': _BASIC, "'": _LITERAL}.get(text[pos : pos + 1], _BARE_KEY)
            end = _end(pattern, text, pos)
            key = text[pos:end]
            if pattern is _BASIC and "\\" in key:
                key = _unescape(key)
            elif pattern is not _BARE_KEY:
                key = key[1:-1]
            keys.append((key, pos))
            pos = _end(_SPACE, text, end)
            if not text.startswith(".", pos):
                return pos, keys
            pos = _end(_SPACE, text, pos + 1)

    def _pair(self, pos: int, table: KeyPath) -> int:
        """key = value; returns the position after it."""
        text = self.text
        pos, keys = self._keys(pos)
        if not text.startswith("=", pos):
            raise _Lost
        start = _end(_SPACE, text, pos + 1)
        path = (*table, *(key for key, _ in keys))
        end = self._value(start, path)
        for depth in range(1, len(keys)):
            # A table that only dotted keys make: its value is the first of them as written.
            key_start = keys[depth - 1][1]
            self.spans.setdefault(path[: len(table) + depth], (key_start, key_start, end))
        self._give(path, (keys[-1][1], start, end))
        return end

    def _value(self, pos: int, path: KeyPath) -> int:
        text = self.text
        self._check_depth(len(path), pos)
        self.at = pos
        first = text[pos : pos + 1]
        if first in ("[", "{"):
            return self._items(pos, path)
        if first == '"':
            return _end(_LONG_BASIC if text.startswith('"""', pos) else _BASIC, text, pos)
        if first == "'":
            return _end(_LONG_LITERAL if text.startswith("'''", pos) else _LITERAL, text, pos)
        end = _end(_BARE_VALUE, text, pos)
        end = pos + len(text[pos:end].rstrip(" \t"))
        if end - pos > _MAX_BARE_VALUE:
            raise job_error(
                self.name,
                line_and_column(text, pos)[0],
                f"A value without quotes is longer than {_MAX_BARE_VALUE} characters: " + one_line(text[pos:end], 40),
            )
        return end

    def _items(self, pos: int, path: KeyPath) -> int:
        """A list or a table in braces; returns the position after its end."""
        text, opened, around = self.text, pos, self.opened
        self.opened = opened
        is_list = text[pos] == "["
        close, index = ("]" if is_list else "}"), 0
        pos = _end(_SPACE_AND_LINES, text, pos + 1)
        while not text.startswith(close, pos):
            if pos == len(text):
                self.at = opened
                raise _Lost
            if is_list:
                element = (*path, index)
                end = self._value(pos, element)
                self._give(element, (pos, pos, end))
                index += 1
            else:
                end = self._pair(pos, path)
            pos = _end(_SPACE_AND_LINES, text, end)
            if text.startswith(",", pos):
                pos = _end(_SPACE_AND_LINES, text, pos + 1)
            elif not text.startswith(close, pos):
                self.at = opened
                raise _Lost
        self.opened = around
        return pos + 1

    def _give(self, path: KeyPath, span: Span) -> None:
        self._check_depth(len(path), span[0])
        if path in self._given and self.twice is None:
            self.twice = (self.spans[path][0], span[0])
        self._given.add(path)
        self.spans[path] = span

    def _check_depth(self, depth: int, pos: int) -> None:
        if depth > MAX_DEPTH:
            raise too_deep(self.name, line_and_column(self.text, pos)[0])


def _end(pattern: re.Pattern[str], text: str, pos: int) -> int:
    match = pattern.match(text, pos)
    if match is None:
        raise _Lost
    return match.end()


def _unescape(quoted_key: str) -> str:
    import tomllib

    try:
        return next(iter(tomllib.loads(f"{quoted_key} = 0")))
    except tomllib.TOMLDecodeError:
        raise _Lost from None
