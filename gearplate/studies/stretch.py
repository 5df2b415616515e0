"""The least change of a drive for which one value of its job becomes another: what is drilled and bought stays.

Kept are the rail's holes, the output's bore, the gears and the length of the spacers. First the shafts are turned;
where that is proven not to do, or finds nothing, one motor goes inboard, or an idler or other first-stage gears of
the catalogue come in, whichever changes least; and only where none of these clears, the rail's holes are given up.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass, replace
from fractions import Fraction

from gearplate.build import make
from gearplate.errors import GearplateError, NoSolution, UsageError
from gearplate.finding import Finding, Severity
from gearplate.job.differing import same_job
from gearplate.job.spec import JobSpec
from gearplate.layout.chain import OUTPUT, free_shafts, links
from gearplate.layout.design import Layout
from gearplate.layout.finish import screws_blocked
from gearplate.layout.fixed_gaps import fixed_miss_mm
from gearplate.layout.proof import bare_hull_mm2
from gearplate.layout.solve import solve_layout
from gearplate.layout.spec import LayoutSpec
from gearplate.layout.stack import axial_stack
from gearplate.record.design import Design
from gearplate.studies.stretch_turn import Change, Old, Turned, Verdict, change_of, least_change
from gearplate.studies.stretch_ways import Kind, Way, ways

WITHIN = Fraction(1, 20)  # how far other first-stage gears may be off the old reduction, as a share of it
DIGITS_DEG = 4  # of the angles in the file: a ten thousandth of a degree moves a shaft by less than a micrometre
DIGITS_MM = 4
OTHERS_BOXES = 20_000  # of angles, looked at in other ways than turning; what is left then is not tried
MOST_BUILT = 4  # layouts of one way that are built to see that every check holds


@dataclass(frozen=True, slots=True)
class Tried:
    """One way and what it came to. `rail_given_up`: the tool was free to drill the rail anew. `ruled_out`: the train's
    own fixed distances leave no layout."""

    way: Way
    turned: Turned
    rail_given_up: bool = False
    ruled_out: bool = False


@dataclass(frozen=True, slots=True)
class Chosen:
    """The changed job, built: what it gives up, how much it changes."""

    tried: Tried
    job: JobSpec
    design: Design
    change: Change
    spacers_mm: tuple[float, float] | None  # length before and after where they could not stay


@dataclass(frozen=True, slots=True)
class Stretched:
    """The answer. `turning` is what comes of the shafts alone; `tried` all other ways in the order of their trial,
    `given_up` those in which a kept thing is given up to make the chosen change smaller. `chosen` is None where
    nothing clears; then `miss` tells the nearest."""

    base: JobSpec
    asked: JobSpec
    old_design: Design
    old: Old
    turning: Tried
    tried: tuple[Tried, ...]
    given_up: tuple[Tried, ...]
    chosen: Chosen | None
    miss: str = ""
    misses: tuple[Finding, ...] = ()
    refused: tuple[Finding, ...] = ()

    @property
    def unchanged(self) -> bool:
        """Whether nothing has to move at all."""
        return self.chosen is not None and not self.chosen.tried.way.set and not _to_be_less(self.chosen.change)

    def all_tried(self) -> tuple[Tried, ...]:
        """Everything, turning first."""
        return (self.turning, *self.tried, *self.given_up)


def stretch(base: JobSpec, asked: JobSpec, within: Fraction = WITHIN, part: str | None = None) -> Stretched:
    """The least change from `base` to a drive that keeps what `asked`, the same job with some values set, says.

    `part`: what the new plates are called, where `asked` does not say so itself. Raises UsageError where nothing is
    changed, or where the base has no design without errors to start from; NoSolution where neither has a train.
    """
    if base.wish is None:
        _refuse_the_same(base, asked)
    before = _built(base)
    layout = before.layout
    assert layout is not None
    if base.wish is not None or asked.wish is not None:
        base, asked = _settled(base, asked, before)
        _refuse_the_same(base, asked)
    old = Old(
        {shaft.name: (shaft.x_mm, shaft.y_mm) for shaft in layout.shafts if shaft.name != OUTPUT},
        bare_hull_mm2(before.spec, layout),
        screws_blocked(before.spec, layout),
    )
    search = _Search(base, asked, layout, old, before.findings)
    if part is not None and asked.identity.part == base.identity.part:
        search.part = part
    turning = search.turn(Way(Kind.TURN, "", search.kept))
    chosen = search.build([turning])
    tried: list[Tried] = []
    if chosen is None or _to_be_less(chosen.change):
        tried = search.others(within, chosen.change if chosen is not None else None)
    if chosen is None:
        chosen = search.build(tried)
    given_up: list[Tried] = []
    if chosen is None and search.rail_kept:
        given_up = [search.turn(Way(Kind.TURN, "", search.free_rail(search.kept)), rail_given_up=True)]
        chosen = search.build(given_up)
        if chosen is None:
            given_up += search.others(within, None, rail_given_up=True)
            chosen = search.build(given_up)
    elif chosen is not None and search.rail_kept and _to_be_less(chosen.change):
        way = chosen.tried.way
        freed = replace(way, spec=search.free_rail(way.spec))
        given_up = [search.turn(freed, chosen.change, rail_given_up=True)]
    result = Stretched(base, asked, before, old, turning, tuple(tried), tuple(given_up), chosen, "", (), search.refused)
    return result if chosen is not None else _with_miss(result, search.kept)


def _refuse_the_same(base: JobSpec, asked: JobSpec) -> None:
    if same_job(base, asked):
        raise UsageError("what is set changes nothing: the job says so already")


def _to_be_less(change: Change) -> bool:
    """Whether there is anything about a change that could be less."""
    return change.out_of_reach > 0 or change.growth_mm2 > 1.0 or change.move_mm > 0.001


def _built(base: JobSpec) -> Design:
    """The old drive. Raises UsageError where it has errors itself."""
    try:
        design = make(base)
    except NoSolution as failure:
        raise UsageError(f"{base.name} itself has no layout to start from: {failure}") from None
    if design.layout is None or design.errors:
        errors = "".join(f"\n  {finding.check}: {finding.message}" for finding in design.errors)
        raise UsageError(f"{base.name} itself has no design to start from; gearplate check tells what to mend.{errors}")
    return design


def _settled(base: JobSpec, asked: JobSpec, before: Design) -> tuple[JobSpec, JobSpec]:
    """Both jobs with the train in stages: that of the old drive, or the one that is found for another reduction."""
    if asked.wish is None:
        return base, asked
    spec = before.spec if base.wish == asked.wish else make(asked).spec
    groups = asked.raw.get("motors")
    named = groups if isinstance(groups, list) else [groups or {}]
    stages: list[dict[str, object]] = []
    for number, stage in enumerate(spec.train.stages):
        table: dict[str, object] = {"driven": stage.driven.teeth}
        if number and stage.driver is not None:
            table["driver"] = stage.driver.teeth
        elif not all("pinion" in group for group in named):
            table["driver"] = spec.motors[0].pinion.teeth
        stages.append(table)
    settled: dict[str, object] = {"reduction": None, "stages": stages}
    return base.changed(settled) if base.wish is not None else base, asked.changed(settled)


class _Search:
    """What is kept, and the ways that were tried."""

    def __init__(self, base: JobSpec, asked: JobSpec, layout: Layout, old: Old, findings: Iterable[Finding]) -> None:
        self.asked, self.layout, self.old = asked, layout, old
        self._old_findings = {_ident(finding) for finding in findings}
        self.refused: tuple[Finding, ...] = ()
        self.part: str | None = None
        was, spec = base.layout_spec, asked.layout_spec
        # what is set by name stays there; all other shafts may turn, also those whose old place the job gave
        places = {name: place for name, place in spec.places.items() if was.places.get(name) != place}
        spec = replace(spec, places=places)
        self.rail_kept = bool(
            spec.rail is not None
            and was.rail is not None
            and spec.rail.holes == was.rail.holes
            and spec.rail.mount is was.rail.mount
            and layout.rail_holes
        )
        if spec.rail is not None and self.rail_kept and spec.rail.holes is None:
            holes = tuple((round(x, DIGITS_MM), round(y, DIGITS_MM)) for x, y in layout.rail_holes)
            spec = replace(spec, rail=replace(spec.rail, holes=holes))
        self._rail_by_tool = was.rail is not None and was.rail.holes is None
        self.kept = spec

    def free_rail(self, spec: LayoutSpec) -> LayoutSpec:
        """The same where the tool may drill the rail anew."""
        if spec.rail is None or spec.rail.holes is None:
            return spec
        return replace(spec, rail=replace(spec.rail, holes=None, hole_count=len(spec.rail.holes)))

    def turn(self, way: Way, known: Change | None = None, rail_given_up: bool = False) -> Tried:
        """The least change of a way, with spacers of the old length if the gears let them."""
        spec = self._with_spacers(way.spec)
        if fixed_miss_mm(spec) > 0.0:
            infinite = math.inf
            none = Turned(Verdict.IMPOSSIBLE, (), infinite, infinite, infinite)
            return Tried(replace(way, spec=spec), none, rail_given_up, ruled_out=True)
        return Tried(replace(way, spec=spec), least_change(spec, self.old, known), rail_given_up)

    def others(self, within: Fraction, known: Change | None, rail_given_up: bool = False) -> list[Tried]:
        """Every other way, each asked only for less of a change than the best before it."""
        found: list[Tried] = []
        left = OTHERS_BOXES
        kept = self.free_rail(self.kept) if rail_given_up else self.kept
        for way in ways(self.asked, kept, within):
            if left <= 0:
                found.append(Tried(way, Turned(Verdict.NOT_TRIED), rail_given_up))
                continue
            tried = self.turn(way, known, rail_given_up)
            left -= tried.turned.boxes
            found.append(tried)
            change = tried.turned.change
            if change is not None and (known is None or self.old.less(change, known)):
                known = change
            if known is not None and not _to_be_less(known):
                break  # nothing changes less than nothing
        return found

    def build(self, tried: Iterable[Tried]) -> Chosen | None:
        """The least change of these that holds when it is built; None where none does."""
        clear = [one for one in tried if one.turned.change is not None]
        order: list[Tried] = []
        for one in clear:  # of changes that are about alike, the way that buys less
            place = next((i for i, other in enumerate(order) if self._less(one, other)), len(order))
            order.insert(place, one)
        second: Chosen | None = None
        for one in order:
            for _, layout in one.turned.found[:MOST_BUILT]:
                chosen = self._chosen(one, layout)
                if chosen is None:
                    continue
                if not self._new_warnings(chosen.design):
                    return chosen
                second = second or chosen
        return second

    def _less(self, one: Tried, other: Tried) -> bool:
        a, b = one.turned.change, other.turned.change
        return a is not None and b is not None and self.old.less(a, b)

    def _chosen(self, tried: Tried, layout: Layout) -> Chosen | None:
        """The changed job with its places, built; None where a check finds an error."""
        way = tried.way
        changes: dict[str, object] = dict(way.set)
        if self.rail_kept and (tried.rail_given_up or self._rail_by_tool):
            changes["rail.holes"] = [[_mm(x), _mm(y)] for x, y in layout.rail_holes]
        at = {shaft.name: (shaft.x_mm, shaft.y_mm) for shaft in layout.shafts}
        parents = {link.child: link.parent for link in links(way.spec)}
        for name in sorted(free_shafts(way.spec)):
            (x, y), (px, py) = at[name], at[parents[name]]
            angle = round(math.degrees(math.atan2(y - py, x - px)), DIGITS_DEG) + 0.0
            changes[f"places.{name}"] = {"angle": angle}
        if self.part is not None:
            changes["part"] = self.part
        own_gap = self.asked.layout_spec.gap_mm
        if way.spec.gap_mm is not None and way.spec.gap_mm != own_gap:
            changes["plates.gap"] = _mm(way.spec.gap_mm)
        try:
            job = self.asked.changed(changes)
            design = make(job)
        except GearplateError:
            return None
        if design.layout is None or design.errors:
            self.refused = self.refused or design.errors
            return None
        blocked = screws_blocked(design.spec, design.layout)
        change = change_of(design.spec, self.old, design.layout, blocked)
        was, now = self.layout.stack.gap_mm, design.layout.stack.gap_mm
        return Chosen(tried, job, design, change, (was, now) if abs(now - was) > 1e-6 else None)

    def _new_warnings(self, design: Design) -> bool:
        """Whether a check warns of what it did not warn of in the old drive."""
        warnings = [finding for finding in design.findings if finding.severity is Severity.WARNING]
        return any(_ident(finding) not in self._old_findings for finding in warnings)

    def _with_spacers(self, spec: LayoutSpec) -> LayoutSpec:
        """The gap between the plates as it was, where it is wide enough for the gears and nobody sets another."""
        was = self.layout.stack.gap_mm
        if spec.gap_mm is not None or abs(axial_stack(spec).gap_mm - was) < 1e-6:
            return spec
        return replace(spec, gap_mm=round(was, DIGITS_MM)) if axial_stack(spec).gap_mm < was else spec


def _mm(value: float) -> str:
    return f"{round(value, DIGITS_MM) + 0.0:.{DIGITS_MM}f}".rstrip("0").rstrip(".") + " mm"


def _ident(finding: Finding) -> tuple[object, ...]:
    return (finding.check, finding.where.plate, finding.where.shafts, finding.where.features)


def _with_miss(result: Stretched, spec: LayoutSpec) -> Stretched:
    """With what is in the way of the old gears, shafts turned as well as they can be."""
    try:
        solve_layout(spec, quick=True)
    except NoSolution as failure:
        return replace(result, miss=str(failure), misses=failure.findings)
    return result
