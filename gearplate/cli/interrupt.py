"""Ctrl-C. Python raises KeyboardInterrupt wherever it is just then. While a library is being loaded, that may come out
as some other error of that library; so it is also remembered that it came."""

from __future__ import annotations

import signal
from types import FrameType

_came: list[int] = []


def listen() -> None:
    """From now on an interrupt is remembered. For a process of our own only: the handler is global."""
    signal.signal(signal.SIGINT, _handle)


def came() -> bool:
    """Whether one came."""
    return bool(_came)


def _handle(number: int, frame: FrameType | None) -> None:
    _came.append(number)
    raise KeyboardInterrupt
