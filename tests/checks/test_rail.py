"""What is drilled into the rail: at the limit, a micrometre under and over."""

from __future__ import annotations

from dataclasses import replace

import pytest

from gearplate.checks.subject import Subject
from gearplate.finding import Severity
from tests.builders.subjects import fair, fair_unchanged, one, run, severities

W, E = Severity.WARNING, Severity.ERROR
MICROMETRE = 0.001
WALL = 3.175
HOLE = 5.6134  # clearance hole for #10, normal fit


def with_rail(**changes: object) -> Subject:
    subject = fair_unchanged()
    assert subject.layout_spec.rail is not None
    rail = replace(subject.layout_spec.rail, **changes)  # type: ignore[arg-type]
    return replace(subject, layout_spec=replace(subject.layout_spec, rail=rail))


def moved_screw(x_mm: float, y_mm: float) -> Subject:
    """The fair drive with its first rail screw elsewhere."""
    subject = fair_unchanged()
    holes = ((x_mm, y_mm), *subject.layout.rail_holes[1:])
    return replace(subject, layout=replace(subject.layout, rail_holes=holes))


def test_an_ordinary_rail_and_none() -> None:
    outcome = run("rail-drilling", fair_unchanged())
    assert outcome.findings == ()
    assert outcome.compared == 6 + 4 + 4 + 1  # screws with each other and with the axle's hole; five to the faces
    assert run("rail-drilling", fair(rail=False)).compared == 0


EDGES: tuple[tuple[float, list[Severity]], ...] = (
    (WALL + MICROMETRE, []),
    (WALL, []),
    (WALL - MICROMETRE, [W]),
    (MICROMETRE, [W]),
    (-MICROMETRE, [E]),
)


@pytest.mark.parametrize(("left_mm", "expected"), EDGES)
def test_a_screw_beside_the_axles_hole(left_mm: float, expected: list[Severity]) -> None:
    x = 0.5 * (29.575 + HOLE) + left_mm
    assert severities("rail-drilling", moved_screw(x, 0.0)) == expected


@pytest.mark.parametrize(("left_mm", "expected"), EDGES)
def test_a_screw_near_the_rails_face(left_mm: float, expected: list[Severity]) -> None:
    assert severities("rail-drilling", moved_screw(70.0, 25.4 - 0.5 * HOLE - left_mm)) == expected


@pytest.mark.parametrize(("left_mm", "expected"), EDGES)
def test_the_axles_hole_stays_inside_the_rail(left_mm: float, expected: list[Severity]) -> None:
    subject = with_rail(axle_from_bottom_mm=0.5 * 29.575 + left_mm, height_mm=150.0)
    # the screws stay where they are, high enough over the lower face
    low = 0.5 * 29.575 + left_mm
    lifted = replace(subject.layout, rail_holes=tuple((x, y + 25.4 - low + 20.0) for x, y in subject.layout.rail_holes))
    assert severities("rail-drilling", replace(subject, layout=lifted)) == expected


@pytest.mark.parametrize(("left_mm", "expected"), EDGES)
def test_a_screw_beside_a_relief_and_what_its_remedy_sets(left_mm: float, expected: list[Severity]) -> None:
    """A relief at half height between two screws, 12.7 mm above and below: here nearer to the upper one."""
    diameter = 2.0 * (12.7 - 1.0 - 0.5 * HOLE - left_mm)
    screws = {"rail__holes": [[45, 12.7], [45, -12.7], [-45, 12.7], [-45, -12.7]]}
    subject = fair(rail__reliefs=[{"at": [45, 1], "diameter": f"{diameter:.6f} mm"}], **screws)
    lower = 12.7 + 1.0 - 0.5 * HOLE - 0.5 * diameter
    assert lower > 0.0
    found = [one for one in run("rail-drilling", subject).findings if "rail-1" in one.where.features]
    assert [one.severity for one in found] == expected
    for finding in found:
        assert finding.remedy is not None
        offered = dict(pair for remedy in (finding.remedy, *finding.alternatives) for pair in remedy.set)
        again = run("rail-drilling", fair(rail__reliefs=offered["rail.reliefs"], **screws)).findings
        assert not [one for one in again if "rail-1" in one.where.features]
        elsewhere = fair(rail__reliefs=subject.raw["rail"]["reliefs"], rail__holes=offered["rail.holes"])
        assert run("rail-drilling", elsewhere).findings == ()


def test_reliefs_may_run_into_each_other_and_over_the_edge() -> None:
    reliefs = [{"at": [75, 0], "diameter": 12}, {"at": [78, 0], "diameter": 12}, {"at": [100, 25], "diameter": 10}]
    assert run("rail-drilling", fair(rail__reliefs=reliefs)).findings == ()


def test_an_axles_hole_that_would_not_take_the_axle_is_no_remedy() -> None:
    subject = with_rail(axle_from_bottom_mm=5.0)
    lifted = replace(subject.layout, rail_holes=tuple((x, y + 20.0) for x, y in subject.layout.rail_holes))
    finding = one("rail-drilling", replace(subject, layout=lifted))
    assert finding.severity is E
    assert finding.remedy is None
