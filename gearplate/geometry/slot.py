"""Ready-made closed paths, all counter-clockwise: slots, rectangles, polygons, hexagons."""

from __future__ import annotations

import math
from collections.abc import Sequence

from gearplate.geometry.path import counter_clockwise
from gearplate.geometry.shapes import Path
from gearplate.geometry.transform import rotated, translated


def slot_path(
    x_mm: float, y_mm: float, length_between_centres_mm: float, width_mm: float, angle_rad: float = 0.0
) -> Path:
    """A slot about (x_mm, y_mm): two half circles of the width, their centres on a line at `angle_rad`.

    A length of 0 gives a full circle of the width. Raises ValueError for a negative length or no width.
    """
    if not width_mm > 0.0 or length_between_centres_mm < 0.0:
        raise ValueError(f"a slot of width {width_mm} mm and length {length_between_centres_mm} mm cannot be drawn")
    half, radius = 0.5 * length_between_centres_mm, 0.5 * width_mm
    ux, uy = math.cos(angle_rad), math.sin(angle_rad)
    corners: tuple[tuple[float, float, float], ...] = (
        (half, -radius, 1.0),
        (half, radius, 0.0),
        (-half, radius, 1.0),
        (-half, -radius, 0.0),
    )
    if half == 0.0:
        corners = ((0.0, -radius, 1.0), (0.0, radius, 1.0))
    return Path(tuple((x_mm + ux * u - uy * v, y_mm + uy * u + ux * v, bulge) for u, v, bulge in corners))


def rectangle_path(
    x_mm: float, y_mm: float, width_mm: float, height_mm: float, angle_rad: float = 0.0, corner_radius_mm: float = 0.0
) -> Path:
    """A rectangle about its centre (x_mm, y_mm), turned by `angle_rad`, with sharp or rounded corners.

    Raises ValueError where a side is not positive or the corners do not fit the shorter side.
    """
    if not (width_mm > 0.0 and height_mm > 0.0):
        raise ValueError(f"a rectangle of {width_mm} x {height_mm} mm cannot be drawn")
    radius = corner_radius_mm
    if radius < 0.0 or radius > 0.5 * min(width_mm, height_mm) * (1.0 + 1e-12):
        raise ValueError(f"corners of {radius} mm radius do not fit a rectangle of {width_mm} x {height_mm} mm")
    w, h = 0.5 * width_mm, 0.5 * height_mm
    if radius == 0.0:
        vertices = [(-w, -h, 0.0), (w, -h, 0.0), (w, h, 0.0), (-w, h, 0.0)]
    else:
        bulge = math.tan(math.pi / 8.0)
        vertices = [
            (-w + radius, -h, 0.0),
            (w - radius, -h, bulge),
            (w, -h + radius, 0.0),
            (w, h - radius, bulge),
            (w - radius, h, 0.0),
            (-w + radius, h, bulge),
            (-w, h - radius, 0.0),
            (-w, -h + radius, bulge),
        ]
        vertices = [
            vertex
            for index, vertex in enumerate(vertices)
            if math.dist(vertex[:2], vertices[(index + 1) % 8][:2]) > 1e-9
        ]
    return translated(rotated(Path(tuple(vertices)), angle_rad), x_mm, y_mm)


def polygon_path(points: Sequence[tuple[float, float]]) -> Path:
    """The closed polygon through points in their order, turned to run counter-clockwise from the first one.

    Raises ValueError for fewer than three points or two equal neighbours.
    """
    if len(points) < 3:
        raise ValueError("a polygon needs at least three points")
    if any(points[i - 1] == points[i] for i in range(len(points))):
        raise ValueError("a polygon's neighbouring points must differ")
    return counter_clockwise(Path(tuple((x, y, 0.0) for x, y in points)))
