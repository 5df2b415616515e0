"""What passes a plate has its hole, what stands on one stands on material: at the limit, a micrometre either way."""

from __future__ import annotations

from dataclasses import replace

import pytest

from gearplate.checks.subject import Subject
from gearplate.finding import Severity
from gearplate.layout.design import Body, HoleKind
from gearplate.layout.spec import Side
from tests.builders.subjects import fair, fair_pinned, one, run, severities

W, E, NOTE = Severity.WARNING, Severity.ERROR, Severity.NOTE
MICROMETRE = 0.001


def with_body(subject: Subject, name: str, **changes: object) -> Subject:
    """The design with one body changed."""
    assert any(body.name == name for body in subject.layout.bodies), name
    bodies = tuple(replace(body, **changes) if body.name == name else body for body in subject.layout.bodies)  # type: ignore[arg-type]
    return replace(subject, layout=replace(subject.layout, bodies=bodies))


def body_of(subject: Subject, name: str) -> Body:
    return next(body for body in subject.layout.bodies if body.name == name)


@pytest.mark.parametrize(
    ("radius_mm", "expected"),
    [
        (4.5, []),  # the hole for M2's 8 mm shaft in the inboard plate is 10 mm wide: half a millimetre all round
        (4.5 - MICROMETRE, []),
        (4.5 + MICROMETRE, [W]),
        (5.0, [W]),
        (5.0 + MICROMETRE, [E]),
    ],
)
def test_a_shaft_turns_in_its_hole(radius_mm: float, expected: list[Severity]) -> None:
    subject = fair_pinned()
    hole = next(one for one in subject.plate(Side.INBOARD).features if one.id == "M2-shaft")
    assert hole.part_diameter_mm == pytest.approx(10.0)
    assert severities("through-plate", with_body(subject, "M2 shaft", radius_mm=radius_mm)) == expected


def test_a_shaft_that_reaches_a_plate_without_a_hole_is_told() -> None:
    subject = fair_pinned()
    outboard, inboard = subject.plates
    bare = replace(inboard, features=tuple(one for one in inboard.features if one.id != "M2-shaft"))
    finding = one("through-plate", replace(subject, plates=(outboard, bare)))
    assert finding.severity is E
    assert finding.message == "M2 shaft (motor shaft) runs into the inboard plate, which has no hole there."
    assert (finding.where.plate, finding.where.shafts) == ("inboard", ("M2",))


@pytest.mark.parametrize(("short_mm", "expected"), [(0.0, []), (MICROMETRE, [E])])
def test_a_shaft_ends_before_the_plate_or_in_it(short_mm: float, expected: list[Severity]) -> None:
    subject = fair_pinned()
    low = subject.layout.stack.inboard[1]
    outboard, inboard = subject.plates
    bare = replace(inboard, features=tuple(one for one in inboard.features if one.id != "M2-shaft"))
    ended = with_body(replace(subject, plates=(outboard, bare)), "M2 shaft", z0_mm=low - short_mm)
    assert severities("through-plate", ended) == expected


@pytest.mark.parametrize(("radius_mm", "expected"), [(10.1, []), (10.1 + MICROMETRE, [E]), (9.0, [])])
def test_a_boss_goes_into_its_pilot(radius_mm: float, expected: list[Severity]) -> None:
    """The hole for a 20 mm boss has 0.2 mm of play."""
    assert severities("through-plate", with_body(fair_pinned(), "M1 pilot boss", radius_mm=radius_mm)) == expected


def test_a_fixed_shaft_has_its_own_fit() -> None:
    subject = fair(shafts__S1={"stock": "round-12mm", "turns": False, "fit": "-0.02 mm"})
    outcome = run("through-plate", subject)
    assert outcome.findings == ()
    assert outcome.compared == run("through-plate", fair_pinned()).compared


@pytest.mark.parametrize("offset_mm", [MICROMETRE, 0.0, -MICROMETRE])
def test_a_post_stands_inside_the_edge(offset_mm: float) -> None:
    """The outline passes 2.75 + 6 mm from the middle of a standoff at the plates' corner."""
    subject = fair_pinned()
    screw = subject.layout_spec.standoffs.screw.normal_mm
    reach = 0.5 * screw + subject.plate_spec.margin_mm
    found = severities("on-plate", with_body(subject, "standoff-1", radius_mm=reach - offset_mm))
    assert found == ([W] if offset_mm < 0 else [])


