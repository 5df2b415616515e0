"""Lightening windows: what lies between ribs, rim and the walls of the holes, with rounded corners.

Ribs run between neighbouring features: two are neighbours where no third stands in the circle that has their
distance as its diameter (a Gabriel graph: connected, and without crossing ribs). From features on the outside of
that net one more rib runs to the nearest point of the edge. Taking everything within the corner radius of rib, rim or
wall out of the plate and growing the rest by that radius gives windows whose inside corners all have at least that
radius and which nowhere come nearer than rib, rim and wall.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

from gearplate.geometry.nearest import contains, path_distance, signed_distance
from gearplate.geometry.offset import offset
from gearplate.geometry.path import area, reversed_path
from gearplate.geometry.segments import Line, nearest_on, segments
from gearplate.geometry.shapes import Circle, Path
from gearplate.geometry.slot import rectangle_path
from gearplate.layout.design import Body, BodyKind, HoleKind, Layout
from gearplate.layout.spec import PlateStock, Side
from gearplate.plate.contours import contour, keeps_off, middle_of
from gearplate.plate.free_region import Bar, BentBar, Island, Obstacle, Rib, disc, free_contours
from gearplate.plate.plate import Feature

FIT_ROOM_MM = 0.15  # a finished hole may be wider than what goes in; walls are that much thicker
FOOT_MM = 0.5  # from a window to what stands on the plate
LEAST_AREA_MM2 = 100.0  # smaller windows cost more beam time than they save; common practice, no source
SAFE_MM = 1e-3
Point = tuple[float, float]


def lightening_features(
    layout: Layout, side: Side, outline: Path, features: Sequence[Feature], web: float, thickness_mm: float
) -> list[Feature]:
    """The windows of one plate, all at least `web` apart, from every hole and from the edge, off everything that
    stands on the plate (flanges, washers, motors, the rail); their corners have at least half the thickness."""
    corner = max(0.5 * thickness_mm, 1.0)
    obstacles = [
        *_rim(outline, web + corner),
        *_walls(features, web + FIT_ROOM_MM + corner),
        *_feet(layout, side, FOOT_MM + corner),
        *_ribs(outline, features, 0.5 * web + corner, web + FIT_ROOM_MM + corner),
    ]
    contours = [contour(feature) for feature in features]
    windows: list[Path] = []
    for core in sorted(free_contours(outline, _without_covered(obstacles)), key=area, reverse=True):
        try:
            window = offset(core, corner)
        except ValueError:  # a core so slight that nothing simple grows from it
            continue
        if area(window) < LEAST_AREA_MM2 or path_distance(window, outline) < web - 1e-9:
            continue
        if all(keeps_off(window, other, web - 1e-9) for other in (*windows, *contours)):
            windows.append(window)
    placed = sorted((middle_of(window), window) for window in windows)
    return [
        Feature(f"window-{number}", HoleKind.WINDOW, "window", "free", None, x, y, path=window)
        for number, ((x, y), window) in enumerate(placed, start=1)
    ]


def mass_kg(windows: Sequence[Feature], stock: PlateStock) -> float:
    """Mass of what the windows take out; 0 where the density of the sheet is not known."""
    taken_mm2 = sum(area(window.path) for window in windows if window.path is not None)
    return taken_mm2 * stock.used_mm * 1e-9 * stock.density_kg_m3


def neighbours(points: Sequence[Point]) -> list[tuple[int, int]]:
    """Pairs (i < j) of points with no third one inside the circle that has their distance as its diameter."""
    pairs = []
    for i, (ax, ay) in enumerate(points):
        for j in range(i + 1, len(points)):
            bx, by = points[j]
            if not any(
                (x - ax) * (x - bx) + (y - ay) * (y - by) < -1e-9 for k, (x, y) in enumerate(points) if k not in (i, j)
            ):
                pairs.append((i, j))
    return pairs


def _rim(outline: Path, width: float) -> list[Obstacle]:
    """Everything within `width` of the edge (a tight outward corner gets a disc that covers it)."""
    rim: list[Obstacle] = []
    for piece in segments(outline):
        if isinstance(piece, Line):
            rim.append(Bar(piece.x0, piece.y0, piece.x1, piece.y1, width))
        elif piece.radius > width + 1e-3:
            rim.append(BentBar(piece, width))
        elif piece.sweep_rad > 0.0:
            rim.append(disc(Circle(piece.cx, piece.cy, 2.0 * max(piece.radius, width))))
        else:
            rim.append(disc(Circle(piece.cx, piece.cy, 2.0 * (piece.radius + width))))
    return rim


def _walls(features: Sequence[Feature], room: float) -> list[Obstacle]:
    walls: list[Obstacle] = []
    for feature in features:
        shape = contour(feature)
        if isinstance(shape, Circle):
            walls.append(disc(Circle(shape.x_mm, shape.y_mm, shape.diameter_mm + 2.0 * room)))
        elif feature.form == "slot":
            dx = 0.5 * feature.length_mm * math.cos(feature.angle_rad)
            dy = 0.5 * feature.length_mm * math.sin(feature.angle_rad)
            x, y = feature.x_mm, feature.y_mm
            walls.append(Bar(x - dx, y - dy, x + dx, y + dy, 0.5 * feature.part_diameter_mm + room))
        else:
            walls += _wall_of_path(shape, room)
    return walls


def _wall_of_path(shape: Path, room: float) -> list[Obstacle]:
    """A window of the user's own, grown by `room`."""
    try:
        return [Island(offset(shape, room))]
    except ValueError:  # a hollow too tight for one smooth parallel: the window itself and a strip all along its edge
        return [Island(shape), *_rim(reversed_path(shape), room)]


