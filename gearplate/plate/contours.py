"""The contour of a feature in its nominal size, and the material between two of them."""

from __future__ import annotations

import math

from gearplate.geometry.boxes import Box, box_gap_mm
from gearplate.geometry.nearest import circle_curve_distance, contains, path_distance
from gearplate.geometry.path import bbox
from gearplate.geometry.segments import Arc, segments
from gearplate.geometry.shapes import Circle, Path
from gearplate.geometry.slot import slot_path
from gearplate.plate.plate import Feature

ROUNDING_MM = 1e-6


def contour(feature: Feature) -> Circle | Path:
    """The feature as cut if nothing were added for fit: a circle, or a closed counter-clockwise path.

    Raises:
        ValueError: a window without a path.
    """
    if feature.form == "window":
        if feature.path is None:
            raise ValueError(f"the window {feature.id} has no contour")
        return feature.path
    if feature.form == "slot":
        return slot_path(feature.x_mm, feature.y_mm, feature.length_mm, feature.part_diameter_mm, feature.angle_rad)
    return Circle(feature.x_mm, feature.y_mm, feature.part_diameter_mm)


def slot_ends(feature: Feature) -> tuple[tuple[float, float], ...]:
    """Centres of the round ends: two for a slot, one for a circle."""
    if feature.form != "slot":
        return ((feature.x_mm, feature.y_mm),)
    dx = 0.5 * feature.length_mm * math.cos(feature.angle_rad)
    dy = 0.5 * feature.length_mm * math.sin(feature.angle_rad)
    return ((feature.x_mm - dx, feature.y_mm - dy), (feature.x_mm + dx, feature.y_mm + dy))


def gap_mm(first: Circle | Path, second: Circle | Path) -> float:
    """Material between two contours, mm; negative or 0 where they meet or one lies in the other."""
    if isinstance(first, Circle) and isinstance(second, Circle):
        apart = math.hypot(first.x_mm - second.x_mm, first.y_mm - second.y_mm)
        return apart - 0.5 * (first.diameter_mm + second.diameter_mm)
    if isinstance(first, Path) and isinstance(second, Path):
        nested = contains(first, *second.vertices[0][:2]) or contains(second, *first.vertices[0][:2])
        return 0.0 if nested else path_distance(first, second)
    circle, path = (first, second) if isinstance(first, Circle) else (second, first)
    assert isinstance(circle, Circle)
    assert isinstance(path, Path)
    start = path.vertices[0]
    nested = contains(path, circle.x_mm, circle.y_mm) or (
        math.hypot(start[0] - circle.x_mm, start[1] - circle.y_mm) < 0.5 * circle.diameter_mm
    )
    return 0.0 if nested else circle_curve_distance(path, circle)


def keeps_off(first: Circle | Path, second: Circle | Path, web_mm: float) -> bool:
    """Whether at least so much material (more than none) stands between two contours. Told by their boxes where these
    are that far apart: most are."""
    return box_gap_mm(box_of(first), box_of(second)) >= web_mm + ROUNDING_MM or gap_mm(first, second) >= web_mm


def box_of(shape: Circle | Path) -> Box:
    """The least upright box that holds a contour."""
    if isinstance(shape, Path):
        return bbox(shape)
    radius = 0.5 * shape.diameter_mm
    return shape.x_mm - radius, shape.y_mm - radius, shape.x_mm + radius, shape.y_mm + radius


def middle_of(path: Path) -> tuple[float, float]:
    """Centroid of the area within a closed path, exact on arcs (Green's theorem, piece by piece)."""
    total = sum_x = sum_y = 0.0
    x_ref, y_ref, _ = path.vertices[0]
    for piece in segments(path):
        ax, ay, bx, by = piece.x0 - x_ref, piece.y0 - y_ref, piece.x1 - x_ref, piece.y1 - y_ref
        cross = ax * by - bx * ay
        total += 0.5 * cross
        sum_x += cross * (ax + bx) / 6.0
        sum_y += cross * (ay + by) / 6.0
        if isinstance(piece, Arc):
            sweep = piece.sweep_rad
            part = 0.5 * piece.radius * piece.radius * (sweep - math.sin(sweep))
            if part == 0.0:
                continue
            # centroid of a circular segment: 4 r sin^3(sweep / 2) / (3 (sweep - sin sweep)) from the circle's centre
            reach = 4.0 * piece.radius * math.sin(0.5 * abs(sweep)) ** 3 / (3.0 * (abs(sweep) - math.sin(abs(sweep))))
            middle = piece.start_rad + 0.5 * sweep
            total += part
            sum_x += part * (piece.cx - x_ref + reach * math.cos(middle))
            sum_y += part * (piece.cy - y_ref + reach * math.sin(middle))
    return x_ref + sum_x / total, y_ref + sum_y / total
