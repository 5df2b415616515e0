"""Piped, on terminals of any encoding and width, and on streams that fail: words, never a traceback."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest

from tests.builders.command import GOOD, WRONG, call, command, job_in, process, surroundings

ENCODINGS = ("ascii", "cp1252", "cp437", "utf-8")


@pytest.mark.parametrize("encoding", ENCODINGS)
def test_every_command_speaks_every_encoding(encoding: str, tmp_path: Path) -> None:
    job_in(tmp_path, WRONG.replace("units", 'title = "Gärtner 北 × 2"\nunits'))
    job_in(tmp_path, GOOD.replace("driven", "drïven"), "broken.toml")
    for arguments, code in (
        (("check", "job.toml"), 1),
        (("build", "job.toml"), 1),
        (("build", "job.toml", "--json"), 1),
        (("check", "broken.toml"), 2),
        (("check", "nö-such.toml"), 2),
        (("explain", "backlash"), 0),
        (("explain", "smallest-feature", "job.toml"), 0),
        (("profiles", "materials"), 0),
    ):
        answer = call(*arguments, folder=tmp_path, encoding=encoding)
        assert answer.code == code, answer.err
        assert "Error" not in answer.err
        assert (answer.out + answer.err).strip()
        # An untranslatable sign is spelt out, not lost: only what a job or a file name brings may become a "?".
        if arguments[0] == "explain" and len(arguments) == 2:
            assert "?" not in answer.out


@pytest.mark.parametrize("encoding", ["ascii", "cp1252:strict", "utf-8"])
def test_a_process_of_its_own_does_too(encoding: str, tmp_path: Path) -> None:
    job_in(tmp_path, GOOD.replace("units", 'title = "Gärtner 北 × 2"\nunits'))
    answer = process(
        "check", folder=tmp_path, changes={"PYTHONIOENCODING": encoding}, encoding=encoding.partition(":")[0]
    )
    assert (answer.code, answer.err) == (0, "")
    assert "20 deg" in answer.out if encoding == "ascii" else "20°" in answer.out


def test_a_reader_that_has_gone(tmp_path: Path) -> None:
    job_in(tmp_path)
    for arguments in (("check",), ("build",), ("profiles", "bearings"), ("schema",), ("--help",), ("explain",)):
        reader, writer = os.pipe()
        os.close(reader)  # as `head` leaves it
        run = subprocess.run(
            command(*arguments), cwd=tmp_path, env=surroundings(), stdout=writer, stderr=subprocess.PIPE, check=False
        )
        os.close(writer)
        assert run.stderr == b""
        assert run.returncode in (0, 1)
    assert (tmp_path / "out" / "job" / "manifest.json").is_file()  # the work was done all the same


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="no /dev/full on this system")
def test_an_output_that_is_full(tmp_path: Path) -> None:
    job_in(tmp_path)
    with open("/dev/full", "wb") as full:
        run = subprocess.run(
            command("build"), cwd=tmp_path, env=surroundings(), stdout=full, stderr=subprocess.PIPE, check=False
        )
    assert run.returncode == 2
    assert run.stderr.startswith(b"gearplate: the output cannot be written: No space left")
    assert b"Nothing was" not in run.stderr
    assert b"But the new build stands whole in" in run.stderr
    assert (tmp_path / "out" / "job" / "manifest.json").is_file()
    assert b"Traceback" not in run.stderr


@pytest.mark.skipif(sys.platform == "win32", reason="a shell's way to close a stream")
@pytest.mark.parametrize("closed", [">&-", "2>&-", ">&- 2>&-"])
def test_streams_that_are_closed(closed: str, tmp_path: Path) -> None:
    job_in(tmp_path)
    line = " ".join(f"'{part}'" for part in command("check", "job.toml"))
    run = subprocess.run(["sh", "-c", f"{line} {closed}"], cwd=tmp_path, env=surroundings(), check=False)
    assert run.returncode == 0


@pytest.mark.skipif(sys.platform == "win32", reason="no pseudo-terminals there")
@pytest.mark.parametrize("columns", [30, 60, 200])
def test_on_terminals_of_any_width(columns: int, tmp_path: Path) -> None:
    import fcntl
    import pty
    import struct
    import termios

    job_in(tmp_path, WRONG)
    here, there = pty.openpty()
    fcntl.ioctl(there, termios.TIOCSWINSZ, struct.pack("HHHH", 24, columns, 0, 0))
    run = subprocess.Popen(command("build"), cwd=tmp_path, env=surroundings(), stdout=there, stderr=there)
    os.close(there)
    seen = b""
    try:
        while chunk := os.read(here, 65536):
            seen += chunk
    except OSError:  # how Linux says that the other end is closed
        pass
    os.close(here)
    assert run.wait() == 1
    text = seen.decode("utf-8").replace("\r\n", "\n")
    assert "ERROR motor-to-wheel" in text
    # Whatever was said about progress is taken away again before the account.
    assert "\x1b" not in text
    shown = [line.rpartition("\r")[2] for line in text.split("\n")]
    assert shown[0].startswith("test-drive A")
    prose = [line for line in shown if line.startswith(("   M1 (motor)", "   otherwise"))]
    assert prose
    assert max(map(len, prose)) <= max(columns, 40)
