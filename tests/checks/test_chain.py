"""Chains in the rail and the spacer in its hole: at the limit, a micrometre under and over, by sums of their own."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest

from gearplate.catalog import load_catalog, profiles_folder
from gearplate.checks.subject import Subject
from gearplate.finding import Severity
from gearplate.layout.spec import SprocketSpec
from tests.builders.subjects import fair, fair_unchanged, one, run, severities

W, E = Severity.WARNING, Severity.ERROR
MICROMETRE = 0.001
CHAIN = load_catalog([profiles_folder()]).chain_row("25")
WALL, WIDTH = 3.175, 9.1  # of the usual rail; of chain 25 over its pins
# ASME B29.1: pitch circle P / sin(180 / N), chain over it + 0.95 P; here 16 teeth of 6.35 mm: 38.58 mm
OVER = 6.35 / math.sin(math.pi / 16) + 0.95 * 6.35


def chained(count: int = 1, teeth: int = 16, **rail_changes: object) -> Subject:
    subject = fair_unchanged()
    spec = subject.layout_spec
    assert spec.rail is not None
    rail = replace(spec.rail, **rail_changes)  # type: ignore[arg-type]
    stack = replace(subject.layout.stack, rail=(0.0, rail.width_mm))
    return replace(
        subject,
        layout_spec=replace(spec, rail=rail, sprockets=SprocketSpec(CHAIN, teeth, count)),
        layout=replace(subject.layout, stack=stack),
    )


def test_no_chain_nothing_compared_and_an_ordinary_one_is_quiet() -> None:
    assert run("chain-room", fair_unchanged()).compared == 0
    outcome = run("chain-room", chained())
    assert (outcome.compared, outcome.findings) == (1 + 1 + 4, ())  # height, width of one, four screws
    assert run("chain-room", fair(rail=False, duty={"chain": "25", "sprocket": 16})).compared == 0


EDGES: tuple[tuple[float, list[Severity]], ...] = (
    (1.0 + MICROMETRE, []),
    (1.0, []),
    (1.0 - MICROMETRE, [W]),
    (0.0, [W]),
    (-MICROMETRE, [E]),
)


@pytest.mark.parametrize(("left_mm", "expected"), EDGES)
def test_height_over_the_chain(left_mm: float, expected: list[Severity]) -> None:
    half = 0.5 * OVER + WALL + left_mm
    assert severities("chain-room", chained(height_mm=2 * half, axle_from_bottom_mm=half)) == expected
    low = chained(height_mm=2 * half + 5.0, axle_from_bottom_mm=half)  # the lower wall alone is near
    assert severities("chain-room", low) == expected


@pytest.mark.parametrize(("left_mm", "expected"), EDGES)
def test_width_beside_two_chains(left_mm: float, expected: list[Severity]) -> None:
    width = 2 * WALL + 2 * WIDTH + 3 * left_mm
    subject = chained(2, width_mm=width)
    off = replace(subject, layout=replace(subject.layout, rail_holes=()))  # its screws are looked at below
    found = run("chain-room", off).findings
    assert [finding.severity for finding in found] == expected
    for finding in found:
        assert finding.remedy is not None
        assert finding.remedy.set == (("duty.sprockets", 1),)


def test_a_screw_that_ends_in_a_chain_at_its_height() -> None:
    strand = 0.5 * 6.35 / math.sin(math.pi / 16)  # 16.27 mm over and under the axle
    subject = chained(2)
    places = ((70.0, strand), (-70.0, 0.0))
    met = replace(subject, layout=replace(subject.layout, rail_holes=places))
    finding = one("chain-room", met)
    assert finding.severity is E
    # two chains in 31.75 mm: 4.517 mm beside each, so that the first begins 7.692 mm from the plate
    assert finding.limit == pytest.approx(WALL + (38.1 - 2 * WALL - 2 * WIDTH) / 3)
    assert finding.measured is not None
    assert finding.limit is not None
    assert finding.measured >= finding.limit
    level = replace(subject, layout=replace(subject.layout, rail_holes=((70.0, 0.0),)))
    assert severities("chain-room", level) == []  # it ends between the strands


@pytest.mark.parametrize(
    ("gap_mm", "expected"),
    [(0.5, []), (0.5 - MICROMETRE, [W]), (MICROMETRE, [W]), (-MICROMETRE, [E])],
)
def test_the_spacer_in_the_axles_hole(gap_mm: float, expected: list[Severity]) -> None:
    subject = fair_unchanged()
    spec = subject.layout_spec
    assert spec.rail is not None
    hole = spec.shaft("output").spacer_diameter_mm + 2 * gap_mm
    changed = replace(subject, layout_spec=replace(spec, rail=replace(spec.rail, axle_hole_mm=hole)))
    assert severities("axle-hole", changed) == expected


def test_blocks_have_no_spacer_of_ours_in_the_hole() -> None:
    assert run("axle-hole", fair(shafts__output={"carried_by": "blocks"})).compared == 0
    assert run("axle-hole", fair(rail=False)).compared == 0
