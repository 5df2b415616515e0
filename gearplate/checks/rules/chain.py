"""Inside the rail round the axle: room for sprockets with their chains, and for the spacer in the axle's hole."""

from __future__ import annotations

from typing import TYPE_CHECKING

from gearplate.checks.job_keys import chain_of, exact, rounded_down
from gearplate.checks.rule import Outcome, Rule
from gearplate.checks.rules.axial import plan_of
from gearplate.checks.rules.threads import rail_screws_end_mm
from gearplate.finding import Finding, Remedy, Severity, Standing, Where

if TYPE_CHECKING:
    from gearplate.checks.subject import Subject
    from gearplate.layout.axial.parts import AxialPart, ScrewPlan
    from gearplate.layout.axial.sprockets import ChainRoom

TOUCHING_MM = 1e-6
LEAST_MM = 1.0
FEWEST_TEETH = 6


# chain-room


def _room(subject: Subject) -> ChainRoom | None:
    from gearplate.layout.axial.sprockets import chain_room

    return chain_room(subject.layout_spec, subject.layout.stack)


def _chain(subject: Subject) -> Outcome:
    room, asked = _room(subject), subject.layout_spec.sprockets
    if room is None or asked is None:
        return Outcome(0)
    findings = []
    chain = f"chain {asked.chain.name}"
    if room.over_mm < LEAST_MM - TOUCHING_MM:
        text = f"{chain} over {asked.teeth} teeth is {room.size.over_chain_diameter_mm:.3f} mm high"
        text += f": {room.over_mm:.3f} mm to the rail's wall."
        findings.append(_tight(text, room.over_mm, _smaller(subject)))
    if room.gap_mm < LEAST_MM - TOUCHING_MM:
        text = f"{asked.count} of {chain}, each {asked.chain.overall_width_mm:g} mm wide over its pins"
        text += f": {room.gap_mm:.3f} mm beside each in the rail."
        findings.append(_tight(text, room.gap_mm, _fewer(subject)))
    compared = 1 + len(room.strands_mm)
    for plan in plan_of(subject).screws:
        if plan.what == "rail":
            compared += plan.count
            findings += _screws(subject, plan, room)
    return Outcome(compared, tuple(findings))


def _tight(text: str, room_mm: float, cures: list[Remedy]) -> Finding:
    return _finding("chain-room", text, room_mm, LEAST_MM, room_mm < -TOUCHING_MM, cures)


def _finding(code: str, text: str, room_mm: float, wanted_mm: float, error: bool, cures: list[Remedy]) -> Finding:
    """Something round the axle that does not go in (error), or has less room than is usual."""
    remedy, others = chain_of(cures)
    return Finding(
        code,
        Severity.ERROR if error else Severity.WARNING,
        text,
        Where(shafts=("output",), x_mm=0.0, y_mm=0.0),
        room_mm,
        0.0 if error else wanted_mm,
        "mm",
        Standing.GEOMETRY if error else Standing.COMMON_PRACTICE,
        remedy,
        others,
    )


def _smaller(subject: Subject) -> list[Remedy]:
    """The largest sprocket whose chain keeps its room."""
    from gearplate.drive.chain import sprocket

    spec = subject.layout_spec
    rail, asked = spec.rail, spec.sprockets
    assert rail is not None
    assert asked is not None
    bottom, top = rail.y_span_mm
    most = 2.0 * (min(top, -bottom) - rail.wall_mm - LEAST_MM)
    teeth = asked.teeth - 1
    while teeth >= FEWEST_TEETH and sprocket(asked.chain.pitch_mm, teeth).over_chain_diameter_mm > most:
        teeth -= 1
    return [Remedy("Take a smaller sprocket.", (("duty.sprocket", teeth),))] if teeth >= FEWEST_TEETH else []


def _fewer(subject: Subject) -> list[Remedy]:
    """As many chains as leave their gaps."""
    spec = subject.layout_spec
    rail, asked = spec.rail, spec.sprockets
    assert rail is not None
    assert asked is not None
    inside = rail.width_mm - 2.0 * rail.wall_mm
    count = int((inside - LEAST_MM) / (asked.chain.overall_width_mm + LEAST_MM) + TOUCHING_MM)
    return [Remedy("Run fewer chains in the rail.", (("duty.sprockets", count),))] if count > 0 else []


