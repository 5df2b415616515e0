"""`gearplate new`: a commented job file to start from."""

from __future__ import annotations

import click

from gearplate.cli.say import complain, say

STARTING_NAME = "my-drive.toml"


@click.command("new", short_help="Write a commented starting job file.")
@click.argument("file", required=False, default=STARTING_NAME, metavar="[FILE]")
def command(file: str) -> None:
    """Write a commented job file that builds as it is: at most 30 lines, each with why it is there.

    FILE is my-drive.toml where it is left out. The file's name becomes the part's. A file that is there is never
    overwritten.
    """
    import os

    from gearplate.files import safe_name, write_file
    from gearplate.job.new import SCHEMA_NAME, starting_job

    if not file.endswith(".toml"):
        file += ".toml"
    part = safe_name(os.path.basename(file).removesuffix(".toml"))
    schema_there = os.path.isfile(os.path.join(os.path.dirname(file), SCHEMA_NAME))
    write_file(file, starting_job(part, schema_there).encode("utf-8"))
    say(file)
    shown = f'"{file}"' if " " in file else file
    complain(f"Written. Change what is yours, then type: gearplate check {shown}")
