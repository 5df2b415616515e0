"""The list of trains for a job: searched, filtered, ranked, with what cures a train that the job's parts rule out."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field, replace
from fractions import Fraction

import numpy as np

from gearplate.errors import JobError, UsageError
from gearplate.gears.spec import GearSpec
from gearplate.gears.trains import Question, Train, Window
from gearplate.gears.trains.facts import Facts, PlateFacts, facts_of, solid_mass_g
from gearplate.gears.trains.first import first_trains
from gearplate.gears.trains.listing import TrainTable, blocks, count_trains
from gearplate.gears.trains.ranking import Ranking, common_factors
from gearplate.gears.trains.search import Tables
from gearplate.gears.trains.variants import variants_of_each, with_idlers
from gearplate.job.spec import JobSpec
from gearplate.layout.constraints import centre_holes
from gearplate.layout.spec import LayoutSpec
from gearplate.layout.stack import axial_stack
from gearplate.layout.static_filter import StaticFilter, first_cure, static_misses
from gearplate.studies.train_ask import Asked, TrainAsk, asked
from gearplate.studies.train_cures import Cure, cures_for

# Up to so many trains of one number of stages are all judged and ranked; of more only the first of the ranking.
MOST_JUDGED = 500_000
# Densities for ranking by weight, kg/m3: materials handbooks, from memory. What is not here counts as steel.
DENSITIES = {"steel": 7850.0, "aluminium": 2700.0, "brass": 8500.0, "acetal": 1410.0, "nylon": 1140.0}

Progress = Callable[[str], None]


@dataclass(frozen=True, slots=True)
class Row:
    """One train of the list. `size_mm2` is the lower bound for the plate's hull (None with idlers); `off` is the
    ratio over the wanted one less 1; `cure` is what the job needs changed for any layout to be possible."""

    train: Train
    off: Fraction
    size_mm2: float | None
    weight_g: float
    distinct: int
    not_on_hand: int
    common_factors: int
    cure: Cure | None = None
    in_front: bool = False


@dataclass(frozen=True, slots=True)
class Tally:
    """How many trains of one number of stages were searched, found, and dropped; `dropped` and `cured` None where
    there were too many to judge them all."""

    stages: int
    searched: int
    found: int
    dropped: int | None
    cured: int | None


@dataclass(frozen=True, slots=True)
class TrainReport:
    """The list. `dropped`: reasons with how many trains each dropped. `front`: trains that none beats in closeness
    without a larger bound; empty where not all were judged."""

    window: Window
    rows: tuple[Row, ...]
    tallies: tuple[Tally, ...]
    dropped: tuple[tuple[str, int], ...]
    cures: tuple[tuple[Cure, int], ...]
    front: tuple[Row, ...]
    variants_of_each: int


def list_job_trains(
    job: JobSpec,
    ask: TrainAsk,
    by: Sequence[str] = ("closeness",),
    top: int = 20,
    filtered: bool = True,
    progress: Progress = lambda text: None,
) -> TrainReport:
    """The best `top` trains for a job (variants with idlers follow their train), and what became of the others.

    Raises UsageError for an ask that contradicts itself or is too large to search, JobError as loading does.
    """
    what = asked(job, ask)
    found = [_of_stages(what, stages, tuple(by), top, filtered, progress) for stages in what.stage_counts]
    rows = _merged([row for part in found for row in part.rows], tuple(by), what.window, top)
    front = _front([row for part in found for row in part.front])
    in_front = {row.train for row in front}
    reasons: Counter[str] = sum((part.reasons for part in found), Counter())
    cures: Counter[Cure] = sum((part.cured for part in found), Counter())
    variants = max((variants_of_each(what.question(stages)) for stages in what.stage_counts), default=0)
    return TrainReport(
        what.window,
        tuple(_with_variants([replace(row, in_front=row.train in in_front) for row in rows], what, filtered)),
        tuple(part.tally for part in found),
        tuple(sorted(reasons.items(), key=lambda item: (-item[1], item[0]))),
        tuple(sorted(cures.items(), key=lambda item: (-item[1], item[0].text))),
        tuple(replace(row, in_front=True) for row in front),
        variants,
    )


@dataclass(slots=True)
class _Part:
    tally: Tally
    rows: list[Row]
    front: list[Row]
    reasons: Counter[str] = field(default_factory=Counter)
    cured: Counter[Cure] = field(default_factory=Counter)


def _of_stages(what: Asked, stages: int, by: tuple[str, ...], top: int, filtered: bool, progress: Progress) -> _Part:
    question = what.question(stages)
    try:
        tables = Tables.of(question)
        count = count_trains(question, tables)
    except ValueError as error:
        raise UsageError(str(error)) from None
    searched = question.searched
    if not count:
        return _Part(Tally(stages, searched, 0, 0, 0), [], [])
    progress(f"{stages} stage{'s' if stages > 1 else ''}: {count} trains in the window")
    (one,) = next(iter(blocks(question, tables, 1))).rows(slice(0, 1)).trains()
    plate = plate_facts(what.layout_spec(one))
    facts = facts_of(question, what.gear, what.wish.added_centre_mm, _weigh(what), _on_hand(what), plate)
    ranking = Ranking(by, question.window, facts)
    judge = _Judge(what, facts, one) if filtered else None
    if count > MOST_JUDGED:
        keep = judge.keeps if judge is not None else None
        best = first_trains(question, ranking, top, keep, tables)
        rows = _rows(best, facts, question, what, judge)
        return _Part(Tally(stages, searched, count, None, None), rows, [])
    part = _Part(Tally(stages, searched, count, 0, 0), [], [])
    kept = []
    for block in blocks(question, tables):
        kept.append(block if judge is None else judge.kept(block, part))
    part.rows = _rows(ranking.best(kept, top, stages), facts, question, what, judge)
    part.front = _rows(ranking.front(kept, stages), facts, question, what, judge)
    return part


class _Judge:
    """The static filter of the job's own parts and, where it drops, of other parts."""

    def __init__(self, what: Asked, facts: Facts, one: Train) -> None:
        self._what, self._facts = what, facts
        self._own = self._filter(None)
        spec = what.layout_spec(one)
        self._others: list[tuple[Cure, StaticFilter]] = []
        for cure in cures_for(spec, what.job.catalog):
            try:
                what.layout_spec(one, dict(cure.set))
            except JobError:
                continue  # the job says something else that this part does not go with
            self._others.append((cure, self._filter(cure)))

    def _filter(self, cure: Cure | None) -> StaticFilter:
        changes = None if cure is None else dict(cure.set)
        what = self._what
        return StaticFilter(
            self._facts, what.gear, lambda train: what.layout_spec(train, changes), what.wish.added_centre_mm
        )

    def kept(self, table: TrainTable, part: _Part) -> TrainTable:
        """The trains that pass, or pass with a cure; the others are counted by their reason."""
        verdict = self._own.judge(table)
        bad = np.flatnonzero(~verdict.passes)
        if not len(bad):
            return table
        cure = first_cure(table.rows(bad), [other for _, other in self._others])
        lost = bad[cure < 0]
        for number, count in zip(*np.unique(verdict.reason[lost], return_counts=True), strict=True):
            part.reasons[verdict.reasons[number]] += int(count)
        for number, count in zip(*np.unique(cure[cure >= 0], return_counts=True), strict=True):
            part.cured[self._others[number][0]] += int(count)
        tally = part.tally
        part.tally = replace(
            tally, dropped=(tally.dropped or 0) + len(lost), cured=(tally.cured or 0) + len(bad) - len(lost)
        )
        stays = np.ones(len(table), dtype=np.bool_)
        stays[lost] = False
        return table.rows(np.flatnonzero(stays))

    def keeps(self, table: TrainTable) -> np.ndarray[tuple[int, ...], np.dtype[np.bool_]]:
        """Which trains pass, with a cure or without."""
        stays = self._own.judge(table).passes.copy()
        bad = np.flatnonzero(~stays)
        stays[bad] = first_cure(table.rows(bad), [other for _, other in self._others]) >= 0
        return stays

    def cures(self, table: TrainTable) -> list[Cure | None]:
        """What each of these trains needs, None where it needs nothing (or nothing helps)."""
        found: list[Cure | None] = [None] * len(table)
        bad = np.flatnonzero(~self._own.judge(table).passes)
        for row, number in zip(
            bad.tolist(), first_cure(table.rows(bad), [other for _, other in self._others]).tolist(), strict=True
        ):
            found[row] = self._others[number][0] if number >= 0 else None
        return found


