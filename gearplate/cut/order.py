"""In which order a plate is cut: marks, then holes and slots, then windows, the outline last of all.

Within a group the next one is always the nearest to where the last one ended, begun at the sheet's lower left corner;
so the head travels little and the order is the same on every run. Windows come after the holes, because the sheet
moves most once large pieces have fallen out, and the outline frees the plate.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence

from gearplate.cut.cut_plate import CutFeature, CutPlate
from gearplate.errors import ToolBug
from gearplate.geometry.path import bbox
from gearplate.geometry.shapes import Circle, Shape

Step = tuple[str, Shape, str]
"""What is done ("etch", "cut_inside", "cut_outside"), along what, and the id of the feature or mark."""

ETCH, CUT_INSIDE, CUT_OUTSIDE = "etch", "cut_inside", "cut_outside"


def cut_steps(cut: CutPlate, order: Sequence[str] = (ETCH, CUT_INSIDE, CUT_OUTSIDE)) -> tuple[Step, ...]:
    """Everything that a cut file holds, in the order in which it is cut. A lead-in comes right before its contour.
    `order` is that of the three operations, where the cutter's row wants another one.

    Raises:
        ToolBug: the plate has something that cannot be cut; the checks refuse it before.
    """
    if cut.faults:
        name, why = cut.faults[0]
        raise ToolBug(f"{cut.file_name}: {name} cannot be cut ({why}) and was to be written all the same")
    inside: list[Step] = []
    for feature in inner_order(cut):
        if feature.lead_in is not None:
            inside.append((CUT_INSIDE, feature.lead_in, feature.feature.id))
        inside.append((CUT_INSIDE, feature.shape, feature.feature.id))
    by_operation: dict[str, list[Step]] = {
        ETCH: [(ETCH, stroke, name) for name, strokes in cut.etch for stroke in strokes],
        CUT_INSIDE: inside,
        CUT_OUTSIDE: [(CUT_OUTSIDE, cut.outline_path, "outline")],
    }
    return tuple(step for operation in order for step in by_operation[operation])


def inner_order(cut: CutPlate) -> tuple[CutFeature, ...]:
    """The holes, slots and windows in the order in which they are cut."""
    x0, y0, _, _ = bbox(cut.outline_path)
    holes, here = _nearest_first((f for f in cut.features if f.feature.form != "window"), (x0, y0))
    windows, _ = _nearest_first((f for f in cut.features if f.feature.form == "window"), here)
    return (*holes, *windows)


def _nearest_first(
    features: Iterable[CutFeature], start: tuple[float, float]
) -> tuple[list[CutFeature], tuple[float, float]]:
    left = [(feature, begin_of(feature)) for feature in features]
    order: list[CutFeature] = []
    here = start
    while left:
        # Distances are rounded, so that the last bits of a sine cannot change the order from machine to machine.
        best = min(left, key=lambda item: (round(math.dist(item[1], here), 6), item[0].feature.id))
        left.remove(best)
        order.append(best[0])
        here = _end_of(best[0])
    return order, here


def begin_of(feature: CutFeature) -> tuple[float, float]:
    """Where the beam starts: the pierce of a lead-in, else the contour's own start."""
    return feature.lead_in.points[0] if feature.lead_in is not None else _end_of(feature)


def _end_of(feature: CutFeature) -> tuple[float, float]:
    shape = feature.shape
    if isinstance(shape, Circle):
        return shape.x_mm + 0.5 * shape.diameter_mm, shape.y_mm
    return shape.vertices[0][0], shape.vertices[0][1]
