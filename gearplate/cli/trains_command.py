"""`gearplate trains`: every train that gives the wanted ratio, ranked; one of them written back into the job."""

from __future__ import annotations

from typing import TYPE_CHECKING

import click

from gearplate.cli.options import JOB_HELP, job_argument, set_option
from gearplate.errors import UsageError

if TYPE_CHECKING:
    from gearplate.job.spec import JobSpec
    from gearplate.studies.train_list import Row

MOST_ROWS = 100_000
RANK_HELP = "What counts first, and next: closeness, size, distinct, on-hand, hunting, weight, teeth."


@click.command("trains", short_help="List the gear trains that give a ratio; choose one.", epilog=JOB_HELP)
@job_argument
@set_option
@click.option("--ratio", help="Motor speed over output speed, 10.5 or 41/2; the job's own where it is left out.")
@click.option("--within", help="How far off it may be, as a part of it: 0.02 or 2%.")
@click.option("--from", "low", help="Instead of these: the least ratio ...")
@click.option("--to", "high", help="... and the greatest.")
@click.option("--rpm", metavar="SLOW-FAST", help="Or the output's speed at the motors' free speed, turns a minute.")
@click.option("--stages", type=click.IntRange(1, 4), multiple=True, help="How many stages; more than once for several.")
@click.option("--pinions", metavar="COUNTS", help="Pinions that there are, such as 10-14,16.")
@click.option("--drivers", metavar="[N=]COUNTS", multiple=True, help="Drivers of later stages, or of stage N.")
@click.option("--driven", metavar="[N=]COUNTS", multiple=True, help="Driven gears, of all stages or of stage N.")
@click.option(
    "--teeth-size", "sizes", metavar="N=SIZE", multiple=True, help="Teeth of stage N: dp24, or m1.5 (module)."
)
@click.option("--idler", "idlers", metavar="[N=]COUNTS", multiple=True, help="Also list each train with such an idler.")
@click.option("--on-hand", metavar="COUNTS", help="Gears in the drawer, beside those of your own tables.")
@click.option("--any-order", is_flag=True, help="Tell trains as one that differ only in the order of their stages.")
@click.option("--rank", metavar="KEYS", default="closeness", show_default=True, help=RANK_HELP)
@click.option("--top", type=click.IntRange(1, MOST_ROWS), default=20, show_default=True, help="How many to list.")
@click.option("--front", is_flag=True, help="List only the trains that no closer one beats in size.")
@click.option("--no-filter", is_flag=True, help="Also list trains that no layout can save.")
@click.option("--json", "as_json", is_flag=True, help="Print for a program instead of for people.")
@click.option("--csv", "as_csv", is_flag=True, help="Print for a spreadsheet.")
@click.option(
    "--choose", type=click.IntRange(1), metavar="N", help="Write the train with this number into the job file."
)
def command(
    job: str | None,
    sets: tuple[str, ...],
    rank: str,
    top: int,
    front: bool,
    no_filter: bool,
    as_json: bool,
    as_csv: bool,
    choose: int | None,
    sizes: tuple[str, ...],
    any_order: bool,
    ratio: str | None,
    within: str | None,
    low: str | None,
    high: str | None,
    rpm: str | None,
    stages: tuple[int, ...],
    pinions: str | None,
    drivers: tuple[str, ...],
    driven: tuple[str, ...],
    idlers: tuple[str, ...],
    on_hand: str | None,
) -> int:
    """List every train of the gears on hand that gives the wanted ratio: how many were searched, found and dropped,
    and why. Ends with 1 where none is left.

    --choose writes one into the job file, with everything else in it as it was; the numbers are those of the list
    that the same options print.
    """
    from gearplate.cli.job_argument import find_job
    from gearplate.cli.made import loaded
    from gearplate.cli.progress import progress
    from gearplate.cli.say import say
    from gearplate.cli.trains_options import ask_of, by_stage, tooth_size

    keys = _rankings(rank)
    if as_json and as_csv:
        raise UsageError("give --json or --csv, not both")
    if choose is not None and sets:
        raise UsageError("--choose writes into the job file, where what --set says does not stand: set it there first")
    path = find_job(job, "trains")
    spec = loaded(path, sets, as_json)
    tooth_sizes = by_stage(sizes, "--teeth-size", tooth_size)
    ask = ask_of(
        ratio, within, low, high, rpm, stages, pinions, drivers, driven, tooth_sizes, idlers, on_hand, not any_order
    )
    with progress(spec.name, "searching trains") as shown:
        from gearplate.studies.train_list import list_job_trains

        report = list_job_trains(spec, ask, keys, max(top, choose or 0), not no_filter, shown.say)
    rows = report.front if front else report.rows
    if choose is not None:
        if choose > len(rows):
            raise UsageError(f"--choose {choose}: the list has {len(rows)} train{'' if len(rows) == 1 else 's'}")
        _write(path, spec, rows[choose - 1], tooth_sizes)
        return 0
    from dataclasses import replace

    from gearplate.cli.trains_text import csv_text, data, lines_for_people

    report = replace(report, rows=rows)
    if as_json:
        import json

        say(json.dumps(data(report), indent=1))
    elif as_csv:
        say(csv_text(report))
    else:
        opened = ask.pinions or 1 in ask.drivers or 0 in ask.modules or 1 in ask.modules
        named = {group.pinion.teeth for group in spec.reading.file.motors if group.pinion is not None}
        say("\n".join(lines_for_people(report, spec.name, () if opened else tuple(sorted(named)))))
    return 0 if rows else 1


