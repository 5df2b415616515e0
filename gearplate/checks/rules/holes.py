"""Material between the holes of a plate, and from holes to its edge."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from typing import TYPE_CHECKING

from gearplate.checks.job_keys import chain_of, rounded_up
from gearplate.checks.moves import angle_remedies, own_hole_remedies, rail_screw_remedies, standoff_remedies
from gearplate.checks.rule import Outcome, Rule
from gearplate.checks.webs import BURNT_MM, SCREW_EDGE, TOUCHING_MM, Limit, rim, strong_web, wall
from gearplate.finding import Finding, Remedy, Severity, Standing, Where
from gearplate.geometry.boxes import box_gap_mm

if TYPE_CHECKING:
    from gearplate.checks.cutouts import Cutout
    from gearplate.checks.subject import Subject
    from gearplate.layout.spec import Side

    Pair = tuple[Cutout, Cutout]


# web


def cutout_pairs(subject: Subject, carrying: bool) -> Iterator[tuple[Side, Cutout, Cutout]]:
    """Pairs of cut-outs of one plate; `carrying`: those of which one at least carries something, or the others."""
    for side, cutouts in subject.cutouts.items():
        for index, one in enumerate(cutouts):
            for other in cutouts[:index]:
                if (one.carries or other.carries) is carrying:
                    yield side, other, one


def gap_of(one: Cutout, other: Cutout, limit_mm: float) -> float:
    """Material between two cut-outs as cut, mm; only measured exactly where their boxes are nearer than the limit."""
    from gearplate.plate.contours import gap_mm

    apart = box_gap_mm(one.box, other.box)
    return apart if apart > limit_mm else gap_mm(one.shape, other.shape)


def _nominal_gap(one: Cutout, other: Cutout) -> float:
    """Material between two cut-outs before any fit is added: what a web that the job sets is held against."""
    from gearplate.plate.contours import contour, gap_mm

    return gap_mm(contour(one.feature), contour(other.feature))


def _web(subject: Subject) -> Outcome:
    compared = 0
    limits = {side: strong_web(subject, side) for side in subject.cutouts}
    thin: dict[tuple[str, str], list[tuple[Side, float, Pair]]] = {}
    for side, one, other in cutout_pairs(subject, carrying=True):
        compared += 1
        gap = gap_of(one, other, limits[side].mm)
        if gap < limits[side].mm - TOUCHING_MM and limits[side].standing is Standing.JOB and gap > BURNT_MM:
            gap = _nominal_gap(one, other)
        if gap < limits[side].mm - TOUCHING_MM:
            thin.setdefault((one.feature.id, other.feature.id), []).append((side, gap, (one, other)))
    findings = [_thin_web(subject, found, limits) for found in thin.values()]
    return Outcome(
        compared, (*_faces_together(findings), *(one for one in findings if one.severity is not Severity.NOTE))
    )


def _faces_together(findings: list[Finding]) -> Iterator[Finding]:
    """The notes on motors' own faces: equal ones once, with all their holes."""
    groups: dict[float, list[Finding]] = {}
    for finding in findings:
        if finding.severity is Severity.NOTE:
            groups.setdefault(round(finding.measured or 0.0, 3), []).append(finding)
    for equal in groups.values():
        first = equal[0]
        shafts = tuple(dict.fromkeys(name for one in equal for name in one.where.shafts))
        features = tuple(dict.fromkeys(name for one in equal for name in one.where.features))
        text = (
            f"{' and '.join(shafts)}: the webs between pilot and screws are {first.measured:.3f} mm; "
            f"{first.limit:.3f} mm are usual. The motor's face is so."
        )
        yield replace(first, message=text, where=replace(first.where, shafts=shafts, features=features))


