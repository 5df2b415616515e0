"""Identity, plates, own holes and shops: from the job file's tables to the specs of the plate and shop rooms."""

from __future__ import annotations

import math

from gearplate.job.defaults import Choices
from gearplate.job.layout import material_name, measured_mm, nominal_mm, plate_tables
from gearplate.job.model.plates import Hole, Lightening, Plates
from gearplate.job.reading import Reading
from gearplate.layout.spec import OwnDisc, Side
from gearplate.plate.spec import FaceUp, Hand, Identity, OutlineStyle, OwnHole, PlateSpec
from gearplate.shop import Shop, shop_for

_SIDES = {"outboard": (Side.OUTBOARD,), "inboard": (Side.INBOARD,), "both": (Side.OUTBOARD, Side.INBOARD)}


def identity(reading: Reading, choices: Choices) -> Identity:
    """Part, revision, title and hands."""
    file = reading.file
    hand = choices.pick("hand", file.hand)
    return Identity(
        part=file.part,
        revision=choices.pick("revision", file.revision),
        title=choices.pick("title", file.title),
        hands=(Hand.RIGHT, Hand.LEFT) if hand == "both" else (Hand(hand),),
    )


def plate_spec(reading: Reading, choices: Choices) -> PlateSpec:
    """What the job asks of the plates."""
    plates = reading.file.plates or Plates()
    given = plates.lightening
    lightening = choices.pick("plates.lightening", None if given is None else given is not False)
    faces = {side: plate_tables(reading, side)[1].face_up for side in Side}
    return PlateSpec(
        identity=identity(reading, choices),
        margin_mm=choices.pick("plates.margin", plates.margin),
        outline=OutlineStyle(choices.pick("plates.outline", plates.outline)),
        waist_radius_mm=choices.pick("plates.waist_radius", plates.waist_radius),
        cover_gears=choices.pick("plates.cover_gears", plates.cover_gears),
        lightening=lightening,
        lightening_web_mm=given.web if isinstance(given, Lightening) else None,
        marks=choices.pick("plates.marks", plates.marks),
        letter_height_mm=choices.pick("plates.letter_height", plates.letter_height),
        own_holes=tuple(_own_hole(hole, reading, choices) for hole in reading.file.holes or ()),
        face_up=FaceUp(
            **{side.value: None if face is None else Side(face) for side, face in faces.items()},
        ),
    )


def _own_hole(hole: Hole, reading: Reading, choices: Choices) -> OwnHole:
    sides = _SIDES[choices.pick("holes.plate", hole.plate)]
    form = choices.pick("holes.form", hole.form)
    x, y = hole.at or hole.offset or (0.0, 0.0)
    if hole.radius is not None:
        angle = hole.angle or 0.0
        x, y = hole.radius * math.cos(angle), hole.radius * math.sin(angle)
    corner = hole.corner_radius
    if form == "window":
        thickest = max(nominal_mm(reading, side) or 0.0 for side in sides)
        corner = choices.work_out("holes.corner_radius", corner, thickest / 2, hole.name)
    return OwnHole(
        name=hole.name,
        kind=choices.pick("holes.kind", hole.kind),
        form=form,
        sides=sides,
        shaft=hole.shaft,
        x_mm=x,
        y_mm=y,
        diameter_mm=hole.diameter or 0.0,
        length_mm=hole.length or 0.0,
        angle_rad=next((angle for angle in (hole.along, hole.angle) if angle is not None), 0.0),
        points=hole.points or (),
        corner_radius_mm=corner or 0.0,
        fit_mm=choices.pick("holes.fit", hole.fit),
    )


def own_discs(holes: tuple[OwnHole, ...]) -> tuple[OwnDisc, ...]:
    """For the layout, which places screws and posts, a disc round each own hole; round a window's box, over its
    corners."""
    discs = []
    for hole in holes:
        x, y, diameter = hole.x_mm, hole.y_mm, hole.diameter_mm + hole.length_mm
        if hole.points:
            xs, ys = [point[0] for point in hole.points], [point[1] for point in hole.points]
            x, y = x + 0.5 * (min(xs) + max(xs)), y + 0.5 * (min(ys) + max(ys))
            diameter = math.hypot(max(xs) - min(xs), max(ys) - min(ys))
        discs.append(OwnDisc(hole.sides, hole.shaft, x, y, diameter + max(hole.fit_mm, 0.0)))
    return tuple(discs)


def shop_of(reading: Reading, side: Side) -> Shop | None:
    """Cutter, material and fits of a plate; None where the material must never be cut, which a check refuses.

    Raises NoCalibration where the cutter was never calibrated for the material.
    """
    name = material_name(reading, side)
    assert name is not None  # looked at by the checks
    material = reading.catalog.material(name)
    if material.never_cut:
        return None
    return shop_for(
        reading.catalog.cutter(reading.file.cutter),
        material,
        thickness_mm=nominal_mm(reading, side),
        measured_mm=measured_mm(reading, side),
    )
