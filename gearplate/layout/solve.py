"""From what a job asks to a finished layout: rail screws, the search with proof, clocking, standoffs, room to spare."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from gearplate.errors import NoSolution, Stopped, ToolBug
from gearplate.finding import Finding, Severity
from gearplate.layout.barest import barest, ruled_out
from gearplate.layout.bound import bound_specs
from gearplate.layout.certified.branch import Answer, Settings, Status, solve
from gearplate.layout.certified.problem import Cap, Wish
from gearplate.layout.certified.turns import Turn, solve_in_turn
from gearplate.layout.chain import free_shafts, place_all
from gearplate.layout.constraints import Model, build_model, floor_mm
from gearplate.layout.design import Certificate, Layout, Stack
from gearplate.layout.finish import KEPT_MM, Trial, finish, rail_screws, with_far_posts
from gearplate.layout.misses import demand_misses, nearest_miss
from gearplate.layout.pool import near_layouts, other_layouts
from gearplate.layout.posts import LAST_RESORT_GROWTH_MM, MOST_GROWTH_MM
from gearplate.layout.proof import GAP, WISHES, angles_of, bare_hull_mm2, plates_miss_mm, prove, wish_of
from gearplate.layout.question import SLACK_MM, question_of
from gearplate.layout.screws import with_screws
from gearplate.layout.search import search
from gearplate.layout.spec import LayoutSpec, Least
from gearplate.layout.spend import least_room_mm, spend
from gearplate.layout.stack import axial_stack
from gearplate.layout.watch import Onlooker, Stage, Watch
from gearplate.layout.wished import wished_sizes

ROUNDING = 1e-9  # share by which value and bound of one layout, worked out in two ways, may differ
HOPELESS_MM = 1e-3  # a search that misses by more is not mended by another of its candidates
REACH_SHARE = 0.25  # how much more hull a layout may take that leaves more motor screws in reach
REACH_LENGTH = 0.12  # and how much more of a length, where that is wished to be least: about the root of it
GIVE = 0.001  # share of a wish's best value that may be given up for those that follow
OTHERS, QUICK_OTHERS = 3, 1  # next best layouts in which standoffs are set as well
QUICK_BOXES, QUICK_ANGLES, QUICK_MANY = 500, 6, 150  # of a search without a certificate: of more angles fewer boxes
NOWHERE_BOXES = 1000
POSTS_SHARE = 0.03  # standoffs that add more to the hull are worth looking round for better places
RAIL_TRIES_MM = (0.0, 8.0, 20.0)

Points = tuple[tuple[float, float], ...]


@dataclass(frozen=True, slots=True)
class _Found:
    """A layout with everything placed, and the answers of the search behind it, one a wish."""

    trial: Trial
    answers: tuple[Answer, ...]
    rail: Points
    post_growth_mm: float = MOST_GROWTH_MM


def solve_layout(spec: LayoutSpec, watch: Watch | None = None, quick: bool = False) -> Layout:
    """The layout of a job: shafts given by angle or coordinate stay, free ones are searched.

    A layout whose every place is given is returned as it is, good or bad: the checks tell. Where shafts are free, the
    smallest found that keeps every clearance is returned, or another one of which more motor screws stay in reach of
    a driver; where there is none, the nearest that can be built all the same: it
    misses nothing but gaps of common practice, of which the checks warn.

    `quick`: without a certificate, and nothing is spent on clearance. `watch` is told of the search's progress; where
    it ends that, the best layout so far comes back, and its certificate says so.

    A free shaft whose place follows from those of others is put there, at the better of the two places there are.

    Raises NoSolution where free shafts find no place, or standoffs that the tool is to place: with the nearest miss
    (a Layout) and findings that say what is in the way. Raises Stopped where `watch` ended the search too early.
    """
    if quick:
        spec = replace(spec, wishes=replace(spec.wishes, boxes=0, spend=0.0))
    eye = Onlooker(watch)
    layout = _of_places(spec, eye)
    if eye.ended and layout.certificate is not None:
        layout = replace(layout, certificate=replace(layout.certificate, interrupted=True))
    return layout


def _of_places(spec: LayoutSpec, eye: Onlooker) -> Layout:
    """The better of the layouts at the two places where a bound shaft may stand."""
    specs = bound_specs(spec)
    if specs == (spec,):
        return _solve(spec, eye)
    found: list[tuple[int, tuple[float, ...], float, Layout]] = []
    failures: list[NoSolution | Stopped] = []
    free = set(free_shafts(spec))
    for one in specs:
        try:
            layout = _solve(one, eye)
        except (NoSolution, Stopped) as failure:
            failures.append(failure)
            continue
        shafts = tuple(replace(shaft, free=shaft.name in free) for shaft in layout.shafts)
        layout = replace(layout, shafts=shafts)
        found.append((len(nearest_miss(one, layout)), wished_sizes(one, layout), layout.hull_area_mm2, layout))
    if not found:
        raise failures[-1] if eye.ended else failures[0]
    return min(found, key=lambda each: each[:3])[3]


def _solve(spec: LayoutSpec, eye: Onlooker) -> Layout:
    """A layout for a spec in which no free shaft is bound by the places of others."""
    stack = axial_stack(spec)
    if not free_shafts(spec):
        trial = finish(spec, stack, place_all(spec, {}), None)
        if trial.posts_short:
            trial = with_far_posts(spec, stack, trial)
        if trial.posts_short:
            raise NoSolution(_short_of_posts(spec, trial), (), trial.layout)
        return trial.layout
    found: list[_Found] = []
    far: list[_Found] = []
    rails: list[Points] = []
    nowhere = False
    for extra in RAIL_TRIES_MM:
        rail = rail_screws(spec, stack, extra)
        rails.append(rail)
        if not nowhere:
            found += _with_rail(spec, stack, rail, found, eye)
        if any(one.trial.kept and not (one.trial.screws_blocked and spec.wishes.boxes) for one in found):
            break
        if not far and not any(one.trial.kept for one in found):
            far = _with_posts_farther_out(spec, stack, found)
        if eye.ended or spec.rail is None or spec.rail.holes is not None:
            break
        nowhere = nowhere or (not found and _nowhere(spec, stack))
    kept = [one for one in (*found, *far) if one.trial.kept]
    if not kept and eye.ended:
        raise Stopped("stopped before a layout was found that keeps every clearance.")
    if not kept:
        tried = rails if spec.wishes.boxes else [] if found else rails[:1]  # a quick search: what is near is enough
        return _buildable(spec, stack, [one.trial for one in found] + _nearest(spec, stack, tried), rails)
    sizes = [wished_sizes(spec, one.trial.layout)[0] for one in kept]
    more = REACH_SHARE if spec.wishes.least[0] is Least.HULL else REACH_LENGTH
    best = _best(spec, [one for one, size in zip(kept, sizes, strict=True) if size <= (1.0 + more) * min(sizes)])
    return _certified(spec, stack, best, eye) if spec.wishes.boxes else best.trial.layout


def _with_rail(spec: LayoutSpec, stack: Stack, rail: Points, before: list[_Found], eye: Onlooker) -> list[_Found]:
    """What is found for one pattern of rail screws: the best layout in which everything finds its place; where a
    driver does not reach all motor screws then, also one that leaves them all in reach, if there is one."""
    found: list[_Found] = []
    if not any(one.trial.kept for one in before):  # with one at hand, another pattern is tried for its reach alone
        found = _searched(spec, stack, rail, False, math.inf, eye)
    if eye.ended or any(one.trial.kept and not one.trial.screws_blocked for one in found):
        return found
    values = [one.answers[-1].value or 0.0 for one in (*before, *found) if one.trial.kept]
    if values:
        found += _searched(spec, stack, rail, True, (1.0 + REACH_SHARE) * min(values), eye)
    return found


def _nowhere(spec: LayoutSpec, stack: Stack) -> bool:
    """Whether it is proven that nothing finds its place with every clearance wherever the rail's screws stand: not even
    where there are none of them."""
    problem = question_of(spec, stack, build_model(spec, stack, ()))
    problem = with_screws(problem, spec, stack, 0, slack_mm=SLACK_MM)
    return solve(replace(problem, wish=Wish.ANY), Settings(stop_boxes=NOWHERE_BOXES)).status is Status.INFEASIBLE


def _with_posts_farther_out(spec: LayoutSpec, stack: Stack, found: Sequence[_Found]) -> list[_Found]:
    """The same layouts, where standoffs that are short of room find it farther out: that may cost less hull than
    other places of the rail's screws."""
    short = [one for one in found if one.trial.posts_short and one.trial.miss_mm <= KEPT_MM]
    far = [
        replace(one, trial=with_far_posts(spec, stack, one.trial), post_growth_mm=LAST_RESORT_GROWTH_MM)
        for one in short
    ]
    return [one for one in far if one.trial.kept]


