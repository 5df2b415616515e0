"""Train and layout together: held against every train laid out by itself."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest

from gearplate.job.best_train import JobTrains, Placed, best_placed, trains_of
from gearplate.job.load import load_job_text
from gearplate.layout.certified.branch import Settings, Status, solve
from gearplate.layout.certified.model import demands_missed, model_of, wish_value
from gearplate.layout.certified.problem import Wish
from gearplate.layout.joint import best_trains
from gearplate.layout.spec import Least, WishesSpec
from gearplate.layout.train_field import FEW, TrainField

JOB = """
format = 1
part = "turner-drive"
cutter = "demo"
material = "acetal-6mm"
wheel = {{diameter = "4 in"}}
diametral_pitch = 20
reduction = {{{reduction}}}
motors = {{type = "generic-a", count = {motors}}}
{extra}
"""
GEARS = "pinions = [11, 12, 13], drivers = [28, 32, 36, 40], driven = [48, 54, 60, 64, 72]"
SMALL = {
    "one motor": JOB.format(reduction=f'ratio = "10", within = 0.1, {GEARS}', motors=1, extra=""),
    "two motors": JOB.format(reduction=f'ratio = "11", within = 0.06, {GEARS}', motors=2, extra=""),
    "three motors": JOB.format(reduction=f'ratio = "9", within = 0.08, {GEARS}', motors=3, extra=""),
    "one stage": JOB.format(reduction=f'ratio = "5", within = 0.2, stages = 1, {GEARS}', motors=2, extra=""),
    "no rail": JOB.format(reduction=f'ratio = "10", within = 0.03, {GEARS}', motors=2, extra="rail = false"),
    "a guard": JOB.format(
        reduction=f'ratio = "10", within = 0.06, {GEARS}', motors=1, extra="plates = {cover_gears = true}"
    ),
    "a given angle": JOB.format(
        reduction=f'ratio = "10", stages = 2, within = 0.06, {GEARS}', motors=2, extra="places = {S1 = {angle = 80}}"
    ),
    "limits": JOB.format(
        reduction=f'ratio = "10", within = 0.06, {GEARS}', motors=2, extra="limits = {up = 130, forward = 70}"
    ),
}


def trains(name: str) -> JobTrains:
    found = trains_of(load_job_text(SMALL[name]))
    assert found is not None
    return found


def field(name: str) -> TrainField:
    found = trains(name).field
    assert found is not None
    return found


@pytest.mark.parametrize("name", SMALL)
def test_the_best_train_is_the_best_of_each_laid_out_alone(name: str) -> None:
    """And what is said to hold for many trains holds for the best layout of each."""
    found = field(name)
    alone: list[float] = []
    for number in range(len(found.kinds)):
        problem = found.problem(number)
        answer = solve(problem, Settings(gap=1e-3, stop_boxes=20_000, batch=512))
        alone.append(math.inf if answer.value is None else answer.value)
        if answer.angles_rad is None:
            continue
        here = np.array([[answer.angles_rad[problem.nodes[node].name] for node in problem.free]])
        of_its_kind = np.flatnonzero(found.kinds == found.kinds[number])
        for group in ([number], of_its_kind, of_its_kind[of_its_kind >= number], of_its_kind[of_its_kind <= number]):
            common = found.common(np.array(group))
            if common is None:  # few trains of which each has rail screws elsewhere are looked at one by one
                assert name == "a given angle"
                assert len(group) <= FEW
                continue
            model = model_of(common)
            assert demands_missed(model, here)[0] <= 1e-6
            assert wish_value(model, here)[0] <= alone[number] * (1.0 + 1e-9)
    spec = found.spec(0)
    joint = best_trains(found, spec.wishes, spec.seed)
    assert len(alone) > 2
    if math.isinf(min(alone)):
        assert joint.numbers == ()
        assert joint.first.status is Status.INFEASIBLE
        return
    assert joint.first.status is Status.CERTIFIED
    assert alone[joint.numbers[0]] <= min(alone) * 1.0061
    assert joint.first.bound <= min(alone) * (1.0 + 1e-9)
    assert joint.first.done == len(alone)
    assert joint == best_trains(field(name), spec.wishes, spec.seed)


def test_every_train_of_the_window_is_counted_once() -> None:
    """The window's own trains by whole numbers: 11 of pinions, drivers and driven gears are tried one by one."""
    found = trains("two motors")
    counted = [
        (p, a, d, b)
        for p in (11, 12, 13)
        for a in (48, 54, 60, 64, 72)
        for d in (28, 32, 36, 40)
        for b in (48, 54, 60, 64, 72)
        if 11 * 94 * p * d <= 100 * a * b <= 11 * 106 * p * d
    ]
    single = [(p, a) for p in (11, 12, 13) for a in (48, 54, 60, 64, 72) if 94 * 11 * p <= 100 * a <= 106 * 11 * p]
    assert found.found == len(counted) + len(single)
    assert found.field is not None
    assert found.found == found.ruled_out + len(found.field.kinds)
    rows = {tuple(n for s in found.field.train(k).stages for n in s[:2]) for k in range(len(found.field.kinds))}
    assert len(rows) == len(found.field.kinds)
    assert rows <= {*counted, *single}


