"""Names of commands, help, exit codes; and that no error, ours or the user's, comes out as a traceback."""

from __future__ import annotations

from pathlib import Path

import click
import pytest

from gearplate import __version__
from gearplate.cli.group import COMMANDS, TRACEBACK, CommandGroup, gearplate
from gearplate.errors import FileError, JobError, NoSolution, Problem, Stopped, ToolBug
from tests.builders.command import call


def test_bare_it_says_in_five_lines_what_this_is_and_what_to_type(tmp_path: Path) -> None:
    answer = call(folder=tmp_path)
    assert (answer.code, answer.err) == (0, "")
    assert len(answer.out.splitlines()) == 5
    for word in ("gearplate new", "gearplate check", "gearplate build compost-drive", "gearplate explain", "--help"):
        assert word in answer.out


def test_every_command_has_help_that_names_it(tmp_path: Path) -> None:
    for name in COMMANDS:
        answer = call(name, "--help", folder=tmp_path)
        assert answer.code == 0
        assert answer.out.startswith(f"Usage: gearplate {name} ")
        assert answer.out.isascii()


def test_the_list_of_commands_says_what_each_says_of_itself(tmp_path: Path) -> None:
    listed = call("--help", folder=tmp_path).out
    context = click.Context(gearplate)
    assert isinstance(gearplate, CommandGroup)
    for name in gearplate.list_commands(context):
        assert f"  {name} " in listed
        command = gearplate.get_command(context, name)
        assert command is not None
        assert command.name == name


def test_version(tmp_path: Path) -> None:
    assert call("--version", folder=tmp_path).out == f"gearplate {__version__}\n"


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        (["biuld"], "Did you mean build?"),
        (["chekc", "x.toml"], "Did you mean check?"),
        (["zzz"], "Commands: new, check, build"),
        (["build", "--bogus"], "--bogus"),
        (["check", "a", "b"], "b"),
        (["--bogus"], "--bogus"),
        (["build", "--set"], "--set"),
        (["profiles", "bearing"], "Did you mean bearings"),
    ],
)
def test_a_slip_is_answered_with_two_lines_and_2(arguments: list[str], said: str, tmp_path: Path) -> None:
    answer = call(*arguments, folder=tmp_path)
    assert (answer.code, answer.out) == (2, "")
    assert said in answer.err
    assert answer.err.startswith("gearplate: ")
    assert len(answer.err.splitlines()) <= 2
    assert list(tmp_path.iterdir()) == []


def _raises(monkeypatch: pytest.MonkeyPatch, error: BaseException) -> None:
    def fail() -> None:
        raise error

    monkeypatch.setattr("gearplate.job.schema.schema_text", fail)


@pytest.mark.parametrize(
    ("error", "code", "said"),
    [
        (JobError((Problem("a.toml", 3, "k", "1", "No.", "2"),)), 2, "a.toml, line 3: k = 1: No. Accepted: 2."),
        (FileError("out: is full"), 2, "out: is full"),
        (NoSolution("nothing fits"), 1, "nothing fits"),
        (Stopped("stopped too early."), 130, "gearplate: stopped too early. Nothing was written."),
        (ToolBug("a promise"), 3, "please report it: a promise"),
        (ZeroDivisionError("by zero"), 3, "please report it: ZeroDivisionError: by zero"),
        (RecursionError(), 2, "nested too deeply"),
        (MemoryError(), 2, "not enough memory"),
        (PermissionError(13, "Permission denied", "x/y"), 2, "x/y: Permission denied"),
        (KeyboardInterrupt(), 130, "stopped. Nothing was written"),
    ],
)
def test_each_error_has_its_exit_code_and_its_words(
    error: BaseException, code: int, said: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.delenv(TRACEBACK, raising=False)
    _raises(monkeypatch, error)
    answer = call("schema", folder=tmp_path)
    assert (answer.code, answer.out) == (code, "")
    assert said in answer.err
    assert "Traceback" not in answer.err
    assert str(Path(__file__).parent) not in answer.err


def test_an_interrupt_that_a_library_turned_into_its_own_error(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    _raises(monkeypatch, ImportError("could not be loaded"))
    monkeypatch.setattr("gearplate.cli.interrupt._came", [2])
    answer = call("schema", folder=tmp_path)
    assert (answer.code, answer.err) == (130, "gearplate: stopped. Nothing was written.\n")


def test_a_fault_of_ours_shows_its_way_where_that_is_asked_for(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv(TRACEBACK, "1")
    _raises(monkeypatch, ZeroDivisionError("by zero"))
    answer = call("schema", folder=tmp_path)
    assert answer.code == 3
    assert "Traceback" in answer.err
