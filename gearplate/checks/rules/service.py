"""What can be changed without splitting the box: motors, and the axle."""

from __future__ import annotations

import math
from dataclasses import replace
from typing import TYPE_CHECKING

from gearplate.checks.apart import thing
from gearplate.checks.job_keys import chain_of
from gearplate.checks.moves import (
    angle_remedies,
    clocking_remedies,
    fewer_screws_remedies,
    own_hole_remedies,
    standoff_remedies,
)
from gearplate.checks.pilots import smaller_pinions, what_passes
from gearplate.checks.rule import Outcome, Rule
from gearplate.finding import Finding, Remedy, Severity, Standing, Where

if TYPE_CHECKING:
    from gearplate.checks.cutouts import Cutout
    from gearplate.checks.subject import Subject
    from gearplate.layout.design import Body
    from gearplate.layout.spec import MotorSpec
    from gearplate.plate.plate import Feature

TOUCHING_MM = 1e-6


# motor-service


def _motor_service(subject: Subject) -> Outcome:
    """Motors that come off by themselves do not bar others: they are taken off first."""
    motors = subject.layout_spec.motors
    held = {motor.name: finding for motor in motors if (finding := _pinion_held(subject, motor)) is not None}
    off: set[str] = set()
    barred: dict[str, list[tuple[Feature, str]]] = {}
    compared = len(motors)
    changed = True
    while changed:
        changed = False
        for motor in motors:
            if motor.name in off:
                continue
            barred[motor.name] = _barred_screws(subject, motor, off)
            if not barred[motor.name] and motor.name not in held:
                off.add(motor.name)
                changed = True
    findings = _equal_together(held)
    for motor in motors:
        screws = _screws(subject, motor)
        compared += len(screws)
        if barred[motor.name]:
            findings.append(_unreached(subject, motor, barred[motor.name], len(screws)))
    return Outcome(compared, tuple(findings))


def _equal_together(held: dict[str, Finding]) -> list[Finding]:
    """The findings on pinions, equal ones once with all their motors."""
    groups: dict[tuple[object, ...], list[tuple[str, Finding]]] = {}
    for name, finding in held.items():
        groups.setdefault((finding.measured, finding.limit, finding.where.plate), []).append((name, finding))
    together = []
    for equal in groups.values():
        names = [name for name, _ in equal]
        first = equal[0][1]
        features = tuple(feature for _, one in equal for feature in one.where.features)
        text = first.message.replace(names[0], " and ".join(names), 1)
        where = replace(first.where, shafts=tuple(names), features=features)
        together.append(replace(first, message=text, where=where))
    return together


def _barred_screws(subject: Subject, motor: MotorSpec, off: set[str]) -> list[tuple[Feature, str]]:
    """The motor's screws without a straight way, each with what bars it, once the motors in `off` are off."""
    from gearplate.layout.design import BodyKind

    bodies = [
        body
        for body in subject.layout.bodies
        if body.kind is not BodyKind.WHEEL and body.shaft not in off and body.group not in off
    ]
    return [
        (hole, why)
        for hole in _screws(subject, motor)
        if (why := _way_barred(subject, motor, hole, bodies)) is not None
    ]


def _screws(subject: Subject, motor: MotorSpec) -> list[Feature]:
    from gearplate.layout.design import HoleKind

    plate = subject.plate(motor.side)
    return [one for one in plate.features if one.shaft == motor.name and one.kind is HoleKind.MOTOR_SCREW]


def _pinion_held(subject: Subject, motor: MotorSpec) -> Finding | None:
    """The pinion, still on its shaft, must come out through the pilot's hole with the motor."""
    from gearplate.layout.design import HoleKind

    pinion = next((gear for gear in subject.layout.gears if gear.shaft == motor.name), None)
    tip = 0.0 if pinion is None else pinion.tip_diameter_mm
    for cutout in subject.cutouts[motor.side]:
        feature = cutout.feature
        if feature.shaft != motor.name or feature.kind is not HoleKind.MOTOR_PILOT or cutout.width_mm is None:
            continue
        if pinion is None or tip <= cutout.width_mm + TOUCHING_MM:
            return None
        boss = tip - cutout.width_mm + motor.motor.face.pilot_diameter_mm
        return Finding(
            "motor-service",
            Severity.WARNING,
            f"{motor.name} cannot come out with the pinion on: the tips ({tip:.3f} mm) are "
            f"{tip - cutout.width_mm:.3f} mm wider than the pilot's hole ({cutout.width_mm:.3f} mm). The box must be "
            "split to change a motor. "
            f"{what_passes(subject, pinion, cutout.width_mm)}, or a motor with a pilot of {boss:.3f} mm.",
            Where(
                plate=motor.side.value,
                shafts=(motor.name,),
                features=(feature.id,),
                x_mm=feature.x_mm,
                y_mm=feature.y_mm,
            ),
            tip,
            cutout.width_mm,
            "mm",
            Standing.GEOMETRY,
            *chain_of(smaller_pinions(subject, pinion, cutout.width_mm)),
        )
    return None


