"""What is drilled into the rail: screws on solid wall, and the axle's hole inside it."""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import TYPE_CHECKING, NamedTuple

from gearplate.checks.apart import written_reliefs
from gearplate.checks.job_keys import chain_of, rounded_down
from gearplate.checks.moves import rail_screw_remedies, relief_discs
from gearplate.checks.rule import Outcome, Rule
from gearplate.finding import Finding, Remedy, Severity, Standing, Where

if TYPE_CHECKING:
    from gearplate.checks.subject import Subject
    from gearplate.layout.spec import RailSpec

TOUCHING_MM = 1e-6
AXLE = "the axle's hole"
LEAST_RELIEF_MM = 2.0


class _Drilled(NamedTuple):
    """A hole in the rail's wall. `screw`: something is screwed there."""

    name: str
    x_mm: float
    y_mm: float
    diameter_mm: float
    screw: bool


def _drilled(subject: Subject) -> list[_Drilled]:
    """Screw holes first, then the axle's where it meets the rail, and reliefs."""
    spec, layout = subject.layout_spec, subject.layout
    rail = spec.rail
    if rail is None:
        return []
    hole = rail.screw.normal_mm
    found = [_Drilled(f"rail-{index + 1}", x, y, hole, True) for index, (x, y) in enumerate(layout.rail_holes)]
    low, high = rail.y_span_mm
    if low < 0.0 < high:
        found.append(_Drilled(AXLE, 0.0, 0.0, rail.axle_hole_mm, False))
    for index, (x, y, diameter) in enumerate(relief_discs(subject)):
        found.append(_Drilled(f"relief {index + 1}", x, y, diameter, False))
    return found


def _webs(holes: list[_Drilled]) -> Iterator[tuple[_Drilled, _Drilled, float]]:
    """Pairs of which one is a screw's, with the wall between them, mm. Open holes may run into each other."""
    for index, one in enumerate(holes):
        for other in holes[:index]:
            if one.screw or other.screw:
                apart = math.hypot(one.x_mm - other.x_mm, one.y_mm - other.y_mm)
                yield other, one, apart - 0.5 * (one.diameter_mm + other.diameter_mm)


def _faces(rail: RailSpec, holes: list[_Drilled]) -> Iterator[tuple[_Drilled, float]]:
    """Screw holes and the axle's with what is left to the rail's lower or upper face, mm. A relief may be a notch."""
    low, high = rail.y_span_mm
    for one in holes:
        if one.screw or one.name == AXLE:
            yield one, min(one.y_mm - low, high - one.y_mm) - 0.5 * one.diameter_mm


def _drilling(subject: Subject) -> Outcome:
    rail = subject.layout_spec.rail
    if rail is None:
        return Outcome(0)
    holes = _drilled(subject)
    compared = 0
    findings = []
    for first, second, web in _webs(holes):
        compared += 1
        if web < rail.wall_mm - TOUCHING_MM:
            says = f"{first.name} and {second.name} in the rail"
            text = f"{says} run into each other" if web < TOUCHING_MM else f"{says} leave {web:.3f} mm of its wall"
            findings.append(_thin(subject, rail, (first, second), text, web))
    for hole, left in _faces(rail, holes):
        compared += 1
        if left < rail.wall_mm - TOUCHING_MM:
            text = f"{hole.name} comes within {left:.3f} mm of the rail's face, in its wall"
            if left < TOUCHING_MM:
                text = f"{hole.name} breaks out of the rail's lower or upper face"
            findings.append(_thin(subject, rail, (hole,), text, left))
    return Outcome(compared, tuple(findings))


def _thin(subject: Subject, rail: RailSpec, holes: tuple[_Drilled, ...], text: str, left: float) -> Finding:
    broken = left < TOUCHING_MM
    screws = tuple(hole.name for hole in holes if hole.screw)
    cures = rail_screw_remedies(subject, screws)
    for hole in holes:
        if not hole.screw:
            smaller = hole.diameter_mm - 2.0 * (rail.wall_mm - left)
            cures += _smaller(subject, hole, rounded_down(smaller, subject.unit, fine=True), smaller)
    remedy, others = chain_of(cures)
    wanted = "" if broken else f"; {rail.wall_mm:.3f} mm, one wall, are usual"
    return Finding(
        "rail-drilling",
        Severity.ERROR if broken else Severity.WARNING,
        f"{text}{wanted}.",
        Where(features=screws, x_mm=holes[0].x_mm, y_mm=holes[0].y_mm),
        left,
        0.0 if broken else rail.wall_mm,
        "mm",
        Standing.GEOMETRY if broken else Standing.COMMON_PRACTICE,
        remedy,
        others,
    )


def _smaller(subject: Subject, hole: _Drilled, value: str, diameter_mm: float) -> list[Remedy]:
    """The open hole drilled so much smaller, where what stands in it still has its room."""
    from gearplate.layout.chain import OUTPUT

    spec = subject.layout_spec
    if hole.name == AXLE:
        axle = spec.shaft(OUTPUT).stock.section.corners_mm + 2.0 * spec.clearances.still_mm
        return [Remedy("Drill the axle's hole smaller.", (("rail.axle_hole", value),))] if diameter_mm > axle else []
    reliefs = written_reliefs(subject)
    if diameter_mm < LEAST_RELIEF_MM:
        return []
    number = int(hole.name.rpartition(" ")[2]) - 1
    reliefs[number] = reliefs[number] | {"diameter": value}
    return [Remedy(f"Make {hole.name} smaller.", (("rail.reliefs", reliefs),))]


RULES = (
    Rule(
        code="rail-drilling",
        title="What is drilled into the rail",
        why="A rail screw that stands beside the axle's hole or a relief has no wall to hold on to, and one that runs "
        "into the tube's side wall cannot take a nut. An axle's hole that breaks out of the rail's "
        "face cuts it in two.",
        remedy="Set the rail's screws elsewhere (rail.holes), or leave their places to the tool; take a higher rail.",
        limit="between a screw's hole and any other, and from screws and the axle's hole to the rail's lower and upper "
        "face: above zero (error), one wall of the rail (warning).",
        standing=Standing.COMMON_PRACTICE,
        source="zero by geometry; one wall is common practice, no source",
        applies_to="holes in the rail",
        check=_drilling,
        present=lambda subject: len(subject.layout.rail_holes),
    ),
)
