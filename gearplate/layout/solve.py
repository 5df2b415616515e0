"""From what a job asks to a finished layout: stack, rail screws, angles, clocking, standoffs."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from gearplate.errors import NoSolution
from gearplate.finding import Finding, Severity
from gearplate.layout.arrange import arrange
from gearplate.layout.bodies import all_bodies, fixed_bodies, gears_on_shafts, moved
from gearplate.layout.bound import bound_specs
from gearplate.layout.chain import free_shafts, known_places, place_all
from gearplate.layout.clocking import choose_clocking
from gearplate.layout.constraints import bodies_by_shaft, build_model, centre_holes, floor_mm
from gearplate.layout.design import Body, Layout, Stack
from gearplate.layout.hardware import rail_screw_bodies, screw_places
from gearplate.layout.holes import layout_holes
from gearplate.layout.misses import demand_misses, nearest_miss
from gearplate.layout.posts import LAST_RESORT_GROWTH_MM, MOST_GROWTH_MM, rail_pattern, standoff_places
from gearplate.layout.search import search
from gearplate.layout.service import access_diameter_mm, reachable_screws
from gearplate.layout.spec import LayoutSpec, Side
from gearplate.layout.stack import axial_stack

Disc = tuple[float, float, float]
HOPELESS_MM = 1e-3  # a search that misses by more is not mended by another of its candidates
KEPT_MM = 1e-6  # a layout that misses by no more keeps every clearance
REACH_SHARE = 0.25  # how much more hull a layout may take that leaves more motor screws in reach
RAIL_TRIES_MM = (0.0, 8.0, 20.0)
POST_COST_MM = 0.1  # a missing standoff weighs as much as a miss of this size


@dataclass(frozen=True, slots=True)
class _Trial:
    """One layout with everything placed, how far it misses, how many standoffs found no place, and how many motor
    screws no driver reaches."""

    layout: Layout
    miss_mm: float
    posts_short: int
    screws_blocked: int

    @property
    def cost(self) -> float:
        return self.miss_mm + POST_COST_MM * self.posts_short


def solve_layout(spec: LayoutSpec) -> Layout:
    """The layout of a job: shafts given by angle or coordinate stay, free ones are searched.

    A layout whose every place is given is returned as it is, good or bad: the checks tell. Where shafts are free, the
    smallest found that keeps every clearance is returned, or another one of which more motor screws stay in reach of
    a driver; where there is none, the nearest that can be built all the same: it
    misses nothing but gaps of common practice, of which the checks warn.

    A free shaft whose place follows from those of others is put there, at the better of the two places there are.

    Raises NoSolution where free shafts find no place, or standoffs that the tool is to place: with the nearest miss
    (a Layout) and findings that say what is in the way.
    """
    specs = bound_specs(spec)
    if specs == (spec,):
        return _solve(spec)
    found: list[tuple[int, float, Layout]] = []
    failures: list[NoSolution] = []
    free = set(free_shafts(spec))
    for one in specs:
        try:
            layout = _solve(one)
        except NoSolution as failure:
            failures.append(failure)
            continue
        shafts = tuple(replace(shaft, free=shaft.name in free) for shaft in layout.shafts)
        found.append((len(nearest_miss(one, layout)), layout.hull_area_mm2, replace(layout, shafts=shafts)))
    if not found:
        raise failures[0]
    return min(found, key=lambda each: each[:2])[2]


def _solve(spec: LayoutSpec) -> Layout:
    """A layout for a spec in which no free shaft is bound by the places of others."""
    stack = axial_stack(spec)
    if not free_shafts(spec):
        trial = _finish(spec, stack, place_all(spec, {}), 0.0, None)
        if trial.posts_short:
            trial = _with_far_posts(spec, stack, trial)
        if trial.posts_short:
            raise NoSolution(_short_of_posts(spec, trial), (), trial.layout)
        return trial.layout
    trials: list[_Trial] = []
    for extra in RAIL_TRIES_MM:
        found = _trials(spec, stack, extra)
        kept = [trial for trial in found if trial.cost <= KEPT_MM]
        if kept:
            return min(kept, key=lambda trial: trial.screws_blocked).layout
        trials += found
        if spec.rail is None or spec.rail.holes is not None or not _rail_is_in_the_way(spec, stack, found[0].layout):
            break
    trials.sort(key=lambda trial: trial.cost)
    sound: list[_Trial] = []
    for trial in trials:
        if _can_be_built(spec, stack, trial.layout):
            if trial.posts_short == 0:
                return trial.layout
            sound.append(trial)
    for near in sound:
        trial = _with_far_posts(spec, stack, near)
        if trial.posts_short == 0 and _can_be_built(spec, stack, trial.layout):
            return trial.layout
    best = sound[0] if sound else trials[0]
    findings = _in_the_way(spec, stack, best.layout)
    if sound:
        raise NoSolution(_short_of_posts(spec, best), findings, best.layout)
    names = ", ".join(free_shafts(spec))
    raise NoSolution(
        f"No place for {names} was found where everything clears; the nearest layout misses by "
        f"{best.miss_mm:.3f} mm in all.",
        findings,
        best.layout,
    )


def _rail_is_in_the_way(spec: LayoutSpec, stack: Stack, layout: Layout) -> bool:
    """Whether rail screws that stand elsewhere might help: the search presses on one, or a post has no room."""
    if len(layout.standoffs) < spec.standoffs.count:
        return True
    at = {shaft.name: (shaft.x_mm, shaft.y_mm) for shaft in layout.shafts}
    screws = set(layout.rail_holes)
    return any(
        (demand.box[0], demand.box[1]) in screws and math.dist(at[demand.a], demand.box[:2]) < demand.least_mm + 0.1
        for demand in build_model(spec, stack, layout.rail_holes).fixed
    )


def _with_far_posts(spec: LayoutSpec, stack: Stack, trial: _Trial) -> _Trial:
    """The same shafts with standoffs that may stand farther out."""
    layout = trial.layout
    positions = {shaft.name: (shaft.x_mm, shaft.y_mm) for shaft in layout.shafts}
    return _finish(spec, stack, positions, 0.0, layout.rail_holes, LAST_RESORT_GROWTH_MM)


def _short_of_posts(spec: LayoutSpec, trial: _Trial) -> str:
    count = spec.standoffs.count
    return (
        f"Room for {count - trial.posts_short} of {count} standoffs was found; "
        "ask for fewer (standoffs.count) or give their places (standoffs.places)."
    )


def _in_the_way(spec: LayoutSpec, stack: Stack, layout: Layout) -> tuple[Finding, ...]:
    model = build_model(spec, stack, layout.rail_holes)
    return nearest_miss(spec, layout) or demand_misses(model, layout, floor_mm(spec))


def _can_be_built(spec: LayoutSpec, stack: Stack, layout: Layout) -> bool:
    """Whether nothing touches, every limit of the job is kept and nothing hangs too low."""
    if any(finding.severity is Severity.ERROR for finding in nearest_miss(spec, layout)):
        return False
    model = build_model(spec, stack, layout.rail_holes)
    return all(finding.check != "ground" for finding in demand_misses(model, layout, floor_mm(spec)))


def _trials(spec: LayoutSpec, stack: Stack, extra_mm: float) -> list[_Trial]:
    """The best few layouts for one pattern of rail screws."""
    table = bodies_by_shaft(spec, stack)
    at = known_places(spec)
    bodies = [moved(body, *at[name]) for name in at for body in table[name]]
    bodies += fixed_bodies(spec, stack)
    holes = _centre_discs(spec, stack, at)
    rail = rail_pattern(spec, stack, bodies, holes, extra_mm)
    found = _searched(spec, stack, rail, False)
    kept = [trial for trial in found if trial.cost <= KEPT_MM]
    if kept and all(trial.screws_blocked for trial in kept):
        most = (1.0 + REACH_SHARE) * kept[0].layout.hull_area_mm2
        found += [trial for trial in _searched(spec, stack, rail, True) if trial.layout.hull_area_mm2 <= most]
    return found


def _searched(spec: LayoutSpec, stack: Stack, rail: tuple[tuple[float, float], ...], in_reach: bool) -> list[_Trial]:
    """Layouts of one search, smallest hull first; one that keeps everything with all screws in reach ends the list."""
    model = build_model(spec, stack, rail, in_reach)
    found: list[_Trial] = []
    for candidate in search(model, spec.limits, floor_mm(spec), spec.seed):
        if in_reach and candidate.miss_mm > HOPELESS_MM:
            break
        trial = _finish(spec, stack, candidate.positions, candidate.miss_mm, rail)
        found.append(trial)
        if (trial.cost <= KEPT_MM and not trial.screws_blocked) or candidate.miss_mm > HOPELESS_MM:
            break
    return found


def _centre_discs(
    spec: LayoutSpec, stack: Stack, positions: Mapping[str, tuple[float, float]]
) -> dict[Side, list[Disc]]:
    discs: dict[Side, list[Disc]] = {side: [] for side in Side}
    for (name, side), diameter in centre_holes(spec, stack).items():
        if name in positions:
            discs[side].append((*positions[name], diameter))
    for side, own in _own_discs(spec, positions).items():
        discs[side] += own
    return discs


def _own_discs(spec: LayoutSpec, positions: Mapping[str, tuple[float, float]]) -> dict[Side, list[Disc]]:
    """The user's own holes that have a place by now."""
    discs: dict[Side, list[Disc]] = {side: [] for side in Side}
    for own in spec.own_discs:
        if own.shaft is None or own.shaft in positions:
            x, y = positions[own.shaft] if own.shaft is not None else (0.0, 0.0)
            for side in own.sides:
                discs[side].append((x + own.x_mm, y + own.y_mm, own.diameter_mm))
    return discs


