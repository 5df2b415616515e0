"""Both plates in nominal sizes from a finished layout."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from gearplate.geometry.boxes import united
from gearplate.geometry.nearest import circle_clear_of, contains
from gearplate.geometry.path import bbox
from gearplate.geometry.shapes import Circle, Path
from gearplate.layout.design import HoleKind, Layout
from gearplate.layout.spec import LayoutSpec, Side
from gearplate.plate.access import access_features
from gearplate.plate.contours import contour
from gearplate.plate.features import features_by_side, mark_shared, passes_beside, web_mm
from gearplate.plate.lightening import lightening_features, mass_kg
from gearplate.plate.marks import less_one, must_stand, place_marks
from gearplate.plate.mirror import mirror_axis_x_mm
from gearplate.plate.outline import Outline, guard_discs, margin_discs, margin_rows, outline_of
from gearplate.plate.plate import Feature, Plate
from gearplate.plate.spec import PlateSpec


def make_plates(layout: Layout, layout_spec: LayoutSpec, plate_spec: PlateSpec) -> tuple[Plate, Plate]:
    """The outboard and the inboard plate, for the right-hand gearbox. Pure.

    Raises:
        ValueError: a plate without any hole.
    """
    found = features_by_side(layout, plate_spec)
    features = {side: _without_idle(layout, layout_spec, plate_spec, side, found[side]) for side in Side}
    boxes = {}
    for side in Side:
        boxes[side] = bbox(_outline(layout, layout_spec, plate_spec, side, features[side]).path)
    room = united(list(boxes.values()))
    for side in Side:

        def edge(present: Sequence[Feature], side: Side = side) -> Path:
            return _outline(layout, layout_spec, plate_spec, side, present).path

        while True:
            access = access_features(layout, layout_spec, side, features[side], edge, room)
            # the plate may have grown over a shaft that ran beside it
            needed = _without_idle(layout, layout_spec, plate_spec, side, found[side], (*features[side], *access))
            if len(needed) <= len(features[side]):
                break
            features[side] = needed
        features[side] += access
    shared = {
        side: mark_shared(features[side], features[Side.INBOARD if side is Side.OUTBOARD else Side.OUTBOARD])
        for side in Side
    }
    outboard = _plate(layout, layout_spec, plate_spec, Side.OUTBOARD, shared[Side.OUTBOARD], 0)
    windows = sum(feature.kind is HoleKind.WINDOW for feature in outboard.features)
    return outboard, _plate(layout, layout_spec, plate_spec, Side.INBOARD, shared[Side.INBOARD], windows)


def face_up_of(layout_spec: LayoutSpec, plate_spec: PlateSpec, side: Side) -> Side:
    """The face that lies up in the cutter: what the job says, else the one from which most of the plate's bearings
    are pressed, else the one toward the gears."""
    asked = plate_spec.face_up.outboard if side is Side.OUTBOARD else plate_spec.face_up.inboard
    if asked is not None:
        return asked
    seats = [seat for shaft in layout_spec.shafts if shaft.turns and (seat := shaft.seat(side)) is not None]
    from_gap = sum(1 if seat.pressed_from_gap else -1 for seat in seats)
    toward_gears = Side.INBOARD if side is Side.OUTBOARD else Side.OUTBOARD
    return toward_gears if from_gap >= 0 else side


def _plate(
    layout: Layout,
    layout_spec: LayoutSpec,
    plate_spec: PlateSpec,
    side: Side,
    features: tuple[Feature, ...],
    windows_before: int,
) -> Plate:
    """One plate; its lightening windows are numbered on from those of the other, since an id in both plates names a
    hole that they share."""
    outline = _outline(layout, layout_spec, plate_spec, side, features)
    face_up = face_up_of(layout_spec, plate_spec, side)
    windows: list[Feature] = []
    if plate_spec.lightening:
        web = max(plate_spec.lightening_web_mm or 0.0, web_mm(layout_spec, side))
        windows = lightening_features(layout, side, outline.path, features, web, layout_spec.stock(side).used_mm)
    while True:
        all_features = (*features, *windows)
        marks, unplaced = place_marks(
            layout, plate_spec, side, face_up, outline.path, all_features, give_up=bool(windows)
        )
        if not (windows and must_stand(unplaced)):
            break
        windows = less_one(windows)  # lettering comes before lightness
    windows = [
        replace(window, id=f"window-{windows_before + number}") for number, window in enumerate(windows, start=1)
    ]
    all_features = (*features, *windows)
    stock = layout_spec.stock(side)
    axis = mirror_axis_x_mm(outline.path, all_features)
    return Plate(
        side=side,
        stock=stock,
        face_up=face_up,
        outline=outline.path,
        features=all_features,
        marks=marks,
        waist_radius_mm=outline.waist_radius_mm,
        mass_saved_kg=mass_kg(windows, stock),
        unplaced_marks=unplaced,
        own_mirror=axis is not None,
        mirror_axis_x_mm=axis or 0.0,
    )


def _outline(
    layout: Layout, layout_spec: LayoutSpec, plate_spec: PlateSpec, side: Side, features: Sequence[Feature]
) -> Outline:
    discs = margin_discs(features, plate_spec)
    if plate_spec.cover_gears:
        discs += guard_discs(layout)
    neck = max(web_mm(layout_spec, side), 2.0 * plate_spec.margin_mm)
    return outline_of(discs, plate_spec, neck, margin_rows(features, plate_spec))


def _without_idle(
    layout: Layout,
    layout_spec: LayoutSpec,
    plate_spec: PlateSpec,
    side: Side,
    features: Sequence[Feature],
    present: Sequence[Feature] = (),
) -> list[Feature]:
    """The features without the clearance holes of motor shafts and pinions that run beside the plate anyway. What is
    `present` is in the plate whatever comes of it here."""
    there = {feature.id for feature in present}
    kept = [*present, *(one for one in features if not passes_beside(one, layout) and one.id not in there)]
    idle = [one for one in features if passes_beside(one, layout) and one.id not in there]
    if not kept:
        return list(features)
    found = True
    while idle and found:
        found = False
        outline = _outline(layout, layout_spec, plate_spec, side, kept).path
        for feature in idle:
            circle = contour(feature)
            assert isinstance(circle, Circle)
            if (
                contains(outline, feature.x_mm, feature.y_mm)
                or circle_clear_of(outline, circle) < layout_spec.clearances.still_mm
            ):
                kept.append(feature)
                idle.remove(feature)
                found = True
                break
    left = {feature.id for feature in idle}
    return [feature for feature in features if feature.id not in left]
