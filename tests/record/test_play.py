"""The record tells the play of every mesh: the same that gearplate play tells, by another way."""

from __future__ import annotations

import math

import pytest

from gearplate.build import make
from gearplate.job.load import load_job
from gearplate.record.design_record import design_record
from tests.builders.designs import JOBS


def test_what_auto_adds_is_recorded_where_the_job_leaves_it_to_the_play() -> None:
    usual = design_record(make(load_job("compost-drive")))["train"]
    assert usual["auto_added"] == []
    train = design_record(make(load_job("compost-drive", ["stages[1].added_centre=auto"])))["train"]
    (taken,) = train["auto_added"]
    (mesh,) = [one for one in train["meshes"] if one["stage"] == 2]
    assert (taken["stage"], taken["driver_shaft"], taken["driven_shaft"]) == (2, "S1", "output")
    assert taken["added_centre_mm"] == mesh["added_centre_mm"] == taken["least_added_mm"] == 0.0254
    assert 0.0 <= taken["proposed_mm"] < 0.0254


@pytest.mark.parametrize("name", JOBS)
def test_every_mesh_has_its_play(name: str) -> None:
    for mesh in design_record(make(load_job(name)))["train"]["meshes"]:
        play = mesh["play"]
        assert play["worst_mm"][0] < play["likely_mm"][0] < play["likely_mm"][1] < play["worst_mm"][1]
        for key in ("hot_dry_mm", "cold_wet_mm"):
            assert play["worst_mm"][0] < play[key] < play["worst_mm"][1]
        mean = play["mean_mm"]
        # Normal and reference backlash differ by the cosine of the basic rack's angle alone (ISO 21771).
        angle = math.radians(mesh["pressure_angle_deg"])
        assert mean["normal"] == pytest.approx(mean["reference"] * math.cos(angle), abs=2e-6)
        assert mean["reference"] < mean["operating"] or mesh["working_pressure_angle_deg"] < mesh["pressure_angle_deg"]
        assert 0.0 <= play["probability_binds"] < 0.02  # as in every job that is shipped
        assert play["most_of_spread"]
