"""What is kept, the ways that are tried, and the changed job of the least change, built."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Iterator
from dataclasses import replace
from fractions import Fraction

from gearplate.build import make
from gearplate.errors import GearplateError, JobError
from gearplate.finding import Finding, Severity
from gearplate.job.spec import JobSpec
from gearplate.layout.chain import OUTPUT, free_shafts, links
from gearplate.layout.design import Layout
from gearplate.layout.finish import rail_screws, screws_blocked
from gearplate.layout.fixed_gaps import fixed_miss_mm
from gearplate.layout.solve import RAIL_TRIES_MM
from gearplate.layout.spec import LayoutSpec
from gearplate.layout.stack import axial_stack
from gearplate.record.design import Design
from gearplate.studies.stretch_change import NO_WORSE, WORTH, Old, Turned, Verdict, change_of
from gearplate.studies.stretch_tried import Chosen, Kept, Tried, to_be_less
from gearplate.studies.stretch_turn import Known, Turning
from gearplate.studies.stretch_ways import Kind, Way, ways

DIGITS_DEG = 4  # of the angles in the file: a ten thousandth of a degree moves a shaft by less than a micrometre
DIGITS_MM = 4
MOST_BUILT = 4  # layouts of one way that are built to see that every check holds
MOST_VAIN = 3  # proofs that a way is no less a change that end at their count, before no more are tried
NEAR = 2  # layouts of alike ways that guesses start from
BY_TRAIN = "the distances that the train itself fixes leave no layout"

Tell = Callable[[str], None]
"""Is told what is being tried."""


class Search:
    """The ways in the order of their trial; `turning`, `tried` and `given_up` hold what has been tried so far."""

    def __init__(
        self, base: JobSpec, asked: JobSpec, layout: Layout, old: Old, findings: Iterable[Finding], tell: Tell
    ) -> None:
        self.asked, self.layout, self.old, self.tell = asked, layout, old, tell
        self._old_findings = {_ident(finding) for finding in findings}
        self.turning: Tried | None = None
        self.tried: list[Tried] = []
        self.given_up: list[Tried] = []
        self.refused: dict[str, tuple[Finding, ...]] = {}  # errors of what was built, by the way's words
        self.part: str | None = None
        self.wanted: tuple[Fraction, Fraction] | None = None  # of the old reduction, least and greatest share
        self._was = base.layout_spec
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
        self.rail_lost = ""  # why the rail's holes cannot stay, whatever else gives
        if spec.rail is not None and self.rail_kept and spec.rail.holes is None:
            spec = replace(spec, rail=replace(spec.rail, holes=_rounded(layout.rail_holes)))
            try:
                asked.changed({"rail.holes": [[_mm(x), _mm(y)] for x, y in layout.rail_holes]})
            except JobError as error:
                self.rail_lost = error.problems[0].message
        self._rail_by_tool = was.rail is not None and was.rail.holes is None
        self.kept = spec

    def run(self, within: Fraction) -> Chosen | None:
        """Try everything in turn; the least change, built."""
        self.tell("turning the shafts")
        self.turning = self._trial(Way(Kind.TURN, "", self.kept))
        chosen = self.build([self.turning])
        if chosen is None and self._in_vain():
            return None
        if chosen is None or to_be_less(chosen.change):
            self._others(within, Known(chosen.change) if chosen is not None else None)
        if chosen is None:
            chosen = self.build(self.tried)
        if chosen is None:
            return None if self._in_vain() else self._with_more_given_up(within)
        if to_be_less(chosen.change):
            self._give_up_one(chosen)
        return self._bounded(chosen)

    def best_so_far(self) -> Chosen | None:
        """The least change of what has been tried, without a search and with no more bound than there is."""
        for some in ([self.turning] if self.turning is not None else [], self.tried, self.given_up):
            chosen = self.build(some)
            if chosen is not None:
                return chosen
        return None

    def _with_more_given_up(self, within: Fraction) -> Chosen | None:
        """Nothing clears with all kept: the shafts turned, then the other ways, with a kept thing given up."""
        for gave in Kept:
            way = Way(Kind.TURN, "", self.kept)
            if not self._can_give_up(way.spec, gave):
                continue
            self._give_up(way, gave, None)
            chosen = self.build(self.given_up)
            if chosen is not None:
                return self._bounded(chosen)
            if self._in_vain():
                return None
        if self._can_give_up(self.kept, Kept.RAIL):
            self._others(within, None, Kept.RAIL)
            chosen = self.build(self.given_up)
            if chosen is not None:
                return self._bounded(chosen)
        return None

    def _in_vain(self) -> bool:
        """Whether a check found an error, in what was built, that has nothing to do with where free shafts stand."""
        errors = [finding for some in self.refused.values() for finding in some]
        return any(not set(one.where.shafts) - {OUTPUT} and not one.where.features for one in errors)

    def _give_up_one(self, chosen: Chosen) -> None:
        """Whether giving up one more kept thing makes the change less: the chosen way again without it, the shafts
        turned without it, and one motor inboard without it."""
        own = chosen.tried.way
        again = [own]
        if own.kind is not Kind.TURN:
            again.append(Way(Kind.TURN, "", self.kept))
        if own.kind in (Kind.GEARS, Kind.IDLER):
            again += [way for way in self._ways(Fraction(0)) if way.kind is Kind.INBOARD]
        known: Known | None = Known(chosen.change)
        for gave in Kept:
            for way in again:
                if self._can_give_up(way.spec, gave):
                    known = _less(self.old, known, self._give_up(way, gave, known))

    def _can_give_up(self, spec: LayoutSpec, gave: Kept) -> bool:
        if gave is Kept.RAIL:
            return self.rail_kept
        return self._with_spacers(spec).gap_mm != spec.gap_mm

    def _give_up(self, way: Way, gave: Kept, known: Known | None) -> Tried:
        self.tell(f"{gave.value}: {way.text or way.kind.value}")
        tried = self._trial(way, known, gave)
        self.given_up.append(tried)
        return tried

    def _trial(self, way: Way, known: Known | None = None, gave: Kept | None = None) -> Tried:
        """The least change of a way, with spacers of the old length if the gears let them."""
        spec = way.spec if gave is Kept.SPACERS else self._with_spacers(way.spec)
        way = replace(way, spec=spec)
        none = self._ruled_out(way, gave)
        if none is not None:
            return none
        if gave is Kept.RAIL:
            return self._with_new_rail(way, known)
        return Tried(way, Turning(spec, self.old).least(known), gave)

    def _with_new_rail(self, way: Way, known: Known | None) -> Tried:
        """The rail drilled anew, where the tool would drill it, or farther out."""
        free = _undrilled(way.spec)
        anywhere = Turning(free, self.old)
        none = anywhere.impossible()
        if none is not None:
            return Tried(replace(way, spec=free), none, Kept.RAIL)
        best: Tried | None = None
        for spec in self._drilled_anew(way.spec):
            tried = Tried(replace(way, spec=spec), Turning(spec, self.old).least(known), Kept.RAIL)
            if best is None or _before(self.old, tried, best):
                best = tried
            known = _less(self.old, known, tried)
        if best is None:
            nowhere = Turned(Verdict.NOT_FOUND, why="the tool would drill them where they are")
            return Tried(replace(way, spec=free), nowhere, Kept.RAIL)
        change = best.turned.change
        return replace(best, anywhere_mm=anywhere.least_move_mm() if change is not None else 0.0)

    def _drilled_anew(self, spec: LayoutSpec) -> Iterator[LayoutSpec]:
        """The spec with other holes in the rail: where the tool would drill them, and farther out."""
        free = _undrilled(spec)
        assert spec.rail is not None
        assert spec.rail.holes is not None
        seen = {_rounded(spec.rail.holes)}
        for extra in RAIL_TRIES_MM:
            holes = _rounded(rail_screws(free, axial_stack(free), extra))
            if holes not in seen:
                seen.add(holes)
                yield replace(free, rail=replace(spec.rail, holes=holes))

    def _others(self, within: Fraction, known: Known | None, gave: Kept | None = None) -> None:
        """Every other way, each asked only for less of a change than the best before it; of ways that buy alike the
        most promising first."""
        into = self.given_up if gave is not None else self.tried
        for group in _by_kind(self._ways(within)):
            waiting: list[tuple[tuple[float, float], int, Way, Turning]] = []
            for number, way in enumerate(group):
                self.tell(self._so_far(way, known))
                spec = self._with_spacers(way.spec)
                if gave is Kept.RAIL:
                    spec = next(self._drilled_anew(spec), spec)
                way = replace(way, spec=spec)
                none = self._ruled_out(way, gave)
                if none is not None:
                    into.append(none)
                    continue
                turning = Turning(spec, self.old)
                impossible = turning.impossible()
                if impossible is not None:
                    into.append(Tried(way, impossible, gave))
                else:
                    waiting.append((turning.guess(), number, way, turning))
            near: list[Layout] = []
            vain = 0
            for _, _, way, turning in sorted(waiting, key=lambda one: one[:2]):
                self.tell(self._so_far(way, known))
                if known is not None:
                    known = Known(known.change, NO_WORSE if near else WORTH, vain < MOST_VAIN)
                tried = Tried(way, turning.least(known, near), gave)
                into.append(tried)
                vain += tried.turned.verdict is Verdict.NOT_FOUND
                change = tried.turned.change
                if change is not None and (known is None or self.old.less(change, known.change, known.worth)):
                    known = Known(change)
                    near = [tried.turned.found[0][1], *near][:NEAR]
                if known is not None and not to_be_less(known.change):
                    return  # nothing changes less than nothing

    def _ways(self, within: Fraction) -> Iterator[Way]:
        """Every way that undoes nothing that is asked; other gears keep a wanted reduction."""
        reach = self.wanted
        for way in ways(self.asked, self.kept, within, self._was):
            if reach is None or way.ratio == 1 or reach[0] <= way.ratio <= reach[1]:
                yield way

    def _ruled_out(self, way: Way, gave: Kept | None) -> Tried | None:
        """What rules a way out without a search."""
        if fixed_miss_mm(way.spec) > 0.0:
            return Tried(way, _none(BY_TRAIN), gave, ruled_out=True)
        if self.rail_lost and gave is not Kept.RAIL:
            return Tried(way, _none(self.rail_lost), gave)
        return None

    def _so_far(self, way: Way, known: Known | None) -> str:
        """What is being tried, and the best so far."""
        text = way.text or way.kind.value
        if known is None:
            return text
        change = known.change
        grown = f"{change.growth_mm2 / 100:.1f} cm² more hull, " if self.old.grows(change) else ""
        return f"{text}; best so far {grown}{change.move_mm:.1f} mm"

    def build(self, tried: Iterable[Tried]) -> Chosen | None:
        """The least change of these that holds when it is built; None where none does."""
        clear = [one for one in tried if one.turned.change is not None]
        order: list[Tried] = []
        for one in clear:  # of changes that are about alike, the way that buys less
            place = next((i for i, other in enumerate(order) if _before(self.old, one, other)), len(order))
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

    def _bounded(self, chosen: Chosen) -> Chosen:
        """With what is proven about the chosen change."""
        self.tell("what can be proven of it")
        one = chosen.tried
        first = one.turned.found[0]
        # the bounds are about plates that grow as much as those that were built
        built = replace(one.turned, found=((chosen.change, first[1]), *one.turned.found[1:]))
        bounded = Turning(one.way.spec, self.old).bounded(built)
        tried = replace(one, turned=replace(bounded, found=one.turned.found))
        for some in (self.tried, self.given_up):
            some[:] = [tried if each is one else each for each in some]
        if self.turning is one:
            self.turning = tried
        return replace(chosen, tried=tried)

    def _chosen(self, tried: Tried, layout: Layout) -> Chosen | None:
        """The changed job with its places, built; None where a check finds an error."""
        way = tried.way
        changes: dict[str, object] = dict(way.set)
        if self.rail_kept and (tried.gave is Kept.RAIL or self._rail_by_tool):
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
            self.refused.setdefault(way.text, design.errors)
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


def _none(why: str) -> Turned:
    return Turned(Verdict.IMPOSSIBLE, (), math.inf, math.inf, math.inf, why=why)


def _by_kind(every: Iterable[Way]) -> Iterable[list[Way]]:
    groups: dict[Kind, list[Way]] = {}
    for way in every:
        groups.setdefault(way.kind, []).append(way)
    return groups.values()


def _undrilled(spec: LayoutSpec) -> LayoutSpec:
    """The spec where the tool may drill the rail anew."""
    if spec.rail is None or spec.rail.holes is None:
        return spec
    return replace(spec, rail=replace(spec.rail, holes=None, hole_count=len(spec.rail.holes)))


def _less(old: Old, known: Known | None, tried: Tried) -> Known | None:
    """The lesser of what is known and what was tried."""
    change = tried.turned.change
    if change is not None and (known is None or old.less(change, known.change, known.worth)):
        return Known(change)
    return known


def _before(old: Old, one: Tried, other: Tried) -> bool:
    a, b = one.turned.change, other.turned.change
    if a is None or b is None:
        return b is None and a is not None
    return old.less(a, b, NO_WORSE if one.way.kind is other.way.kind else WORTH)


def _rounded(holes: Iterable[tuple[float, float]]) -> tuple[tuple[float, float], ...]:
    return tuple((round(x, DIGITS_MM), round(y, DIGITS_MM)) for x, y in holes)


def _mm(value: float) -> str:
    return f"{round(value, DIGITS_MM) + 0.0:.{DIGITS_MM}f}".rstrip("0").rstrip(".") + " mm"


def _ident(finding: Finding) -> tuple[object, ...]:
    return (finding.check, finding.where.plate, finding.where.shafts, finding.where.features)
