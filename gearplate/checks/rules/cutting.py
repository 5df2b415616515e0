"""What the beam can cut: how small, how thin, how large, in which material."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from gearplate.checks.far_holes import far_hole, nearer
from gearplate.checks.job_keys import chain_of, hole_key, rounded_down, rounded_up
from gearplate.checks.moves import angle_remedies, own_hole_remedies
from gearplate.checks.rule import Outcome, Rule
from gearplate.checks.rules.holes import cutout_pairs, gap_of
from gearplate.checks.webs import BRITTLE, BURNT_MM, TOUCHING_MM, Limit, bar, hole
from gearplate.finding import Finding, Remedy, Severity, Standing, Where

if TYPE_CHECKING:
    from gearplate.checks.cutouts import Cutout
    from gearplate.checks.subject import Subject
    from gearplate.geometry.shapes import Path
    from gearplate.layout.spec import Side

CORNER_PART = 0.5
TURN_STEP_DEG = 0.25
_GROW = "Cut it on a larger cutter, or let it grow in the other direction: smaller gears, shafts side by side."
_ALONG = (0.1, 0.3, 0.5, 0.7, 0.9)


# smallest-feature


def _smallest(subject: Subject) -> Outcome:
    compared = 0
    findings: dict[object, Finding] = {}
    faults = _faults(subject)
    for side, cutouts in subject.cutouts.items():
        least = hole(subject, side)
        for cutout in cutouts:
            compared += 1
            ident = cutout.feature.id
            fault = faults.get((side, ident))
            if fault is not None:
                findings[ident] = _uncut(subject, side, ident, fault, cutout)
            elif _narrower(cutout, least.mm):
                findings.setdefault(ident, _narrow(subject, side, cutout, least))
            elif (corner := _sharp(subject, side, cutout)) is not None:
                findings.setdefault(ident, corner)
        if (side, "outline") in faults:
            findings[side, "outline"] = _uncut(subject, side, "outline", faults[side, "outline"], None)
    limits = {side: bar(subject, side) for side in subject.cutouts}
    for side, one, other in cutout_pairs(subject, carrying=False):
        compared += 1
        limit = limits[side]
        gap = gap_of(one, other, limit.mm)
        if gap < limit.mm - TOUCHING_MM:
            findings.setdefault((one.feature.id, other.feature.id), _thin_bar(subject, side, one, other, gap, limit))
    return Outcome(compared, tuple(findings.values()))


def _faults(subject: Subject) -> dict[tuple[Side, str], str]:
    return {(cut.plate.side, ident): why for cut in subject.cut_plates for ident, why in cut.faults}


def _place(side: Side, *cutouts: Cutout) -> Where:
    count = len(cutouts)
    return Where(
        plate=side.value,
        shafts=tuple(dict.fromkeys(one.feature.shaft for one in cutouts if one.feature.shaft)),
        features=tuple(one.feature.id for one in cutouts),
        x_mm=sum(one.feature.x_mm for one in cutouts) / count if count else None,
        y_mm=sum(one.feature.y_mm for one in cutouts) / count if count else None,
    )


def _uncut(subject: Subject, side: Side, ident: str, why: str, cutout: Cutout | None) -> Finding:
    width = None if cutout is None else cutout.width_mm
    kerf = subject.shops[side].kerf_mm
    where = Where(plate=side.value) if cutout is None else _place(side, cutout)
    remedy, others = chain_of([] if cutout is None else _wider(subject, side, cutout, hole(subject, side).mm))
    return Finding(
        "smallest-feature",
        Severity.ERROR,
        f"{ident} in the {side.value} plate cannot be cut: {why.removesuffix('.')}.",
        where,
        width,
        None if width is None else kerf,
        "" if width is None else "mm",
        Standing.GEOMETRY,
        remedy,
        others,
    )


def _narrower(cutout: Cutout, least_mm: float) -> bool:
    if cutout.width_mm is not None:
        return cutout.width_mm < least_mm - TOUCHING_MM
    return _vanishes(cutout.shape, 0.5 * least_mm - TOUCHING_MM)


def _vanishes(shape: object, radius_mm: float) -> bool:
    """Whether no disc of this radius fits into a window. Where its parallel curve says nothing (short sides), discs
    are tried that touch it at points along its sides."""
    from gearplate.geometry.nearest import signed_distance
    from gearplate.geometry.offset import offset
    from gearplate.geometry.segments import point_at, segments
    from gearplate.geometry.shapes import Path
    from gearplate.plate.contours import middle_of

    assert isinstance(shape, Path)
    try:
        offset(shape, -radius_mm)
    except ValueError:
        points = [middle_of(shape)]
        for piece in segments(shape):
            for part in _ALONG:
                (ax, ay), (bx, by) = point_at(piece, part - 0.01), point_at(piece, part + 0.01)
                length = math.hypot(bx - ax, by - ay)
                x, y = 0.5 * (ax + bx), 0.5 * (ay + by)
                for sign in (1.0, -1.0):
                    reach = sign * radius_mm * 1.0001 / length
                    points.append((x - reach * (by - ay), y + reach * (bx - ax)))
        return all(signed_distance(shape, x, y) > -radius_mm for x, y in points)
    return False


def _narrow(subject: Subject, side: Side, cutout: Cutout, least: Limit) -> Finding:
    ident, width = cutout.feature.id, cutout.width_mm
    wide = f"{width:.3f} mm wide" if width is not None else f"nowhere {least.mm:.3f} mm wide"
    remedy, others = chain_of(_wider(subject, side, cutout, least.mm))
    return Finding(
        "smallest-feature",
        Severity.WARNING,
        f"{ident} in the {side.value} plate is {wide}; {least.mm:.3f} mm are wanted ({least.words}).",
        _place(side, cutout),
        width,
        None if width is None else least.mm,
        "" if width is None else "mm",
        least.standing,
        remedy,
        others,
    )


def _wider(subject: Subject, side: Side, cutout: Cutout, least_mm: float) -> list[Remedy]:
    key = hole_key(subject.plate_spec, cutout.feature.id)
    if key is None or cutout.width_mm is None:
        return []
    width = least_mm - (cutout.feature.fit_mm or 0.0)
    return [Remedy(f"Make {cutout.feature.id} wider.", ((f"{key}.diameter", rounded_up(width, subject.unit)),))]


def _sharp(subject: Subject, side: Side, cutout: Cutout) -> Finding | None:
    """Inside corners of the user's own windows, where the material is brittle."""
    sheet = subject.sheet(side)
    if cutout.feature.form != "window" or sheet is None or BRITTLE not in sheet.family:
        return None
    own = next((one for one in subject.plate_spec.own_holes if one.name == cutout.feature.id), None)
    limit = CORNER_PART * subject.layout_spec.stock(side).nominal_mm
    if own is None or own.corner_radius_mm >= limit - TOUCHING_MM:
        return None
    key = hole_key(subject.plate_spec, own.name)
    return Finding(
        "smallest-feature",
        Severity.WARNING,
        f"{own.name} in the {side.value} plate has inside corners of {own.corner_radius_mm:.3f} mm radius; half the "
        f"thickness, {limit:.3f} mm, keeps {sheet.family} from cracking there.",
        _place(side, cutout),
        own.corner_radius_mm,
        limit,
        "mm",
        Standing.COMMON_PRACTICE,
        Remedy("Round its corners more.", ((f"{key}.corner_radius", rounded_up(limit, subject.unit)),)),
    )


