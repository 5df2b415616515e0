"""Jobs whose shafts find no place: the reason told is the true one, each part of it is needed, and the figures hold.

The sets and sums are worked out by hand beside each job. That each part is needed is seen by laying out the others and
measuring that layout with a few lines of our own; that a figure is the least, by building with it and just short of it.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

import pytest
from shapely import MultiPoint, Point, box
from shapely.geometry.base import BaseGeometry

from gearplate.build import make
from gearplate.cli.made import made, trials
from gearplate.finding import Severity
from gearplate.job.load import load_job, load_job_text
from gearplate.job.no_place import no_place
from gearplate.job.spec import JobSpec
from gearplate.layout.certified.branch import Settings, Status, solve
from gearplate.layout.certified.conflict import without
from gearplate.layout.certified.problem import LayoutProblem, Wish
from gearplate.layout.grounds import Grounded, grounded
from gearplate.layout.models import Models
from gearplate.layout.reasons import Reasons, reasons_of
from gearplate.layout.sums import sums_of

FAR = 6000
DISC = '{name="battery", disc={at=["0 mm", "130 mm"], diameter="120 mm"}, z=["5 mm", "60 mm"]}'
MOTORS = ["M1 to M2", "M1 to M3", "M2 to M3"]
OVER_WHEEL = ["M1 to wheel", "M2 to wheel", "M3 to wheel"]
OFF_RAIL = ["M1 to rail", "M2 to rail", "M3 to rail"]


@dataclass(frozen=True)
class Case:
    """A job, the names of what cannot hold together in it, and the key whose least change is measured."""

    name: str
    base: str
    sets: tuple[str, ...]
    needed: list[str]
    key: str = ""


CASES = [
    # three 64 mm motors side by side over a rail reach higher than 150 mm however they lean
    Case("limit", "compost-drive", ('limits.height="150 mm"',), [*MOTORS, *OFF_RAIL, "limits.height"], "limits.height"),
    Case(
        "keep-out",
        "compost-drive",
        (f"keep_outs=[{DISC}]",),
        [*MOTORS, *OVER_WHEEL, "ground", "keep-out battery"],
        "keep_outs[0].disc.diameter",
    ),
    # both at S1, 20 degrees apart: 2 x 54.0 mm x sin 10 deg = 18.8 mm between axes of 64 mm bodies
    Case(
        "two motors",
        "compost-drive",
        ("places={S1={angle=90}, M1={angle=80}, M2={angle=100}}",),
        ["M1 to M2", "places.M1", "places.M2"],
    ),
    # S1 stands 58.5 mm up, M1 54.0 mm down again: 4.5 mm from the axle, in the middle of the wheel
    Case(
        "one angle left",
        "compost-drive",
        ("motors.count=2", "places={S1={angle=90}, M1={angle=-90}}"),
        ["M1 to wheel", "places.M1", "places.S1"],
    ),
    Case("three motors", "compost-drive", ("wheel.diameter=5",), [*MOTORS, *OVER_WHEEL], "wheel.diameter"),
    # 12 + 42 and 42 + 60 teeth at DP 20 reach 3.93 in; 3 in of wheel, 1.26 in of motor and 3 mm between need 4.38 in
    Case("idler", "barrow-idler", ('wheel.diameter="6 in"',), ["M1 to wheel"], "wheel.diameter"),
    # S1 level with the axle, M1 54.0 mm round it: 25.4 mm of rail and 32 mm of motor need 57.4 mm
    Case("rail", "compost-drive", ("motors.count=1", "places={S1={angle=0}}"), ["M1 to rail", "places.S1"]),
]
by_name = pytest.mark.parametrize("case", CASES, ids=lambda case: case.name)
_KNOWN: dict[str, tuple[JobSpec, Reasons]] = {}


def known(case: Case) -> tuple[JobSpec, Reasons]:
    if case.name not in _KNOWN:
        job = load_job(case.base, list(case.sets))
        _KNOWN[case.name] = job, reasons_of(job.layout_spec, FAR)
    return _KNOWN[case.name]


def question(job: JobSpec) -> Grounded:
    """The barest that a build can do with."""
    spec, models = job.layout_spec, Models()
    return grounded(spec, models.stack(spec), models.model(spec, (), True, 0.0))


def places(problem: LayoutProblem, angles: dict[str, float]) -> list[tuple[float, float]]:
    at: list[tuple[float, float]] = []
    for node in problem.nodes:
        if node.at_mm is not None:
            at.append(node.at_mm)
            continue
        assert node.about is not None
        angle = angles[node.name] if node.angle_rad is None else node.angle_rad
        x, y = at[node.about]
        at.append((x + node.distance_mm * math.cos(angle), y + node.distance_mm * math.sin(angle)))
    return at


def missed_mm(problem: LayoutProblem, angles: dict[str, float]) -> float:
    """By how much a layout misses a demand at most, measured with no code of the solver's."""
    at = places(problem, angles)
    worst = 0.0
    for pair in problem.apart:
        worst = max(worst, pair.least_mm - math.dist(at[pair.a], at[pair.b]))
    for limit in problem.within:
        other = 0.0 if limit.b is None else at[limit.b][limit.axis]
        worst = max(worst, limit.sign * (at[limit.a][limit.axis] - other) - limit.most_mm)
    for out in problem.outside:
        x, y = at[out.node]
        worst = max(worst, min(x - out.x0_mm, out.x1_mm - x, y - out.y0_mm, out.y1_mm - y))
    for off in problem.off:
        hull: BaseGeometry = MultiPoint([]).convex_hull
        for disc in off.discs or problem.hull:
            hull = hull.union(Point(at[disc.node]).buffer(disc.radius_mm, 256))
        keep = box(off.x0_mm, off.y0_mm, off.x1_mm, off.y1_mm)
        worst = max(worst, off.least_mm - hull.convex_hull.distance(keep))
    return worst


