"""The shapes that plates and cut files are made of."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Circle:
    """A full circle, mm."""

    x_mm: float
    y_mm: float
    diameter_mm: float


@dataclass(frozen=True, slots=True)
class Path:
    """A closed path of lines and arcs.

    Each vertex is (x_mm, y_mm, bulge); the bulge belongs to the segment from this vertex to the next (the last one
    runs to the first) and is the tangent of a quarter of the included angle, positive where the arc turns
    counter-clockwise: 0 is a line, 1 half a circle. The first vertex is not repeated at the end.
    """

    vertices: tuple[tuple[float, float, float], ...]


@dataclass(frozen=True, slots=True)
class Stroke:
    """An open run of straight lines through points (x_mm, y_mm): single-stroke lettering, arrows, lead-ins."""

    points: tuple[tuple[float, float], ...]


Shape = Circle | Path | Stroke
