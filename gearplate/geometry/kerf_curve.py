"""Paths for a beam whose kerf differs between the two axes: the cut is the path swept by an ellipse.

With the half-axes a = kx / 2 and b = ky / 2, the ellipse's point with outward normal n = (nx, ny) is
e(n) = (a^2 nx, b^2 ny) / w, w = sqrt(a^2 nx^2 + b^2 ny^2), and its radius of curvature there is a^2 b^2 / w^3. The edge
that an ellipse leaves while it runs along a smooth path is the path shifted by e(n); the path that leaves a wanted
edge is that edge shifted by -e(n), as long as no hollow of the edge is tighter than the ellipse.
Both are smooth, keep the direction of travel of what they were made from, and are drawn by pairs of arcs.
"""

from __future__ import annotations

import math

from gearplate.geometry.arcs_fit import fit_arcs
from gearplate.geometry.offset import offset
from gearplate.geometry.parallel import Chain, Point, check_same_turn, joined_chains
from gearplate.geometry.path import circle_path, is_ccw
from gearplate.geometry.segments import Line, Segment, segments
from gearplate.geometry.shapes import Circle, Path

FIT_MM = 0.0005


def anisotropic_circle(
    x_mm: float,
    y_mm: float,
    finished_diameter_mm: float,
    kerf_x_mm: float,
    kerf_y_mm: float,
    inside: bool,
    tolerance_mm: float = FIT_MM,
) -> Path:
    """The path that leaves a round edge of `finished_diameter_mm`: a hole (`inside`) or a disc.

    Kerfs are the full widths of the cut along x and y. Arcs lie within `tolerance_mm` of the exact curve; equal kerfs
    give the exact circle. Raises ValueError where the hole is too small for the beam to turn in.
    """
    finished = circle_path(Circle(x_mm, y_mm, finished_diameter_mm))
    return anisotropic_offset(finished, kerf_x_mm, kerf_y_mm, not inside, tolerance_mm)


def anisotropic_offset(
    path: Path, kerf_x_mm: float, kerf_y_mm: float, outward: bool, tolerance_mm: float = FIT_MM
) -> Path:
    """The path that leaves the finished edge `path`: outside of it for an outline, inside for a hole or window.

    As `offset` by half the kerf where both are equal. Raises ValueError for a kerf that is negative, or zero on one
    axis only, and as `offset` where the edge has a hollow tighter than the beam or a part narrower than it.
    """
    if kerf_x_mm == kerf_y_mm:
        return offset(path, 0.5 * kerf_x_mm if outward else -0.5 * kerf_x_mm)
    if not (kerf_x_mm > 0.0 and kerf_y_mm > 0.0 and math.isfinite(kerf_x_mm + kerf_y_mm)):
        raise ValueError(f"kerfs of {kerf_x_mm} and {kerf_y_mm} mm are no ellipse")
    a, b = 0.5 * kerf_x_mm, 0.5 * kerf_y_mm
    side = 1.0 if is_ccw(path) == outward else -1.0
    pieces = segments(path)
    chains = [_shifted(piece, a, b, side, tolerance_mm) for piece in pieces]

    def join(corner: Point, out: Point, onward: Point) -> Chain:
        turn = math.atan2(out[0] * onward[1] - out[1] * onward[0], out[0] * onward[0] + out[1] * onward[1])
        if side * turn < 0.0:
            turn = -turn
        start = math.atan2(-side * out[0], side * out[1])
        return _swept(corner, 0.0, start, turn, a, b, 1.0, tolerance_mm)

    return check_same_turn(joined_chains(pieces, chains, side, join, min(a, b)), path)


def ellipse_reach(a: float, b: float, nx: float, ny: float) -> Point:
    """The point of the ellipse with half-axes a, b whose outward normal is the unit vector (nx, ny)."""
    width = math.sqrt((a * nx) ** 2 + (b * ny) ** 2)
    return a * a * nx / width, b * b * ny / width


def _shifted(piece: Segment, a: float, b: float, side: float, tolerance: float) -> Chain:
    if isinstance(piece, Line):
        dx, dy = piece.x1 - piece.x0, piece.y1 - piece.y0
        size = math.hypot(dx, dy)
        ex, ey = ellipse_reach(a, b, side * dy / size, -side * dx / size)
        return [Line(piece.x0 + ex, piece.y0 + ey, piece.x1 + ex, piece.y1 + ey)]
    # The shift goes away from the centre on the outer side of the arc, toward it on the hollow side.
    away = side if piece.sweep_rad > 0.0 else -side
    return _swept((piece.cx, piece.cy), piece.radius, piece.start_rad, piece.sweep_rad, a, b, away, tolerance)


def _swept(
    centre: Point, radius: float, start_rad: float, sweep_rad: float, a: float, b: float, away: float, tolerance: float
) -> Chain:
    """Arcs along centre + radius u + away e(u), u the direction from `start_rad` through `sweep_rad`."""
    turn = 1.0 if sweep_rad > 0.0 else -1.0
    quarter = 0.5 * math.pi
    end = start_rad + sweep_rad
    low, high = min(start_rad, end), max(start_rad, end)
    axes = [index * quarter for index in range(math.ceil(low / quarter), math.floor(high / quarter) + 1)]
    breaks = [low, *(axis for axis in axes if low + 1e-6 < axis < high - 1e-6), high]
    if away < 0.0:
        for angle in breaks:  # curvature of the ellipse is greatest and least on its axes
            bend = (a * b) ** 2 / ((a * math.cos(angle)) ** 2 + (b * math.sin(angle)) ** 2) ** 1.5
            if radius - bend < 1e-6:
                raise ValueError(
                    f"the arc of radius {radius:.4f} mm about ({centre[0]:.3f}, {centre[1]:.3f}) is tighter than "
                    f"the beam of {2.0 * a:.4f} x {2.0 * b:.4f} mm can cut"
                )
    if turn < 0.0:
        breaks.reverse()

    def curve(angle: float) -> tuple[float, float, float, float]:
        ux, uy = math.cos(angle), math.sin(angle)
        ex, ey = ellipse_reach(a, b, ux, uy)
        return (
            centre[0] + radius * ux + away * ex,
            centre[1] + radius * uy + away * ey,
            -turn * uy,
            turn * ux,
        )

    return fit_arcs(curve, breaks, tolerance)
