"""What scatter and climate leave of the play of meshes: whether they bind, rattle more than the job allows, or part."""

from __future__ import annotations

from typing import TYPE_CHECKING

from gearplate.checks.job_keys import added_centre_settings, chain_of, exact, remedies
from gearplate.checks.mated import LEAST_CONTACT, TOUCHING_MM, group_where, same_meshes, told, well_placed
from gearplate.checks.rule import Outcome, Rule
from gearplate.finding import Finding, Remedy, Severity, Standing

if TYPE_CHECKING:
    from collections.abc import Callable

    from gearplate.checks.mated import Mated
    from gearplate.checks.subject import Subject
    from gearplate.layout.design import PlacedMesh
    from gearplate.layout.play import MeshBudget

MOST_BINDING = 0.02
LEAST_APART_MM = 0.0254
USUAL_CONTACT = 1.2
USUAL_ADDED_MM = 0.05
LEAST_ADDED_MM = 0.0254  # of layout/play.py, which is imported only where a mesh is told; a test holds them together
_AUTO = (
    'added_centre = "auto" takes the greatest that any mesh of the stage asks for, and never under '
    f"{LEAST_ADDED_MM:g} mm (common practice, no source)"
)


def _groups(subject: Subject) -> list[tuple[list[Mated], list[MeshBudget]]]:
    """Meshes that run as they are drawn and whose play can be reckoned; the others are told by other checks."""
    found = []
    for group in same_meshes(well_placed(subject)):
        budgets = [budget for placed, _ in group if (budget := subject.budgets.get(_key(placed))) is not None]
        if len(budgets) == len(group):
            found.append((group, budgets))
    return found


def _key(placed: PlacedMesh) -> tuple[int, str, str]:
    return placed.stage, placed.driver.shaft, placed.driven.shaft


def _reckoned(subject: Subject) -> int:
    """Counted from the meshes themselves: both plates have a shop, and the mesh is well placed."""
    return len(well_placed(subject)) if len(subject.shops) == 2 else 0


def _each(subject: Subject, judge: Callable[[Subject, list[Mated], list[MeshBudget]], Finding | None]) -> Outcome:
    groups = _groups(subject)
    findings = [finding for group, budgets in groups if (finding := judge(subject, group, budgets)) is not None]
    return Outcome(sum(len(group) for group, _ in groups), tuple(findings))


def _finding(
    code: str,
    subject: Subject,
    group: list[Mated],
    text: str,
    measured: float,
    limit: float,
    unit: str,
    offered: list[Remedy],
    standing: Standing = Standing.COMMON_PRACTICE,
) -> Finding:
    remedy, others = chain_of(offered)
    where = group_where(subject, group)
    return Finding(code, Severity.WARNING, text, where, measured, limit, unit, standing, remedy, others)


def _binds(subject: Subject, group: list[Mated], budgets: list[MeshBudget]) -> Finding | None:
    placed = group[0][0]
    worst = max(budgets, key=lambda one: one.budget.probability_binds)
    found = worst.budget
    apart = placed.centre_mm - placed.mesh.tightest_centre_mm
    if found.probability_binds <= MOST_BINDING or apart < LEAST_APART_MM - TOUCHING_MM:
        return None  # so near by design is told by the check of the backlash
    from gearplate.layout.play import climate_of

    percent = 100.0 * found.probability_binds
    proposal = worst.proposal(climate_of(subject.play), subject.play.least_mm)
    text = (
        f"{told(group)} touch on both sides somewhere in their turn in about {percent:.2g} of 100 gearboxes: cut, "
        f"teeth and weather leave {found.likely_mm[0]:.3f} mm of backlash at the tightest. Most of the spread: "
        f"{found.share[0][0].value}. Their play asks for {proposal.added_mm:.3f} mm of added centre distance; {_AUTO}."
    )
    wider = remedies(
        "Add as much to the centre distance as the play asks for.",
        added_centre_settings(subject, placed.stage, exact(proposal.added_mm, subject.unit)),
    )
    return _finding("play-binds", subject, group, text, percent, 100.0 * MOST_BINDING, "%", wider)


