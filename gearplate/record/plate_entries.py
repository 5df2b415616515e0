"""The record's part on the plates: outline, features and marks of each cut plate."""

from __future__ import annotations

import math
from typing import Any

from gearplate.cut.cut_plate import CutFeature, CutPlate
from gearplate.cut.turn import to_frame
from gearplate.geometry.path import area, bbox, circle_path, path_length
from gearplate.geometry.shapes import Circle, Path, Stroke
from gearplate.plate.spec import Hand
from gearplate.record.numbers import box, length, maybe, pure, vertices
from gearplate.shop.shop import Shop


def plate_entry(cut: CutPlate, shop: Shop | None, written: bool) -> dict[str, Any]:
    """One cut plate. `written` = its file is (to be) in the folder; else the key `file` is null."""
    plate = cut.plate
    thickness = plate.stock.used_mm
    x0, y0, x1, y1 = bbox(cut.outline_path)
    enclosed = area(cut.outline)
    features = [feature_entry(feature, cut) for feature in cut.features]
    left_over = enclosed - sum(feature["area_mm2"] for feature in features)
    density = None
    if shop is not None and shop.material.density_kg_m3 is not None:
        density = 0.5 * (shop.material.density_kg_m3.low + shop.material.density_kg_m3.high)
    return {
        "plate": plate.side.value,
        "hand": cut.hand.value,
        "file": cut.file_name if written else None,
        "face_up": plate.face_up.value,
        "material": plate.stock.material,
        "thickness_mm": length(thickness),
        "kerf_mm": length(cut.kerf_mm),
        "outline": {"area_mm2": length(enclosed), "bbox_mm": box(bbox(cut.outline)), "vertices": vertices(cut.outline)},
        "features": features,
        "nominal_thickness_mm": length(plate.stock.nominal_mm),
        "thickness_measured": plate.stock.measured_mm is not None,
        "kerf_x_mm": length(cut.kerf_x_mm),
        "kerf_y_mm": length(cut.kerf_y_mm),
        "scale_x": pure(cut.scale_x),
        "scale_y": pure(cut.scale_y),
        "taper_mm_per_mm": length(cut.taper_mm_per_mm),
        "machine_compensates": cut.machine_compensates,
        "turned": cut.turned,
        "fits_both_hands": cut.fits_both_hands,
        "drawn": {
            "bbox_mm": box((x0, y0, x1, y1)),
            "size_mm": [length(x1 - x0), length(y1 - y0)],
            "cut_length_mm": length(cut_length_mm(cut)),
            "pierces": len(cut.features) + 1,
        },
        "area_left_mm2": length(left_over),
        "mass_kg": maybe(None if density is None else left_over * thickness * density * 1e-9),
        "mass_saved_kg": length(plate.mass_saved_kg),
        "marks": mark_entries(cut),
        "outline_fault": cut.outline_fault or None,
        "marks_left_out": list(plate.unplaced_marks),
    }


def feature_entry(cut_feature: CutFeature, cut: CutPlate) -> dict[str, Any]:
    """One hole, slot or window as it is once cut, in the frame of that plate's hand."""
    feature = cut_feature.feature
    finished = finished_path(cut_feature)
    round_hole = feature.form == "circle"
    slot = feature.form == "slot"
    diameter = cut_feature.finished_diameter_mm
    fit = None if diameter is None else diameter - feature.part_diameter_mm
    return {
        "id": feature.id,
        "kind": feature.kind.value,
        "form": feature.form,
        "shaft": feature.shaft,
        "x_mm": length(cut_feature.x_mm),
        "y_mm": length(cut_feature.y_mm),
        "finished_diameter_mm": maybe(diameter),
        "path_diameter_mm": maybe(cut_feature.path_diameter_mm),
        "length_mm": length(feature.length_mm) if slot else None,
        "angle_deg": length(slot_angle_deg(feature.angle_rad, cut.hand)) if slot else None,
        "area_mm2": length(area(finished)),
        "bbox_mm": box(bbox(finished)),
        "part_diameter_mm": length(feature.part_diameter_mm) if feature.form != "window" else None,
        "fit_mm": maybe(fit),
        "fit_class": feature.fit_class,
        "seat": feature.seat,
        "wide_face_diameter_mm": maybe(cut_feature.wider_face_diameter_mm),
        "shared": feature.shared,
        "loaded": feature.loaded,
        "lead_in": cut_feature.lead_in is not None,
        "lead_in_points_mm": lead_in_points(cut_feature, cut),
        "fault": cut_feature.fault or None,
        "vertices": None if round_hole else vertices(finished),
    }


def lead_in_points(cut_feature: CutFeature, cut: CutPlate) -> list[list[float]] | None:
    """Where the beam pierces and where it meets the contour, in the frame of that plate's hand, mm."""
    if cut_feature.lead_in is None:
        return None
    return [[length(x), length(y)] for x, y in to_frame(cut_feature.lead_in, cut).points]


def finished_path(cut_feature: CutFeature) -> Path:
    """The contour that is left after cutting, in the frame of that plate's hand."""
    if cut_feature.finished_path is not None:
        return cut_feature.finished_path
    return circle_path(Circle(cut_feature.x_mm, cut_feature.y_mm, cut_feature.finished_diameter_mm or 0.0))


def slot_angle_deg(angle_rad: float, hand: Hand) -> float:
    """Direction of a slot in the frame of that hand, from 0 up to 180 degrees."""
    angle = math.degrees(angle_rad)
    if hand is Hand.LEFT:
        angle = 180.0 - angle
    angle = round(angle, 9) % 180.0
    return angle + 0.0


def cut_length_mm(cut: CutPlate) -> float:
    """How far the beam cuts: outline, holes and lead-ins; marks are not in it."""
    whole = path_length(cut.outline_path)
    for feature in cut.features:
        shape = feature.shape
        whole += math.pi * shape.diameter_mm if isinstance(shape, Circle) else path_length(shape)
        if feature.lead_in is not None:
            whole += stroke_length_mm(feature.lead_in)
    return whole


def stroke_length_mm(stroke: Stroke) -> float:
    """Length along an open run of lines."""
    return sum(math.dist(a, b) for a, b in zip(stroke.points, stroke.points[1:], strict=False))


def mark_entries(cut: CutPlate) -> list[dict[str, Any]]:
    """What is etched, with its strokes as the file has them (x negated where the plate lies turned over)."""
    left = cut.hand is Hand.LEFT
    texts = {mark.id: (mark.left_text if left and mark.left_text else mark.text) for mark in cut.plate.marks}
    return [
        {
            "id": name,
            "text": texts.get(name, ""),
            "strokes_mm": [[[length(x), length(y)] for x, y in stroke.points] for stroke in strokes],
        }
        for name, strokes in cut.etch
    ]
