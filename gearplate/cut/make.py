"""A plate made ready to cut: fit, kerf, hand and turn, each applied once."""

from __future__ import annotations

from gearplate.cut.cut_plate import CutFeature, CutPlate
from gearplate.cut.etch import etched
from gearplate.cut.finished import finished_diameter_mm, finished_shape
from gearplate.cut.kerf import hole_path, outline_path, scaled, scaled_stroke
from gearplate.cut.lead_in import start_rad, wants_lead_in, with_lead_in
from gearplate.cut.names import file_stem
from gearplate.cut.turn import is_turned, sheet_sign, to_hand, to_sheet
from gearplate.geometry.shapes import Circle, Path
from gearplate.plate.contours import contour
from gearplate.plate.plate import Feature, Plate
from gearplate.plate.spec import Hand, Identity
from gearplate.shop.shop import Shop


def cut_plate(
    plate: Plate, hand: Hand, shop: Shop, identity: Identity, drawn_unit: str, draft: bool = False
) -> CutPlate:
    """The paths for one plate of one hand. Pure. `shop` is that of the plate's material, `drawn_unit` "mm" or "inch"
    (it only names the file: coordinates stay mm). `draft`: name and marks say DRAFT.

    What is too small for the beam keeps its finished contour and says so as a fault (see CutPlate.faults).

    Raises:
        NoCalibration: the shop has no allowance for a seat.
        FitError: a fit class that ISO 286 does not have for that size.
    """
    turned = is_turned(plate.face_up)
    kerf_x, kerf_y = shop.path_kerf_x_mm, shop.path_kerf_y_mm
    outline = to_hand(plate.outline, hand)
    outline_fault = ""
    try:
        path = outline_path(plate.outline, kerf_x, kerf_y)
    except ValueError as error:
        path, outline_fault = plate.outline, str(error)
    drawn_outline = scaled(to_sheet(to_hand(path, hand), turned), shop.scale_x, shop.scale_y)
    assert isinstance(drawn_outline, Path)
    etch = tuple(
        (name, tuple(scaled_stroke(stroke, shop.scale_x, shop.scale_y) for stroke in strokes))
        for name, strokes in etched(plate, hand, turned, draft)
    )
    return CutPlate(
        plate=plate,
        hand=hand,
        file_name=f"{file_stem(identity, plate, hand, drawn_unit, draft)}.dxf",
        turned=turned,
        kerf_mm=shop.kerf_mm,
        kerf_x_mm=shop.kerf_x_mm,
        kerf_y_mm=shop.kerf_y_mm,
        taper_mm_per_mm=shop.taper_mm_per_mm,
        machine_compensates=shop.compensates,
        outline=outline,
        outline_path=drawn_outline,
        features=tuple(_cut_feature(feature, hand, turned, shop) for feature in plate.features),
        etch=etch,
        fits_both_hands=plate.own_mirror,
        scale_x=shop.scale_x,
        scale_y=shop.scale_y,
        draft=draft,
        outline_fault=outline_fault,
    )


def _cut_feature(feature: Feature, hand: Hand, turned: bool, shop: Shop) -> CutFeature:
    kerf_x, kerf_y = shop.path_kerf_x_mm, shop.path_kerf_y_mm
    diameter = finished_diameter_mm(feature, shop)
    finished, fault = _finished(feature, diameter)
    path = finished
    if not fault:
        try:
            path = hole_path(finished, kerf_x, kerf_y)
        except ValueError as error:
            fault = str(error)
    # Everything up to here is in the right-hand frame, so that the left-hand plate is its mirror image to the last bit.
    shape: Circle | Path = to_sheet(to_hand(path, hand), turned)
    lead_in = None
    asked = shop.cutter.lead_in
    if asked is not None and wants_lead_in(feature, asked) and not fault:
        shape, lead_in = with_lead_in(shape, asked, start_rad(feature, asked, sheet_sign(hand, turned)))
    middle = to_hand(Circle(feature.x_mm, feature.y_mm, 1.0), hand)
    return CutFeature(
        feature=feature,
        x_mm=middle.x_mm,
        y_mm=middle.y_mm,
        finished_diameter_mm=diameter,
        path_diameter_mm=None if diameter is None else diameter - 0.5 * (kerf_x + kerf_y),
        finished_path=to_hand(finished, hand) if isinstance(finished, Path) else None,
        shape=scaled(shape, shop.scale_x, shop.scale_y),
        lead_in=None if lead_in is None else scaled_stroke(lead_in, shop.scale_x, shop.scale_y),
        wider_face_diameter_mm=None if diameter is None else shop.wider_mm(diameter),
        fault=fault,
    )


def _finished(feature: Feature, diameter: float | None) -> tuple[Circle | Path, str]:
    """The contour that is to remain, and why there is none (then the nominal contour stands for it)."""
    try:
        return finished_shape(feature, diameter), ""
    except ValueError as error:
        return contour(feature), str(error)
