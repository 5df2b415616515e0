"""From a finished contour to the path of the beam, and to the path that is drawn for it.

The beam takes half its kerf on each side of its path. Where the machine offsets by itself, the kerf given here is 0
and the path is the finished contour.
"""

from __future__ import annotations

import math

from gearplate.geometry.arcs_fit import fit_arcs
from gearplate.geometry.clean import clean_pieces
from gearplate.geometry.kerf_curve import anisotropic_circle, anisotropic_offset
from gearplate.geometry.offset import offset
from gearplate.geometry.segments import Arc, Line, Segment, segments
from gearplate.geometry.shapes import Circle, Path, Stroke

ROUND_MM = 0.005
"""A circle that would be out of round by less over its diameter is drawn as the mean circle."""

LEAST_PATH_MM = 0.01
"""Least diameter of a drawn circle: below, the beam would stand still."""

FIT_MM = 0.0005


def hole_path(finished: Circle | Path, kerf_x_mm: float, kerf_y_mm: float) -> Circle | Path:
    """The path that leaves a finished hole, slot or window: half a kerf inside of it.

    Kerfs along x and y that differ by less than 0.005 mm count as one, their mean. Else the beam is taken as an
    ellipse, and a hole's path is a closed run of arcs within 0.001 mm.

    Raises:
        ValueError: the beam is too wide for it.
    """
    if abs(kerf_x_mm - kerf_y_mm) < ROUND_MM:
        kerf = 0.5 * (kerf_x_mm + kerf_y_mm)
        if isinstance(finished, Path):
            return offset(finished, -0.5 * kerf)
        diameter = finished.diameter_mm - kerf
        if diameter < LEAST_PATH_MM:
            raise ValueError(f"a hole of {finished.diameter_mm:.3f} mm is no wider than the cut of {kerf:.3f} mm")
        return Circle(finished.x_mm, finished.y_mm, diameter)
    if isinstance(finished, Path):
        return anisotropic_offset(finished, kerf_x_mm, kerf_y_mm, outward=False, tolerance_mm=FIT_MM)
    return anisotropic_circle(
        finished.x_mm, finished.y_mm, finished.diameter_mm, kerf_x_mm, kerf_y_mm, inside=True, tolerance_mm=FIT_MM
    )


def outline_path(finished: Path, kerf_x_mm: float, kerf_y_mm: float) -> Path:
    """The path that leaves a finished outline: half a kerf outside of it.

    Raises:
        ValueError: a hollow of the outline is tighter than the beam.
    """
    if abs(kerf_x_mm - kerf_y_mm) < ROUND_MM:
        return offset(finished, 0.25 * (kerf_x_mm + kerf_y_mm))
    return anisotropic_offset(finished, kerf_x_mm, kerf_y_mm, outward=True, tolerance_mm=FIT_MM)


def scaled(shape: Circle | Path, scale_x: float, scale_y: float) -> Circle | Path:
    """The shape with x and y multiplied, about the origin of the sheet: what is drawn where the cutter's row asks for
    a correction of its scale. Factors that differ turn arcs into parts of ellipses, which are drawn as arcs within
    0.001 mm; a circle out of round by less than 0.005 mm stays a circle of the mean size."""
    if scale_x == scale_y == 1.0:
        return shape
    if isinstance(shape, Circle):
        if abs(scale_x - scale_y) * shape.diameter_mm < ROUND_MM:
            mean = 0.5 * (scale_x + scale_y) * shape.diameter_mm
            return Circle(shape.x_mm * scale_x, shape.y_mm * scale_y, mean)
        x, y, radius = shape.x_mm, shape.y_mm, 0.5 * shape.diameter_mm
        halves = Path(((x + radius, y, 1.0), (x - radius, y, 1.0)))
        return scaled(halves, scale_x, scale_y)
    if scale_x == scale_y:
        return Path(tuple((x * scale_x, y * scale_x, bulge) for x, y, bulge in shape.vertices))
    pieces: list[Segment] = []
    for piece in segments(shape):
        pieces += _scaled_piece(piece, scale_x, scale_y)
    return clean_pieces(pieces)


def scaled_stroke(stroke: Stroke, scale_x: float, scale_y: float) -> Stroke:
    """The stroke with x and y multiplied, about the origin of the sheet."""
    if scale_x == scale_y == 1.0:
        return stroke
    return Stroke(tuple((x * scale_x, y * scale_y) for x, y in stroke.points))


def _scaled_piece(piece: Segment, scale_x: float, scale_y: float) -> list[Segment]:
    if isinstance(piece, Line):
        return [Line(piece.x0 * scale_x, piece.y0 * scale_y, piece.x1 * scale_x, piece.y1 * scale_y)]
    end = piece.start_rad + piece.sweep_rad
    low, high = min(piece.start_rad, end), max(piece.start_rad, end)
    quarter = 0.5 * math.pi
    axes = [index * quarter for index in range(math.ceil(low / quarter), math.floor(high / quarter) + 1)]
    breaks = [low, *(axis for axis in axes if low + 1e-6 < axis < high - 1e-6), high]
    turn = 1.0 if piece.sweep_rad > 0.0 else -1.0
    if turn < 0.0:
        breaks.reverse()

    def curve(angle: float) -> tuple[float, float, float, float]:
        dx, dy = -turn * math.sin(angle) * scale_x, turn * math.cos(angle) * scale_y
        size = math.hypot(dx, dy)
        return (
            scale_x * (piece.cx + piece.radius * math.cos(angle)),
            scale_y * (piece.cy + piece.radius * math.sin(angle)),
            dx / size,
            dy / size,
        )

    assert isinstance(piece, Arc)
    return fit_arcs(curve, breaks, FIT_MM)