def _searched(
    spec: LayoutSpec, stack: Stack, rail: Points, in_reach: bool, cutoff: float, eye: Onlooker
) -> list[_Found]:
    """The best layout and the next best; nothing where there is none."""
    model = build_model(spec, stack, rail, in_reach)
    problem = question_of(spec, stack, model, before=spec.wishes.before_mm)
    problem = with_screws(problem, spec, stack, 0, slack_mm=SLACK_MM)  # those of motors whose clocking is given
    if len(spec.wishes.least) > 1 or spec.wishes.least[0] is not Least.HULL:
        cutoff = math.inf
    quick = QUICK_BOXES if len(problem.free) <= QUICK_ANGLES else QUICK_MANY
    settings = Settings(gap=GAP, stop_boxes=spec.wishes.boxes or quick, batch=512, seed=spec.seed, cutoff=cutoff)
    wishes = [WISHES[least] for least in spec.wishes.least]
    if Wish.AREA not in wishes and spec.wishes.boxes:
        wishes.append(Wish.AREA)  # of layouts equally wide the smallest
    turns = [Turn(wish, GIVE) for wish in wishes]
    answers = solve_in_turn(problem, turns, settings, eye.sees(Stage.SEARCH, settings.stop_boxes))
    last = answers[-1].angles_rad
    if last is None:
        return []
    # screws and standoffs change the hull too: of the next best the one that comes out smallest with them
    first = _Found(finish(spec, stack, place_all(spec, last), rail), answers, rail)
    if not spec.wishes.boxes and first.trial.kept:
        return [first]  # a quick search only has to see that there is one
    caps = tuple(
        Cap(wish, (answer.value or 0.0) * (1.0 + GIVE) + 1e-6)
        for wish, answer in zip(wishes, answers[:-1], strict=False)
    )
    problem = replace(problem, wish=wishes[len(answers) - 1], caps=(*problem.caps, *caps))
    others = other_layouts(problem, last, spec.seed, OTHERS if spec.wishes.boxes else QUICK_OTHERS)
    return [first, *(_Found(finish(spec, stack, place_all(spec, one), rail), answers, rail) for one in others)]


