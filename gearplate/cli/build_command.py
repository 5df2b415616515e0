"""`gearplate build`: the main job."""

from __future__ import annotations

import os
from typing import TYPE_CHECKING, NoReturn

import click

from gearplate.cli.options import JOB_HELP, job_argument, json_option, set_option

if TYPE_CHECKING:
    from gearplate.packet.contents import Packet
    from gearplate.record.design import Design


@click.command("build", short_help="Make both plates: cut files, pictures, record.", epilog=JOB_HELP)
@job_argument
@click.option("--out", "-o", metavar="DIR", help="The folder to build into; out/<job's name> where it is left out.")
@set_option
@click.option("--draft", is_flag=True, help="Make cut files in spite of errors; names and marks say DRAFT.")
@json_option
def command(job: str | None, out: str | None, sets: tuple[str, ...], draft: bool, as_json: bool) -> int:
    """Make both plates: cut files that were read back, pictures, the page to start with, the record.

    The folder is replaced whole. An error in the job leaves record and pictures in it, but no cut file, not
    even those of the build before, and ends with 1.
    """
    from gearplate.cli.job_argument import find_job
    from gearplate.cli.made import exit_code, loaded, made
    from gearplate.files import check_target, recover, safe_name

    spec = loaded(find_job(job, "build"), sets, as_json)
    target = os.path.join("out", safe_name(spec.name)) if out is None else out
    recover(target)
    check_target(target)
    design = made(spec, draft)
    packet = _write(design, target)
    try:
        _tell(packet, _again(packet, job, out), as_json)
    except KeyboardInterrupt:
        _stands(target)
    return exit_code(design)


def _tell(packet: Packet, again: str, as_json: bool) -> None:
    """Says what was built; whatever happens now, the folder has been written. `again` is the command that made the
    last build there that could be cut."""
    from gearplate.cli.say import encoding, say, width
    from gearplate.errors import FileError

    if as_json:
        from gearplate.cli.as_json import build_text

        text = build_text(packet, again)
    else:
        from gearplate.packet.account import account

        text = account(packet.record, packet, again=again, encoding=encoding(), width=width()).rstrip("\n")
    try:
        say(text)
    except FileError as error:  # a full disk behind the output
        raise FileError(f"{error} But the new build stands whole in {packet.folder}.") from error


def _write(design: Design, target: str) -> Packet:
    """Writes the packet. An interrupt that comes when the new folder is already in its place is told as such."""
    from gearplate.cli.progress import progress
    from gearplate.packet.write import write

    before = _identity(target)
    try:
        with progress(target, "writing"):
            return write(design, target)
    except KeyboardInterrupt:
        if _identity(target) == before:
            raise
        _stands(target)


def _stands(target: str) -> NoReturn:
    """An interrupt came when the new folder already stood in its place."""
    from gearplate.cli.group import EXIT_STOPPED
    from gearplate.cli.say import complain

    complain(f"gearplate: stopped, but the new build already stood whole in {target}.")
    raise SystemExit(EXIT_STOPPED) from None


def _again(packet: Packet, job: str | None, out: str | None) -> str:
    """The command that made the last build of this folder that could be cut, as a shell takes it."""
    from shlex import join

    from gearplate.packet.earlier import settings_then

    words = ["gearplate", "build", *([] if job is None else [job]), *([] if out is None else ["--out", out])]
    for text in [] if packet.earlier is None else settings_then(packet.earlier):
        words += ["--set", text]
    return join(words)


def _identity(folder: str) -> tuple[int, int] | None:
    try:
        found = os.stat(folder)
    except OSError:
        return None
    return found.st_dev, found.st_ino
