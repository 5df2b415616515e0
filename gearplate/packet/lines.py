"""Pens of the pictures beside those of the drawing room: what lies in front of the plates, and light tints.

Lines after ISO 128-2 (from memory): dashed for what lies behind, long dash and two dots for neighbouring parts in
front; so that black and white print tells them apart.
"""

from __future__ import annotations

from dataclasses import replace

from gearplate.drawing.pens import (
    AMBER,
    CHAIN,
    DASHED,
    GREY,
    INK,
    MIDDLE,
    NARROW,
    OUTBOARD,
    RUST,
    TEAL,
    VIOLET,
    WIDE,
    Pen,
)

DOUBLE_CHAIN = (5.0, 1.0, 0.7, 1.0, 0.7, 1.0)

PLATE_OUTBOARD = replace(OUTBOARD, fill="#dce8f2")
PLATE_INBOARD = Pen(RUST, WIDE, DASHED)
PLATE_CUT = Pen(INK, WIDE, fill="#e9e9e4")
MOTOR_IN_FRONT = Pen(VIOLET, MIDDLE, DOUBLE_CHAIN)
MOTOR_BEHIND = Pen(VIOLET, MIDDLE, DASHED)
WHEEL_IN_FRONT = Pen(GREY, WIDE, DOUBLE_CHAIN)
POST = Pen(INK, NARROW, fill="#b9bfc2")
HEAD = Pen(INK, NARROW)
SHAFT = Pen(None, 0.0, fill="#3a3a3a")
LEADER = Pen(GREY, NARROW)
ETCH = Pen("#2d4fb3", MIDDLE)
CONTACT = Pen(INK, NARROW)

_GEAR_COLOURS = (TEAL, AMBER, "#8a2f6b")


def gear_colour(stage: int) -> str:
    """Colour of a stage's gears; stages differ in place and number too, never in colour alone."""
    return _GEAR_COLOURS[(stage - 1) % len(_GEAR_COLOURS)]


def tip_circle(stage: int) -> Pen:
    """A gear's outside: narrow and continuous."""
    return Pen(gear_colour(stage), NARROW)


def pitch_circle(stage: int) -> Pen:
    """A gear's pitch circle: long dash and dot (ISO 2203, from memory)."""
    return Pen(gear_colour(stage), NARROW, CHAIN)