def _nearest(spec: LayoutSpec, stack: Stack, rails: Sequence[Points]) -> list[Trial]:
    """Layouts that miss their demands by as little as many starts find, for jobs in which not all can be kept."""
    trials: list[Trial] = []
    least = math.inf
    for rail in rails:
        for candidate in search(build_model(spec, stack, rail), spec.limits, floor_mm(spec), spec.seed):
            if candidate.miss_mm > max(HOPELESS_MM, least - HOPELESS_MM):
                break  # this pattern of rail screws is no better than another before
            least = min(least, candidate.miss_mm)
            trials.append(finish(spec, stack, candidate.positions, rail, candidate.miss_mm))
            if candidate.miss_mm > HOPELESS_MM:
                break
    return trials


def _buildable(spec: LayoutSpec, stack: Stack, trials: list[Trial], rails: Sequence[Points]) -> Layout:
    """The nearest that can be built all the same. Raises NoSolution where there is none."""
    trials.sort(key=lambda trial: trial.cost)
    if not any(_can_be_built(spec, stack, trial.layout) for trial in trials):
        for number, rail in enumerate(reversed(rails)):  # what stands farther out is in the way of less
            bare = barest(spec, stack, rail)
            if bare is not None and _can_be_built(spec, stack, bare.layout):
                trials.append(bare)
                break
            if bare is not None and not spec.wishes.boxes:
                break  # a quick search: nearer screws would rather be in the way
            if bare is None and not number and len(rails) > 1 and ruled_out(spec, stack):
                break
    sound: list[Trial] = []
    for trial in trials:
        if _can_be_built(spec, stack, trial.layout):
            if trial.posts_short == 0:
                return trial.layout
            sound.append(trial)
    for near in sound:
        trial = with_far_posts(spec, stack, near)
        if trial.posts_short == 0 and _can_be_built(spec, stack, trial.layout):
            return trial.layout
    best = sound[0] if sound else trials[0]
    findings = _in_the_way(spec, stack, best.layout)
    if sound:
        raise NoSolution(_short_of_posts(spec, best), findings, best.layout)
    names = ", ".join(free_shafts(spec))
    raise NoSolution(
        f"No place for {names} was found where everything clears; the nearest layout misses by "
        f"{best.miss_mm:.3f} mm in all.{_worst(findings)}",
        findings,
        best.layout,
    )


