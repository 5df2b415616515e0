"""Plates and what passes or stands on them: shafts and bosses through holes, washers and posts on solid material."""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import TYPE_CHECKING, NamedTuple

from gearplate.checks.apart import thing
from gearplate.checks.job_keys import chain_of, rounded_up
from gearplate.checks.moves import own_hole_remedies, rail_screw_remedies, standoff_remedies
from gearplate.checks.rule import Outcome, Rule
from gearplate.checks.webs import BURNT_MM
from gearplate.finding import Finding, Remedy, Severity, Standing, Where

if TYPE_CHECKING:
    from gearplate.checks.cutouts import Cutout
    from gearplate.checks.subject import Subject
    from gearplate.geometry.shapes import Circle
    from gearplate.layout.design import Body
    from gearplate.plate.plate import Plate

TOUCHING_MM = 1e-6
FACE_MM = 1e-6  # how near to a plate's face something stands on it


# through-plate


def _passing(subject: Subject) -> Iterator[tuple[Plate, Body]]:
    """Bodies that reach into a plate's thickness. Gears there are told by gap-room, keep-outs by their own check, and
    a bearing sits in its bore."""
    from gearplate.layout.design import BodyKind

    kinds = (BodyKind.SHAFT, BodyKind.MOTOR_SHAFT, BodyKind.SPACER, BodyKind.PILOT)
    for plate in subject.plates:
        low, high = subject.layout.stack.plate(plate.side)
        for body in subject.layout.bodies:
            if body.kind in kinds and body.z0_mm < high - TOUCHING_MM and body.z1_mm > low + TOUCHING_MM:
                yield plate, body


def _through_plate(subject: Subject) -> Outcome:
    compared = 0
    findings = []
    for plate, body in _passing(subject):
        compared += 1
        room, feature = _room_round(subject, plate, body)
        wanted = subject.layout_spec.clearances.still_mm if body.turns else 0.0
        if room < wanted - TOUCHING_MM:
            findings.append(_in_material(subject, plate, body, room, wanted, feature))
    return Outcome(compared, tuple(findings))


def _room_round(subject: Subject, plate: Plate, body: Body) -> tuple[float, str | None]:
    """Room all round a body in the hole that leaves it most, or beside the plate, mm (negative: how deep it stands in
    the material), and that hole. A shaft that stands still is held by its hole: no room is no fault there."""
    from gearplate.geometry.nearest import circle_clear_of
    from gearplate.geometry.shapes import Circle

    disc = Circle(body.x_mm, body.y_mm, 2.0 * body.radius_mm)
    room, feature = circle_clear_of(plate.outline, disc), None
    for cutout in subject.cutouts[plate.side]:
        if cutout.seat and cutout.feature.shaft == body.shaft and body.kind.value == "shaft" and not body.turns:
            return max(room, 0.0), cutout.feature.id
        inside = _room_in(cutout, disc)
        if inside > room:
            room, feature = inside, cutout.feature.id
    return room, feature


def _room_in(cutout: Cutout, disc: Circle) -> float:
    """Room all round a disc in a cut-out, mm; minus infinity where its centre is not in it."""
    from gearplate.geometry.nearest import signed_distance
    from gearplate.geometry.shapes import Circle

    x, y, radius = disc.x_mm, disc.y_mm, 0.5 * disc.diameter_mm
    if not (cutout.box[0] <= x <= cutout.box[2] and cutout.box[1] <= y <= cutout.box[3]):
        return -math.inf
    shape = cutout.shape
    if isinstance(shape, Circle):
        room = 0.5 * shape.diameter_mm - math.hypot(shape.x_mm - x, shape.y_mm - y)
    else:
        room = -signed_distance(shape, x, y)
    return room - radius if room > 0.0 else -math.inf


def _in_material(
    subject: Subject, plate: Plate, body: Body, room: float, wanted: float, feature: str | None
) -> Finding:
    error = room < -TOUCHING_MM
    name = body.name if body.kind.value in body.name else f"{body.name} ({body.kind.value})"
    hole = f"in {feature}" if feature else "beside its edge"
    if not error:
        text = f"{name} turns {room:.3f} mm from the {plate.side.value} plate {hole}; {wanted:.3f} mm is wanted."
    elif feature is None:
        text = f"{name} runs into the {plate.side.value} plate, which has no hole there."
    else:
        text = f"{name} is {-2.0 * room:.3f} mm too thick for {feature} in the {plate.side.value} plate."
    cures = []
    if body.kind.value == "pilot boss" and feature is not None:
        text += " The motor does not go in."
        cures.append(Remedy("Cut the pilot's hole wider: the pilot allowance in the cutter's profile is too small."))
    return Finding(
        "through-plate",
        Severity.ERROR if error else Severity.WARNING,
        text,
        Where(
            plate=plate.side.value,
            shafts=(body.shaft,) if body.shaft else (),
            features=(feature,) if feature else (),
            x_mm=body.x_mm,
            y_mm=body.y_mm,
        ),
        room,
        0.0 if error else wanted,
        "mm",
        Standing.GEOMETRY if error else Standing.COMMON_PRACTICE,
        *chain_of(cures),
    )


