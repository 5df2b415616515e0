"""Where the cut of a bearing bore begins, for cutters that pierce in the slug and run in.

The run-in leaves a small mark where it meets the bore. It is put on the side away from the load, where the outer ring
presses least: the load's direction is that of the separating forces of the teeth (see gearplate.plate.load), which do
not turn about when the motor does.
"""

from __future__ import annotations

import math

from gearplate.catalog.cutters import LeadIn
from gearplate.geometry.path import bbox, circle_path, starting_toward
from gearplate.geometry.shapes import Circle, Path, Stroke
from gearplate.layout.design import HoleKind
from gearplate.plate.plate import Feature

LEAST_MM = 0.2  # a shorter run-in is none


def start_rad(feature: Feature, lead_in: LeadIn, sign: float) -> float:
    """Direction in the sheet, from the bore's axis, of the point at which its cut begins. `sign` is -1 where the
    sheet shows the right-hand frame mirrored. Without a load the count starts from +x."""
    away = 0.0 if feature.load_rad is None else feature.load_rad + math.pi
    angle = away + math.radians(lead_in.start_deg)
    return math.atan2(math.sin(angle), sign * math.cos(angle))


def wants_lead_in(feature: Feature, lead_in: LeadIn | None) -> bool:
    """Bearing bores, where the cutter's row asks."""
    return lead_in is not None and feature.kind is HoleKind.BEARING_BORE and feature.form == "circle"


def with_lead_in(shape: Circle | Path, lead_in: LeadIn, angle_rad: float) -> tuple[Path, Stroke | None]:
    """The closed path begun in a direction, and the straight run from the slug to its start along that radius.

    The pierce never comes past the bore's middle. None where the bore is too small for a run-in.
    """
    if isinstance(shape, Circle):
        path = circle_path(shape, angle_rad)
        x, y, radius = shape.x_mm, shape.y_mm, 0.5 * shape.diameter_mm
    else:
        path = starting_toward(shape, angle_rad)
        x0, y0, x1, y1 = bbox(shape)
        x, y = 0.5 * (x0 + x1), 0.5 * (y0 + y1)
        radius = math.hypot(path.vertices[0][0] - x, path.vertices[0][1] - y)
    reach = min(lead_in.length_mm, radius)
    if reach < LEAST_MM:
        return path, None
    start_x, start_y, _ = path.vertices[0]
    share = reach / radius
    return path, Stroke(((start_x + share * (x - start_x), start_y + share * (y - start_y)), (start_x, start_y)))
