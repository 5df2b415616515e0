"""Lengths of screws from those on hand: enough thread, and never to the bottom of a tapped hole."""

from __future__ import annotations

import math

from gearplate.catalog.fasteners import Fastener
from gearplate.layout.axial.parts import PostPlan, ScrewPlan
from gearplate.layout.design import Layout
from gearplate.layout.hardware import THREADS_PAST_NUT
from gearplate.layout.spec import LayoutSpec, MotorSpec, Mount, Side

LEAST_DIAMETERS = 1.0  # of thread, the least in metal; handbooks, from memory
GOOD_DIAMETERS = 1.5  # in aluminium, as motor faces and standoffs mostly are; handbooks, from memory
SPARE_PITCHES = 1.0  # that stay free at the bottom of a tapped hole; common practice, no source
TAP_PITCHES = 2.0  # past the screw, that the thread of a standoff is tapped; common practice, no source
SAME_MM = 1e-9


def screw_plans(spec: LayoutSpec, layout: Layout) -> tuple[ScrewPlan, ...]:
    """All screws of one gearbox: motors, standoffs, rail."""
    alike: dict[tuple[object, ...], list[MotorSpec]] = {}
    for motor in spec.motors:
        alike.setdefault((motor.motor, motor.side, motor.screw), []).append(motor)
    plans = [_motor_screws(spec, group) for group in alike.values()]
    gap = layout.stack.gap_mm
    if layout.standoffs:
        plans += _standoff_screws(spec, len(layout.standoffs), gap)
    if spec.rail is not None and layout.rail_holes:
        plans.append(_rail_screws(spec, len(layout.rail_holes), gap))
    return tuple(plans)


def post_plans(spec: LayoutSpec, layout: Layout, screws: tuple[ScrewPlan, ...]) -> tuple[PostPlan, ...]:
    """Standoffs, and the tubes round the rail's screws."""
    posts = []
    gap = layout.stack.gap_mm
    deepest = [one.engaged_mm + TAP_PITCHES * one.screw.pitch_mm for one in screws if one.what.startswith("standoff")]
    if layout.standoffs:
        diameter = spec.standoffs.diameter_mm
        posts.append(PostPlan("standoff", len(layout.standoffs), gap, diameter, max(deepest, default=None)))
    if spec.rail is not None and spec.rail.mount is Mount.BESIDE and layout.rail_holes:
        posts.append(PostPlan("rail tube", len(layout.rail_holes), gap, spec.rail.tube_diameter_mm, None))
    return tuple(posts)


def on_hand_mm(screw: Fastener, least_mm: float) -> tuple[float, bool]:
    """The shortest length on hand that is not under `least_mm`; where there is none, that length to be cut, rounded
    up to a mm, and False."""
    for length in screw.lengths_mm:
        if length >= least_mm - SAME_MM:
            return length, True
    return math.ceil(least_mm - SAME_MM), False


def into_thread_mm(screw: Fastener, grip_mm: float, depth_mm: float) -> tuple[float, bool]:
    """The shortest length on hand with good engagement that stays off the bottom; failing that the longest that
    stays off it; failing that the shortest there is."""
    most = grip_mm + depth_mm - SPARE_PITCHES * screw.pitch_mm
    fitting = [length for length in screw.lengths_mm if grip_mm < length <= most + SAME_MM]
    enough = [length for length in fitting if length >= grip_mm + GOOD_DIAMETERS * screw.nominal_mm - SAME_MM]
    if enough:
        return enough[0], True
    if fitting:
        return fitting[-1], True
    longer = [length for length in screw.lengths_mm if length > grip_mm]
    return (longer[0], True) if longer else (math.floor(most), False)


def _washer(spec: LayoutSpec, screw: Fastener) -> float:
    return screw.washer_thickness_mm if spec.washers else 0.0


def _motor_screws(spec: LayoutSpec, motors: list[MotorSpec]) -> ScrewPlan:
    motor = motors[0]
    screw, face = motor.screw, motor.motor.face
    grip = _washer(spec, screw) + spec.stock(motor.side).used_mm
    count = sum(one.screws_used for one in motors)
    names = tuple(one.name for one in motors)
    wanted = LEAST_DIAMETERS * screw.nominal_mm
    if face.thread_depth_mm is None:
        grip += (face.flange_thickness_mm or 0.0) + _washer(spec, screw)
        return _with_nut(spec, "motor", names, screw, grip, count)
    length, stock = into_thread_mm(screw, grip, face.thread_depth_mm)
    return ScrewPlan(
        "motor", names, screw, length, count, grip, length - grip, wanted, face.thread_depth_mm, False,
        count if spec.washers else 0, stock,
    )  # fmt: skip


def _with_nut(
    spec: LayoutSpec, what: str, whom: tuple[str, ...], screw: Fastener, grip_mm: float, count: int
) -> ScrewPlan:
    """`grip_mm` holds the washers on both sides."""
    through = screw.nut_height_mm + THREADS_PAST_NUT * screw.pitch_mm
    length, stock = on_hand_mm(screw, grip_mm + through)
    washers = 2 * count if spec.washers else 0
    return ScrewPlan(
        what, whom, screw, length, count, grip_mm, length - grip_mm, screw.nut_height_mm, None, True, washers, stock
    )


def _standoff_screws(spec: LayoutSpec, count: int, gap_mm: float) -> list[ScrewPlan]:
    """One into each end; the two in one standoff must not meet."""
    screw = spec.standoffs.screw
    depth = 0.5 * gap_mm
    wanted = LEAST_DIAMETERS * screw.nominal_mm
    found = []
    for side in Side:
        grip = _washer(spec, screw) + spec.stock(side).used_mm
        length, stock = into_thread_mm(screw, grip, depth)
        washers = count if spec.washers else 0
        what = f"standoff, {side.value} end"
        found.append(
            ScrewPlan(what, (), screw, length, count, grip, length - grip, wanted, depth, False, washers, stock)
        )
    return found


def _rail_screws(spec: LayoutSpec, count: int, gap_mm: float) -> ScrewPlan:
    """Through both plates and the near wall of the rail, with a nut behind it; or through the rail between them."""
    assert spec.rail is not None
    wall = spec.rail.wall_mm if spec.rail.mount is Mount.BESIDE else 0.0
    grip = spec.inboard.used_mm + gap_mm + spec.outboard.used_mm + wall + 2.0 * _washer(spec, spec.rail.screw)
    return _with_nut(spec, "rail", (), spec.rail.screw, grip, count)
