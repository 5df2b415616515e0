"""Ctrl-C. Python raises KeyboardInterrupt wherever it is just then. While a library is being loaded, that may come out
as some other error of that library; so it is also remembered that it came. While a search runs that has something to
show for itself, the first one only asks it to end; the next is as ever."""

from __future__ import annotations

import signal
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from types import FrameType

_came: list[int] = []


class Asked:
    """Whether a search has been asked to end. Nobody can ask before it has begun; `tell` is called when it is asked."""

    def __init__(self, tell: Callable[[], None]) -> None:
        self.tell = tell
        self.begun = False
        self.to_end = False


_searches: list[Asked] = []


def listen() -> None:
    """From now on an interrupt is remembered. For a process of our own only: the handler is global."""
    signal.signal(signal.SIGINT, _handle)


def ignore() -> None:
    """From now on an interrupt changes nothing: the interpreter is closing, and would end by the signal itself."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)


def came() -> bool:
    """Whether one came that was not put down to a search."""
    return bool(_came)


@contextmanager
def ending_a_search(tell: Callable[[], None]) -> Iterator[Asked]:
    """While the body runs, the first interrupt after the search has begun is put down there instead of being raised."""
    asked = Asked(tell)
    _searches.append(asked)
    try:
        yield asked
    finally:
        _searches.remove(asked)


def _handle(number: int, frame: FrameType | None) -> None:
    for asked in _searches:
        if asked.begun and not asked.to_end:
            asked.to_end = True
            with suppress(RuntimeError):  # it came while something was being written
                asked.tell()
            return
    _came.append(number)
    raise KeyboardInterrupt