def _rankings(text: str) -> tuple[str, ...]:
    from gearplate.gears.trains.ranking import RANKINGS, names_of

    names = names_of(text)
    for name in names:
        if name not in RANKINGS:
            told = "".join(f"\n  {key:10} {words}" for key, words in RANKINGS.items())
            raise UsageError(f"--rank {text}: there is no ranking {name!r}. There are:{told}")
    return names


def _write(path: str, spec: JobSpec, row: Row, sizes: dict[int, tuple[str, float]]) -> None:
    """Write a train into the job's file, once it is sure that the job then loads and has that train."""
    import os

    from gearplate.cli.say import say
    from gearplate.cli.trains_text import train_text
    from gearplate.errors import FileError, ToolBug
    from gearplate.files import write_file
    from gearplate.job.choose_train import ChosenStage, chosen_counts, with_chosen_train
    from gearplate.job.load import load_job_text

    if not os.path.lexists(path):
        raise UsageError(
            f'{path} is a shipped job and stays as it is: make a job file of your own with base = "{path}"'
        )
    stages = [
        ChosenStage(stage.driver, stage.driven, stage.idlers, _size(sizes.get(number, sizes.get(0))))
        for number, stage in enumerate(row.train.stages, 1)
    ]
    try:
        with open(path, encoding="utf-8", newline="") as file:
            text = file.read()
    except (OSError, UnicodeDecodeError) as error:
        raise FileError(f"{path}: cannot be read: {error}.") from None
    changed = with_chosen_train(text, spec, stages)
    result = load_job_text(changed, path, os.path.dirname(path) or os.curdir)
    if chosen_counts(result) != [(stage.driver, stage.driven, stage.idlers) for stage in stages]:
        raise ToolBug("the changed job does not have the chosen train; nothing was written")
    write_file(path, changed.encode(), overwrite=True)
    say(f"{path} now has the train {train_text(row)}.")
    if row.cure is not None:
        say(f"It also needs {row.cure.text}:")
        for key, value in row.cure.set:
            say(f'  {key} = "{value}"')


def _size(size: tuple[str, float] | None) -> tuple[str, float | str] | None:
    """A tooth size as a job file says it: a module is a length and carries its unit."""
    if size is None:
        return None
    return size if size[0] == "diametral_pitch" else (size[0], f"{size[1]:g} mm")