def solved(problem: LayoutProblem) -> tuple[Status, dict[str, float] | None]:
    answer = solve(replace(problem, wish=Wish.ANY), Settings(stop_boxes=20_000))
    return answer.status, answer.angles_rad


@by_name
def test_the_reason_is_the_true_one_and_none_of_it_can_be_left_out(case: Case) -> None:
    job, reasons = known(case)
    assert reasons.proven
    assert reasons.irreducible
    names = [one.ground.name for one in reasons.reasons]
    assert sorted(names) == sorted(case.needed)
    asked = question(job)
    together = without(asked.problem, asked.groups, names, ())
    assert solved(together)[0] is Status.INFEASIBLE
    for name in names:
        others = without(asked.problem, asked.groups, names, [name])
        angles = solved(others)[1]
        assert angles is not None, f"without {name} there is a layout"
        assert missed_mm(others, angles) < 1e-4
        if not name.startswith("places."):
            assert missed_mm(together, angles) > 1e-3, "the layout misses what was left out, and nothing else"


@pytest.mark.parametrize("case", [case for case in CASES if case.key], ids=lambda case: case.name)
def test_the_least_change_that_is_told_is_enough_and_less_is_not(case: Case) -> None:
    job, reasons = known(case)
    ease = next(one for one in reasons.eases if one.key == case.key)
    assert ease.mends
    assert ease.was is not None
    assert ease.enough is not None
    assert ease.too_little is not None
    way = 1.0 if ease.enough > ease.was else -1.0
    assert 0.0 < way * (ease.enough - ease.too_little) < 0.1
    assert make(job.changed({case.key: f"{ease.enough + way * 0.01:.4f} mm"}), quick=True).errors == ()
    less = make(job.changed({case.key: f"{ease.enough - way * 0.05:.4f} mm"}), quick=True)
    assert any(error.check == "layout" for error in less.errors)


def test_the_figure_with_every_clearance_keeps_them() -> None:
    job = load_job("sieve-single", ['limits.height="60 mm"'])
    ease = reasons_of(job.layout_spec, FAR).eases[0]
    assert ease.clear is not None
    after = make(job.changed({"limits.height": f"{ease.clear + 0.01:.4f} mm"}), quick=True)
    # screws within a driver's reach are no clearance, and are looked for where there is room to choose
    assert [one for one in after.findings if one.severity is not Severity.NOTE and one.check != "motor-service"] == []


def test_what_no_value_of_mends_is_said_not_to_mend() -> None:
    """Both motors' bodies (64 mm) cannot hold beside each other 18.8 mm apart, however high or wide the box may be."""
    sets = ["places={S1={angle=90}, M1={angle=80}, M2={angle=100}}", 'limits.height="300 mm"']
    reasons = reasons_of(load_job("compost-drive", sets).layout_spec)
    assert [(one.key, one.mends) for one in reasons.eases if one.key == "limits.height"] == [("limits.height", False)]


SHORT = ["motors.count=1", "stages=[{driven=40},{driver=20,driven=24}]"]


