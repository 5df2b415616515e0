"""What to measure on a plate after cutting: a few telling holes, and what stays between bores whose gears mesh."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

# How far off is still good, mm: common practice, no source. A press of 0.04 mm is gone with half of it; the pilot only
# centres; a gear pair runs with about 0.05 mm of added centre distance.
WITHIN_MM = {"bearing_bore": 0.02, "motor_pilot": 0.1, "motor_screw": 0.2, "standoff": 0.2, "rail_hole": 0.2}
BETWEEN_MM = 0.05
AXES = ("bearing_bore", "motor_pilot")
MOST_PAIRS = 4


@dataclass(frozen=True, slots=True)
class HoleSize:
    """Equal round holes of one plate: their names, the finished diameter at the narrower face, that at the wider."""

    names: tuple[str, ...]
    finished_mm: float
    wide_mm: float
    within_mm: float


@dataclass(frozen=True, slots=True)
class Between:
    """Two bores of one plate whose gears mesh: the material between them, edge to nearest edge, and their centres."""

    names: tuple[str, str]
    between_mm: float
    centre_mm: float
    within_mm: float = BETWEEN_MM


def hole_sizes(plate: dict[str, Any]) -> Iterator[HoleSize]:
    """One row for each size of each kind of hole, those that matter most first: seats, pilots, screws."""
    for kind, within in WITHIN_MM.items():
        alike: dict[tuple[float, float], list[str]] = {}
        for feature in plate["features"]:
            size = feature["finished_diameter_mm"]
            if feature["kind"] == kind and feature["form"] == "circle" and size is not None:
                wide = feature["wide_face_diameter_mm"]
                alike.setdefault((size, size if wide is None else wide), []).append(feature["id"])
        for (finished, wide), names in alike.items():
            yield HoleSize(tuple(names), finished, wide, within)


def betweens(record: dict[str, Any], plate: dict[str, Any]) -> Iterator[Between]:
    """Pairs of meshing shafts that both have a round seat in this plate with material between; the first few."""
    seats = {
        feature["shaft"]: feature
        for feature in plate["features"]
        if feature["kind"] in AXES and feature["form"] == "circle" and feature["shaft"] is not None
    }
    pairs = dict.fromkeys((mesh["driver_shaft"], mesh["driven_shaft"]) for mesh in reversed(record["train"]["meshes"]))
    found = 0
    for pair in pairs:
        if not seats.keys() >= set(pair) or found == MOST_PAIRS:
            continue
        one, other = (seats[name] for name in pair)
        centre = math.dist((one["x_mm"], one["y_mm"]), (other["x_mm"], other["y_mm"]))
        between = centre - 0.5 * (one["finished_diameter_mm"] + other["finished_diameter_mm"])
        if between > 0.0:
            found += 1
            yield Between((one["id"], other["id"]), between, centre)
