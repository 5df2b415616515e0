"""Other places for what stands in the way: directions of shafts, sides of motors, clocking, posts, own holes.

Only called where a finding wants a remedy. Each offers what the job can say; whether it holds is for the caller to
try. Nothing is offered for what the tool placed itself: it has looked already.
"""

from __future__ import annotations

import math
from collections.abc import Collection, Iterable
from dataclasses import replace
from functools import partial
from typing import TYPE_CHECKING

from gearplate.checks.job_keys import hole_key, point, rounded_up, table_mates
from gearplate.finding import Remedy

if TYPE_CHECKING:
    from gearplate.checks.subject import Subject
    from gearplate.layout.design import Body
    from gearplate.layout.spec import MotorSpec, Side
    from gearplate.plate.plate import Feature

STEP_DEG = 0.5
CLEAR_MM = 1e-6


def angle_remedies(subject: Subject, shafts: Iterable[str]) -> list[Remedy]:
    """Directions in which shafts that the job places would keep every demand of the layout: for each of them, and
    then for those that they hang on, the nearest such direction and the middle of the widest stretch of them."""
    from gearplate.layout.chain import OUTPUT, links

    partner = {link.child: link.parent for link in links(subject.layout_spec)}
    wanted = [name for name in dict.fromkeys(shafts) if name in partner]
    for name in tuple(wanted):
        while (name := partner.get(name, OUTPUT)) != OUTPUT:
            wanted.append(name)
    wanted = [name for name in dict.fromkeys(wanted) if _placed_by_job(subject, name)]
    wanted.sort(key=lambda name: not name.startswith("M"))
    found = []
    for name in wanted:
        for degrees in better_directions_deg(subject, name, partner[name]):
            text = f"Place {name} at {degrees:g} degrees about {partner[name]}."
            found.append(Remedy(text, ((f"places.{name}", {"angle": degrees}),)))
    return found


def _placed_by_job(subject: Subject, name: str) -> bool:
    """Whether the job places this shaft, and places nothing by coordinates that hangs on it."""
    from gearplate.layout.chain import links

    spec = subject.layout_spec
    place = spec.places.get(name)
    if place is None or place.free:
        return False
    moved = {name}
    for link in links(spec):
        if link.parent in moved:
            child = spec.places.get(link.child)
            if child is not None and child.x_mm is not None:
                return False
            moved.add(link.child)
    return True


def better_directions_deg(subject: Subject, name: str, partner: str) -> list[float]:
    """Directions of one shaft from its partner that miss the layout's demands least, all others staying as they
    are: empty where none misses less than the present one. Looked for once for each shaft."""
    if not subject.told:
        return []
    return subject.once("directions", name, lambda: _better_directions_deg(subject, name, partner))


def _better_directions_deg(subject: Subject, name: str, partner: str) -> list[float]:
    import numpy as np

    from gearplate.layout.constraints import build_model, floor_mm
    from gearplate.layout.search import scorer
    from gearplate.layout.spec import Place

    spec, layout = subject.layout_spec, subject.layout
    here, there = layout.shaft(name), layout.shaft(partner)
    now = math.degrees(math.atan2(here.y_mm - there.y_mm, here.x_mm - there.x_mm))
    places = {one: place for one, place in spec.places.items() if one != name}
    for one, direction in _directions_rad(subject).items():
        if one != name and one not in places:
            places[one] = Place(angle_rad=direction)
    rail = layout.rail_holes if spec.rail is not None and spec.rail.holes is not None else ()
    model = build_model(replace(spec, places=places), layout.stack, rail)
    score = scorer(model, spec.limits, floor_mm(spec))
    degrees = np.arange(-180.0, 180.0, STEP_DEG)
    _, misses = score(np.radians(np.append(degrees, now))[:, None])
    least = float(misses[:-1].min())
    if least >= float(misses[-1]) - CLEAR_MM:
        return []
    good = misses[:-1] <= least + CLEAR_MM
    turn = np.abs((degrees - now + 180.0) % 360.0 - 180.0)
    nearest = float(degrees[np.where(good, turn, np.inf).argmin()])
    return list(dict.fromkeys((nearest, _middle_of_widest(degrees, good))))


