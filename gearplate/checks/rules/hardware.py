"""Screw heads, washers, flanges, standoffs; what lies on the rail; the user's own keep-outs."""

from __future__ import annotations

from typing import TYPE_CHECKING

from gearplate.checks.apart import check_pairs, count_pairs, with_remedies, worst
from gearplate.checks.job_keys import chain_of
from gearplate.checks.moves import angle_remedies
from gearplate.checks.rule import Outcome, Rule
from gearplate.finding import Finding, Severity, Standing, Where

if TYPE_CHECKING:
    from gearplate.checks.subject import Subject
    from gearplate.geometry.shapes import Path
    from gearplate.layout.design import Body
    from gearplate.plate.plate import Plate

TOUCHING_MM = 1e-6
_PARTS = tuple(step / 64 for step in range(64))
_HARD_KINDS = ("screw head", "washer", "nut", "bearing flange")
_OTHERS = ("gear", *_HARD_KINDS, "bearing", "motor", "wheel", "shaft", "motor shaft", "spacer")


_PROUD = (*_HARD_KINDS, "bearing", "standoff", "motor shaft", "pilot boss", "shaft")
_on_the_rail = count_pairs(*((kind, "rail") for kind in _PROUD))


def _rail_face(subject: Subject) -> Outcome:
    """What stands inside a relief hole or the axle's hole was looked at too: it counts as compared."""
    found = check_pairs("rail-face")(subject)
    return Outcome(max(found.compared, _on_the_rail(subject)), found.findings)


def _keep_outs(subject: Subject) -> list[Body]:
    from gearplate.layout.design import BodyKind

    return [body for body in subject.layout.bodies if body.kind is BodyKind.KEEP_OUT]


def _keep_out(subject: Subject) -> Outcome:
    """Bodies by pairs; plates by their real outline, which covers more than the margins round their holes."""
    from gearplate.layout.design import BodyKind

    pairs = [
        pair
        for pair in subject.pairs.get("keep-out", ())
        if BodyKind.PLATE not in (pair.a.kind, pair.b.kind)  # the outline is measured below
    ]
    findings: dict[tuple[str, str], Finding] = {}
    for pair, finding in worst(pairs, subject.layout_spec.clearances.axial_mm):
        keep, other = (pair.a, pair.b) if pair.a.kind is BodyKind.KEEP_OUT else (pair.b, pair.a)
        key = (keep.name, other.shaft or other.group or other.name)
        known = findings.get(key)
        if known is None or (finding.measured or 0.0) < (known.measured or 0.0):
            findings[key] = with_remedies(subject, pair, finding)
    compared = len(pairs)
    for keep in _keep_outs(subject):
        for plate in subject.plates:
            low, high = subject.layout.stack.plate(plate.side)
            if keep.z0_mm >= high - 1e-6 or keep.z1_mm <= low + 1e-6:
                continue
            compared += 1
            found = _plate_in_keep_out(subject, plate, keep)
            if found is not None:
                findings[keep.name, plate.side.value] = found
    return Outcome(compared, tuple(findings.values()))


def _plate_in_keep_out(subject: Subject, plate: Plate, keep: Body) -> Finding | None:
    gap, meet = _gap_to_plate(plate.outline, keep)
    if not meet:
        return None
    x, y = keep.x_mm, keep.y_mm
    remedy, others = chain_of(angle_remedies(subject, _shafts_nearest(subject, x, y)))
    return Finding(
        "keep-out",
        Severity.ERROR,
        f"the {plate.side.value} plate stands in the keep-out {keep.name}.",
        Where(plate=plate.side.value, x_mm=x, y_mm=y),
        gap,
        None if gap is None else 0.0,
        "mm",
        Standing.JOB,
        remedy,
        others,
    )


def _gap_to_plate(outline: Path, keep: Body) -> tuple[float | None, bool]:
    """Gap between a keep-out and a plate, mm (None where a box's edge crosses the outline: its depth is not
    measured), and whether they meet."""
    from gearplate.geometry.nearest import contains, path_distance, signed_distance
    from gearplate.geometry.shapes import Path

    if keep.box is None:
        gap = signed_distance(outline, keep.x_mm, keep.y_mm) - keep.radius_mm
        return gap, gap < -TOUCHING_MM
    x0, y0, x1, y1 = keep.box
    box = Path(((x0, y0, 0.0), (x1, y0, 0.0), (x1, y1, 0.0), (x0, y1, 0.0)))
    away = path_distance(outline, box)
    if away <= TOUCHING_MM:
        return None, _crosses(outline, box)
    start = outline.vertices[0]
    inside = contains(outline, keep.x_mm, keep.y_mm) or contains(box, start[0], start[1])
    return (-away if inside else away), inside