def _thin_bar(subject: Subject, side: Side, one: Cutout, other: Cutout, gap: float, limit: Limit) -> Finding:
    burnt = gap < BURNT_MM - TOUCHING_MM
    a, b = one.feature, other.feature
    text = f"{a.id} and {b.id} in the {side.value} plate leave a bar of {gap:.3f} mm"
    if gap < TOUCHING_MM:
        text = f"{a.id} and {b.id} in the {side.value} plate run into each other"
    elif burnt:
        text += f": cuts nearer than {BURNT_MM:g} mm burn into one"
    else:
        text += f"; {limit.mm:.3f} mm are wanted ({limit.words})"
    remedy, others = chain_of(_thicker(subject, side, one, other, limit.mm - gap))
    return Finding(
        "smallest-feature",
        Severity.ERROR if burnt else Severity.WARNING,
        f"{text}.",
        _place(side, one, other),
        gap,
        BURNT_MM if burnt else limit.mm,
        "mm",
        Standing.HANDBOOK if burnt else limit.standing,
        remedy,
        others,
    )


def _thicker(subject: Subject, side: Side, one: Cutout, other: Cutout, by_mm: float) -> list[Remedy]:
    """A bar that is thicker by so much: one of the user's own holes beside it moved, or narrower; in words at last."""
    a, b = one.feature, other.feature
    away = (b.x_mm - a.x_mm, b.y_mm - a.y_mm)
    found = own_hole_remedies(subject, b, away, by_mm)
    found += own_hole_remedies(subject, a, (-away[0], -away[1]), by_mm)
    own = [cutout for cutout in (one, other) if hole_key(subject.plate_spec, cutout.feature.id) is not None]
    less = {cutout.feature.id: _less_wide(subject, side, cutout, 2.0 * by_mm) for cutout in own}
    found += [remedy for remedies in less.values() for remedy in remedies]
    if own:
        fixed = a.id if own[0] is other else b.id
        wide = [cutout.feature.id for cutout in own if cutout.width_mm is None or less[cutout.feature.id]]
        narrower = f", or make {' or '.join(wide)} narrower" if wide else ""
        return [*found, Remedy(f"Set {own[0].feature.id} farther from {fixed}{narrower}.")]
    shafts = tuple(dict.fromkeys(name for name in (a.shaft, b.shaft) if name))
    found += angle_remedies(subject, shafts)
    where = f"Give {' or '.join(shafts)} another place" if shafts else "Change the layout"
    return [*found, Remedy(f"{where}, so that {a.id} and {b.id} stand farther apart.")]