def _screws(subject: Subject, plan: ScrewPlan, room: ChainRoom) -> list[Finding]:
    """Screws that end within the first chain, at the height of one of its strands. Those run level, as on a sprocket
    of the same size at the other end."""
    asked = subject.layout_spec.sprockets
    assert asked is not None
    end, limit = rail_screws_end_mm(subject, plan), room.strands_mm[0][0]
    if end < limit - TOUCHING_MM:
        return []
    middle = 0.5 * room.size.pitch_diameter_mm
    reach = 0.5 * (room.size.over_chain_diameter_mm - room.size.pitch_diameter_mm) + 0.5 * plan.screw.nominal_mm
    met = [(x, y) for x, y in subject.layout.rail_holes if abs(abs(y) - middle) < reach - TOUCHING_MM]
    if not met:
        return []
    remedies = [Remedy("One chain, in the middle.", (("duty.sprockets", 1),))] if asked.count > 1 else []
    remedy, others = chain_of(remedies)
    return [
        Finding(
            "chain-room",
            Severity.ERROR,
            f"the rail's screws ({plan.screw.name} x {plan.length_mm:g} mm) end {end:.3f} mm beyond the outboard "
            f"plate's face, and at their height a chain runs from {limit:.3f} mm on.",
            Where(x_mm=met[0][0], y_mm=met[0][1]),
            end,
            limit,
            "mm",
            Standing.GEOMETRY,
            remedy,
            others,
        )
    ]


# axle-hole


def _in_hole(subject: Subject) -> tuple[AxialPart, ...]:
    """What of the axle's spacers stands in the rail's walls."""
    from gearplate.layout.axial.parts import PartKind

    axle = plan_of(subject).shaft("output")
    walls = axle.of(PartKind.WALL)
    return tuple(
        part
        for part in axle.of(PartKind.SPACER)
        if any(part.z0_mm < wall.z1_mm and part.z1_mm > wall.z0_mm for wall in walls)
    )


def _hole(subject: Subject) -> Outcome:
    spacers, rail = _in_hole(subject), subject.layout_spec.rail
    if not spacers or rail is None:
        return Outcome(0)
    wanted = subject.layout_spec.clearances.still_mm
    widest = max(part.outside_mm for part in spacers)
    gap = 0.5 * (rail.axle_hole_mm - widest)
    if gap >= wanted - TOUCHING_MM:
        return Outcome(len(spacers))
    error = gap < TOUCHING_MM
    narrower = rail.axle_hole_mm - 2.0 * wanted
    cures = [Remedy("Drill the axle's hole wider.", (("rail.axle_hole", exact(widest + 2.0 * wanted, subject.unit)),))]
    if narrower > subject.layout_spec.shaft("output").stock.section.corners_mm + 1.0:
        thin = rounded_down(narrower, subject.unit)
        cures.append(Remedy("Take narrower spacers.", (("shafts.output.spacer", thin),)))
    text = f"the axle's spacers are {widest:.3f} mm wide and turn in the rail's hole of {rail.axle_hole_mm:.3f} mm: "
    text += "they do not pass." if error else f"{gap:.3f} mm are left round them."
    return Outcome(len(spacers), (_finding("axle-hole", text, gap, wanted, error, cures),))


def _runs_in_rail(subject: Subject) -> bool:
    from gearplate.layout.axial.sprockets import in_rail

    return in_rail(subject.layout_spec, subject.layout.stack) is not None


def _chains_to_compare(subject: Subject) -> int:
    asked = subject.layout_spec.sprockets
    return asked.count if asked is not None and _runs_in_rail(subject) else 0


def _spacers_to_compare(subject: Subject) -> int:
    from gearplate.layout.spec import CarriedBy

    spec = subject.layout_spec
    carried = spec.carried_by is CarriedBy.PLATES and spec.shaft("output").outboard is not None
    return int(carried and _runs_in_rail(subject))


RULES = (
    Rule(
        code="chain-room",
        title="Chains in the rail",
        why="A chain that scrapes along the tube's wall saws through it, and one that meets a screw's end jams and "
        "tears. Nobody sees either: it happens inside.",
        remedy="Take a smaller sprocket (duty.sprocket), fewer chains (duty.sprockets), or a larger rail.",
        limit=f"between a chain on its sprocket and the rail's inside walls, and beside each chain over its pins: not "
        f"below zero (error), {LEAST_MM:g} mm (warning). Outside of the chain: pitch circle + 0.95 pitches. No end "
        "of a rail screw reaches a chain's width at its height (error).",
        standing=Standing.COMMON_PRACTICE,
        source="sprockets after ASME B29.1; zero by geometry; 1 mm is common practice, no source",
        applies_to="sprockets on the axle inside the rail",
        check=_chain,
        present=_chains_to_compare,
    ),
    Rule(
        code="axle-hole",
        title="The spacer in the rail's axle hole",
        why="The spacer between bearing and wheel turns with the axle. In a hole that is too narrow it rubs on the "
        "rail's wall, and takes the wheel's load there.",
        remedy="Drill the hole wider (rail.axle_hole) or take narrower spacers (shafts.output.spacer).",
        limit="all round: above zero (error), clearances.still (warning).",
        standing=Standing.COMMON_PRACTICE,
        source="zero by geometry; half a millimetre is common practice, no source",
        applies_to="axles that run through the rail on bearings of the plates",
        check=_hole,
        present=_spacers_to_compare,
    ),
)
