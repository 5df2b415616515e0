"""Every example ever shipped keeps building.

`shipped/` holds each example as it was shipped, a folder for each time that one changed: a text that stands in
profiles/jobs is copied there and never edited again.
"""

from __future__ import annotations

from pathlib import Path

import pytest

from gearplate.build import make
from gearplate.catalog import profiles_folder
from gearplate.finding import Severity
from gearplate.job.load import load_job

SHIPPED = sorted((Path(__file__).parent / "shipped").glob("*/*.toml"))


@pytest.mark.parametrize("path", SHIPPED, ids=lambda path: f"{path.parent.name}-{path.stem}")
def test_it_still_builds_without_a_warning(path: Path) -> None:
    found = [f for f in make(load_job(path)).findings if f.severity is not Severity.NOTE]
    assert found == []


def test_what_is_shipped_now_is_kept() -> None:
    kept = {(path.name, path.read_text(encoding="utf-8")) for path in SHIPPED}
    now = {(path.name, path.read_text(encoding="utf-8")) for path in (profiles_folder() / "jobs").glob("*.toml")}
    assert now
    assert now <= kept
