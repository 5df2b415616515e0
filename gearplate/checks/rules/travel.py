"""Motors in slots: what stands in their way, and what becomes of their teeth, at both ends of the travel."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator
from dataclasses import replace
from typing import TYPE_CHECKING, NamedTuple

from gearplate.checks.apart import thing
from gearplate.checks.job_keys import chain_of, rounded_down, table_mates
from gearplate.checks.mated import LEAST_CONTACT, gear_name
from gearplate.checks.moves import angle_remedies
from gearplate.checks.rule import Outcome, Rule
from gearplate.finding import Finding, Remedy, Severity, Standing, Where

if TYPE_CHECKING:
    from gearplate.checks.subject import Subject
    from gearplate.layout.clearance import Pair
    from gearplate.layout.design import Body, PlacedMesh
    from gearplate.layout.spec import MotorSpec

TOUCHING_MM = 1e-6
HALVINGS = 40


class _End(NamedTuple):
    """One end of a motor's travel: how far from where it is drawn, which way (a unit vector), and in words."""

    motor: MotorSpec
    travel_mm: float
    toward: tuple[float, float]
    words: str

    def moved(self, bodies: tuple[Body, ...], part: float = 1.0) -> tuple[Body, ...]:
        """Bodies carried along, by a part of the travel."""
        dx, dy = (part * self.travel_mm * way for way in self.toward)
        return tuple(replace(body, x_mm=body.x_mm + dx, y_mm=body.y_mm + dy) for body in bodies)


def _ends(subject: Subject) -> list[tuple[_End, PlacedMesh]]:
    """Both ends of each motor's slots, with its mesh. Toward its gear a motor goes no farther than the teeth let it."""
    found = []
    for placed in subject.layout.meshes:
        motor = next((one for one in subject.layout_spec.motors if one.name == placed.driver.shaft), None)
        if motor is None or motor.slot_travel_mm <= 0.0:
            continue
        here, there = subject.layout.shaft(motor.name), subject.layout.shaft(placed.driven.shaft)
        away = math.hypot(there.x_mm - here.x_mm, there.y_mm - here.y_mm) or 1.0
        toward = ((there.x_mm - here.x_mm) / away, (there.y_mm - here.y_mm) / away)
        near = min(motor.slot_travel_mm, max(0.0, placed.centre_mm - placed.mesh.tightest_centre_mm))
        found.append((_End(motor, near, toward, "nearest to its gear"), placed))
        out = (-toward[0], -toward[1])
        found.append((_End(motor, motor.slot_travel_mm, out, "farthest from its gear"), placed))
    return found


def _own(subject: Subject, name: str) -> tuple[Body, ...]:
    return tuple(body for body in subject.layout.bodies if name in (body.shaft, body.group))


def _slot_travel(subject: Subject) -> Outcome:
    """Every end against all other bodies, and other motors in slots at their ends too; then floor, and teeth."""
    ends = _ends(subject)
    if not ends:
        return Outcome(0)
    told = {_key(pair) for pairs in subject.pairs.values() for pair in pairs if _too_near(_at_an_end(pair))}
    places = {shaft.name: (shaft.x_mm, shaft.y_mm) for shaft in subject.layout.shafts}
    compared = 0
    worst: dict[frozenset[str], tuple[_End, Pair]] = {}
    limits: dict[tuple[str, str], Finding] = {}
    floored: dict[str, tuple[_End, float]] = {}
    for end, _ in ends:
        own = _own(subject, end.motor.name)
        still = [body for body in subject.layout.bodies if body not in own]
        for other, _ in ends:
            if other.motor.name < end.motor.name:
                still += other.moved(_own(subject, other.motor.name))
        for pair in map(_at_an_end, _pairs(subject, end.moved(own), still, places)):
            compared += 1
            key = _key(pair)
            short = pair.need.gap_mm - pair.gap_mm
            if key in told or not _too_near(pair):
                continue
            if key not in worst or short > worst[key][1].need.gap_mm - worst[key][1].gap_mm:
                worst[key] = (end, pair)
        past = _past_limits(subject, end, own)
        compared += past.compared
        limits |= {(end.motor.name, one.message): one for one in past.findings}
        low = _over_floor(subject, end.moved(own))
        compared += 1
        if low < -TOUCHING_MM <= _over_floor(subject, own):
            floored[end.motor.name] = (end, low)
    findings = [_in_the_way(subject, end, pair) for end, pair in worst.values()]
    findings += limits.values()
    findings += [_low(subject, end, low) for end, low in floored.values()]
    return Outcome(compared + len(ends), (*findings, *_parting(subject, ends)))