def _feet(layout: Layout, side: Side, room: float) -> list[Obstacle]:
    """What stands on either face of the plate, grown by `room`."""
    low, high = layout.stack.plate(side)
    feet: list[Obstacle] = []
    for body in layout.bodies:
        if body.kind in _OFF or not _on_faces(body, low, high):
            continue
        if body.box is None:
            feet.append(disc(Circle(body.x_mm, body.y_mm, 2.0 * (body.radius_mm + room))))
        else:
            x0, y0, x1, y1 = body.box
            width, height = x1 - x0 + 2.0 * room, y1 - y0 + 2.0 * room
            feet.append(Island(rectangle_path(0.5 * (x0 + x1), 0.5 * (y0 + y1), width, height, 0.0, room)))
    return feet


_OFF = (BodyKind.PLATE, BodyKind.WHEEL, BodyKind.KEEP_OUT, BodyKind.GEAR, BodyKind.MOTOR_SHAFT, BodyKind.SHAFT)


def _on_faces(body: Body, low: float, high: float) -> bool:
    return abs(body.z0_mm - high) < 0.1 or abs(body.z1_mm - low) < 0.1 or (body.z0_mm < low and body.z1_mm > high)


def _ribs(outline: Path, features: Sequence[Feature], half: float, wall: float) -> list[Obstacle]:
    """Ribs between neighbours and out to the edge; `wall` is the room round each hole, `half` that beside a rib."""
    points = [(feature.x_mm, feature.y_mm) for feature in features]
    hidden = [_hidden_mm(feature, half, wall) for feature in features]
    ribs: list[Obstacle] = []
    linked: dict[int, list[float]] = {index: [] for index in range(len(points))}
    for i, j in neighbours(points):
        (ax, ay), (bx, by) = points[i], points[j]
        ribs.append(Rib(Bar(ax, ay, bx, by, half), hidden[i], hidden[j]))
        linked[i].append(math.atan2(by - ay, bx - ax))
        linked[j].append(math.atan2(ay - by, ax - bx))
    pieces = segments(outline)
    for index, (x, y) in enumerate(points):
        if not contains(outline, x, y):
            continue
        near = min((nearest_on(piece, x, y) for piece in pieces), key=lambda point: math.dist(point, (x, y)))
        out = math.atan2(near[1] - y, near[0] - x)
        if all(abs(math.remainder(out - angle, 2.0 * math.pi)) > 0.25 * math.pi for angle in linked[index]):
            ribs.append(Rib(Bar(x, y, near[0], near[1], half), hidden[index], 0.0))
    return ribs


def _hidden_mm(feature: Feature, half: float, wall: float) -> float:
    """How much of a rib's sides, from the feature's middle, certainly lies in the wall round it."""
    if feature.form == "window":
        return 0.0
    radius = 0.5 * feature.part_diameter_mm + wall
    return max(0.0, math.sqrt(max(0.0, radius * radius - half * half)) - SAFE_MM)


def _without_covered(obstacles: Sequence[Obstacle]) -> list[Obstacle]:
    """The obstacles that do not lie wholly in another one."""
    kept: list[Obstacle] = []
    order = sorted(range(len(obstacles)), key=lambda index: (-_reach(obstacles[index]), index))
    for index in order:
        obstacle = obstacles[index]
        if not any(_covers(other, obstacle) for other in kept):
            kept.append(obstacle)
    return kept


def _reach(obstacle: Obstacle) -> float:
    x0, y0, x1, y1 = obstacle.box()
    return math.hypot(x1 - x0, y1 - y0)


def _covers(outer: Obstacle, inner: Obstacle) -> bool:
    """Whether a bar lies in another obstacle: exact for discs and bars in convex ones, which bars and boxes are."""
    if not isinstance(inner, Bar) or isinstance(outer, BentBar):
        return False
    if isinstance(outer, Island) and outer.depth(inner.x0_mm, inner.y0_mm) < inner.half_mm:
        return False
    depth = min(outer.depth(inner.x0_mm, inner.y0_mm), outer.depth(inner.x1_mm, inner.y1_mm))
    if isinstance(outer, Island) and signed_distance(outer.path, inner.x1_mm, inner.y1_mm) > 0.0:
        return False
    return depth >= inner.half_mm - 1e-9
