"""Motors at the ends of their slots: at the limit, a micrometre under and over."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest

from gearplate.build import make
from gearplate.checks.subject import Subject
from gearplate.finding import Severity
from gearplate.gears.mesh import mesh
from gearplate.job.load import load_job_text
from gearplate.layout.design import BodyKind as K
from tests.builders.drives import drive_text
from tests.builders.subjects import fair, fair_unchanged, run

W, NOTE = Severity.WARNING, Severity.NOTE
MICROMETRE = 0.001


def slotted(travel_mm: float, count: int = 1, **changes: object) -> Subject:
    """The fair drive with the first motors in slots."""
    motor: dict[str, object] = {"type": "generic-a", "pinion": 12}
    motors = [motor | {"slots": f"{travel_mm:.9f} mm"} if index < count else motor for index in range(2)]
    return fair(motors=motors, **changes)


def told(subject: Subject) -> list[Severity]:
    """Without the notes on teeth."""
    return [one.severity for one in run("slot-travel", subject).findings if one.severity is not NOTE]


def test_without_slots_nothing_is_compared() -> None:
    assert run("slot-travel", fair_unchanged()).compared == 0


@pytest.mark.parametrize(("over_mm", "expected"), [(MICROMETRE, []), (0.0, []), (-MICROMETRE, [W])])
def test_a_keep_out_beyond_the_far_end(over_mm: float, expected: list[Severity]) -> None:
    """M1 stands at 45 degrees about S1: half a millimetre out it stands 0.354 mm farther forward, its body 32 mm."""
    edge = fair_unchanged().layout.shaft("M1").x_mm + 32.0
    at = edge + 0.5 * math.sqrt(0.5) + over_mm
    keep = [{"name": "hose", "box": [f"{at:.9f} mm", "60 mm", "90 mm", "130 mm"], "z": ["20 mm", "60 mm"]}]
    subject = slotted(0.5, keep_outs=keep)
    assert run("keep-out", subject).findings == ()
    assert told(subject) == expected


def test_the_remedy_is_the_travel_that_still_clears() -> None:
    edge = fair_unchanged().layout.shaft("M1").x_mm + 32.0
    keep = [{"name": "hose", "box": [f"{edge + 0.2:.9f} mm", "60 mm", "90 mm", "130 mm"], "z": ["20 mm", "60 mm"]}]
    finding = run("slot-travel", slotted(0.5, keep_outs=keep)).findings[0]
    assert finding.remedy is not None
    assert finding.remedy.set == (("motors.M1.slots", "0.28 mm"),)  # 0.2 sqrt(2) = 0.2828
    assert told(slotted(0.28, keep_outs=keep)) == []
    assert told(slotted(0.29, keep_outs=keep)) == [W]


def test_toward_its_gear_a_motor_goes_as_far_as_the_teeth_let_it() -> None:
    """What stands inward of it, farther than the 0.05 mm of added centre distance, is in nobody's way."""
    place = fair_unchanged().layout.shaft("M1")
    inward = place.x_mm - math.sqrt(0.5) * 32.0, place.y_mm - math.sqrt(0.5) * 32.0
    for gap, expected in ((0.05 + MICROMETRE, []), (0.05 - MICROMETRE, [W])):
        x, y = (one - math.sqrt(0.5) * (gap + 1.0) for one in inward)
        keep = [{"name": "clip", "disc": {"at": [f"{x:.9f} mm", f"{y:.9f} mm"], "diameter": "2 mm"}, "z": [20, 60]}]
        assert told(slotted(0.5, keep_outs=keep)) == expected


def test_usual_gaps_are_for_where_a_motor_runs_not_for_where_it_can_be_set() -> None:
    """The usual half millimetre, and 3 mm to the wheel unless the job sets it, are no limit at the ends."""
    subject = slotted(0.4, count=2)
    for name, kind in (("M2", K.MOTOR), ("wheel", K.WHEEL)):
        pairs = [
            pair
            for check in ("motor-to-motor", "motor-to-wheel")
            for pair in subject.pairs[check]
            if {pair.a.name, pair.b.name} == {"M1", name}
        ]
        grown = pairs[0].gap_mm - pairs[0].need.gap_mm
        bodies = tuple(
            replace(one, radius_mm=one.radius_mm + grown) if one.kind is kind and one.name == name else one
            for one in subject.layout.bodies
        )
        assert told(replace(subject, layout=replace(subject.layout, bodies=bodies))) == [], name


