"""What every command that reads a job takes: JOB, --set, --json."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, TypeVar

import click

F = TypeVar("F", bound=Callable[..., Any])

JOB_HELP = "JOB is a job file or a shipped job's name; leave it out where the folder holds one job file."


def job_argument(command: F) -> F:
    """JOB, which may be left out."""
    return click.argument("job", required=False, metavar="[JOB]")(command)


def set_option(command: F) -> F:
    """--set KEY=VALUE, as often as wanted."""
    text = (
        'Set one value of the job for this run, as in the file: wheel.diameter="5 in"; KEY=null takes a key out. '
        "As often as wanted."
    )
    return click.option("--set", "-s", "sets", multiple=True, metavar="KEY=VALUE", help=text)(command)


def json_option(command: F) -> F:
    """--json."""
    return click.option("--json", "as_json", is_flag=True, help="Print for a program instead of for people.")(command)
