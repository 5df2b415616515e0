"""Bodies at the limit of their gaps, a micrometre under and over: as a body grows, its gaps shrink."""

from __future__ import annotations

from dataclasses import replace

import pytest

from gearplate.checks.apart import hardware_words, thing
from gearplate.checks.subject import Subject
from gearplate.finding import Severity, Standing
from gearplate.layout.clearance import Pair
from gearplate.layout.design import BodyKind
from tests.builders.subjects import ASTRIDE, BAD, fair, fair_unchanged, job_of, one, run, severities, subject_of

MICROMETRE = 0.001
W, E = Severity.WARNING, Severity.ERROR

# Where each check has something to compare, and what it wants: mm and whether less is an error at once.
PRACTICE = {
    "gear-to-gear": ("fair", 1.0),
    "gear-to-shaft": ("fair", 1.0),
    "gear-to-rail": ("astride", 1.0),
    "gear-to-body": ("gear-to-body", 1.0),
    "motor-to-motor": ("fair", 0.5),
    "motor-to-rail": ("fair", 0.5),
    "standoff-clearance": ("fair", None),
    "hardware-clearance": ("fair", None),
}
OF_THE_JOB = {"motor-to-wheel": ("fair", 3.0), "rail-face": ("rail-face", 0.0)}


def subject(name: str) -> Subject:
    if name == "fair":
        return fair_unchanged()
    return subject_of(job_of(ASTRIDE if name == "astride" else BAD / f"{name}.toml"))


def tightest(subject: Subject, code: str) -> Pair:
    """The pair of a check with the least room to spare, which really overlaps along z."""
    pairs = [pair for pair in subject.pairs[code] if min(pair.a.z1_mm, pair.b.z1_mm) > max(pair.a.z0_mm, pair.b.z0_mm)]
    return min(pairs, key=lambda pair: pair.gap_mm - pair.need.gap_mm)


def with_gap(subject: Subject, pair: Pair, gap_mm: float) -> Subject:
    """The design with one body of the pair made so large that this gap is left."""
    grown = pair.a if pair.a.box is None else pair.b
    larger = replace(grown, radius_mm=grown.radius_mm + pair.gap_mm - gap_mm)
    bodies = tuple(larger if body is grown else body for body in subject.layout.bodies)
    return replace(subject, layout=replace(subject.layout, bodies=bodies))


def told(code: str, subject: Subject, pair: Pair) -> list[Severity]:
    """What the check says of these two things."""
    from gearplate.checks.apart import worst

    wanted = {thing(pair.a), thing(pair.b)}
    found = worst(subject.pairs[code], subject.layout_spec.clearances.axial_mm)
    return [finding.severity for other, finding in found if {thing(other.a), thing(other.b)} == wanted]


@pytest.mark.parametrize("code", PRACTICE)
def test_less_than_practice_warns_and_touching_is_an_error(code: str) -> None:
    name, least = PRACTICE[code]
    design = subject(name)
    pair = tightest(design, code)
    limit = pair.need.gap_mm
    assert pair.need.standing is Standing.COMMON_PRACTICE
    assert limit == least if least is not None else limit in (0.5, 1.0, 3.0)
    for gap, expected in (
        (limit + MICROMETRE, []),
        (limit, []),
        (limit - MICROMETRE, [W]),
        (MICROMETRE, [W]),
        (-MICROMETRE, [E]),
    ):
        assert told(code, with_gap(design, pair, gap), pair) == expected, gap


@pytest.mark.parametrize("code", OF_THE_JOB)
def test_less_than_the_job_says_is_an_error(code: str) -> None:
    name, least = OF_THE_JOB[code]
    design = subject(name)
    pair = tightest(design, code)
    assert pair.need.gap_mm == least
    for gap, expected in ((least + MICROMETRE, []), (least, []), (least - MICROMETRE, [E])):
        assert told(code, with_gap(design, pair, gap), pair) == expected, gap


def test_bodies_one_behind_the_other_along_the_axis_warn_by_their_distance_along_it() -> None:
    design = fair_unchanged()
    gear = next(body for body in design.layout.bodies if body.kind is BodyKind.GEAR and body.name == "S1 72T")
    head = next(body for body in design.layout.bodies if body.name == "M1 screw 1 head")
    for room, expected in (
        (1.0 + MICROMETRE, []),
        (1.0 - MICROMETRE, [W]),
        (MICROMETRE, [W]),
        (-MICROMETRE, [E]),
    ):
        over = replace(
            head, x_mm=gear.x_mm + 30.0, y_mm=gear.y_mm, z0_mm=gear.z1_mm + room, z1_mm=gear.z1_mm + room + 2
        )
        bodies = tuple(over if body is head else body for body in design.layout.bodies)
        moved = replace(design, layout=replace(design.layout, bodies=bodies))
        found = [one for one in run("hardware-clearance", moved).findings if "S1 72T" in one.message]
        assert [one.severity for one in found] == expected
        if expected == [W]:
            assert found[0].measured == pytest.approx(room, abs=1e-9)
            assert found[0].limit == 1.0


def test_head_and_washer_of_one_screw_are_told_once() -> None:
    wrong = subject_of(job_of(BAD / "hardware-clearance.toml"))
    finding = one("hardware-clearance", wrong)
    assert finding.message.startswith("standoff-2 outboard washer")


