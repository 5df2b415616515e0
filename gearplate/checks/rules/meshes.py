"""Gears in mesh: the distance of their shafts, their play, their contact."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from gearplate.checks.job_keys import added_centre_settings, chain_of, exact, gear_settings, remedies
from gearplate.checks.mated import (
    LEAST_CONTACT,
    PLACED_MM,
    TOUCHING_MM,
    alike,
    group_where,
    mesh_names,
    misplaced,
    same_meshes,
    shift_remedies,
    told,
    well_placed,
)
from gearplate.checks.rule import Outcome, Rule
from gearplate.finding import Finding, Remedy, Severity, Standing

if TYPE_CHECKING:
    from gearplate.checks.mated import Mated
    from gearplate.checks.subject import Subject
    from gearplate.layout.chain import MeshNeed

LEAST_ADDED_MM = 0.0254
MOST_PLAY_MODULES = 0.15
GOOD_CONTACT = 1.2
USUAL_ADDED_MM = 0.05


def _mesh_centre(subject: Subject) -> Outcome:
    pairs = alike(subject)
    return Outcome(
        len(pairs),
        tuple(_off_centre(subject, pair, severity) for pair in pairs if (severity := misplaced(pair)) is not None),
    )


def _off_centre(subject: Subject, pair: Mated, severity: Severity) -> Finding:
    placed, need = pair
    off = placed.centre_mm - need.centre_mm
    way = f"{abs(off):.3f} mm too {'near' if off < 0 else 'far'}"
    end = ""
    if severity is Severity.ERROR:
        end = ", and the teeth jam" if off < 0 else ", and the next teeth meet too late"
    remedy, others = chain_of(_at_right_distance(subject, need))
    return Finding(
        "mesh-centre",
        severity,
        f"{mesh_names(placed)} stand {placed.centre_mm:.3f} mm apart where their teeth and the added centre distance "
        f"make {need.centre_mm:.3f} mm: {way}{end}.",
        group_where(subject, [pair]),
        placed.centre_mm,
        need.centre_mm,
        "mm",
        Standing.GEOMETRY if severity is Severity.ERROR else Standing.COMMON_PRACTICE,
        remedy,
        others,
    )


def _at_right_distance(subject: Subject, need: MeshNeed) -> list[Remedy]:
    """By angle, a shaft stands at the very distance: the direction that it has now, to a hundredth of a degree."""
    found = []
    spec = subject.layout_spec
    partner = {need.driver_shaft: need.driven_shaft}
    for name, other in partner.items():
        place = spec.places.get(name)
        if place is None or place.x_mm is None:
            continue
        here, there = subject.layout.shaft(name), subject.layout.shaft(other)
        degrees = round(math.degrees(math.atan2(here.y_mm - there.y_mm, here.x_mm - there.x_mm)), 2)
        text = f"Say the place of {name} by its direction from {other}: the tool then keeps the distance."
        found.append(Remedy(text, ((f"places.{name}", {"angle": degrees}),)))
    return found


# backlash


def _backlash(subject: Subject) -> Outcome:
    pairs = well_placed(subject)
    findings = [finding for group in same_meshes(pairs) if (finding := _play(subject, group)) is not None]
    return Outcome(len(pairs), tuple(findings))


def _play(subject: Subject, group: list[Mated]) -> Finding | None:
    placed = group[0][0]
    mesh, gear = placed.mesh, placed.driver.gear
    play = mesh.backlash_reference_mm
    apart = placed.centre_mm - mesh.tightest_centre_mm
    most = MOST_PLAY_MODULES * gear.system.module_mm
    where = group_where(subject, group)
    remedy, others = chain_of(
        remedies(
            "Give the mesh the usual running play.",
            added_centre_settings(subject, placed.stage, exact(USUAL_ADDED_MM, subject.unit)),
        )
    )
    names = told(group)
    if mesh.backlash_operating_mm < TOUCHING_MM:
        text = f"{names} have no backlash ({play:.3f} mm at {placed.centre_mm:.3f} mm): the teeth touch on both sides."
        limit, severity, standing = 0.0, Severity.ERROR, Standing.GEOMETRY
    elif apart < LEAST_ADDED_MM - TOUCHING_MM:
        text = (
            f"{names} stand {apart:.4f} mm farther apart than where their teeth jam (backlash {play:.4f} mm); cut "
            f"holes and warm plates move by more. 0.001 in ({LEAST_ADDED_MM:g} mm) is the least that is usual."
        )
        play, limit, severity, standing = apart, LEAST_ADDED_MM, Severity.WARNING, Standing.COMMON_PRACTICE
    elif play > most + TOUCHING_MM:
        text = f"{names} have a backlash of {play:.3f} mm, more than {MOST_PLAY_MODULES:g} modules: they rattle."
        limit, severity, standing = most, Severity.WARNING, Standing.COMMON_PRACTICE
    else:
        return None
    return Finding("backlash", severity, text, where, play, limit, "mm", standing, remedy, others)


# contact-ratio


def _contact(subject: Subject) -> Outcome:
    pairs = well_placed(subject)
    findings = [finding for group in same_meshes(pairs) if (finding := _short_contact(subject, group)) is not None]
    return Outcome(len(pairs), tuple(findings))


def _short_contact(subject: Subject, group: list[Mated]) -> Finding | None:
    placed = group[0][0]
    ratio = placed.mesh.contact_ratio
    if ratio >= GOOD_CONTACT - 1e-9:
        return None
    error = ratio < LEAST_CONTACT - 1e-9
    limit = LEAST_CONTACT if error else GOOD_CONTACT
    text = f"{told(group)} have a contact ratio of {ratio:.3f} where {limit:g} is wanted"
    text += ": one pair of teeth parts before the next meets." if error else "."
    formula = placed.mesh.contact_ratio_formula
    if formula > ratio + 0.01:
        text += f" (The textbook formula gives {formula:.2f}, as if the roots were not cut away.)"
    remedy, others = chain_of(_more_contact(subject, group))
    return Finding(
        "contact-ratio",
        Severity.ERROR if error else Severity.WARNING,
        text,
        group_where(subject, group),
        ratio,
        limit,
        "",
        Standing.GEOMETRY if error else Standing.HANDBOOK,
        remedy,
        others,
    )


def _longer_tips(subject: Subject, group: list[Mated]) -> list[Remedy]:
    """The standard tip diameter for gears whose job or catalogue says a smaller one."""
    found: list[Remedy] = []
    for end in ("driver", "driven"):
        gears = [getattr(placed, end) for placed, _ in group]
        gear = gears[0].gear
        standard = (gear.teeth + 2.0 + 2.0 * gear.shift) * gear.system.module_mm
        if gear.tip_diameter_mm is None or gear.tip_diameter_mm >= standard - TOUCHING_MM:
            continue
        shafts = dict.fromkeys(one.shaft for one in gears)
        value = exact(standard, subject.unit)
        ways = gear_settings(subject, shafts, group[0][0].stage, "tip_diameter", value)
        found += remedies(f"Take a gear of {gear.teeth} teeth with the standard tip diameter {standard:.3f} mm.", ways)
    return found


def _more_contact(subject: Subject, group: list[Mated]) -> list[Remedy]:
    placed = group[0][0]
    found: list[Remedy] = []
    if placed.added_centre_mm > USUAL_ADDED_MM + 1e-6:
        usual = exact(USUAL_ADDED_MM, subject.unit)
        found += remedies("Bring the gears nearer.", added_centre_settings(subject, placed.stage, usual))
    found += _longer_tips(subject, group)
    found += shift_remedies(subject, group)
    if placed.driver.gear.system.pressure_angle_rad < math.radians(19.0):
        text = "Take gears of 20 degrees: their small pinions are hardly undercut."
        found.append(Remedy(text, (("pressure_angle", 20),)))
    return found


RULES = (
    Rule(
        code="mesh-centre",
        title="Centre distance of a mesh",
        why="Two gears run only at the distance that their teeth make. Shafts placed by rounded or mistaken "
        "coordinates stand too near, and the teeth jam, or too far, and they rattle or slip past each other. No "
        "running-in mends either: the holes are where they are.",
        remedy="Say the place of one of the two shafts by its direction (places.NAME.angle): the tool keeps the "
        "distance to the last digit. Or correct the coordinates.",
        limit="a = m (z1 + z2) / 2 without profile shift; with shift a = m (z1 + z2) cos(alpha) / (2 cos(alpha_w)) "
        "with inv(alpha_w) = inv(alpha) + 2 (x1 + x2) tan(alpha) / (z1 + z2); plus the added centre distance. An error "
        f"where the teeth jam or lose contact, a warning from {PLACED_MM:g} mm off the wanted distance on.",
        standing=Standing.STANDARD,
        source="ISO 21771 for the distance; the 0.05 mm are common practice, no source",
        applies_to="two gears in contact",
        check=_mesh_centre,
        present=lambda subject: len(alike(subject)),
    ),
    Rule(
        code="backlash",
        title="Backlash of a mesh",
        why="Without backlash the teeth touch on both sides: the drive is stiff, runs hot, and every error of a hole "
        "or a tooth presses the shafts apart. Too much of it knocks at every change of direction.",
        remedy="Add a little to the centre distance (added_centre, 0.025 to 0.076 mm is usual), or take gears whose "
        "teeth are cut thinner.",
        limit="backlash on the reference circle, about 2 x added centre distance x tan(alpha) plus the thinning of "
        f"both gears: above zero (error), at most {MOST_PLAY_MODULES:g} modules; and the axes at least 0.001 in "
        "farther apart than where the teeth jam (warnings).",
        standing=Standing.GEOMETRY,
        source="ISO 21771 for the geometry; 0.001 to 0.003 in of added centre distance and the upper limit are common "
        "practice, no source",
        applies_to="two gears in contact",
        check=_backlash,
        present=lambda subject: len(well_placed(subject)),
    ),
    Rule(
        code="contact-ratio",
        title="Contact ratio of a mesh",
        why="The contact ratio is how many pairs of teeth carry on the average. Under 1 there are moments when none "
        "does: the drive jerks from tooth to tooth, and tips strike flanks. A little above 1 any error of distance or "
        "wear brings it there.",
        remedy="More teeth on the pinion, a pinion cut with profile shift, another pressure angle, or less added "
        "centre distance.",
        limit=f"length of the path of contact of the real flanks / base pitch (pi m cos(alpha)): at least "
        f"{LEAST_CONTACT:g} (error), {GOOD_CONTACT:g} is the least that is usual (warning).",
        standing=Standing.HANDBOOK,
        source="1 by geometry; 1.2 from a question bank (1.2 to 1.8 is usual) and handbooks, from memory. Undercut "
        "flanks end the contact early, which the textbook formula does not see",
        applies_to="two gears in contact",
        check=_contact,
        present=lambda subject: len(well_placed(subject)),
    ),
)
