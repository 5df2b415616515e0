"""Bodies that must keep apart: the pass over the pairs of one check, and what to do where they do not."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import replace
from typing import TYPE_CHECKING

from gearplate.checks.counts import count_remedies, far_count_remedies
from gearplate.checks.job_keys import chain_of
from gearplate.checks.moves import (
    all_inboard_remedies,
    angle_remedies,
    clocking_remedies,
    rail_screw_remedies,
    side_remedies,
    standoff_remedies,
)
from gearplate.checks.rule import Outcome
from gearplate.finding import Finding, Remedy, Severity, Standing

TOUCHING_MM = 1e-6

if TYPE_CHECKING:
    from gearplate.checks.subject import Subject
    from gearplate.layout.clearance import Pair
    from gearplate.layout.design import Body


def check_pairs(code: str) -> Callable[[Subject], Outcome]:
    """The check over all pairs that this code tells. Of the parts of one thing only the worst is told."""

    def check(subject: Subject) -> Outcome:
        pairs = subject.pairs.get(code, ())
        axial = subject.layout_spec.clearances.axial_mm
        return Outcome(
            len(pairs), tuple(with_remedies(subject, pair, finding) for pair, finding in worst(pairs, axial))
        )

    return check


def worst(pairs: Iterable[Pair], axial_mm: float) -> list[tuple[Pair, Finding]]:
    """The pairs that are too near, one for each two things: a screw's head and washer are one, a shaft with its
    spacers too. `axial_mm`: the clearance that turning gears keep along the axis."""
    from gearplate.layout.misses import too_near

    found: dict[frozenset[str], tuple[Pair, Finding]] = {}
    for pair in pairs:
        finding = too_near(pair)
        if finding is None:
            continue
        finding = along_axis(pair, finding, axial_mm)
        key = frozenset((thing(pair.a), thing(pair.b)))
        if key not in found or _badness(pair, finding) > _badness(*found[key]):
            found[key] = (pair, finding)
    return list(found.values())


def _badness(pair: Pair, finding: Finding) -> tuple[bool, float]:
    return finding.severity is Severity.ERROR, pair.need.gap_mm - pair.gap_mm


def along_axis(pair: Pair, finding: Finding, axial_mm: float) -> Finding:
    """The finding of two bodies that overlap in the plane and pass each other along the axis, one behind the other:
    nearer than the axial clearance, they do not touch."""
    a, b = pair.a, pair.b
    room = max(a.z0_mm, b.z0_mm) - min(a.z1_mm, b.z1_mm)
    if room < TOUCHING_MM:
        return finding
    return replace(
        finding,
        severity=Severity.WARNING,
        message=f"{a.name} ({a.kind.value}) and {b.name} ({b.kind.value}) pass each other {room:.3f} mm apart along "
        f"the axis; {axial_mm:.3f} mm is wanted.",
        measured=room,
        limit=axial_mm,
        standing=Standing.COMMON_PRACTICE,
    )


def thing(body: Body) -> str:
    """What a person calls the body: "M1 screw 2", "S1 shaft", "M1"."""
    from gearplate.layout.clearance import HARDWARE, SHAFTS
    from gearplate.layout.design import BodyKind

    if body.kind in HARDWARE:
        return body.name.rpartition(" ")[0] or body.name
    if body.kind in SHAFTS and body.shaft is not None:
        return f"{body.shaft} shaft"
    if body.kind in (BodyKind.MOTOR, BodyKind.PILOT):
        return body.group
    return body.name


def with_remedies(subject: Subject, pair: Pair, finding: Finding) -> Finding:
    """The finding with what may be done about it."""
    if not subject.told:
        return finding
    in_words = [Remedy(hardware_words(pair))] if finding.check == "hardware-clearance" else []
    remedy, others = chain_of([*_cures(subject, pair, finding), *in_words])
    text = finding.message
    if _is_hexagon(subject, pair.a) or _is_hexagon(subject, pair.b):
        text = f"{text.removesuffix('.')}. The hexagon is measured across its corners."
    if _on_axle_against_rail(subject, pair):
        rail = subject.layout_spec.rail
        assert rail is not None
        text += (
            f" The axle stands {rail.axle_from_bottom_mm:.3f} mm over the bottom of a rail {rail.height_mm:.3f} mm "
            "high (rail.axle_from_bottom): astride, the box stands above it."
        )
    return replace(finding, message=text, remedy=remedy, alternatives=others)


def hardware_words(pair: Pair) -> str:
    """What can be done at all where heads, washers, nuts or flanges stand in the way: about what is there, no more."""
    from gearplate.layout.chain import OUTPUT
    from gearplate.layout.design import BodyKind

    ends = (pair.a, pair.b)
    posts = [body.group for body in ends if body.group.startswith(("standoff-", "rail-"))]
    ways = []
    if any(body.shaft and " screw " in body.name for body in ends):
        ways += ["turn the motor (clocking)", "use fewer of its screws"]
    elif any(body.kind is BodyKind.MOTOR and body.core_mm for body in ends):
        ways.append("turn the motor (clocking)")
    if any(group.startswith("standoff-") for group in posts):
        ways += ["set the standoff elsewhere (standoffs.places)", "take fewer of them (standoffs.count)"]
    if any(group.startswith("rail-") for group in posts):
        ways.append("set the rail's screws elsewhere (rail.holes)")
    if any(body.kind in (BodyKind.FLANGE, BodyKind.BEARING) for body in ends):
        ways.append("take a smaller bearing")
    shafts = list(dict.fromkeys(body.shaft for body in ends if body.shaft))
    if len(shafts) > 1:
        ways.append("place the shafts farther apart")
    elif shafts and shafts[0] != OUTPUT:
        ways.append(f"place {shafts[0]} elsewhere")
    elif not ways:
        ways.append("place what stands there elsewhere")
    text = ways[0] if len(ways) == 1 else f"{', '.join(ways[:-1])}, or {ways[-1]}"
    return f"{text[0].upper()}{text[1:]}."


def _is_hexagon(subject: Subject, body: Body) -> bool:
    from gearplate.layout.design import BodyKind

    if body.kind is not BodyKind.SHAFT or body.shaft is None:
        return False
    return subject.layout_spec.shaft(body.shaft).stock.section.hexagonal


def _cures(subject: Subject, pair: Pair, finding: Finding) -> list[Remedy]:
    if finding.check == "wheel-to-wheel":
        return _farther_wheels(subject)
    groups = [body.group for body in (pair.a, pair.b)]
    shafts = [body.shaft for body in (pair.a, pair.b) if body.shaft]
    found = (
        subject.once("axle height", "", lambda: _higher_axle(subject)) if _on_axle_against_rail(subject, pair) else []
    )
    reliefs = relief_remedies(subject, pair) if finding.check == "rail-face" else []
    found = [*found, *(reliefs if _within_rail(subject, pair) else [])]
    found += standoff_remedies(subject, groups)
    found += rail_screw_remedies(subject, groups)
    if any(" screw " in body.name for body in (pair.a, pair.b)):
        found += clocking_remedies(subject, shafts)
    found += angle_remedies(subject, shafts)
    found += count_remedies(subject, pair)
    found += far_count_remedies(subject, pair) + side_remedies(subject, shafts)
    found += [] if _within_rail(subject, pair) else reliefs
    return found + (all_inboard_remedies(subject) if finding.check == "motor-to-wheel" else [])


def _farther_wheels(subject: Subject) -> list[Remedy]:
    """The other wheels of the side as far off as the wheel is wide, and its clearance."""
    from gearplate.checks.job_keys import rounded_up

    wheel = subject.layout_spec.wheel
    least = wheel.diameter_mm + wheel.clear_mm
    places = [x if abs(x) >= least else (-least if x < 0.0 else least) for x in wheel.neighbours_x_mm]
    value = [f"-{rounded_up(-x, subject.unit)}" if x < 0.0 else rounded_up(x, subject.unit) for x in places]
    return [Remedy("Set the next wheel farther off.", (("wheel.neighbours", value),))]


def _on_axle_against_rail(subject: Subject, pair: Pair) -> bool:
    """Whether something on the output axle is in the way of a rail that the plates stand astride: no shaft's place
    mends that, only the axle's height."""
    from gearplate.layout.chain import OUTPUT
    from gearplate.layout.design import BodyKind
    from gearplate.layout.spec import Mount

    rail = subject.layout_spec.rail
    ends = (pair.a, pair.b)
    return (
        rail is not None
        and rail.mount is Mount.ASTRIDE
        and any(body.kind is BodyKind.RAIL for body in ends)
        and any(body.shaft == OUTPUT for body in ends)
    )