def test_a_standoffs_washer_under_a_round_motor_is_no_matter_of_clocking() -> None:
    """The motor is as wide whichever way it is turned."""
    finding = one("hardware-clearance", subject_of(job_of(BAD / "hardware-clearance.toml")))
    words = (finding.remedy, *finding.alternatives)[-1]
    assert words is not None
    assert words.set == ()
    assert words.text == (
        "Set the standoff elsewhere (standoffs.places), take fewer of them (standoffs.count), or place M1 elsewhere."
    )


def test_words_speak_of_what_stands_there_alone() -> None:
    pairs = fair_unchanged().pairs["hardware-clearance"]
    for pair in pairs:
        names = f"{pair.a.name} and {pair.b.name}"
        words = hardware_words(pair)
        assert ("clocking" in words) == (" screw " in names), names
        assert ("standoffs.places" in words) == ("standoff" in names), names
        assert ("rail.holes" in words) == ("rail-" in names), names
    square = next(pair for pair in pairs if "standoff" in pair.a.name and pair.b.kind is BodyKind.MOTOR)
    square = replace(square, b=replace(square.b, core_mm=5.0, angle_rad=0.0))
    assert hardware_words(square).startswith("Turn the motor (clocking), set the standoff")


def test_a_hexagon_counts_by_its_corners() -> None:
    """A 1/2 in hexagon turns in 12.7 x 2 / sqrt(3) = 14.664 mm (geometry)."""
    design = fair_unchanged()
    shafts = [body for body in design.layout.bodies if body.kind is BodyKind.SHAFT]
    assert {round(2 * body.radius_mm, 3) for body in shafts} == {14.665}
    wrong = replace(
        design,
        layout=replace(
            design.layout,
            bodies=tuple(
                replace(body, radius_mm=58.47 - 14.6647 / 2 + 1e-3) if body.name == "S1 72T" else body
                for body in design.layout.bodies
                if body.kind not in (BodyKind.SPACER, BodyKind.MOTOR_SHAFT)
            ),
        ),
    )
    finding = one("gear-to-shaft", wrong)
    assert finding.severity is E
    assert "across its corners" in finding.message


def test_a_keep_out_inside_the_outline_is_found_although_no_hole_is_near() -> None:
    wrong = subject_of(job_of(BAD / "keep-out.toml"))
    finding = one("keep-out", wrong)
    assert finding.where.plate == "outboard"
    assert finding.measured is not None
    # It just touches where its radius is its distance from the outline.
    keep = next(body for body in wrong.layout.bodies if body.kind is BodyKind.KEEP_OUT)
    far = replace(keep, x_mm=keep.x_mm + 200.0)
    from gearplate.geometry.nearest import signed_distance

    edge = signed_distance(wrong.plates[0].outline, far.x_mm, far.y_mm)
    for radius, expected in ((edge - MICROMETRE, []), (edge, []), (edge + MICROMETRE, [E])):
        bodies = tuple(replace(far, radius_mm=radius) if body is keep else body for body in wrong.layout.bodies)
        assert severities("keep-out", replace(wrong, layout=replace(wrong.layout, bodies=bodies))) == expected


@pytest.mark.parametrize(
    ("box", "expected"),
    [
        ((20.0, 28.0, 26.0, 34.0), [E]),  # wholly inside the plate
        ((-500.0, -500.0, 500.0, 500.0), [E]),  # the plate wholly inside it
        ((40.0, 58.0, 300.0, 62.0), [E]),  # across its edge
        ((100.0, 0.0, 120.0, 20.0), []),  # beside it
    ],
)
def test_a_box_to_keep_out_of(box: tuple[float, float, float, float], expected: list[Severity]) -> None:
    wrong = subject_of(job_of(BAD / "keep-out.toml"))
    keep = next(body for body in wrong.layout.bodies if body.kind is BodyKind.KEEP_OUT)
    x0, y0, x1, y1 = box
    boxed = replace(keep, radius_mm=0.0, box=box, x_mm=0.5 * (x0 + x1), y_mm=0.5 * (y0 + y1), z0_mm=-4.0, z1_mm=-3.0)
    # Nothing else stands at that height but bearings and pilots, which are no plates.
    bodies = tuple(
        boxed if body is keep else body
        for body in wrong.layout.bodies
        if body is keep or body.z1_mm < -4 or body.z0_mm > -3
    )
    found = [
        one.severity
        for one in run("keep-out", replace(wrong, layout=replace(wrong.layout, bodies=bodies))).findings
        if one.where.plate == "outboard"
    ]
    assert found == expected


def test_a_relief_comes_last_where_it_would_be_a_notch_past_the_rails_face() -> None:
    """The rail's face is at y = 25.4 mm and its wall 3.175 mm thick: a washer of 12.7 mm at y = 30 stands past both."""
    over_the_face = one("rail-face", fair(standoffs={"places": [[0, 30], [60, 50], [-60, 50]]}))
    assert over_the_face.remedy is not None
    first, *others, last = (over_the_face.remedy, *over_the_face.alternatives)
    assert first.set[0][0] == "standoffs.places"
    assert last.set[0][0] == "rail.reliefs"
    assert all(other.set[0][0] != "rail.reliefs" for other in others)
    on_the_wall = one("rail-face", fair(standoffs={"places": [[70, 0], [60, 50], [-60, 50]]}))
    assert on_the_wall.remedy is not None
    assert on_the_wall.remedy.set[0][0] == "rail.reliefs"