def _pairs(
    subject: Subject, some: tuple[Body, ...], others: list[Body], places: dict[str, tuple[float, float]]
) -> Iterator[Pair]:
    from gearplate.layout.clearance import pairs_between

    return pairs_between(some, others, subject.layout_spec, places)


def _at_an_end(pair: Pair) -> Pair:
    """What a pair needs where somebody may set a motor, not where it runs: what the job sets, or not to touch."""
    if pair.need.standing is Standing.JOB:
        return pair
    return replace(pair, need=replace(pair.need, gap_mm=0.0, standing=Standing.GEOMETRY))


def _too_near(pair: Pair) -> bool:
    from gearplate.layout.misses import too_near

    return too_near(pair) is not None


def _key(pair: Pair) -> frozenset[str]:
    return frozenset((thing(pair.a), thing(pair.b)))


def _over_floor(subject: Subject, bodies: tuple[Body, ...]) -> float:
    from gearplate.layout.shapes import upright_box

    return min(upright_box(body)[1] for body in bodies) + 0.5 * subject.layout_spec.wheel.diameter_mm


def _past_limits(subject: Subject, end: _End, own: tuple[Body, ...]) -> Outcome:
    """The job's limits in the plane that only the end of the travel breaks."""
    from gearplate.layout.misses import limit_results

    spec, layout = subject.layout_spec, subject.layout
    others = tuple(body for body in layout.bodies if body not in own)

    def broken(part: float) -> dict[str, Finding]:
        there = replace(layout, bodies=(*others, *end.moved(own, part)))
        return {key: finding for key, finding in limit_results(spec, there) if finding is not None}

    kept = [key for key, finding in limit_results(spec, layout) if finding is None]
    found = []
    for key, finding in broken(1.0).items():
        if key in kept:
            travel = _as_far_as(end, lambda part, key=key: key not in broken(part))  # type: ignore[misc]
            text = f"{end.motor.name} at the end of its slots {end.words} ({end.travel_mm:.3f} mm): {finding.message}"
            remedy, more = chain_of([_shorter(subject, (end.motor.name,), travel)])
            found.append(
                replace(
                    finding,
                    check="slot-travel",
                    severity=Severity.WARNING,
                    message=text,
                    remedy=remedy,
                    alternatives=more,
                )
            )
    return Outcome(len(kept), tuple(found))


def _as_far_as(end: _End, keeps: Callable[[float], bool]) -> float:
    """How far the motor may go toward this end while something still holds, mm."""
    low, high = 0.0, 1.0
    for _ in range(HALVINGS):
        middle = 0.5 * (low + high)
        low, high = (middle, high) if keeps(middle) else (low, middle)
    return low * end.travel_mm


def _shorter(subject: Subject, names: tuple[str, ...], travel_mm: float) -> Remedy:
    """Slots of this travel for these motors, and for those whose slots the same table of the job says."""
    value: object = rounded_down(travel_mm, subject.unit, fine=True)
    text = f"Let the slots reach no farther than {value} each way."
    if travel_mm < 0.02:
        text, value = "Take round holes.", 0
    motors = dict.fromkeys(mate for name in names for mate in table_mates(subject.raw, name))
    return Remedy(text, tuple((f"motors.{name}.slots", value) for name in motors))


def _in_the_way(subject: Subject, end: _End, pair: Pair) -> Finding:
    from gearplate.layout.misses import too_near
    from gearplate.layout.shapes import gap_between

    found = too_near(pair)
    assert found is not None
    name = end.motor.name
    # both as they stand at the ends of their slots; the motor itself on its way there
    start = end.moved((pair.a,), -1.0)[0]
    travel = _as_far_as(end, lambda part: gap_between(end.moved((start,), part)[0], pair.b) >= pair.need.gap_mm)
    others = [one.name for one in subject.layout_spec.motors if one.slot_travel_mm > 0.0 and one.name == pair.b.shaft]
    cures = [_shorter(subject, (name,), travel), *(_shorter(subject, (name, other), 0.0) for other in others)]
    remedy, more = chain_of([*cures, *angle_remedies(subject, [name])])
    return replace(
        found,
        check="slot-travel",
        severity=Severity.WARNING,
        message=f"{name} at the end of its slots {end.words} ({end.travel_mm:.3f} mm): {found.message}",
        remedy=remedy,
        alternatives=more,
        limit=pair.need.gap_mm,
        standing=pair.need.standing,
    )