def _certified(spec: LayoutSpec, stack: Stack, best: _Found, eye: Onlooker) -> Layout:
    """The layout, or a better one that the proof comes across, with room spent on its smallest clearance, and what is
    proven about it."""
    sure = build_model(spec, stack, best.rail, sure=True)
    proof = prove(spec, stack, sure, best.trial.layout, eye.sees(Stage.PROOF, spec.wishes.boxes))
    if proof.angles_rad is not None:
        best = _best(spec, [best, replace(best, trial=_at(spec, stack, best, proof.angles_rad))])
        if spec.wishes.least == (Least.HULL,):
            best = _with_better_posts(spec, stack, sure, best)
    trial, spent = _with_room(spec, stack, sure, best)
    least = spec.wishes.least[0]
    circles = best.answers[0] if least is Least.HULL else None
    value = wish_of(spec, stack, sure, trial.layout)
    if proof.bound > (1.0 + ROUNDING) * value:
        raise ToolBug(f"a layout of {value:.6f} was found where {proof.bound:.6f} was proven to be the least")
    certificate = Certificate(
        least.value,
        value,
        min(proof.bound, value),
        proof.status is not Status.STOPPED,
        proof.boxes + sum(answer.boxes for answer in best.answers),
        circles.value if circles is not None else None,
        circles.bound if circles is not None else None,
        spent,
    )
    return replace(trial.layout, certificate=certificate)


def _at(spec: LayoutSpec, stack: Stack, best: _Found, angles_rad: Mapping[str, float]) -> Trial:
    """Everything placed as in the best so far, for other angles that keep what is sure; what else a layout must keep
    may be missed."""
    shafts = {name: angle for name, angle in angles_rad.items() if name in free_shafts(spec)}
    trial = finish(spec, stack, place_all(spec, shafts), best.rail, post_growth_mm=best.post_growth_mm)
    return trial if _clear(spec, stack, trial.layout) else replace(trial, miss_mm=math.inf)