def _middle_of_widest(degrees: object, good: object) -> float:
    """Middle of the longest run of good directions round the circle."""
    import numpy as np

    flags = np.asarray(good, dtype=bool)
    count = len(flags)
    best_start, best_length, length = 0, 0, 0
    for index in range(2 * count):
        length = length + 1 if flags[index % count] else 0
        if best_length < length <= count:
            best_start, best_length = index - length + 1, length
    return float(np.asarray(degrees)[(best_start + best_length // 2) % count])


def _directions_rad(subject: Subject) -> dict[str, float]:
    from gearplate.layout.chain import links

    found = {}
    for link in links(subject.layout_spec):
        here, there = subject.layout.shaft(link.child), subject.layout.shaft(link.parent)
        found[link.child] = math.atan2(here.y_mm - there.y_mm, here.x_mm - there.x_mm)
    return found


def side_remedies(subject: Subject, shafts: Iterable[str]) -> list[Remedy]:
    """Each of these motors, the last first, on the other side of the box."""
    from gearplate.layout.spec import Side

    found = []
    by_name = {motor.name: motor for motor in subject.layout_spec.motors}
    for name in reversed(list(dict.fromkeys(shafts))):
        if name in by_name:
            outboard = by_name[name].side is Side.OUTBOARD
            words = "toward the robot's middle" if outboard else "over the wheel"
            other = Side.INBOARD if outboard else Side.OUTBOARD
            found.append(Remedy(f"Let {name} stand {words}.", ((f"motors.{name}.side", other.value),)))
    return found


def all_inboard_remedies(subject: Subject) -> list[Remedy]:
    """Every motor that stands over the wheel toward the robot's middle, where there are several: under a large wheel
    one alone does not mend it."""
    from gearplate.layout.spec import Side

    motors = subject.layout_spec.motors
    over = [motor.name for motor in motors if motor.side is Side.OUTBOARD]
    if len(over) < 2:
        return []
    words = "both" if len(over) == 2 else "all"
    if len(over) == len(motors) and isinstance(subject.raw.get("motors"), dict):
        setting: tuple[tuple[str, object], ...] = (("motors.side", Side.INBOARD.value),)
    else:
        setting = tuple((f"motors.{name}.side", Side.INBOARD.value) for name in over)
    return [Remedy(f"Let {words} motors stand toward the robot's middle.", setting)]


def clocking_remedies(subject: Subject, shafts: Iterable[str]) -> list[Remedy]:
    """Another clocking for those of these motors whose clocking the job gives. Where it gives several motors one, it is
    left to the tool first: each then gets its own."""
    given = {motor.name for motor in subject.layout_spec.motors if motor.clocking_rad is not None}
    found: list[Remedy] = []
    for name in dict.fromkeys(shafts):
        if name not in given:
            continue
        mates = table_mates(subject.raw, name)
        text = f"Leave the clocking of {' and '.join(mates)} to the tool."
        freed = Remedy(text, tuple((f"motors.{mate}.clocking", None) for mate in mates))
        degrees = subject.once("clocking", name, partial(_clocking_deg, subject, name))
        turned = Remedy(f"Turn {name} to a clocking of {degrees:g} degrees.", ((f"motors.{name}.clocking", degrees),))
        found += [freed, turned] if len(mates) > 1 else [turned, freed]
    return list(dict.fromkeys(found))


def fewer_screws_remedies(subject: Subject, motor: MotorSpec, barred: Collection[str]) -> list[Remedy]:
    """Two opposite screws instead of more, for all motors of the table. Where the job gives one motor's clocking, those
    are taken that stand clear (`barred`: its screw holes that do not); where that of several, the tool chooses."""
    from gearplate.layout.stack import screw_offsets_rad

    used = motor.screws_used
    if used <= 2 or used % 2 or motor.motor.face.screw_count % 2:
        return []
    mates = table_mates(subject.raw, motor.name)
    setting: list[tuple[str, object]] = [(f"motors.{mate}.screws", 2) for mate in mates]
    clear = [
        index
        for index in range(used // 2)
        if not {f"{motor.name}-screw-{one + 1}" for one in (index, index + used // 2)} & set(barred)
    ]
    if motor.clocking_rad is not None and (len(mates) > 1 or not clear):
        setting += [(f"motors.{mate}.clocking", None) for mate in mates]
    elif motor.clocking_rad is not None and clear[0]:
        degrees = math.degrees(motor.clocking_rad + screw_offsets_rad(motor)[clear[0]])
        setting.append((f"motors.{motor.name}.clocking", round(degrees % 360.0, 6)))
    return [Remedy("Use two opposite screws only.", tuple(setting))]


def _clocking_deg(subject: Subject, name: str) -> float:
    from gearplate.layout.clocking import choose_clocking
    from gearplate.layout.design import HoleKind
    from gearplate.layout.spec import Side

    spec, layout = subject.layout_spec, subject.layout
    free = replace(
        spec,
        motors=tuple(replace(one, clocking_rad=None) if one.name == name else one for one in spec.motors),
    )
    bodies = [body for body in layout.bodies if not _post_or_motor_screw(subject, body)]
    holes: dict[Side, list[tuple[float, float, float]]] = {side: [] for side in Side}
    for hole in layout.holes:
        if hole.kind not in (HoleKind.MOTOR_SCREW, HoleKind.STANDOFF):
            holes[hole.side].append((hole.x_mm, hole.y_mm, hole.part_diameter_mm))
    places = {shaft.name: (shaft.x_mm, shaft.y_mm) for shaft in layout.shafts}
    chosen, _ = choose_clocking(free, layout.stack, places, bodies, holes)
    return round(math.degrees(chosen[name]), 1) + 0.0


def _post_or_motor_screw(subject: Subject, body: Body) -> bool:
    if body.name.startswith("standoff-"):
        return subject.layout_spec.standoffs.places is None
    return " screw " in body.name and any(body.group == motor.name for motor in subject.layout_spec.motors)


def standoff_remedies(subject: Subject, groups: Iterable[str]) -> list[Remedy]:
    """Another place for those of these standoffs ("standoff-2") whose place the job gives; then no given places."""
    given = subject.layout_spec.standoffs.places
    if given is None:
        return []
    found = []
    for group in dict.fromkeys(groups):
        if not group.startswith("standoff-"):
            continue
        places = subject.once("standoff", group, partial(_places_with_other, subject, given, group))
        if places:
            setting = [point(x, y, subject.unit) for x, y in places]
            found.append(Remedy(f"Set {group} elsewhere.", (("standoffs.places", setting),)))
    return found


def _places_with_other(
    subject: Subject, given: tuple[tuple[float, float], ...], group: str
) -> list[tuple[float, float]]:
    """The given places with another one for this standoff; none where there is no other."""
    from gearplate.layout.design import HoleKind
    from gearplate.layout.posts import standoff_places

    spec, layout = subject.layout_spec, subject.layout
    index = int(group.rpartition("-")[2]) - 1
    others = [place for number, place in enumerate(given) if number != index]
    one = replace(spec, standoffs=replace(spec.standoffs, places=None, count=1))
    access = {
        plate.side: [
            (hole.x_mm, hole.y_mm, hole.part_diameter_mm) for hole in plate.features if hole.kind is HoleKind.ACCESS
        ]
        for plate in subject.plates
    }
    # the other standoffs under another name: the posts' own bodies are left out there
    bodies = [
        replace(body, name=f"other {body.name}") if body.name.startswith("standoff-") else body
        for body in layout.bodies
        if body.group != group
    ]
    holes = [hole for hole in layout.holes if hole.id != group]
    places = standoff_places(one, layout.stack, bodies, holes, access, (*layout.rail_holes, *others))
    return [*given[:index], places[0], *given[index + 1 :]] if places else []


def rail_screw_remedies(subject: Subject, groups: Iterable[str]) -> list[Remedy]:
    """The tool's own pattern of rail screws, where the job gives one and one of these groups ("rail-2") is of it."""
    from gearplate.layout.design import HoleKind
    from gearplate.layout.posts import rail_pattern
    from gearplate.layout.spec import Side

    spec, layout = subject.layout_spec, subject.layout
    rail = spec.rail
    if rail is None or rail.holes is None or not any(group.startswith("rail-") for group in groups):
        return []
    holes: dict[Side, list[tuple[float, float, float]]] = {side: [] for side in Side}
    for hole in layout.holes:
        if hole.kind is not HoleKind.RAIL_HOLE:
            holes[hole.side].append((hole.x_mm, hole.y_mm, hole.part_diameter_mm))
    bodies = [body for body in layout.bodies if not body.group.startswith("rail-")]
    free = replace(spec, rail=replace(rail, holes=None, hole_count=len(rail.holes)))
    pattern = rail_pattern(free, layout.stack, bodies, holes, relief_discs(subject))
    places = [point(x, y, subject.unit) for x, y in pattern]
    return [Remedy("Set the rail's screws elsewhere.", (("rail.holes", places),))]


def relief_discs(subject: Subject) -> list[tuple[float, float, float]]:
    """The rail's reliefs as laid out: (x, y, diameter), mm."""
    from gearplate.layout.finish import relief_discs as placed

    return placed(subject.layout_spec, {shaft.name: (shaft.x_mm, shaft.y_mm) for shaft in subject.layout.shafts})


def own_hole_remedies(subject: Subject, feature: Feature, away: tuple[float, float], by_mm: float) -> list[Remedy]:
    """One of the user's own holes moved by at least so much in the direction `away`; the next tenths of a mm too,
    since rounding may take some of it."""
    key = hole_key(subject.plate_spec, feature.id)
    length = math.hypot(*away)
    if key is None or length == 0.0 or feature.form == "window":
        return []
    written = subject.raw.get("holes", [])
    if any(hole.get("name") == feature.id and "radius" in hole for hole in written):
        return []  # its place is an angle and a radius
    own = next(hole for hole in subject.plate_spec.own_holes if hole.name == feature.id)
    found = []
    for extra in (0.05, 0.5):
        x = own.x_mm + away[0] / length * (by_mm + extra)
        y = own.y_mm + away[1] / length * (by_mm + extra)
        field = "at" if own.shaft is None else "offset"
        place = [rounded_up(x, subject.unit, fine=True), rounded_up(y, subject.unit, fine=True)]
        found.append(Remedy(f"Move {feature.id} away from it.", ((f"{key}.{field}", place),)))
    return found