@pytest.mark.parametrize(("ratio", "counts"), [("3.2", (22, 70)), ("3.55", (20, 72))])
def test_of_equal_trains_the_one_nearest_to_the_ratio_is_taken(ratio: str, counts: tuple[int, int]) -> None:
    """20 on 72 and 22 on 70 stand equally far apart, and the same layout serves: 92 teeth each."""
    wanted = f'ratio = "{ratio}", within = 0.2, stages = 1, pinions = [20, 22], driven = [70, 72]'
    text = JOB.format(reduction=wanted, motors=1, extra="rail = false").replace("count = 1", 'side = "inboard"')
    found = trains_of(load_job_text(text))
    assert found is not None
    assert found.field is not None
    (part,) = found.field.parts
    equal = np.flatnonzero(part.measured.table.counts.sum(axis=1) == 92)
    assert len(equal) == 2
    two = TrainField((replace(part, measured=part.measured.rows(equal), closeness=part.closeness[equal]),))
    joint = best_trains(two, two.spec(0).wishes, 1)
    assert joint.first.value is not None
    assert two.train(joint.numbers[0]).stages[0][:2] == counts


@pytest.mark.parametrize(
    ("change", "extra"),
    [
        ('motors = {type = "generic-a", count = 2}', "places = {M1 = {at = [60, 80]}}"),
        ('added_centre = "auto"\nmotors = {type = "generic-a", count = 2}', ""),
    ],
)
def test_trains_whose_centres_depend_on_more_than_their_gears_are_not_weighed_together(change: str, extra: str) -> None:
    text = JOB.format(reduction=f'ratio = "10", within = 0.06, {GEARS}', motors=2, extra=extra)
    assert trains_of(load_job_text(text.replace('motors = {type = "generic-a", count = 2}', change))) is None


def test_the_order_of_wishes_is_the_jobs_own() -> None:
    """Least in height first: no train of the list has a lower best layout; among the lowest the hull counts."""
    text = SMALL["two motors"] + 'layout = {least = ["height", "hull"], spend = 0}'
    job = load_job_text(text)
    found = trains_of(job)
    assert found is not None
    assert found.field is not None
    low = found.field.asking(Wish.HEIGHT)
    settings = Settings(gap=1e-3, stop_boxes=20_000, batch=512)
    answers = [solve(low.problem(number), settings).value for number in range(len(low.kinds))]
    least = min(value for value in answers if value is not None)
    spec = found.field.spec(0)
    assert spec.wishes.least == (Least.HEIGHT, Least.HULL)
    joint = best_trains(found.field, spec.wishes, spec.seed)
    assert joint.first.bound <= least * (1.0 + 1e-9)
    best = answers[joint.numbers[0]]
    assert best is not None
    assert best <= least * 1.0071  # the gap of the proof, and what may be given up for the hull
    by_hull = best_trains(found.field, WishesSpec(), spec.seed)
    assert by_hull.first.value != pytest.approx(joint.first.value)


def test_three_motors_at_ten_to_one_over_a_four_inch_wheel() -> None:
    """Of 14,494 trains most have no room for three motors; the nearest ratios have none of all."""
    job = load_job_text(JOB.format(reduction='ratio = "10"', motors=3, extra=""))
    found = trains_of(job)
    assert found is not None
    placed = best_placed(job, found)
    assert isinstance(placed, Placed)
    among = placed.layout.among
    assert among is not None
    assert among.found == 14_494 == among.ruled_out + among.settled + among.left
    assert among.left == 0
    assert among.bound <= among.value
    assert among.gap < 0.1
