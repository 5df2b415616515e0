"""Rules along the shafts, at their limits and a micrometre to either side."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import pytest

from gearplate.catalog.fasteners import Fastener
from gearplate.checks.rules import axial, threads
from gearplate.checks.subject import Subject
from gearplate.finding import Finding, Severity
from gearplate.job.load import load_job
from gearplate.layout.design import GearOnShaft
from gearplate.layout.spec import LayoutSpec, MotorSpec, ShaftSpec
from tests.builders.subjects import fair, fair_unchanged, subject_of

RULES = {rule.code: rule for rule in (*axial.RULES, *threads.RULES)}


def found(code: str, subject: Subject) -> tuple[Finding, ...]:
    return RULES[code].check(subject).findings


def with_spec(change: Callable[[LayoutSpec], LayoutSpec]) -> Subject:
    """The fair drive as laid out, with another spec on top: nothing else moves."""
    subject = fair_unchanged()
    return replace(subject, layout_spec=change(subject.layout_spec))


def with_shaft(name: str, **changes: object) -> Subject:
    def change(spec: LayoutSpec) -> LayoutSpec:
        shafts: list[ShaftSpec] = [
            replace(one, **changes) if one.name == name else one  # type: ignore[arg-type]
            for one in spec.shafts
        ]
        return replace(spec, shafts=tuple(shafts))

    return with_spec(change)


def with_motors(change: Callable[[MotorSpec], MotorSpec]) -> Subject:
    return with_spec(lambda spec: replace(spec, motors=tuple(change(motor) for motor in spec.motors)))


@pytest.mark.parametrize(
    ("float_mm", "fires"), [(0.249, True), (0.25, False), (0.5, False), (0.8, False), (0.801, True)]
)
def test_float_from_a_quarter_to_eight_tenths(float_mm: float, fires: bool) -> None:
    findings = found("axial-float", with_shaft("S1", float_mm=float_mm))
    assert [one.severity for one in findings] == [Severity.WARNING] * fires


def test_the_float_that_is_there_counts_and_not_the_wish() -> None:
    """A ring of 0.55 mm leaves 0.45 mm of the millimetre between S1's gears, too little for a spacer: more than the
    0.2 mm that were asked for, and enough. One of 0.9 mm leaves 0.1 mm, so that the ends give the rest of 0.2 mm."""
    held_by = fair_unchanged().layout_spec.shaft("S1").held_by
    assert held_by is not None
    for width, float_mm, fires in ((0.55, 0.45, False), (0.9, 0.2, True)):
        changed = with_shaft("S1", float_mm=0.2, held_by=replace(held_by, width_mm=width))
        assert axial.plan_of(changed).shaft("S1").float_mm == pytest.approx(float_mm)
        assert [one.measured for one in found("axial-float", changed)] == [pytest.approx(float_mm)] * fires


@pytest.mark.parametrize(("float_mm", "severity"), [(2.0, Severity.WARNING), (2.002, Severity.ERROR)])
def test_a_gear_rubs_once_half_the_float_is_all_the_room(float_mm: float, severity: Severity) -> None:
    # each gear has 1 mm to the flange of its own bearing
    assert [one.severity for one in found("axial-float", with_shaft("S1", float_mm=float_mm))] == [severity]


def test_faces_meet_less_by_the_float_of_both_shafts() -> None:
    subject = fair_unchanged()
    mesh = subject.layout.meshes[-1]
    # half-inch faces; 0.25 mm of the output, and of S1 that with half of what a 0.035 in ring leaves of the millimetre
    # between its gears: the other half comes out of the gap at the bearing
    wanted = 12.7 - 0.25 - 0.25 - (1.0 - 0.035 * 25.4) / 2
    assert axial.least_overlap_mm(subject, mesh.driver, mesh.driven) == pytest.approx(wanted)
    pinion = subject.layout.meshes[0]
    assert axial.least_overlap_mm(subject, pinion.driver, pinion.driven) <= 12.7 - 0.25
    assert found("face-overlap", subject) == ()


@pytest.mark.parametrize(
    ("share", "over_mm", "expected"),
    [
        (0.8, 0.001, []),
        (0.8, 0.0, []),
        (0.8, -0.001, [Severity.WARNING]),
        (0.5, 0.001, [Severity.WARNING]),
        (0.5, -0.001, [Severity.ERROR]),
    ],
)
def test_faces_meet_on_four_fifths_or_half_of_the_narrower(
    share: float, over_mm: float, expected: list[Severity]
) -> None:
    """The last pair, half an inch wide, drawn so far apart along its shafts; what float takes off stays as it is."""
    subject = fair_unchanged()
    mesh = subject.layout.meshes[-1]
    overlaps = [axial.least_overlap_mm(subject, mesh.driver, driven) for driven in _either_way(mesh.driven, 2.0)]
    way = 1.0 if overlaps[0] < overlaps[1] else -1.0  # where float and offset add up
    offset = axial.least_overlap_mm(subject, mesh.driver, mesh.driven) - share * 12.7 - over_mm
    driven = _either_way(mesh.driven, way * offset)[0]
    layout = replace(subject.layout, meshes=(*subject.layout.meshes[:-1], replace(mesh, driven=driven)))
    found_here = found("face-overlap", replace(subject, layout=layout))
    assert [one.severity for one in found_here] == expected
    for one in found_here:
        assert one.measured == pytest.approx(share * 12.7 + over_mm)


def _either_way(gear: GearOnShaft, by_mm: float) -> tuple[GearOnShaft, GearOnShaft]:
    """A gear moved outward and inward."""
    return (
        replace(gear, z0_mm=gear.z0_mm + by_mm, z1_mm=gear.z1_mm + by_mm),
        replace(gear, z0_mm=gear.z0_mm - by_mm, z1_mm=gear.z1_mm - by_mm),
    )


def test_a_spacer_may_be_half_a_millimetre_wider_than_the_shoulder() -> None:
    shoulder = 0.7 * 14.6646968 + 0.3 * 28.575  # FR8ZZ-hex: half an inch across flats, 1-1/8 in outside
    assert found("spacer-seat", with_shaft("S1", spacer_diameter_mm=shoulder + 0.5)) == ()
    (over,) = found("spacer-seat", with_shaft("S1", spacer_diameter_mm=shoulder + 0.501))
    assert over.severity is Severity.WARNING
    outer = 0.3 * 14.6646968 + 0.7 * 28.575
    (locks,) = found("spacer-seat", with_shaft("S1", spacer_diameter_mm=outer + 0.001))
    assert locks.severity is Severity.ERROR


def test_a_shaft_without_room_for_its_ring_is_told() -> None:
    subject = fair_unchanged()
    assert found("shaft-held", subject) == ()
    held_by = subject.layout_spec.shaft("S1").held_by
    assert held_by is not None
    # 1 mm is free between the two gears
    assert found("shaft-held", with_shaft("S1", held_by=replace(held_by, width_mm=1.0))) == ()
    (short,) = found("shaft-held", with_shaft("S1", held_by=replace(held_by, width_mm=1.001)))
    assert short.where.shafts == ("S1",)


def barrow(**changes: object) -> Subject:
    """The idler's fixed 8 mm shaft of the shipped barrow, changed in the plan and nowhere else."""
    subject = subject_of(load_job("barrow-idler"))
    shafts = tuple(
        replace(one, **changes) if one.name == "I1" else one  # type: ignore[arg-type]
        for one in subject.layout_spec.shafts
    )
    return replace(subject, layout_spec=replace(subject.layout_spec, shafts=shafts))


