"""The command line as tests call it: in this process where that is enough, as a process of its own where it matters."""

from __future__ import annotations

import io
import os
import subprocess
import sys
from collections.abc import Mapping, Sequence
from contextlib import chdir, redirect_stderr, redirect_stdout
from dataclasses import dataclass
from pathlib import Path

from gearplate.cli import main

ROOT = Path(__file__).resolve().parents[2]

# A job that builds without a finding, and quickly: one stage, all places given.
GOOD = """\
format = 1
part = "test-drive"
units = "inch"
material = "acetal-6mm"
cutter = "demo"
wheel = {diameter = 4}
motors = {type = "generic-a", pinion = 12, side = "inboard"}
stages = [{driven = 72}]
diametral_pitch = 20
places = {M1 = {angle = 90}}
"""

# The same with a motor that sits in the wheel and on the rail.
WRONG = GOOD.replace('side = "inboard"', 'side = "outboard"')


@dataclass(frozen=True)
class Answer:
    """What a command printed and ended with."""

    code: int
    out: str
    err: str


def call(*arguments: str, folder: Path, encoding: str = "utf-8") -> Answer:
    """Runs one command in this process, in a folder."""
    out, err = (io.TextIOWrapper(io.BytesIO(), encoding=encoding, newline="\n") for _ in range(2))
    with chdir(folder), redirect_stdout(out), redirect_stderr(err):
        code = main(arguments)
    texts = []
    for stream in (out, err):
        stream.flush()
        stream.seek(0)
        texts.append(stream.read())
    return Answer(code, texts[0], texts[1])


def surroundings(changes: Mapping[str, str] | None = None) -> dict[str, str]:
    """The environment of a process that finds this checkout. Compiled modules are kept, or each run compiles anew."""
    kept = {key: value for key, value in os.environ.items() if key != "PYTHONDONTWRITEBYTECODE"}
    return kept | {"PYTHONPATH": str(ROOT)} | dict(changes or {})


def command(*arguments: str) -> list[str]:
    """The line that starts a command as a process of its own."""
    return [sys.executable, "-m", "gearplate", *arguments]


def process(*arguments: str, folder: Path, changes: Mapping[str, str] | None = None, encoding: str = "utf-8") -> Answer:
    """Runs one command as a process of its own, with changes to its environment."""
    done = subprocess.run(
        command(*arguments), cwd=folder, env=surroundings(changes), capture_output=True, check=False, timeout=60
    )
    return Answer(done.returncode, done.stdout.decode(encoding), done.stderr.decode(encoding))


def job_in(folder: Path, text: str = GOOD, name: str = "job.toml") -> Path:
    """Writes a job file."""
    path = folder / name
    path.write_text(text, encoding="utf-8")
    return path


def contents(folder: Path) -> dict[str, bytes]:
    """Every file under a folder by its path from there."""
    return {str(path.relative_to(folder)): path.read_bytes() for path in sorted(folder.rglob("*")) if path.is_file()}


def names(paths: Sequence[Path]) -> list[str]:
    return sorted(path.name for path in paths)
