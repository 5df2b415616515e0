"""Places for rail screws and standoffs that the job leaves to the tool."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from gearplate.layout.bodies import margin_discs
from gearplate.layout.certified.hull import hull_area, outline
from gearplate.layout.certified.problem import HullOff
from gearplate.layout.certified.rows import Ints
from gearplate.layout.chain import free_shafts
from gearplate.layout.constraints import Array, floor_mm, web_mm
from gearplate.layout.design import LIMITED_KINDS, Body, Hole, Stack
from gearplate.layout.handedness import mirrored_misfit_mm
from gearplate.layout.hardware import rail_screw_bodies, standoff_bodies
from gearplate.layout.keep_off import joins_clear
from gearplate.layout.obstacles import misses, obstacles_for
from gearplate.layout.question import SLACK_MM, plates_off
from gearplate.layout.spec import LayoutSpec, LimitsSpec, RailSpec, Side

GRID_MM = 2.5
MOST_POINTS = 8000  # a large plate gets a wider grid, or its standoffs would take seconds
MOST_GROWTH_MM = 25.0  # a standoff stands at most so far out of the hull that the other holes make
LAST_RESORT_GROWTH_MM = 60.0  # where there is no room for all of them otherwise
ODD_MM = 3.0  # how far a plate of the wrong hand must miss at one screw at least
RAIL_STEP_MM = 1.0
RAIL_LEAST_MM = 15.0  # rail screws stand at least so far fore and aft of the axle
RAIL_OTHERWISE_MM = 60.0
RAIL_PITCH_MM = 25.0  # along the rail, between screws of one row; common practice, no source
NEAR_MM = 100.0  # spacing of standoffs that a 6 mm plastic plate wants; common practice, no source

LOT = 6  # obstacles that are looked at together
LOOKED_AT = 48  # places of a standoff whose cost in hull is worked out exactly
# hull that a post may add for each mm that it stands farther from the others: the first is what that is worth, the
# others are tried as well, since one post takes the room of the next
HULL_MM2_PER_MM = (8.0, 2.0, math.inf)
DEAR_MM2 = 300.0  # standoffs that add more hull than that are worth a second look
NEAR_SHAFT = 0.2  # mm of such distance that a mm nearer to a shaft is worth

Disc = tuple[float, float, float]


def rail_pattern(
    spec: LayoutSpec,
    stack: Stack,
    bodies: Sequence[Body],
    holes: Mapping[Side, Sequence[Disc]],
    reliefs: Sequence[Disc] = (),
    extra_mm: float = 0.0,
) -> tuple[tuple[float, float], ...]:
    """Places of the rail screws: given, or as many fore as aft of the axle, as near to it as everything allows.

    `bodies`, `holes` of the plates and `reliefs` in the rail are those that already have their places; `extra_mm` asks
    for that much more than the least.
    """
    rail = spec.rail
    if rail is None:
        return ()
    if rail.holes is not None:
        return rail.holes
    rows, pitch = _rail_rows(spec, rail)
    sample = rail_screw_bodies(spec, stack, 0, (0.0, 0.0))
    boxes, least = obstacles_for(sample, bodies, spec)
    places: list[tuple[float, float]] = []
    for sign, wanted in ((1.0, math.ceil(rail.hole_count / 2)), (-1.0, rail.hole_count // 2)):
        xs = np.arange(0.0, 400.0, RAIL_STEP_MM)
        worst = np.zeros(len(xs))
        for y in rows:
            points = np.stack([sign * xs, np.full(len(xs), y)], axis=-1)
            worst += misses(points, boxes, least) + _hole_miss(points, holes, rail.screw.normal_mm, spec)
            for x, at_y, diameter in reliefs:  # a screw needs the wall round it: one wall's thickness at least
                away = np.hypot(points[:, 0] - x, points[:, 1] - at_y)
                worst += np.maximum(0.0, 0.5 * (diameter + rail.screw.normal_mm) + rail.wall_mm - away)
        # never over the axle itself, even where nothing is clear: two screws on one spot are no pattern
        good = xs[(worst <= 1e-9) & (xs >= RAIL_LEAST_MM)]
        nearest = (float(good[0]) if len(good) else RAIL_OTHERWISE_MM) + extra_mm
        own: list[tuple[float, float]] = []
        while len(own) < wanted:
            later = good[good >= nearest - 1e-9]
            x = float(later[0]) if len(later) else nearest
            own += [(sign * x, y) for y in rows]
            nearest = x + pitch
        places += own[:wanted]
    return tuple(places)


def _rail_rows(spec: LayoutSpec, rail: RailSpec) -> tuple[list[float], float]:
    """Heights of the rows of rail screws, and how far apart screws of one row stand at least.

    Two rows stand half the rail's height apart. A rail too low for that gets one row: heads, washers and tubes keep
    their gap, and the holes their web.
    """
    widest = max(rail.tube_diameter_mm, rail.screw.head_diameter_mm)
    if spec.washers:
        widest = max(widest, rail.screw.washer_outside_mm)
    web = max(web_mm(spec, side) for side in Side)
    apart = max(widest + spec.clearances.still_mm, rail.screw.normal_mm + web)
    low, high = rail.y_span_mm
    middle, offset = 0.5 * (low + high), 0.25 * rail.height_mm
    single = rail.hole_count <= 2 or 2.0 * offset < apart
    return [middle] if single else [middle - offset, middle + offset], max(apart, RAIL_PITCH_MM)


def _hole_miss(points: Array, holes: Mapping[Side, Sequence[Disc]], diameter: float, spec: LayoutSpec) -> Array:
    total = np.zeros(points.shape[:-1])
    for side, discs in holes.items():
        if discs:
            table = np.array(discs)
            away = np.hypot(points[..., None, 0] - table[:, 0], points[..., None, 1] - table[:, 1])
            need = 0.5 * (table[:, 2] + diameter) + web_mm(spec, side)
            total += np.maximum(0.0, need - away).sum(axis=-1)
    return total


def standoff_places(
    spec: LayoutSpec,
    stack: Stack,
    bodies: Sequence[Body],
    holes: Sequence[Hole],
    access: Mapping[Side, Sequence[Disc]],
    rail_holes: Sequence[tuple[float, float]],
    most_growth_mm: float = MOST_GROWTH_MM,
) -> tuple[tuple[float, float], ...]:
    """Places of the standoffs: given, or chosen on a grid so that they hold the plates well.

    A place must keep every clearance and web (holes of both plates, access holes too). Among those, one after the
    other: far from the posts already there (up to 100 mm), near a shaft, whose load it holds the plates against, and
    where it adds little to the hull that the plates have anyway, and brings it into no keep-out. The last one is taken
    so that a plate of the wrong hand cannot be bolted on. Fewer than asked come back where there is no room.
    """
    if spec.standoffs.places is not None:
        return spec.standoffs.places
    discs = [disc for hole in holes for disc in margin_discs(hole, spec.margin_mm)]
    if not discs or spec.standoffs.count == 0:
        return ()
    x0, x1 = min(x - r for x, _, r in discs), max(x + r for x, _, r in discs)
    y0, y1 = min(y - r for _, y, r in discs), max(y + r for _, y, r in discs)
    out = max(0.0, most_growth_mm - MOST_GROWTH_MM)  # ordinary ones stay inside the box of the other holes
    pitch = max(GRID_MM, math.sqrt((x1 - x0 + 2.0 * out) * (y1 - y0 + 2.0 * out) / MOST_POINTS))
    xs = np.arange(math.floor((x0 - out) / pitch) * pitch, x1 + out + pitch, pitch)
    ys = np.arange(math.floor((y0 - out) / pitch) * pitch, y1 + out + pitch, pitch)
    grid = np.stack(np.meshgrid(xs, ys, indexing="ij"), axis=-1).reshape(-1, 2)
    sample = standoff_bodies(spec, stack, 0, (0.0, 0.0))
    boxes, least = obstacles_for(sample, [body for body in bodies if not body.name.startswith("standoff-")], spec)
    by_side: dict[Side, list[Disc]] = {side: list(access.get(side, ())) for side in Side}
    for hole in holes:
        by_side[hole.side].append((hole.x_mm, hole.y_mm, hole.part_diameter_mm + hole.slot_length_mm))
    diameter = spec.standoffs.screw.normal_mm
    radius = 0.5 * max(spec.standoffs.diameter_mm, diameter + 2 * spec.margin_mm)
    grid = grid[grid[:, 1] - radius >= floor_mm(spec)]
    growth = _growth(grid, discs, 0.5 * diameter + spec.margin_mm)
    grid, growth = grid[growth <= most_growth_mm], growth[growth <= most_growth_mm]
    for some in _largest_first(least):
        free = misses(grid, boxes[some], least[some]) <= 0.0
        grid, growth = grid[free], growth[free]
    free = _hole_miss(grid, by_side, diameter, spec) <= 1e-9
    grid, growth = grid[free], growth[free]
    bores = [(hole.x_mm, hole.y_mm, hole.part_diameter_mm) for hole in holes if hole.shaft and not hole.loaded]
    shown = _shown(discs)
    off = plates_off(spec, stack, SLACK_MM)
    ground = _Ground(spec, grid, growth, shown, tuple(bores), tuple(rail_holes), _extent(bodies, discs), radius, off)
    tries = [_chosen(ground, HULL_MM2_PER_MM[0])]
    quick = not spec.wishes.boxes and free_shafts(spec)  # a search that only has to see that there is a layout
    if len(tries[0]) < spec.standoffs.count or (not quick and _added_mm2(ground, tries[0]) > DEAR_MM2):
        tries += [_chosen(ground, price) for price in HULL_MM2_PER_MM[1:]]
    return max(tries, key=lambda chosen: (len(chosen), _worth(ground, chosen)))


def _largest_first(least: Array) -> list[Ints]:
    """Numbers of the obstacles in lots, those that keep the most away first: few points are left for the others."""
    order = np.argsort(-least, kind="stable")
    return [order[at : at + LOT] for at in range(0, len(order), LOT)]


@dataclass(frozen=True, slots=True)
class _Ground:
    """Where standoffs may stand: points and how far each stands out of the hull of the `discs`; what is there, and
    what the hull keeps `off`."""

    spec: LayoutSpec
    grid: Array
    growth: Array
    discs: tuple[Disc, ...]
    bores: tuple[Disc, ...]
    rail_holes: tuple[tuple[float, float], ...]
    taken: tuple[float, float, float, float]
    radius: float
    off: tuple[HullOff, ...]

    @property
    def rim_mm(self) -> float:
        return 0.5 * self.spec.standoffs.screw.normal_mm + self.spec.margin_mm


def _worth(ground: _Ground, chosen: Sequence[tuple[float, float]]) -> float:
    """How good all standoffs together are, mm: how far each stands from the next post, less what hull they add."""
    posts = np.array([*ground.rail_holes, *chosen]).reshape(-1, 2)
    spread = 0.0
    for index in range(len(ground.rail_holes), len(posts)):
        away = np.hypot(*(np.delete(posts, index, axis=0) - posts[index]).T)
        spread += min(NEAR_MM, float(away.min())) if len(away) else NEAR_MM
    spread -= NEAR_SHAFT * float(_to_nearest(posts[len(ground.rail_holes) :], ground.bores).sum())
    return spread - _added_mm2(ground, chosen) / HULL_MM2_PER_MM[0]


def _added_mm2(ground: _Ground, chosen: Sequence[tuple[float, float]]) -> float:
    """The hull that standoffs add."""
    rims = [*ground.discs, *((x, y, ground.rim_mm) for x, y in chosen)]
    return float(_hulls_mm2(np.array(rims)[None])[0] - _hulls_mm2(np.array(ground.discs)[None])[0])


def _shown(discs: Sequence[Disc]) -> tuple[Disc, ...]:
    """The discs that their hull shows: the others change nothing about it."""
    table = np.array(discs)
    line = outline(table[None, :, :2], table[:, 2])
    return tuple(discs[number] for number in sorted({int(number) for number in line.disc[0]}))


def _chosen(ground: _Ground, hull_mm2_per_mm: float) -> tuple[tuple[float, float], ...]:
    """One standoff after the other, each where it is worth most."""
    spec, grid, growth, taken, radius = ground.spec, ground.grid, ground.growth, ground.taken, ground.radius
    chosen: list[tuple[float, float]] = []
    rims = list(ground.discs)
    while len(chosen) < spec.standoffs.count:
        inside = _inside_limits(grid, radius, taken, spec.limits)
        inside &= joins_clear(grid, ground.rim_mm, rims, ground.off)
        grid, growth = grid[inside], growth[inside]
        if not len(grid):
            break
        posts = np.array([*ground.rail_holes, *chosen]).reshape(-1, 2)
        spread = np.full(len(grid), NEAR_MM)
        for px, py in posts:
            spread = np.minimum(spread, np.hypot(grid[:, 0] - px, grid[:, 1] - py))
        score = spread - 2.0 * growth - NEAR_SHAFT * _to_nearest(grid, ground.bores)
        order = np.argsort(-score, kind="stable")[:LOOKED_AT]
        # what a post costs is the hull that it adds: of those that promise most, told exactly
        cost = _hull_growth_mm2(rims, grid[order], ground.rim_mm) / hull_mm2_per_mm
        order = order[np.argsort(-(score[order] + 2.0 * growth[order] - cost), kind="stable")]
        row = int(order[0])
        if len(chosen) == spec.standoffs.count - 1:
            for candidate in order[:60]:
                screws = [*ground.rail_holes, *chosen, (float(grid[candidate, 0]), float(grid[candidate, 1]))]
                if mirrored_misfit_mm(ground.bores, screws) >= ODD_MM:
                    row = int(candidate)
                    break
        x, y = float(grid[row, 0]), float(grid[row, 1])
        chosen.append((x, y))
        rims.append((x, y, ground.rim_mm))
        taken = (
            min(taken[0], x - radius),
            min(taken[1], y - radius),
            max(taken[2], x + radius),
            max(taken[3], y + radius),
        )
        apart = spec.standoffs.diameter_mm + spec.clearances.still_mm + 2 * spec.margin_mm
        keep = np.hypot(grid[:, 0] - x, grid[:, 1] - y) >= apart
        grid, growth = grid[keep], growth[keep]
    return tuple(chosen)


def _to_nearest(points: Array, bores: Sequence[Disc]) -> Array:
    """How far each point stands from the nearest shaft."""
    if not bores:
        return np.zeros(len(points))
    axes = np.array(bores)[:, :2]
    away: Array = np.hypot(points[:, None, 0] - axes[:, 0], points[:, None, 1] - axes[:, 1]).min(axis=1)
    return away


def _hull_growth_mm2(discs: Sequence[Disc], points: Array, radius: float) -> Array:
    """By how much the hull of the discs grows by a disc of `radius` at each point, mm2."""
    known = np.array(discs)
    added = np.concatenate([points, np.full((len(points), 1), radius)], axis=1)
    with_each = np.concatenate([np.broadcast_to(known, (len(points), *known.shape)), added[:, None]], axis=1)
    return _hulls_mm2(with_each) - _hulls_mm2(known[None])


def _hulls_mm2(discs: Array) -> Array:
    """Areas (B,) of the hulls of discs (B, N, 3)."""
    return hull_area(discs[..., :2], discs[..., 2])


def _growth(points: Array, discs: Sequence[Disc], radius: float) -> Array:
    """How far (mm) a disc of `radius` at each point stands out of the hull of `discs`, seen from 72 directions."""
    theta = np.arange(72) * (2 * math.pi / 72)
    direction = np.stack([np.cos(theta), np.sin(theta)])
    table = np.array(discs)
    support = (table[:, :2] @ direction + table[:, 2:]).max(axis=0)
    out: Array = np.maximum(0.0, (points @ direction + radius - support).max(axis=1))
    return out


def _extent(bodies: Sequence[Body], discs: Sequence[Disc]) -> tuple[float, float, float, float]:
    """What the limits in the plane are held against: least x, least y, greatest x, greatest y."""
    round_ones = [(body.x_mm, body.y_mm, body.radius_mm) for body in bodies if body.kind in LIMITED_KINDS]
    table = np.array([*round_ones, *discs])
    low, high = (table[:, :2] - table[:, 2:]).min(axis=0), (table[:, :2] + table[:, 2:]).max(axis=0)
    return float(low[0]), float(low[1]), float(high[0]), float(high[1])


def _inside_limits(
    points: Array, radius: float, taken: tuple[float, float, float, float], limits: LimitsSpec
) -> np.ndarray[tuple[int, ...], np.dtype[np.bool_]]:
    """Which points may have a disc of `radius` round them beside what is `taken`."""
    x0, x1 = np.minimum(points[:, 0] - radius, taken[0]), np.maximum(points[:, 0] + radius, taken[2])
    y0, y1 = np.minimum(points[:, 1] - radius, taken[1]), np.maximum(points[:, 1] + radius, taken[3])
    good = np.ones(len(points), dtype=bool)
    for extent, before, limit in (
        (x1, taken[2], limits.forward_mm),
        (-x0, -taken[0], limits.back_mm),
        (y1, taken[3], limits.up_mm),
        (-y0, -taken[1], limits.down_mm),
        (x1 - x0, taken[2] - taken[0], limits.width_mm),
        (y1 - y0, taken[3] - taken[1], limits.height_mm),
    ):
        if limit is not None:
            good &= extent <= max(limit, before) + 1e-9  # what is over the limit already is not made worse
    return good
