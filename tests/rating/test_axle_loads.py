"""What acts on the axle and what it makes of it, each held against sums done by hand.

Machine: 45 kg on wheels of 101.6 mm, two gearboxes, friction 1.1: 1.1 x 45 x 9.80665 / 2 = 242.715 N of push and
12 329.9 N mm of torque for each. Chain 25 (ASME B29.1: pitch 6.35 mm) on 16 teeth: 6.35 / sin(180 deg / 16) =
32.549 mm. Statics, any text.
"""

from __future__ import annotations

from dataclasses import replace

import pytest

from gearplate.catalog import load_catalog, profiles_folder
from gearplate.layout.spec import Role, ShaftSpec
from gearplate.packet.rating_text import rating_lines
from gearplate.rating.beam import Beam
from gearplate.rating.duty import ChainPull, Duty, assumed
from gearplate.rating.forces import chain_push, chain_share, mesh_forces, wheel_push
from gearplate.rating.loads import drive_loads
from gearplate.rating.rate import rate, tables_of
from gearplate.rating.shaft_loads import HARDEST, ON_THE_SPOT, ShaftCase, Support, shaft_cases
from gearplate.rating.shafts import rate_shaft
from gearplate.record.rating_record import rating_record
from tests.builders.designs import design

CATALOG = load_catalog([profiles_folder()])
PUSH_N, TORQUE_N_MM, HALF_PITCH_MM = 242.715, 12329.9, 16.2745


def chained(share: float) -> ChainPull:
    return ChainPull(6.35, 16, share)


@pytest.mark.parametrize("sense", [1, -1])
def test_the_wheel_pushes_with_what_the_chain_leaves(sense: int) -> None:
    """Two wheels: each grips all that its gearbox gives. Of that 0.4 leave by chain."""
    made = design()
    loads = drive_loads(made.spec, Duty(wheels=2))
    whole = wheel_push(made.layout, loads, 1.0, 1.0, sense)
    assert (whole.x_n, whole.torque_n_mm) == pytest.approx((sense * PUSH_N, sense * TORQUE_N_MM), rel=1e-5)
    left = wheel_push(made.layout, loads, 1.0, 1.0, sense, chained(0.4))
    assert (left.x_n, left.torque_n_mm) == pytest.approx((sense * 145.629, sense * 7397.9), rel=1e-5)
    pull = chain_push(made.layout, loads, 1.0, 1.0, sense, chained(0.4), -1)
    assert (pull.x_n, pull.torque_n_mm) == pytest.approx((-303.05, sense * 4931.96), rel=1e-4)
    assert left.torque_n_mm + pull.torque_n_mm == pytest.approx(whole.torque_n_mm)


def test_a_wheel_pushes_with_no_more_than_it_grips_and_the_chain_takes_the_rest() -> None:
    """Six wheels, three a side: each carries 45 x 9.80665 / 6 = 73.550 N and grips 80.905 N, a third of the push."""
    made = design()
    loads = drive_loads(made.spec, Duty(wheels=6))
    assert loads.wheel_grip_n == pytest.approx(80.905, rel=1e-5)
    assert wheel_push(made.layout, loads, 1.0, 1.0, 1, chained(0.5)).x_n == pytest.approx(80.905, rel=1e-5)
    pull = chain_push(made.layout, loads, 1.0, 1.0, 1, chained(0.5), 1)
    assert pull.x_n == pytest.approx(2 / 3 * TORQUE_N_MM / HALF_PITCH_MM, rel=1e-5)
    # landing: 0.4 of the torque on twice the weight, 97.1 N against 161.8 N: what the job says holds
    assert chain_share(loads, 0.4, 2.0, chained(0.5)) == 0.5
    assert chain_share(loads, 0.4, 2.0, chained(0.0)) == 0.0
    # usual driving: 97.086 N at the wheel, 80.905 N of grip
    assert chain_share(loads, 0.4, 1.0, chained(0.0)) == pytest.approx(1 - 80.905 / 97.086, rel=1e-4)
    assert chain_share(loads, 1.0, 1.0, chained(0.9)) == 0.9
    # where no chain is named none is made up
    assert wheel_push(made.layout, loads, 1.0, 1.0, 1).x_n == pytest.approx(PUSH_N, rel=1e-5)


def told(duty: Duty) -> str:
    made = design()
    ratings = rate(made.layout, made.spec, tables_of(CATALOG), duty, made.plates)
    data = rating_record("p", "A", ratings, assumed(duty), 101.6)
    return " ".join(" ".join(rating_lines(data, 80)).split())


