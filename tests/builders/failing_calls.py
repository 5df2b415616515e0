"""System calls that fail on demand: the real table of gearplate.files with one fault, or one death, built in."""

from __future__ import annotations

import contextlib
import errno
import os
from collections.abc import Callable
from typing import Any

from gearplate.files import SYSTEM, Ops


class Killed(BaseException):
    """Stands for the end of the process: nothing that the process would do afterwards has any effect."""


class FailingCalls:
    """A table of system calls of which call number `at` fails (counting from 1; 0: none).

    `mode`: "once" with ENOSPC, "for ever" from then on with ENOSPC, "kill" raises Killed from then on. A write that
    fails has put half of its bytes down before. `exchange` False: a system that cannot exchange two folders.
    Flushes do not wait for the disk, which makes the tests quick; they are counted and fail like everything else.
    """

    def __init__(self, at: int = 0, mode: str = "once", exchange: bool = True) -> None:
        self.at = at
        self.mode = mode
        self.count = 0
        self.called: list[str] = []
        self._handles: set[int] = set()
        table: dict[str, Callable[..., Any]] = SYSTEM._asdict()
        table |= {"flush": lambda handle: None, "flush_folder": lambda path: None}
        if not exchange:
            table["exchange"] = lambda one, other: False
        self.ops = Ops(**{name: self._counted(name, call) for name, call in table.items()})

    def _counted(self, name: str, call: Callable[..., Any]) -> Callable[..., Any]:
        def counted(*given: Any) -> Any:
            self.count += 1
            self.called.append(name)
            if self.at and (self.count == self.at or (self.count > self.at and self.mode != "once")):
                self._fail(name, given)
            answer = call(*given)
            if name in ("create", "lock") and answer is not None:
                self._handles.add(answer)
            elif name in ("close", "unlock"):
                self._handles.discard(given[0])
            return answer

        return counted

    def _fail(self, name: str, given: tuple[Any, ...]) -> None:
        if name == "write" and self.count == self.at:
            os.write(given[0], given[1][: len(given[1]) // 2])
        if name in ("close", "unlock"):  # a handle is gone even if closing it fails
            os.close(given[0])
            self._handles.discard(given[0])
        if self.mode == "kill":
            for handle in self._handles:
                with contextlib.suppress(OSError):
                    os.close(handle)
            self._handles.clear()
            raise Killed
        raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))