def test_a_fixed_shaft_that_nothing_keeps_in_is_told() -> None:
    subject = barrow()
    assert found("shaft-held", subject) == ()
    ring = subject.layout_spec.shaft("I1").held_by
    assert ring is not None
    # between plate and gear lie the flange of the output's bearing and a millimetre; a spacer and half of the float
    room = 0.062 * 25.4 + 1.0
    assert found("shaft-held", barrow(held_by=replace(ring, width_mm=room - 0.75))) == ()
    (short,) = found("shaft-held", barrow(held_by=replace(ring, width_mm=room - 0.749)))
    assert (short.severity, short.where.shafts) == (Severity.NOTE, ("I1",))
    assert short.measured == pytest.approx(room)
    assert short.limit == pytest.approx(room + 0.001)
    (none,) = found("shaft-held", barrow(held_by=None))
    assert "no ring or collar in the table fits round-8mm" in none.message
    assert found("shaft-held", barrow(held_by=None, fit_mm=-0.02)) == ()  # pressed in
    assert len(found("shaft-held", barrow(held_by=None, fit_mm=0.0))) == 1


def _tapped(depth_mm: float, *lengths: float) -> Subject:
    def change(motor: MotorSpec) -> MotorSpec:
        screw: Fastener = replace(motor.screw, lengths_mm=lengths)
        face = replace(motor.motor.face, thread_depth_mm=depth_mm)
        return replace(motor, screw=screw, motor=replace(motor.motor, face=face))

    return with_motors(change)


