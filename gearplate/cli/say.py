"""Print for people on any terminal: data to stdout, talk to stderr.

What the terminal's encoding lacks is spelt out, and what would steer the terminal (a file name may hold anything) is
shown as an escape. A reader that has gone (`gearplate check | head -3`) is no fault: the work goes on, unheard.
"""

from __future__ import annotations

import os
import sys
from contextlib import suppress
from typing import TextIO

WIDEST = 100
"""Lines longer than this are hard to read, however wide the terminal."""


def say(text: str) -> None:
    """Data, to stdout."""
    _write(sys.stdout, text)


def complain(text: str) -> None:
    """Talk, to stderr."""
    with suppress(OSError):  # a full disk behind stderr: nobody is left to be told
        _write(sys.stderr, text)


def width() -> int:
    """How wide lines may be: as wide as the terminal up to `WIDEST`, 80 where stdout is none."""
    with suppress(OSError, ValueError, AttributeError):
        return max(1, min(os.get_terminal_size(sys.stdout.fileno()).columns - 1, WIDEST))
    return 80


def encoding() -> str:
    """That of stdout; ASCII where it is closed."""
    return getattr(sys.stdout, "encoding", None) or "ascii"


def _write(stream: TextIO | None, text: str) -> None:
    if stream is None:  # closed before we were started
        return
    text = plain(text, getattr(stream, "encoding", None) or "ascii")
    try:
        stream.write(text + "\n")
        stream.flush()
    except BrokenPipeError:
        silence(stream)


def plain(text: str, encoding: str) -> str:
    """The text with nothing in it that steers a terminal, and nothing that `encoding` lacks."""
    if not text.replace("\n", "").isprintable():
        text = "".join(c if c == "\n" or c.isprintable() else ascii(c)[1:-1] for c in text)
    if not text.isascii():
        from gearplate.packet.characters import fitted

        text = fitted(text, encoding)
    return text


def silence(stream: TextIO) -> None:
    """Sends what is still to be written nowhere, so that the interpreter does not complain when it closes."""
    with suppress(OSError, ValueError):
        nowhere = os.open(os.devnull, os.O_WRONLY)
        os.dup2(nowhere, stream.fileno())
        os.close(nowhere)
