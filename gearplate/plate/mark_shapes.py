"""How each kind of mark is drawn, in sheet coordinates, and how much room it takes."""

from __future__ import annotations

import math

from gearplate.geometry.shapes import Stroke
from gearplate.geometry.strokes import text_strokes, text_width_mm
from gearplate.plate.plate import Mark

ARROW_MM = 10.0  # length of an arrow
HEAD_MM = 3.0  # length and width of its head
BESIDE_MM = 1.2  # between an arrow or sign and its word
SIGN_MM = 4.0  # across the flats of the sign that points through the plate

Point = tuple[float, float]


def text_room_mm(text: str, height_mm: float) -> tuple[float, float]:
    """Width and height that a line of text takes."""
    return text_width_mm(text, height_mm), height_mm


def arrow_room_mm(word: str, height_mm: float, upright: bool) -> tuple[float, float]:
    """Width and height that an arrow with its word takes: the word beside an upright arrow, over a level one."""
    width = text_width_mm(word, height_mm)
    if upright:
        return HEAD_MM + BESIDE_MM + width, max(ARROW_MM, height_mm)
    return max(ARROW_MM, width), HEAD_MM + BESIDE_MM + height_mm


def sign_room_mm(word: str, height_mm: float) -> tuple[float, float]:
    """Width and height that the sign for 'through the plate' takes with its word beside it."""
    return SIGN_MM + BESIDE_MM + text_width_mm(word, height_mm), max(SIGN_MM, height_mm)


def strokes_of(mark: Mark, text: str, x_mm: float, y_mm: float, angle_rad: float) -> tuple[Stroke, ...]:
    """The strokes of a mark about (x, y) of the sheet. `angle_rad` is an arrow's direction in the sheet.

    The word never turns with the arrow and is never mirrored.
    """
    if mark.kind == "arrow":
        return _arrow(mark, text, x_mm, y_mm, angle_rad)
    if mark.kind == "out":
        return _sign(mark, text, x_mm, y_mm)
    return _centred(text, x_mm, y_mm, mark.height_mm)


def _centred(text: str, x_mm: float, y_mm: float, height_mm: float) -> tuple[Stroke, ...]:
    width = text_width_mm(text, height_mm)
    return text_strokes(text, x_mm - 0.5 * width, y_mm - 0.5 * height_mm, height_mm)


def _arrow(mark: Mark, text: str, x_mm: float, y_mm: float, angle_rad: float) -> tuple[Stroke, ...]:
    ux, uy = _axis(angle_rad)
    word = text_width_mm(text, mark.height_mm)
    if uy != 0.0:
        ax, ay = x_mm - 0.5 * mark.width_mm + 0.5 * HEAD_MM, y_mm
        word_at = (ax + 0.5 * HEAD_MM + BESIDE_MM + 0.5 * word, y_mm)
    else:
        ax, ay = x_mm, y_mm - 0.5 * mark.tall_mm + 0.5 * HEAD_MM
        word_at = (x_mm, ay + 0.5 * HEAD_MM + BESIDE_MM + 0.5 * mark.height_mm)
    half = 0.5 * ARROW_MM

    def at(along: float, across: float) -> Point:
        return ax + along * ux - across * uy, ay + along * uy + across * ux

    shaft = Stroke((at(-half, 0.0), at(half, 0.0)))
    head = Stroke((at(half - HEAD_MM, 0.5 * HEAD_MM), at(half, 0.0), at(half - HEAD_MM, -0.5 * HEAD_MM)))
    return (shaft, head, *_centred(text, *word_at, mark.height_mm))


def _axis(angle_rad: float) -> Point:
    """The nearest of the four directions along the sheet's axes."""
    quarter = round(angle_rad / (0.5 * math.pi)) % 4
    return ((1.0, 0.0), (0.0, 1.0), (-1.0, 0.0), (0.0, -1.0))[quarter]


def _sign(mark: Mark, text: str, x_mm: float, y_mm: float) -> tuple[Stroke, ...]:
    """An arrow seen from its tip (ring with a dot) or from its tail (ring with a cross). The ring is an octagon: only
    what is cut needs round curves, and a ring that is no circle is never taken for a hole."""
    cx = x_mm - 0.5 * mark.width_mm + 0.5 * SIGN_MM
    half = 0.5 * SIGN_MM
    corner = half * math.tan(math.pi / 8.0)
    quarter = [(half, corner), (corner, half), (-corner, half), (-half, corner)]
    ring = [*quarter, *((-a, -b) for a, b in quarter), quarter[0]]
    lines = [ring]
    if abs(mark.angle_rad) < 0.5 * math.pi:
        dot = 0.15 * SIGN_MM
        lines.append([(dot, 0.0), (0.0, dot), (-dot, 0.0), (0.0, -dot), (dot, 0.0)])
    else:
        reach = 0.3 * SIGN_MM
        lines += [[(-reach, -reach), (reach, reach)], [(-reach, reach), (reach, -reach)]]
    sign = tuple(Stroke(tuple((cx + a, y_mm + b) for a, b in line)) for line in lines)
    word = text_width_mm(text, mark.height_mm)
    return (*sign, *_centred(text, cx + half + BESIDE_MM + 0.5 * word, y_mm, mark.height_mm))