def _higher_axle(subject: Subject) -> list[Remedy]:
    """The axle so high over the rail that all on it clears; with a larger wheel where the rail would come too low."""
    from gearplate.checks.job_keys import rounded_up
    from gearplate.layout.chain import OUTPUT
    from gearplate.layout.clearance import overlap_along_z, requirement
    from gearplate.layout.design import BodyKind
    from gearplate.layout.floor import LEAST_MM

    spec = subject.layout_spec
    box = next((body for body in subject.layout.bodies if body.kind is BodyKind.RAIL), None)
    if spec.rail is None or box is None:
        return []
    reach = max(
        body.radius_mm + need.gap_mm
        for body in subject.layout.bodies
        if body.shaft == OUTPUT
        and (need := requirement(body, box, spec)) is not None
        and overlap_along_z(body, box, spec)
    )
    height = rounded_up(spec.rail.height_mm + reach, subject.unit)
    setting: list[tuple[str, object]] = [("rail.axle_from_bottom", height)]
    text = f"Set the axle above the rail: {height} over its bottom (rail.axle_from_bottom)"
    least = 2.0 * (spec.rail.height_mm + reach + LEAST_MM + 0.5)
    if spec.wheel.diameter_mm < least:
        wheel = rounded_up(least, subject.unit)
        setting.append(("wheel.diameter", wheel))
        text += f", on a wheel of {wheel} at least, so that the rail keeps off the floor"
    return [Remedy(f"{text}.", tuple(setting))]


