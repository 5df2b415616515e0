"""Bearings at their limits: seat, retainer, how many in a line, press fits."""

from __future__ import annotations

from dataclasses import replace

import pytest

from gearplate.finding import Severity
from gearplate.layout.spec import CarriedBy
from tests.builders.subjects import fair, fair_unchanged, one, run, severities

W, E = Severity.WARNING, Severity.ERROR
MICROMETRE = 0.001
SIDES = ("outboard", "inboard")
HALF_FR8 = 0.5 * 25.4 * 5 / 16  # the shielded inch bearing of 1/2 in bore is 5/16 in wide (ANSI/ABMA 12.2, from memory)


@pytest.mark.parametrize(
    ("measured_mm", "expected"), [(HALF_FR8 + MICROMETRE, []), (HALF_FR8, []), (HALF_FR8 - MICROMETRE, [E])]
)
def test_half_the_bearings_width_sits_in_the_measured_thickness(measured_mm: float, expected: list[Severity]) -> None:
    subject = fair_unchanged()
    stock = replace(subject.layout_spec.inboard, measured_mm=measured_mm)
    spec = replace(subject.layout_spec, inboard=stock)
    found = severities("bearing-seat", replace(subject, layout_spec=spec))
    assert found == expected, "the nominal 6 mm would do"


@pytest.mark.parametrize(
    ("carried", "expected"), [((True, True), []), ((True, False), [W]), ((False, True), [W]), ((False, False), [E])]
)
def test_a_shaft_that_turns_runs_in_two_bearings(carried: tuple[bool, bool], expected: list[Severity]) -> None:
    subject = fair_unchanged()
    spec = subject.layout_spec
    seats = {side: getattr(spec.shaft("S1"), side) if on else None for side, on in zip(SIDES, carried, strict=True)}
    shafts = tuple(replace(shaft, **seats) if shaft.name == "S1" else shaft for shaft in spec.shafts)
    assert severities("bearing-support", replace(subject, layout_spec=replace(spec, shafts=shafts))) == expected


def test_a_block_in_the_rail_is_the_axles_second_bearing() -> None:
    subject = fair_unchanged()
    spec = subject.layout_spec
    shafts = tuple(replace(shaft, inboard=None) if shaft.name == "output" else shaft for shaft in spec.shafts)
    for carried, expected in ((CarriedBy.PLATES, [W]), (CarriedBy.BOTH, []), (CarriedBy.BLOCKS, [])):
        changed = replace(spec, shafts=shafts, carried_by=carried)
        assert severities("bearing-support", replace(subject, layout_spec=changed)) == expected


def test_the_flange_is_no_seat() -> None:
    """Of 7.94 mm, 1.575 mm are flange: on 20 mm of plate the ring sits on 6.36 mm."""
    from gearplate.checks.rules.bearings import seat_mm

    seat = fair_unchanged().layout_spec.shaft("S1").outboard
    assert seat is not None
    assert seat_mm(seat, 20.0) == pytest.approx(25.4 * (5 / 16 - 0.062))
    assert seat_mm(seat, 6.0) == 6.0


def test_an_unflanged_bearing_wants_a_retainer_whatever_its_fit() -> None:
    for fit in ("-0.08 mm", "0 mm", "N7"):
        subject = fair(shaft={"bearing": "R8ZZ-hex", "fit": fit})
        finding = one("bearing-retainer", subject)
        assert finding.severity is W
        assert set(finding.where.shafts) == {"S1", "output"}
    assert severities("bearing-retainer", fair(shaft={"bearing": "R8ZZ-hex", "retainer": True})) == []
    assert severities("bearing-retainer", fair(shaft={"bearing": "FR8ZZ-hex"})) == []


@pytest.mark.parametrize(
    ("carried_by", "fit_mm", "expected"),
    [
        ("both", 0.05, []),
        ("both", 0.05 - MICROMETRE, [W]),
        ("both", -0.04, [W]),
        ("plates", -0.04, []),
        ("blocks", None, []),
    ],
)
def test_three_tight_bearings_in_a_line(carried_by: str, fit_mm: float | None, expected: list[Severity]) -> None:
    output = {"carried_by": carried_by} | ({} if fit_mm is None else {"fit": f"{fit_mm} mm"})
    assert severities("bearing-count", fair(shafts__output=output)) == expected


def test_one_loose_bearing_of_three_is_enough() -> None:
    output = {"carried_by": "both", "outboard": {"fit": "0.1 mm"}}
    assert severities("bearing-count", fair(shafts__output=output)) == []


@pytest.mark.parametrize(
    ("material", "fit_mm", "expected"),
    [
        ("acrylic-6mm", 0.08, []),
        ("acrylic-6mm", 0.0, []),
        ("acrylic-6mm", -MICROMETRE, [E]),
        ("acetal-6mm", -0.08, []),
        ("acetal-6mm", -0.08 - MICROMETRE, [W]),
        ("birch-ply-6mm", -0.1, []),
    ],
)
def test_press_fits_by_what_the_material_bears(material: str, fit_mm: float, expected: list[Severity]) -> None:
    """Acetal 0.00 to 0.08 mm, plywood to 0.1 mm under, none in acrylic: common practice, from memory."""
    found = severities("acrylic-press-fit", fair(material=material, shaft={"fit": f"{fit_mm} mm"}))
    assert found == expected


def test_acrylic_gets_a_slip_fit_where_the_job_says_nothing() -> None:
    assert severities("acrylic-press-fit", fair(material="acrylic-6mm")) == []


@pytest.mark.parametrize(
    ("material", "fit_mm", "expected"),
    [
        ("acrylic-6mm", 0.0, []),
        ("acrylic-6mm", -MICROMETRE, [E]),
        ("acetal-6mm", -0.08, []),
        ("acetal-6mm", -0.08 - MICROMETRE, [W]),
    ],
)
def test_a_fixed_shaft_pressed_into_a_plate_is_a_press_fit_too(
    material: str, fit_mm: float, expected: list[Severity]
) -> None:
    fixed = {"stock": "round-12mm", "turns": False, "fit": f"{fit_mm:.6f} mm"}
    subject = fair(material=material, shafts__S1=fixed)
    outcome = run("acrylic-press-fit", subject)
    assert [finding.severity for finding in outcome.findings] == expected
    assert outcome.compared == 2 + 2  # the output's bearings, and the fixed shaft in both plates
    for finding in outcome.findings:
        assert finding.remedy is not None
        assert [key for key, _ in finding.remedy.set] == ["shafts.S1.fit"]
        assert "under the shaft" in finding.message