def _less_wide(subject: Subject, side: Side, cutout: Cutout, by_mm: float) -> list[Remedy]:
    """One of the user's own holes narrower by so much, as long as it is then wide enough to be cut well."""
    from gearplate.units import length_mm

    key = hole_key(subject.plate_spec, cutout.feature.id)
    if key is None or cutout.width_mm is None:
        return []
    was = cutout.feature.part_diameter_mm
    fit = cutout.width_mm - was
    sizes = (rounded_down(max(0.0, was - by_mm), subject.unit, fine) for fine in (False, True))
    return [
        Remedy(f"Make {cutout.feature.id} narrower.", ((f"{key}.diameter", size),))
        for size in dict.fromkeys(sizes)
        if length_mm(size, subject.unit) + fit >= hole(subject, side).mm - TOUCHING_MM
    ]


# bed-size


def _bed(subject: Subject) -> Outcome:
    compared = 0
    findings = []
    for side, path in _drawn(subject).items():
        compared += 1
        found = _past_bed(subject, side, path)
        if found is not None:
            findings.append(found)
    return Outcome(compared, tuple(findings))


def _drawn(subject: Subject) -> dict[Side, Path]:
    """What the beam's head must travel: the outline as drawn of one hand (the other is its mirror)."""
    found: dict[Side, Path] = {}
    for cut in subject.cut_plates:
        found.setdefault(cut.plate.side, cut.outline_path)
    return found


def _past_bed(subject: Subject, side: Side, path: Path) -> Finding | None:
    from gearplate.geometry.path import bbox

    cutter = subject.shops[side].cutter
    low, high = sorted((cutter.bed_x_mm, cutter.bed_y_mm))
    x0, y0, x1, y1 = bbox(path)
    short, long = sorted((x1 - x0, y1 - y0))
    if short <= low + TOUCHING_MM and long <= high + TOUCHING_MM:
        return None
    bed = f"the bed of {cutter.name} is {cutter.bed_x_mm:g} x {cutter.bed_y_mm:g} mm"
    over_long = long - high >= short - low
    size = f"the {side.value} plate is {x1 - x0:.3f} x {y1 - y0:.3f} mm as drawn"
    turned = fitting_turn_deg(path, low, high)
    if turned is not None:
        text = f"{size} and fits only turned by {turned:g} degrees: {bed}."
    else:
        text = f"{size} and does not fit: {bed}."
    far = far_hole(subject, side, low, high)
    if far is not None:
        text += f" {far.words()}."
    remedy, others = chain_of([Remedy(_GROW)] if far is None else nearer(subject, far))
    return Finding(
        "bed-size",
        Severity.ERROR if turned is None else Severity.NOTE,
        text,
        Where(plate=side.value) if far is None else _place(side, far.cutout),
        long if over_long else short,
        high if over_long else low,
        "mm",
        cutter.standing,
        remedy,
        others,
    )


def fitting_turn_deg(path: Path, low_mm: float, high_mm: float) -> float | None:
    """The least turn at which a path fits a bed of that size, in steps of a quarter degree; None: at no turn."""
    from gearplate.geometry.path import bbox
    from gearplate.geometry.transform import rotated

    for step in range(round(180.0 / TURN_STEP_DEG)):
        degrees = step * TURN_STEP_DEG
        x0, y0, x1, y1 = bbox(rotated(path, math.radians(degrees)))
        short, long = sorted((x1 - x0, y1 - y0))
        if short <= low_mm + TOUCHING_MM and long <= high_mm + TOUCHING_MM:
            return degrees
    return None


RULES = (
    Rule(
        code="smallest-feature",
        title="Smallest hole, slot and bar",
        why="The beam is a wedge, hotter and wider in a small hole: a hole much smaller than the sheet is thick comes "
        "out charred and conical, a bar thinner than the sheet melts away or snaps.",
        remedy="Make a small hole wider. For a thin bar make a hole beside it narrower, or move it. Or measure what "
        "your cutter really can cut and write it into its profile (smallest_hole_mm, smallest_web_mm).",
        limit="holes, slots and windows: at least half the nominal thickness wide; bars between cut-outs that carry "
        "nothing: one thickness, told from a tenth less on; or what the cutter's profile says was measured (warnings). "
        "Bars under 0.5 mm, and holes that the kerf alone would make too wide, are errors. In acrylic, inside corners "
        "of windows have a radius of half the thickness (warning).",
        standing=Standing.HANDBOOK,
        source="a cutting bureau's page on kerf; corners in acrylic: common practice, no source",
        applies_to="holes, slots and windows",
        check=_smallest,
        present=lambda subject: sum(len(plate.features) for plate in subject.plates),
    ),
    Rule(
        code="bed-size",
        title="Plate on the cutter's bed",
        why="A plate that is larger than the bed cannot be cut in one piece, and one cut in two settings does not "
        "register.",
        remedy="Cut it on a larger cutter, or change the layout so that it grows in the other direction.",
        limit="the drawn outline's box fits the cutter's bed, upright or turned by a quarter; a note where it only "
        "fits at some other angle.",
        standing=Standing.GEOMETRY,
        source="bed_x and bed_y of the cutter's profile",
        applies_to="plates that are cut",
        check=_bed,
        present=lambda subject: len({cut.plate.side for cut in subject.cut_plates}),
    ),
)
