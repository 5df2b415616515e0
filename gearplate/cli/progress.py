"""A word on stderr about what is being waited for, where that is a terminal and it takes over half a second."""

from __future__ import annotations

import os
import sys
import threading
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from typing import TextIO

PATIENCE_S = 0.5
AGAIN_S = 0.2
"""How soon after one another two lines are shown."""


class Shown:
    """The line that stands on the terminal. Without a terminal nothing is ever shown."""

    def __init__(self, what: str, doing: str, stream: TextIO | None) -> None:
        self._what, self._doing, self._stream = what, doing, stream
        self._lock = threading.RLock()  # an interrupt is told of by whoever may be writing just then
        self._text = f"{what}: {doing} ..."
        self._shown = ""  # what stands there

    def say(self, how_far: str) -> None:
        """How far it has come; nothing: as at the beginning."""
        self._text = f"{self._what}: {how_far or self._doing} ..."

    def show(self) -> None:
        """Writes the line over what stands there, if it is another one."""
        with self._lock, suppress(OSError, ValueError):
            if self._stream is None:
                return
            text = _fitting(self._text, self._stream)
            if text != self._shown:
                self._stream.write("\r" + text.ljust(len(self._shown)))
                self._stream.flush()
                self._shown = text

    def clear(self, tell: Callable[[], None] = lambda: None) -> None:
        """Takes it away until it is shown again; what is told meanwhile has the line for itself."""
        with self._lock:
            with suppress(OSError, ValueError):
                if self._stream is not None and self._shown:
                    self._stream.write("\r" + " " * len(self._shown) + "\r")
                    self._stream.flush()
            self._shown = ""
            tell()

    def keep_showing(self, over: threading.Event) -> None:
        """From PATIENCE_S on, until it is over."""
        wait = PATIENCE_S
        while not over.wait(wait):
            self.show()
            wait = AGAIN_S


def _fitting(text: str, stream: TextIO) -> str:
    """As much as one line of the terminal holds, in its encoding."""
    from gearplate.cli.say import plain

    columns = 80
    with suppress(OSError, ValueError, AttributeError):
        columns = os.get_terminal_size(stream.fileno()).columns or columns
    return plain(text, getattr(stream, "encoding", None) or "ascii")[: max(1, columns - 1)]


@contextmanager
def progress(what: str, doing: str) -> Iterator[Shown]:
    """Shows what is `doing` with `what` while the body runs, or how far it has come where the body says so; takes it
    away again."""
    stream = sys.stderr
    if stream is None or not stream.isatty():
        yield Shown(what, doing, None)
        return
    shown, over = Shown(what, doing, stream), threading.Event()
    showing = threading.Thread(target=shown.keep_showing, args=(over,), daemon=True)
    showing.start()
    try:
        yield shown
    finally:
        over.set()
        showing.join()
        shown.clear()
