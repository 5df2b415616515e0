"""Between the frame of the right-hand gearbox, the frame of a plate's own hand, and the sheet as it lies in the cutter.

Each is at most one mirroring of x away from the next: the left hand is the mirror image of the right one, and a plate
whose inboard face lies up is seen from behind, so that its file is turned over.
"""

from __future__ import annotations

from typing import TypeVar, cast

from gearplate.cut.cut_plate import CutPlate
from gearplate.geometry.shapes import Circle, Path, Stroke
from gearplate.geometry.transform import mirrored
from gearplate.layout.spec import Side
from gearplate.plate.spec import Hand

ShapeT = TypeVar("ShapeT", bound=Circle | Path | Stroke)


def is_turned(face_up: Side) -> bool:
    """Whether the file's x is the frame's x negated. The frame is seen from the wheel, so it is where the face away
    from the wheel lies up."""
    return face_up is Side.INBOARD


def to_hand(shape: ShapeT, hand: Hand) -> ShapeT:
    """A shape of the right-hand frame in the frame of this hand (and back: it undoes itself)."""
    return _mirrored(shape) if hand is Hand.LEFT else shape


def to_sheet(shape: ShapeT, turned: bool) -> ShapeT:
    """A shape of the frame of its hand as it is drawn."""
    return _mirrored(shape) if turned else shape


def sheet_sign(hand: Hand, turned: bool) -> float:
    """-1 where x in the sheet is the right-hand frame's x negated, +1 where it is the same."""
    return -1.0 if (hand is Hand.LEFT) != turned else 1.0


def to_frame(shape: ShapeT, cut: CutPlate) -> ShapeT:
    """A shape as drawn, brought back to the frame of the plate's hand: the declared turn undone, and the correction
    of scale with it (for shapes other than strokes and circles only where both factors are the same)."""
    if cut.scale_x != 1.0 or cut.scale_y != 1.0:
        shape = _unscaled(shape, cut.scale_x, cut.scale_y)
    return _mirrored(shape) if cut.turned else shape


def _mirrored(shape: ShapeT) -> ShapeT:
    return mirrored(shape)  # type: ignore[type-var]


def _unscaled(shape: ShapeT, scale_x: float, scale_y: float) -> ShapeT:
    result: Circle | Path | Stroke
    if isinstance(shape, Circle):
        mean = 0.5 * (scale_x + scale_y)
        result = Circle(shape.x_mm / scale_x, shape.y_mm / scale_y, shape.diameter_mm / mean)
    elif isinstance(shape, Stroke):
        result = Stroke(tuple((x / scale_x, y / scale_y) for x, y in shape.points))
    else:
        result = Path(tuple((x / scale_x, y / scale_y, bulge) for x, y, bulge in shape.vertices))
    return cast(ShapeT, result)
