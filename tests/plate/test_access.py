"""Access holes for drivers, through the whole build."""

from __future__ import annotations

from gearplate.build import make
from gearplate.job.load import load_job
from gearplate.layout.design import HoleKind


def test_a_roomy_limit_does_not_keep_the_driver_out() -> None:
    job = load_job("compost-drive", ["limits.up=6", "limits.forward=6", "limits.back=6"])
    free = make(load_job("compost-drive"))
    held = make(job)
    count = [sum(f.kind is HoleKind.ACCESS for f in design.plates[1].features) for design in (free, held)]
    assert count[0] == count[1] == 6
