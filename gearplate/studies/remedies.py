"""Remedies tried before they are told: the job is changed as a finding says, built again, and looked at.

A remedy holds where its finding is gone and no new error or warning came. Building is what costs, so the builds are
counted, and the same job always gets the same answer.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from typing import TYPE_CHECKING

from gearplate.build import make
from gearplate.errors import GearplateError
from gearplate.finding import Finding, Remedy, Severity
from gearplate.job.as_written import sets_a_count
from gearplate.job.no_place import Outcome
from gearplate.layout.chain import free_shafts
from gearplate.record.design import Design

if TYPE_CHECKING:
    from gearplate.job.no_place import Cure, NoPlace
    from gearplate.job.spec import JobSpec

BUDGET = 16
"""In builds of a job with all places given; one whose places must be searched counts as SEARCH of them."""
SEARCH = 8
BOXES = 2400
FAR_BOXES = 20_000
"""Of angles, for changes that may give a job without a place one; where somebody asks for the reasons alone."""
TRIES = 5
"""Of one finding."""

UNSOUGHT = ("motor-service",)
"""What a quick layout warns of and a whole one often does not: it does not choose among layouts by screws in reach."""
LAYOUT = "layout"
GRAVE = (Severity.ERROR, Severity.WARNING)

Setting = tuple[tuple[str, object], ...]


def with_tried_remedies(job: JobSpec, design: Design, budget: int = BUDGET, boxes: int = BOXES) -> Design:
    """The design, each finding with the first of its remedies that was built and holds, marked as tried.

    Errors come before warnings, and these before notes. An error's remedy that only brings warnings is taken where
    there is no better one, and says so. One that was tried and does not hold gives way to what the rule says in
    general; one that the budget did not reach stays as it is. Where no place was found at all, what leads to a layout
    is looked for first (`boxes`: how far), told beside everything that it mends, and kept with the reasons; the finding
    that says so gets no change that was not tried.
    """
    if not any(finding.severity in GRAVE or _sets(finding) for finding in design.findings):
        return design
    trials = _Trials(job, design, budget)
    if design.no_place is not None and budget:
        design = replace(design, no_place=replace(design.no_place, cures=_looked_at(job, design.no_place, boxes)))
    mended = _mended_with_layout(design, trials)
    order = sorted(range(len(design.findings)), key=lambda i: GRAVE.index(_grave(design.findings[i])))
    for index in order:
        finding = design.findings[index]
        if finding.severity in GRAVE and finding.check != LAYOUT and index not in mended:
            mended[index] = _tried(finding, trials)
    for index, finding in enumerate(design.findings):
        if finding.check == LAYOUT and index not in mended:
            mended[index] = _tried(replace(finding, alternatives=_all_of(mended.values())), trials)
    for index, finding in enumerate(design.findings):
        if finding.severity is Severity.NOTE and _sets(finding):
            mended[index] = _tried(finding, trials)
    findings = tuple(mended.get(index, finding) for index, finding in enumerate(design.findings))
    return replace(design, findings=findings, no_place=_with_built(design.no_place, trials))


def with_far_reasons(job: JobSpec, design: Design) -> Design:
    """The design with its reasons looked for further, and no other remedies of the finding that tells them."""
    from gearplate.job.no_place import no_place
    from gearplate.layout.reasons import FAR_BOXES as FAR
    from gearplate.layout.reasons import reasons_of

    return replace(design, no_place=no_place(design.spec, reasons_of(design.spec, FAR), job.units))


def _looked_at(job: JobSpec, none: NoPlace, boxes: int) -> tuple[Cure, ...]:
    from gearplate.studies.cures import cures_of

    return cures_of(job, none, boxes) if none.reasons.proven else ()


def _with_built(none: NoPlace | None, trials: _Trials) -> NoPlace | None:
    """The reasons, with the cures marked that were built and brought no new error."""
    if none is None:
        return None
    cures = tuple(replace(cure, built=trials.holds(cure.remedy.set)) for cure in none.cures)
    return replace(none, cures=cures)


def _mended_with_layout(design: Design, trials: _Trials) -> dict[int, Finding]:
    """Where no place was found: the findings that one change mends together with that, each with the change."""
    none_found = next((finding for finding in design.findings if finding.check == LAYOUT), None)
    if none_found is None:
        return {}
    second_best: Remedy | None = None
    for remedy in _promising(design):
        if trials.used_up(remedy.set):
            break
        brings = trials.brings(none_found, remedy.set)
        if brings == ():
            return _all_mended(design, trials, none_found, remedy)
        if brings == UNSOUGHT:
            may = replace(remedy, text=f"{remedy.text} Then {UNSOUGHT[0]} may warn.")
            return _all_mended(design, trials, none_found, may)
        if brings is not None and second_best is None:
            second_best = replace(remedy, text=f"{remedy.text} {_then(brings)}")
        trials.allow_one_more()
    return {} if second_best is None else _all_mended(design, trials, none_found, second_best)


def _promising(design: Design) -> list[Remedy]:
    """The changes with which a layout was found, or else, where none was looked for, other counts that the findings
    speak of."""
    if design.no_place is not None and design.no_place.reasons.proven:
        cures = sorted(design.no_place.cures, key=lambda cure: cure.outcome is not Outcome.PLACE)
        return [cure.remedy for cure in cures if cure.outcome is not Outcome.NOTHING]
    others = sorted(design.findings, key=_shortage_mm, reverse=True)
    counts = [
        remedy
        for finding in others
        for remedy in (finding.remedy, *finding.alternatives)
        if remedy is not None and any(sets_a_count(key) for key, _ in remedy.set)
    ]
    return list({repr(one.set): one for one in counts}.values())


def _all_mended(design: Design, trials: _Trials, none_found: Finding, remedy: Remedy) -> dict[int, Finding]:
    """Every finding that the change mends, with it; where it brings warnings, those that may bring them."""
    text = f"{remedy.text} {_OTHERS_STAY}" if trials.leaves(remedy.set) else remedy.text
    tried = replace(remedy, text=text, tried=True)
    return {
        index: replace(finding, remedy=tried, alternatives=())
        for index, finding in enumerate(design.findings)
        if finding.severity in GRAVE
        and trials.brings(finding, remedy.set) in ((), trials.brings(none_found, remedy.set))
    }


def _shortage_mm(finding: Finding) -> float:
    if finding.measured is None or finding.limit is None or finding.unit != "mm":
        return 0.0
    return finding.limit - finding.measured


def _sets(finding: Finding) -> bool:
    return any(one is not None and one.set for one in (finding.remedy, *finding.alternatives))


def _grave(finding: Finding) -> Severity:
    return finding.severity if finding.severity in GRAVE else Severity.WARNING


def _all_of(others: Iterable[Finding]) -> tuple[Remedy, ...]:
    """Everything that the other findings would set, what was tried first."""
    found = [
        one for finding in others for one in (finding.remedy, *finding.alternatives) if one is not None and one.set
    ]
    found.sort(key=lambda remedy: not remedy.tried)
    by_set: dict[str, Remedy] = {}
    for remedy in found:
        by_set.setdefault(repr(remedy.set), remedy)
    return tuple(by_set.values())


def _tried(finding: Finding, trials: _Trials) -> Finding:
    candidates = [one for one in (finding.remedy, *finding.alternatives) if one is not None]
    second_best: Remedy | None = None
    failed: list[Remedy] = []
    for remedy in [one for one in candidates if one.set][:TRIES]:
        if trials.used_up(remedy.set):
            continue  # of the others one may have been built for another finding
        brings = trials.brings(finding, remedy.set)
        if brings == ():
            text = remedy.text if not trials.leaves(remedy.set) or remedy.tried else f"{remedy.text} {_OTHERS_STAY}"
            return replace(finding, remedy=replace(remedy, text=text, tried=True), alternatives=())
        if brings is None:
            failed.append(remedy)
        elif second_best is None:
            second_best = remedy if remedy.tried else replace(remedy, text=f"{remedy.text} {_then(brings)}", tried=True)
    if second_best is not None:
        return replace(finding, remedy=second_best, alternatives=())
    if finding.check == LAYOUT:
        return replace(finding, remedy=None, alternatives=())  # its message tells the reasons: no guesses beside them
    if not failed:
        return finding
    left = next((one for one in candidates if one not in failed), None)
    return replace(finding, remedy=left or _in_words(finding, failed[0]), alternatives=())


def _in_words(finding: Finding, failed: Remedy) -> Remedy:
    """What the rule says in general, where everything in particular was tried and does not hold."""
    from gearplate.checks.rules import ALL_RULES

    return next((Remedy(rule.remedy) for rule in ALL_RULES if rule.code == finding.check), replace(failed, set=()))


_OTHERS_STAY = "Other errors stay."


def _then(brings: tuple[str, ...]) -> str:
    return f"Then there is a warning instead: {', '.join(brings)}."


class _Trials:
    """Builds of the changed job, each kind of change once, as long as the budget lasts."""

    def __init__(self, job: JobSpec, design: Design, budget: int) -> None:
        self._job = job
        self._design = design
        self._before = {_ident(finding) for finding in design.findings if finding.severity in GRAVE}
        self._errors = {_ident(finding) for finding in design.findings if finding.severity is Severity.ERROR}
        self._left = budget
        self._extended = False
        self._done: dict[str, tuple[Finding, ...] | None] = {}

    def used_up(self, setting: Setting) -> bool:
        """Whether no build is left for this change."""
        return repr(setting) not in self._done and self._cost() > self._left

    def allow_one_more(self) -> None:
        """One build beyond the budget where the most promising change did not hold; once."""
        if not self._extended:
            self._extended = True
            self._left = max(self._left, self._cost())

    def _cost(self) -> int:
        return SEARCH if self._job.resolved is None or free_shafts(self._job.resolved) else 1

    def brings(self, finding: Finding, setting: Setting) -> tuple[str, ...] | None:
        """None where the change does not mend the finding, or brings an error; else the new warnings by their checks.
        A warning or a note is not mended by what brings another warning."""
        key = repr(setting)
        if key not in self._done:
            self._left -= self._cost()
            self._done[key] = self._build(setting)
        after = self._done[key]
        if after is None:
            return None
        grave = {_ident(one) for one in after if one.severity in GRAVE}
        errors = {_ident(one) for one in after if one.severity is Severity.ERROR}
        stays = {_ident(one) for one in after} if finding.severity is Severity.NOTE else grave
        if _ident(finding) in stays or not errors <= self._errors:
            return None
        new = tuple(sorted({str(ident[0]) for ident in grave - self._before}))
        return None if new and finding.severity is not Severity.ERROR else new

    def holds(self, setting: Setting) -> bool:
        """Whether a change was built and left no error that was not there before, and a place for every shaft."""
        after = self._done.get(repr(setting))
        if after is None:
            return False
        errors = {_ident(one) for one in after if one.severity is Severity.ERROR}
        return errors <= self._errors and not any(one.check == LAYOUT for one in after)

    def leaves(self, setting: Setting) -> bool:
        """Whether a change that was tried leaves errors of the job as they are."""
        after = self._done.get(repr(setting)) or ()
        return any(one.severity is Severity.ERROR for one in after)

    def _build(self, setting: Setting) -> tuple[Finding, ...] | None:
        """The findings of the changed job; None where it is not accepted or has no train at all."""
        try:
            return make(self._job.changed(dict(setting)), quick=True).findings
        except GearplateError:
            return None


def _ident(finding: Finding) -> tuple[object, ...]:
    """What makes a finding the same before and after a change: its check and what it speaks of, not its numbers."""
    where = finding.where
    return (finding.check, where.plate, frozenset(where.shafts), frozenset(where.features))
