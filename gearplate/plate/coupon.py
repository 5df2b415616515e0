"""A coupon: a small piece with each bore in several sizes, cut before the plates to see which one fits. In mm.

As a plate it goes the plates' own way through kerf, lead-in, scale and file, so that what is found on it holds for
them. The steps are common practice, no source: half of what a press and a slip fit differ by.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from gearplate.geometry.shapes import Path
from gearplate.layout.design import HoleKind
from gearplate.layout.spec import PlateStock, Side
from gearplate.plate.mark_shapes import text_room_mm
from gearplate.plate.marks import KEEP_MM, LEAST_LETTER_MM
from gearplate.plate.plate import Feature, Mark, Plate

STEPS_MM = (-0.1, -0.05, 0.0, 0.05, 0.1)
LETTER_MM = 3.2
LEAST_WEB_MM = 5.0
WEB_THICKNESSES = 1.5
CORNER_MM = 3.0
_BETWEEN_MM = KEEP_MM + 0.5  # letters to cuts, with what a fit takes
_QUARTER_ARC = math.tan(math.pi / 8.0)


@dataclass(frozen=True, slots=True)
class CouponBore:
    """What is tried: `part_mm` goes into a hole that is `fit_mm` wider when finished. `what` is "bearing" or "pilot",
    `names` says whose it is."""

    what: str
    part_mm: float
    fit_mm: float
    names: tuple[str, ...]

    @property
    def kind(self) -> HoleKind:
        """What the bore is in a plate."""
        return HoleKind.BEARING_BORE if self.what == "bearing" else HoleKind.MOTOR_PILOT


def step_text(step_mm: float) -> str:
    """ "-0.10", "0", "+0.05": what is marked beside a hole."""
    return f"{step_mm:+.2f}" if step_mm else "0"


def hole_id(row: int, step_mm: float) -> str:
    """ "row-1 +0.05"; rows count from 1, the lowest first."""
    return f"row-{row} {step_text(step_mm)}"


def coupon_plate(stock: PlateStock, thickness_mm: float, bores: Sequence[CouponBore], head: Sequence[str]) -> Plate:
    """The coupon of one sheet: a row of holes a bore, its steps marked under it, what it is over it; `head` stands over
    all. It is drawn as it lies, the marked face up, its lower left corner in the origin.

    Raises ValueError where there is no bore.
    """
    if not bores:
        raise ValueError("a coupon needs at least one bore")
    web = max(LEAST_WEB_MM, WEB_THICKNESSES * thickness_mm)
    label = max(text_room_mm(step_text(step), LETTER_MM)[0] for step in STEPS_MM)
    features: list[Feature] = []
    marks: list[Mark] = []
    y, right = web, 0.0
    for row, bore in enumerate(bores, 1):
        widest = bore.part_mm + bore.fit_mm + STEPS_MM[-1]
        pitch = max(widest + web, label + _BETWEEN_MM)
        half = 0.5 * max(widest, label)
        y = _labels(marks, row, [web + half + index * pitch for index in range(len(STEPS_MM))], y) + 0.5 * widest
        for index, step in enumerate(STEPS_MM):
            x = web + half + index * pitch
            features.append(
                Feature(
                    hole_id(row, step),
                    bore.kind,
                    "circle",
                    "free",
                    None,
                    x,
                    y,
                    part_diameter_mm=bore.part_mm,
                    fit_mm=bore.fit_mm + step,
                )
            )
        right = max(right, web + half + (len(STEPS_MM) - 1) * pitch + half)
        y, wide = _line(marks, f"row-{row}", row_text(bore), web, y + 0.5 * widest + _BETWEEN_MM)
        right = max(right, wide)
        y += 2.0 * _BETWEEN_MM
    for number, text in enumerate(head, 1):
        y, wide = _line(marks, f"head-{number}", text, web, y)
        right = max(right, wide)
        y += _BETWEEN_MM
    outline = _rounded(right + web, y - _BETWEEN_MM + web)
    return Plate(Side.OUTBOARD, stock, Side.OUTBOARD, outline, tuple(features), tuple(marks))


def row_text(bore: CouponBore) -> str:
    """ "BEARING 28.575 MM, FIT -0.040 MM"."""
    return f"{bore.what.upper()} {bore.part_mm:.3f} MM, FIT {bore.fit_mm:+.3f} MM"


def _labels(marks: list[Mark], row: int, at_x: Sequence[float], y: float) -> float:
    """The steps under their holes, from y upward; the height at which holes may begin."""
    for step, x in zip(STEPS_MM, at_x, strict=True):
        text = step_text(step)
        wide, tall = text_room_mm(text, LETTER_MM)
        marks.append(Mark(f"row-{row}-step{step:+.2f}", "text", text, x, y + 0.5 * tall, LETTER_MM, wide, tall_mm=tall))
    return y + LETTER_MM + _BETWEEN_MM


def _line(marks: list[Mark], name: str, text: str, x: float, y: float) -> tuple[float, float]:
    """A line of lettering that begins at x, from y upward; where it ends upward and to the right."""
    wide, tall = text_room_mm(text, LETTER_MM)
    marks.append(Mark(name, "text", text, x + 0.5 * wide, y + 0.5 * tall, LETTER_MM, wide, tall_mm=tall))
    return y + tall, x + wide


def _rounded(width_mm: float, height_mm: float) -> Path:
    """A rectangle from the origin with rounded corners, counter-clockwise."""
    r, b = CORNER_MM, _QUARTER_ARC
    w, h = width_mm, height_mm
    return Path(
        (
            (r, 0.0, 0.0),
            (w - r, 0.0, b),
            (w, r, 0.0),
            (w, h - r, b),
            (w - r, h, 0.0),
            (r, h, b),
            (0.0, h - r, 0.0),
            (0.0, r, b),
        )
    )


assert LETTER_MM >= LEAST_LETTER_MM