def plate_facts(spec: LayoutSpec) -> PlateFacts:
    """What the plates, laid on each other, have round each axis of a job, and what tips keep from it. A motor counts
    with its pilot; of several motors the least one."""
    stack = axial_stack(spec)
    holes = centre_holes(spec, stack)
    names = [f"S{number}" for number in range(1, len(spec.train.stages))] + ["output"]

    def disc(name: str) -> float:
        both = [hole for (owner, _), hole in holes.items() if owner == name]
        return 0.5 * max(both) + spec.margin_mm if both else 0.0

    motor = min(0.5 * motor.motor.face.pilot_diameter_mm + spec.margin_mm for motor in spec.motors)
    keeps: list[float | None] = [None]
    keeps += [0.5 * spec.shaft(name).stock.section.corners_mm + spec.clearances.gear_tip_mm for name in names]
    return PlateFacts((motor, *(disc(name) for name in names)), tuple(keeps))


def _weigh(what: Asked) -> Callable[[GearSpec], float]:
    classes = what.job.catalog.gears()

    def weigh(gear: GearSpec) -> float:
        row = classes.get(gear.source)
        return solid_mass_g(gear, DENSITIES.get(row.pattern.material, 7850.0) if row is not None else 7850.0)

    return weigh


def _on_hand(what: Asked) -> Callable[[GearSpec], bool]:
    """Gears of the team's own tables are on hand, and the counts that the caller names."""
    classes = what.job.catalog.gears()

    def on_hand(gear: GearSpec) -> bool:
        row = classes.get(gear.source)
        own = row is not None and row.pattern.file != "gears.toml (shipped)"
        return own or gear.teeth in what.ask.on_hand

    return on_hand


