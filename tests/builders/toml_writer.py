"""Random TOML documents that know where each of their keys and values stands.

Written without a look at the reader: the account is kept character by character while the text is put down.
"""

from __future__ import annotations

import math
import re
from dataclasses import dataclass, field
from datetime import date, datetime
from random import Random
from typing import Any

KeyPath = tuple[str | int, ...]


@dataclass
class Writer:
    """Writes random TOML and keeps its own account of where everything went, counting as it writes.

    `data` is what the document means. `expected`: key path -> line and column of the key, line and column of the
    value, text of the value.
    """

    draw: Random
    data: dict[str, Any] = field(default_factory=dict)
    text: str = ""
    line: int = 1
    column: int = 1
    expected: dict[KeyPath, tuple[int, int, int, int, str]] = field(default_factory=dict)
    count: int = 0

    def put(self, piece: str) -> tuple[int, int]:
        at = (self.line, self.column)
        for character in piece:
            self.line, self.column = (self.line + 1, 1) if character == "\n" else (self.line, self.column + 1)
        self.text += piece
        return at

    def gap(self) -> None:
        self.put(self.draw.choice(["", " ", " ", "\t", "   "]))

    def line_end(self) -> None:
        self.gap()
        junk = ["# [x]", "# a = \"'''", '#"""', "# é😀 }", "#"]
        self.put(self.draw.choice(["", "", self.draw.choice(junk)]) + "\n" + self.draw.choice(["", "", "\n"]))

    def space_in_list(self) -> None:
        for _ in range(self.draw.randrange(3)):
            self.gap()
            if self.draw.random() < 0.3:
                self.line_end()

    def new_key(self) -> str:
        self.count += 1
        stem = self.draw.choice(["a", "key", "B-c", "d_1", "4", "x.y", "é", '"', "'", "\\n", "\t", "# ]", "=", "😀 "])
        return f"{stem}{self.count}"

    def put_key(self, key: str) -> tuple[int, int]:
        bare = re.fullmatch(r"[A-Za-z0-9_-]+", key)
        styles = ["basic", *(["bare"] * 3 if bare else []), *(["literal"] if not set("'\t") & set(key) else [])]
        style = self.draw.choice(styles)
        if style == "bare":
            return self.put(key)
        return self.put(f"'{key}'" if style == "literal" else f'"{self.escape(key)}"')

    def escape(self, text: str, also: str = "\n\t") -> str:
        out = ""
        for c in text:
            if c in '"\\':
                out += "\\" + c
            elif c in also or (ord(c) > 126 and self.draw.random() < 0.5):
                out += f"\\u{ord(c):04X}" if ord(c) < 0x10000 else f"\\U{ord(c):08X}"
            else:
                out += c
        return out

    def scalar(self) -> Any:
        """Writes one scalar; returns its value."""
        draw = self.draw
        text = "".join(draw.choice("ab \"'\\#[]{},=.é😀\t\n") for _ in range(draw.randrange(9)))
        kind = draw.randrange(9)
        if kind == 0:
            value: Any = draw.randrange(-99999, 99999)
            self.put(f"{value:_}" if draw.random() < 0.5 else str(value))
        elif kind == 1:
            value = draw.choice([0.25, -1e-7, 6.02e23, math.inf, -math.inf, math.nan])
            self.put(repr(value))
        elif kind == 2:
            value = draw.random() < 0.5
            self.put(str(value).lower())
        elif kind == 3:
            value = date(1990 + draw.randrange(40), 5, 27)
            self.put(value.isoformat())
        elif kind == 4:
            value = datetime(2001, 2, 3, draw.randrange(24), 32)
            self.put(value.isoformat(sep=draw.choice("T ")))
        elif kind == 5 and not set("'\n") & set(text):
            value = text
            self.put(f"'{text}'")
        elif kind == 6 and "'''" not in text and not text.endswith("'"):
            value = text
            self.put(f"'''\n{text}'''")
        elif kind == 7:
            tail = draw.choice(["", '"', '""'])
            # A backslash at the end of a line swallows all white space up to the next character.
            swallow = draw.random() < 0.5
            value = (text.lstrip(" \t\n") if swallow else text) + tail
            self.put('"""\n' + ("\\\n \n\t" if swallow else "") + self.escape(text, also="") + tail + '"""')
        else:
            value = text
            self.put(f'"{self.escape(text)}"')
        return value

    def value(self, path: KeyPath, depth: int) -> tuple[Any, tuple[int, int], str]:
        """Writes any value; returns it, where it began, and its text."""
        at, begin = (self.line, self.column), len(self.text)
        made: Any
        kind = self.draw.random()
        if depth < 3 and kind < 0.2:
            made = []
            self.put("[")
            self.space_in_list()
            for index in range(self.draw.randrange(4)):
                element, start, text = self.value((*path, index), depth + 1)
                self.expected[(*path, index)] = (*start, *start, text)
                made.append(element)
                self.space_in_list()
                self.put(",")
                self.space_in_list()
            if made and self.draw.random() < 0.5:
                made_last = self.value((*path, len(made)), depth + 1)
                self.expected[(*path, len(made))] = (*made_last[1], *made_last[1], made_last[2])
                made.append(made_last[0])
                self.space_in_list()
            self.put("]")
        elif depth < 3 and kind < 0.4:
            made = {}
            self.put("{")
            for index in range(self.draw.randrange(4)):
                if index:
                    self.put(",")
                self.gap()
                self.pair(made, path, depth + 1)
                self.gap()
            self.put("}")
        else:
            made = self.scalar()
        return made, at, self.text[begin:]

    def pair(self, table: dict[str, Any], path: KeyPath, depth: int) -> None:
        """Writes key = value, perhaps with a dotted key, perhaps into a table that dotted keys have made."""
        parts: list[tuple[KeyPath, tuple[int, int], int]] = []
        dotted = [k for k, v in table.items() if isinstance(v, DottedTable)]
        while True:
            again = dotted and self.draw.random() < 0.3
            key = self.draw.choice(dotted) if again else self.new_key()
            begin = len(self.text)
            parts.append(((*path, key), self.put_key(key), begin))
            path = (*path, key)
            self.gap()
            if not again and (len(parts) > 3 or self.draw.random() < 0.75):
                break
            self.put(".")
            self.gap()
            table = table.setdefault(key, DottedTable())
            dotted = [k for k, v in table.items() if isinstance(v, DottedTable)]
        self.put("=")
        self.gap()
        table[key], start, text = self.value(path, depth)
        self.expected[path] = (*parts[-1][1], *start, text)
        for parent, at, begin in parts[:-1]:
            self.expected.setdefault(parent, (*at, *at, self.text[begin:]))

    def header(self, shown: tuple[str, ...], path: KeyPath, is_list: bool) -> None:
        """Writes [a.b] or [[a.b]] for the table at `path`; `shown` are its keys, without indices."""
        at, begin = (self.line, self.column), len(self.text)
        self.put("[[" if is_list else "[")
        parents, starts, real = [], [], list(path)
        for index, key in enumerate(shown):
            self.put("." if index else "")
            self.gap()
            starts.append(self.put_key(key))
            self.gap()
        self.put("]]" if is_list else "]")
        written = self.text[begin:]
        # Walk the real path beside the shown keys: indices take no room in a header.
        which = -1
        for end, key in enumerate(real, start=1):
            which += isinstance(key, str)
            parents.append((tuple(real[:end]), starts[which]))
        for parent, start in parents[:-1]:
            self.expected.setdefault(parent, (*start, *at, written))
        self.expected[parents[-1][0]] = (*parents[-1][1], *at, written)
        self.line_end()

    def table(self, table: dict[str, Any], shown: tuple[str, ...], path: KeyPath, depth: int, is_list: bool) -> None:
        """Writes a table with what it holds; tables in it come before or after its own header."""
        pairs = self.draw.randrange(4)
        below = self.draw.randrange(4) if depth < 3 else 0
        early = below if path and not is_list and self.draw.random() < 0.3 else 0
        if early:
            self.tables_below(table, shown, path, depth, early)
        if path and (pairs or not below or is_list or self.draw.random() < 0.5):
            self.header(shown, path, is_list)
        else:
            pairs = 0 if path else pairs
        for _ in range(pairs):
            self.gap()
            self.pair(table, path, 0)
            self.line_end()
        self.tables_below(table, shown, path, depth, below - early)

    def tables_below(
        self, table: dict[str, Any], shown: tuple[str, ...], path: KeyPath, depth: int, how_many: int
    ) -> None:
        for _ in range(how_many):
            key = self.new_key()
            if self.draw.random() < 0.6:
                table[key] = {}
                self.table(table[key], (*shown, key), (*path, key), depth + 1, is_list=False)
            else:
                table[key] = []
                for index in range(self.draw.randrange(1, 4)):
                    table[key].append({})
                    self.table(table[key][-1], (*shown, key), (*path, key, index), depth + 1, is_list=True)


class DottedTable(dict[str, Any]):
    """A table that dotted keys have made: more of them may add to it."""

    def __repr__(self) -> str:
        return repr(dict(self))


def random_document(start: int) -> Writer:
    writer = Writer(Random(start))
    writer.table(writer.data, (), (), 0, is_list=False)
    return writer
