"""Along the shafts: float, faces of gears, spacers on inner rings, what holds a shaft."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING

from gearplate.checks.job_keys import exact, rounded_down, rounded_up
from gearplate.checks.rule import Outcome, Rule
from gearplate.finding import Finding, Remedy, Severity, Standing, Where

if TYPE_CHECKING:
    from gearplate.checks.subject import Subject
    from gearplate.layout.axial.parts import AxialPlan, ShaftPlan
    from gearplate.layout.design import GearOnShaft
    from gearplate.layout.spec import ShaftSpec

TOUCHING_MM = 1e-6
LEAST_FLOAT_MM, MOST_FLOAT_MM, USUAL_FLOAT_MM = 0.25, 0.8, 0.5
GOOD_OVERLAP, LEAST_OVERLAP = 0.8, 0.5


def plan_of(subject: Subject) -> AxialPlan:
    from gearplate.layout.axial.plan import axial_plan

    return subject.once("axial", "", lambda: axial_plan(subject.layout_spec, subject.layout))


def _where(subject: Subject, *shafts: str) -> Where:
    place = subject.layout.shaft(shafts[0])
    return Where(shafts=shafts, x_mm=place.x_mm, y_mm=place.y_mm)


# axial-float


def _float(subject: Subject) -> Outcome:
    compared = 0
    findings = []
    for shaft in subject.layout_spec.shafts:
        compared += 1
        # with what a ring leaves between gears; where there is less than was asked for, parts stand in each other:
        # that is for gap-room
        found = max(shaft.float_mm, plan_of(subject).shaft(shaft.name).float_mm)
        rubbing = _rubbing(subject, shaft)
        if rubbing is not None:
            findings.append(rubbing)
        elif not LEAST_FLOAT_MM - TOUCHING_MM <= found <= MOST_FLOAT_MM + TOUCHING_MM:
            tight = found < LEAST_FLOAT_MM
            findings.append(
                Finding(
                    "axial-float",
                    Severity.WARNING,
                    f"{shaft.name} has {found:.3f} mm of float along it: "
                    + ("a plate that swells clamps it." if tight else "its gears wander and knock."),
                    _where(subject, shaft.name),
                    found,
                    LEAST_FLOAT_MM if tight else MOST_FLOAT_MM,
                    "mm",
                    Standing.COMMON_PRACTICE,
                    _usual_float(subject, shaft),
                )
            )
    return Outcome(compared, tuple(findings))


def _usual_float(subject: Subject, shaft: ShaftSpec) -> Remedy:
    return Remedy("Leave the usual float.", ((f"shafts.{shaft.name}.float", exact(USUAL_FLOAT_MM, subject.unit)),))


def _rubbing(subject: Subject, shaft: ShaftSpec) -> Finding | None:
    """A gear that reaches a plate or flange once the float lies on one side: no spacer is left to stop it. One that
    stands in it even in the middle is for gap-room."""
    half = 0.5 * shaft.float_mm
    for gear in subject.layout.gears:
        if gear.shaft != shaft.name:
            continue
        for room, side in _rooms(subject, gear):
            if -TOUCHING_MM <= room < half - TOUCHING_MM:
                less = rounded_down(min(2.0 * room, USUAL_FLOAT_MM), subject.unit)
                return Finding(
                    "axial-float",
                    Severity.ERROR,
                    f"{shaft.name} {gear.gear.teeth}T has {room:.3f} mm to the {side} plate or flange and can move "
                    f"{half:.3f} mm toward it: it rubs.",
                    _where(subject, shaft.name),
                    room,
                    half,
                    "mm",
                    Standing.GEOMETRY,
                    Remedy("Leave less float.", ((f"shafts.{shaft.name}.float", less),)),
                )
    return None


def _rooms(subject: Subject, gear: GearOnShaft) -> tuple[tuple[float, str], tuple[float, str]]:
    """From a gear to the plate or to its own bearing's flange, on both sides."""
    from gearplate.layout.design import BodyKind

    stack = subject.layout.stack
    low, high = stack.inboard[1], stack.outboard[0]
    middle = 0.5 * (low + high)
    for body in subject.layout.bodies:
        if body.shaft == gear.shaft and body.kind is BodyKind.FLANGE:
            if 0.5 * (body.z0_mm + body.z1_mm) < middle:
                low = max(low, body.z1_mm)
            else:
                high = min(high, body.z0_mm)
    return (gear.z0_mm - low, "inboard"), (high - gear.z1_mm, "outboard")


# face-overlap