def _crosses(outline: Path, box: Path) -> bool:
    """Whether a box that touches the outline is also in the plate: one of its edges has a point inside, or the
    outline one inside the box."""
    from gearplate.geometry.nearest import signed_distance

    corners = [vertex[:2] for vertex in box.vertices]
    edges = [(a, b) for a, b in zip(corners, (*corners[1:], corners[0]), strict=True)]
    points = [(a[0] + part * (b[0] - a[0]), a[1] + part * (b[1] - a[1])) for a, b in edges for part in _PARTS]
    if any(signed_distance(outline, x, y) < -TOUCHING_MM for x, y in points):
        return True
    return any(signed_distance(box, x, y) < -TOUCHING_MM for x, y, _ in outline.vertices)


def _shafts_nearest(subject: Subject, x: float, y: float) -> list[str]:
    shafts = sorted(subject.layout.shafts, key=lambda shaft: (shaft.x_mm - x) ** 2 + (shaft.y_mm - y) ** 2)
    return [shaft.name for shaft in shafts[:2]]


RULES = (
    Rule(
        code="hardware-clearance",
        title="Screw heads, washers, nuts and flanges",
        why="Heads and washers stand in the gap beside turning gears, and on the outer faces beside wheel and motors. "
        "A gear that strikes a head locks; a head on a flange or another head cannot be tightened.",
        remedy="Turn the motor whose screw it is (clocking) or use fewer of its screws; set a standoff or a rail's "
        "screw elsewhere (standoffs.places, rail.holes); or place the shafts farther apart.",
        limit="gap in the plane, where they overlap along z: 1 mm to gear tips (clearances.gear_tip), 0.5 mm to what "
        "stands still (clearances.still), wheel.clear to the wheel (that one is an error); touching is an error.",
        standing=Standing.COMMON_PRACTICE,
        source="1 mm and 0.5 mm are common practice, no source; heads and washers have the largest sizes that their "
        "standards allow",
        applies_to="screw heads, washers, nuts and flanges",
        check=check_pairs("hardware-clearance"),
        present=count_pairs(*((kind, other) for kind in _HARD_KINDS for other in _OTHERS)),
    ),
    Rule(
        code="standoff-clearance",
        title="Standoffs and spacer tubes",
        why="Standoffs stand across the whole gap: every gear, shaft and screw head there must pass them.",
        remedy="Set the standoff elsewhere (standoffs.places), or leave the places to the tool.",
        limit="gap in the plane: 1 mm to gear tips (clearances.gear_tip), 0.5 mm to what stands still "
        "(clearances.still), warnings; touching is an error.",
        standing=Standing.COMMON_PRACTICE,
        source="1 mm and 0.5 mm are common practice, no source",
        applies_to="standoffs and spacer tubes",
        check=check_pairs("standoff-clearance"),
        present=count_pairs(
            *((post, other) for post in ("standoff", "rail spacer") for other in ("gear", "shaft", "screw head"))
        ),
    ),
    Rule(
        code="rail-face",
        title="What lies on the rail",
        why="Where a plate lies on the rail nothing may stand proud of its face: a flange, a bearing that is wider "
        "than the plate, or a screw head there keeps the plate off the rail, and bends it when the screws are drawn "
        "tight.",
        remedy="Give the rail's wall a relief hole there (rail.reliefs), place the shaft off the rail, or press the "
        "bearing from the other face.",
        limit="nothing overlaps the rail, except inside the axle's hole and relief holes; what turns there keeps "
        "clearances.still, 0.5 mm unless the job says otherwise, to their edge (warning).",
        standing=Standing.GEOMETRY,
        source="geometry",
        applies_to="bodies beside the rail",
        check=_rail_face,
        present=_on_the_rail,
    ),
    Rule(
        code="keep-out",
        title="Your own keep-outs",
        why="Room that the job gives to something else (a battery, a sensor, a frame member) stays free of plates, "
        "motors, gears and screws.",
        remedy="Place what stands there elsewhere, or give the keep-out the z range that it really needs.",
        limit="no body and no plate overlaps a keep-out in the plane where both overlap along z.",
        standing=Standing.JOB,
        source="the job",
        applies_to="keep-outs",
        check=_keep_out,
        present=lambda subject: sum(
            keep.z0_mm < plate_z[1] and keep.z1_mm > plate_z[0]
            for keep in _keep_outs(subject)
            for plate_z in (subject.layout.stack.outboard, subject.layout.stack.inboard)
        ),
    ),
)