def _finish(
    spec: LayoutSpec,
    stack: Stack,
    positions: Mapping[str, tuple[float, float]],
    miss_mm: float,
    rail: tuple[tuple[float, float], ...] | None,
    post_growth_mm: float = MOST_GROWTH_MM,
) -> _Trial:
    """Clock the motors and set the posts for shafts that have their places."""
    table = bodies_by_shaft(spec, stack)
    bodies: list[Body] = [moved(body, *positions[name]) for name, own in table.items() for body in own]
    bodies += fixed_bodies(spec, stack)
    holes = _centre_discs(spec, stack, positions)
    if rail is None:
        rail = rail_pattern(spec, stack, bodies, holes)
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
    return _Trial(layout, miss_mm + clocking_miss, max(0, short), _screws_blocked(spec, layout))


def _screws_blocked(spec: LayoutSpec, layout: Layout) -> int:
    clocking = dict(layout.clocking_rad)
    places = {shaft.name: (shaft.x_mm, shaft.y_mm) for shaft in layout.shafts}
    return sum(
        motor.screws_used
        - reachable_screws(spec, layout.stack, motor, places[motor.name], clocking[motor.name], layout.bodies)
        for motor in spec.motors
    )


def _access(
    spec: LayoutSpec, positions: Mapping[str, tuple[float, float]], clocking: Mapping[str, float]
) -> dict[Side, Sequence[Disc]]:
    """Discs (x, y, diameter) where the driver comes through the plate opposite a motor's screw heads."""
    discs: dict[Side, list[Disc]] = {side: [] for side in Side}
    for motor in spec.motors:
        x, y = positions[motor.name]
        other = Side.INBOARD if motor.side is Side.OUTBOARD else Side.OUTBOARD
        for dx, dy in screw_places(motor, clocking[motor.name]):
            discs[other].append((x + dx, y + dy, access_diameter_mm(motor)))
    return {side: tuple(table) for side, table in discs.items()}
