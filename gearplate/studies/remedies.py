"""Remedies tried before they are told: the job is changed as a finding says, built again, and looked at.

A remedy holds where its finding is gone and no new error or warning came. Building is what costs, so the builds are
counted, and the same job always gets the same answer.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import replace
from typing import TYPE_CHECKING

from gearplate.build import make
from gearplate.checks.counts import FAR_RATIO, teeth_for
from gearplate.checks.job_keys import gear_key
from gearplate.errors import GearplateError
from gearplate.finding import Finding, Remedy, Severity
from gearplate.job.as_written import sets_a_count
from gearplate.layout.chain import free_shafts
from gearplate.layout.misses import limit_results
from gearplate.layout.spec import LimitsSpec
from gearplate.record.design import Design
from gearplate.record.train_entries import ratio

if TYPE_CHECKING:
    from gearplate.job.spec import JobSpec

BUDGET = 16
"""In builds of a job with all places given; one whose places must be searched counts as SEARCH of them."""
SEARCH = 8
TRIES = 5
"""Of one finding."""

LAYOUT = "layout"
GRAVE = (Severity.ERROR, Severity.WARNING)

Setting = tuple[tuple[str, object], ...]


def with_tried_remedies(job: JobSpec, design: Design, budget: int = BUDGET) -> Design:
    """The design, each finding with the first of its remedies that was built and holds, marked as tried.

    Errors come before warnings. An error's remedy that only brings warnings is taken where there is no better one, and
    says so. One that was tried and does not hold gives way to what the rule says in general; one that the budget did
    not reach stays as it is. Where no place was found at all, what leads to a layout is looked for first, other tooth
    counts before the rest, and told beside everything that it mends.
    """
    if not any(finding.severity in GRAVE for finding in design.findings):
        return design
    trials = _Trials(job, design, budget)
    mended = _mended_with_layout(design, trials)
    order = sorted(range(len(design.findings)), key=lambda i: GRAVE.index(_grave(design.findings[i])))
    for index in order:
        finding = design.findings[index]
        if finding.severity in GRAVE and finding.check != LAYOUT and index not in mended:
            mended[index] = _tried(finding, trials)
    for index, finding in enumerate(design.findings):
        if finding.check == LAYOUT and index not in mended:
            mended[index] = _tried(replace(finding, alternatives=_all_of(mended.values())), trials)
    findings = tuple(mended.get(index, finding) for index, finding in enumerate(design.findings))
    return replace(design, findings=findings)


def _mended_with_layout(design: Design, trials: _Trials) -> dict[int, Finding]:
    """Where no place was found: the findings that one change mends together with that, each with the change."""
    none_found = next((finding for finding in design.findings if finding.check == LAYOUT), None)
    if none_found is None:
        return {}
    if wider := _more_room(trials, none_found):
        return _all_mended(design, trials, wider)
    others = sorted(design.findings, key=_shortage_mm, reverse=True)
    counts = [
        remedy
        for finding in others
        for remedy in (finding.remedy, *finding.alternatives)
        if remedy is not None and any(sets_a_count(key) for key, _ in remedy.set)
    ]
    untried = list({repr(one.set): one for one in counts}.values())
    while untried:
        remedy = untried.pop(0)
        if trials.used_up(remedy.set):
            break
        if trials.brings(none_found, remedy.set) != ():
            further = _further(design, remedy, trials.after(remedy.set))
            untried = [*further, *untried]
            trials.allow_one_more(further)
        else:
            return _all_mended(design, trials, remedy)
    return {}


def _all_mended(design: Design, trials: _Trials, remedy: Remedy) -> dict[int, Finding]:
    """Every finding that the change mends, with it."""
    tried = replace(remedy, tried=True)
    return {
        index: replace(finding, remedy=tried, alternatives=())
        for index, finding in enumerate(design.findings)
        if finding.severity in GRAVE and trials.brings(finding, remedy.set) == ()
    }


def _more_room(trials: _Trials, none_found: Finding) -> Remedy | None:
    """Where a limit in the plane alone is what leaves no place: as much as a layout without it takes up."""
    for key in trials.broken_limits():
        extent = trials.extent_without(key)
        if extent is None:
            continue
        value = f"{math.ceil(10.0 * extent) / 10.0:g} mm"
        remedy = Remedy(f"Give {value} of room where limits.{key} allows less.", ((f"limits.{key}", value),))
        trials.allow_one_more((remedy,))
        if not trials.used_up(remedy.set) and trials.brings(none_found, remedy.set) == ():
            return remedy
    return None


def _further(design: Design, remedy: Remedy, after: tuple[Finding, ...] | None) -> tuple[Remedy, ...]:
    """Where a larger gear leaves less than half of what was missing, and there is still no place: as many teeth more
    as the greatest gap that is then missing asks for. None where that makes quite another drive of it."""
    short = max(map(_shortage_mm, after or ()), default=0.0)
    before = max(map(_shortage_mm, design.findings), default=0.0)
    if design.layout is None or len(remedy.set) != 1 or not 0.0 < short < 0.5 * before:
        return ()
    ((key, teeth),) = remedy.set
    for gear in design.layout.gears:
        was = gear.gear.teeth
        if gear_key(design.spec, gear.shaft, gear.stage) == key.removesuffix(".teeth") and isinstance(teeth, int):
            more = teeth + teeth_for(gear, short)
            if was < teeth and more <= FAR_RATIO * was:
                becomes = float(ratio(design.spec, design.spec.motors[0])) * _turns(key, more, was)
                text = f"Take {more} teeth instead of {was} on {gear.shaft} (the ratio becomes {becomes:.4g} to 1)."
                return (Remedy(text, ((key, more),)),)
    return ()


def _turns(key: str, more: int, was: int) -> float:
    """By how much the ratio grows where a gear gets more teeth: a driven one's, not an idler's."""
    gear = key.removesuffix(".teeth").rpartition(".")[2]
    return more / was if gear == "driven" else was / more if gear == "driver" else 1.0


def _shortage_mm(finding: Finding) -> float:
    if finding.measured is None or finding.limit is None or finding.unit != "mm":
        return 0.0
    return finding.limit - finding.measured


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

    def allow_one_more(self, promising: tuple[Remedy, ...]) -> None:
        """One build beyond the budget for a change to which another led on; once, however many do."""
        if promising and not self._extended:
            self._extended = True
            self._left = max(self._left, self._cost())

    def _cost(self) -> int:
        return SEARCH if self._job.resolved is None or free_shafts(self._job.resolved) else 1

    def after(self, setting: Setting) -> tuple[Finding, ...] | None:
        """What was found with a change that was built; None where it was not, or could not be."""
        return self._done.get(repr(setting))

    def brings(self, finding: Finding, setting: Setting) -> tuple[str, ...] | None:
        """None where the change does not mend the finding, or brings an error; else the new warnings by their checks.
        A warning is not mended by what brings another."""
        key = repr(setting)
        if key not in self._done:
            self._left -= self._cost()
            self._done[key] = self._build(setting)
        after = self._done[key]
        if after is None:
            return None
        grave = {_ident(one) for one in after if one.severity in GRAVE}
        errors = {_ident(one) for one in after if one.severity is Severity.ERROR}
        if _ident(finding) in grave or not errors <= self._errors:
            return None
        new = tuple(sorted({str(ident[0]) for ident in grave - self._before}))
        return None if new and finding.severity is not Severity.ERROR else new

    def broken_limits(self) -> tuple[str, ...]:
        """The limits in the plane that the nearest miss breaks, by their keys in `limits`."""
        spec, layout = self._design.spec, self._design.layout
        if layout is None:
            return ()
        return tuple(key for key, finding in limit_results(spec, layout) if finding is not None)

    def extent_without(self, key: str) -> float | None:
        """What a layout takes up of a limit that is taken away, mm; None where there is no layout even then, or no
        build left to look for it."""
        setting = ((f"limits.{key}", None),)
        if self.used_up(setting):
            return None
        self._left -= self._cost()
        try:
            made = make(self._job.changed(dict(setting)), quick=True)
        except GearplateError:
            return None
        if made.errors or made.layout is None:
            return None
        tight = replace(made.spec, limits=LimitsSpec(**{f"{key}_mm": 0.0}))
        return next((finding.measured for _, finding in limit_results(tight, made.layout) if finding is not None), None)

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
