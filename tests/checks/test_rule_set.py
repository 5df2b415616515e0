"""The rules as a set: none without text, none twice, and their text loads no heavy library."""

from __future__ import annotations

import subprocess
import sys

import pytest

from gearplate.checks import rules
from gearplate.checks.rule import Outcome, Rule
from gearplate.checks.rules import ALL_RULES
from gearplate.checks.run import run_rules
from gearplate.finding import Finding, Severity, Standing
from tests.builders.subjects import BAD, fair_unchanged

# What the checks have to be at least, by the words that a design's record uses.
CODES = [
    "mesh-centre", "backlash", "contact-ratio", "tooth-interference", "look-alike-teeth", "gear-to-gear",
    "gear-to-shaft", "gear-to-rail", "gear-to-body", "motor-to-wheel", "motor-to-motor", "motor-to-rail",
    "hardware-clearance", "rail-face", "standoff-clearance", "keep-out", "limits-plane", "limits-axial", "web",
    "edge", "smallest-feature", "bearing-seat", "bearing-retainer", "bearing-support", "bearing-count",
    "acrylic-press-fit", "bed-size", "forbidden-material", "ground", "slot-pilot", "motor-service", "axle-service",
    "wrong-hand", "marks-room", "gap-room", "shaft-reach", "axial-float", "face-overlap", "spacer-seat", "shaft-held",
    "screw-thread", "through-plate", "on-plate", "slot-travel",
    "torque-path", "wheel-to-wheel", "rail-drilling", "motor-screws",
    "chain-room", "axle-hole",
    "play-binds", "play-over", "play-parts",
    "strength", "bearing-life",
]  # fmt: skip


def test_every_code_is_there_once() -> None:
    codes = [rule.code for rule in ALL_RULES]
    assert sorted(codes) == sorted(CODES)


@pytest.mark.parametrize("rule", ALL_RULES, ids=lambda rule: rule.code)
def test_a_rule_says_why_what_to_do_its_limit_and_where_that_comes_from(rule: Rule) -> None:
    for text in (rule.title, rule.why, rule.remedy, rule.limit, rule.source, rule.applies_to):
        assert text.strip() == text
        assert text
    assert len(rule.why) > 80, "a line or two on what goes wrong on the bench"
    assert isinstance(rule.standing, Standing)
    if rule.standing in (Standing.STANDARD, Standing.HANDBOOK):
        assert "no source" not in rule.source.split(";")[0]


@pytest.mark.parametrize("rule", ALL_RULES, ids=lambda rule: rule.code)
def test_every_rule_has_a_wrong_job(rule: Rule) -> None:
    assert (BAD / f"{rule.code}.toml").is_file()


def test_text_loads_no_heavy_library() -> None:
    code = (
        "import sys; import gearplate.checks.rules, gearplate.checks.words, gearplate.packet.explain as e;"
        "e.explain('kerf'); e.explain('web');"
        "print([m for m in ('numpy', 'shapely', 'ezdxf', 'pydantic') if m in sys.modules])"
    )
    shown = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert shown.stdout.strip() == "[]"


def test_the_fair_drive_has_no_finding_and_tells_what_was_compared() -> None:
    report = run_rules(fair_unchanged())
    assert report.findings == ()
    compared = dict(report.compared)
    assert list(compared) == [rule.code for rule in ALL_RULES]
    # Three meshes, two motors, two shafts in four bearings, by the job itself.
    assert compared["contact-ratio"] == compared["backlash"] == compared["look-alike-teeth"] == 3
    assert compared["motor-to-motor"] == 1
    assert compared["motor-to-wheel"] == 2
    assert compared["shaft-reach"] == 2
    assert compared["bearing-seat"] == 4
    assert compared["motor-service"] == 2 + 4
    assert compared["keep-out"] == compared["limits-plane"] == compared["slot-pilot"] == 0


def test_a_rule_that_compared_nothing_although_there_is_something_is_an_error() -> None:
    def blind(_: object) -> Outcome:
        return Outcome(0)

    rule = Rule("blind", "t", "w", "r", "l", Standing.GEOMETRY, "gears", blind, lambda _: 3, "s")
    report = run_rules(fair_unchanged(), (rule,))
    assert [(one.check, one.severity) for one in report.findings] == [("blind", Severity.ERROR)]
    nothing = Rule("empty", "t", "w", "r", "l", Standing.GEOMETRY, "gears", blind, lambda _: 0, "s")
    assert run_rules(fair_unchanged(), (nothing,)).findings == ()


def test_findings_come_worst_first_and_get_their_rules_words() -> None:
    def speak(*severities: Severity) -> Rule:
        found = tuple(Finding("talk", severity, "m") for severity in severities)
        return Rule(
            "talk", "t", "w", "do this", "l", Standing.GEOMETRY, "x", lambda _: Outcome(1, found), lambda _: 1, "s"
        )

    rules = (speak(Severity.NOTE, Severity.WARNING), speak(Severity.ERROR))
    report = run_rules(fair_unchanged(), rules)
    assert [one.severity for one in report.findings] == [Severity.ERROR, Severity.WARNING, Severity.NOTE]
    assert [one.remedy.text if one.remedy else None for one in report.findings] == ["do this", "do this", None]


def test_the_list_of_codes_by_module_is_that_of_the_rules() -> None:
    listed = [code for codes in rules.CODES.values() for code in codes.split()]
    assert sorted(listed) == sorted(rule.code for rule in ALL_RULES)
    assert all(rules.rule_called(rule.code) is rule for rule in ALL_RULES)
    assert rules.rule_called("no-such-code") is None
