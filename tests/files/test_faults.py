"""Every system call fails in turn, once and for ever, and the process dies before each: old whole or new whole."""

from __future__ import annotations

import os
import random
import signal
import subprocess
import sys
import textwrap
import threading
import time
from pathlib import Path

import pytest

from gearplate.errors import FileError
from gearplate.files import MANIFEST_NAME, Ops, read_manifest, recover, write_file, write_folder
from tests.builders.failing_calls import FailingCalls, Killed

OLD = {"a.dxf": b"old a" * 50, "gone.svg": b"old gone", "design.json": b"{}"}
NEW = {"a.dxf": b"new a" * 70, "fresh.dxf": b"new", "design.json": b'{"new": 1}', "empty.txt": b""}

STARTS = ["nothing", "no parent", "empty", "old build and leftovers"]
MODES = ["once", "for ever", "kill"]


def write(target: Path, files: dict[str, bytes], ops: Ops | None = None) -> None:
    roles = dict.fromkeys(files, "test")
    if ops is None:
        ops = FailingCalls().ops
    write_folder(target, files, roles, ops)


def set_up(folder: Path, start: str) -> Path:
    target = folder / "out" / "rover"
    if start == "no parent":
        return target
    target.parent.mkdir(parents=True)
    if start == "empty":
        target.mkdir()
    elif start != "nothing":
        write(target, OLD)
    if start == "old build and leftovers":
        torn = target.parent / ".rover.gearplate-0123456789ab"
        torn.mkdir()
        (torn / MANIFEST_NAME).write_bytes((target / MANIFEST_NAME).read_bytes()[:40])
        half = target.parent / ".rover.gearplate-ba9876543210"
        half.mkdir()
        (half / MANIFEST_NAME).write_bytes((target / MANIFEST_NAME).read_bytes())
        (half / "a.dxf").write_bytes(b"old")
    return target


def state(target: Path) -> str:
    """What stands there: "nothing", "empty", "old", "new", or a description that equals none of these."""
    if not target.exists():
        return "nothing"
    found = {path.name: path.read_bytes() for path in target.iterdir()}
    entries = read_manifest(target)
    found.pop(MANIFEST_NAME, None)
    if not found and entries is None:
        return "empty"
    listed = {entry.name: entry.size for entry in entries or ()}
    if listed != {name: len(data) for name, data in found.items()}:
        return f"manifest {listed}, files {sorted(found)}"
    return "old" if found == OLD else "new" if found == NEW else f"mix {sorted(found)}"


def beside(target: Path) -> list[str]:
    return sorted(set(os.listdir(target.parent)) - {target.name}) if target.parent.exists() else []


def calls_of_a_clean_run(folder: Path, start: str, exchange: bool) -> list[str]:
    calls = FailingCalls(exchange=exchange)
    target = set_up(folder, start)
    write(target, NEW, calls.ops)
    assert state(target) == "new"
    assert beside(target) == []
    return calls.called


@pytest.mark.parametrize("exchange", [True, False], ids=["exchange", "renames"])
@pytest.mark.parametrize("start", STARTS)
def test_whatever_call_fails_the_folder_is_whole(tmp_path: Path, start: str, exchange: bool) -> None:
    called = calls_of_a_clean_run(tmp_path / "clean", start, exchange)
    assert {"mkdir", "create", "write", "flush", "close", "flush_folder", "lock", "unlock"} <= set(called)
    assert ("exchange" in called) == (start not in ("nothing", "no parent"))
    assert ("rename" in called) == (start in ("nothing", "no parent") or not exchange)
    errors = 0
    for mode in MODES:
        for at in range(1, len(called) + 1):
            case = f"call {at} of {len(called)} ({called[at - 1]}) fails: {mode}"
            target = set_up(tmp_path / mode / str(at), start)
            before = state(target)
            calls = FailingCalls(at, mode, exchange)
            raised: BaseException | None = None
            try:
                write(target, NEW, calls.ops)
            except (FileError, Killed) as error:
                raised = error
            assert calls.count >= at, case

            now = state(target)
            old = target.with_name("rover.old")
            assert now in (before, "new") or (now == "nothing" and state(old) == before), case
            recover(target)
            now = state(target)
            assert beside(target) == [], case
            if isinstance(raised, FileError):
                errors += 1
                assert str(target) in str(raised), case
                if "could not be taken back" in str(raised):
                    assert mode == "for ever", case
                    assert now in (before, "new"), case
                else:
                    assert "No space left" in str(raised), case
                    assert now == before, case
                    if start == "no parent":
                        assert not target.parent.exists() or mode == "for ever", case
            elif raised is None:
                assert mode != "kill", case
                assert now == "new", case
            else:
                assert now in (before, "new"), case
            # And the next build goes through as if nothing had been.
            write(target, NEW)
            assert (state(target), beside(target)) == ("new", []), case
    assert errors > len(called)


@pytest.mark.parametrize("exchange", [True, False], ids=["exchange", "renames"])
def test_a_kill_during_the_recovery_from_a_kill(tmp_path: Path, exchange: bool) -> None:
    called = calls_of_a_clean_run(tmp_path / "clean", "old build", exchange)
    # A death before a call that only looks leaves the same disk as a death before the next one.
    changing = {"mkdir", "create", "write", "exchange", "rename", "unlink", "rmdir"}
    for at in (number for number, name in enumerate(called, start=1) if name in changing):
        for again in range(1, 40):
            target = set_up(tmp_path / f"{at}-{again}", "old build")
            with pytest.raises(Killed):
                write(target, NEW, FailingCalls(at, "kill", exchange).ops)
            second = FailingCalls(again, "kill", exchange)
            try:
                recover(target, second.ops)
            except Killed:
                recover(target)
                assert state(target) in ("old", "new"), f"killed at {at}, then at {again}"
                assert beside(target) == []
            else:
                assert second.count < again
                break
        else:
            pytest.fail("the recovery takes more calls than were tried")


