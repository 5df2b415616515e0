"""Rail screws that the tool places leave a wall's thickness round every relief hole of the rail."""

from __future__ import annotations

import math

import pytest

from gearplate.build import make
from gearplate.job.load import load_job


@pytest.mark.parametrize(
    "relief", ['{at = ["30 mm", "12 mm"], diameter = "8 mm"}', '{shaft = "S1", diameter = "30 mm"}']
)
def test_rail_screws_keep_off_reliefs(relief: str) -> None:
    job = load_job("compost-drive", [f"rail.reliefs=[{relief}]"])
    design = make(job)
    assert design.layout is not None
    spec = design.spec.rail
    assert spec is not None
    (one,) = spec.reliefs
    at = (0.0, 0.0) if one.shaft is None else (design.layout.shaft(one.shaft).x_mm, design.layout.shaft(one.shaft).y_mm)
    middle = (at[0] + one.x_mm, at[1] + one.y_mm)
    least = 0.5 * (one.diameter_mm + spec.screw.normal_mm) + spec.wall_mm
    assert len(design.layout.rail_holes) == 4
    assert min(math.dist(middle, screw) for screw in design.layout.rail_holes) >= least - 1e-6
    assert [finding for finding in design.findings if finding.check == "rail-drilling"] == []