def _clear(spec: LayoutSpec, stack: Stack, layout: Layout) -> bool:
    """Whether a finished layout keeps every clearance. Square motors are judged as they are turned, so that of the
    model, which has room for them however they are turned, only webs and floor count; and everything where a motor
    travels in slots."""
    if nearest_miss(spec, layout):
        return False
    model = build_model(spec, stack, layout.rail_holes)
    if plates_miss_mm(spec, stack, model, layout) > KEPT_MM:
        return False
    missed = demand_misses(model, layout, floor_mm(spec))
    if any(motor.slot_travel_mm > 0.0 for motor in spec.motors):
        return not missed
    return not any(finding.check in ("web", "ground") for finding in missed)


def _with_better_posts(spec: LayoutSpec, stack: Stack, sure: Model, best: _Found) -> _Found:
    """The best of the layouts round about, where standoffs make a good part of the hull."""
    layout = best.trial.layout
    if layout.hull_area_mm2 <= (1.0 + POSTS_SHARE) * bare_hull_mm2(spec, layout):
        return best
    problem = question_of(spec, stack, sure)
    near = near_layouts(problem, angles_of(problem, layout), spec.seed)
    return _best(spec, [best, *(replace(best, trial=_at(spec, stack, best, one)) for one in near)])


def _best(spec: LayoutSpec, some: Sequence[_Found]) -> _Found:
    """What must be kept comes first, then motor screws in reach, then wish after wish, in the end the hull."""
    least = min((not one.trial.kept, one.trial.screws_blocked) for one in some)
    left = [one for one in some if (not one.trial.kept, one.trial.screws_blocked) == least]
    for number in range(len(spec.wishes.least)):
        sizes = [wished_sizes(spec, one.trial.layout)[number] for one in left]
        most = min(sizes) if spec.wishes.least[number] is Least.HULL else min(sizes) * (1.0 + GIVE)
        left = [one for one, size in zip(left, sizes, strict=True) if size <= most]
    return min(left, key=lambda one: one.trial.layout.hull_area_mm2)


def _with_room(spec: LayoutSpec, stack: Stack, sure: Model, best: _Found) -> tuple[Trial, float]:
    """The layout with the most room that the share to be spent buys, and the share spent; the one before where screws
    or standoffs would suffer."""
    roomier = spend(spec, stack, sure, best.trial.layout)
    if roomier is None:
        return best.trial, 0.0
    other = _at(spec, stack, best, roomier)
    before, after = best.trial.layout.hull_area_mm2, other.layout.hull_area_mm2
    if not other.kept or other.screws_blocked > best.trial.screws_blocked:
        return best.trial, 0.0
    sizes = zip(wished_sizes(spec, best.trial.layout), wished_sizes(spec, other.layout), strict=True)
    if any(new > (1.0 + spec.wishes.spend) * old for old, new in ((before, after), *sizes)):
        return best.trial, 0.0
    # motors are turned anew where their shafts stand now: that may cost more room than the shafts gained
    if least_room_mm(spec, other.layout) < least_room_mm(spec, best.trial.layout):
        return best.trial, 0.0
    return other, max(0.0, after / before - 1.0)


def _can_be_built(spec: LayoutSpec, stack: Stack, layout: Layout) -> bool:
    """Whether nothing touches, every limit of the job is kept and nothing hangs too low."""
    if any(finding.severity is Severity.ERROR for finding in nearest_miss(spec, layout)):
        return False
    model = build_model(spec, stack, layout.rail_holes)
    return all(finding.check != "ground" for finding in demand_misses(model, layout, floor_mm(spec)))


def _in_the_way(spec: LayoutSpec, stack: Stack, layout: Layout) -> tuple[Finding, ...]:
    model = build_model(spec, stack, layout.rail_holes)
    return nearest_miss(spec, layout) or demand_misses(model, layout, floor_mm(spec))


def _worst(findings: Sequence[Finding]) -> str:
    return f" Most in the way: {findings[0].message}" if findings else ""


def _short_of_posts(spec: LayoutSpec, trial: Trial) -> str:
    count = spec.standoffs.count
    return (
        f"Room for {count - trial.posts_short} of {count} standoffs was found; "
        "ask for fewer (standoffs.count) or give their places (standoffs.places)."
    )
