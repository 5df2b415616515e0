"""Room along the axle inside the box: gears in the gap between the plates, pinions on their motors' shafts."""

from __future__ import annotations

from typing import TYPE_CHECKING

from gearplate.checks.job_keys import chain_of, rounded_up
from gearplate.checks.moves import side_remedies
from gearplate.checks.rule import Outcome, Rule
from gearplate.finding import Finding, Remedy, Severity, Standing, Where

if TYPE_CHECKING:
    from gearplate.checks.subject import Subject
    from gearplate.layout.design import GearOnShaft
    from gearplate.layout.spec import MotorSpec

TOUCHING_MM = 1e-6
LEAST_ENGAGED = 0.5
GOOD_ENGAGED = 0.9
USUAL_WHEEL_GAP_MM = 6.0


# gap-room


def _gap_room(subject: Subject) -> Outcome:
    """Along z: from each gear to the plates and to the flanges and bearings on its own axis. Foreign heads and
    flanges are for hardware-clearance."""
    rooms = [(room, gear, side, what) for gear in subject.layout.gears for room, side, what in _rooms(subject, gear)]
    wheel = _wheel_room(subject)
    compared = len(rooms) + 1
    if not rooms:
        return Outcome(1, wheel)
    stack, axial = subject.layout.stack, subject.layout_spec.clearances.axial_mm
    # a gear in a plate is told as that, not as one in the flange before it
    room, gear, side, what = min(rooms, key=lambda item: (item[0] >= -TOUCHING_MM or "plate" not in item[3], item[0]))
    if room >= axial - TOUCHING_MM:
        return Outcome(compared, wheel)
    spec = subject.layout_spec
    if spec.gap_mm is not None:
        wanted = rounded_up(stack.wanted_gap_mm, subject.unit)
        remedy = Remedy("Set the plates farther apart.", (("plates.gap", wanted),))
    else:
        remedy = Remedy("Take narrower gears, fewer stages or a wider rail: the rail's width is the gap here.")
    touches = room < -TOUCHING_MM
    name = f"{gear.shaft} {gear.gear.teeth}T"
    text = f"{name} {'stands' if touches else 'is'} {abs(room):.3f} mm {'in' if touches else 'from'} {what}"
    return Outcome(
        compared,
        (
            *wheel,
            Finding(
                "gap-room",
                Severity.ERROR if touches else Severity.WARNING,
                f"the gap between the plates is {stack.gap_mm:.3f} mm and gears, flanges and heads want "
                f"{stack.wanted_gap_mm:.3f} mm: {text}.",
                Where(plate=side, shafts=(gear.shaft,)),
                stack.gap_mm,
                stack.wanted_gap_mm,
                "mm",
                Standing.GEOMETRY if touches else Standing.COMMON_PRACTICE,
                remedy,
            ),
        ),
    )


def _wheel_room(subject: Subject) -> tuple[Finding, ...]:
    """The gap along the axle between the wheel and the rail, or the plate where no rail stands between."""
    stack, spec = subject.layout.stack, subject.layout_spec
    beside = stack.outboard[1] if stack.rail is None else max(stack.outboard[1], stack.rail[1])
    room, axial = stack.wheel[0] - beside, spec.clearances.axial_mm
    if room >= axial - TOUCHING_MM:
        return ()
    rubs = room < TOUCHING_MM
    what = "rail" if beside > stack.outboard[1] else "outboard plate"
    text = f"the wheel rubs on the {what}" if rubs else f"the wheel runs {room:.3f} mm beside the {what}"
    usual = rounded_up(USUAL_WHEEL_GAP_MM, subject.unit)
    return (
        Finding(
            "gap-room",
            Severity.ERROR if rubs else Severity.WARNING,
            f"{text}; {axial:.3f} mm is wanted along the axle.",
            Where(shafts=("output",)),
            room,
            axial,
            "mm",
            Standing.GEOMETRY if rubs else Standing.COMMON_PRACTICE,
            Remedy("Set a wider spacer between them.", (("wheel.gap", usual),)),
        ),
    )