def test_two_motors_in_slots_are_compared_end_to_end() -> None:
    """Two on one gear stand farther apart the farther out they are: nothing is told, and more is compared."""
    one, both = run("slot-travel", slotted(0.4)), run("slot-travel", slotted(0.4, count=2))
    assert one.findings == both.findings == ()
    assert both.compared > 2 * one.compared


@pytest.mark.parametrize(("over_mm", "expected"), [(MICROMETRE, []), (-MICROMETRE, [W])])
def test_two_motors_that_travel_toward_each_other(over_mm: float, expected: list[Severity]) -> None:
    """M2's body made so large that their travel is just left between them."""
    subject = slotted(0.4, count=2)
    pair = subject.pairs["motor-to-motor"][0]
    # the far ends of M1 (45 degrees) and M2 (135 degrees) lie 2 x 0.4 cos 45 farther apart; the near ones, 0.05 inward
    nearest = pair.gap_mm - 2.0 * 0.05 * math.sqrt(0.5)
    grown = nearest - over_mm
    bodies = tuple(
        replace(one, radius_mm=one.radius_mm + grown) if one.kind is K.MOTOR and one.name == "M2" else one
        for one in subject.layout.bodies
    )
    larger = replace(subject, layout=replace(subject.layout, bodies=bodies))
    found = [
        one
        for one in run("slot-travel", larger).findings
        if "M1 (motor) and M2" in one.message.replace("M2 (motor) and M1", "M1 (motor) and M2")
    ]
    assert [one.severity for one in found] == expected


@pytest.mark.parametrize(("over_mm", "expected"), [(MICROMETRE, []), (-MICROMETRE, [W])])
def test_a_motor_that_sinks_to_the_floor(over_mm: float, expected: list[Severity]) -> None:
    """M1 below S1, its body made so large that it just clears the floor at the far end."""
    subject = slotted(0.4, places__M1={"angle": -45})
    place = subject.layout.shaft("M1")
    floor = -0.5 * subject.layout_spec.wheel.diameter_mm
    radius = place.y_mm - 0.4 * math.sqrt(0.5) - floor - over_mm
    bodies = tuple(
        replace(one, radius_mm=radius) if one.kind is K.MOTOR and one.name == "M1" else one
        for one in subject.layout.bodies
    )
    found = run("slot-travel", replace(subject, layout=replace(subject.layout, bodies=bodies))).findings
    assert [one.severity for one in found if "in the floor" in one.message] == expected


@pytest.mark.parametrize(("over_mm", "expected"), [(MICROMETRE, []), (-MICROMETRE, [W])])
def test_a_limit_that_only_the_far_end_breaks(over_mm: float, expected: list[Severity]) -> None:
    """Both motors stand as high; the first one rises by 0.4 cos 45."""
    top = fair_unchanged().layout.shaft("M1").y_mm + 32.0 + 0.4 * math.sqrt(0.5)
    subject = slotted(0.4, limits={"up": f"{top + over_mm:.9f} mm"})
    assert run("limits-plane", subject).findings == ()
    assert told(subject) == expected


def test_teeth_that_part_at_the_far_end_are_a_note() -> None:
    """12 teeth with a shift of 0.5 on 72, at 20 degrees and DP 20: by the mesh alone, where the contact ratio is 1."""
    centre = fair_unchanged().layout.meshes[0].centre_mm

    def contact(travel_mm: float) -> float:
        return mesh(12, 72, diametral_pitch=20, x1=0.5, centre_mm=centre + travel_mm).contact_ratio

    low, high = 0.1, 2.0
    for _ in range(50):
        middle = 0.5 * (low + high)
        low, high = (middle, high) if contact(middle) >= 1.0 else (low, middle)
    assert run("slot-travel", slotted(low - MICROMETRE)).findings == ()
    found = run("slot-travel", slotted(low + MICROMETRE, count=2)).findings
    assert [(one.severity, one.where.shafts) for one in found] == [(NOTE, ("M1", "M2"))]
    assert found[0].remedy is not None
    value = dict(found[0].remedy.set)["motors.M2.slots"]
    assert float(str(value).split()[0]) == pytest.approx(low, abs=0.01)


@pytest.mark.parametrize("number", [1000, 1068])
def test_the_tool_sets_its_posts_out_of_the_way_of_slots(number: int) -> None:
    """Random drives with slots of 1.5 mm; with the gaps of a motor as drawn alone, washers stood in its way."""
    text = drive_text(number)
    assert "slots = 1.5" in text
    found = make(load_job_text(text, "drive.toml")).findings
    assert [one.message for one in found if one.check == "slot-travel" and one.severity is not NOTE] == []