# on-plate


class _Foot(NamedTuple):
    """What stands on a plate's face: the disc on it, and the hole under it (None: no hole there)."""

    plate: Plate
    body: Body
    disc: Circle
    own: Cutout | None


class _Hang(NamedTuple):
    """A foot, how far it stands on nothing (negative, mm), and the cut-out there; None: it reaches over the edge."""

    foot: _Foot
    gap_mm: float
    over: Cutout | None


def _standing(subject: Subject) -> Iterator[tuple[Plate, Body]]:
    """Every washer, head, nut, flange and post on the faces of the plates."""
    from gearplate.layout.clearance import HARDWARE, POSTS

    for plate in subject.plates:
        low, high = subject.layout.stack.plate(plate.side)
        for body in subject.layout.bodies:
            if body.kind in HARDWARE | POSTS and (abs(body.z0_mm - high) < FACE_MM or abs(body.z1_mm - low) < FACE_MM):
                yield plate, body


def _feet(subject: Subject) -> Iterator[_Foot]:
    """Each foot; one on a slot twice, at both of its ends."""
    from gearplate.geometry.shapes import Circle
    from gearplate.plate.contours import slot_ends

    for plate, body in _standing(subject):
        centre = Circle(body.x_mm, body.y_mm, 0.0)
        own = next((one for one in subject.cutouts[plate.side] if _room_in(one, centre) > 0.0), None)
        places = [(body.x_mm, body.y_mm)]
        if own is not None and own.feature.form == "slot" and own.loaded:
            places = list(slot_ends(own.feature))
        for x, y in places:
            yield _Foot(plate, body, Circle(x, y, 2.0 * body.radius_mm), own)


def _on_plate(subject: Subject) -> Outcome:
    compared = 0
    worst: dict[tuple[str, str], _Hang] = {}
    for foot in _feet(subject):
        compared += 1
        hang = _hang(subject, foot)
        key = (thing(foot.body), foot.plate.side.value)
        if hang is not None and (key not in worst or hang.gap_mm < worst[key].gap_mm):
            worst[key] = hang
    together: dict[tuple[object, ...], list[_Hang]] = {}
    for hang in worst.values():
        kind = "edge" if hang.over is None else id(hang)
        together.setdefault((kind, hang.foot.body.kind, round(hang.gap_mm, 6)), []).append(hang)
    return Outcome(compared, tuple(_stands_on_nothing(subject, hangs) for hangs in together.values()))


def _hang(subject: Subject, foot: _Foot) -> _Hang | None:
    """Where a foot stands most on nothing; None where it stands wholly on material round its own hole."""
    from gearplate.geometry.nearest import circle_clear_of, signed_distance
    from gearplate.geometry.shapes import Circle

    disc = foot.disc
    x, y, radius = disc.x_mm, disc.y_mm, 0.5 * disc.diameter_mm
    found: list[_Hang] = []
    inside = -signed_distance(foot.plate.outline, x, y) - radius
    if inside < -TOUCHING_MM:
        found.append(_Hang(foot, inside, None))
    for cutout in subject.cutouts[foot.plate.side]:
        box = cutout.box
        if math.hypot(max(box[0] - x, 0.0, x - box[2]), max(box[1] - y, 0.0, y - box[3])) > radius:
            continue
        if cutout is foot.own:
            if cutout.width_mm is not None and cutout.width_mm > disc.diameter_mm - TOUCHING_MM:
                found.append(_Hang(foot, disc.diameter_mm - cutout.width_mm, cutout))
            continue
        shape = cutout.shape
        if isinstance(shape, Circle):
            gap = math.hypot(shape.x_mm - x, shape.y_mm - y) - 0.5 * shape.diameter_mm - radius
        else:
            gap = circle_clear_of(shape, disc)
        if gap < -TOUCHING_MM and not _burn_into_one(foot.own, cutout):
            found.append(_Hang(foot, gap, cutout))
    return min(found, key=lambda hang: hang.gap_mm, default=None)


