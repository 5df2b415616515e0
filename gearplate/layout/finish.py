"""Shafts have their places: turn the motors, set the standoffs, and tell what is left to be wished for."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from gearplate.layout.arrange import arrange
from gearplate.layout.bodies import all_bodies, fixed_bodies, gears_on_shafts, moved
from gearplate.layout.chain import known_places
from gearplate.layout.clocking import choose_clocking
from gearplate.layout.constraints import bodies_by_shaft, centre_holes
from gearplate.layout.design import Body, Layout, Stack
from gearplate.layout.hardware import rail_screw_bodies, screw_places
from gearplate.layout.holes import layout_holes
from gearplate.layout.posts import LAST_RESORT_GROWTH_MM, MOST_GROWTH_MM, rail_pattern, standoff_places
from gearplate.layout.service import access_diameter_mm, reachable_screws
from gearplate.layout.spec import LayoutSpec, Side

Disc = tuple[float, float, float]
Positions = Mapping[str, tuple[float, float]]
KEPT_MM = 1e-6  # a layout that misses by no more keeps every clearance
POST_COST_MM = 0.1  # a missing standoff weighs as much as a miss of this size


@dataclass(frozen=True, slots=True)
class Trial:
    """One layout with everything placed, how far it misses, how many standoffs found no place, and how many motor
    screws no driver reaches."""

    layout: Layout
    miss_mm: float
    posts_short: int
    screws_blocked: int

    @property
    def cost(self) -> float:
        return self.miss_mm + POST_COST_MM * self.posts_short

    @property
    def kept(self) -> bool:
        """Whether every clearance is kept and every standoff stands."""
        return self.cost <= KEPT_MM


def rail_screws(spec: LayoutSpec, stack: Stack, extra_mm: float) -> tuple[tuple[float, float], ...]:
    """The rail's screws, clear of all that has its place already; `extra_mm` farther out than they must."""
    table = bodies_by_shaft(spec, stack)
    at = known_places(spec)
    bodies = [moved(body, *at[name]) for name in at for body in table[name]]
    bodies += fixed_bodies(spec, stack)
    return rail_pattern(spec, stack, bodies, _centre_discs(spec, stack, at), relief_discs(spec, at), extra_mm)


def with_far_posts(spec: LayoutSpec, stack: Stack, trial: Trial) -> Trial:
    """The same shafts with standoffs that may stand farther out."""
    layout = trial.layout
    positions = {shaft.name: (shaft.x_mm, shaft.y_mm) for shaft in layout.shafts}
    return finish(spec, stack, positions, layout.rail_holes, post_growth_mm=LAST_RESORT_GROWTH_MM)


def _centre_discs(spec: LayoutSpec, stack: Stack, positions: Positions) -> dict[Side, list[Disc]]:
    discs: dict[Side, list[Disc]] = {side: [] for side in Side}
    for (name, side), diameter in centre_holes(spec, stack).items():
        if name in positions:
            discs[side].append((*positions[name], diameter))
    for side, own in _own_discs(spec, positions).items():
        discs[side] += own
    return discs


def relief_discs(spec: LayoutSpec, positions: Positions) -> list[Disc]:
    """The rail's relief holes that have a place by now: (x, y, diameter), mm."""
    at: dict[str | None, tuple[float, float]] = {None: (0.0, 0.0)}
    at.update(positions)
    return [
        (at[one.shaft][0] + one.x_mm, at[one.shaft][1] + one.y_mm, one.diameter_mm)
        for one in (spec.rail.reliefs if spec.rail is not None else ())
        if one.shaft in at
    ]


def _own_discs(spec: LayoutSpec, positions: Positions) -> dict[Side, list[Disc]]:
    """The user's own holes that have a place by now."""
    discs: dict[Side, list[Disc]] = {side: [] for side in Side}
    for own in spec.own_discs:
        if own.shaft is None or own.shaft in positions:
            x, y = positions[own.shaft] if own.shaft is not None else (0.0, 0.0)
            for side in own.sides:
                discs[side].append((x + own.x_mm, y + own.y_mm, own.diameter_mm))
    return discs


def finish(
    spec: LayoutSpec,
    stack: Stack,
    positions: Positions,
    rail: tuple[tuple[float, float], ...] | None,
    miss_mm: float = 0.0,
    post_growth_mm: float = MOST_GROWTH_MM,
) -> Trial:
    """Clock the motors and set the posts for shafts that have their places and miss their demands by `miss_mm`."""
    table = bodies_by_shaft(spec, stack)
    bodies: list[Body] = [moved(body, *positions[name]) for name, own in table.items() for body in own]
    bodies += fixed_bodies(spec, stack)
    holes = _centre_discs(spec, stack, positions)
    if rail is None:
        rail = rail_pattern(spec, stack, bodies, holes, relief_discs(spec, positions))
    for index, place in enumerate(rail):
        bodies += rail_screw_bodies(spec, stack, index, place)
    if spec.rail is not None:
        for side in Side:
            holes[side] += [(x, y, spec.rail.screw.normal_mm) for x, y in rail]
    clocking, clocking_miss = choose_clocking(spec, stack, positions, bodies, holes)
    gears = gears_on_shafts(spec, stack)
    bare = layout_holes(spec, stack, gears, positions, clocking, (), rail)
    without_posts = all_bodies(spec, stack, gears, positions, clocking, (), rail)
    access = _access(spec, positions, clocking)
    own = _own_discs(spec, positions)
    keep_off = {side: (*access[side], *own[side]) for side in Side}
    posts = standoff_places(spec, stack, without_posts, bare, keep_off, rail, post_growth_mm)
    short = 0 if spec.standoffs.places is not None else spec.standoffs.count - len(posts)
    layout = arrange(spec, stack, positions, clocking, posts, rail)
    return Trial(layout, miss_mm + clocking_miss, max(0, short), screws_blocked(spec, layout))


def screws_blocked(spec: LayoutSpec, layout: Layout) -> int:
    """How many of all used motor screws no driver reaches."""
    clocking = dict(layout.clocking_rad)
    places = {shaft.name: (shaft.x_mm, shaft.y_mm) for shaft in layout.shafts}
    return sum(
        motor.screws_used
        - reachable_screws(spec, layout.stack, motor, places[motor.name], clocking[motor.name], layout.bodies)
        for motor in spec.motors
    )


def _access(spec: LayoutSpec, positions: Positions, clocking: Mapping[str, float]) -> dict[Side, Sequence[Disc]]:
    """Discs (x, y, diameter) where the driver comes through the plate opposite a motor's screw heads."""
    discs: dict[Side, list[Disc]] = {side: [] for side in Side}
    for motor in spec.motors:
        x, y = positions[motor.name]
        other = Side.INBOARD if motor.side is Side.OUTBOARD else Side.OUTBOARD
        for dx, dy in screw_places(motor, clocking[motor.name]):
            discs[other].append((x + dx, y + dy, access_diameter_mm(motor)))
    return {side: tuple(table) for side, table in discs.items()}
