"""Plates: bearing stress in every loaded bore, and tear-out to the nearest edge.

A plastic's strength falls with warmth: bores are rated at the hottest hall, holes of a motor also at the motor's own
heat. Loads of driving come and go; under a lasting load plastics creep, and half of the bearing stress is then usual.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from gearplate.catalog.materials import Material
from gearplate.catalog.row import Row
from gearplate.catalog.strengths import Strength
from gearplate.geometry.nearest import contains, distance_to_path
from gearplate.layout.design import HoleKind
from gearplate.plate.plate import Feature, Plate
from gearplate.rating.plain_sums import bearing_stress_mpa
from gearplate.rating.rating import Kind, Rating, over
from gearplate.rating.shaft_loads import ShaftCase


@dataclass(frozen=True, slots=True)
class Sheet:
    """A plate with what its material stands."""

    plate: Plate
    material: Material
    strength: Strength


@dataclass(frozen=True, slots=True)
class HoleLoad:
    """A force on the wall of a hole. `depth_mm`: how much of the wall carries it; `warm_c`: how warm it is there;
    `way`: as a rating's."""

    part: str
    feature: Feature
    load_case: str
    force_n: float
    diameter_mm: float
    depth_mm: float
    warm_c: float
    shafts: tuple[str, ...] = ()
    way: str = ""


def bore_loads(
    sheet: Sheet, cases: Sequence[ShaftCase], seat_width_mm: dict[str, float], warm_c: float
) -> list[HoleLoad]:
    """The worst force on each bearing bore (and on each hole that a fixed shaft stands in) of one plate."""
    worst: dict[str, tuple[float, ShaftCase]] = {}
    for case in cases:
        for support, radial in zip(case.supports, case.radial_n, strict=True):
            if support.side is sheet.plate.side and radial > worst.get(case.shaft, (-1.0, case))[0]:
                worst[case.shaft] = radial, case
    found = []
    for feature in sheet.plate.features:
        if feature.shaft in worst and feature.kind in (HoleKind.BEARING_BORE, HoleKind.SHAFT_CLEARANCE):
            force, case = worst[feature.shaft]
            depth = min(sheet.plate.stock.used_mm, seat_width_mm.get(feature.shaft, math.inf))
            part = f"{feature.shaft} bore in the {sheet.plate.side.value} plate"
            shafts = (feature.shaft,)
            found.append(
                HoleLoad(part, feature, case.case, force, feature.part_diameter_mm, depth, warm_c, shafts, case.way)
            )
    return found


def wall_mm(plate: Plate, feature: Feature) -> float:
    """Least material between a round hole and the outline or another hole, mm; not below zero."""
    return least_wall(plate, feature)[0]


def least_wall(plate: Plate, feature: Feature) -> tuple[float, str]:
    """Least material between a round hole and the outline or another hole, mm, not below zero; and to what it is.

    Slots count as the circle through their ends, which is more than they are.
    """
    radius = feature.part_diameter_mm / 2.0
    found = [(distance_to_path(plate.outline, feature.x_mm, feature.y_mm) - radius, "the outline")]
    for other in plate.features:
        if other is feature:
            continue
        if other.path is not None:
            away = distance_to_path(other.path, feature.x_mm, feature.y_mm)
            found.append((-radius if contains(other.path, feature.x_mm, feature.y_mm) else away - radius, other.id))
        else:
            reach = (other.part_diameter_mm + other.length_mm) / 2.0
            away = math.dist((feature.x_mm, feature.y_mm), (other.x_mm, other.y_mm)) - radius - reach
            found.append((away, other.id))
    least, to = min(found)
    return max(least, 0.0), to


def rate_holes(sheet: Sheet, loads: Iterable[HoleLoad]) -> tuple[Rating, ...]:
    """Bearing stress and tear-out of each loaded hole."""
    ratings: list[Rating] = []
    stands, sheet_mm = sheet.material.bearing_stress_mpa, sheet.plate.stock.used_mm
    for load in loads:
        if stands is not None:
            on = f"d = {load.diameter_mm:.3f} mm, t = {load.depth_mm:.3f} mm"
            stress = bearing_stress_mpa(load.force_n, load.diameter_mm, load.depth_mm)
            by: tuple[Row, str] = (sheet.material, "bearing_stress_mpa")
            ratings.append(_rated(sheet, load, "bearing stress", "F / (d t)", on, stress, stands.low, by))
        wall, to = least_wall(sheet.plate, load.feature)
        on = f"t = {sheet_mm:.3f} mm, w = {wall:.2f} mm (to {to})"
        stress = math.inf if wall == 0.0 else load.force_n / (2.0 * sheet_mm * wall)
        by = sheet.strength, "shear_mpa"
        formula = "F / (2 t w), w the least wall beside it"
        ratings.append(_rated(sheet, load, "tear-out", formula, on, stress, sheet.strength.shear_mpa, by))
    return tuple(ratings)


def _rated(
    sheet: Sheet,
    load: HoleLoad,
    what: str,
    formula: str,
    on: str,
    stress_mpa: float,
    stands_mpa: float,
    by: tuple[Row, str],
) -> Rating:
    """One stress in the wall of a hole against what the sheet stands cold, `by` a key of that row, where it is warm."""
    row, key = by
    share = sheet.strength.share_at(load.warm_c)
    limit = stands_mpa * share
    note = f"F = {load.force_n:.0f} N, {on}"
    if share < 1.0:
        note += f"; {share:.0%} of the strength left at {load.warm_c:.0f} deg C, of {stands_mpa:.3g} MPa"
    return Rating(
        part=f"{load.part}, {what}",
        kind=Kind.STRENGTH,
        load_case=load.load_case,
        formula=formula,
        source=f"any text on joints; limit: {row.source}",
        value=min(stress_mpa, 1e6),
        limit=limit,
        unit="MPa",
        margin=over(limit, stress_mpa),
        standing=row.standing_for(key),
        note=note,
        shafts=load.shafts,
        plate=sheet.plate.side.value,
        features=(load.feature.id,),
        way=load.way,
    )