def _burn_into_one(own: Cutout | None, other: Cutout) -> bool:
    """Whether what stands under a foot is one hole anyway: told by the web between the two."""
    from gearplate.plate.contours import gap_mm

    return own is not None and gap_mm(own.shape, other.shape) < BURNT_MM


def _stands_on_nothing(subject: Subject, hangs: list[_Hang]) -> Finding:
    hang = min(hangs, key=lambda one: one.gap_mm)
    foot, over = hang.foot, hang.over
    body, side = foot.body, foot.plate.side.value
    names = tuple(dict.fromkeys(thing(one.foot.body) for one in hangs))
    called = " and ".join(names) if len(names) < 3 else f"{names[0]} ({len(names) - 1} more likewise)"
    sides = {one.foot.plate.side for one in hangs}
    where = "both plates" if len(sides) > 1 else f"the {side} plate"
    through = over is not None and over is foot.own
    own_face = over is not None and over.feature.kind.value == "motor_pilot" and over.feature.shaft == body.shaft
    word = "" if body.kind.value in body.group else f"the {body.kind.value} of "
    if body.kind.value == "rail spacer":
        word = "the spacer tube of "
    if through:
        text = f"{word}{called} falls through its hole in {where}: it is {foot.disc.diameter_mm:.3f} mm across."
    elif over is None:
        text = f"{word}{called} reaches {-hang.gap_mm:.3f} mm over the edge of {where}."
    else:
        text = f"{word}{called} stands {-hang.gap_mm:.3f} mm over {over.feature.id} in {where}, on nothing."
    remedy, others = chain_of(_cures(subject, hang))
    features = tuple(one.feature.id for one in (foot.own, over) if one is not None)
    return Finding(
        "on-plate",
        Severity.ERROR if through else Severity.NOTE if own_face else Severity.WARNING,
        text,
        Where(
            plate=side if len(sides) == 1 else None,
            shafts=(body.shaft,) if body.shaft else (),
            features=tuple(dict.fromkeys(features)),
            x_mm=foot.disc.x_mm,
            y_mm=foot.disc.y_mm,
        ),
        hang.gap_mm,
        0.0,
        "mm",
        Standing.GEOMETRY if through else Standing.COMMON_PRACTICE,
        remedy,
        others,
    )


def _cures(subject: Subject, hang: _Hang) -> list[Remedy]:
    foot, over = hang.foot, hang.over
    if over is None:
        margin = rounded_up(subject.plate_spec.margin_mm - hang.gap_mm, subject.unit)
        return [Remedy("Give the plates a wider margin.", (("plates.margin", margin),))]
    if over is foot.own:
        return [Remedy("Cut its hole closer (its fit), or take a wider part.")]
    away = (over.feature.x_mm - foot.disc.x_mm, over.feature.y_mm - foot.disc.y_mm)
    found = own_hole_remedies(subject, over.feature, away, -hang.gap_mm)
    groups = (foot.body.group, over.feature.id)
    return found + standoff_remedies(subject, groups) + rail_screw_remedies(subject, groups)


RULES = (
    Rule(
        code="through-plate",
        title="What passes a plate",
        why="A shaft, a spacer or a motor's boss that reaches into a plate needs a hole there, and room round it where "
        "it turns. Without it the box does not go together, or the shaft saws its own hole, out of line.",
        remedy="Give it a hole (holes, or the tool's own), or let it end before the plate.",
        limit="hole less part: not below zero (error); where it turns clearances.still, 0.5 mm all round unless the "
        "job says otherwise (warning). Bearings and fixed shafts have their fits.",
        standing=Standing.GEOMETRY,
        source="geometry; the 0.5 mm are common practice, no source",
        applies_to="shafts, spacers and pilot bosses that reach into a plate",
        check=_through_plate,
        present=lambda subject: len(subject.layout_spec.motors),
    ),
    Rule(
        code="on-plate",
        title="What stands on a plate",
        why="A washer, flange or standoff that stands half over a hole, a window or the edge bends when its screw is "
        "drawn tight: it tilts, digs into the plastic and works loose.",
        remedy="Move the hole away from it, or give the plates a wider margin.",
        limit="washers, screw heads, nuts, bearing flanges, standoffs and spacer tubes stand wholly on material round "
        "their own hole (warning; on slots at both ends); one that falls through its own hole is an error. A motor's "
        "own pilot under its washers is a note.",
        standing=Standing.COMMON_PRACTICE,
        source="common practice, no source",
        applies_to="washers, heads, flanges and posts on the plates",
        check=_on_plate,
        present=lambda subject: (
            sum(motor.screws_used for motor in subject.layout_spec.motors) + 2 * len(subject.layout.standoffs)
        ),
    ),
)