def test_a_sum_that_can_be_done_again_by_hand() -> None:
    """The long-addendum pinion of 12 (shift 0.5) and 40 teeth mesh at 1.3255 in with 0.05 mm added, 20 and 24 teeth at
    (20 + 24) / 40 + 0.05 mm = 1.1020 in: 2.4274 in. A motor of 64 mm (1.2598 in) over a wheel of 4 in (2 in) with 3 mm
    (0.1181 in) between needs 3.3780 in: 0.9506 in more, at 1/40 in a tooth 38.02 teeth, so 96 + 39 = 135."""
    job = load_job("compost-drive", SHORT)
    reasons = reasons_of(job.layout_spec)
    assert [(one.teeth, one.enough_teeth) for one in reasons.sums] == [(96, 135)]
    said = no_place(job.layout_spec, reasons, job.units).text
    assert "c1 + c2 = 1.3255 in + 1.102 in = 2.4274 in" in said
    assert "needs 1.2598 in + 2 in + 0.1181 in = 3.378 in" in said
    assert "the four counts, 96 now, must total at least 135 at DP 20" in said
    for total, short in ((134, True), (135, False)):
        other = job.changed({"stages[1].driven": 24 + total - 96})
        failing = sums_of(other.layout_spec, question(other).grounds.values())
        assert any(one.parts[-1].name == "wheel" for one in failing) is short


def test_two_motors_fit_where_three_do_not() -> None:
    case = next(case for case in CASES if case.name == "three motors")
    job, reasons = known(case)
    assert (reasons.motors, reasons.fitting) == (3, 2)
    assert "Two motors fit, three do not." in no_place(job.layout_spec, reasons, job.units).text
    assert make(job.changed({"motors.count": 2}), quick=True).errors == ()


def test_a_search_that_stops_says_so() -> None:
    job = load_job("compost-drive", ["wheel.diameter=5"])
    reasons = reasons_of(job.layout_spec, 30)
    assert not reasons.proven
    assert reasons.stopped
    assert "not proven: the search stopped" in no_place(job.layout_spec, reasons, job.units).text


def test_an_ordinary_job_gives_no_reasons() -> None:
    reasons = reasons_of(load_job("compost-drive").layout_spec)
    assert not reasons.proven
    assert not reasons.stopped
    assert make(load_job("sieve-single")).no_place is None


CURED = [
    ('limits.width="150 mm"',),
    (f"keep_outs=[{DISC}]",),
    ("wheel.diameter=5", 'limits.inward="20 mm"', 'limits.outward="10 mm"'),
]


@pytest.mark.parametrize("sets", CURED, ids=["width", "keep-out", "more than 8 findings"])
def test_a_cure_is_tried_and_told(sets: tuple[str, ...]) -> None:
    job = load_job("compost-drive", list(sets))
    design = made(job)
    assert design.no_place is not None
    assert trials(job, design) > 0
    remedy = design.findings[0].remedy
    assert design.findings[0].check == "layout"
    assert remedy is not None
    assert remedy.tried
    after = make(job.changed(dict(remedy.set)), quick=True)
    assert not any(one.check == "layout" for one in after.findings)
    assert any(cure.built and cure.remedy.set == remedy.set for cure in design.no_place.cures)
    if len(design.findings) <= 8:
        assert after.errors == ()


def test_the_answer_is_the_same_every_time() -> None:
    job = load_job("compost-drive", ["wheel.diameter=5"])
    assert reasons_of(job.layout_spec, 1500) == reasons_of(job.layout_spec, 1500)


BOUND = """
format = 1
part = "bound-drive"
cutter = "demo"
material = "acetal-6mm"
wheel = {diameter = "4 in"}
diametral_pitch = 20
stages = [{driven = 72}, {driver = 32, driven = 60}]
motors = {type = "generic-a", count = 1, pinion = 12}
places = {M1 = {at = ["0 mm", "105 mm"]}}
"""


def test_a_shaft_with_two_places_is_asked_about_in_both() -> None:
    """S1 stands before or behind the line from axle to motor, and reaches past one limit or the other: with its gear of
    72 teeth and an equal reach to either side, each limit by itself would do."""
    reasons = reasons_of(load_job_text(f'{BOUND}limits = {{forward = "60 mm", back = "60 mm"}}').layout_spec)
    assert reasons.proven
    assert reasons.irreducible
    assert {one.ground.name for one in reasons.reasons} == {"limits.forward", "limits.back", "places.M1"}
    eases = {ease.key: ease for ease in reasons.eases}
    for key, other in (("forward", "back"), ("back", "forward")):
        ease = eases[f"limits.{key}"]
        assert ease.mends
        assert ease.enough is not None
        assert ease.too_little is not None
        assert ease.too_little < ease.enough
        for value, good in ((ease.enough + 0.01, True), (ease.too_little - 0.05, False)):
            design = make(load_job_text(f'{BOUND}limits = {{{key} = "{value} mm", {other} = "60 mm"}}'))
            assert all(finding.severity is not Severity.ERROR for finding in design.findings) is good
