"""`gearplate schema`: the JSON Schema of the job file."""

from __future__ import annotations

import click

from gearplate.cli.say import say


@click.command("schema", short_help="Print the JSON Schema of the job file, for editors.")
def command() -> None:
    """Print the JSON Schema of the job file, so that an editor completes keys, tells what they mean and marks slips.

    gearplate schema > job.schema.json writes the file that the first line of every example
    names, and that of a job from gearplate new once its first # is gone.
    """
    from gearplate.job.schema import schema_text

    say(schema_text().rstrip("\n"))