@pytest.mark.parametrize("mode", MODES)
@pytest.mark.parametrize("overwrite", [True, False])
def test_whatever_call_fails_a_single_file_is_whole(tmp_path: Path, overwrite: bool, mode: str) -> None:
    def set_up_file(name: str) -> Path:
        path = tmp_path / name / "job.toml"
        path.parent.mkdir()
        if overwrite:
            path.write_bytes(b"old")
        return path

    clean = FailingCalls()
    write_file(set_up_file("clean"), b"new" * 100, overwrite=overwrite, ops=clean.ops)
    for at in range(1, clean.count + 1):
        case = f"call {at} ({clean.called[at - 1]})"
        path = set_up_file(f"{at}")
        try:
            write_file(path, b"new" * 100, overwrite=overwrite, ops=FailingCalls(at, mode).ops)
        except FileError:
            allowed = [b"old" if overwrite else None]
        except Killed:
            allowed = [b"old" if overwrite else None, b"new" * 100]
        else:
            allowed = [b"new" * 100]
        assert (path.read_bytes() if path.exists() else None) in allowed, case
        write_file(path, b"newest", overwrite=True)
        assert (path.read_bytes(), beside(path)) == (b"newest", []), case


WRITER = """
    import sys
    from gearplate.files import SYSTEM, write_folder
    target, exchange, count, *letters = sys.argv[1:]
    ops = SYSTEM if exchange == "exchange" else SYSTEM._replace(exchange=lambda one, other: False)
    print("ready", flush=True)
    for turn in range(int(count)):
        letter = letters[turn % len(letters)]
        files = {f"{letter}{n}.dxf": letter.encode() * 5000 for n in range(4)} | {"same.txt": letter.encode()}
        write_folder(target, files, dict.fromkeys(files, "test"), ops)
"""


def start_writer(target: Path, exchange: str, count: int, letters: str) -> subprocess.Popen[str]:
    root = Path(__file__).parents[2]
    command = [sys.executable, "-c", textwrap.dedent(WRITER), str(target), exchange, str(count), *letters]
    child = subprocess.Popen(command, cwd=root, stdout=subprocess.PIPE, text=True)
    assert child.stdout is not None
    assert child.stdout.readline() == "ready\n"
    return child


def letter_of(target: Path) -> str:
    """The letter that the whole folder is of; asserts that it is of one."""
    letter = (target / "same.txt").read_text()
    want = {f"{letter}{n}.dxf": letter.encode() * 5000 for n in range(4)} | {"same.txt": letter.encode()}
    assert {path.name: path.read_bytes() for path in target.iterdir() if path.name != MANIFEST_NAME} == want
    assert {entry.name for entry in read_manifest(target) or ()} == set(want)
    return letter


@pytest.mark.skipif(sys.platform == "win32", reason="SIGKILL")
@pytest.mark.parametrize("exchange", ["exchange", "renames"])
def test_a_killed_process_leaves_a_whole_folder(tmp_path: Path, exchange: str) -> None:
    target = tmp_path / "rover"
    chance = random.Random(exchange)
    for _ in range(6):
        child = start_writer(target, exchange, 10_000, "ab")
        time.sleep(chance.uniform(0.03, 0.1))
        child.send_signal(signal.SIGKILL)
        child.wait()
        recover(target)
        assert beside(target) == []
        assert not target.exists() or letter_of(target) in "ab"
    assert target.exists()


@pytest.mark.parametrize("exchange", ["exchange", "renames"])
def test_processes_and_threads_at_the_same_target_never_mix(tmp_path: Path, exchange: str) -> None:
    target = tmp_path / "rover"
    children = [start_writer(target, exchange, 15, letters) for letters in ("ab", "cd")]
    failed: list[BaseException] = []

    def work(letter: str) -> None:
        files = {f"{letter}{n}.dxf": letter.encode() * 5000 for n in range(4)} | {"same.txt": letter.encode()}
        try:
            for _ in range(15):
                write_folder(
                    target, files, dict.fromkeys(files, "test"), FailingCalls(exchange=exchange == "exchange").ops
                )
        except BaseException as error:
            failed.append(error)

    threads = [threading.Thread(target=work, args=(letter,)) for letter in "ef"]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert [child.wait() for child in children] == [0, 0]
    assert failed == []
    assert letter_of(target) in "abcdef"
    assert beside(target) == []


@pytest.mark.skipif(sys.platform == "win32", reason="needs a limit on the size of files")
def test_a_disk_that_takes_no_more_is_reported(tmp_path: Path) -> None:
    """A real failing write: the system refuses to let any file grow over 8000 bytes."""
    target = tmp_path / "rover"
    write(target, OLD)
    program = """
        import resource, sys
        from gearplate.errors import FileError
        from gearplate.files import write_folder
        resource.setrlimit(resource.RLIMIT_FSIZE, (8000, 8000))
        try:
            write_folder(sys.argv[1], {"a.dxf": b"x" * 20000}, {"a.dxf": "test"})
        except FileError as error:
            print(error)
    """
    done = subprocess.run(
        [sys.executable, "-c", textwrap.dedent(program), str(target)],
        cwd=Path(__file__).parents[2],
        capture_output=True,
        text=True,
        check=True,
    )
    assert done.stdout == f"{target}: cannot be written: File too large. Nothing was changed.\n"
    assert (state(target), beside(target)) == ("old", [])
