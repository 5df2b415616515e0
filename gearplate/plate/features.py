"""What is cut into each plate because of shafts, motors, screws and the user's own wishes; nominal sizes."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping
from dataclasses import replace

from gearplate.layout.design import Hole, HoleKind, Layout
from gearplate.layout.spec import LayoutSpec, Role, Side
from gearplate.plate.load import load_directions
from gearplate.plate.own_holes import own_features
from gearplate.plate.plate import Feature
from gearplate.plate.spec import PlateSpec

LEAST_WEB_MM = 3.0  # common practice, no source: never under 3 mm in plastic

SEAT_OF_KIND: Mapping[HoleKind, str] = {
    HoleKind.BEARING_BORE: "bearing",
    HoleKind.MOTOR_PILOT: "pilot",
    HoleKind.MOTOR_SCREW: "screw",
    HoleKind.STANDOFF: "screw",
    HoleKind.RAIL_HOLE: "screw",
}
"""The fit that the shop gives each kind; every other kind is "free": no allowance."""


def web_mm(spec: LayoutSpec, side: Side) -> float:
    """Least material between two holes of a plate: what the job says, else one thickness and at least 3 mm."""
    wanted = spec.clearances.web_mm
    return max(spec.stock(side).used_mm, LEAST_WEB_MM) if wanted is None else wanted


def features_by_side(layout: Layout, spec: LayoutSpec, wishes: PlateSpec) -> dict[Side, tuple[Feature, ...]]:
    """The holes that the layout asks for and the user's own. Holes that stand in both plates are marked shared."""
    loads = load_directions(layout)
    found: dict[Side, list[Feature]] = {side: [] for side in Side}
    for hole in _with_slots(layout, spec):
        found[hole.side].append(_feature_of(hole, loads))
    for side in Side:
        found[side] += own_features(layout, wishes, side)
    return {side: mark_shared(found[side], found[_other(side)]) for side in Side}


def mark_shared(features: Iterable[Feature], others: Iterable[Feature]) -> tuple[Feature, ...]:
    """The features, those marked as shared whose id is in the other plate too: one id names one hole."""
    ids = {feature.id for feature in others}
    return tuple(replace(feature, shared=feature.id in ids) for feature in features)


def passes_beside(feature: Feature, layout: Layout) -> bool:
    """Whether a hole is only there to let a motor's shaft or pinion through: where that runs beside the plate, none is
    needed."""
    return (
        feature.kind is HoleKind.SHAFT_CLEARANCE
        and feature.shaft is not None
        and layout.shaft(feature.shaft).role is Role.MOTOR
    )


def _feature_of(hole: Hole, loads: Mapping[str, float]) -> Feature:
    carries = hole.kind in (HoleKind.BEARING_BORE, HoleKind.MOTOR_PILOT)
    return Feature(
        hole.id,
        hole.kind,
        "slot" if hole.slot_length_mm > 0.0 else "circle",
        SEAT_OF_KIND.get(hole.kind, "free"),
        hole.shaft,
        hole.x_mm,
        hole.y_mm,
        hole.part_diameter_mm,
        hole.slot_length_mm,
        hole.angle_rad,
        hole.fit_mm,
        hole.fit_class,
        loaded=hole.loaded,
        load_rad=loads.get(hole.shaft or "") if carries else None,
    )


def _with_slots(layout: Layout, spec: LayoutSpec) -> Iterable[Hole]:
    """The layout's holes; where a motor is to be adjusted, its screw holes and its pilot are all opened by the same
    travel along the line of centres (slots beside a round pilot would adjust nothing)."""
    travel: dict[str, tuple[float, float]] = {}
    for motor in spec.motors:
        given = [hole for hole in layout.holes if hole.shaft == motor.name and hole.slot_length_mm > 0.0]
        length = max([2.0 * motor.slot_travel_mm, *(hole.slot_length_mm for hole in given)])
        if length > 0.0:
            travel[motor.name] = (length, given[0].angle_rad if given else line_of_centres_rad(layout, motor.name))
    for hole in layout.holes:
        if hole.shaft in travel and hole.kind in (HoleKind.MOTOR_SCREW, HoleKind.MOTOR_PILOT):
            length, angle = travel[hole.shaft or ""]
            yield replace(hole, slot_length_mm=length, angle_rad=angle)
        else:
            yield hole


def line_of_centres_rad(layout: Layout, motor: str) -> float:
    """Direction from a motor's axis to that of the gear that its pinion drives; 0 where it drives none."""
    for mesh in layout.meshes:
        if mesh.driver.shaft == motor:
            here, there = layout.shaft(motor), layout.shaft(mesh.driven.shaft)
            return math.atan2(there.y_mm - here.y_mm, there.x_mm - here.x_mm)
    return 0.0


def _other(side: Side) -> Side:
    return Side.INBOARD if side is Side.OUTBOARD else Side.OUTBOARD
