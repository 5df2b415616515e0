"""Room at its limits: the job's own, the gap, the floor, motor shafts; and what can be changed at the bench."""

from __future__ import annotations

from dataclasses import replace

import pytest

from gearplate.checks.subject import Subject
from gearplate.finding import Severity
from gearplate.geometry.path import bbox
from tests.builders.subjects import BAD, fair, fair_pinned, fair_unchanged, job_of, one, run, severities, subject_of

W, E = Severity.WARNING, Severity.ERROR
MICROMETRE = 0.001

GAP = 2 * (1.5748 + 1.0) + 2 * 12.7 + 1.0  # flange and clearance at each plate, two faces of 1/2 in, 1 mm between
M1_TOP = 0.5 * 1.27 * 92 + 0.05 + 53.9996886 * 0.5**0.5 + 32.0  # over the axle: S1, then 45 degrees to M1, its body


def limited(**limits: float) -> Subject:
    subject = fair_unchanged()
    spec = replace(subject.layout_spec, limits=replace(subject.layout_spec.limits, **limits))
    return replace(subject, layout_spec=spec)


def test_limits_in_the_plane_by_hand() -> None:
    for limit, expected in ((M1_TOP + MICROMETRE, 0), (M1_TOP - MICROMETRE, 2)):
        found = run("limits-plane", limited(up_mm=limit)).findings
        # M2 stands as high: only the one that is told first is named, one finding for each limit.
        assert len(found) == min(expected, 1)
    assert run("limits-plane", fair_unchanged()).compared == 0


@pytest.mark.parametrize("key", ["forward", "back", "up", "down", "width", "height"])
def test_every_limit_in_the_plane_at_its_edge(key: str) -> None:
    found = one("limits-plane", limited(**{f"{key}_mm": 10.0}))
    extent = found.measured
    assert extent is not None
    for limit, expected in ((extent + MICROMETRE, []), (extent, []), (extent - MICROMETRE, [E])):
        assert severities("limits-plane", limited(**{f"{key}_mm": limit})) == expected


def test_the_outline_counts_where_it_reaches_past_all_bodies() -> None:
    """A guard stands 2 mm past the gears' tips; nothing else reaches so far down."""
    subject = fair(plates__cover_gears=True)
    low = -bbox(subject.plates[0].outline)[1]
    assert low == pytest.approx(0.5 * 1.27 * 62 + 2.0)
    spec = replace(subject.layout_spec, limits=replace(subject.layout_spec.limits, down_mm=low - MICROMETRE))
    assert "plate" in one("limits-plane", replace(subject, layout_spec=spec)).message


def test_limits_along_the_axle() -> None:
    """Motors of 105 mm over a wheel whose outer face stands 38.1 + 6 + 25.4 = 69.5 mm from the plate."""
    for limit, expected in ((35.5, []), (35.5 - MICROMETRE, [E, E])):
        assert severities("limits-axial", limited(outward_mm=limit)) == expected
    # Toward the middle: both plates, the gap, and the screw heads with their washers on the inboard plate.
    screw = fair_unchanged().layout_spec.standoffs.screw
    deepest = 6 + GAP + 6 + screw.washer_thickness_mm + screw.head_height_mm
    assert deepest > 6 + GAP + 6 + 6  # the axle's end with its retainer
    assert severities("limits-axial", limited(inward_mm=deepest)) == []
    found = one("limits-axial", limited(inward_mm=deepest - MICROMETRE))
    assert found.severity is E
    assert "6 other things reach past it too" in found.message  # three standoffs and four rail screws; one is named


@pytest.mark.parametrize(
    ("gap_mm", "expected"),
    [
        (GAP, []),
        (GAP - MICROMETRE, [W]),
        (GAP - 1.0, [W]),  # the last gear just touches its flange
        (GAP - 1.0 - MICROMETRE, [E]),
    ],
)
def test_the_gap_holds_what_runs_in_it(gap_mm: float, expected: list[Severity]) -> None:
    subject = fair(plates__gap=f"{gap_mm:.6f} mm")
    assert severities("gap-room", subject) == expected
    if expected:
        finding = one("gap-room", subject)
        assert finding.limit == pytest.approx(GAP)
        assert finding.remedy is not None
        assert finding.remedy.set == (("plates.gap", "31.6 mm"),)


@pytest.mark.parametrize(("gap_mm", "expected"), [(1.0, []), (1.0 - MICROMETRE, [W]), (0.1, [W]), (0.0, [E])])
def test_the_wheel_runs_beside_the_rail(gap_mm: float, expected: list[Severity]) -> None:
    for rail in (None, False):
        changes = {} if rail is None else {"rail": rail}
        assert severities("gap-room", fair(wheel__gap=f"{gap_mm:.6f} mm", **changes)) == expected


def with_shaft(length_mm: float) -> Subject:
    subject = fair_unchanged()
    first, *others = subject.layout_spec.motors
    short = replace(first, motor=replace(first.motor, shaft_length_mm=length_mm))
    return replace(subject, layout_spec=replace(subject.layout_spec, motors=(short, *others)))


REACH = 6 + 1.5748 + 1.0 + 12.7  # plate, flange, clearance, face


@pytest.mark.parametrize(
    ("length_mm", "expected"),
    [
        (REACH - 1.27, []),  # nine tenths of the face
        (REACH - 1.27 - MICROMETRE, [W]),
        (REACH - 6.35, [W]),  # half of the face
        (REACH - 6.35 - MICROMETRE, [E]),
        (3.0, [E]),
    ],
)
def test_a_motors_shaft_reaches_through_its_pinion(length_mm: float, expected: list[Severity]) -> None:
    assert severities("shaft-reach", with_shaft(length_mm)) == expected


