"""What is cut into each plate because of shafts, motors, screws and the user's own wishes; nominal sizes."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import replace

from gearplate.layout.constraints import web_mm as web_mm  # the layout keeps the same webs
from gearplate.layout.design import Hole, HoleKind, Layout
from gearplate.layout.spec import Role, Side
from gearplate.plate.load import load_directions
from gearplate.plate.own_holes import own_features
from gearplate.plate.plate import Feature
from gearplate.plate.spec import PlateSpec

SEAT_OF_KIND: Mapping[HoleKind, str] = {
    HoleKind.BEARING_BORE: "bearing",
    HoleKind.MOTOR_PILOT: "pilot",
    HoleKind.MOTOR_SCREW: "screw",
    HoleKind.STANDOFF: "screw",
    HoleKind.RAIL_HOLE: "screw",
}
"""The fit that the shop gives each kind; every other kind is "free": no allowance."""


def features_by_side(layout: Layout, wishes: PlateSpec) -> dict[Side, tuple[Feature, ...]]:
    """The holes that the layout asks for and the user's own. Holes that stand in both plates are marked shared."""
    loads = load_directions(layout)
    found: dict[Side, list[Feature]] = {side: [] for side in Side}
    for hole in layout.holes:
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


def _other(side: Side) -> Side:
    return Side.INBOARD if side is Side.OUTBOARD else Side.OUTBOARD