def _way_barred(subject: Subject, motor: MotorSpec, hole: Feature, bodies: list[Body]) -> str | None:
    """What of these bodies bars the straight way to a screw, in words; None where it is free."""
    from gearplate.layout.service import blockers

    barred = blockers(subject.layout_spec, subject.layout.stack, motor, (hole.x_mm, hole.y_mm), bodies)
    if barred:
        return " and ".join(dict.fromkeys(_named(body) for body in barred))
    if not _passes_plate(subject, motor, hole):
        return f"the {_other_side(motor)} plate, which has no hole there"
    return None


def _named(body: Body) -> str:
    from gearplate.layout.design import BodyKind

    if body.kind is BodyKind.GEAR:
        return f"the gear {body.name}"
    if body.kind is BodyKind.MOTOR:
        return f"the motor {body.name}"
    return "the rail" if body.kind is BodyKind.RAIL else thing(body)


def _other_side(motor: MotorSpec) -> str:
    from gearplate.layout.spec import Side

    return (Side.INBOARD if motor.side is Side.OUTBOARD else Side.OUTBOARD).value


def _passes_plate(subject: Subject, motor: MotorSpec, hole: Feature) -> bool:
    """Whether driver and screw head pass the other plate: through an open hole, or beside its outline."""
    from gearplate.geometry.nearest import circle_clear_of
    from gearplate.geometry.shapes import Circle
    from gearplate.layout.spec import Side

    other = subject.plate(Side(_other_side(motor)))
    wide = max(motor.screw.head_diameter_mm, motor.screw.driver_diameter_mm)
    disc = Circle(hole.x_mm, hole.y_mm, wide)
    if circle_clear_of(other.outline, disc) >= -TOUCHING_MM:
        return True
    return any(_holds(cutout, disc.x_mm, disc.y_mm, 0.5 * wide) for cutout in subject.cutouts[other.side])


def _holds(cutout: Cutout, x_mm: float, y_mm: float, radius_mm: float) -> bool:
    """Whether a cut-out that nothing sits in holds a disc."""
    from gearplate.geometry.nearest import signed_distance
    from gearplate.geometry.shapes import Circle

    if cutout.carries:
        return False
    shape = cutout.shape
    if isinstance(shape, Circle):
        away = math.hypot(shape.x_mm - x_mm, shape.y_mm - y_mm)
        return away + radius_mm <= 0.5 * shape.diameter_mm + TOUCHING_MM
    x0, y0, x1, y1 = cutout.box
    if not (x0 <= x_mm - radius_mm and x_mm + radius_mm <= x1 and y0 <= y_mm - radius_mm and y_mm + radius_mm <= y1):
        return False
    return signed_distance(shape, x_mm, y_mm) <= -radius_mm + TOUCHING_MM


def _unreached(subject: Subject, motor: MotorSpec, blocked: list[tuple[Feature, str]], of: int) -> Finding:
    hole, _ = blocked[0]
    ways = "; ".join(f"{one.id} is behind {why}" for one, why in blocked)
    fewer = fewer_screws_remedies(subject, motor, [one.id for one, _ in blocked])
    turned = clocking_remedies(subject, [motor.name])
    cures = [*turned, *fewer] if fewer and _reached_when_turned(subject, motor) else [*fewer, *turned]
    cures += standoff_remedies(subject, (body.group for body in subject.layout.bodies if body.group in ways))
    for one, why in blocked:
        if why.startswith("the ") and why.endswith("no hole there"):
            cures += _room_for_access(subject, motor, one)
    cures += angle_remedies(subject, [motor.name])
    remedy, others = chain_of(cures or [Remedy(_in_words(motor, blocked))])
    return Finding(
        "motor-service",
        Severity.WARNING,
        f"{motor.name} cannot be unscrewed without splitting the box ({len(blocked)} of {of} screws): {ways}.",
        Where(
            plate=motor.side.value,
            shafts=(motor.name,),
            features=tuple(one.id for one, _ in blocked),
            x_mm=hole.x_mm,
            y_mm=hole.y_mm,
        ),
        float(len(blocked)),
        0.0,
        "",
        Standing.COMMON_PRACTICE,
        remedy,
        others,
    )


def _reached_when_turned(subject: Subject, motor: MotorSpec) -> bool:
    """Whether some clocking reaches all screws of a motor where it stands."""
    from gearplate.layout.service import reachable_screws

    shaft, layout = subject.layout.shaft(motor.name), subject.layout
    place = (shaft.x_mm, shaft.y_mm)
    return any(
        reachable_screws(subject.layout_spec, layout.stack, motor, place, math.radians(degrees), layout.bodies)
        == motor.screws_used
        for degrees in range(0, 360, 5)
    )