def _thin_web(subject: Subject, found: list[tuple[Side, float, Pair]], limits: dict[Side, Limit]) -> Finding:
    side, gap, (one, other) = min(found, key=lambda item: item[1] - limits[item[0]].mm)
    limit = limits[side]
    burnt = gap < BURNT_MM - TOUCHING_MM
    own_face = _of_one_face(one, other)
    severity = Severity.ERROR if burnt else Severity.NOTE if own_face else Severity.WARNING
    plates = "both plates" if len(found) > 1 else f"the {side.value} plate"
    text = f"{one.feature.id} and {other.feature.id} in {plates} leave a web of {gap:.3f} mm"
    if gap < TOUCHING_MM:
        text = f"{one.feature.id} and {other.feature.id} in {plates} run into each other"
    elif burnt:
        text += f": cuts nearer than {BURNT_MM:g} mm burn into one"
    else:
        text += f"; {limit.mm:.3f} mm are usual ({limit.words})"
    remedy, others = chain_of([] if own_face and not burnt else _apart(subject, one, other, limit.mm - gap))
    return Finding(
        "web",
        severity,
        f"{text}.",
        _between(one, other, None if len(found) > 1 else side),
        gap,
        BURNT_MM if burnt else limit.mm,
        "mm",
        Standing.HANDBOOK if burnt else limit.standing,
        remedy,
        others,
    )


def _of_one_face(one: Cutout, other: Cutout) -> bool:
    from gearplate.layout.design import HoleKind

    kinds = (HoleKind.MOTOR_PILOT, HoleKind.MOTOR_SCREW)
    a, b = one.feature, other.feature
    return a.shaft == b.shaft and a.kind in kinds and b.kind in kinds


def _between(one: Cutout, other: Cutout, side: Side | None) -> Where:
    a, b = one.feature, other.feature
    shafts = tuple(dict.fromkeys(name for name in (a.shaft, b.shaft) if name))
    return Where(
        plate=None if side is None else side.value,
        shafts=shafts,
        features=(a.id, b.id),
        x_mm=0.5 * (a.x_mm + b.x_mm),
        y_mm=0.5 * (a.y_mm + b.y_mm),
    )


def _apart(subject: Subject, one: Cutout, other: Cutout, by_mm: float) -> list[Remedy]:
    a, b = one.feature, other.feature
    away = (b.x_mm - a.x_mm, b.y_mm - a.y_mm)
    found = own_hole_remedies(subject, b, away, by_mm)
    found += own_hole_remedies(subject, a, (-away[0], -away[1]), by_mm)
    found += standoff_remedies(subject, (a.id, b.id)) + rail_screw_remedies(subject, (a.id, b.id))
    for name in (a.shaft, b.shaft):
        motor = next((motor for motor in subject.layout_spec.motors if motor.name == name), None)
        if motor is not None and motor.slot_travel_mm > 0.0 and a.shaft == b.shaft:
            found.append(Remedy("Take round holes.", ((f"motors.{motor.name}.slots", 0),)))
    return found + angle_remedies(subject, [name for name in (a.shaft, b.shaft) if name])


# edge


def _edge(subject: Subject) -> Outcome:
    from gearplate.geometry.nearest import contains, distance_to_path
    from gearplate.plate.contours import slot_ends

    compared = 0
    near: dict[str, list[tuple[float, float, Side, Cutout]]] = {}
    for plate in subject.plates:
        side = plate.side
        for cutout in subject.cutouts[side]:
            compared += 1
            feature = cutout.feature
            left = _wall_mm(plate.outline, cutout)
            if left < BURNT_MM - TOUCHING_MM or not contains(plate.outline, feature.x_mm, feature.y_mm):
                near.setdefault("broken", []).append((left, BURNT_MM, side, cutout))
                continue
            if cutout.loaded and cutout.width_mm is not None:
                limit = SCREW_EDGE * cutout.width_mm
                found = min(distance_to_path(plate.outline, x, y) for x, y in slot_ends(feature))
                kind = "screw"
            else:
                limit = (wall if cutout.seat else rim)(subject, side).mm
                found, kind = left, "seat" if cutout.seat else "other"
            if found < limit - TOUCHING_MM:
                near.setdefault(kind, []).append((found, limit, side, cutout))
    short = max((item[1] - item[0] for found in near.values() for item in found), default=0.0)
    return Outcome(compared, tuple(_near_edge(subject, kind, found, short) for kind, found in near.items()))


