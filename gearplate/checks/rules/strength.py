"""What gives way under the loads of the job's own duty: told only where the job says what its machine weighs."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

from gearplate.checks.rule import Outcome, Rule
from gearplate.finding import Finding, Remedy, Severity, Standing, Where

if TYPE_CHECKING:
    from gearplate.checks.subject import Subject
    from gearplate.rating.rating import Rating

_MOTOR = r"\bM\d+\b"


def _judge(subject: Subject, code: str, kind: str) -> Outcome:
    if subject.ratings is None:
        return Outcome(0)
    rated = [item for item in subject.ratings.items if item.rules and item.kind.value == kind]
    findings = [_finding(code, group) for group in _alike([item for item in rated if not item.holds])]
    return Outcome(len(rated), tuple(findings))


def _alike(ratings: list[Rating]) -> list[list[Rating]]:
    """Those of equal motors together: the same but for the motor's number, within a per cent or two."""
    groups: list[list[Rating]] = []
    for rating in ratings:
        for group in groups:
            first = group[0]
            same = re.sub(_MOTOR, "M", first.part) == re.sub(_MOTOR, "M", rating.part)
            if same and first.part != rating.part and abs(first.value - rating.value) < 0.02 * first.value:
                group.append(rating)
                break
        else:
            groups.append([rating])
    return groups


def _finding(code: str, group: list[Rating]) -> Finding:
    one = group[0]
    motors = [match[0] for item in group if (match := re.search(_MOTOR, item.part))]
    many = f"{', '.join(motors[:-1])} and {motors[-1]}" if len(motors) > 1 else ""
    part = re.sub(_MOTOR, many, one.part, count=1) if many else one.part
    text = (
        f"{part}: {_figures(one.value)} {one.unit} against {_figures(one.limit)} {one.unit} ({one.load_case}; "
        f"{one.formula}): the load could only be {one.margin:.2f} of that. gearplate rate tells all of them."
    )
    return Finding(
        code,
        Severity.WARNING,
        text,
        Where(plate=one.plate, shafts=tuple(dict.fromkeys(s for item in group for s in item.shafts))),
        one.value,
        one.limit,
        one.unit,
        one.standing,
        Remedy(_remedy(one)),
    )


def _figures(value: float) -> str:
    return f"{value:.0f}" if abs(value) >= 100 else f"{value:.3g}"


def _remedy(one: Rating) -> str:
    if one.plate is not None and "bearing stress" in one.part:
        return "A thicker plate, or a stronger sheet; a bearing that is wider over its outside; more screws."
    if "pressed into" in one.part:
        return "Wider washers under the motor's screws, more screws, or a stronger sheet."
    if "tear-out" in one.part:
        return "More material beside the hole (plates.margin), a thicker plate, or a stronger sheet."
    if "teeth" in one.part or "bending" in one.part or "flanks" in one.part:
        return "Gears with a wider face, larger teeth or of steel; a lower ratio in front of them."
    if "shaft" in one.part:
        return "Stronger bar (shaft.stock), or the gear and the wheel nearer to their bearings."
    if "bearing" in one.part:
        return "A bearing with a higher rating, or the gear or wheel that loads it nearer to it."
    return "More or thicker screws."


RULES = (
    Rule(
        code="strength",
        title="What gives way under load",
        why="A tooth that shears, a shaft that bends or a bore that the bearing hammers oval ends the day, and none of "
        "it shows while the machine is pushed about by hand. The loads are those of the job's own duty.",
        remedy="More of what is weak: thicker sheet, wider gears, stronger bar; gearplate rate tells what it takes.",
        limit="margin = limit / value of 1 for every tooth, shaft, bearing, hole and screw in the hardest push, on "
        "landing and turning on the spot; each formula with its source stands in gearplate rate. Only where the job "
        "says what the machine weighs (duty.mass).",
        standing=Standing.COMMON_PRACTICE,
        source="common practice, no source, for allowances; formulas as gearplate rate tells them",
        applies_to="meshes under a load that the job tells",
        check=lambda subject: _judge(subject, "strength", "strength"),
        present=lambda subject: len(subject.layout.meshes) if subject.ratings is not None else 0,
    ),
    Rule(
        code="bearing-life",
        title="Life of the bearings",
        why="A bearing that is too small grows rough, then loose, and the gears with it: it is worn out after the "
        "hours that its load allows, however well it is fitted.",
        remedy="A bearing with a higher dynamic rating, or fewer hours asked of it (duty.hours).",
        limit="L = a1 (C / P)^3 million turns at the usual torque and speed, at least duty.hours. Only where the job "
        "says what the machine weighs (duty.mass), and for bearings whose rating is known.",
        standing=Standing.STANDARD,
        source="ISO 281; its factors from memory",
        applies_to="bearings with a rating under a load that the job tells",
        check=lambda subject: _judge(subject, "bearing-life", "life"),
        present=lambda subject: _rated_bearings(subject) if subject.ratings is not None else 0,
    ),
)


def _rated_bearings(subject: Subject) -> int:
    """Bearings with a rating of their own, in shafts that two plates carry, where a motor's speed is known."""
    if all(motor.motor.curve is None for motor in subject.layout_spec.motors):
        return 0
    pairs = [(shaft.outboard, shaft.inboard) for shaft in subject.layout_spec.shafts if shaft.turns]
    return sum(
        seat is not None and seat.bearing.dynamic_n is not None for pair in pairs if None not in pair for seat in pair
    )
