"""`gearplate explain`: a finding's code or a word, in plain words; with a job, in its numbers."""

from __future__ import annotations

import click

from gearplate.cli.options import json_option, set_option


@click.command("explain", short_help="Explain a finding's code, or a word.")
@click.argument("topic", required=False, metavar="[CODE|WORD")
@click.argument("job", required=False, metavar="[JOB]]")
@set_option
@json_option
def command(topic: str | None, job: str | None, sets: tuple[str, ...], as_json: bool) -> None:
    """Explain the code beside a finding, or a word of the trade: what goes wrong, the limit, what to do, who says so.

    With JOB (a job file, or a shipped job's name) the formula stands there with the job's own numbers. Without
    anything: all that can be asked for.
    """
    from gearplate.cli.say import say, width
    from gearplate.packet import explain

    if topic is None:
        say(_json({"codes": explain.codes(), "words": explain.words()}) if as_json else explain.topics().rstrip("\n"))
        return
    record = None
    if job is not None:
        explain.explain(topic)  # a topic that there is not is told before the job is built
        from gearplate.checks.order import NO_LAYOUT
        from gearplate.cli.job_argument import find_job
        from gearplate.cli.made import loaded, made
        from gearplate.record.design_record import design_record

        spec = loaded(find_job(job, "explain " + topic), sets, as_json)
        record = design_record(made(spec, far=topic == NO_LAYOUT))
    if as_json:
        say(_json(explain.as_data(topic, record)))
        return
    say(explain.explain(topic, record, width()).rstrip("\n"))


def _json(value: object) -> str:
    import json

    return json.dumps(value, indent=1, ensure_ascii=True)