def test_what_leaves_by_a_chain_that_is_not_told_is_said() -> None:
    assert "push at the axle's own wheel, 243 N, though that grips 121 N." in told(Duty())
    assert "own wheel" not in told(Duty(wheels=2))
    assert "By chain leave 67% of the output's torque, not 50%" in told(Duty(wheels=6, chain=chained(0.5)))
    assert "By chain leave" not in told(Duty(chain=chained(0.5)))


def axle_cases(duty: Duty) -> dict[tuple[str, str], ShaftCase]:
    made = design()
    loads = drive_loads(made.spec, duty)
    forces = {sense: mesh_forces(made.layout, loads, sense) for sense in (1, -1)}
    cases = shaft_cases(made.spec, made.layout, made.spec.shaft("output"), forces, loads, duty)
    return {(case.case, case.way): case for case in cases}


def test_the_floor_pushes_a_turning_wheel_sideways_at_its_rim() -> None:
    """0.7 x 1.1 x 110.325 N = 84.950 N at 50.8 mm: 4315.5 N mm, which the bearings, middles 36.338 mm apart (gap
    31.5496, flanges 2 x 1.5748, a bearing's 7.9375 mm), take as 118.76 N up on the outer one and down on the inner."""
    cases = axle_cases(Duty())
    straight = cases[HARDEST, "forward"]
    assert straight.axial_n == 0.0
    assert straight.couple is None
    for way, sign in (("outward", 1), ("inward", -1)):
        case = cases[ON_THE_SPOT, f"forward, the floor pushes {way}"]
        assert case.axial_n == pytest.approx(84.950, rel=1e-4)
        assert case.couple is not None
        assert case.couple[1] == pytest.approx(sign * 4315.5, rel=1e-4)
        inner, outer = (felt[1] - before[1] for felt, before in zip(case.reactions, straight.reactions, strict=True))
        assert (inner, outer) == pytest.approx((-sign * 118.76, sign * 118.76), rel=1e-3)
        assert [felt[0] for felt in case.reactions] == pytest.approx([felt[0] for felt in straight.reactions])
    slippery = axle_cases(Duty(friction=0.55, scrub=0.35))[ON_THE_SPOT, "forward, the floor pushes outward"]
    assert slippery.axial_n == pytest.approx(84.950 / 4, rel=1e-4)
    assert slippery.couple is not None
    assert slippery.couple[1] == pytest.approx(4315.5 / 4, rel=1e-4)


def bent(shaft: ShaftSpec) -> float:
    """Stress of a bar at 10 N m of bending and 20 N m of torque, MPa."""
    beam = Beam(0.0, 10.0, ())
    support = Support("bearing", 0.0, None, None)
    case = ShaftCase(
        shaft=shaft.name,
        case=HARDEST,
        sense=1,
        supports=(support, replace(support, z_mm=10.0)),
        reactions=((0.0, 0.0), (0.0, 0.0)),
        axial_n=0.0,
        sections=((0.0, 1000.0, 0.0), (5.0, 10_000.0, 20_000.0)),
        beams=(beam, beam),
        gear_places_mm=(),
        way="forward",
        pushes=(),
        couple=None,
    )
    (rating,) = rate_shaft(shaft, (case,))
    assert ("keys or pins" in rating.note) == rating.formula.startswith("twice")
    return rating.value


def test_the_notch_of_a_round_shaft_doubles_its_stress() -> None:
    """12 mm: W = pi 12^3 / 32 = 169.646 mm3, 58.946 MPa bent; Wt = 339.292 mm3, 58.946 MPa twisted; together
    58.946 sqrt(1 + 3) = 117.89 MPa, twice that at a keyway. A bar that stands still has none, nor has a hexagon:
    half an inch, W = 5/48 x 2048.383 = 213.373 mm3, Wt = 0.217 x 0.866025 x 2048.383 = 384.949 mm3."""
    bar = ShaftSpec("S1", Role.INTERMEDIATE, CATALOG.shaft("round-12mm"))
    assert bent(bar) == pytest.approx(235.78, rel=1e-4)
    assert bent(replace(bar, turns=False)) == pytest.approx(117.89, rel=1e-4)
    hexagon = replace(bar, stock=CATALOG.shaft("hex-1/2in"))
    assert bent(hexagon) == pytest.approx((46.866**2 + 3 * 51.955**2) ** 0.5, rel=1e-4)
