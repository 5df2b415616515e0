"""`gearplate build`: the main job."""

from __future__ import annotations

import os
from typing import TYPE_CHECKING, Any, NoReturn

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

    The folder is replaced whole. An error in the job leaves record and pictures in it, but no cut file, and ends
    with 1.
    """
    from gearplate.cli.job_argument import find_job
    from gearplate.cli.made import exit_code, loaded, made
    from gearplate.files import check_target, recover, safe_name

    spec = loaded(find_job(job, "build"), sets, as_json)
    target = os.path.join("out", safe_name(spec.name)) if out is None else out
    recover(target)
    check_target(target)
    from gearplate.packet.write import last_record

    previous = last_record(target)
    design = made(spec, draft)
    packet = _write(design, target)
    try:
        _tell(packet, previous, as_json)
    except KeyboardInterrupt:
        _stands(target)
    return exit_code(design)


def _tell(packet: Packet, previous: dict[str, Any] | None, as_json: bool) -> None:
    """Says what was built; whatever happens now, the folder has been written."""
    from gearplate.cli.say import encoding, say, width
    from gearplate.errors import FileError

    if as_json:
        from gearplate.cli.as_json import build_text

        text = build_text(packet, previous)
    else:
        from gearplate.packet.account import account

        text = account(packet.record, packet, previous, encoding=encoding(), width=width()).rstrip("\n")
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


def _identity(folder: str) -> tuple[int, int] | None:
    try:
        found = os.stat(folder)
    except OSError:
        return None
    return found.st_dev, found.st_ino
