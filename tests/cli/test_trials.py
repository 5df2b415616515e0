"""How many builds are spent on remedies: none where each of them would take as long as the first one did."""

from __future__ import annotations

from types import SimpleNamespace
from typing import Any

import pytest

from gearplate.cli.made import MOST_THINGS, TRIALS, trials
from gearplate.finding import Severity
from gearplate.studies.remedies import SEARCH


def count(findings: int, wish: bool = False, check: str = "web", things: int = 100) -> int:
    spec: Any = SimpleNamespace(wish=object() if wish else None, plate_spec=SimpleNamespace(lightening=False))
    found = [SimpleNamespace(severity=Severity.ERROR, check=check)] * findings
    design: Any = SimpleNamespace(findings=found, layout=SimpleNamespace(bodies=[None] * things), plates=())
    return trials(spec, design)


@pytest.mark.parametrize("wish", [False, True])
def test_a_job_with_little_wrong_has_its_remedies_tried(wish: bool) -> None:
    assert count(TRIALS[0][0], wish) > 0


def test_a_crowded_job_has_none_tried() -> None:
    assert count(1, things=MOST_THINGS) > 0
    assert count(1, things=MOST_THINGS + 1) == 0


@pytest.mark.parametrize("check", ["web", "layout"])
def test_trains_are_not_sought_again_where_much_is_wrong(check: str) -> None:
    assert count(TRIALS[0][0] + 1, wish=True, check=check) == 0


@pytest.mark.parametrize("findings", [1, TRIALS[-1][0]])
def test_where_no_place_was_found_a_way_out_is_looked_for(findings: int) -> None:
    assert count(findings, check="layout") >= SEARCH
