"""What is told of bodies that stand too near each other."""

from __future__ import annotations

import pytest

from gearplate.catalog import load_catalog, profiles_folder
from gearplate.finding import Finding, Severity
from gearplate.gears.spec import GearSpec
from gearplate.layout.bodies import motor_bodies
from gearplate.layout.clearance import Pair, gap_between, requirement
from gearplate.layout.design import Body, BodyKind
from gearplate.layout.misses import too_near
from gearplate.layout.spec import MotorSpec
from gearplate.layout.stack import axial_stack
from tests.builders.specs import DP20, drive_spec

SPEC = drive_spec()


def disc(kind: BodyKind, x: float, radius: float, spare: float = 0.0) -> Body:
    return Body(f"{kind.value} at {x:g}", kind, None, x, 0.0, radius, 0.0, 5.0, spare_mm=spare)


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


@pytest.mark.parametrize(
    ("apart", "severity"), [(28.9, None), (28.0, Severity.WARNING), (21.0, Severity.WARNING), (19.9, Severity.ERROR)]
)
def test_square_motors_are_an_error_only_where_no_turn_helps(apart: float, severity: Severity | None) -> None:
    """Squares of 20 mm: 14.142 mm from middle to corner, 10 mm to a side."""
    corner = 10.0 * 2**0.5
    found = told(disc(BodyKind.MOTOR, 0.0, corner, corner - 10.0), disc(BodyKind.MOTOR, apart, corner, corner - 10.0))
    assert (found and found.severity) == severity
    if apart == 21.0:
        assert found is not None
        assert "may overlap by 7.284 mm" in found.message
        assert "1.000 mm apart at most" in found.message


@pytest.mark.parametrize(("apart", "severity"), [(66.0, Severity.WARNING), (62.9, Severity.ERROR)])
def test_a_limit_of_the_job_is_held_by_the_sides_of_a_square_motor(apart: float, severity: Severity) -> None:
    """A wheel of 50 mm radius, a square of 20 mm: 3 mm of clearance is kept by its sides from 63 mm on."""
    corner = 10.0 * 2**0.5
    found = told(disc(BodyKind.WHEEL, 0.0, 50.0), disc(BodyKind.MOTOR, apart, corner, corner - 10.0))
    assert found is not None
    assert found.severity is severity


def test_a_square_motors_body_knows_its_sides() -> None:
    catalog = load_catalog([profiles_folder()])
    for name, least in (("nema-17", 42.3 / 2), ("generic-a", 64.0 / 2)):
        motor = catalog.motor(name)
        spec = MotorSpec("M1", motor, catalog.fastener(motor.face.screw), GearSpec(16, DP20))
        body = motor_bodies(SPEC, axial_stack(SPEC), (), spec)[0]
        assert body.least_radius_mm == pytest.approx(least)
        assert body.radius_mm >= least
