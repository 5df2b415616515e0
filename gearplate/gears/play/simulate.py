"""Simulated play: many gearboxes drawn at once, a whole train with what its meshes have in common.

Each hole, gear and motor is drawn once for all meshes that it takes part in, the weather once for the whole box. The
backlash is exact (gears/play/pair.py), the play of bores is clipped draw by draw. The same train gives the same draws.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np

from gearplate.gears.involute import Array
from gearplate.gears.play.model import Climate, HeldGear, Hole, MeshPlay, Range
from gearplate.gears.play.plate_scatter import Spread, spread_of

DRAWS = 100_000


@dataclass(frozen=True, slots=True)
class Simulated:
    """One mesh over all draws: operating backlash, mm, at the tightest place of a turn, between, and at the slackest.

    `probability_binds`: part of the gearboxes that bind somewhere in their turn; `probability_over`: part of those
    whose backlash somewhere in the turn is above what is allowed (None where nothing is said).
    """

    centre: Spread
    middle: Spread
    tight: Spread
    slack: Spread
    probability_binds: float
    probability_over: float | None
    tight_mm: Array
    slack_mm: Array


class _Draws:
    """Draws by name: what is asked for twice is the same."""

    def __init__(self, count: int, start: int) -> None:
        self._count = count
        self._random = np.random.Generator(np.random.PCG64(start))
        self._known: dict[str, Array] = {}

    def _once(self, name: str, draw: Callable[[int], Array]) -> Array:
        if name not in self._known:
            self._known[name] = draw(self._count)
        return self._known[name]

    def normal(self, name: str) -> Array:
        return self._once(name, self._random.standard_normal)

    def share(self, name: str) -> Array:
        return self._once(name, self._random.random)

    def between(self, name: str, span: Range) -> Array:
        return np.asarray(span[0] + (span[1] - span[0]) * self.share(name))


def simulate(
    meshes: Sequence[MeshPlay], climate: Climate, allowed_mm: float | None = None, draws: int = DRAWS, start: int = 1
) -> tuple[Simulated, ...]:
    """Every mesh of a train over `draws` gearboxes, in the order given."""
    box = _Draws(draws, start)
    return tuple(_one(play, climate, allowed_mm, box) for play in meshes)


def _one(play: MeshPlay, climate: Climate, allowed_mm: float | None, box: _Draws) -> Simulated:
    hall, wet = box.between("hall", climate.hall_k), box.between("moisture", climate.moisture)
    plate_cte, swelling = box.between("plate cte", play.plate.cte_per_k), box.between("swelling", play.plate.swelling)
    in_hall = plate_cte * hall + swelling * wet
    plate = in_hall + play.plate.heat_share * plate_cte * climate.motor_heat_k * box.share("motor heat")
    gear = box.between("gear cte", play.gear_cte_per_k) * hall
    cos, sin = math.cos(play.direction_rad), math.sin(play.direction_rad)
    scale = (
        cos * cos * (play.cut_per_drawn[0] - 1.0 + play.scale_sigma * box.normal("scale x"))
        + sin * sin * (play.cut_per_drawn[1] - 1.0 + play.scale_sigma * box.normal("scale y"))
    )  # fmt: skip
    push = math.sin(play.pair.working_angle_rad(play.centre_mm))
    open_bore = in_hall - climate.bearing_cte_per_k * hall
    centre = play.centre_mm * (1.0 + plate + scale)
    turning = np.zeros_like(centre)
    thinning = np.zeros_like(centre)
    for held, outward in ((play.driver, -1.0), (play.driven, 1.0)):
        for hole, weight in held.holes:
            off = hole.sigma_x_mm * cos * box.normal(f"{hole.name} x") + hole.sigma_y_mm * sin * box.normal(
                f"{hole.name} y"
            )
            centre = centre + weight * (outward * off + _give(hole, open_bore, push, box))
        centre = centre + push * held.bending_mm * box.share(f"{held.shaft} bending")
        turning = turning + _eccentric(held, play.stage, box)
        thinning = thinning + box.between(f"{held.shaft} {held.teeth} {play.stage} thinning", held.thinning_mm)
    at = [play.pair.backlash_many_mm(centre + sign * turning, thinning, gear) for sign in (-1.0, 0.0, 1.0)]
    over = None if allowed_mm is None else float(np.mean(at[2] > allowed_mm))
    return Simulated(
        centre=spread_of(centre),
        middle=spread_of(at[1]),
        tight=spread_of(at[0]),
        slack=spread_of(at[2]),
        probability_binds=float(np.mean(~(at[0] > 0.0))),
        probability_over=over,
        tight_mm=at[0],
        slack_mm=at[2],
    )


def _give(hole: Hole, open_bore: Array, push: float, box: _Draws) -> Array:
    """How far the shaft gives way outward in one hole: pushed along the tooth force, or clamped anywhere."""
    if hole.clamped:
        turned = 2.0 * math.pi * box.share(f"{hole.name} clamped")
        return np.asarray(0.5 * max(0.0, hole.loose_mm) * np.cos(turned))
    loose = hole.loose_mm + hole.loose_sigma_mm * box.normal(f"{hole.name} size") + hole.diameter_mm * open_bore
    loose = loose + box.between(f"{hole.name} part", hole.part_under_mm)
    internal = box.between(f"{hole.name} inside", hole.internal_mm)
    return np.asarray(0.5 * push * (np.maximum(0.0, loose) + internal))


def _eccentric(held: HeldGear, stage: int, box: _Draws) -> Array:
    own = held.eccentric_mm * box.share(f"{held.shaft} {held.teeth} {stage} runout")
    return np.asarray(own + held.shaft_runout_mm * box.share(f"{held.shaft} shaft runout"))