def _within_rail(subject: Subject, pair: Pair) -> bool:
    """Whether what stands proud lies between the rail's faces, a wall away from both: a hole for it is then round. Past
    them it would be a notch in the tube's corner, which is the last thing to try."""
    rail = subject.layout_spec.rail
    if rail is None:
        return False
    low, high = (y + wall for y, wall in zip(rail.y_span_mm, (rail.wall_mm, -rail.wall_mm), strict=True))
    proud = (body for body in (pair.a, pair.b) if body.box is None)
    return all(low <= body.y_mm - body.radius_mm and body.y_mm + body.radius_mm <= high for body in proud)


def relief_remedies(subject: Subject, pair: Pair) -> list[Remedy]:
    """A hole in the rail's wall round what stands proud: the thing itself and half a millimetre all round."""
    from gearplate.checks.job_keys import point, rounded_up
    from gearplate.layout.chain import OUTPUT
    from gearplate.layout.design import BodyKind

    rail = subject.layout_spec.rail
    proud = pair.b if pair.a.kind is BodyKind.RAIL else pair.a
    if rail is None or proud.kind is BodyKind.MOTOR:
        return []
    unit = subject.unit
    if proud.shaft == OUTPUT and _on_axis(subject, proud):
        hole = rounded_up(2.0 * proud.radius_mm + 1.0, unit)
        return [Remedy(f"Drill the rail wider for {thing(proud)}.", (("rail.axle_hole", hole),))]
    reliefs = written_reliefs(subject)
    diameter = rounded_up(2.0 * proud.radius_mm + 1.0, unit)
    on_axis = proud.shaft is not None and _on_axis(subject, proud)
    here: dict[str, object] = {"shaft": proud.shaft} if on_axis else {"at": point(proud.x_mm, proud.y_mm, unit)}
    reliefs.append(here | {"diameter": diameter})
    return [Remedy(f"Give the rail's wall a relief hole round {thing(proud)}.", (("rail.reliefs", reliefs),))]


def written_reliefs(subject: Subject) -> list[dict[str, object]]:
    """The rail's reliefs as a job file writes them."""
    from gearplate.checks.job_keys import point, rounded_up

    rail, unit = subject.layout_spec.rail, subject.unit
    reliefs: list[dict[str, object]] = []
    for relief in () if rail is None else rail.reliefs:
        place: dict[str, object] = (
            {"at": point(relief.x_mm, relief.y_mm, unit)} if relief.shaft is None else {"shaft": relief.shaft}
        )
        reliefs.append(place | {"diameter": rounded_up(relief.diameter_mm, unit, fine=True)})
    return reliefs


def _on_axis(subject: Subject, body: Body) -> bool:
    shaft = subject.layout.shaft(body.shaft or "")
    return abs(shaft.x_mm - body.x_mm) < 1e-9 and abs(shaft.y_mm - body.y_mm) < 1e-9


def count_pairs(*kinds: tuple[str, str]) -> Callable[[Subject], int]:
    """How many pairs of bodies of these kinds ("gear", "shaft") share a stretch along z and do not belong together:
    counted from the bodies alone, so that a check that saw none of them is found out."""

    def count(subject: Subject) -> int:
        from gearplate.layout.clearance import mate_names, may_meet

        mates = mate_names(subject.layout_spec)
        total = 0
        for first, second in kinds:
            for a in subject.layout.bodies:
                if a.kind.value != first:
                    continue
                for b in subject.layout.bodies:
                    if b.kind.value != second or a is b or may_meet(a, b, mates):
                        continue
                    if a.box is not None and b.box is not None:
                        continue
                    if a.z0_mm < b.z1_mm - 1e-6 and b.z0_mm < a.z1_mm - 1e-6:
                        total += 1
        return total

    return count
