"""The least change of a drive for which one value of its job becomes another: what is drilled and bought stays.

Kept are the rail's holes, the output's bore, the gears and the length of the spacers. First the shafts are turned;
where that is proven not to do, or finds nothing, one motor goes inboard, or an idler or other first-stage gears of
the catalogue come in, whichever changes least; and only where none of these clears, the rail's holes are given up.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from gearplate.build import make
from gearplate.errors import NoSolution, UsageError
from gearplate.finding import Finding, Severity
from gearplate.job.differing import same_job
from gearplate.job.spec import JobSpec
from gearplate.layout.chain import OUTPUT
from gearplate.layout.finish import screws_blocked
from gearplate.layout.misses import nearest_miss
from gearplate.layout.proof import bare_hull_mm2
from gearplate.record.design import Design
from gearplate.record.train_entries import ratio
from gearplate.studies.stretch_change import Old
from gearplate.studies.stretch_search import Search, Tell
from gearplate.studies.stretch_tried import Chosen, Tried, to_be_less

WITHIN = Fraction(1, 20)  # how far other first-stage gears may be off the old reduction, as a share of it


@dataclass(frozen=True, slots=True)
class Stretched:
    """The answer. `turning` is what comes of the shafts alone; `tried` all other ways in the order of their trial,
    `given_up` those in which a kept thing is given up to make the chosen change smaller. `chosen` is None where
    nothing clears; then `in_the_way` tells what is wrong with the old gears. `refused`: what checks found wrong in
    layouts of the shafts alone, though they keep every clearance. `interrupted`: not all was tried, and `chosen` is
    the best until then."""

    base: JobSpec
    asked: JobSpec
    old_design: Design
    old: Old
    turning: Tried
    tried: tuple[Tried, ...]
    given_up: tuple[Tried, ...]
    chosen: Chosen | None
    in_the_way: tuple[Finding, ...] = ()
    refused: tuple[Finding, ...] = ()
    interrupted: bool = False

    @property
    def unchanged(self) -> bool:
        """Whether nothing has to move at all."""
        return self.chosen is not None and not self.chosen.tried.way.set and not to_be_less(self.chosen.change)


def _silent(_: str) -> None:
    """Nobody listens."""


def stretch(
    base: JobSpec, asked: JobSpec, within: Fraction = WITHIN, part: str | None = None, tell: Tell = _silent
) -> Stretched:
    """The least change from `base` to a drive that keeps what `asked`, the same job with some values set, says.

    `part`: what the new plates are called, where `asked` does not say so itself. `tell` hears what is being tried.
    An interrupt ends the search: the best until then is the answer; it is passed on where there is none yet. Raises
    UsageError where nothing is changed, or where the base has no design without errors to start from; NoSolution
    where neither has a train.
    """
    if base.wish is None:
        _refuse_the_same(base, asked)
    before = _built(base)
    layout = before.layout
    assert layout is not None
    wish = asked.wish
    if base.wish is not None or asked.wish is not None:
        same_wish = base.wish == wish
        base = _settled(base, before)
        asked = _settled(asked, before if same_wish else make(asked, quick=True))
        _refuse_the_same(base, asked)
    old = Old(
        {shaft.name: (shaft.x_mm, shaft.y_mm) for shaft in layout.shafts if shaft.name != OUTPUT},
        bare_hull_mm2(before.spec, layout),
        screws_blocked(before.spec, layout),
    )
    search = Search(base, asked, layout, old, before.findings, tell)
    if part is not None and asked.identity.part == base.identity.part:
        search.part = part
    if wish is not None:
        low, high = (wish.ratio * (1 + sign * wish.tolerance) for sign in (-1, 1))
        got = abs(ratio(search.kept, search.kept.motors[0]))
        search.wanted = low / got, high / got
    interrupted = False
    try:
        chosen = search.run(within)
    except KeyboardInterrupt:
        if search.turning is None:
            raise
        interrupted, chosen = True, search.best_so_far()
    assert search.turning is not None
    in_the_way = () if chosen is not None or interrupted else _in_the_way(search)
    refused = search.refused.get("", ())
    tried, given_up = tuple(search.tried), tuple(search.given_up)
    return Stretched(
        base, asked, before, old, search.turning, tried, given_up, chosen, in_the_way, refused, interrupted
    )


def _refuse_the_same(base: JobSpec, asked: JobSpec) -> None:
    if same_job(base, asked):
        raise UsageError("what is set changes nothing: the job says so already")


def _built(base: JobSpec) -> Design:
    """The old drive. Raises UsageError where it has errors itself, or does not keep every clearance."""
    try:
        design = make(base)
    except NoSolution as failure:
        raise UsageError(f"{base.name} itself has no layout to start from: {failure}") from None
    if design.layout is None or design.errors:
        errors = "".join(f"\n  {finding.check}: {finding.message}" for finding in design.errors)
        raise UsageError(f"{base.name} itself has no design to start from; gearplate check tells what to mend.{errors}")
    missed = nearest_miss(design.spec, design.layout)
    if missed:
        raise UsageError(
            f"{base.name} itself misses a gap that is wanted, so that no layout of its gears may clear: "
            f"{missed[0].message} Give the job clearances that it keeps (clearances.still, clearances.gear_tip)."
        )
    return design


def _settled(job: JobSpec, design: Design) -> JobSpec:
    """A job that wants a reduction with the train of a design of it, in stages."""
    if job.wish is None:
        return job
    groups = job.raw.get("motors")
    named = groups if isinstance(groups, list) else [groups or {}]
    stages: list[dict[str, object]] = []
    for number, stage in enumerate(design.spec.train.stages):
        table: dict[str, object] = {"driven": stage.driven.teeth}
        if number and stage.driver is not None:
            table["driver"] = stage.driver.teeth
        elif not all("pinion" in group for group in named):
            table["driver"] = design.spec.motors[0].pinion.teeth
        stages.append(table)
    return job.changed({"reduction": None, "stages": stages})


def _in_the_way(search: Search) -> tuple[Finding, ...]:
    """What checks find wrong with the old gears and rail holes, shafts turned as well as they can be; where that can be
    built, what they warn of."""
    job, spec = search.asked, search.kept
    if search.rail_kept and not search.rail_lost and spec.rail is not None and spec.rail.holes is not None:
        job = job.changed({"rail.holes": [[f"{x:.4f} mm", f"{y:.4f} mm"] for x, y in spec.rail.holes]})
    try:
        design = make(job, quick=True)
    except NoSolution as failure:
        return failure.findings
    return design.errors or tuple(one for one in design.findings if one.severity is Severity.WARNING)