def _in_words(motor: MotorSpec, blocked: list[tuple[Feature, str]]) -> str:
    """What to do where nothing that the job sets bars the way."""
    from gearplate.layout.service import access_diameter_mm

    no_hole = [hole for hole, why in blocked if why.endswith("no hole there")]
    if no_hole:
        places = " and ".join(f"({hole.x_mm:.1f}, {hole.y_mm:.1f})" for hole in no_hole)
        return (
            f"Make room in the {_other_side(motor)} plate for an access hole of {access_diameter_mm(motor):.1f} mm at "
            f"{places} mm: other holes, posts and washers stand too near it, or the edge."
        )
    names = " and ".join(dict.fromkeys(name for _, why in blocked for name in why.split(" and ")))
    return f"Place {motor.name} so that its screws stand beside {names}, or take smaller gears there."


def _room_for_access(subject: Subject, motor: MotorSpec, hole: Feature) -> list[Remedy]:
    """The user's own hole that stands nearest, moved out of the way of an access hole."""
    from gearplate.layout.service import access_diameter_mm
    from gearplate.layout.spec import Side
    from gearplate.plate.features import web_mm

    side = Side(_other_side(motor))
    want = web_mm(subject.layout_spec, side) + 0.5 * access_diameter_mm(motor)
    found = []
    for cutout in subject.cutouts[side]:
        feature = cutout.feature
        away = (feature.x_mm - hole.x_mm, feature.y_mm - hole.y_mm)
        short = want + 0.5 * (cutout.width_mm or 0.0) - math.hypot(*away)
        if short > 0.0:
            found += own_hole_remedies(subject, feature, away, short)
    return found


# axle-service


def _axle_service(subject: Subject) -> Outcome:
    """The way of the axle from where it stands out past the wheel; the wheel comes off first, and what stands on the
    axle stays behind or comes along."""
    from gearplate.layout.chain import OUTPUT
    from gearplate.layout.clearance import gap_between, in_rail_relief
    from gearplate.layout.design import BodyKind

    layout, spec = subject.layout, subject.layout_spec
    axle = next((body for body in layout.bodies if body.kind is BodyKind.SHAFT and body.shaft == OUTPUT), None)
    if axle is None:
        return Outcome(0)
    compared = 0
    bars: list[Body] = []
    places = {shaft.name: (shaft.x_mm, shaft.y_mm) for shaft in layout.shafts}
    for body in layout.bodies:
        if body is axle or body.kind is BodyKind.WHEEL or (body.shaft == OUTPUT and _on_axis(body, axle)):
            continue
        if body.z1_mm <= axle.z0_mm + TOUCHING_MM:
            continue
        compared += 1
        if body.kind is BodyKind.RAIL and in_rail_relief(axle, spec, places):
            continue
        if gap_between(axle, body) < -TOUCHING_MM:
            bars.append(body)
    # what the axle touches where it stands is told by the checks of clearance already
    bars = [body for body in bars if body.z0_mm >= axle.z1_mm - TOUCHING_MM]
    if not bars:
        return Outcome(compared)
    names = " and ".join(dict.fromkeys(_named(body) for body in bars))
    remedy, others = chain_of(angle_remedies(subject, [body.shaft for body in bars if body.shaft]))
    return Outcome(
        compared,
        (
            Finding(
                "axle-service",
                Severity.WARNING,
                f"the axle does not slide out toward the wheel's side: {names} stands in its way. The box must be "
                "split, or the frame, to change it.",
                Where(shafts=(OUTPUT,), x_mm=axle.x_mm, y_mm=axle.y_mm),
                standing=Standing.GEOMETRY,
                remedy=remedy,
                alternatives=others,
            ),
        ),
    )


def _on_axis(body: Body, axle: Body) -> bool:
    return math.hypot(body.x_mm - axle.x_mm, body.y_mm - axle.y_mm) < TOUCHING_MM


RULES = (
    Rule(
        code="motor-service",
        title="Changing a motor",
        why="Between two matches or rows a burnt motor must come out in minutes. If a gear, a standoff or the other "
        "plate stands before one of its screws, or its pinion does not pass the pilot's hole, the whole box comes "
        "apart.",
        remedy="Turn the motor (clocking) so that its screws stand beside the gears, leave the access holes their "
        "room, or take a pinion that passes the pilot.",
        limit="pinion tip diameter <= pilot's hole; for every used screw a straight way for the driver past everything "
        "in the gap, and through an open hole in the other plate or beside it, wide enough for the screw's head. The "
        "wheel comes off first, and so do motors that are not barred themselves.",
        standing=Standing.COMMON_PRACTICE,
        source="geometry; the driver's room is common practice, no source",
        applies_to="motors and their screws",
        check=_motor_service,
        present=lambda subject: len(subject.layout_spec.motors),
    ),
    Rule(
        code="axle-service",
        title="Changing the axle",
        why="An axle that bends or wears should slide out toward the wheel's side, with the box staying on the rail.",
        remedy="Keep the room beyond the axle's end free.",
        limit="nothing but the wheel stands in the axle's line beyond its end.",
        standing=Standing.COMMON_PRACTICE,
        source="geometry",
        applies_to="bodies beside the axle's way out",
        check=_axle_service,
        present=lambda subject: len(subject.layout.bodies),
    ),
)
