"""The few lines of DXF that the tests over whole builds need, read without any library and without gearplate."""

from __future__ import annotations

import itertools
import math
from dataclasses import dataclass
from functools import cache

Point = tuple[float, float]
MM = {(4, 1): 1.0, (1, 0): 25.4}  # ($INSUNITS, $MEASUREMENT): millimetres and metric, inches and imperial


@dataclass(frozen=True)
class Contour:
    """Something drawn, in mm. A circle has `centre` and `radius`; all else `vertices` (x, y, bulge)."""

    layer: str
    closed: bool
    centre: Point | None = None
    radius: float = 0.0
    vertices: tuple[tuple[float, float, float], ...] = ()

    def points(self, step_rad: float = math.radians(0.5)) -> list[Point]:
        """Points along it, all on the curve; a closed one does not come back to its first point."""
        if self.centre is not None:
            count = math.ceil(2.0 * math.pi / step_rad)
            return [
                (
                    self.centre[0] + self.radius * math.cos(2.0 * math.pi * k / count),
                    self.centre[1] + self.radius * math.sin(2.0 * math.pi * k / count),
                )
                for k in range(count)
            ]
        return along(self.vertices, self.closed, step_rad)


def along(
    vertices: tuple[tuple[float, float, float], ...], closed: bool, step_rad: float = math.radians(0.5)
) -> list[Point]:
    """Points on lines and arcs given by vertices with bulges (bulge = tan of a quarter of the arc's angle)."""
    run = [*vertices, vertices[0]] if closed else list(vertices)
    found: list[Point] = []
    for (x0, y0, bulge), (x1, y1, _) in itertools.pairwise(run):
        found.append((x0, y0))
        if bulge == 0.0:
            continue
        sweep = 4.0 * math.atan(bulge)
        # centre: from the middle of the chord, square to it, by half the chord over tan(sweep / 2)
        off = 0.5 / math.tan(0.5 * sweep)
        cx, cy = 0.5 * (x0 + x1) - off * (y1 - y0), 0.5 * (y0 + y1) + off * (x1 - x0)
        radius, start = math.hypot(x0 - cx, y0 - cy), math.atan2(y0 - cy, x0 - cx)
        count = math.ceil(abs(sweep) / step_rad)
        for k in range(1, count):
            angle = start + sweep * k / count
            found.append((cx + radius * math.cos(angle), cy + radius * math.sin(angle)))
    if not closed:
        found.append((run[-1][0], run[-1][1]))
    return found


def pairs(data: bytes) -> list[tuple[int, str]]:
    """Group codes and values."""
    lines = data.decode("ascii").splitlines()
    return [(int(code), value.strip()) for code, value in zip(lines[::2], lines[1::2], strict=True)]


def header(data: bytes, name: str) -> str:
    """The value of a header variable."""
    table = pairs(data)
    return table[table.index((9, name)) + 1][1]


def mm_per_unit(data: bytes) -> float:
    """From the header alone: both of its unit variables must agree."""
    return MM[int(header(data, "$INSUNITS")), int(header(data, "$MEASUREMENT"))]


@cache
def contours(data: bytes) -> tuple[Contour, ...]:
    """Circles and polylines of the model space, in file order, in mm. Anything else is an error."""
    scale = mm_per_unit(data)
    table = pairs(data)
    start = table.index((2, "ENTITIES")) + 1
    end = table.index((0, "ENDSEC"), start)
    marks = [index for index in range(start, end) if table[index][0] == 0] + [end]
    return tuple(_contour(table[a:b], scale) for a, b in itertools.pairwise(marks))


def _contour(tags: list[tuple[int, str]], scale: float) -> Contour:
    kind = tags[0][1]
    one = dict(tags)
    if kind == "CIRCLE":
        centre = (scale * float(one[10]), scale * float(one[20]))
        return Contour(one[8], True, centre, scale * float(one[40]))
    assert kind == "LWPOLYLINE", kind
    vertices: list[list[float]] = []
    for code, value in tags:
        if code == 10:
            vertices.append([scale * float(value), 0.0, 0.0])
        elif code == 20:
            vertices[-1][1] = scale * float(value)
        elif code == 42:
            vertices[-1][2] = float(value)
    return Contour(one[8], bool(int(one[70]) & 1), vertices=tuple((x, y, bulge) for x, y, bulge in vertices))
