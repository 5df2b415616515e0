"""Cut sheets for the tests: small, lopsided (no mirror image of themselves), with everything a plate can
hold."""

from __future__ import annotations

import math
from dataclasses import replace

from gearplate.drawing.model import DrawnUnit, Entity, Operation, Sheet
from gearplate.geometry.shapes import Circle, Path, Shape, Stroke

ETCH, INSIDE, OUTSIDE = Operation.ETCH, Operation.CUT_INSIDE, Operation.CUT_OUTSIDE
QUARTER = math.tan(math.pi / 8.0)  # bulge of a quarter of a circle


def rounded_box(x0: float, y0: float, x1: float, y1: float, radius: float) -> Path:
    """A rectangle with round corners, counter-clockwise."""
    r = radius
    return Path(
        (
            (x0 + r, y0, 0.0), (x1 - r, y0, QUARTER), (x1, y0 + r, 0.0), (x1, y1 - r, QUARTER),
            (x1 - r, y1, 0.0), (x0 + r, y1, QUARTER), (x0, y1 - r, 0.0), (x0, y0 + r, QUARTER),
        )
    )  # fmt: skip


def slot(x: float, y: float, length: float, width: float, angle: float) -> Path:
    """A slot: ends `length` apart along `angle`, half circles round them."""
    ux, uy = math.cos(angle), math.sin(angle)
    r, half = width / 2.0, length / 2.0
    return Path(
        (
            (x - half * ux + r * uy, y - half * uy - r * ux, 0.0),
            (x + half * ux + r * uy, y + half * uy - r * ux, 1.0),
            (x + half * ux - r * uy, y + half * uy + r * ux, 0.0),
            (x - half * ux - r * uy, y - half * uy + r * ux, 1.0),
        )
    )


def round_from(x: float, y: float, diameter: float, angle: float) -> Path:
    """A bore as two half circles that start at an angle."""
    r = diameter / 2.0
    u, v = r * math.cos(angle), r * math.sin(angle)
    return Path(((x + u, y + v, 1.0), (x - u, y - v, 1.0)))


def demo_sheet(unit: DrawnUnit = DrawnUnit.MM) -> Sheet:
    """Marks, round holes, a bore with a lead-in, a slot, a window, and the outline last."""
    bore = round_from(0.0, 0.0, 28.575, 2.0)
    start = bore.vertices[0]
    shapes: list[tuple[Operation, Shape, str]] = [
        (ETCH, Stroke(((30.0, 5.0), (33.0, 5.0), (33.0, 8.0))), "mark_part"),
        (ETCH, Stroke(((35.0, 5.0), (38.0, 8.0))), "mark_part"),
        (INSIDE, Stroke(((start[0] * 0.8, start[1] * 0.8), (start[0], start[1]))), "bore_output"),
        (INSIDE, bore, "bore_output"),
        (INSIDE, Circle(61.0, 12.7, 22.0 - 0.18), "bore_second"),
        (INSIDE, slot(90.0, -10.0, 6.0, 4.3, 0.4), "motor_screw_1"),
        (INSIDE, rounded_box(30.0, -16.0, 44.0, -4.0, 3.0), "window_1"),
        *(
            (INSIDE, Circle(x, y, 5.32), f"standoff_{n}")
            for n, (x, y) in enumerate(((-14.0, 17.0), (80.0, 17.0), (110.0, -4.0)))
        ),
        (OUTSIDE, rounded_box(-25.0, -25.0, 120.0, 28.0, 9.0), "outline"),
    ]
    return Sheet(tuple(Entity(*shape) for shape in shapes), unit)


def own_mirror_sheet() -> Sheet:
    """A plate that is its own mirror image about x = 0, with marks that are not."""
    shapes: list[tuple[Operation, Shape, str]] = [
        (ETCH, Stroke(((3.0, 5.0), (6.0, 5.0), (6.0, 8.0))), "mark_part"),
        (INSIDE, Circle(-12.0, 0.0, 5.3), "standoff_1"),
        (INSIDE, Circle(12.0, 0.0, 5.3), "standoff_2"),
        (INSIDE, rounded_box(-4.0, -8.0, 4.0, -3.0, 1.5), "window_1"),
        (OUTSIDE, rounded_box(-20.0, -12.0, 20.0, 12.0, 4.0), "outline"),
    ]
    return Sheet(tuple(Entity(*shape) for shape in shapes))


def crowded_sheet(count: int = 60) -> Sheet:
    """A plate of `count` entities, for times."""
    holes = [Entity(INSIDE, Circle(6.0 * (n % 10), 6.0 * (n // 10), 3.0), f"hole_{n}") for n in range(count - 16)]
    marks = [Entity(ETCH, Stroke(((n, -9.0), (n + 0.8, -8.0), (n, -7.0))), "mark") for n in range(15)]
    return Sheet((*marks, *holes, Entity(OUTSIDE, rounded_box(-12.0, -12.0, 70.0, 70.0, 8.0), "outline")))


def with_shape(sheet: Sheet, tag: str, shape: Shape) -> Sheet:
    """The sheet with the last shape of that tag exchanged."""
    at = max(n for n, entity in enumerate(sheet.entities) if entity.tag == tag)
    entities = list(sheet.entities)
    entities[at] = replace(entities[at], shape=shape)
    return replace(sheet, entities=tuple(entities))


def without(sheet: Sheet, tag: str) -> Sheet:
    return replace(sheet, entities=tuple(entity for entity in sheet.entities if entity.tag != tag))


def adding(sheet: Sheet, *entities: Entity) -> Sheet:
    """More entities, before the outline."""
    return replace(sheet, entities=(*sheet.entities[:-1], *entities, sheet.entities[-1]))