def _rows(table: TrainTable, facts: Facts, question: Question, what: Asked, judge: _Judge | None) -> list[Row]:
    if not len(table):
        return []
    ranking = Ranking(("size", "weight", "distinct", "on-hand"), question.window, facts)
    size, weight, distinct, missing = (ranking.key(name, table).tolist() for name in ranking.by)
    factors = common_factors(table).tolist()
    cures = judge.cures(table) if judge is not None else [None] * len(table)
    return [
        Row(
            train,
            train.ratio / question.window.target - 1,
            size[k],
            weight[k],
            int(distinct[k]),
            int(missing[k]),
            factors[k],
            cures[k],
        )
        for k, train in enumerate(table.trains())
    ]


def _merged(rows: list[Row], by: tuple[str, ...], window: Window, top: int) -> list[Row]:
    """The rows of all numbers of stages in one order: that of the ranking, then fewer stages, then the counts."""
    keys: dict[str, Callable[[Row], Fraction | float]] = {
        "closeness": lambda row: abs(row.off),
        "size": lambda row: row.size_mm2 or math.inf,
        "distinct": lambda row: row.distinct,
        "on-hand": lambda row: row.not_on_hand,
        "hunting": lambda row: row.common_factors,
        "weight": lambda row: row.weight_g,
        "teeth": lambda row: row.train.teeth,
    }
    order = Ranking(by, window, Facts(())).keys
    return sorted(rows, key=lambda row: (*(keys[name](row) for name in order), len(row.train.stages), row.train))[:top]


def _front(rows: list[Row]) -> list[Row]:
    rows = sorted(rows, key=lambda row: (abs(row.off), row.size_mm2 or math.inf, row.train.teeth, row.train))
    front: list[Row] = []
    for row in rows:
        if not front or (row.size_mm2 or math.inf) < (front[-1].size_mm2 or math.inf):
            front.append(row)
    return front


def _with_variants(rows: list[Row], what: Asked, filtered: bool) -> list[Row]:
    """Each row, and after it the same train with idlers, where some layout may save that."""
    found = []
    weigh, on_hand = _weigh(what), _on_hand(what)
    for row in rows:
        found.append(row)
        for train in with_idlers(row.train, what.question(len(row.train.stages))):
            gears = [
                what.gear(number, place == 0, teeth)
                for number, stage in enumerate(train.stages)
                for place, teeth in enumerate((stage.driver, stage.driven, *stage.idlers))
            ]
            try:
                if filtered and static_misses(what.layout_spec(train)):
                    continue
            except JobError:
                continue
            found.append(
                replace(
                    row,
                    train=train,
                    size_mm2=None,
                    weight_g=round(sum(map(weigh, gears)), 6),
                    distinct=len(set(gears)),
                    not_on_hand=sum(not on_hand(gear) for gear in gears),
                    common_factors=sum(math.gcd(*mesh) > 1 for stage in train.stages for mesh in stage.meshes),
                    cure=None,
                    in_front=False,
                )
            )
    return found
