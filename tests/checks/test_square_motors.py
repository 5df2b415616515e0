"""Square motors are judged as they are turned, not by the circle through their corners."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest

from gearplate.build import make
from gearplate.checks.subject import Subject
from gearplate.finding import Severity
from gearplate.job.load import load_job_text
from gearplate.layout.misses import limit_findings
from gearplate.packet.shapes_of import seen_from_front
from gearplate.record.design_record import design_record
from tests.builders.solids import collisions
from tests.builders.subjects import fair, fair_unchanged, severities

W, E = Severity.WARNING, Severity.ERROR
MICROMETRE = 0.001
SIDE = 56.4  # of a face of size 23, corners of 5 mm
CORNER = math.sqrt(2.0) * (SIDE / 2 - 5.0) + 5.0
CENTRE = 0.5 * (16 + 72) * 1.27 + 0.05


def two_squares(apart_mm: float, clocking_deg: float, **changes: object) -> Subject:
    """Two motors on one gear, side by side along x; a clocking of 45 degrees stands them upright."""
    half = math.degrees(math.asin(0.5 * apart_mm / CENTRE))
    motor = {"type": "nema-23", "pinion": {"teeth": 16, "shift": 0}, "clocking": clocking_deg}
    places = {"S1": {"angle": 90}, "M1": {"angle": 90 - half}, "M2": {"angle": 90 + half}}
    return fair(motors=[motor, motor], places=places, **changes)


@pytest.mark.parametrize(("clocking_deg", "touching_mm"), [(45.0, SIDE), (0.0, 2 * CORNER), (90.0, 2 * CORNER)])
def test_two_square_motors_side_by_side(clocking_deg: float, touching_mm: float) -> None:
    for apart, expected in (
        (touching_mm + 0.5 + MICROMETRE, []),
        (touching_mm + 0.5 - MICROMETRE, [W]),
        (touching_mm + MICROMETRE, [W]),
        (touching_mm - MICROMETRE, [E]),
    ):
        assert severities("motor-to-motor", two_squares(apart, clocking_deg)) == expected, apart


@pytest.mark.parametrize(("turn_deg", "reach_mm"), [(0.0, 45.0), (45.0, 40.0 * math.sqrt(2.0) + 5.0)])
def test_limits_count_to_the_side_or_the_corner(turn_deg: float, reach_mm: float) -> None:
    """A motor of 90 mm with corners of 5 mm, so that nothing else reaches as high."""
    subject = fair_unchanged()
    across = 40.0 * math.sqrt(2.0) + 5.0
    bodies = tuple(
        replace(one, core_mm=40.0, radius_mm=across, angle_rad=math.radians(turn_deg)) if one.name == "M1" else one
        for one in subject.layout.bodies
    )
    layout = replace(subject.layout, bodies=bodies)
    top = layout.shaft("M1").y_mm + reach_mm
    for limit, expected in ((top + MICROMETRE, []), (top - MICROMETRE, [E])):
        limits = replace(subject.layout_spec.limits, up_mm=limit)
        changed = replace(subject, layout=layout, layout_spec=replace(subject.layout_spec, limits=limits))
        assert severities("limits-plane", changed) == expected
        assert bool(limit_findings(changed.layout_spec, layout)) == bool(expected)


def test_the_tool_turns_square_motors_past_each_other() -> None:
    """Their clocking left out, two squares whose corner circles overlap stand side by side."""
    half = math.degrees(math.asin(0.5 * (SIDE + 3.0) / CENTRE))
    motor = {"type": "nema-23", "pinion": {"teeth": 16, "shift": 0}}
    places = {"S1": {"angle": 90}, "M1": {"angle": 90 - half}, "M2": {"angle": 90 + half}}
    subject = fair(motors=[motor, motor], places=places)
    assert SIDE + 3.0 < 2 * CORNER
    assert severities("motor-to-motor", subject) == []


def test_record_and_picture_have_the_turned_square() -> None:
    text = """format = 1
part = "squares"
units = "mm"
cutter = "demo"
material = "acetal-6mm"
diametral_pitch = 20
stages = [{driven = 72}, {driver = 32, driven = 60}]
wheel = {diameter = 101.6}
places = {S1 = {angle = 90}, M1 = {angle = 80}}
motors = {type = "nema-23", pinion = {teeth = 16, shift = 0}, clocking = 75}
"""
    record = design_record(make(load_job_text(text, "squares.toml")))
    body = next(one for one in record["bodies"] if one["kind"] == "motor")
    assert (body["square_mm"], body["corner_mm"], body["angle_deg"]) == (SIDE, 5.0, pytest.approx(30.0))
    assert [said for said in collisions(record) if "(motor)" in said] == []
    for sign in (1.0, -1.0):
        drawn = seen_from_front(body, sign)
        reach = [math.hypot(x - sign * body["x_mm"], y - body["y_mm"]) for x, y, *_ in drawn.vertices]  # type: ignore[union-attr]
        assert max(reach) < 0.5 * body["diameter_mm"]
        assert min(reach) > SIDE / 2


def test_a_wheel_is_told_of_the_side_that_looks_at_it() -> None:
    subject = two_squares(70.0, 45.0)
    pair = next(one for one in subject.pairs["motor-to-wheel"] if one.a.name == "M1" or one.b.name == "M1")
    motor = pair.a if pair.a.kind.value == "motor" else pair.b
    corner = math.hypot(motor.x_mm - SIDE / 2 + 5.0, motor.y_mm - SIDE / 2 + 5.0)  # the nearest corner's middle
    assert pair.gap_mm == pytest.approx(corner - 5.0 - 50.8)
