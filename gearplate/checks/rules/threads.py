"""Screws in their threads: how much holds, and where they end."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from gearplate.checks.job_keys import exact
from gearplate.checks.rule import Outcome, Rule
from gearplate.checks.rules.axial import plan_of
from gearplate.finding import Finding, Remedy, Severity, Standing, Where

if TYPE_CHECKING:
    from gearplate.checks.subject import Subject
    from gearplate.layout.axial.parts import ScrewPlan

TOUCHING_MM = 1e-6
SHORTEST_THREAD = 0.5  # of the wanted engagement: less does not hold


def _screws(subject: Subject) -> Outcome:
    compared = 0
    findings = []
    for plan in plan_of(subject).screws:
        if plan.what == "rail":
            compared += plan.count
            findings += _rail_ends(subject, plan)
        if plan.nut or plan.thread_mm is None:
            continue
        compared += plan.count
        found = _bottoms(plan) or _too_short(subject, plan)
        if found is not None:
            findings.append(found)
    return Outcome(compared, tuple(findings))


def rail_screws_end_mm(subject: Subject, plan: ScrewPlan) -> float:
    """z at which the rail's screws end: past the wall inside the rail, or past the outboard plate astride it."""
    from gearplate.layout.spec import Mount

    spec = subject.layout_spec
    washer = plan.screw.washer_thickness_mm if spec.washers else 0.0
    wall = spec.rail.wall_mm if spec.rail is not None and spec.rail.mount is Mount.BESIDE else 0.0
    return subject.layout.stack.outboard[1] + wall + washer + plan.engaged_mm


def _rail_ends(subject: Subject, plan: ScrewPlan) -> list[Finding]:
    """Ends of the rail's screws beyond their nuts: at the far wall inside the rail, or astride it at the wheel."""
    from gearplate.layout.spec import Mount

    spec, stack, rail = subject.layout_spec, subject.layout.stack, subject.layout_spec.rail
    if rail is None or stack.rail is None:
        return []
    inside = rail.mount is Mount.BESIDE
    end = rail_screws_end_mm(subject, plan)
    limit, what = (stack.rail[1] - rail.wall_mm, "the rail's far wall") if inside else (stack.wheel[0], "the wheel")
    reach = 0.5 * (spec.wheel.diameter_mm + plan.screw.nominal_mm)
    met = [place for place in subject.layout.rail_holes if inside or math.hypot(*place) < reach]
    if end < limit - TOUCHING_MM or not met:
        return []
    x, y = met[0]
    return [
        Finding(
            "screw-thread",
            Severity.ERROR,
            f"the rail's screws ({plan.screw.name} x {plan.length_mm:g} mm) end {end:.3f} mm beyond the outboard "
            f"plate's face, and {what} stands at {limit:.3f} mm.",
            Where(x_mm=x, y_mm=y),
            end,
            limit,
            "mm",
            Standing.GEOMETRY,
            None if inside else Remedy("Set the wheel farther out.", (("wheel.gap", exact(end + 1.0, subject.unit)),)),
        )
    ]


def _name(plan: ScrewPlan) -> str:
    whom = f" of {' and '.join(plan.whom)}" if plan.whom else ""
    return f"{plan.screw.name} x {plan.length_mm:g} mm, the shortest screw on hand{whom} ({plan.what}),"


def _bottoms(plan: ScrewPlan) -> Finding | None:
    assert plan.thread_mm is not None
    if plan.engaged_mm <= plan.thread_mm + TOUCHING_MM:
        return None
    return Finding(
        "screw-thread",
        Severity.ERROR,
        f"{_name(plan)} goes {plan.engaged_mm:.3f} mm into a thread of {plan.thread_mm:.3f} mm: it jams on the bottom, "
        "or presses into the winding, before it clamps.",
        Where(shafts=plan.whom),
        plan.engaged_mm,
        plan.thread_mm,
        "mm",
        Standing.GEOMETRY,
    )


def _too_short(subject: Subject, plan: ScrewPlan) -> Finding | None:
    if plan.engaged_mm >= plan.wanted_mm - TOUCHING_MM or plan.thread_mm is None:
        return None
    shallow = plan.thread_mm - plan.screw.pitch_mm < plan.wanted_mm - TOUCHING_MM
    if shallow and plan.engaged_mm >= SHORTEST_THREAD * plan.wanted_mm - TOUCHING_MM:
        return None  # the motor's own holes are no deeper: nobody can help it, and half of it holds
    error = plan.engaged_mm < SHORTEST_THREAD * plan.wanted_mm - TOUCHING_MM
    remedy = Remedy("Leave the washers out.", (("plates.washers", False),)) if subject.layout_spec.washers else None
    text = f"{plan.screw.name} x {plan.length_mm:g} mm" + (f" of {' and '.join(plan.whom)}" if plan.whom else "")
    return Finding(
        "screw-thread",
        Severity.ERROR if error else Severity.WARNING,
        f"{text} ({plan.what}) holds by {max(plan.engaged_mm, 0.0):.3f} mm of thread, and the next longer one on hand "
        "would meet the bottom.",
        Where(shafts=plan.whom),
        plan.engaged_mm,
        (SHORTEST_THREAD if error else 1.0) * plan.wanted_mm,
        "mm",
        Standing.FROM_MEMORY,
        remedy,
    )


RULES = (
    Rule(
        code="screw-thread",
        title="Thread that a screw has",
        why="A screw that meets the bottom of a motor's tapped hole feels tight and clamps nothing, or goes on into "
        "the winding. One with too little thread tears it out of aluminium.",
        remedy="Another washer, a thinner or thicker plate, or screws of another length in fasteners.toml.",
        limit="one diameter of thread at least (warning), half of it at the very least (error), where the hole is deep "
        "enough; never to its bottom, and the rail's screws not to its far wall or the wheel (errors). Lengths are "
        "those of the fasteners' table; one pitch stays free.",
        standing=Standing.FROM_MEMORY,
        source="handbooks, from memory: one diameter in steel, one and a half in aluminium",
        applies_to="screws into motors, standoffs and the rail",
        check=_screws,
        present=lambda subject: sum(
            plan.count
            for plan in plan_of(subject).screws
            if plan.what == "rail" or (not plan.nut and plan.thread_mm is not None)
        ),
    ),
)
