"""`gearplate stretch`: the least change of a drive for which a value of its job becomes another."""

from __future__ import annotations

from typing import TYPE_CHECKING

import click

from gearplate.cli.options import JOB_HELP, job_argument, json_option, set_option

if TYPE_CHECKING:
    from gearplate.studies.stretch import Stretched


@click.command("stretch", short_help="Find the least change for another value.", epilog=JOB_HELP)
@job_argument
@set_option
@click.option("--within", metavar="SHARE", default="5%", show_default=True, help="How far other gears may be off.")
@click.option("--out", metavar="FILE", help="Write the changed job there; a file that is there is never overwritten.")
@click.option("--dry", is_flag=True, help="Write nothing, print the file.")
@json_option
def command(job: str | None, sets: tuple[str, ...], within: str, out: str | None, dry: bool, as_json: bool) -> int:
    """Find the least change with which everything clears once some values of the job are others, as in
    --set wheel.diameter="5 in". Kept are the rail's holes, the output's bore, the gears and the spacers' length.

    First the shafts are turned; where that does not do, one motor goes inboard, or an idler or other first-stage
    gears come in. The changed job is a file with `base` and what differs: written with --out, else printed. Ends with
    1 where nothing that was tried clears. Ctrl-C ends the search and tells the best until then; nothing is written.
    """
    import os

    from gearplate.cli.job_argument import find_job
    from gearplate.cli.made import loaded
    from gearplate.cli.progress import progress
    from gearplate.cli.say import complain, say, width
    from gearplate.cli.trains_options import exact
    from gearplate.errors import UsageError

    if not sets:
        raise UsageError('say what is to become another: gearplate stretch JOB --set wheel.diameter="5 in"')
    share = exact(within, "--within")
    if share >= 1:
        raise UsageError(f"--within {within}: a share below 1 is wanted, such as 5%")
    path = find_job(job, "stretch")
    base, asked = loaded(path, (), as_json), loaded(path, sets, as_json)
    target = _target(out, base.name)
    with progress(base.name, "looking for the least change") as shown:
        from gearplate.cli.stretch_text import data, lines_for_people
        from gearplate.studies.stretch import stretch

        result = stretch(base, asked, share, _part(target), shown.say)
    writes = out is not None and not dry and not result.interrupted
    text = None
    if result.chosen is not None:
        from gearplate.job.differing import base_from, file_of

        folder = os.path.dirname(target) or os.curdir
        said = ", ".join(one if one.isprintable() else ascii(one) for one in sets)
        remarks = (f"{base.name} stretched: {said}", "Only what differs stands here; all else is as its base says it.")
        text = file_of(result.chosen.job, base.document, base_from(path, folder), target, folder, remarks)
        if writes:
            from gearplate.files import write_file

            write_file(target, text.encode("utf-8"))
    written = target if writes and text is not None else None
    told = data(result, sets, text, written)
    if as_json:
        from gearplate.cli.as_json import record_text

        say(record_text(told))
        return _code(result, text)
    say("\n".join(lines_for_people(result, told, width())))
    if text is None:
        if result.interrupted:
            complain("gearplate: stopped. Nothing was written.")
        return _code(result, text)
    if written is not None:
        say(f"\nWritten: {written}")
        complain(f"Type: gearplate build {written if ' ' not in written else chr(34) + written + chr(34)}")
    else:
        say(f"\n{text}")
        stopped = "gearplate: stopped. " if result.interrupted else ""
        complain(f"{stopped}Nothing was written. With --out {target} the lines above go into that file.")
    return _code(result, text)


def _code(result: Stretched, text: str | None) -> int:
    from gearplate.cli.group import EXIT_NO, EXIT_STOPPED

    if result.interrupted:
        return EXIT_STOPPED
    return 0 if text is not None else EXIT_NO


def _target(out: str | None, name: str) -> str:
    """Where the changed job goes, or would go. Raises FileError early, before anything is worked out for nothing."""
    import os

    from gearplate.errors import FileError
    from gearplate.files import safe_name

    if out is None:
        return f"{safe_name(name)}-stretched.toml"
    if not out.endswith(".toml"):
        out += ".toml"
    if os.path.lexists(out):
        raise FileError(f"{out}: is there already. Nothing was changed.")
    folder = os.path.dirname(out) or os.curdir
    if not os.path.isdir(folder):
        raise FileError(f"{out}: there is no folder {folder}. Nothing was changed.")
    return out


def _part(target: str) -> str:
    import os

    from gearplate.files import safe_name

    return safe_name(os.path.basename(target).removesuffix(".toml"))
