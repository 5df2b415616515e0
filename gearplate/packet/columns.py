"""Rows of text set in columns that line up."""

from __future__ import annotations

import textwrap
from collections.abc import Sequence


def columns(rows: Sequence[Sequence[str]], indent: str = "  ", gap: str = "  ") -> list[str]:
    """The rows as lines, each column as wide as its widest cell; all but the first set left, like the first."""
    if not rows:
        return []
    widths = [max(len(row[index]) for row in rows if index < len(row)) for index in range(max(map(len, rows)))]
    return [
        (indent + gap.join(cell.ljust(width) for cell, width in zip(row, widths, strict=False))).rstrip()
        for row in rows
    ]


def wrapped(text: str, width: int, first: str = "  ", rest: str = "  ") -> list[str]:
    """A paragraph broken at blanks, `first` before its first line and `rest` before the others."""
    return textwrap.wrap(
        text,
        max(width, 40),
        initial_indent=first,
        subsequent_indent=rest,
        break_long_words=True,
        break_on_hyphens=False,
    ) or [first.rstrip()]
