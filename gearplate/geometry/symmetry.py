"""Whether shapes equal their own mirror image about an upright line."""

from __future__ import annotations

import math
from collections.abc import Sequence

from gearplate.geometry.nearest import distance_to_path
from gearplate.geometry.path import as_circle, bbox, path_length, signed_area
from gearplate.geometry.segments import point_at, segments
from gearplate.geometry.shapes import Circle, Path
from gearplate.geometry.transform import mirrored, translated

TOLERANCE_MM = 1e-6


def is_own_mirror(shapes: Sequence[Circle | Path], tolerance_mm: float = TOLERANCE_MM) -> bool:
    """Whether the shapes as a set equal their mirror image about x = 0."""
    return is_mirror_about(shapes, 0.0, tolerance_mm)


def is_mirror_about(shapes: Sequence[Circle | Path], axis_mm: float, tolerance_mm: float = TOLERANCE_MM) -> bool:
    """Whether the shapes as a set equal their mirror image about the line x = `axis_mm`."""
    circles: list[Circle] = []
    paths: list[Path] = []
    for shape in shapes:
        round_one = shape if isinstance(shape, Circle) else as_circle(shape, tolerance_mm)
        if round_one is not None:
            circles.append(translated(round_one, -axis_mm, 0.0))
        elif isinstance(shape, Path):
            paths.append(translated(shape, -axis_mm, 0.0))
    return _circles_match(circles, tolerance_mm) and _paths_match(paths, tolerance_mm)


def _circles_match(circles: list[Circle], tolerance: float) -> bool:
    left = list(circles)
    for circle in circles:
        match = next(
            (
                other
                for other in left
                if math.hypot(other.x_mm + circle.x_mm, other.y_mm - circle.y_mm) <= tolerance
                and abs(other.diameter_mm - circle.diameter_mm) <= tolerance
            ),
            None,
        )
        if match is None:
            return False
        left.remove(match)
    return True


def _paths_match(paths: list[Path], tolerance: float) -> bool:
    left = list(paths)
    for path in paths:
        image = mirrored(path)
        match = next((other for other in left if same_curve(image, other, tolerance)), None)
        if match is None:
            return False
        left.remove(match)
    return True


def same_curve(first: Path, second: Path, tolerance_mm: float = TOLERANCE_MM) -> bool:
    """Whether two closed paths draw the same curve, wherever they start and whichever way they run.

    Box, length and area are compared first; then points on every piece of each (its start and quarters) must lie on
    the other.
    """
    if any(abs(a - b) > tolerance_mm for a, b in zip(bbox(first), bbox(second), strict=True)):
        return False
    size = path_length(first)
    if abs(size - path_length(second)) > tolerance_mm * 2.0 * (len(first.vertices) + len(second.vertices)):
        return False
    if abs(abs(signed_area(first)) - abs(signed_area(second))) > tolerance_mm * size:
        return False
    return _lies_on(first, second, tolerance_mm) and _lies_on(second, first, tolerance_mm)


def _lies_on(path: Path, other: Path, tolerance: float) -> bool:
    return all(
        distance_to_path(other, *point_at(piece, 0.25 * quarter)) <= tolerance
        for piece in segments(path)
        for quarter in range(4)
    )
