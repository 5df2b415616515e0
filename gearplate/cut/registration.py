"""Whether both plates of a gearbox have their common holes at the same places, judged by what is drawn."""

from __future__ import annotations

import math

from gearplate.cut.cut_plate import CutFeature, CutPlate
from gearplate.cut.turn import to_frame
from gearplate.geometry.path import as_circle
from gearplate.geometry.shapes import Circle
from gearplate.plate.contours import middle_of


def registration_miss_mm(first: CutPlate, second: CutPlate) -> float:
    """Largest distance, mm, between the centres of holes that both plates share, once each plate's declared turn is
    undone. Infinite where they share none: then nothing holds them over each other.

    Raises:
        ValueError: the plates are of different hands.
    """
    misses = dict(shared_misses_mm(first, second))
    return max(misses.values(), default=math.inf)


def shared_misses_mm(first: CutPlate, second: CutPlate) -> tuple[tuple[str, float], ...]:
    """(id, distance between the two centres) of every hole that stands in both plates."""
    if first.hand is not second.hand:
        raise ValueError(f"a {first.hand} and a {second.hand} plate do not belong together")
    others = {cut.feature.id: cut for cut in second.features if cut.feature.shared}
    return tuple(
        (cut.feature.id, math.dist(drawn_centre(cut, first), drawn_centre(others[cut.feature.id], second)))
        for cut in first.features
        if cut.feature.shared and cut.feature.id in others
    )


def drawn_centre(feature: CutFeature, cut: CutPlate) -> tuple[float, float]:
    """Centre of a hole as drawn, in the frame of the plate's hand: of a circle its own, of a slot or window that of
    its area. The point is carried back, not the curve: under unlike scales of the axes an arc is none."""
    shape = feature.shape
    if not isinstance(shape, Circle):
        shape = as_circle(shape) or shape
    x, y = (shape.x_mm, shape.y_mm) if isinstance(shape, Circle) else middle_of(shape)
    there = to_frame(Circle(x, y, 1.0), cut)
    return there.x_mm, there.y_mm
