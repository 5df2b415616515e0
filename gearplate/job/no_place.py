"""Why there is no place for the free shafts, in the words and units of the job."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from enum import StrEnum
from typing import TYPE_CHECKING

from gearplate.finding import Finding, Remedy, Standing
from gearplate.layout.design import Body, BodyKind
from gearplate.layout.eases import Ease
from gearplate.layout.grounds import Ground, What
from gearplate.layout.reasons import BOXES, Reasons, reasons_of
from gearplate.layout.spec import LayoutSpec
from gearplate.layout.sums import Sum
from gearplate.units import Unit

if TYPE_CHECKING:
    from gearplate.job.spec import JobSpec

LAYOUT = "layout"
FIRST_TRAIN = " The first: "  # where several trains were tried: of which one the rest is told
STEP_MM = {"mm": 0.01, "inch": 0.0005 * 25.4}
"""To what a figure that is enough is rounded, away from what is too little."""

THINGS = {"motors": "the motors", "rail": "the rail", "floor": "the floor"}
"""What may give way and has no key of its own."""


class Outcome(StrEnum):
    """What a change to the job brings: a layout with every clearance, one with less, or none that was found."""

    PLACE = "place"
    TIGHT = "tight"
    NOTHING = "nothing"


@dataclass(frozen=True, slots=True)
class Cure:
    """A change that was looked at. `built`: also built, and without a new error."""

    remedy: Remedy
    outcome: Outcome
    built: bool = False


@dataclass(frozen=True, slots=True)
class NoPlace:
    """The reasons, and what is said of them: `verdict`, `each` ground in words, `together` (alike ones in one breath),
    `eases`, `sums`, `motors`. `cures`: what was tried against it."""

    reasons: Reasons
    verdict: str
    each: tuple[str, ...]
    together: tuple[str, ...]
    eases: tuple[str, ...]
    sums: tuple[str, ...]
    motors: str
    cures: tuple[Cure, ...] = ()

    @property
    def text(self) -> str:
        """All of it, for a finding."""
        parts = [self.verdict]
        if self.together:
            which = "Leave out any one, and the others can" if self.reasons.irreducible else _UNPROVEN
            if self.reasons.irreducible and len(self.reasons.reasons) == 1:
                parts.append(f"This alone rules out every layout: {self.together[0]}.")
            else:
                parts.append(f"These cannot hold together: {'; '.join(self.together)}. {which}.")
        parts += [*self.sums, *self.eases]
        return " ".join(part for part in (*parts, self.motors) if part)


_UNPROVEN = "That each of them is needed for it is not proven"


def no_place_of(job: JobSpec, findings: Iterable[Finding], boxes: int = BOXES) -> NoPlace | None:
    """Why the job has no layout, where one of these findings says that it has none; None where the shafts would find
    places, and something else does not."""
    if not any(one.check == LAYOUT and one.standing is Standing.GEOMETRY for one in findings):
        return None
    reasons = reasons_of(job.layout_spec, boxes)
    return no_place(job.layout_spec, reasons, job.units) if reasons.proven or reasons.stopped else None


def told(finding: Finding, why: NoPlace) -> Finding:
    """The finding that there is no layout, with the reasons; where nothing is proven it says so, and stays."""
    if finding.check != LAYOUT:
        return finding
    if not why.reasons.proven:
        return replace(finding, message=f"{finding.message} {why.verdict}")
    head, several, _ = finding.message.partition(FIRST_TRAIN)
    return replace(finding, message=f"{head}{several}{why.text}" if several else why.text)


def no_place(spec: LayoutSpec, reasons: Reasons, unit: Unit) -> NoPlace:
    """The words for these reasons; lengths in the unit of the job."""
    grounds = [one.ground for one in reasons.reasons]
    return NoPlace(
        reasons,
        _verdict(reasons),
        tuple(_said(spec, [ground], unit) for ground in grounds),
        tuple(_together(spec, grounds, unit)),
        tuple(_eases(reasons, unit)),
        tuple(_sum(one, unit) for one in reasons.sums),
        _motors(reasons),
    )


def _verdict(reasons: Reasons) -> str:
    names = listed(reasons.free)
    if not reasons.proven:
        return f"That there is none is not proven: the search stopped at the work of {reasons.boxes:,} boxes of angles."
    screws = " with the rail's screws where the tool puts them" if reasons.screws else ""
    if reasons.clearances:
        return (
            f"There is no place for {names} where every clearance is kept{screws}: that is proven. "
            "What can be built with less clearance was looked for and not found."
        )
    return f"There is no place for {names}{screws}: that is proven."


def _motors(reasons: Reasons) -> str:
    if reasons.fitting is None or not reasons.motors:
        return ""
    few, many = _COUNTS[reasons.fitting], _COUNTS[reasons.motors]
    fits = "motor fits" if reasons.fitting == 1 else "motors fit"
    text = f"{few.capitalize()} {fits}, {many} do not"
    if reasons.fitting + 1 < reasons.motors:
        text += f"; for {_COUNTS[reasons.fitting + 1]} no place was found"
    return f"{text}."


_COUNTS = ("no", "one", "two", "three", "four")


def _together(spec: LayoutSpec, grounds: Sequence[Ground], unit: Unit) -> Iterator[str]:
    """What the job itself says first; alike things in one."""
    order = list(What)
    left = sorted(grounds, key=lambda one: -order.index(one.what))
    while left:
        first = left[0]
        alike = [one for one in left if _kind(one) == _kind(first)]
        left = [one for one in left if one not in alike]
        yield _said(spec, alike, unit)


def _kind(ground: Ground) -> tuple[object, ...]:
    """Grounds of one kind are told in one breath."""
    if ground.what is What.MOTORS:
        return (What.MOTORS,)
    if ground.what in (What.WHEEL, What.RAIL):
        return (ground.what, ground.parts[0].kind, ground.parts[-1].name)
    return (ground.name,)


def _said(spec: LayoutSpec, grounds: Sequence[Ground], unit: Unit) -> str:
    first = grounds[0]
    names = listed(sorted({name for one in grounds for name in one.shafts if name != "output"})) or "output"
    if first.what is What.LIMIT:
        value = getattr(spec.limits, f"{first.key.removeprefix('limits.')}_mm")
        return f"{first.key} = {length(value, unit)}"
    if first.what is What.KEEP_OUT:
        return f"{first.key} ({first.name.removeprefix('keep-out ')})"
    if first.what is What.PLACE:
        return _place(spec, first)
    if first.what is What.MOTORS:
        across = length(2.0 * max(part.radius_mm for one in grounds for part in one.parts), unit)
        pairs = {frozenset(one.shafts) for one in grounds}
        motors = sorted({name for pair in pairs for name in pair})
        if len(pairs) == len(motors) * (len(motors) - 1) // 2:
            return f"the bodies of {listed(motors)} ({across}) beside each other"
        return "the bodies of " + ", of ".join(" and ".join(sorted(pair)) for pair in sorted(map(sorted, pairs)))
    if first.what is What.WHEEL:
        part, wheel = first.parts
        size = f"{length(2.0 * wheel.radius_mm, unit)}, {length(spec.wheel.clear_mm, unit)} clear"
        return f"{_part(part, names)} off {'the wheel' if wheel.name == 'wheel' else wheel.name} ({size})"
    if first.what is What.RAIL:
        return f"{_part(first.parts[0], names)} off the rail"
    if first.what is What.FLOOR:
        return "everything off the floor"
    if first.what is What.RAIL_SCREWS:
        return "room for the rail's screws"
    if first.what is What.HOLES:
        return f"the web between the holes of {listed(first.shafts)}"
    return f"{part_name(first.parts[0])} off {part_name(first.parts[-1])}" if first.parts else first.name


def _place(spec: LayoutSpec, ground: Ground) -> str:
    place = spec.places[ground.shafts[0]]
    if place.angle_rad is None:
        return ground.key
    return f"{ground.key}.angle = {math.degrees(place.angle_rad):.4g}"


_PARTS = {
    BodyKind.MOTOR: "body",
    BodyKind.SHAFT: "shaft",
    BodyKind.MOTOR_SHAFT: "shaft",
    BodyKind.SPACER: "spacer",
    BodyKind.BEARING: "bearing",
    BodyKind.FLANGE: "bearing flange",
    BodyKind.PILOT: "pilot boss",
    BodyKind.GEAR: "gear",
}


def _part(body: Body, names: str) -> str:
    """The parts of one kind on several shafts."""
    several = " and " in names
    word = _PARTS.get(body.kind, body.kind.value)
    return f"the {_plural(word) if several else word} of {names}"


def _plural(word: str) -> str:
    return word.replace("body", "bodies") if word == "body" else f"{word}s"


def part_name(body: Body) -> str:
    """ "M1's body", "S1's gear of 72 teeth"; the name of what stands on no shaft."""
    if body.shaft is None or body.kind not in _PARTS:
        return f"the {body.name}" if body.kind in (BodyKind.WHEEL, BodyKind.RAIL) else body.name
    teeth = body.name.rpartition(" ")[2]
    if body.kind is BodyKind.GEAR and teeth.endswith("T"):
        return f"{body.shaft}'s gear of {teeth[:-1]} teeth"
    return f"{body.shaft}'s {_PARTS[body.kind]}"


def _eases(reasons: Reasons, unit: Unit) -> Iterator[str]:
    """What each thing alone would have to be; then, in one breath, what does not help by itself."""
    for ease in reasons.eases:
        if ease.mends:
            yield _ease(ease, unit)
    no = [ease.key for ease in reasons.eases if ease.mends is False and ease.key not in THINGS]
    if no:
        yield f"No other {listed(no, 'or')} would do by itself."


def _ease(ease: Ease, unit: Unit) -> str:
    if ease.key in ("rail", "floor"):
        return f"Without {THINGS[ease.key]} there would be room for the shafts."
    if ease.was is None:
        return f"With {ease.key} left to the tool there is room for the shafts."
    if ease.enough is None and ease.key.startswith("keep_outs["):
        return f"Without {ease.key.partition('.')[0]} there would be room for the shafts."
    if ease.enough is None:
        return ""
    enough = figure(ease, ease.enough, unit)
    clear = ""
    if ease.clear is not None:
        clear = f" ({figure(ease, ease.clear, unit)} with every clearance)"
    if ease.key == "motors":
        return f"Motors of {enough} across or less would fit{clear}."
    if ease.key.endswith(".box"):
        return f"{ease.key} alone would do with its sides {enough} further in{clear}."
    way = "or more" if ease.enough > ease.was else "or less"
    return f"{ease.key} = {enough} {way} would do by itself{clear}."


def figure(ease: Ease, value: float, unit: Unit) -> str:
    """A value that is enough, rounded to a size that one would write, never toward what is too little."""
    assert ease.was is not None
    step = STEP_MM[unit]
    whole = math.ceil(value / step - 1e-6) if value > ease.was else math.floor(value / step + 1e-6)
    return length(whole * step, unit)


def length(mm: float, unit: Unit) -> str:
    """ "178.03 mm" or "7.009 in", without zeros at the end."""
    size = mm / 25.4 if unit == "inch" else mm
    text = f"{size:.{4 if unit == 'inch' else 3}f}".rstrip("0").rstrip(".")
    return f"{text or '0'} {'in' if unit == 'inch' else 'mm'}"


def _sum(one: Sum, unit: Unit) -> str:
    """A sum that can be done again by hand."""
    a, b = (part_name(part) for part in one.parts)
    sizes = " + ".join(length(part.radius_mm, unit) for part in one.parts)
    if one.gap_mm > 0.0005:
        sizes += f" + {length(one.gap_mm, unit)}"
    needs = f"{a} off {b} needs {sizes} = {length(one.least_mm, unit)}"
    if one.placed_mm is not None:
        return f"{one.a} is placed {length(one.placed_mm, unit)} from {_axis(one.b)}; {needs}."
    names = " + ".join(f"c{number}" for number in range(1, len(one.meshes) + 1))
    centres = " + ".join(length(need.centre_mm, unit) for need in one.meshes)
    total = f" = {length(one.furthest_mm, unit)}" if len(one.meshes) > 1 else ""
    text = f"{one.a} stands {names} = {centres}{total} from {_axis(one.b)} at most; {needs}"
    if one.enough_teeth is None:
        return f"{text}."
    counts = _COUNTED.get(2 * len(one.meshes), str(2 * len(one.meshes)))
    return f"{text}: the {counts} counts, {one.teeth} now, must total at least {one.enough_teeth}{_size(one, unit)}."


def _axis(name: str) -> str:
    return "the axle" if name == "output" else name


_COUNTED = {2: "two", 4: "four", 6: "six", 8: "eight"}


def _size(one: Sum, unit: Unit) -> str:
    module = one.meshes[0].driver.system.module_mm
    pitch = 25.4 / module
    if abs(pitch - round(pitch)) < 1e-6:
        return f" at DP {round(pitch)}"
    return f" at module {module:g} mm"


def listed(names: Iterable[str], word: str = "and") -> str:
    """ "M1, M2 and M3"."""
    every = list(names)
    return every[0] if len(every) == 1 else f"{', '.join(every[:-1])} {word} {every[-1]}" if every else ""
