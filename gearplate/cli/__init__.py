"""The command line: parse, print, exit. One file a command (NAME_command.py), loaded only when it is called.

group         the commands' names and one line each; runs one and turns every error into words and an exit code
say           data to stdout, talk to stderr, on any terminal
job_argument  which job file is meant where JOB is a path, a shipped job's name, or left out
options       JOB, --set and --json, the same on every command that reads a job
interrupt     Ctrl-C, wherever it comes
progress      a word on what is being waited for
watching      how far the search for places has come, and its end at Ctrl-C
"""

from __future__ import annotations

import sys
from collections.abc import Sequence


def main(arguments: Sequence[str] | None = None) -> int:
    """Run one command and return its exit code; never lets a traceback out."""
    from gearplate.cli.group import run

    return run(list(sys.argv[1:] if arguments is None else arguments))


def entry() -> None:
    """The installed command."""
    import gc
    import os

    # One design and then the end: looking for garbage as often as a server must costs a tenth of the time.
    gc.set_threshold(200_000)
    # Arrays of a few thousand numbers: more than one thread only gets in its own way.
    os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
    try:
        from gearplate.cli import interrupt

        interrupt.listen()
        code = main()
        interrupt.ignore()  # all is said and done: the exit code tells of it, not of what came too late
    except KeyboardInterrupt:  # while the first modules were still being loaded
        code = 130
    if code == 130:
        # Python would end by the signal itself where it came while a module was being loaded.
        for stream in (sys.stdout, sys.stderr):
            if stream is not None:
                stream.flush()
        os._exit(code)
    sys.exit(code)
