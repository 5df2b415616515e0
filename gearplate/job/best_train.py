"""The train of a wanted reduction that has the best layout, over all trains there are."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass, replace
from functools import cache

import numpy as np

from gearplate.errors import NoSolution
from gearplate.gears.spec import GearSpec, StageSpec, TrainSpec
from gearplate.gears.trains import Question, Train, Window
from gearplate.gears.trains.facts import facts_of
from gearplate.gears.trains.first import first_trains
from gearplate.gears.trains.listing import TrainTable, count_trains, list_trains
from gearplate.gears.trains.question import common
from gearplate.gears.trains.ranking import Ranking
from gearplate.gears.trains.search import Tables, meetings
from gearplate.job.load import with_train
from gearplate.job.spec import JobSpec
from gearplate.job.train import added_centre_said, stocked
from gearplate.layout.bound import bound_specs
from gearplate.layout.chain import free_shafts
from gearplate.layout.design import Layout
from gearplate.layout.joint import BOXES, among_trains, best_trains
from gearplate.layout.misses import nearest_miss
from gearplate.layout.solve import RAIL_TRIES_MM, solve_layout
from gearplate.layout.spec import LayoutSpec, Least
from gearplate.layout.static_filter import StaticFilter
from gearplate.layout.train_field import TrainField, TrainsOfStages
from gearplate.layout.watch import Watch

MOST_JUDGED = 300_000  # trains of one number of stages; of more only the nearest to the wanted ratio are looked at:
NEAREST = 30_000  # a search among more than these ends at its count long before it has settled them
QUICK = 6  # part of the work of a whole search that one for a change that is tried may take
MOST_COUNTED = 2_000_000  # meetings of gears; where there are more, some thousand millions maybe, not all are counted


@dataclass(frozen=True, slots=True)
class JobTrains:
    """The trains of a wanted reduction. `found` lie in the window, `ruled_out` of them by distances that the train
    itself fixes; `unlisted` were too many to look at. `field` holds the others, None where there are none. Not
    `counted`: there are more than were found, and as many more unlisted."""

    field: TrainField | None
    found: int
    ruled_out: int
    unlisted: int
    counted: bool = True


def trains_of(job: JobSpec) -> JobTrains | None:
    """All trains that a job may have. None where they cannot be weighed together: motors that differ in their pinion,
    centre distances that the play of each train decides, shafts at given coordinates, no shaft that is free."""
    wish = job.wish
    assert wish is not None
    parts: list[TrainsOfStages] = []
    found = ruled_out = unlisted = 0
    counted = True
    for stages in wish.stage_counts:
        window = Window.around(wish.ratio, wish.tolerance)
        question = common(wish.pinions, wish.drivers, wish.driven, stages, window)
        tables = Tables.of(question)
        count = count_trains(question, tables, MOST_COUNTED)
        whole = meetings(tables, question).count <= MOST_COUNTED
        table = _listed(question, tables, count, whole)
        if not len(table):
            continue
        count, counted = max(count, len(table)), counted and whole
        spec_of = _spec_of(job)
        one = spec_of(table.rows(slice(0, 1)).trains()[0])
        if not _together(job, one):
            return None
        pinion = one.motors[0].pinion

        @cache
        def on_hand(role: str, teeth: int, pinion: GearSpec = pinion) -> GearSpec:
            return stocked(GearSpec(teeth, pinion.system), role, job.catalog)

        def gear(stage: int, drives: bool, teeth: int, pinion: GearSpec = pinion) -> GearSpec:
            if drives and stage == 0 and teeth == pinion.teeth:
                return pinion
            return on_hand("pinion" if drives and stage == 0 else "gear", teeth)

        facts = facts_of(question, gear, wish.added_centre_mm)
        judge = StaticFilter(facts, gear, spec_of, wish.added_centre_mm)
        measured = judge.measure(table)
        passes = judge.judge_measured(measured).passes
        found, unlisted = found + count, unlisted + count - len(table)
        ruled_out += int(len(table) - passes.sum())
        if passes.any():
            kept = measured.rows(np.flatnonzero(passes))
            off = np.abs(kept.table.driven / kept.table.drivers - float(wish.ratio))
            parts.append(TrainsOfStages(judge, kept, off))
    return JobTrains(TrainField(tuple(parts)) if parts else None, found, ruled_out, unlisted, counted)


@dataclass(frozen=True, slots=True)
class Placed:
    """The job with the train that was chosen, and its layout."""

    job: JobSpec
    layout: Layout


@dataclass(frozen=True, slots=True)
class NonePlaced:
    """No train has a layout that keeps every clearance; `text` says for how many that is proven."""

    text: str


def best_placed(
    job: JobSpec, trains: JobTrains, quick: bool = False, watch: Watch | None = None
) -> Placed | NonePlaced:
    """The train with the best layout of all, laid out.

    `quick`: after less of a search, and the layout comes without a certificate of its own.
    """
    # trains that have a layout, or may, with one pattern of rail screws at least
    left = trains.unlisted + (not trains.counted)
    spent = 0
    for extra in RAIL_TRIES_MM:
        if trains.field is None:
            break
        field = trains.field.with_rail(extra)
        spec = field.spec(0)
        most = BOXES * spec.wishes.boxes // (QUICK if quick else 1)
        joint = best_trains(field, spec.wishes, spec.seed, watch, most - spent)
        spent += joint.boxes
        numbers = joint.numbers
        if len(numbers) > 1 and spec.wishes.least == (Least.HULL,) and not quick:
            numbers = _smallest_first(field, numbers)
        for number in numbers:
            chosen = with_train(job, _train_spec(job, field.train(number)))
            try:
                layout = solve_layout(chosen.layout_spec, watch, quick=quick)
            except NoSolution:
                continue
            if nearest_miss(chosen.layout_spec, layout):
                continue
            among = among_trains(field, joint, number, layout)
            among = replace(
                among,
                found=trains.found,
                ruled_out=trains.ruled_out,
                unlisted=trains.unlisted,
                counted=trains.counted,
            )
            return Placed(chosen, replace(layout, among=among))
        left = min(trains.found, left + (len(field.kinds) if joint.numbers else joint.first.open))
        if spec.rail is None or spec.rail.holes is not None or spent >= most or joint.first.open:
            break  # where one pattern of rail screws is not settled, no other will be
    screws = ""
    if trains.field is not None and (rail := trains.field.spec(0).rail) is not None:
        screws = ", with the rail's screws " + ("as given" if rail.holes is not None else "where the tool sets them")
    many = f"{trains.found:,}" if trains.counted else f"At least {trains.found:,}"
    return NonePlaced(
        f"{many} trains have the wanted reduction and none could be placed; for "
        f"{f'{trains.found - left:,}' if left else 'all'} of them it is proven that no layout keeps every clearance "
        f"and has room for the motors however they are turned{screws}."
    )


def _smallest_first(field: TrainField, numbers: tuple[int, ...]) -> tuple[int, ...]:
    """The trains by the hull that they come out with, screws and standoffs included; those whose layout misses a
    clearance after the others, without a layout: last."""
    hulls: list[tuple[bool, float]] = []
    for number in numbers:
        spec = field.spec(number)
        try:
            layout = solve_layout(spec, quick=True)
            hulls.append((bool(nearest_miss(spec, layout)), layout.hull_area_mm2))
        except NoSolution:
            hulls.append((True, math.inf))
    return tuple(number for _, number in sorted(zip(hulls, numbers, strict=True), key=lambda pair: pair[0]))


def _listed(question: Question, tables: Tables, count: int, whole: bool) -> TrainTable:
    if whole and count <= MOST_JUDGED:
        return list_trains(question, tables)
    return first_trains(question, Ranking(("closeness",), question.window), NEAREST, tables=tables, most=MOST_JUDGED)


def _spec_of(job: JobSpec) -> Callable[[Train], LayoutSpec]:
    return lambda train: with_train(job, _train_spec(job, train)).layout_spec


def _train_spec(job: JobSpec, train: Train) -> TrainSpec:
    """A train by its counts alone."""
    wish = job.wish
    assert wish is not None
    return TrainSpec(
        tuple(
            StageSpec(GearSpec(one.driver, wish.system), GearSpec(one.driven, wish.system), wish.added_centre_mm)
            for one in train.stages
        )
    )


def _together(job: JobSpec, spec: LayoutSpec) -> bool:
    """Whether the layouts of all trains can be weighed by what each train's gears measure."""
    return (
        bool(free_shafts(spec))
        and len({motor.pinion for motor in spec.motors}) == 1
        and not isinstance(added_centre_said(None, job.reading), str)
        and all(place.x_mm is None for place in spec.places.values())
        and bound_specs(spec) == (spec,)
        and Least.MOVE not in spec.wishes.least
    )