def _over(subject: Subject, group: list[Mated], budgets: list[MeshBudget]) -> Finding | None:
    most = subject.play.most_mm
    if most is None:
        return None
    high = max(one.budget.likely_mm[1] for one in budgets)
    if high <= most + TOUCHING_MM:
        return None
    text = (
        f"{told(group)} have a backlash of up to {high:.3f} mm in 999 of 1000 gearboxes; the job allows {most:g} mm. "
        f"Most of the spread: {budgets[0].budget.share[0][0].value}."
    )
    allowed = exact(round(high + 0.005, 2), subject.unit)
    allow = remedies("Allow as much.", [(("play.most", allowed),)])
    return _finding("play-over", subject, group, text, high, most, "mm", allow, Standing.JOB)


def _parts(subject: Subject, group: list[Mated], budgets: list[MeshBudget]) -> Finding | None:
    placed = group[0][0]
    if placed.mesh.contact_ratio < USUAL_CONTACT - 1e-9:
        return None  # little as drawn: told by the check of the contact ratio
    widest = max(budgets, key=lambda one: one.budget.likely_centre_mm[1])
    centre = widest.budget.likely_centre_mm[1]
    ratio = widest.contact_ratio(centre)
    if ratio >= LEAST_CONTACT - 1e-9:
        return None
    text = (
        f"{told(group)} come up to {centre - placed.centre_mm:.3f} mm farther apart than drawn, and their contact "
        f"ratio falls to {ratio:.3f}: one pair of teeth parts before the next meets. Most of the spread: "
        f"{widest.budget.share[0][0].value}."
    )
    nearer: list[Remedy] = []
    if placed.added_centre_mm > USUAL_ADDED_MM + TOUCHING_MM:
        usual = exact(USUAL_ADDED_MM, subject.unit)
        nearer = remedies("Bring the gears nearer.", added_centre_settings(subject, placed.stage, usual))
    return _finding("play-parts", subject, group, text, ratio, LEAST_CONTACT, "", nearer)


RULES = (
    Rule(
        code="play-binds",
        title="Play that the scatter leaves",
        why="Holes, teeth, bearings, warmth and moisture all move the gears apart or together. Where they come so near "
        "that the teeth touch on both sides, the drive runs stiff and hot at one place of its turn, or on a cold day.",
        remedy='Take the added centre distance that gearplate play proposes (added_centre = "auto"), or mend the cause '
        "that costs most of the spread.",
        limit=f"probability that the operating backlash is not above zero at the tightest place of a turn, by the "
        f"distribution of the sum of all contributors: at most {100 * MOST_BINDING:g} in 100 (warning).",
        standing=Standing.COMMON_PRACTICE,
        source="the 2 in 100 are common practice, no source; backlash by ISO 21771; each contributor as gearplate play "
        f"tells it; {_AUTO}",
        applies_to="two gears in contact",
        check=lambda subject: _each(subject, _binds),
        present=_reckoned,
    ),
    Rule(
        code="play-over",
        title="Largest play that the job allows",
        why="Too much play knocks at every change of direction, and what the wheel does comes late. How much is too "
        "much the job says itself (play.most); without it nothing is compared to a limit.",
        remedy="Take less added centre distance, mend the cause that costs most of the spread, or allow more.",
        limit="operating backlash at the slackest place of a turn in 999 of 1000 gearboxes (the 99.9 % point of "
        "the distribution of the sum of all contributors): at most play.most (warning).",
        standing=Standing.JOB,
        source="the job itself; backlash by ISO 21771; distribution by characteristic functions (Gil-Pelaez, 1951, and "
        "Davies, 1973, from memory)",
        applies_to="two gears in contact",
        check=lambda subject: _each(subject, _over),
        present=_reckoned,
    ),
    Rule(
        code="play-parts",
        title="Contact of gears that have moved apart",
        why="Plates that grow in the heat take the shafts with them, and clearances add to it. Far enough apart one "
        "pair of teeth lets go before the next has met: the drive jerks from tooth to tooth, on warm days only.",
        remedy="Less added centre distance, a material that grows less, or more teeth on the pinion.",
        limit=f"contact ratio of the real flanks at the greatest centre distance of 999 in 1000 gearboxes: at least "
        f"{LEAST_CONTACT:g} (warning).",
        standing=Standing.COMMON_PRACTICE,
        source="1 by geometry; the 999 in 1000 is common practice, no source",
        applies_to="two gears in contact",
        check=lambda subject: _each(subject, _parts),
        present=_reckoned,
    ),
)
