"""Findings are told worst first, and what causes others before what it causes."""

from __future__ import annotations

import itertools

import pytest

from gearplate.build import make
from gearplate.checks.order import in_order, rank
from gearplate.finding import Finding, Severity, Where
from gearplate.job.load import load_job_text
from gearplate.record.design_record import design_record

W, E, NOTE = Severity.WARNING, Severity.ERROR, Severity.NOTE

# What is wrong with the first makes the second come about.
CAUSES = [
    ("look-alike-teeth", "mesh-centre"),
    ("mesh-centre", "backlash"),
    ("mesh-centre", "contact-ratio"),
    ("tooth-interference", "contact-ratio"),
    ("gap-room", "gear-to-body"),
    ("gap-room", "shaft-reach"),
    ("gear-to-gear", "hardware-clearance"),
    ("motor-to-rail", "rail-face"),
    ("bearing-seat", "edge"),
    ("web", "marks-room"),
    ("hardware-clearance", "motor-service"),
    ("forbidden-material", "bearing-seat"),
]


@pytest.mark.parametrize(("cause", "effect"), CAUSES)
def test_a_cause_stands_before_its_effect(cause: str, effect: str) -> None:
    assert rank(cause) < rank(effect) < rank("no such code")
    told = in_order([Finding(effect, E, "effect."), Finding(cause, E, "cause.")])
    assert [one.check for one in told] == [cause, effect]


def test_no_place_found_comes_first_then_the_gravest() -> None:
    mixed = [
        Finding("web", NOTE, "n."),
        Finding("gear-to-gear", W, "w."),
        Finding("web", E, "thin.", measured=1.0, limit=2.0, unit="mm"),
        Finding("web", E, "thinner.", Where("inboard"), measured=0.5, limit=2.0, unit="mm"),
        Finding("layout", E, "no place."),
        Finding("backlash", E, "none."),
    ]
    wanted = ["no place.", "none.", "thinner.", "thin.", "w.", "n."]
    for some in itertools.permutations(mixed):
        assert [one.message for one in in_order(some)] == wanted


def test_teeth_that_do_not_run_together_are_told_before_the_layout_that_they_make() -> None:
    job = load_job_text(
        ASTRIDE.partition("rail =")[0]
        .replace("pitch = 20", "pitch = 32")
        .replace("{driven = 72}", '{driven = {teeth = 72, module = "0.8 mm"}}')
    )
    assert [one["check"] for one in design_record(make(job))["findings"]][:2] == ["look-alike-teeth", "layout"]
    cause, effect = Finding("forbidden-material", E, "burns."), Finding("layout", E, "no place.")
    for some in itertools.permutations((cause, effect, Finding("look-alike-teeth", W, "w."))):
        assert [one.message for one in in_order(some)] == ["burns.", "no place.", "w."]


def test_findings_alike_in_all_else_are_told_by_place_and_words() -> None:
    both = [
        Finding("web", E, "b.", Where("inboard")),
        Finding("web", E, "a.", Where("inboard")),
        Finding("web", E, "c."),
    ]
    assert (
        [one.message for one in in_order(both)]
        == [one.message for one in in_order(reversed(both))]
        == ["c.", "a.", "b."]
    )


ASTRIDE = """format = 1
part = "astride"
units = "inch"
cutter = "demo"
material = "acetal-6mm"
wheel = {diameter = 6}
diametral_pitch = 20
stages = [{driven = 72}, {driver = 32, driven = 60}]
motors = {type = "generic-a", count = 2, pinion = 12, side = "inboard"}
rail = {mount = "astride", height = 1, width = 1.5, wall = 0.125, count = 2}
"""


def test_an_axle_inside_a_rail_astride_is_told_by_its_key_and_mended_by_it() -> None:
    job = load_job_text(ASTRIDE, "astride.toml")
    record = design_record(make(job))
    first, cause = record["findings"][:2]
    assert first["check"] == "layout"
    assert (cause["check"], cause["where"]["shafts"]) == ("gear-to-rail", ["output"])
    assert (
        "The axle stands 12.700 mm over the bottom of a rail 25.400 mm high (rail.axle_from_bottom)" in cause["message"]
    )
    # gear of 60 teeth: 31 modules of 1.27 mm and 1 mm over the rail's 25.4 mm: 65.77 mm
    assert cause["remedy"]["set"] == {"rail.axle_from_bottom": "2.59 in"}
    assert [one for one in make(job.changed(cause["remedy"]["set"])).findings if one.severity is E] == []


def test_with_a_small_wheel_it_names_the_wheel_too() -> None:
    job = load_job_text(ASTRIDE.replace("diameter = 6", "diameter = 4"), "astride.toml")
    cause = next(one for one in make(job).findings if one.check == "gear-to-rail" and "output" in one.where.shafts)
    assert cause.remedy is not None
    assert dict(cause.remedy.set) == {"rail.axle_from_bottom": "2.59 in", "wheel.diameter": "5.455 in"}
    assert "wheel of 5.455 in" in cause.remedy.text
    assert [one for one in make(job.changed(dict(cause.remedy.set))).findings if one.severity is E] == []
