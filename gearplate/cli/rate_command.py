"""`gearplate rate`: the strength of every part of a job's drive, the weakest link first."""

from __future__ import annotations

import click

from gearplate.cli.options import JOB_HELP, job_argument, json_option, set_option


@click.command("rate", short_help="Tell what gives way first, and by how much everything holds.", epilog=JOB_HELP)
@job_argument
@set_option
@json_option
@click.option("--all", "everything", is_flag=True, help="Tell every rating, and where its forces come from.")
@click.option("--svg", "picture", type=click.Path(dir_okay=False), metavar="FILE", help="Draw the margins too.")
def command(job: str | None, sets: tuple[str, ...], as_json: bool, everything: bool, picture: str | None) -> int:
    """Rate teeth, shafts, bearings, plates and screws in the hardest push, on landing and in usual driving, each with
    its load case, formula, source, limit and margin. What the job's duty table does not say is assumed, and told.

    Ends with 1 where something does not hold, or nothing can be rated."""
    from gearplate.cli.group import EXIT_NO
    from gearplate.cli.job_argument import find_job
    from gearplate.cli.made import loaded, solved, tell_of_errors
    from gearplate.cli.progress import progress
    from gearplate.cli.say import complain, say, width

    spec = loaded(find_job(job, "rate"), sets, as_json)
    design = solved(spec)
    with progress(spec.name, "rating"):
        from gearplate.rating.duty import assumed
        from gearplate.rating.rate import can_be_rated, rate, tables_of
        from gearplate.record.rating_record import rating_record

        if design.layout is None or not can_be_rated(design.layout):
            complain(f"gearplate: {spec.name} cannot be rated: its gears do not run together. Try gearplate check.")
            return EXIT_NO
        ratings = rate(design.layout, design.spec, tables_of(spec.catalog), spec.duty, design.plates)
        data = rating_record(
            design.identity.part,
            design.identity.revision,
            ratings,
            assumed(spec.duty, spec.duty_said),
            design.spec.wheel.diameter_mm,
        )
    tell_of_errors(spec, design, "it is rated as it stands")
    if as_json:
        from gearplate.record.json_text import json_text

        say(json_text(data).rstrip("\n"))
    else:
        from gearplate.packet.rating_text import rating_lines

        for line in rating_lines(data, width(), everything):
            say(line)
    if picture is not None:
        from gearplate.files.single import write_file
        from gearplate.packet.rating_picture import rating_picture

        write_file(picture, rating_picture(data).svg_bytes())
    return EXIT_NO if ratings.failing else 0
