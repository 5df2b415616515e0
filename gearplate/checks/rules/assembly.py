"""Putting it together: slots that adjust, plates that only fit their own hand, marks that say which is which."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from gearplate.checks.job_keys import chain_of, exact, hole_key, point, rounded_down
from gearplate.checks.rule import Outcome, Rule
from gearplate.finding import Finding, Remedy, Severity, Standing, Where

if TYPE_CHECKING:
    from gearplate.checks.cutouts import Cutout
    from gearplate.checks.subject import Subject
    from gearplate.layout.spec import MotorSpec
    from gearplate.plate.plate import Plate

TOUCHING_MM = 1e-6
ODD_MM = 1.0
LEAST_SCREWS = 2
SAME_MM = 0.05
LETTER_MM = 3.0
LESSER_MARKS = ("tooth counts of ",)  # left out without a word where a small plate is full: the name stays


# slot-pilot


def _slot_pilot(subject: Subject) -> Outcome:
    compared = 0
    findings = []
    for motor in subject.layout_spec.motors:
        slots = _slots_of(subject, motor)
        if not slots:
            continue
        for check in (_close_pilot, _close_clearance):
            compared += 1
            found = check(subject, motor, slots)
            if found is not None:
                findings.append(found)
    return Outcome(compared, tuple(findings))


def _slots_of(subject: Subject, motor: MotorSpec) -> list[Cutout]:
    """Slots for a motor's screws: the tool's, and the user's own that stand on its screw circle."""
    from gearplate.layout.design import HoleKind

    place = subject.layout.shaft(motor.name)
    circle = 0.5 * motor.motor.face.bolt_circle_mm
    found = []
    for cutout in subject.cutouts[motor.side]:
        feature, width = cutout.feature, cutout.width_mm
        if feature.form != "slot" or width is None:
            continue
        if feature.kind is HoleKind.MOTOR_SCREW and feature.shaft == motor.name:
            found.append(cutout)
        elif feature.kind is HoleKind.OWN and 0.9 * motor.screw.nominal_mm <= width <= 1.5 * motor.screw.loose_mm:
            away = math.hypot(feature.x_mm - place.x_mm, feature.y_mm - place.y_mm)
            if abs(away - circle) <= 0.5 * width:
                found.append(cutout)
    return found


def _close_pilot(subject: Subject, motor: MotorSpec, slots: list[Cutout]) -> Finding | None:
    from gearplate.layout.design import HoleKind

    slot = max(slots, key=lambda cutout: cutout.feature.length_mm)
    travel = slot.feature.length_mm
    boss = motor.motor.face.pilot_diameter_mm
    for cutout in subject.cutouts[motor.side]:
        feature = cutout.feature
        if feature.shaft != motor.name or feature.kind is not HoleKind.MOTOR_PILOT or cutout.width_mm is None:
            continue
        room = cutout.width_mm - boss + feature.length_mm
        if room >= travel - TOUCHING_MM:
            return None
        return _held(
            subject,
            motor,
            slot,
            f"{feature.id} leaves the pilot boss {room:.3f} mm",
            room,
            travel,
            motor.side.value,
        )
    return None


def _close_clearance(subject: Subject, motor: MotorSpec, slots: list[Cutout]) -> Finding | None:
    """The hole in the other plate for the end of the motor's shaft must let it travel too."""
    from gearplate.layout.design import HoleKind

    slot = max(slots, key=lambda cutout: cutout.feature.length_mm)
    travel = slot.feature.length_mm
    for plate in subject.plates:
        low, high = subject.layout.stack.plate(plate.side)
        inside = [
            body.radius_mm
            for body in subject.layout.bodies
            if body.shaft == motor.name
            and body.turns
            and body.z0_mm < high - TOUCHING_MM
            and body.z1_mm > low + TOUCHING_MM
        ]
        if plate.side is motor.side or not inside:
            continue
        for cutout in subject.cutouts[plate.side]:
            feature = cutout.feature
            if feature.shaft != motor.name or feature.kind is not HoleKind.SHAFT_CLEARANCE or cutout.width_mm is None:
                continue
            room = cutout.width_mm - 2.0 * max(inside) + feature.length_mm
            if room < travel - TOUCHING_MM:
                text = f"{feature.id} leaves its shaft {room:.3f} mm"
                return _held(subject, motor, slot, text, room, travel, plate.side.value)
    return None