def _low(subject: Subject, end: _End, low: float) -> Finding:
    own = _own(subject, end.motor.name)
    travel = _as_far_as(end, lambda part: _over_floor(subject, end.moved(own, part)) >= 0.0)
    remedy, more = chain_of([_shorter(subject, (end.motor.name,), travel), *angle_remedies(subject, [end.motor.name])])
    return Finding(
        "slot-travel",
        Severity.WARNING,
        f"{end.motor.name} at the end of its slots {end.words} ({end.travel_mm:.3f} mm) stands {-low:.3f} mm in "
        "the floor.",
        _where(subject, end),
        low,
        0.0,
        "mm",
        Standing.GEOMETRY,
        remedy,
        more,
    )


def _where(subject: Subject, end: _End) -> Where:
    place = subject.layout.shaft(end.motor.name)
    return Where(plate=end.motor.side.value, shafts=(end.motor.name,), x_mm=place.x_mm, y_mm=place.y_mm)


def _parting(subject: Subject, ends: list[tuple[_End, PlacedMesh]]) -> list[Finding]:
    """Meshes whose teeth part at the far end of the slots, equal ones once."""
    groups: dict[tuple[object, ...], list[tuple[_End, PlacedMesh, float]]] = {}
    for end, placed in ends:
        ratio = _contact_at(subject, end, placed, 1.0)
        runs = placed.mesh.contact_ratio >= LEAST_CONTACT
        if runs and placed.driver.gear.system == placed.driven.gear.system and ratio < LEAST_CONTACT - 1e-9:
            key = (end.travel_mm, placed.driver.gear, placed.driven.gear, placed.driven.shaft, round(ratio, 9))
            groups.setdefault(key, []).append((end, placed, ratio))
    return [_parted(subject, group) for group in groups.values()]


def _contact_at(subject: Subject, end: _End, placed: PlacedMesh, part: float) -> float:
    from gearplate.layout.arrange import placed_meshes

    positions = {shaft.name: (shaft.x_mm, shaft.y_mm) for shaft in subject.layout.shafts}
    x, y = positions[end.motor.name]
    step = part * end.travel_mm
    positions[end.motor.name] = (x + step * end.toward[0], y + step * end.toward[1])
    there = placed_meshes(subject.layout_spec, subject.layout.gears, positions)
    return next(one for one in there if one.driver.shaft == end.motor.name).mesh.contact_ratio


def _parted(subject: Subject, group: list[tuple[_End, PlacedMesh, float]]) -> Finding:
    end, placed, ratio = group[0]
    names = tuple(one.motor.name for one, _, _ in group)
    travel = _as_far_as(end, lambda part: _contact_at(subject, end, placed, part) >= LEAST_CONTACT)
    gear = gear_name(placed.driven.shaft, placed.driven.gear)
    return Finding(
        "slot-travel",
        Severity.NOTE,
        f"{' and '.join(names)}: {end.travel_mm:.3f} mm out in the slots the teeth of pinion and {gear} part (contact "
        f"ratio {ratio:.3f}), and inward they jam. Set the play by feel before the screws are drawn tight.",
        replace(_where(subject, end), shafts=names),
        ratio,
        LEAST_CONTACT,
        "",
        Standing.GEOMETRY,
        _shorter(subject, names, travel),
    )


RULES = (
    Rule(
        code="slot-travel",
        title="Motors at the ends of their slots",
        why="Slots let a motor stand anywhere along their travel: what it clears where it is drawn it may strike at "
        "the end, when somebody sets the play of its pinion. Far out the teeth do not reach each other any more.",
        remedy="Shorter slots (motors.NAME.slots): a tenth of a module each way sets the play.",
        limit="at both ends nothing touches, and what the job itself sets is kept: wheel.clear, keep-outs, limits in "
        "the plane (warnings). Toward its gear a motor goes as far as the teeth let it. A note where the contact ratio "
        "at the far end is under 1.",
        standing=Standing.GEOMETRY,
        source="geometry; the job",
        applies_to="motors in slots",
        check=_slot_travel,
        present=lambda subject: sum(motor.slot_travel_mm > 0.0 for motor in subject.layout_spec.motors),
    ),
)
