"""Run every rule over a design; count what each compared."""

from __future__ import annotations

from dataclasses import dataclass, replace

from gearplate.checks.order import in_order
from gearplate.checks.rule import Rule
from gearplate.checks.subject import Subject
from gearplate.finding import Finding, Remedy, Severity, Standing


@dataclass(frozen=True, slots=True)
class Report:
    """How many things each rule compared, by code, and all findings in the order in which they are told."""

    compared: tuple[tuple[str, int], ...]
    findings: tuple[Finding, ...]


def run_rules(subject: Subject, rules: tuple[Rule, ...] | None = None) -> Report:
    """Every rule over one design. A rule that compared nothing although the job has such things is an error.

    An error or warning without a remedy of its own gets that of its rule, in words.
    """
    if rules is None:
        from gearplate.checks.rules import ALL_RULES

        rules = ALL_RULES
    compared: list[tuple[str, int]] = []
    findings: list[Finding] = []
    for rule in rules:
        outcome = rule.check(subject)
        compared.append((rule.code, outcome.compared))
        findings += (_with_words(rule, finding) for finding in outcome.findings)
        if outcome.compared == 0 and rule.present(subject) > 0:
            findings.append(
                Finding(
                    rule.code,
                    Severity.ERROR,
                    f"the check {rule.code} compared nothing although this job has {rule.applies_to}: "
                    "that is a fault of gearplate, please report it.",
                    standing=Standing.GEOMETRY,
                )
            )
    return Report(tuple(compared), tuple(in_order(findings)))


def _with_words(rule: Rule, finding: Finding) -> Finding:
    if finding.remedy is not None or finding.severity is Severity.NOTE:
        return finding
    return replace(finding, remedy=Remedy(rule.remedy))
