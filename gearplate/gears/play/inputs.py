"""The numbers that each cause of one mesh is reckoned from, in words, so that a reader can do the sum again."""

from __future__ import annotations

import math
from collections.abc import Callable

from gearplate.gears.play.budget import Cause, bore_growth, bore_growth_ends
from gearplate.gears.play.model import Climate, HeldGear, Hole, MeshPlay, Range


def inputs(play: MeshPlay, climate: Climate) -> dict[Cause, str]:
    """What each cause's formula (`reckoned.HOW`) takes, in mm, K and parts of a million."""
    gears = play.driver, play.driven
    angle = play.pair.working_angle_rad(play.centre_mm)
    turned = f"the line of centres at {math.degrees(play.direction_rad):.1f} deg"
    push = f"sin aw = {math.sin(angle):.4f}"
    ratio = play.pair.per_thinning(play.centre_mm)
    plate, gear = _millionths(play.plate.cte_per_k), _millionths(play.gear_cte_per_k)
    return {
        Cause.POSITION: f"{_holes(gears, _place)}; {turned}",
        Cause.SCALE: f"{play.centre_mm:.3f} mm, sigma {play.scale_sigma:g}, known "
        f"{play.cut_per_drawn[0] - 1.0:+.5g} along x and {play.cut_per_drawn[1] - 1.0:+.5g} along y, {turned}",
        Cause.BORE: f"{_holes(gears, _bore, clamped=False)}; growth {_span(bore_growth(play, climate), '.2e')} "
        f"(at the ends {_span(bore_growth_ends(play, climate), '.2e')}); {push}",
        Cause.INTERNAL: f"{_holes(gears, lambda hole: _span(hole.internal_mm), clamped=False)}; {push}",
        Cause.THICKNESS: f"{_both(gears, lambda one: _span(one.thinning_mm))}; cos a / cos aw = {ratio:.4f}",
        Cause.RUNOUT: _both(gears, lambda one: f"0 to {one.eccentric_mm:.4f}"),
        Cause.PILOT: _holes(gears, lambda hole: f"{hole.loose_mm:.3f} loose", clamped=True),
        Cause.SHAFT_RUNOUT: f"0 to {play.driver.shaft_runout_mm:.4f}",
        Cause.BENDING: f"{play.driver.shaft} 0 to {play.driver.bending_mm:.4f}; {push}",
        Cause.HALL: f"{play.centre_mm:.3f} mm x ({plate} - {gear}) / 10^6 x {_kelvin(climate.hall_k)}",
        Cause.HEAT: f"{play.centre_mm:.3f} mm x {plate} / 10^6 x {_kelvin((0.0, climate.motor_heat_k))}",
        Cause.MOISTURE: f"{play.centre_mm:.3f} mm x {_span(play.plate.swelling, 'g')} x {_span(climate.moisture, 'g')}",
    }


def _holes(gears: tuple[HeldGear, ...], told: Callable[[Hole], str], clamped: bool | None = None) -> str:
    found = [
        f"{hole.name} {weight:.2f} x {told(hole)}"
        for one in gears
        for hole, weight in one.holes
        if clamped is None or hole.clamped is clamped
    ]
    return ", ".join(found) or "none"


def _both(gears: tuple[HeldGear, ...], told: Callable[[HeldGear], str]) -> str:
    return ", ".join(f"{one.shaft} {one.teeth}T {told(one)}" for one in gears)


def _place(hole: Hole) -> str:
    return f"({hole.sigma_x_mm:g}, {hole.sigma_y_mm:g})"


def _bore(hole: Hole) -> str:
    return (
        f"({hole.diameter_mm:g} mm, {hole.loose_mm:+.3f} loose, sigma {hole.loose_sigma_mm:g}, ring "
        f"{_span(hole.part_under_mm)} under)"
    )


def _span(span: Range, form: str = ".4f") -> str:
    return f"{span[0] + 0.0:{form}} to {span[1] + 0.0:{form}}"  # no negative zero


def _millionths(span: Range) -> str:
    low, high = 1e6 * span[0], 1e6 * span[1]
    return f"{low:.4g}" if math.isclose(low, high) else f"({low:.4g} to {high:.4g})"


def _kelvin(span: Range) -> str:
    return f"({span[0]:g} to {span[1]:g}) K"
