"""Finished layouts of random drives: what is told to be clear is clear, and the same job gives the same layout."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from gearplate.errors import NoSolution
from gearplate.job.load import load_job_text
from gearplate.layout.certified.model import demands_missed, model_of
from gearplate.layout.constraints import build_model
from gearplate.layout.misses import nearest_miss
from gearplate.layout.proof import angles_of
from gearplate.layout.question import question_of
from gearplate.layout.screws import with_screws
from gearplate.layout.solve import solve_layout
from gearplate.layout.stack import axial_stack
from tests.builders.drives import drive_text
from tests.layout.test_solve import collisions


def test_random_drives_that_are_certified_stand_clear_and_are_not_ruled_out_by_the_proof(deep: int) -> None:
    """Six drives: those with a certificate keep every clearance by the checks, overlap nowhere by shapely, and keep
    what the proof takes for granted. tests/whole/test_solids.py holds whole builds of such drives."""
    certified = 0
    for number in range(6 * deep):
        spec = load_job_text(drive_text(number), f"drive-{number}.toml").layout_spec
        spec = replace(spec, wishes=replace(spec.wishes, boxes=60))
        try:
            layout = solve_layout(spec)
        except NoSolution:
            continue
        if layout.certificate is None:
            continue
        certified += 1
        assert nearest_miss(spec, layout) == (), number
        assert collisions(spec, layout) == [], number
        stack = axial_stack(spec)
        sure = build_model(spec, stack, layout.rail_holes, sure=True)
        asked = with_screws(question_of(spec, stack, sure, hull_off=False, slack_mm=0.0), spec, stack, 99)
        angles = angles_of(asked, layout)
        row = np.array([[angles[asked.nodes[node].name] for node in asked.free]])
        assert demands_missed(model_of(asked), row)[0] <= 1e-6, number
        if number == 4:
            assert solve_layout(spec) == layout
    assert certified >= 2 * deep