def _overlap(subject: Subject) -> Outcome:
    compared = 0
    findings = []
    for mesh in subject.layout.meshes:
        compared += 1
        narrower = min(gear.z1_mm - gear.z0_mm for gear in (mesh.driver, mesh.driven))
        meeting = least_overlap_mm(subject, mesh.driver, mesh.driven)
        if meeting >= GOOD_OVERLAP * narrower - TOUCHING_MM:
            continue
        error = meeting < LEAST_OVERLAP * narrower - TOUCHING_MM
        shafts = (mesh.driver.shaft, mesh.driven.shaft)
        widest = max(
            (shaft for shaft in subject.layout_spec.shafts if shaft.name in shafts), key=lambda shaft: shaft.float_mm
        )
        findings.append(
            Finding(
                "face-overlap",
                Severity.ERROR if error else Severity.WARNING,
                f"with all float on one side the gears of {shafts[0]} and {shafts[1]} meet on {max(meeting, 0.0):.3f} "
                f"mm of their {narrower:.3f} mm faces.",
                _where(subject, *shafts),
                meeting,
                (LEAST_OVERLAP if error else GOOD_OVERLAP) * narrower,
                "mm",
                Standing.COMMON_PRACTICE,
                _usual_float(subject, widest),
            )
        )
    return Outcome(compared, tuple(findings))


def least_overlap_mm(subject: Subject, driver: GearOnShaft, driven: GearOnShaft) -> float:
    """On how much of their faces two gears meet when the float lies as badly as it can."""
    spans = []
    for gear in (driver, driven):
        down, up = _travel(subject, gear)
        spans.append((gear.z0_mm - down, gear.z1_mm - down, gear.z0_mm + up, gear.z1_mm + up))
    (a0, a1, a2, a3), (b0, b1, b2, b3) = spans
    apart = min(a1, b3) - max(a0, b2), min(a3, b1) - max(a2, b0)
    return min(apart)


def _travel(subject: Subject, gear: GearOnShaft) -> tuple[float, float]:
    from gearplate.layout.axial.shaft_stack import gear_travel_mm

    if all(shaft.name != gear.shaft for shaft in subject.layout_spec.shafts):
        return 0.0, 0.0  # a pinion is fixed to its motor's shaft
    return gear_travel_mm(plan_of(subject).shaft(gear.shaft), gear)


# spacer-seat


def _spacers(subject: Subject) -> Outcome:
    from gearplate.catalog.bearings import SHOULDER_SPARE_MM
    from gearplate.layout.spec import Side

    compared = 0
    findings = []
    for shaft in subject.layout_spec.shafts:
        bearings = {seat.bearing for side in Side if (seat := shaft.seat(side)) is not None}
        for bearing in sorted(bearings, key=lambda bearing: bearing.inner_shoulder_mm)[:1]:
            compared += 1
            most = bearing.inner_shoulder_mm + SHOULDER_SPARE_MM
            if shaft.spacer_diameter_mm <= most + TOUCHING_MM:
                continue
            locks = shaft.spacer_diameter_mm >= bearing.outer_shoulder_mm
            least = rounded_down(bearing.inner_shoulder_mm, subject.unit)
            findings.append(
                Finding(
                    "spacer-seat",
                    Severity.ERROR if locks else Severity.WARNING,
                    f"the spacers of {shaft.name} are {shaft.spacer_diameter_mm:.2f} mm wide and the inner ring of "
                    f"{bearing.name} is about {bearing.inner_shoulder_mm:.2f} mm: "
                    + ("they hold the outer ring fast." if locks else "they rub on its shield."),
                    _where(subject, shaft.name),
                    shaft.spacer_diameter_mm,
                    most,
                    "mm",
                    Standing.FROM_MEMORY,
                    Remedy("Take narrower spacers.", ((f"shafts.{shaft.name}.spacer", least),)),
                )
            )
    return Outcome(compared, tuple(findings))


# shaft-held


def _held(subject: Subject) -> Outcome:
    from gearplate.layout.axial.shaft_stack import held_by_fit

    compared = 0
    findings = []
    for plan in plan_of(subject).shafts:
        compared += 1
        shaft = subject.layout_spec.shaft(plan.name)
        if plan.room_short_mm > TOUCHING_MM:
            findings.append(_loose(subject, plan))
        elif shaft.held_by is None and not held_by_fit(shaft):
            findings.append(
                Finding(
                    "shaft-held",
                    Severity.NOTE,
                    f"nothing keeps {plan.name} from moving along: no ring or collar in the table fits "
                    f"{shaft.stock.name}. Stop its ends on the bench, or put a row for it into retainers.toml.",
                    _where(subject, plan.name),
                    standing=Standing.COMMON_PRACTICE,
                )
            )
    return Outcome(compared, tuple(findings))