def _held(
    subject: Subject, motor: MotorSpec, slot: Cutout, held: str, room: float, travel: float, plate: str
) -> Finding:
    place = subject.layout.shaft(motor.name)
    own = hole_key(subject.plate_spec, slot.feature.id)
    half = exact(0.5 * travel, subject.unit)
    cures = []
    if own is not None:
        text = "Let the tool make the slots: it opens the pilot by the same travel."
        cures.append(Remedy(text, ((f"motors.{motor.name}.slots", half), (f"{own}.kind", "relief"))))
    else:
        less = rounded_down(0.5 * room, subject.unit)
        cures.append(Remedy("Let the slots be so short.", ((f"motors.{motor.name}.slots", less),)))
        cures.append(Remedy("Take round holes.", ((f"motors.{motor.name}.slots", 0),)))
    remedy, others = chain_of(cures)
    return Finding(
        "slot-pilot",
        Severity.ERROR,
        f"{slot.feature.id} lets {motor.name} travel {travel:.3f} mm, but {held}: the slots adjust nothing.",
        Where(plate=plate, shafts=(motor.name,), features=(slot.feature.id,), x_mm=place.x_mm, y_mm=place.y_mm),
        room,
        travel,
        "mm",
        Standing.GEOMETRY,
        remedy,
        others,
    )


# wrong-hand


def _wrong_hand(subject: Subject) -> Outcome:
    findings = []
    compared = 0
    for plate in subject.plates:
        compared += 1
        if plate.own_mirror or _nearly_own_mirror(plate):
            continue
        miss = misfit_mm(plate)
        if miss < ODD_MM - TOUCHING_MM:
            findings.append((plate, miss))
    if not findings:
        return Outcome(compared)
    plate, miss = min(findings, key=lambda item: item[1])
    names = " and ".join(item[0].side.value for item in findings)
    remedy, others = chain_of(_odd_standoffs(subject))
    return Outcome(
        compared,
        (
            Finding(
                "wrong-hand",
                Severity.WARNING,
                f"the {names} plate of the other hand, or this one turned over, can be bolted on: its worst hole "
                f"misses by {miss:.3f} mm only.",
                Where(plate=plate.side.value if len(findings) == 1 else None),
                miss,
                ODD_MM,
                "mm",
                Standing.COMMON_PRACTICE,
                remedy,
                others,
            ),
        ),
    )


def _nearly_own_mirror(plate: Plate) -> bool:
    """Whether every cut-out has its twin on the other side, to less than anybody would notice."""
    middle = sum(one.x_mm for one in plate.features) / max(len(plate.features), 1)
    return all(
        any(
            other.kind is one.kind
            and other.form == one.form
            and abs(other.part_diameter_mm - one.part_diameter_mm) < SAME_MM
            and abs(other.length_mm - one.length_mm) < SAME_MM
            and math.hypot(other.x_mm + one.x_mm - 2.0 * middle, other.y_mm - one.y_mm) < SAME_MM
            for other in plate.features
        )
        for one in plate.features
    )


def misfit_mm(plate: Plate) -> float:
    """By how much the worst hole of the plate's mirror image misses, however it is laid on."""
    from gearplate.layout.design import HoleKind
    from gearplate.layout.handedness import mirrored_misfit_mm

    bores = [
        (one.x_mm, one.y_mm, one.part_diameter_mm)
        for one in plate.features
        if one.kind in (HoleKind.BEARING_BORE, HoleKind.MOTOR_PILOT) or (one.shaft and one.shared and not one.loaded)
    ]
    screws = [(one.x_mm, one.y_mm) for one in plate.features if one.kind in (HoleKind.STANDOFF, HoleKind.RAIL_HOLE)]
    return mirrored_misfit_mm(bores, screws)


def _odd_standoffs(subject: Subject) -> list[Remedy]:
    """One standoff of the given ones moved by 5 mm; then the tool's own places."""
    from gearplate.layout.handedness import mirrored_misfit_mm

    places = subject.layout_spec.standoffs.places
    if not places:
        return []
    plate = subject.plates[0]
    bores = [(one.x_mm, one.y_mm, one.part_diameter_mm) for one in plate.features if one.shaft and not one.loaded]
    rail = list(subject.layout.rail_holes)
    found = []
    for index in reversed(range(len(places))):
        for dx, dy in ((5.0, 0.0), (-5.0, 0.0), (0.0, 5.0), (0.0, -5.0)):
            moved = [*places[:index], (places[index][0] + dx, places[index][1] + dy), *places[index + 1 :]]
            if mirrored_misfit_mm(bores, [*rail, *moved]) >= ODD_MM:
                setting = [point(x, y, subject.unit) for x, y in moved]
                found.append(Remedy(f"Set standoff-{index + 1} 5 mm aside.", (("standoffs.places", setting),)))
    return found


# marks-room


