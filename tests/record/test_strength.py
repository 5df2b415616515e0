"""The record holds the strength of every part where the job says what its machine weighs, and says so where not."""

from __future__ import annotations

import json
from pathlib import Path

from gearplate.build import make
from gearplate.job.load import load_job
from gearplate.packet.account import account
from gearplate.record.design_record import design_record, encoded
from tests.builders.schema_check import faults

SCHEMA = json.loads((Path(__file__).parent / "design_record.schema.json").read_text("utf-8"))


def test_strength_is_recorded_by_the_jobs_own_duty() -> None:
    assert design_record(make(load_job("hopper-ratio")))["strength"] is None
    made = make(load_job("compost-drive"))
    record = json.loads(encoded(design_record(made)))
    assert list(faults(record, SCHEMA)) == []
    strength = record["strength"]
    assert strength["weakest"] == strength["ratings"][0]["part"]
    assert len(strength["ratings"]) == len(made.ratings.items) > 40
    assert strength["loads"]["ruled_by"] == "grip"


def test_the_account_tells_the_weakest_link() -> None:
    unsaid = account(design_record(make(load_job("hopper-ratio"))))
    assert "Strength: not rated, the job says no duty.mass" in unsaid
    told = account(design_record(make(load_job("compost-drive"))))
    assert "Strength: output bore in the outboard plate, bearing stress gives way first, at 1.60" in told.replace(
        "\n  ", " "
    )
