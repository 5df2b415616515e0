"""What can go wrong with disks, folders and people while the command runs: the whole old build stands, or the new.

The table of every system call that can fail is in tests/files; here the whole command is run.
"""

from __future__ import annotations

import json
import os
import random
import subprocess
import sys
import time
from collections.abc import Iterator
from contextlib import contextmanager
from hashlib import sha256
from pathlib import Path

import pytest

from tests.builders.command import GOOD, call, command, contents, job_in, process, surroundings

posix = pytest.mark.skipif(sys.platform == "win32", reason="signals and modes of POSIX")
AS_ROOT = hasattr(os, "geteuid") and os.geteuid() == 0


def whole(folder: Path) -> str:
    """Which build stands in a folder, by its record's job; fails where it is not whole."""
    rows = json.loads((folder / "manifest.json").read_bytes())["files"]
    assert {row["name"] for row in rows} == {path.name for path in folder.iterdir()} - {"manifest.json"}
    for row in rows:
        assert sha256((folder / row["name"]).read_bytes()).hexdigest() == row["sha256"]
    return str(json.loads((folder / "design.json").read_bytes())["job"]["revision"])


@posix
def test_a_folder_that_may_not_be_written(tmp_path: Path) -> None:
    job_in(tmp_path)
    out = tmp_path / "out"
    if AS_ROOT:  # for whom only a disk is read-only
        out.mkdir()
        with _small_disk(out, 420):
            subprocess.run(["mount", "-o", "remount,ro", str(out)], check=True)
            answer = call("build", folder=tmp_path)
    else:
        out.mkdir(mode=0o555)
        answer = call("build", folder=tmp_path)
    assert answer.code == 2
    assert answer.out == ""
    assert answer.err.startswith("gearplate: out/job: cannot be written: ")
    assert answer.err.endswith(". Nothing was changed.\n")
    assert list(contents(tmp_path)) == ["job.toml"]


@pytest.mark.parametrize("target", ["/proc/nowhere/x", "job.toml", "job.toml/x", "."])
def test_a_target_that_cannot_be(target: str, tmp_path: Path) -> None:
    if target.startswith("/proc") and not Path("/proc/self").exists():
        pytest.skip("no /proc on this system")
    job_in(tmp_path)
    answer = call("build", "--out", target, folder=tmp_path)
    assert answer.code == 2
    assert answer.out == ""
    assert len(answer.err.splitlines()) == 1
    assert list(contents(tmp_path)) == ["job.toml"]


@contextmanager
def _small_disk(folder: Path, kilobytes: int) -> Iterator[None]:
    made = subprocess.run(
        ["mount", "-t", "tmpfs", "-o", f"size={kilobytes}k", "tmpfs", str(folder)], capture_output=True, check=False
    )
    if made.returncode != 0:
        pytest.skip("no file system of its own can be mounted here")
    try:
        yield
    finally:
        subprocess.run(["umount", str(folder)], check=True)


@posix
@pytest.mark.skipif(not AS_ROOT, reason="only root mounts")
def test_a_full_disk_leaves_the_last_build(tmp_path: Path) -> None:
    job_in(tmp_path)
    disk = tmp_path / "disk"
    disk.mkdir()
    with _small_disk(disk, 420):  # room for one build and not for two
        assert call("build", "--out", "disk/drive", folder=tmp_path).code == 0
        before = contents(disk)
        answer = call("build", "--out", "disk/drive", "--set", "revision=B", folder=tmp_path)
        assert answer.code == 2
        assert "No space left on device. Nothing was changed." in answer.err
        assert contents(disk) == before
        assert whole(disk / "drive") == "A"


@posix
def test_killed_at_any_moment_the_old_build_stands_whole_or_the_new_one(tmp_path: Path) -> None:
    job_in(tmp_path)
    assert call("build", folder=tmp_path).code == 0
    start = time.perf_counter()
    assert process("build", folder=tmp_path).code == 0
    takes = time.perf_counter() - start
    dice = random.Random(5)
    for number in range(12):
        run = subprocess.Popen(
            command("build", "--set", f"revision={number}"), cwd=tmp_path, env=surroundings(),
            stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL,
        )  # fmt: skip
        time.sleep(takes * dice.uniform(0.3, 1.1))
        run.kill()
        run.wait()
        whole(tmp_path / "out" / "job")
    # The next build takes away whatever the killed ones left.
    assert call("build", "--set", "revision=Z", folder=tmp_path).code == 0
    assert whole(tmp_path / "out" / "job") == "Z"
    assert [path.name for path in (tmp_path / "out").iterdir()] == ["job"]


# The command, with an interrupt from outside just as it comes to the function named.
STRUCK = """\
import os, signal, sys
from importlib import import_module
module, name = import_module(sys.argv[1]), sys.argv[2]
real = getattr(module, name)
def struck(*arguments, **named):
    os.kill(os.getpid(), signal.SIGINT)
    return real(*arguments, **named)
setattr(module, name, struck)
del sys.argv[1:3]
from gearplate.cli import entry
entry()
"""


@posix
@pytest.mark.parametrize(
    ("module", "name"),
    [("gearplate.build", "make_plates"), ("gearplate.build", "run_rules"), ("gearplate.drawing.dxf_out", "dxf_bytes")],
)
def test_interrupted_it_says_so_ends_with_130_and_has_written_nothing(module: str, name: str, tmp_path: Path) -> None:
    job_in(tmp_path)
    run = subprocess.run(
        [sys.executable, "-c", STRUCK, module, name, "build"],
        cwd=tmp_path, env=surroundings(), capture_output=True, text=True, check=False, timeout=60,
    )  # fmt: skip
    assert (run.returncode, run.stdout) == (130, "")
    assert run.stderr == "\ngearplate: stopped. Nothing was written.\n"  # below the ^C of the terminal
    assert list(contents(tmp_path)) == ["job.toml"]


def test_an_interrupt_while_writing_is_told_as_what_it_came_to(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    job_in(tmp_path)
    from gearplate.packet import write as writing

    real = writing.write_folder

    def before(*arguments: object) -> None:
        raise KeyboardInterrupt

    def after(*arguments: object) -> None:
        real(*arguments)  # type: ignore[arg-type]
        raise KeyboardInterrupt

    monkeypatch.setattr(writing, "write_folder", before)
    answer = call("build", folder=tmp_path)
    assert (answer.code, answer.out) == (130, "")
    assert "Nothing was written" in answer.err
    assert list(contents(tmp_path)) == ["job.toml"]
    monkeypatch.setattr(writing, "write_folder", after)
    answer = call("build", folder=tmp_path)
    assert answer.code == 130
    assert "the new build already stood whole in" in answer.err
    assert whole(tmp_path / "out" / "job") == "A"


@posix
def test_what_a_killed_exchange_left_is_put_right_before_anything_else(tmp_path: Path) -> None:
    """Where a system exchanges by two renames: the old folder comes back, even if the job is refused after that."""
    job = job_in(tmp_path)
    assert call("build", folder=tmp_path).code == 0
    out = tmp_path / "out"
    (out / "job").rename(out / "job.old")
    (out / ".job.gearplate-swap").mkdir()
    job.write_text(GOOD.replace("72", "73"), encoding="utf-8")
    answer = call("build", folder=tmp_path)
    assert answer.code == 0
    assert "Changed" in answer.out  # so the last build was found again
    assert [path.name for path in out.iterdir()] == ["job"]
