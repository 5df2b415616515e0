"""Bearings in their plates: enough seat, held in, not too many in a line, not pressed where the sheet cracks."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING

from gearplate.checks.job_keys import Setting, chain_of, exact
from gearplate.checks.rule import Outcome, Rule
from gearplate.checks.rules.sheets import other_sheets
from gearplate.finding import Finding, Remedy, Severity, Standing, Where

if TYPE_CHECKING:
    from gearplate.checks.subject import Subject
    from gearplate.layout.spec import BearingSeat, ShaftSpec, Side
    from gearplate.shop.shop import Shop

    Seated = tuple[ShaftSpec, Side, BearingSeat]
    Held = tuple[ShaftSpec, Side, BearingSeat | None]  # None: a fixed shaft, in the plate itself

TOUCHING_MM = 1e-6
SEAT_PART = 0.5
LOOSE_MM = 0.05
MOST_TIGHT = 2
SUPPORTS = 2
SLIP_MM = 0.08


def seats(subject: Subject) -> Iterator[Seated]:
    """Every bearing in a plate."""
    from gearplate.layout.spec import CarriedBy, Role, Side

    spec = subject.layout_spec
    for shaft in spec.shafts:
        if not shaft.turns or (shaft.role is Role.OUTPUT and spec.carried_by is CarriedBy.BLOCKS):
            continue
        for side in Side:
            seat = shaft.seat(side)
            if seat is not None:
                yield shaft, side, seat


def _where(subject: Subject, found: Sequence[Held]) -> Where:
    shafts = tuple(dict.fromkeys(shaft.name for shaft, _, _ in found))
    sides = {side for _, side, _ in found}
    place = subject.layout.shaft(shafts[0])
    return Where(
        plate=next(iter(sides)).value if len(sides) == 1 else None,
        shafts=shafts,
        features=tuple(f"{name}-bore" for name in shafts),
        x_mm=place.x_mm,
        y_mm=place.y_mm,
    )


def _listed(found: Sequence[Held]) -> str:
    names: dict[str, list[str]] = {}
    for shaft, side, _ in found:
        names.setdefault(shaft.name, []).append(side.value)
    return ", ".join(f"{name} ({' and '.join(sides)})" for name, sides in names.items())


# bearing-seat


def seat_mm(seat: BearingSeat, thickness_mm: float) -> float:
    """Length along the axis on which the outer ring sits in the plate: the flange does not count."""
    return min(thickness_mm, seat.bearing.seat_width_mm)


def _seat(subject: Subject) -> Outcome:
    short: dict[tuple[str, float], list[Seated]] = {}
    compared = 0
    for shaft, side, seat in seats(subject):
        compared += 1
        thick = subject.layout_spec.stock(side).used_mm
        if seat_mm(seat, thick) < SEAT_PART * seat.bearing.width_mm - TOUCHING_MM:
            short.setdefault((seat.bearing.name, thick), []).append((shaft, side, seat))
    return Outcome(compared, tuple(_short_seat(subject, found, thick) for (_, thick), found in short.items()))


def _short_seat(subject: Subject, found: list[Seated], thick: float) -> Finding:
    _, side, seat = found[0]
    limit = SEAT_PART * seat.bearing.width_mm
    sides = list(dict.fromkeys(one for _, one, _ in found))
    sheet = subject.sheet(side)
    cures: list[Remedy] = []
    if sheet is not None and not sheet.never_cut:
        for needed in (limit + 0.5, limit + 2.0):
            cures += other_sheets(subject, sides, sheet, needed)
    cures.append(Remedy("Take thicker sheet, or a narrower bearing."))
    remedy, others = chain_of(cures)
    measured = subject.layout_spec.stock(side).measured_mm is not None
    return Finding(
        "bearing-seat",
        Severity.ERROR,
        f"{_listed(found)}: {seat.bearing.name} is {seat.bearing.width_mm:.3f} mm wide and sits on "
        f"{seat_mm(seat, thick):.3f} mm of the {thick:.3f} mm {'measured ' if measured else ''}sheet; half its width, "
        f"{limit:.3f} mm, is the least.",
        _where(subject, found),
        seat_mm(seat, thick),
        limit,
        "mm",
        Standing.COMMON_PRACTICE,
        remedy,
        others,
    )


# bearing-retainer


def _retainer(subject: Subject) -> Outcome:
    all_seats = list(seats(subject))
    bare = [item for item in all_seats if item[2].bearing.flange is None and not item[2].retained]
    if not bare:
        return Outcome(len(all_seats))
    shafts = dict.fromkeys(shaft.name for shaft, _, _ in bare)
    each = tuple((f"shafts.{name}.retainer", True) for name in shafts)
    ways = [(("shaft.retainer", True),), each] if len(shafts) > 1 else [each, (("shaft.retainer", True),)]
    seat_by_seat = tuple((f"shafts.{shaft.name}.{side.value}.retainer", True) for shaft, side, _ in bare)
    text = "Screw a retaining plate or ring over the bearing and say so."
    remedy, others = chain_of(Remedy(text, way) for way in (*ways, seat_by_seat))
    finding = Finding(
        "bearing-retainer",
        Severity.WARNING,
        f"{_listed(bare)}: an unflanged bearing with nothing that holds it; no fit in a cut plate keeps it in for "
        "good.",
        _where(subject, bare),
        standing=Standing.COMMON_PRACTICE,
        remedy=remedy,
        alternatives=others,
    )
    return Outcome(len(all_seats), (finding,))


# bearing-count


def fit_mm(subject: Subject, side: Side, seat: BearingSeat) -> float | None:
    """Finished bore less bearing, mm; None without a shop."""
    shop = subject.shops.get(side)
    if shop is None:
        return seat.fit_mm
    outside = seat.bearing.outside_mm
    return _finished(shop, outside, seat) - outside


def _finished(shop: Shop, outside: float, seat: BearingSeat) -> float:
    return shop.finished_mm(outside, "bearing", seat.fit_mm, seat.fit_class)


def _count(subject: Subject) -> Outcome:
    from gearplate.layout.spec import CarriedBy, Role

    spec = subject.layout_spec
    findings = []
    shafts = [shaft for shaft in spec.shafts if shaft.turns]
    for shaft in shafts:
        blocks = 1 if shaft.role is Role.OUTPUT and spec.carried_by is not CarriedBy.PLATES else 0
        tight = [
            (one, side, seat)
            for one, side, seat in seats(subject)
            if one is shaft and (fit := fit_mm(subject, side, seat)) is not None and fit < LOOSE_MM - TOUCHING_MM
        ]
        if len(tight) + blocks > MOST_TIGHT:
            findings.append(_too_many(subject, tight, blocks))
    return Outcome(len(shafts), tuple(findings))


def _support(subject: Subject) -> Outcome:
    from gearplate.layout.spec import CarriedBy, Role

    spec = subject.layout_spec
    findings = []
    compared = 0
    for shaft in spec.shafts:
        if not shaft.turns or (shaft.role is Role.OUTPUT and spec.carried_by is CarriedBy.BLOCKS):
            continue
        compared += 1
        carried = [side for side in ("outboard", "inboard") if getattr(shaft, side) is not None]
        blocks = 1 if shaft.role is Role.OUTPUT and spec.carried_by is CarriedBy.BOTH else 0
        if len(carried) + blocks < SUPPORTS:
            findings.append(_too_few(shaft, carried))
    return Outcome(compared, tuple(findings))


def _too_few(shaft: ShaftSpec, carried: list[str]) -> Finding:
    missing = [side for side in ("outboard", "inboard") if side not in carried]
    where = f"in the {carried[0]} plate only" if carried else "in no bearing"
    remedy = Remedy(
        f"Let the {' and the '.join(missing)} plate carry it too.",
        tuple((f"shafts.{shaft.name}.{side}", None) for side in missing),
    )
    return Finding(
        "bearing-support",
        Severity.WARNING if carried else Severity.ERROR,
        f"{shaft.name} runs {where}: nothing keeps its axis square, and the load of an overhung gear on the bearing is "
        "larger than the force on the teeth.",
        Where(shafts=(shaft.name,)),
        float(len(carried)),
        float(SUPPORTS),
        "",
        Standing.COMMON_PRACTICE,
        remedy,
    )


def _too_many(subject: Subject, tight: list[Seated], blocks: int) -> Finding:
    shaft = tight[0][0]
    loose = exact(2.0 * LOOSE_MM, subject.unit)
    # The plate beside the rail stands between the other two: its bearing is the one to spare.
    remedy, others = chain_of(
        (
            Remedy(
                "Let the middle one of them, in the outboard plate, sit loose.",
                ((f"shafts.{shaft.name}.outboard.fit", loose),),
            ),
            Remedy("Let the plate's bearing sit loose.", ((f"shafts.{shaft.name}.inboard.fit", loose),)),
        )
    )
    count = len(tight) + blocks
    return Finding(
        "bearing-count",
        Severity.WARNING,
        f"{shaft.name} runs in {count} tight bearings in a line ({len(tight)} in the plates, {blocks} in the rail's "
        "block): two fix its axis, and each more bends it.",
        _where(subject, tight),
        float(count),
        float(MOST_TIGHT),
        "",
        Standing.COMMON_PRACTICE,
        remedy,
        others,
    )


# acrylic-press-fit


def _fits(subject: Subject) -> Iterator[tuple[Held, float]]:
    """Every bearing and every fixed shaft in a plate that has a shop, with its fit in mm."""
    from gearplate.layout.spec import Side

    for seated in seats(subject):
        fit = fit_mm(subject, seated[1], seated[2])
        if subject.shops.get(seated[1]) is not None and fit is not None:
            yield seated, fit
    for shaft in subject.layout_spec.shafts:
        for side in Side:
            if not shaft.turns and subject.shops.get(side) is not None:
                yield (shaft, side, None), shaft.fit_mm or 0.0


def _press(subject: Subject) -> Outcome:
    compared = 0
    bad: dict[tuple[str, bool, float], list[Held]] = {}
    for (shaft, side, seat), fit in _fits(subject):
        compared += 1
        material = subject.shops[side].material
        most = 0.0 if material.press_fit is None else material.press_fit.under_high_mm
        if fit < -most - TOUCHING_MM:
            bad.setdefault((material.name, shaft.turns, round(fit, 6)), []).append((shaft, side, seat))
    return Outcome(compared, tuple(_pressed(subject, found, fit) for (*_, fit), found in bad.items()))


def _pressed(subject: Subject, found: list[Held], fit: float) -> Finding:
    side = found[0][1]
    material = subject.shops[side].material
    press = material.press_fit
    limit = 0.0 if press is None else -press.under_high_mm
    wanted = SLIP_MM if press is None else -0.5 * (press.under_low_mm + press.under_high_mm)
    value = exact(wanted, subject.unit)
    shafts = tuple(dict.fromkeys(shaft.name for shaft, _, _ in found))
    ways: tuple[tuple[Setting, ...], ...] = (
        (("shaft.fit", value),),
        tuple((f"shafts.{name}.fit", value) for name in shafts),
        tuple((f"shafts.{shaft.name}.{one.value}.fit", value) for shaft, one, _ in found),
    )
    part = "bearing" if found[0][0].turns else "shaft"
    ordered = [ways[0], ways[1], ways[2]] if len(found) > 2 else [ways[1], ways[2], ways[0]]
    if part == "shaft":
        ordered = [ways[1]]
    if press is None:
        text = f"Give the {part} a little clearance (0.05 to 0.1 mm), and a flange or retainer to hold it."
        why = material.no_press_why.removesuffix(".")
    else:
        text = "Press it less."
        why = f"{material.family} bears {press.under_low_mm:g} to {press.under_high_mm:g} mm under the {part}"
    brittle = press is None and "acrylic" in material.family
    remedy, others = chain_of(Remedy(text, way) for way in ordered)
    return Finding(
        "acrylic-press-fit",
        Severity.ERROR if brittle else Severity.WARNING,
        f"{_listed(found)}: the bore is finished {-fit:.3f} mm under the {part} in {material.name}; {why}.",
        _where(subject, found),
        fit,
        limit,
        "mm",
        material.standing_for("no_press_why" if press is None else "press_fit"),
        remedy,
        others,
    )


def _seat_count(subject: Subject) -> int:
    return sum(1 for _ in seats(subject))


RULES = (
    Rule(
        code="bearing-seat",
        title="Seat of a bearing in its plate",
        why="A bearing that sits on a narrow edge tilts under load: it hammers its bore oval, and the gears on its "
        "shaft mesh askew.",
        remedy="Take thicker sheet, or a narrower bearing.",
        limit="min(measured thickness, bearing width less flange) >= half the bearing's width; the full width is "
        "better. The measured thickness counts where there is one.",
        standing=Standing.COMMON_PRACTICE,
        source="common practice, no source",
        applies_to="bearings in the plates",
        check=_seat,
        present=_seat_count,
    ),
    Rule(
        code="bearing-retainer",
        title="What holds a bearing in",
        why="Cut bores vary by more than a press fit is tight, plastic creeps, and a plate warms up: a bearing "
        "without a flange walks out of its bore, and its shaft with it.",
        remedy="Take a flanged bearing, or screw a retaining plate or ring over it and say so (retainer = true).",
        limit="every bearing in a plate has a flange or a retainer, whatever its fit.",
        standing=Standing.COMMON_PRACTICE,
        source="common practice, no source",
        applies_to="bearings in the plates",
        check=_retainer,
        present=_seat_count,
    ),
    Rule(
        code="bearing-support",
        title="Two bearings for an axis",
        why="A single ball bearing lets its shaft tilt. Gears on it mesh askew and push each other away, and an "
        "overhung gear loads the bearing with more than the force on its teeth.",
        remedy="Let both plates carry the shaft.",
        limit=f"every shaft that turns runs in at least {SUPPORTS} bearings; a block in the rail counts as one.",
        standing=Standing.COMMON_PRACTICE,
        source="statics of a beam on one support",
        applies_to="shafts that turn in the plates",
        check=_support,
        present=lambda subject: sum(shaft.turns and shaft.name != "output" for shaft in subject.layout_spec.shafts),
    ),
    Rule(
        code="bearing-count",
        title="Tight bearings in a line",
        why="Two bearings fix an axis. A third that sits tight too only fits if all three bores are in line to a "
        "hundredth of a mm, which cut plates and a rail never are: the shaft bends at every turn, and bearings run "
        "hot.",
        remedy="Let one of them sit loose in its bore, or leave one out.",
        limit=f"at most {MOST_TIGHT} bearings on one shaft with less than {LOOSE_MM:g} mm of clearance in their bores; "
        "a block in the rail counts as one.",
        standing=Standing.COMMON_PRACTICE,
        source="statics; the 0.05 mm are common practice, no source",
        applies_to="shafts that turn",
        check=_count,
        present=lambda subject: sum(shaft.turns for shaft in subject.layout_spec.shafts),
    ),
    Rule(
        code="acrylic-press-fit",
        title="Press fit in a material that cracks or creeps",
        why="Acrylic is brittle: a pressed bearing starts a crack that runs to the next hole, at once or a week "
        "later. Polycarbonate crazes. Acetal and wood bear a light press, not a heavy one: it squeezes the bearing's "
        "play away.",
        remedy="In acrylic give clearance (0.05 to 0.1 mm) and hold the bearing by flange or retainer; elsewhere press "
        "less (shaft.fit).",
        limit="finished bore less bearing: not below zero where the material's row says that nothing is pressed into "
        "it (an error in acrylic, else a warning), and not further under than its press_fit (warning).",
        standing=Standing.COMMON_PRACTICE,
        source="common practice, no source; the material's row",
        applies_to="bearings and fixed shafts in plates with a shop",
        check=_press,
        present=lambda subject: sum(subject.shops.get(side) is not None for _, side, _ in seats(subject)),
    ),
)
