"""A word on stderr about what is being waited for, where that is a terminal and it takes over half a second."""

from __future__ import annotations

import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress

PATIENCE_S = 0.5


@contextmanager
def progress(what: str) -> Iterator[Callable[[str], None]]:
    """Shows `what` while the body runs, and takes it away again. The body may say how far it has come: that is shown
    behind it."""
    stream = sys.stderr
    if stream is None or not stream.isatty():
        yield lambda _: None
        return
    import os
    import threading

    from gearplate.cli.say import plain

    text = [f"{what} ..."]
    shown: list[str] = []
    lock = threading.Lock()

    def show() -> None:
        with lock, suppress(OSError, ValueError):
            line = plain(text[0], getattr(stream, "encoding", None) or "ascii")
            columns = 80
            with suppress(OSError, ValueError, AttributeError):
                columns = os.get_terminal_size(stream.fileno()).columns
            line = line[: max(1, columns - 1)]  # a line that wraps cannot be taken away again
            before = len(shown[-1]) if shown else 0
            stream.write(("\r" if shown else "") + line + " " * (before - len(line)))
            stream.flush()
            shown[:] = [line]

    def tell(how_far: str) -> None:
        text[0] = f"{what}: {how_far} ..." if how_far else f"{what} ..."
        if shown:
            show()

    timer = threading.Timer(PATIENCE_S, show)
    timer.daemon = True
    timer.start()
    try:
        yield tell
    finally:
        timer.cancel()
        timer.join()
        if shown:
            with suppress(OSError, ValueError):
                stream.write("\r" + " " * len(shown[-1]) + "\r")
                stream.flush()
