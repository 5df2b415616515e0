"""The rules on play: at their limits, quiet where another check tells the same, and quick."""

from __future__ import annotations

import time

from gearplate.checks.rules import play
from gearplate.finding import Severity, Standing
from gearplate.layout.play import LEAST_ADDED_MM
from tests.builders.subjects import fair, one, run, severities

MICROMETRE = 0.001


def test_a_mesh_that_binds_in_more_than_the_limit_is_told() -> None:
    mild, cold = fair(play={"thickness_class": "h26"}), fair(play={"thickness_class": "h23", "hall": [-20, 10]})
    for subject in (mild, cold):
        most = max(budget.budget.probability_binds for budget in subject.budgets.values())
        assert bool(run("play-binds", subject).findings) is (most > 0.02)
    assert severities("play-binds", cold)[0] is Severity.WARNING
    found = run("play-binds", cold).findings[0]
    assert found.measured is not None
    assert found.measured > 2.0
    assert found.limit == 2.0  # of 100 gearboxes
    assert "never under 0.0254 mm" in found.message  # what auto takes
    assert play.LEAST_ADDED_MM == LEAST_ADDED_MM


def test_the_largest_play_is_held_to_a_micrometre() -> None:
    high = max(budget.budget.likely_mm[1] for budget in fair().budgets.values())
    assert severities("play-over", fair(play={"most": f"{high + MICROMETRE:.6f} mm"})) == []
    over = one("play-over", fair(play={"most": f"{high - MICROMETRE:.6f} mm"}))
    assert (over.severity, over.standing) == (Severity.WARNING, Standing.JOB)
    assert severities("play-over", fair()) == []  # nothing said, nothing held
    assert run("play-over", fair()).compared == 3


def test_contact_that_ends_in_the_heat_is_told_and_a_short_one_as_drawn_is_left_to_its_own_check() -> None:
    hot = one("play-parts", fair(added_centre=0.18))
    assert hot.measured is not None
    assert 0.9 < hot.measured < 1.0
    short = fair(stages=[{"driven": {"teeth": 72, "tip_diameter": 91.9}}, {"driver": 32, "driven": 60}])
    assert severities("play-parts", short) == []
    assert severities("contact-ratio", short) != []


def test_no_backlash_as_drawn_is_left_to_its_own_check() -> None:
    none = fair(added_centre=0, play={"thickness_class": "h21", "hall": [-30, 0]})
    assert severities("play-binds", none) == []
    assert severities("backlash", none) != []


def test_the_closed_form_costs_a_build_next_to_nothing() -> None:
    subject = fair()
    begun = time.process_time()
    for code in ("play-binds", "play-over", "play-parts"):
        run(code, subject)
    assert time.process_time() - begun < 0.05