@pytest.mark.parametrize(
    ("depth", "length", "severity"),
    [
        # M5: washer 1 mm and plate 6 mm leave the length less 7 mm to the thread; 5 mm are wanted, 2.5 mm at least
        (10.0, 12.0, None),
        (10.0, 11.999, Severity.WARNING),
        (10.0, 9.5, Severity.WARNING),
        (10.0, 9.499, Severity.ERROR),
        (5.0, 12.0, None),  # it touches the bottom just not
        (4.999, 12.0, Severity.ERROR),  # the only one on hand: it meets the bottom
        (4.0, 10.0, None),  # half of what is wanted and more, in a hole that is no deeper
    ],
)
def test_thread_of_a_motor_screw(depth: float, length: float, severity: Severity | None) -> None:
    findings = [one for one in found("screw-thread", _tapped(depth, length)) if one.where.shafts]
    assert [one.severity for one in findings] == ([] if severity is None else [severity])


def test_a_screw_that_bottoms_is_told_apart_from_one_that_does_not_hold() -> None:
    bottoms = [one for one in found("screw-thread", _tapped(3.0, 16.0)) if one.where.shafts]
    assert "jams on the bottom" in bottoms[0].message
    assert bottoms[0].measured == pytest.approx(9.0)
    assert bottoms[0].limit == pytest.approx(3.0)


def test_counts() -> None:
    compared = {code: rule.check(fair_unchanged()).compared for code, rule in RULES.items()}
    # two shafts, three meshes; four motor screws, six into three standoffs, four into the rail
    assert compared == {"axial-float": 2, "face-overlap": 3, "spacer-seat": 2, "shaft-held": 2, "screw-thread": 14}


def test_collars_of_the_job_are_named_in_the_remedy() -> None:
    subject = fair(shafts__S1={"held_by": "collar-hex-1/2in"})
    (note,) = found("shaft-held", subject)
    assert note.remedy is not None
    assert note.remedy.set == (("shafts.S1.held_by", None),)


def with_rail_screws(length_mm: float) -> Subject:
    def change(spec: LayoutSpec) -> LayoutSpec:
        assert spec.rail is not None
        return replace(spec, rail=replace(spec.rail, screw=replace(spec.rail.screw, lengths_mm=(length_mm,))))

    return with_spec(change)


def test_a_rail_screw_ends_before_the_far_wall() -> None:
    stack = fair_unchanged().layout.stack
    # head's washer, both plates and the gap lie before the rail's face; the far wall begins at 38.1 - 3.175 mm
    longest = 0.049 * 25.4 + 12 + stack.gap_mm + 38.1 - 3.175
    assert found("screw-thread", with_rail_screws(longest - 0.001)) == ()
    (finding,) = found("screw-thread", with_rail_screws(longest + 0.001))
    assert finding.severity is Severity.ERROR
    assert finding.limit == pytest.approx(38.1 - 3.175)