@pytest.mark.parametrize(
    ("over_mm", "expected"), [(3.0, []), (3.0 - MICROMETRE, [W]), (MICROMETRE, [W]), (0.0, [E]), (-1.0, [E])]
)
def test_nothing_hangs_to_the_floor(over_mm: float, expected: list[Severity]) -> None:
    """The output gear's tips reach 62 x 1.27 / 2 = 39.37 mm below the axle; the rail, 25.4 mm, stays clear."""
    subject = fair_unchanged()
    wheel = replace(subject.layout_spec.wheel, diameter_mm=2.0 * (39.37 + over_mm))
    found = run("ground", replace(subject, layout_spec=replace(subject.layout_spec, wheel=wheel))).findings
    assert [one.severity for one in found] == expected
    assert all("output 60T" in one.message for one in found)


def test_a_rail_that_hangs_lower_than_the_wheel() -> None:
    subject = fair_unchanged()
    rail = subject.layout_spec.rail
    assert rail is not None
    low = replace(subject.layout_spec, rail=replace(rail, axle_from_bottom_mm=50.8))
    assert "the rail" in one("ground", replace(subject, layout_spec=low)).message


@pytest.mark.parametrize(("tip_mm", "expected"), [(20.2, []), (20.2 + MICROMETRE, [W])])
def test_a_pinion_passes_its_pilot(tip_mm: float, expected: list[Severity]) -> None:
    """A 20 mm pilot with 0.2 mm of play."""
    pinion = {"teeth": 12, "shift": 0.5, "tip_diameter": f"{tip_mm:.6f} mm"}
    motors = [{"type": "generic-a", "pinion": pinion}, {"type": "generic-a", "pinion": 12}]
    assert severities("motor-service", fair(motors=motors)) == expected


def test_a_screw_without_an_access_hole_is_told_with_what_blocks_it() -> None:
    finding = one("motor-service", subject_of(job_of(BAD / "motor-service-screw.toml")))
    assert "M1-screw-1 is behind the inboard plate" in finding.message
    # Without its access holes the inboard plate bars both of M2's; those of M1 are reached beside it.
    subject = fair_pinned()
    outboard, inboard = subject.plates
    bare = replace(inboard, features=tuple(one for one in inboard.features if one.kind.value != "access"))
    found = run("motor-service", replace(subject, plates=(outboard, bare))).findings
    assert [(one.where.shafts, one.measured) for one in found] == [(("M2",), 2.0)]


def test_a_gear_before_a_screw_is_named() -> None:
    turned = [{"type": "generic-a", "pinion": 12, "clocking": 225}, {"type": "generic-a", "pinion": 12}]
    found = run("motor-service", fair(motors=turned)).findings
    assert len(found) == 1
    assert "the gear S1 72T" in found[0].message
    assert found[0].remedy is not None
    assert dict(found[0].remedy.set).keys() == {"motors.M1.clocking"}


@pytest.mark.parametrize("away_mm", [MICROMETRE, -MICROMETRE])
def test_the_axle_slides_out_past_what_stands_beyond_it(away_mm: float) -> None:
    """The 1/2 in hexagon turns in 14.6647 mm."""
    at = 0.5 * 12.7 * 2 / 3**0.5 + 5.0 + away_mm
    keep = [{"name": "bumper", "disc": {"at": [f"{at:.9f} mm", 0], "diameter": 10}, "z": [90, 100]}]
    assert severities("axle-service", fair(keep_outs=keep)) == ([] if away_mm > 0 else [W])


@pytest.mark.parametrize(
    ("pinion", "says", "setting"),
    [
        (14, "1.390 mm wider than the pilot's hole (20.200 mm)", 12),
        (24, "12 teeth of module 1.27 would pass, or a motor with a pilot of 32.820 mm.", 12),
    ],
)
def test_a_pinion_that_does_not_pass_is_told_what_would(pinion: int, says: str, setting: int) -> None:
    """12 bought teeth are cut half a tooth long: (12 + 2 + 1) x 1.27 = 19.05 mm; 13 come to 20.32 mm."""
    motors = [{"type": "generic-a", "pinion": pinion}, {"type": "generic-a", "pinion": 12}]
    finding = one("motor-service", fair(motors=motors))
    assert says in finding.message
    assert finding.remedy is not None
    assert dict(finding.remedy.set)["motors.M1.pinion.teeth"] == setting


def test_where_no_count_passes_finer_teeth_are_named() -> None:
    """A hole of 14 mm takes 13 modules at the most: 1.07 mm, not 1.27."""
    subject = fair_unchanged()
    outboard, inboard = subject.plates
    narrow = replace(
        outboard,
        features=tuple(
            replace(one, part_diameter_mm=13.8) if one.id == "M1-pilot" else one for one in outboard.features
        ),
    )
    finding = one("motor-service", replace(subject, plates=(narrow, inboard)))
    assert "No pinion of module 1.27 with 10 teeth would pass, one of module 1.07 would" in finding.message
    assert finding.remedy is not None
    assert finding.remedy.set == ()


@pytest.mark.parametrize(
    ("gap_mm", "says"),
    [(GAP - 1.0 - MICROMETRE, "0.001 mm in S1 inboard bearing flange"), (20.0, "8.975 mm in the inboard plate")],
)
def test_a_gear_in_a_plate_is_told_as_that(gap_mm: float, says: str) -> None:
    """The gears want GAP - 2.5748 mm from the outboard plate on: in a gap of 20 mm they reach 8.975 mm too far."""
    finding = one("gap-room", fair(plates__gap=f"{gap_mm:.6f} mm"))
    assert finding.severity is E
    assert says in finding.message
