"""`gearplate play`: the tolerance budget of every mesh, simulated, with the added centre distance that it asks for."""

from __future__ import annotations

import click

from gearplate.cli.options import JOB_HELP, job_argument, json_option, set_option


@click.command("play", short_help="Tell how much play every mesh keeps, and why.", epilog=JOB_HELP)
@job_argument
@set_option
@json_option
@click.option("--svg", "picture", type=click.Path(dir_okay=False), metavar="FILE", help="Draw the distributions too.")
def command(job: str | None, sets: tuple[str, ...], as_json: bool, picture: str | None) -> int:
    """Tell what moves each pair of gears apart or together and what backlash that leaves: worst case, 999 of 1000,
    hot and cold, how often it binds, which cause costs most, and the added centre distance that keeps enough.

    Ends with 1 where no layout was found or no mesh can be reckoned."""
    from gearplate.cli.job_argument import find_job
    from gearplate.cli.made import loaded, solved, tell_of_errors
    from gearplate.cli.progress import progress
    from gearplate.cli.say import say, width

    spec = loaded(find_job(job, "play"), sets, as_json)
    design = solved(spec)
    with progress(spec.name, f"drawing {100_000:,} gearboxes"):
        from gearplate.studies.play import play_report

        data = play_report(spec, design)
    tell_of_errors(spec, design, "its play is reckoned as it stands")
    if as_json:
        import json

        say(json.dumps(data, indent=1))
    else:
        from gearplate.packet.play_text import play_lines

        for line in play_lines(data, width()):
            say(line)
    if picture is not None and data["meshes"]:
        from gearplate.files.single import write_file
        from gearplate.packet.play_picture import play_picture

        write_file(picture, play_picture(data).svg_bytes())
    from gearplate.cli.group import EXIT_NO

    return 0 if data["meshes"] else EXIT_NO
