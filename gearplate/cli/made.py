"""From a job's name to a finished design: the steps that `check` and `build` have in common."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from gearplate.errors import JobError

if TYPE_CHECKING:
    from gearplate.job.spec import JobSpec
    from gearplate.record.design import Design


TRIALS = ((3, 16), (8, 4))
"""(findings at most, builds to spend on their remedies)."""

PLACING = "placing shafts, drawing plates, checking"

MOST_THINGS = 190
"""With more bodies and features than that (an ordinary drive has half as many) one build takes long enough."""


def loaded(job: str, sets: Sequence[str], as_json: bool) -> JobSpec:
    """The job, read and checked. A program that asked for JSON gets the problems as JSON too. Raises JobError."""
    from gearplate.job.load import load_job

    try:
        return load_job(job, sets)
    except JobError as error:
        if as_json:
            from gearplate.cli.as_json import problems_text
            from gearplate.cli.say import say

            say(problems_text(error))
        raise


def made(spec: JobSpec, draft: bool = False, far: bool = False) -> Design:
    """The design, with remedies tried where something is wrong; a word on the terminal while it takes long. The first
    interrupt ends a search for places with the best so far; then no remedies are tried. `far`: where there is no
    layout, its reasons and what would mend it are looked for further than a build does."""
    from gearplate.cli.interrupt import ending_a_search
    from gearplate.cli.progress import progress
    from gearplate.cli.watching import told_of_the_end, watching

    with progress(spec.name, PLACING) as shown, ending_a_search(told_of_the_end(shown)) as asked:
        from gearplate.build import make

        design = make(spec, draft, watch=watching(shown, spec.drawing_unit, asked))
    if asked.to_end:
        return design
    if far and design.no_place is not None:
        with progress(spec.name, "looking for reasons"):
            from gearplate.studies.remedies import with_far_reasons

            design = with_far_reasons(spec, design)
    if design.no_place is not None or any(finding.remedy is not None for finding in design.findings):
        with progress(spec.name, "trying remedies"):
            from gearplate.studies.remedies import BOXES, FAR_BOXES, with_tried_remedies

            boxes = FAR_BOXES if far else BOXES
            return with_tried_remedies(spec, design, trials(spec, design), boxes)
    return design


def solved(spec: JobSpec) -> Design:
    """The design alone, for what is then reckoned from it. An interrupt stops it at once."""
    from gearplate.cli.progress import progress
    from gearplate.cli.watching import watching

    with progress(spec.name, PLACING) as shown:
        from gearplate.build import make

        return make(spec, watch=watching(shown, spec.drawing_unit))


def tell_of_errors(spec: JobSpec, design: Design, how: str) -> None:
    """A word on what is reckoned from a design that a build would refuse; `how`: "it is rated as it stands"."""
    if design.errors:
        from gearplate.cli.say import complain

        complain(f"gearplate: {spec.name} has errors (gearplate check tells them): {how}.")


def trials(spec: JobSpec, design: Design) -> int:
    """How many builds to spend on trying remedies: few where much is wrong, since no one change will mend that, unless
    all of it comes from having found no place; and few where the tool has tried several trains already."""
    from gearplate.finding import Severity
    from gearplate.studies.remedies import SEARCH

    grave = [finding for finding in design.findings if finding.severity is not Severity.NOTE]
    placeless = any(finding.check == "layout" for finding in grave)
    things = len(design.layout.bodies) if design.layout is not None else 0
    if things + sum(len(plate.features) for plate in design.plates) > MOST_THINGS:
        return 0
    if spec.wish is not None:
        return 0 if placeless or len(grave) > TRIALS[0][0] else SEARCH  # one: it looks among all trains again
    builds = next((builds for most, builds in TRIALS if len(grave) <= most), 2)
    if placeless:
        builds = max(builds, SEARCH)  # one search at least for a way out
    return (builds + 1) // 2 if spec.plate_spec.lightening else builds  # windows take as long as all the rest


def exit_code(design: Design) -> int:
    """1 where a finding is an error, also for a draft."""
    from gearplate.cli.group import EXIT_NO

    return EXIT_NO if design.errors else 0