def _wall_mm(outline: object, cutout: Cutout) -> float:
    from gearplate.geometry.nearest import circle_curve_distance, path_distance
    from gearplate.geometry.shapes import Circle, Path

    assert isinstance(outline, Path)
    if isinstance(cutout.shape, Circle):
        return circle_curve_distance(outline, cutout.shape)
    return path_distance(outline, cutout.shape)


_EDGE_WORDS = {
    "broken": "of material to the edge, where two cuts burn into one",
    "screw": "from its centre to the edge",
    "seat": "of material to the edge",
    "other": "of material to the edge",
}


def _near_edge(subject: Subject, kind: str, found: list[tuple[float, float, Side, Cutout]], short: float) -> Finding:
    measured, limit, side, cutout = min(found, key=lambda item: item[0] - item[1])
    sides = {item[2] for item in found}
    names = tuple(dict.fromkeys(item[3].feature.id for item in found))
    broken = kind == "broken"
    more = f" ({len(names) - 1} more likewise)" if len(names) > 1 else ""
    plates = "both plates" if len(sides) > 1 else f"the {side.value} plate"
    text = (
        f"{cutout.feature.id}{more} in {plates} has {measured:.3f} mm {_EDGE_WORDS[kind]}; {limit:.3f} mm are wanted."
    )
    if broken and measured < TOUCHING_MM:
        text = f"{cutout.feature.id}{more} in {plates} breaks out of the plate."
    if kind == "screw":
        standing = Standing.HANDBOOK
    elif broken:
        standing = Standing.GEOMETRY
    else:
        standing = (wall if kind == "seat" else rim)(subject, side).standing
    margin = rounded_up(subject.plate_spec.margin_mm + short, subject.unit)
    return Finding(
        "edge",
        Severity.ERROR if broken else Severity.WARNING,
        text,
        Where(
            plate=None if len(sides) > 1 else side.value,
            shafts=(cutout.feature.shaft,) if cutout.feature.shaft else (),
            features=names,
            x_mm=cutout.feature.x_mm,
            y_mm=cutout.feature.y_mm,
        ),
        measured,
        limit,
        "mm",
        standing,
        Remedy("Give the plates a wider margin.", (("plates.margin", margin),)),
    )


RULES = (
    Rule(
        code="web",
        title="Web between two holes",
        why="The bridge between two holes carries what the bearing, motor or screw in them pulls. A thin one bends, "
        "chars in the beam, and breaks at the first knock.",
        remedy="Move one of the two, or let the shafts stand farther apart.",
        limit="web >= one nominal sheet thickness, told from a tenth less on because sheets themselves vary by that, "
        "and never under 3 mm but in metal (warning); the job's own clearances.web instead where it gives one. Under "
        "0.5 mm the two cuts burn into one (error). The thin webs of a motor's own face are a note: they cannot "
        "be helped.",
        standing=Standing.COMMON_PRACTICE,
        source="one thickness and 3 mm: common practice, from memory; 0.5 mm: a cutting bureau's page",
        applies_to="holes that carry bearings, motors or screws, with every other cut-out of their plate",
        check=_web,
        present=lambda subject: sum(1 for _ in cutout_pairs(subject, carrying=True)),
    ),
    Rule(
        code="edge",
        title="Hole to the edge of the plate",
        why="A screw near the edge tears out under load; a bearing near the edge pushes its thin wall outward and sits "
        "loose.",
        remedy="Give the plates a wider margin (plates.margin).",
        limit=f"loaded screws: centre to edge >= {SCREW_EDGE:g} diameters of the hole (5.5 mm: 8.25 mm, 5.5 mm of "
        "material). Bores and pilots: material >= one nominal thickness less a tenth, at least 3 mm but in metal. "
        "Other cut-outs: the same without the 3 mm, or the smallest web measured on the cutter. Warnings; a hole that "
        "breaks out, or stands within 0.5 mm of the edge, is an error.",
        standing=Standing.HANDBOOK,
        source="1.5 diameters: bolted-joint guides (2 where the load pulls toward the edge); one thickness: common "
        "practice, from memory; 0.5 mm: a cutting bureau's page",
        applies_to="holes, slots and windows",
        check=_edge,
        present=lambda subject: sum(len(cutouts) for cutouts in subject.cutouts.values()),
    ),
)