def _loose(subject: Subject, plan: ShaftPlan) -> Finding:
    from gearplate.layout.axial.shaft_stack import LEAST_SPACER_MM

    shaft = subject.layout_spec.shaft(plan.name)
    held_by = shaft.held_by
    assert held_by is not None  # room can only be short of something
    wanted = held_by.width_mm + LEAST_SPACER_MM
    said = [key for key in ("shaft", f"shafts.{plan.name}") if _says(subject, key)]
    remedy = Remedy("Take the usual ring.", tuple((f"{key}.held_by", None) for key in said)) if said else None
    beside, with_it = "beside its gears", "with a spacer"
    if not shaft.turns:
        wanted += 0.5 * shaft.float_mm
        beside, with_it = "between a plate and its gear", "with a spacer and its float"
        if remedy is None:
            more = rounded_up(subject.layout_spec.clearances.axial_mm + plan.room_short_mm, subject.unit)
            remedy = Remedy("Leave more room beside the gears.", (("clearances.axial", more),))
    return Finding(
        "shaft-held",
        Severity.NOTE,
        f"nothing keeps {plan.name} from moving along: {beside} {wanted - plan.room_short_mm:.3f} mm are free, "
        f"and {held_by.name} {with_it} wants {wanted:.3f} mm. Stop its ends on the bench.",
        _where(subject, plan.name),
        wanted - plan.room_short_mm,
        wanted,
        "mm",
        Standing.COMMON_PRACTICE,
        remedy,
    )


def _says(subject: Subject, key: str) -> bool:
    """Whether the job itself names a ring or collar there."""
    table: object = subject.raw
    for step in key.split("."):
        table = table.get(step, {}) if isinstance(table, Mapping) else {}
    return isinstance(table, Mapping) and "held_by" in table


RULES = (
    Rule(
        code="axial-float",
        title="Float along a shaft",
        why="A shaft without float is clamped as soon as a plate swells or a sheet is thicker than it was said: its "
        "bearings carry the clamping and get hot. With too much, gears wander off their mates and rub on plates.",
        remedy="Leave shaft.float out: 0.5 mm is taken. Or leave more clearances.axial beside the gears.",
        limit="0.25 to 0.8 mm, with what a ring leaves between two gears (warning); "
        "no gear reaches a plate or flange with all float on one side (error).",
        standing=Standing.COMMON_PRACTICE,
        source="common practice, no source; geometry",
        applies_to="shafts in the plates",
        check=_float,
        present=lambda subject: len(subject.layout_spec.shafts),
    ),
    Rule(
        code="face-overlap",
        title="Faces of gears that meet",
        why="Teeth that meet on a part of their faces only carry the whole force there: they wear to a step, and a "
        "pinion of aluminium loses its corners.",
        remedy="Leave less float (shaft.float), or take wider gears.",
        limit="with all float on the worst side gears meet on four fifths of the narrower face (warning), half of it "
        "at the very least (error).",
        standing=Standing.COMMON_PRACTICE,
        source="common practice, no source",
        applies_to="meshes",
        check=_overlap,
        present=lambda subject: len(subject.layout.meshes),
    ),
    Rule(
        code="spacer-seat",
        title="Spacers bear on inner rings only",
        why="A spacer that is wider than the inner ring rubs on the shield, and one that reaches the outer ring brakes "
        "the shaft as soon as the stack is drawn together.",
        remedy="Take narrower spacers (shaft.spacer), or leave it out.",
        limit="outside of the spacer <= inner ring's shoulder + 0.5 mm; the shoulder is taken as 0.7 bore + 0.3 "
        "outside, a hexagonal bore across its corners. From 0.3 bore + 0.7 outside on it meets the outer ring (error).",
        standing=Standing.FROM_MEMORY,
        source="proportions of deep-groove ball bearings, handbooks, from memory",
        applies_to="shafts that turn in bearings of the plates",
        check=_spacers,
        present=lambda subject: sum(
            shaft.outboard is not None or shaft.inboard is not None for shaft in subject.layout_spec.shafts
        ),
    ),
    Rule(
        code="shaft-held",
        title="What keeps a shaft from moving along",
        why="A plain shaft in sliding bores walks out of its bearings with the first knocks. A ring in a groove "
        "between two parts that the bearings hold keeps it in both directions; a shaft that stands still in plain "
        "holes wants one just inside each plate.",
        remedy="Take a ring instead of a collar (shaft.held_by), or leave more room beside the gears.",
        limit="between the bearings the ring's width and a spacer of 0.5 mm fit, or the ring alone between two gears. "
        "Beside the gear of a shaft that stands still the ring's width, a spacer of 0.5 mm and half of the float; one "
        "that is pressed into its holes needs none.",
        standing=Standing.COMMON_PRACTICE,
        source="common practice, no source",
        applies_to="shafts in the plates",
        check=_held,
        present=lambda subject: len(subject.layout_spec.shafts),
    ),
)