def _rooms(subject: Subject, gear: GearOnShaft) -> list[tuple[float, str, str]]:
    from gearplate.layout.design import BodyKind

    stack = subject.layout.stack
    faces = [
        (stack.outboard[0] - gear.z1_mm, "outboard", "the outboard plate"),
        (gear.z0_mm - stack.inboard[1], "inboard", "the inboard plate"),
    ]
    for body in subject.layout.bodies:
        if body.shaft == gear.shaft and body.kind in (BodyKind.FLANGE, BodyKind.BEARING):
            outboard = body.z0_mm + body.z1_mm > stack.outboard[0] + stack.inboard[1]
            room = body.z0_mm - gear.z1_mm if outboard else gear.z0_mm - body.z1_mm
            faces.append((room, "outboard" if outboard else "inboard", body.name))
    return faces


# shaft-reach


def _shaft_reach(subject: Subject) -> Outcome:
    compared = 0
    short: dict[tuple[object, float], list[tuple[MotorSpec, GearOnShaft]]] = {}
    for motor in subject.layout_spec.motors:
        for gear in subject.layout.gears:
            if gear.shaft == motor.name:
                compared += 1
                held = _held_mm(subject, motor, gear)
                if held < GOOD_ENGAGED * (gear.z1_mm - gear.z0_mm) - TOUCHING_MM:
                    short.setdefault(((motor.motor, motor.side, gear.gear), held), []).append((motor, gear))
    return Outcome(compared, tuple(_short_shaft(subject, found, held) for (_, held), found in short.items()))


def _held_mm(subject: Subject, motor: MotorSpec, gear: GearOnShaft) -> float:
    """How much of a pinion's face stands on its motor's shaft."""
    from gearplate.layout.bodies import motor_face

    face, into = motor_face(subject.layout.stack, motor)
    end = face + into * motor.motor.shaft_length_mm
    held = (end - gear.z0_mm) if into > 0 else (gear.z1_mm - end)
    return min(max(held, 0.0), gear.z1_mm - gear.z0_mm)


def _short_shaft(subject: Subject, found: list[tuple[MotorSpec, GearOnShaft]], held: float) -> Finding:
    motor, gear = found[0]
    width = gear.z1_mm - gear.z0_mm
    error = held < LEAST_ENGAGED * width - TOUCHING_MM
    names = tuple(one.name for one, _ in found)
    remedy, others = chain_of(side_remedies(subject, names))
    shaft = subject.layout.shaft(motor.name)
    hangs = "hangs off" if held < TOUCHING_MM else "stands only partly on"
    return Finding(
        "shaft-reach",
        Severity.ERROR if error else Severity.WARNING,
        f"the pinion of {' and '.join(names)} {hangs} its shaft: {motor.motor.shaft_length_mm:g} mm of shaft hold "
        f"{held:.3f} mm of its {width:.3f} mm face.",
        Where(shafts=names, x_mm=shaft.x_mm, y_mm=shaft.y_mm),
        held,
        (LEAST_ENGAGED if error else GOOD_ENGAGED) * width,
        "mm",
        Standing.COMMON_PRACTICE,
        remedy,
        others,
    )


RULES = (
    Rule(
        code="gap-room",
        title="Room along the axle: gears between the plates, and the wheel",
        why="A gap that is too small lets gears rub on plates or flanges: they saw into the plastic, and the plates "
        "spread when the screws are drawn tight.",
        remedy="Leave plates.gap out, and the tool takes what the gears need; or take narrower gears.",
        limit="face widths of all stages + bearing flanges and screw heads beside them + clearances.axial (1 mm) "
        "between each two: less than that is a warning, a gear that touches a plate or flange an error. The "
        "wheel keeps clearances.axial to the rail, or to the plate, likewise.",
        standing=Standing.GEOMETRY,
        source="geometry; the 1 mm is common practice, no source",
        applies_to="gears between the plates, and the wheel",
        check=_gap_room,
        present=lambda subject: len(subject.layout_spec.train.stages),
    ),
    Rule(
        code="shaft-reach",
        title="Reach of a motor's shaft",
        why="A pinion that hangs over the end of its shaft tilts under load, wears its bore and walks off.",
        remedy="Take a motor with a longer shaft, let its stage run beside its plate, or let the motor stand on the "
        "other side of the box.",
        limit="the shaft reaches through the pinion's face, nine tenths of it at least (warning), half of it at the "
        "very least (error).",
        standing=Standing.COMMON_PRACTICE,
        source="common practice, no source",
        applies_to="motors with a pinion",
        check=_shaft_reach,
        present=lambda subject: len(subject.layout_spec.motors),
    ),
)
