"""The marks of one cut plate as strokes in the sheet: set for this hand and this face, so that they read."""

from __future__ import annotations

import math

from gearplate.cut.turn import sheet_sign
from gearplate.geometry.shapes import Stroke
from gearplate.geometry.strokes import text_width_mm
from gearplate.plate.mark_shapes import strokes_of
from gearplate.plate.marks import DRAFT
from gearplate.plate.plate import Mark, Plate
from gearplate.plate.spec import Hand


def etched(plate: Plate, hand: Hand, turned: bool, draft: bool) -> tuple[tuple[str, tuple[Stroke, ...]], ...]:
    """Strokes by mark id. A draft says so in its own place; where there was none, in place of a line of lettering."""
    sign = sheet_sign(hand, turned)
    instead = _instead(plate) if draft and all(mark.kind != "draft" for mark in plate.marks) else None
    result = []
    for mark in plate.marks:
        if mark.kind == "draft" and not draft:
            continue
        text = DRAFT if mark is instead else text_of(mark, hand)
        angle = math.atan2(math.sin(mark.angle_rad), sign * math.cos(mark.angle_rad))
        result.append((mark.id, strokes_of(mark, text, sign * mark.x_mm, mark.y_mm, angle)))
    return tuple(result)


def text_of(mark: Mark, hand: Hand) -> str:
    """The wording of a mark for one hand."""
    return mark.left_text if hand is Hand.LEFT and mark.left_text else mark.text


def _instead(plate: Plate) -> Mark | None:
    """The first line of lettering that is long enough to hold the word for a draft."""
    lines = (mark for mark in plate.marks if mark.kind == "text")
    return next((mark for mark in lines if text_width_mm(DRAFT, mark.height_mm) <= mark.width_mm + 1e-9), None)
