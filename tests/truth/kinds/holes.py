"""Worked examples of holes: tap drills, kerf, distance to an edge, a hexagon across its corners."""

from __future__ import annotations

from collections.abc import Callable

from gearplate.catalog.row import corners_of_hexagon_mm
from gearplate.shop.kerf import cut_hole_mm, cut_outside_mm, drawn_hole_mm, drawn_outside_mm
from gearplate.shop.practice import edge_from_centre_mm, web_to_edge_mm
from gearplate.shop.threads import tap_drill_mm, thread_percent


def tap_drill_metric(nominal_mm: float, pitch_mm: float) -> dict[str, object]:
    drill = tap_drill_mm(nominal_mm, pitch_mm)
    return {"tap_drill_mm": drill, "thread_percent": thread_percent(nominal_mm, pitch_mm, drill)}


def thread_percent_inch(nominal_in: float, threads_per_in: float, drill_in: float) -> dict[str, object]:
    return {"thread_percent": thread_percent(nominal_in, 1 / threads_per_in, drill_in)}


def kerf_hole(
    target_diameter_mm: float, kerf_mm: float, interference_mm: float = 0.0, clearance_mm: float = 0.0
) -> dict[str, object]:
    drawn = drawn_hole_mm(target_diameter_mm - interference_mm + clearance_mm, kerf_mm)
    return {"drawn_diameter_mm": drawn, "finished_diameter_mm": cut_hole_mm(drawn, kerf_mm)}


def kerf_outside(target_mm: float, kerf_mm: float) -> dict[str, object]:
    return {
        "drawn_mm": drawn_outside_mm(target_mm, kerf_mm),
        "uncompensated_part_mm": cut_outside_mm(target_mm, kerf_mm),
        "uncompensated_opening_mm": cut_hole_mm(target_mm, kerf_mm),
    }


def edge_distance(hole_diameter_mm: float, factor: float) -> dict[str, object]:
    return {
        "edge_from_centre_mm": edge_from_centre_mm(hole_diameter_mm, factor),
        "web_to_edge_mm": web_to_edge_mm(hole_diameter_mm, factor),
    }


def hexagon(across_flats_mm: float) -> dict[str, object]:
    return {"across_corners_mm": corners_of_hexagon_mm(across_flats_mm)}


KINDS: dict[str, Callable[..., dict[str, object]]] = {
    "tap_drill_metric": tap_drill_metric,
    "thread_percent_inch": thread_percent_inch,
    "kerf_hole": kerf_hole,
    "kerf_outside": kerf_outside,
    "edge_distance": edge_distance,
    "hexagon": hexagon,
}
