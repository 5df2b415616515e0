"""Times commands side by side: one after the other, round after round, so that a busy machine is busy for all."""

from __future__ import annotations

import os
import statistics
import subprocess
import time
from collections.abc import Mapping, Sequence


def medians_s(commands: Mapping[str, Sequence[str]], rounds: int, folder: str) -> dict[str, float]:
    """The median wall-clock time of each command, in seconds, after one round that is not counted.

    Every command runs in `folder`, which also holds the compiled modules of all of them: a machine that is told not to
    keep any (PYTHONDONTWRITEBYTECODE) would compile ours anew on each run, and those of the libraries not.
    """
    surroundings = {key: value for key, value in os.environ.items() if key != "PYTHONDONTWRITEBYTECODE"}
    surroundings["PYTHONPYCACHEPREFIX"] = os.path.join(folder, "compiled")
    times: dict[str, list[float]] = {name: [] for name in commands}
    for number in range(rounds + 1):
        for name, command in commands.items():
            start = time.perf_counter()
            subprocess.run(command, cwd=folder, env=surroundings, check=False, capture_output=True)
            if number:
                times[name].append(time.perf_counter() - start)
    return {name: statistics.median(row) for name, row in times.items()}
