"""The order in which findings are told: the worst first, and what causes others before what it causes."""

from __future__ import annotations

from collections.abc import Iterable
from functools import cache

from gearplate.finding import Finding, Severity

GRAVEST_FIRST = (Severity.ERROR, Severity.WARNING, Severity.NOTE)
NO_LAYOUT = "layout"
"""Told by the build where no place was found: everything else is said of its nearest miss."""
BEFORE_ANY_LAYOUT = ("forbidden-material", "look-alike-teeth")
"""Errors of sheets and gears by themselves: they are what to mend first, wherever the shafts might stand."""


def in_order(findings: Iterable[Finding]) -> list[Finding]:
    """Errors before warnings before notes; that no place was found before all else but errors that cause it or that no
    other place would mend; then by the order of the rules (each stands before those that its fault would fire); within
    a rule what misses most, then by place and words."""
    return sorted(
        findings,
        key=lambda finding: (
            not (finding.severity is Severity.ERROR and finding.check in BEFORE_ANY_LAYOUT),
            finding.check != NO_LAYOUT,
            GRAVEST_FIRST.index(finding.severity),
            *rank(finding.check),
            -_miss(finding),
            finding.where.plate or "",
            finding.where.shafts,
            finding.where.features,
            finding.message,
        ),
    )


def rank(code: str) -> tuple[int, str]:
    """Where a rule stands among all; codes that are no rule's come last, by their name."""
    places = _places()
    return places.get(code, len(places)), code


@cache
def _places() -> dict[str, int]:
    from gearplate.checks.rules import ALL_RULES

    return {rule.code: index for index, rule in enumerate(ALL_RULES)}


def _miss(finding: Finding) -> float:
    """By how much a limit is missed, to a micrometre, in whatever unit the rule has."""
    if finding.measured is None or finding.limit is None:
        return 0.0
    return round(abs(finding.limit - finding.measured), 3)
