"""`gearplate check`: the account of a job, with nothing written."""

from __future__ import annotations

import click

from gearplate.cli.options import JOB_HELP, job_argument, json_option, set_option


@click.command("check", short_help="Tell what a job would build, and what is wrong with it.", epilog=JOB_HELP)
@job_argument
@set_option
@json_option
def command(job: str | None, sets: tuple[str, ...], as_json: bool) -> int:
    """Tell what a job would build: train with each centre distance's sum, shafts, plates, checks, findings, and what
    is still assumed. Nothing is written. Ends with 1 where a finding is an error."""
    from gearplate.cli.job_argument import find_job
    from gearplate.cli.made import exit_code, loaded, made
    from gearplate.cli.say import encoding, say, width
    from gearplate.record.design_record import design_record

    design = made(loaded(find_job(job, "check"), sets, as_json))
    record = design_record(design)
    if as_json:
        from gearplate.cli.as_json import record_text

        say(record_text(record))
    else:
        from gearplate.packet.account import account

        say(account(record, encoding=encoding(), width=width()).rstrip("\n"))
    return exit_code(design)
