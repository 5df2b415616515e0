"""Which job is meant: a path, a shipped name, the only one of the folder; else what to type."""

from __future__ import annotations

import os
import threading
from contextlib import suppress
from pathlib import Path

import pytest

from gearplate.cli.job_argument import find_job, job_files
from gearplate.errors import UsageError
from tests.builders.command import GOOD, call, job_in


@pytest.fixture(autouse=True)
def _here(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)


def test_the_only_job_of_the_folder(tmp_path: Path) -> None:
    job_in(tmp_path)
    (tmp_path / "pyproject.toml").write_text("[tool.something]\nformat = 1\nbase = 'x'\n", encoding="utf-8")
    (tmp_path / "notes.toml").write_text("title = 'nothing of ours'\n", encoding="utf-8")
    (tmp_path / "empty.toml").write_bytes(b"")
    (tmp_path / "odd.toml").write_bytes(b"\xff\xfe\x00")
    assert find_job(None, "check") == "job.toml"


@pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="there are no pipes with names here")
def test_a_pipe_is_refused_and_not_waited_for(tmp_path: Path) -> None:
    pipe = tmp_path / "pipe.toml"
    os.mkfifo(pipe)
    end = os.open(pipe, os.O_RDWR)
    os.write(end, b"base = 'compost-drive'\n")
    rescue = threading.Timer(5.0, os.close, (end,))  # whoever does wait is let go, and has read a job
    rescue.start()
    try:
        assert job_files(".") == []
        answer = call("check", "pipe.toml", folder=tmp_path)
    finally:
        rescue.cancel()
        with suppress(OSError):  # closed by then
            os.close(end)
    assert (answer.code, answer.err) == (
        2, "gearplate: pipe.toml: is not a file: a pipe or a device is not read.\n",
    )  # fmt: skip


@pytest.mark.parametrize(
    "text",
    ["base = 'standard.toml'\n", "# first\n  part = 'x'\n", "stages = [", '\ufeff"format" = 1\n', "motors.type = 1"],
)
def test_what_counts_as_a_job(text: str, tmp_path: Path) -> None:
    """Also one that is broken: its error is what its writer wants to see."""
    job_in(tmp_path, text)
    assert job_files(".") == ["job.toml"]


def test_several_are_listed_as_what_to_type(tmp_path: Path) -> None:
    for name in ("b.toml", "a.toml", "with blank.toml"):
        job_in(tmp_path, name=name)
    with pytest.raises(UsageError) as refusal:
        find_job(None, "build")
    assert str(refusal.value).splitlines() == [
        "there are 3 job files in this folder; say which:",
        "  gearplate build a.toml",
        "  gearplate build b.toml",
        '  gearplate build "with blank.toml"',
    ]


def test_none_says_what_to_type() -> None:
    with pytest.raises(UsageError, match=r"gearplate new .* gearplate check compost-drive"):
        find_job(None, "check")


def test_a_folder_stands_for_its_only_job(tmp_path: Path) -> None:
    (tmp_path / "drives").mkdir()
    job_in(tmp_path / "drives")
    assert Path(find_job("drives", "check")) == Path("drives/job.toml")
    (tmp_path / "none").mkdir()
    with pytest.raises(UsageError, match="no job file in"):
        find_job("none", "check")


def test_a_file_goes_before_a_shipped_name_and_a_folder_does_not(tmp_path: Path) -> None:
    (tmp_path / "compost-drive").mkdir()
    assert find_job("compost-drive", "check") == "compost-drive"
    assert call("check", "compost-drive", folder=tmp_path).out.startswith("compost-drive A")
    (tmp_path / "compost-drive").rmdir()
    job_in(tmp_path, name="compost-drive")
    assert call("check", "compost-drive", folder=tmp_path).out.startswith("test-drive A")


@pytest.mark.parametrize(
    ("asked", "said"),
    [
        ("compost-drve", "Did you mean compost-drive"),
        ("job", "Did you mean job.toml?"),
        ("jbo.toml", "Did you mean job.toml?"),
        ("qqq", "Shipped jobs: barrow-idler, "),
    ],
)
def test_a_name_that_is_not_there_has_neighbours(asked: str, said: str, tmp_path: Path) -> None:
    job_in(tmp_path)
    with pytest.raises(UsageError) as refusal:
        find_job(asked, "check")
    assert said in str(refusal.value)
    assert call("check", asked, folder=tmp_path).code == 2


def test_left_out_it_is_built(tmp_path: Path) -> None:
    job_in(tmp_path, GOOD, "garden.toml")
    assert call("build", folder=tmp_path).code == 0
    assert (tmp_path / "out" / "garden" / "design.json").is_file()
