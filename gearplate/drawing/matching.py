"""Which shape of a file is which shape of the sheet."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from gearplate.drawing.curves import box_of, distance_to, segments
from gearplate.drawing.dxf_in import ReadBack, ReadEntity
from gearplate.drawing.likeness import boxes_agree, deviation_mm
from gearplate.drawing.model import Sheet
from gearplate.geometry.shapes import Path, Shape, Stroke

NEAR_MM = 2.0  # farther off than this, a shape is called missing and not displaced


@dataclass(frozen=True, slots=True)
class Pairs:
    """`found_at`: for each shape asked for, its place in the file or None; `left`: places in the file
    that are nobody's."""

    found_at: tuple[int | None, ...]
    left: tuple[int, ...]


def pair_up(sheet: Sheet, back: ReadBack, within_mm: float) -> Pairs:
    """Pair the shapes asked for with those found, closed with closed, within a deviation. A shape in its
    own place of the order comes first, then one on its own layer, then any."""
    found_at: list[int | None] = []
    free = set(range(len(back.entities)))
    for at, entity in enumerate(sheet.entities):
        in_place = at in free and _same(entity.shape, back.entities[at], within_mm)
        found_at.append(at if in_place else None)
        if in_place:
            free.discard(at)
    if free:
        boxes = {at: box_of(back.entities[at].shape) for at in free}
        for own_layer in (True, False):
            for at, entity in enumerate(sheet.entities):
                if found_at[at] is not None:
                    continue
                layer, box = sheet.layers.of(entity.operation).name, box_of(entity.shape)
                for other in sorted(free):
                    seen = back.entities[other]
                    if own_layer and seen.layer != layer:
                        continue
                    if boxes_agree(box, boxes[other], 2.0 * within_mm) and _same(entity.shape, seen, within_mm):
                        found_at[at] = other
                        free.discard(other)
                        break
    return Pairs(tuple(found_at), tuple(sorted(free)))


def _same(asked: Shape, seen: ReadEntity, within_mm: float) -> bool:
    if seen.closed == isinstance(asked, Stroke):
        return False
    return deviation_mm(asked, seen.shape, within_mm) <= within_mm


def nearest(asked: Shape, back: ReadBack, free: Sequence[int], within_mm: float) -> tuple[int, float] | None:
    """The shape of the same form that is least off, with its deviation in mm; None where all are farther than
    2 mm."""
    best: tuple[int, float] | None = None
    box = box_of(asked)
    for at in free:
        seen = back.entities[at]
        if seen.closed == isinstance(asked, Stroke) or type(seen.shape) is not type(asked):
            continue
        if boxes_agree(box, box_of(seen.shape), 2.0 * NEAR_MM):
            off = deviation_mm(asked, seen.shape, within_mm)
            if off <= (best[1] if best else NEAR_MM):
                best = at, off
    return best


def opened(asked: Shape, back: ReadBack, free: Sequence[int], within_mm: float) -> int | None:
    """The place of an open run that lies wholly on a closed path asked for."""
    if not isinstance(asked, Path):
        return None
    pieces = segments(asked)
    for at in free:
        seen = back.entities[at]
        if not seen.closed:
            corners = [piece.start for piece in segments(seen.shape, closed=False)]
            if all(min(distance_to(corner, piece) for piece in pieces) <= within_mm for corner in corners):
                return at
    return None
