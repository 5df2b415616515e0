"""Every two kinds of bodies: which check tells them, and which may meet, with why; and pairs that names could hide."""

from __future__ import annotations

import itertools
from dataclasses import replace

import pytest

from gearplate.checks.rules import ALL_RULES
from gearplate.checks.subject import Subject
from gearplate.finding import Severity
from gearplate.layout.clearance import may_meet, overlap_along_z, requirement
from gearplate.layout.design import Body, BodyKind
from tests.builders.specs import drive_spec
from tests.builders.subjects import fair, fair_unchanged, run, severities

W, E = Severity.WARNING, Severity.ERROR
MICROMETRE = 0.001
SPEC = drive_spec()
K = BodyKind

# Two kinds that no pair of bodies is compared for, and what looks after them instead.
FREE = {
    frozenset((K.WHEEL, K.RAIL)): "gap-room: they pass each other along the axle",
    frozenset((K.RAIL, K.RAIL_TUBE)): "the tube stands on it",
    frozenset((K.KEEP_OUT,)): "the user's own",
    frozenset((K.KEEP_OUT, K.RAIL)): "the user's own beside the frame",
    frozenset((K.KEEP_OUT, K.WHEEL)): "the user's own beside the frame",
}
# What is in a plate, or stands on one, is told by rules of its own.
OF_PLATES = "through-plate, on-plate, gap-room"


def body(kind: BodyKind, name: str = "", x: float = 0.0, **more: object) -> Body:
    return replace(Body(name or kind.value, kind, None, x, 0.0, 5.0, 0.0, 5.0), **more)  # type: ignore[arg-type]


@pytest.mark.parametrize(("one", "other"), [*itertools.combinations_with_replacement(BodyKind, 2)])
def test_every_two_kinds_are_compared_or_free_for_a_reason(one: BodyKind, other: BodyKind) -> None:
    need = requirement(body(one), body(other), SPEC)
    assert need == requirement(body(other), body(one), SPEC)
    kinds = frozenset((one, other))
    if K.PLATE in kinds and K.KEEP_OUT not in kinds:
        assert need is None, OF_PLATES
        return
    if kinds in FREE:
        assert need is None, FREE[kinds]
        return
    assert need is not None
    assert need.check in {rule.code for rule in ALL_RULES}
    assert need.gap_mm >= 0.0
    hard = K.KEEP_OUT in kinds or (K.WHEEL in kinds and kinds != {K.WHEEL}) or need.check == "rail-face"
    assert need.hard == hard


def test_only_gears_are_mates() -> None:
    mates = {frozenset(("M1 12T", "S1 72T"))}
    assert may_meet(body(K.GEAR, "M1 12T"), body(K.GEAR, "S1 72T", 9.0), mates)
    assert not may_meet(body(K.GEAR, "M1 12T"), body(K.KEEP_OUT, "S1 72T", 9.0), mates)


def test_a_pinion_keeps_its_axial_clearance_to_its_own_motors_heads() -> None:
    pinion = body(K.GEAR, "M1 12T", shaft="M1", z0_mm=0.0, z1_mm=10.0)
    head = body(K.SCREW_HEAD, "M1 screw 1 head", 24.0, shaft="M1", group="M1", z0_mm=10.5, z1_mm=15.0)
    assert overlap_along_z(pinion, head, SPEC)
    assert not overlap_along_z(pinion, replace(head, z0_mm=11.0), SPEC)
    assert not overlap_along_z(pinion, body(K.SHAFT, shaft="M1", z0_mm=10.5, z1_mm=15.0), SPEC)  # on its own axis


@pytest.mark.parametrize(
    ("apart_mm", "expected"),
    [(101.6 + 3.0, []), (101.6 + 3.0 - MICROMETRE, [W]), (101.6 + MICROMETRE, [W]), (101.6 - MICROMETRE, [E])],
)
def test_wheels_of_one_side(apart_mm: float, expected: list[Severity]) -> None:
    subject = fair(wheel__neighbours=[f"{apart_mm:.6f} mm", "-300 mm"])
    assert severities("wheel-to-wheel", subject) == expected
    assert run("wheel-to-wheel", subject).compared == 3
    assert run("wheel-to-wheel", fair_unchanged()).compared == 0


def with_axle(radius_mm: float) -> Subject:
    subject = fair_unchanged()
    bodies = tuple(
        replace(one, radius_mm=radius_mm) if one.kind is K.SHAFT and one.shaft == "output" else one
        for one in subject.layout.bodies
    )
    return replace(subject, layout=replace(subject.layout, bodies=bodies))


@pytest.mark.parametrize(
    ("room_mm", "expected"), [(0.5, []), (0.5 - MICROMETRE, [W]), (MICROMETRE, [W]), (-MICROMETRE, [E])]
)
def test_the_axle_turns_in_the_rails_hole(room_mm: float, expected: list[Severity]) -> None:
    rail = fair_unchanged().layout_spec.rail
    assert rail is not None
    subject = with_axle(0.5 * rail.axle_hole_mm - room_mm)
    found = run("rail-face", subject).findings
    assert [one.severity for one in found] == expected
    for one in found:
        assert one.remedy is not None
        assert [key for key, _ in one.remedy.set] == ["rail.axle_hole"]
