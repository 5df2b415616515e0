"""The shapes of a record's plates and bodies, as the drawing room takes them; mirrored where asked."""

from __future__ import annotations

import math
from typing import Any

from gearplate.geometry.boxes import Box
from gearplate.geometry.shapes import Circle, Path, Stroke
from gearplate.geometry.slot import rectangle_path


def path(vertices: list[list[float]], sign: float = 1.0) -> Path:
    """A closed path; with `sign` -1 its mirror image (x and bulges negated)."""
    return Path(tuple((sign * x, y, sign * bulge) for x, y, bulge in vertices))


def contour(feature: dict[str, Any], sign: float = 1.0) -> Circle | Path:
    """What is left of a feature after cutting."""
    if feature["vertices"] is not None:
        return path(feature["vertices"], sign)
    return Circle(sign * feature["x_mm"], feature["y_mm"], feature["finished_diameter_mm"])


def disc(body: dict[str, Any], sign: float = 1.0) -> Circle:
    """A round body."""
    return Circle(sign * body["x_mm"], body["y_mm"], body["diameter_mm"])


def seen_from_front(body: dict[str, Any], sign: float = 1.0) -> Circle | Path:
    """A round or square body. Turned over, a square stands as far turned the other way."""
    if body.get("square_mm") is None:
        return disc(body, sign)
    turned = sign * math.radians(body["angle_deg"])
    return rectangle_path(
        sign * body["x_mm"], body["y_mm"], body["square_mm"], body["square_mm"], turned, body["corner_mm"]
    )


def strokes(mark: dict[str, Any]) -> list[Stroke]:
    """What is etched, as the cut file has it."""
    return [Stroke(tuple((x, y) for x, y in points)) for points in mark["strokes_mm"]]


def middle_and_radius(feature: dict[str, Any], sign: float = 1.0) -> tuple[float, float, float]:
    """The disc beside which a feature's name is written: the hole itself, or the one in the middle of a slot or a
    window that touches its long sides."""
    x0, y0, x1, y1 = feature["bbox_mm"]
    radius = 0.5 * min(x1 - x0, y1 - y0)
    if feature["form"] == "slot":
        radius = 0.5 * float(feature["finished_diameter_mm"])
    return sign * 0.5 * (x0 + x1), 0.5 * (y0 + y1), radius


def covering_discs(feature: dict[str, Any], sign: float = 1.0) -> list[tuple[float, float, float]]:
    """Discs that cover a feature, for labels to keep off: one for a hole, a row of them along a slot or a window."""
    x, y, radius = middle_and_radius(feature, sign)
    if feature["form"] == "slot":
        angle = math.radians(feature["angle_deg"])
        dx, dy = 0.5 * sign * feature["length_mm"] * math.cos(angle), 0.5 * feature["length_mm"] * math.sin(angle)
    else:
        x0, y0, x1, y1 = feature["bbox_mm"]
        dx, dy = 0.5 * (x1 - x0) - radius, 0.5 * (y1 - y0) - radius
        if feature["form"] == "window":
            radius *= math.sqrt(2.0)  # its corners too
    steps = math.ceil(2.0 * math.hypot(dx, dy) / max(radius, 0.1))
    if steps == 0:
        return [(x, y, radius)]
    shares = [2.0 * step / steps - 1.0 for step in range(steps + 1)]
    return [(x + share * dx, y + share * dy, radius) for share in shares]


def mirrored(box: Box, sign: float) -> Box:
    """A box, its x negated where `sign` is -1."""
    return box if sign > 0 else (-box[2], box[1], -box[0], box[3])