@pytest.mark.parametrize("offset_mm", [MICROMETRE, 0.0, -MICROMETRE])
@pytest.mark.parametrize("form", ["circle", "window"])
def test_a_post_stands_beside_a_hole(form: str, offset_mm: float) -> None:
    """A hole of 4 mm, or a square of 4 mm, beside a standoff of half an inch, whose foot is made to reach it."""
    subject = fair_pinned()
    post = body_of(subject, "standoff-1")
    inboard = subject.plate(Side.INBOARD)
    own = next(feature for feature in inboard.features if feature.id == "standoff-1")
    x, y = post.x_mm, post.y_mm - post.radius_mm - 2.0 - offset_mm
    if form == "circle":
        hole = replace(own, id="own", kind=HoleKind.OWN, y_mm=y, part_diameter_mm=4.0, seat="free", loaded=False)
    else:
        from gearplate.geometry.shapes import Path

        square = Path(((x - 2, y - 2, 0.0), (x + 2, y - 2, 0.0), (x + 2, y + 2, 0.0), (x - 2, y + 2, 0.0)))
        hole = replace(own, id="own", kind=HoleKind.OWN, form="window", y_mm=y, path=square, seat="free", loaded=False)
    plates = tuple(replace(p, features=(*p.features, hole)) if p is inboard else p for p in subject.plates)
    finding = run("on-plate", replace(subject, plates=(plates[0], plates[1]))).findings
    # the washer of its screw on the plate's other face is as wide
    assert [f.severity for f in finding] == ([W, W] if offset_mm < 0 else [])
    if finding:
        assert "the washer of standoff-1 inboard stands 0.001 mm" in finding[1].message
        assert "standoff-1 stands 0.001 mm over own in the inboard plate, on nothing." in finding[0].message
        assert set(finding[0].where.features) == {"standoff-1", "own"}


def test_a_head_that_falls_through_its_hole_is_an_error() -> None:
    subject = fair_pinned()
    washer = body_of(subject, "M1 screw 1 washer")
    width = subject.layout_spec.motors[0].screw.normal_mm
    assert severities("on-plate", with_body(subject, washer.name, radius_mm=0.5 * width + MICROMETRE)) == []
    assert severities("on-plate", with_body(subject, washer.name, radius_mm=0.5 * width - MICROMETRE)) == [E]


@pytest.mark.parametrize(("radius_mm", "expected"), [(13.9, []), (13.9 + MICROMETRE, [NOTE])])
def test_a_washer_over_its_own_motors_pilot_is_a_note(radius_mm: float, expected: list[Severity]) -> None:
    """The screw stands 24 mm from the middle, and the pilot's hole is 20.2 mm wide: 13.9 mm are between."""
    guarded = fair(plates__cover_gears=True, plates__margin=12)  # so that the washer stays inside the edge
    assert severities("on-plate", with_body(guarded, "M2 screw 1 washer", radius_mm=radius_mm)) == expected


def test_a_washer_on_a_slot_stands_at_both_its_ends() -> None:
    whole, slotted = (run("on-plate", fair(motors=[motor] * 2)).compared for motor in MOTORS)
    assert slotted == whole + 4


MOTORS: tuple[dict[str, object], ...] = (
    {"type": "generic-a", "pinion": 12},
    {"type": "generic-a", "pinion": 12, "slots": 1},
)


def test_a_foot_over_what_its_own_hole_runs_into_is_left_to_the_web() -> None:
    """A rail screw inside the output's bore: web and rail tell it; its tube and washers stand on nothing of course."""
    subject = fair(rail__holes=[["16 mm", 0], ["-60 mm", 0]])
    assert run("on-plate", subject).findings == ()
    assert E in severities("web", subject)
    beside = fair(holes=[{"name": "cable", "plate": "outboard", "at": [45, 3], "diameter": 8}], clearances__web=1)
    finding = one("on-plate", beside)
    assert "the spacer tube of rail-2 stands 0.650 mm over cable in the outboard plate" in finding.message
