"""What may not be in a cut file whatever was asked: contours drawn twice, contours that touch or cross."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from gearplate.drawing.curves import Box, Segment, box_of, gap_between, segment_box, segments
from gearplate.drawing.likeness import boxes_agree, deviation_mm
from gearplate.geometry.shapes import Circle, Path, Shape


@dataclass(frozen=True, slots=True)
class Contour:
    """A shape of a file with what is needed to compare it with all others. `etched`: it may touch other
    shapes."""

    at: int
    shape: Shape
    etched: bool
    box: Box
    pieces: tuple[tuple[Segment, Box], ...]


def contour(at: int, shape: Shape, etched: bool) -> Contour:
    pieces = () if etched else tuple((piece, segment_box(piece)) for piece in segments(shape))
    return Contour(at, shape, etched, box_of(shape), pieces)


def doubled_and_meeting(contours: Sequence[Contour], within_mm: float) -> Iterator[tuple[str, int, int]]:
    """("doubled" | "meeting", place, place) of every pair drawn over each other or closer than
    `within_mm`; a path that meets itself is a pair of equal places. Etched shapes can be doubled, and
    nothing else."""
    waiting: list[Contour] = []
    for new in sorted(contours, key=lambda contour: contour.box[0]):
        waiting = [old for old in waiting if old.box[2] >= new.box[0] - within_mm]
        for old in waiting:
            if _apart(old.box, new.box, within_mm):
                continue
            if _doubled(old, new, within_mm):
                yield "doubled", *_in_order(old, new)
            elif not (old.etched or new.etched) and _meet(old, new, within_mm):
                yield "meeting", *_in_order(old, new)
        if not new.etched and _meets_itself(new, within_mm):
            yield "meeting", new.at, new.at
        waiting.append(new)


def _in_order(a: Contour, b: Contour) -> tuple[int, int]:
    return min(a.at, b.at), max(a.at, b.at)


def _apart(a: Box, b: Box, within_mm: float) -> bool:
    return a[0] > b[2] + within_mm or b[0] > a[2] + within_mm or a[1] > b[3] + within_mm or b[1] > a[3] + within_mm


def _doubled(a: Contour, b: Contour, within_mm: float) -> bool:
    return boxes_agree(a.box, b.box, 2.0 * within_mm) and deviation_mm(a.shape, b.shape, within_mm) <= within_mm


def _meet(a: Contour, b: Contour, within_mm: float) -> bool:
    if isinstance(a.shape, Circle) and isinstance(b.shape, Circle):
        between = math.hypot(a.shape.x_mm - b.shape.x_mm, a.shape.y_mm - b.shape.y_mm)
        one, other = a.shape.diameter_mm / 2.0, b.shape.diameter_mm / 2.0
        return abs(one - other) - within_mm <= between <= one + other + within_mm
    near = [(piece, box) for piece, box in b.pieces if not _apart(box, a.box, within_mm)]
    return any(
        not _apart(box, other_box, within_mm) and gap_between(piece, other) < within_mm
        for piece, box in a.pieces
        if not _apart(box, b.box, within_mm)
        for other, other_box in near
    )


def _meets_itself(one: Contour, within_mm: float) -> bool:
    """Segments that are not neighbours; neighbours share an end and are left to the writer's own limits."""
    if not isinstance(one.shape, Path):
        return False
    count = len(one.pieces)
    return any(
        not _apart(one.pieces[i][1], one.pieces[j][1], within_mm)
        and gap_between(one.pieces[i][0], one.pieces[j][0]) < within_mm
        for i in range(count)
        for j in range(i + 2, count - (i == 0))
    )
