"""A word on stderr about what is being waited for, where that is a terminal and it takes over half a second."""

from __future__ import annotations

import sys
from collections.abc import Iterator
from contextlib import contextmanager, suppress

PATIENCE_S = 0.5


@contextmanager
def progress(what: str) -> Iterator[None]:
    """Shows `what` while the body runs, and takes it away again."""
    stream = sys.stderr
    if stream is None or not stream.isatty():
        yield
        return
    import threading

    text = f"{what} ..."
    shown = threading.Event()

    def show() -> None:
        with suppress(OSError, ValueError):
            stream.write(text)
            stream.flush()
            shown.set()

    timer = threading.Timer(PATIENCE_S, show)
    timer.daemon = True
    timer.start()
    try:
        yield
    finally:
        timer.cancel()
        timer.join()
        if shown.is_set():
            with suppress(OSError, ValueError):
                stream.write("\r" + " " * len(text) + "\r")
                stream.flush()