def _marks_room(subject: Subject) -> Outcome:
    from gearplate.plate.marks import DRAFT

    compared = 0
    findings = []
    for plate in subject.plates:
        compared += len(plate.marks) + len(plate.unplaced_marks)
        if any(text != DRAFT and not text.startswith(LESSER_MARKS) for text in plate.unplaced_marks):
            findings.append(_no_room(subject, plate))
    return Outcome(compared, tuple(findings))


def _no_room(subject: Subject, plate: Plate) -> Finding:
    from gearplate.plate.marks import DRAFT

    # a draft without room for the word takes the place of a line: that is no mark left out
    left_out = ", ".join(text for text in plate.unplaced_marks if text != DRAFT)
    remedy = None
    if subject.plate_spec.letter_height_mm > LETTER_MM + TOUCHING_MM:
        least = exact(LETTER_MM, subject.unit)
        remedy = Remedy("Take smaller letters.", (("plates.letter_height", least),))
    return Finding(
        "marks-room",
        Severity.NOTE,
        f"the {plate.side.value} plate has no room for: {left_out}.",
        Where(plate=plate.side.value),
        standing=Standing.GEOMETRY,
        remedy=remedy,
    )


# motor-screws


def _motor_screws(subject: Subject) -> Outcome:
    motors = subject.layout_spec.motors
    findings = []
    for motor in motors:
        if motor.screws_used < LEAST_SCREWS <= motor.motor.face.screw_count:
            place = subject.layout.shaft(motor.name)
            findings.append(
                Finding(
                    "motor-screws",
                    Severity.WARNING,
                    f"{motor.name} is held by {motor.screws_used} screw: the force on its pinion turns it about that, "
                    "and the mesh opens.",
                    Where(plate=motor.side.value, shafts=(motor.name,), x_mm=place.x_mm, y_mm=place.y_mm),
                    float(motor.screws_used),
                    float(LEAST_SCREWS),
                    "",
                    Standing.COMMON_PRACTICE,
                    Remedy("Use two opposite ones.", ((f"motors.{motor.name}.screws", LEAST_SCREWS),)),
                )
            )
    return Outcome(len(motors), tuple(findings))


RULES = (
    Rule(
        code="motor-screws",
        title="Screws that hold a motor",
        why="The torque of a motor and the push of its teeth want to turn it in its pilot. A single screw is a hinge: "
        "it works loose, and the play of the mesh changes with every start.",
        remedy="Use two opposite screws (motors.NAME.screws), or all that the face has.",
        limit=f"at least {LEAST_SCREWS} screws in each motor, where its face has so many.",
        standing=Standing.COMMON_PRACTICE,
        source="common practice, no source",
        applies_to="motors",
        check=_motor_screws,
        present=lambda subject: len(subject.layout_spec.motors),
    ),
    Rule(
        code="slot-pilot",
        title="Slots beside a close pilot",
        why="Slots for a motor's screws are there to set the play of its pinion. If the hole for its pilot boss, or "
        "the one for its shaft's end in the other plate, stays round and close, the motor cannot move at all.",
        remedy="Ask for the slots with motors.NAME.slots: the tool opens the pilot by the same travel.",
        limit="room of the pilot boss in its hole, and of the shaft's end in the other plate, >= travel of the slots.",
        standing=Standing.GEOMETRY,
        source="geometry",
        applies_to="motors with slots",
        check=_slot_pilot,
        present=lambda subject: sum(bool(_slots_of(subject, motor)) for motor in subject.layout_spec.motors),
    ),
    Rule(
        code="wrong-hand",
        title="Plates that fit the wrong hand",
        why="A right and a left gearbox look alike on the bench. If the plate of the other hand, or this one turned "
        "over, can be bolted on, sooner or later it is, and every shaft stands on the wrong side.",
        remedy="Set one standoff deliberately out of line; the tool does so where it places them.",
        limit=f"laid over in every way, the worst hole of the mirror image misses by {ODD_MM:g} mm or more; a plate "
        "that is its own mirror fits both hands and is right so.",
        standing=Standing.COMMON_PRACTICE,
        source="common practice, no source",
        applies_to="plates",
        check=_wrong_hand,
        present=lambda subject: len(subject.plates),
    ),
    Rule(
        code="marks-room",
        title="Room for marks",
        why="Etched names, arrows and tooth counts tell plates and holes apart at the bench. A plate that is full of "
        "holes has no room for all of them: then the least needed are left out.",
        remedy="Smaller letters (3 mm is the least that reads well), or a wider margin.",
        limit="letters at least 3 mm tall, 2 mm from every cut, off washers, flanges, motor faces and the rail.",
        standing=Standing.COMMON_PRACTICE,
        source="common practice, no source",
        applies_to="marks",
        check=_marks_room,
        present=lambda subject: sum(len(plate.marks) + len(plate.unplaced_marks) for plate in subject.plates),
    ),
)
