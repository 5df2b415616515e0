"""The shapes of a record's plates and bodies, as the drawing room takes them; mirrored where asked."""

from __future__ import annotations

from typing import Any

from gearplate.geometry.shapes import Circle, Path, Stroke

Box = tuple[float, float, float, float]


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


def strokes(mark: dict[str, Any]) -> list[Stroke]:
    """What is etched, as the cut file has it."""
    return [Stroke(tuple((x, y) for x, y in points)) for points in mark["strokes_mm"]]


def middle_and_radius(feature: dict[str, Any], sign: float = 1.0) -> tuple[float, float, float]:
    """A disc that stands for a feature where labels keep off: the hole itself, or the wider half of a slot."""
    x0, y0, x1, y1 = feature["bbox_mm"]
    return sign * 0.5 * (x0 + x1), 0.5 * (y0 + y1), 0.5 * max(x1 - x0, y1 - y0)


def mirrored(box: Box, sign: float) -> Box:
    """A box, its x negated where `sign` is -1."""
    return box if sign > 0 else (-box[2], box[1], -box[0], box[3])


def united(boxes: list[Box]) -> Box:
    """The smallest box round all boxes (at least one)."""
    return (
        min(box[0] for box in boxes),
        min(box[1] for box in boxes),
        max(box[2] for box in boxes),
        max(box[3] for box in boxes),
    )


def grown(box: Box, by: float) -> Box:
    """A box with so much more on every side."""
    return box[0] - by, box[1] - by, box[2] + by, box[3] + by
