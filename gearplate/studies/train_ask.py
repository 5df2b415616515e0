"""What a list of trains is asked for: the job's own wish, and what the caller lays over it."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from fractions import Fraction

from gearplate.errors import UsageError
from gearplate.gears.spec import GearSpec, ReductionWish, StageSpec, ToothSystem, TrainSpec
from gearplate.gears.trains import Question, StageChoice, Train, Window
from gearplate.job.load import with_train
from gearplate.job.spec import JobSpec
from gearplate.job.train import stocked
from gearplate.layout.spec import LayoutSpec

# How far off the ratio of a job that gives its stages may be where nobody says: 2 %, as for a wanted reduction.
USUAL_WITHIN = Fraction(1, 50)


@dataclass(frozen=True, slots=True)
class TrainAsk:
    """Laid over the job. Tables by stage count from 1; key 0 holds for every stage that has none of its own.

    Give `ratio` and `within`, or `low` and `high`, or neither (the job's own). `output_rpm` (slowest, fastest): the
    ratios that give these speeds at the motors' free speed. `modules`: module in mm by stage. `idlers`: counts that
    a stage may have as one idler.
    """

    ratio: Fraction | None = None
    within: Fraction | None = None
    low: Fraction | None = None
    high: Fraction | None = None
    output_rpm: tuple[Fraction, Fraction] | None = None
    stage_counts: tuple[int, ...] = ()
    pinions: tuple[int, ...] = ()
    drivers: Mapping[int, tuple[int, ...]] = field(default_factory=dict)
    driven: Mapping[int, tuple[int, ...]] = field(default_factory=dict)
    modules: Mapping[int, float] = field(default_factory=dict)
    idlers: Mapping[int, tuple[int, ...]] = field(default_factory=dict)
    on_hand: tuple[int, ...] = ()
    in_order: bool = True


@dataclass(frozen=True, slots=True)
class Asked:
    """A job whose train is open, with everything that a search asks. `job.wish` is never None."""

    job: JobSpec
    ask: TrainAsk
    window: Window
    stage_counts: tuple[int, ...]

    @property
    def wish(self) -> ReductionWish:
        """The wanted reduction of the job."""
        wish = self.job.wish
        assert wish is not None
        return wish

    def system(self, stage: int) -> ToothSystem:
        """Tooth size and pressure angle of a stage, counted from 0."""
        module = self.ask.modules.get(stage + 1, self.ask.modules.get(0))
        return self.wish.system if module is None else replace(self.wish.system, module_mm=module)

    def question(self, stages: int) -> Question:
        """The question for trains of this many stages. Raises UsageError for a stage without gears to choose from."""
        return Question(tuple(self._choice(stage) for stage in range(stages)), self.window, self.ask.in_order)

    def gear(self, stage: int, drives: bool, teeth: int) -> GearSpec:
        """A gear as the catalogue has it."""
        role = "pinion" if drives and stage == 0 else "gear"
        return stocked(GearSpec(teeth, self.system(stage)), role, self.job.catalog)

    def train_spec(self, train: Train) -> TrainSpec:
        """A train with what the catalogue says of each gear."""
        return TrainSpec(
            tuple(
                StageSpec(
                    self.gear(number, True, stage.driver),
                    self.gear(number, False, stage.driven),
                    self.wish.added_centre_mm,
                    tuple(self.gear(number, False, teeth) for teeth in stage.idlers),
                )
                for number, stage in enumerate(train.stages)
            )
        )

    def layout_spec(self, train: Train, changes: Mapping[str, object] | None = None) -> LayoutSpec:
        """What the layout is asked with a train, and with changes to the job where they are given.

        Raises JobError where the changed job contradicts itself.
        """
        job = self.job.changed(changes) if changes else self.job
        return with_train(job, self.train_spec(train)).layout_spec

    def _choice(self, stage: int) -> StageChoice:
        ask, wish, key = self.ask, self.wish, stage + 1
        given = (ask.pinions or wish.pinions) if stage == 0 else wish.drivers
        drivers = ask.drivers.get(key) or (ask.drivers.get(0) if stage else None) or given
        driven = ask.driven.get(key) or ask.driven.get(0) or wish.driven
        module = ask.modules.get(key, ask.modules.get(0))
        if module is not None:
            angle = round(math.degrees(wish.system.pressure_angle_rad), 9)

            def stock(role: str) -> tuple[int, ...]:
                return self.job.catalog.tooth_counts(module_mm=module, pressure_angle_deg=angle, role=role)

            if not (key in ask.drivers or (stage == 0 and ask.pinions)):
                drivers = stock("pinion" if stage == 0 else "gear")
            if key not in ask.driven:
                driven = stock("gear")
        for counts, word in ((drivers, "driver"), (driven, "driven gear")):
            if not counts:
                raise UsageError(f"there is no {word} to choose from for stage {key}: say which tooth counts there are")
        runs = tuple((teeth,) for teeth in (ask.idlers.get(key) or ask.idlers.get(0) or ()))
        return StageChoice(drivers, driven, module_mm=self.system(stage).module_mm, idlers=runs)


def asked(job: JobSpec, ask: TrainAsk) -> Asked:
    """The job with an open train, and the window. Raises UsageError for an ask that contradicts itself, JobError
    where the job speaks of shafts that no train of the asked stages has."""
    changes: dict[str, object] = {}
    if job.wish is None:
        ratio, stages = _own_ratio(job)
        changes |= {"stages": None, "reduction": {"ratio": str(ratio), "within": str(USUAL_WITHIN), "stages": stages}}
    if ask.stage_counts:
        changes["reduction.stages"] = list(ask.stage_counts)
    if ask.pinions or 1 in ask.drivers or ask.modules.get(1, ask.modules.get(0)) is not None:
        # The pinion is open as well: no motor names one.
        motors = len(job.reading.file.motors or ())
        changes |= (
            {f"motors[{number}].pinion": None for number in range(motors)} if _listed(job) else {"motors.pinion": None}
        )
    opened = job.changed(changes) if changes else job
    wish = opened.wish
    assert wish is not None
    if not wish.stage_counts:
        raise UsageError("the job speaks of shafts that a train of so few stages does not have")
    return Asked(opened, ask, _window(job, wish, ask), wish.stage_counts)


def _listed(job: JobSpec) -> bool:
    return isinstance(job.raw.get("motors"), list)


def _own_ratio(job: JobSpec) -> tuple[Fraction, int]:
    """The ratio of the job's own stages, and how many they are."""
    spec = job.layout_spec
    driver = [spec.motors[0].pinion.teeth, *(s.driver.teeth for s in spec.train.stages[1:] if s.driver is not None)]
    ratio = Fraction(math.prod(stage.driven.teeth for stage in spec.train.stages), math.prod(driver))
    return ratio, min(len(spec.train.stages), 4)


def _window(job: JobSpec, wish: ReductionWish, ask: TrainAsk) -> Window:
    ways = [ask.ratio is not None or ask.within is not None, ask.low is not None or ask.high is not None]
    if sum([*ways, ask.output_rpm is not None]) > 1:
        raise UsageError("give a ratio and how far off it may be, or the least and the greatest, or output speeds")
    try:
        if ask.output_rpm is not None:
            slow, fast = sorted(ask.output_rpm)
            curve = job.catalog.motor(job.reading.file.motors[0].type).curve
            if curve is None:
                raise UsageError("the motor's free speed is not known: give the ratio instead of output speeds")
            if slow <= 0:
                raise UsageError("output speeds are above zero")
            free = Fraction(str(curve.free_speed_rpm))
            return Window.between(free / fast, free / slow)
        if ways[1]:
            if ask.low is None or ask.high is None:
                raise UsageError("give both the least and the greatest ratio")
            return Window.between(ask.low, ask.high)
        ratio = wish.ratio if ask.ratio is None else ask.ratio
        return Window.around(ratio, wish.tolerance if ask.within is None else ask.within)
    except ValueError as error:
        raise UsageError(str(error)) from None
