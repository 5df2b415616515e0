"""What is told of bodies that stand too near each other."""

from __future__ import annotations

import math
import random
from dataclasses import replace

import pytest

from gearplate.catalog import load_catalog, profiles_folder
from gearplate.finding import Finding, Severity
from gearplate.gears.spec import GearSpec
from gearplate.layout.bodies import motor_bodies
from gearplate.layout.clearance import Pair, gap_between, requirement
from gearplate.layout.design import Body, BodyKind
from gearplate.layout.misses import nearest_miss, placed_pairs, too_near
from gearplate.layout.spec import MotorSpec
from gearplate.layout.stack import axial_stack
from tests.builders.designs import JOBS, design
from tests.builders.specs import DP20, drive_spec

SPEC = drive_spec()


def disc(kind: BodyKind, x: float, radius: float) -> Body:
    return Body(f"{kind.value} at {x:g}", kind, None, x, 0.0, radius, 0.0, 5.0)


def square(kind: BodyKind, x: float, angle: float) -> Body:
    return replace(disc(kind, x, CORNER), core_mm=SIDE, angle_rad=angle)


def told(a: Body, b: Body) -> Finding | None:
    need = requirement(a, b, SPEC)
    assert need is not None
    return too_near(Pair(a, b, need, gap_between(a, b)))


@pytest.mark.parametrize(
    ("apart", "severity"), [(20.6, None), (20.4, Severity.WARNING), (20.0, Severity.WARNING), (19.9, Severity.ERROR)]
)
def test_round_motors_warn_below_the_usual_gap_and_may_not_touch(apart: float, severity: Severity | None) -> None:
    found = told(disc(BodyKind.MOTOR, 0.0, 10.0), disc(BodyKind.MOTOR, apart, 10.0))
    assert (found and found.severity) == severity


MICROMETRE = 0.001
SIDE, CORNER = 10.0, 10.0 * 2**0.5  # of a square of 20 mm: from its middle to a side and to a corner
BESIDE, EDGEWISE = 0.0, math.pi / 4


@pytest.mark.parametrize(
    ("turns", "touching"),
    [((BESIDE, BESIDE), 2 * SIDE), ((BESIDE, EDGEWISE), SIDE + CORNER), ((EDGEWISE, EDGEWISE), 2 * CORNER)],
)
def test_square_motors_are_measured_as_they_are_turned(turns: tuple[float, float], touching: float) -> None:
    for apart, severity in (
        (touching + 0.5, None),
        (touching + 0.5 - MICROMETRE, Severity.WARNING),
        (touching, Severity.WARNING),
        (touching - MICROMETRE, Severity.ERROR),
    ):
        found = told(square(BodyKind.MOTOR, 0.0, turns[0]), square(BodyKind.MOTOR, apart, turns[1]))
        assert (found and found.severity) == severity, apart


@pytest.mark.parametrize(("turn", "reach"), [(BESIDE, SIDE), (EDGEWISE, CORNER)])
def test_a_limit_of_the_job_is_held_by_a_square_motor_as_it_is_turned(turn: float, reach: float) -> None:
    """A wheel of 50 mm radius, 3 mm of clearance."""
    for apart, severity in ((53.0 + reach, None), (53.0 + reach - MICROMETRE, Severity.ERROR)):
        found = told(disc(BodyKind.WHEEL, 0.0, 50.0), square(BodyKind.MOTOR, apart, turn))
        assert (found and found.severity) == severity, apart


def test_a_square_motors_body_knows_its_sides() -> None:
    catalog = load_catalog([profiles_folder()])
    for name, least in (("nema-17", 42.3 / 2), ("generic-a", 64.0 / 2)):
        motor = catalog.motor(name)
        spec = MotorSpec("M1", motor, catalog.fastener(motor.face.screw), GearSpec(16, DP20))
        body = motor_bodies(SPEC, axial_stack(SPEC), (), spec)[0]
        assert body.least_radius_mm == pytest.approx(least)
        assert body.radius_mm >= least
        assert body.round_in_plane  # not turned yet: the whole disc
        turned = motor_bodies(SPEC, axial_stack(SPEC), (), spec, math.radians(motor.face.first_hole_deg + 10.0))[0]
        assert turned.angle_rad == pytest.approx(math.radians(10.0))
        assert turned.round_in_plane == (name == "generic-a")


@pytest.mark.parametrize("name", JOBS)
def test_what_is_too_near_is_found_without_looking_at_what_is_far(name: str) -> None:
    """Every body moved at random, so that many touch: the same findings as from all pairs that there are."""
    made = design(name)
    draw = random.Random(name)
    for spread_mm in (0.0, 3.0, 30.0):
        bodies = tuple(
            replace(body, x_mm=body.x_mm + draw.uniform(-spread_mm, spread_mm)) if body.box is None else body
            for body in made.layout.bodies
        )
        layout = replace(made.layout, bodies=bodies)
        all_of_them = [one for pair in placed_pairs(made.spec, layout) if (one := too_near(pair))]
        told = [one for one in nearest_miss(made.spec, layout) if one.check != "limits-plane"]
        assert sorted(map(repr, told)) == sorted(map(repr, all_of_them))
        assert spread_mm < 30.0 or told
