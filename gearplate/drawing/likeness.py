"""How far two shapes lie apart, and whether two drawings are the same but for size, place or side."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from gearplate.drawing.curves import Box, box_of, box_of_all, distance_to, segments
from gearplate.drawing.model import DrawnUnit
from gearplate.geometry.shapes import Circle, Path, Shape, Stroke

Vertex = tuple[float, float, float]

SAMPLES = 16  # points tried on every segment where two paths have no vertices in common
INCH_MM = DrawnUnit.INCH.mm


def deviation_mm(a: Shape, b: Shape, enough_mm: float) -> float:
    """The largest distance between two shapes, mm, wherever their contours start and whichever way they run.

    Circles: the larger of the differences of centre and of diameter. Paths and strokes: vertex by vertex
    with the difference of the arcs' heights where that is within `enough_mm`, else the largest of the
    distances from points of each to the other (16 points a segment). An open shape never equals a closed
    one: infinite.
    """
    if isinstance(a, Circle) and isinstance(b, Circle):
        return max(math.hypot(a.x_mm - b.x_mm, a.y_mm - b.y_mm), abs(a.diameter_mm - b.diameter_mm))
    if isinstance(a, Stroke) or isinstance(b, Stroke):
        if not (isinstance(a, Stroke) and isinstance(b, Stroke)):
            return math.inf
        by_points = _strokes_mm(a, b)
    else:
        by_points = _paths_mm(a, b, enough_mm) if isinstance(a, Path) and isinstance(b, Path) else math.inf
    return by_points if by_points <= enough_mm else max(_one_way_mm(a, b), _one_way_mm(b, a))


def _strokes_mm(a: Stroke, b: Stroke) -> float:
    if len(a.points) != len(b.points):
        return math.inf
    ahead = max(math.dist(p, q) for p, q in zip(a.points, b.points, strict=True))
    return min(ahead, max(math.dist(p, q) for p, q in zip(a.points, reversed(b.points), strict=True)))


def _paths_mm(a: Path, b: Path, enough_mm: float) -> float:
    if len(a.vertices) != len(b.vertices):
        return math.inf
    best = _vertices_mm(a.vertices, b.vertices)
    if best <= enough_mm:
        return best
    for run in (b.vertices, reversed_vertices(b.vertices)):
        for shift, (x, y, _) in enumerate(run):
            if math.hypot(x - a.vertices[0][0], y - a.vertices[0][1]) <= enough_mm:
                best = min(best, _vertices_mm(a.vertices, run[shift:] + run[:shift]))
    return best


def _vertices_mm(a: Sequence[Vertex], b: Sequence[Vertex]) -> float:
    worst = 0.0
    for (ax, ay, abulge), (bx, by, bbulge), after in zip(a, b, (*a[1:], a[0]), strict=True):
        height = abs(abulge - bbulge) * math.hypot(after[0] - ax, after[1] - ay) / 2.0
        worst = max(worst, math.hypot(ax - bx, ay - by) + height)
    return worst


def reversed_vertices(vertices: tuple[Vertex, ...]) -> tuple[Vertex, ...]:
    """The same closed path run the other way: bulges negated and given to the other end of their segment."""
    n = len(vertices)
    return tuple((vertices[n - 1 - k][0], vertices[n - 1 - k][1], -vertices[n - 2 - k][2]) for k in range(n))


def _one_way_mm(a: Shape, b: Shape) -> float:
    target = segments(b)
    points = (piece.at(k / SAMPLES) for piece in segments(a) for k in range(SAMPLES + 1))
    return max(min(distance_to(point, piece) for piece in target) for point in points)


def boxes_agree(a: Box, b: Box, within_mm: float) -> bool:
    """Whether two boxes have the same sides: what equal shapes must have, quick to ask."""
    return (
        abs(a[0] - b[0]) <= within_mm
        and abs(a[1] - b[1]) <= within_mm
        and abs(a[2] - b[2]) <= within_mm
        and abs(a[3] - b[3]) <= within_mm
    )


def same_drawing(asked: Sequence[Shape], found: Sequence[Shape], within_mm: float) -> bool:
    """Whether the shapes of one drawing are, one for one, those of another; in any order."""
    if len(asked) != len(found):
        return False
    left = [(box_of(shape), shape) for shape in found]
    for shape in asked:
        box = box_of(shape)
        for at, (other_box, other) in enumerate(left):
            # the boxes of equal shapes differ by no more than the shapes do; twice that is on the safe side
            if boxes_agree(box, other_box, 2.0 * within_mm) and deviation_mm(shape, other, within_mm) <= within_mm:
                del left[at]
                break
        else:
            return False
    return True


@dataclass(frozen=True, slots=True)
class Placing:
    """A change of size, side, direction and place: mirrored (x negated) if so, turned by quarters
    counter-clockwise, scaled, moved; in that order."""

    mirrored: bool = False
    quarters: int = 0
    scale: float = 1.0
    dx_mm: float = 0.0
    dy_mm: float = 0.0

    def point(self, x: float, y: float) -> tuple[float, float]:
        if self.mirrored:
            x = -x
        for _ in range(self.quarters):
            x, y = -y, x
        return x * self.scale + self.dx_mm, y * self.scale + self.dy_mm

    def shape(self, shape: Shape) -> Shape:
        if isinstance(shape, Circle):
            return Circle(*self.point(shape.x_mm, shape.y_mm), shape.diameter_mm * self.scale)
        if isinstance(shape, Stroke):
            return Stroke(tuple(self.point(x, y) for x, y in shape.points))
        sign = -1.0 if self.mirrored else 1.0
        return Path(tuple((*self.point(x, y), sign * bulge) for x, y, bulge in shape.vertices))

    def words(self) -> str:
        parts = []
        if self.scale != 1.0:
            shown = "25.4" if self.scale == INCH_MM else "1/25.4" if self.scale == 1 / INCH_MM else f"{self.scale:.6g}"
            parts.append(f"scaled by {shown}")
        if self.mirrored:
            parts.append("mirrored (y negated)" if self.quarters == 2 else "mirrored (x negated)")
        if self.quarters and not (self.mirrored and self.quarters == 2):
            parts.append(f"turned by {90 * self.quarters} degrees")
        if self.dx_mm or self.dy_mm:
            parts.append(f"moved by ({self.dx_mm:.3f}, {self.dy_mm:.3f}) mm")
        return " and ".join(parts)


def placing_of(asked: Sequence[Shape], found: Sequence[Shape], within_mm: float) -> Placing | None:
    """The placing that turns the drawing asked for into the one found: the simplest first, None where
    there is none. Tried are sizes (as asked, 25.4 and 1/25.4 times, the ratio of the extents), quarter
    turns, both sides, in place and moved."""
    if not asked or len(asked) != len(found):
        return None
    there = box_of_all(found)
    for mirrored, quarters in (
        (False, 0),
        (True, 0),
        (False, 2),
        (True, 2),
        (False, 1),
        (False, 3),
        (True, 1),
        (True, 3),
    ):
        turned = [Placing(mirrored, quarters).shape(shape) for shape in asked]
        box = box_of_all(turned)
        for scale in _scales(box, there):
            sized = [Placing(scale=scale).shape(shape) for shape in turned]
            shift = _shift(box_of_all(sized), there)
            for dx, dy in ((0.0, 0.0), shift):
                placed = [Placing(dx_mm=dx, dy_mm=dy).shape(shape) for shape in sized]
                if same_drawing(placed, found, within_mm * max(1.0, scale)):
                    return Placing(mirrored, quarters, scale, dx, dy)
    return None


def _scales(asked: Box, found: Box) -> Iterable[float]:
    ratio = math.hypot(found[2] - found[0], found[3] - found[1]) / math.hypot(asked[2] - asked[0], asked[3] - asked[1])
    if abs(ratio - 1.0) < 1e-4:
        return (1.0,)
    for known in (INCH_MM, 1 / INCH_MM):
        if abs(ratio / known - 1.0) < 1e-4:
            return (known,)
    return (ratio,)


def _shift(box: Box, there: Box) -> tuple[float, float]:
    return (there[0] + there[2] - box[0] - box[2]) / 2.0, (there[1] + there[3] - box[1] - box[3]) / 2.0


def mirror_in_place(shapes: Sequence[Shape]) -> Placing | None:
    """The mirroring about the upright line through the middle of a drawing; None for an empty one."""
    if not shapes:
        return None
    box = box_of_all(shapes)
    return Placing(mirrored=True, dx_mm=box[0] + box[2])


def is_own_mirror(shapes: Sequence[Shape], within_mm: float) -> bool:
    """Whether a drawing equals its mirror image about an upright line (which can only run through its
    middle)."""
    flip = mirror_in_place(shapes)
    return flip is not None and same_drawing([flip.shape(shape) for shape in shapes], shapes, within_mm)
