from __future__ import annotations

import re

from gearplate.job.load import load_job_text
from gearplate.job.new import starting_job


def test_it_is_short_and_every_line_says_why() -> None:
    lines = starting_job().splitlines()
    assert len(lines) <= 30
    assert max(map(len, lines)) <= 110
    assert lines[0] == "#:schema job.schema.json"
    above_table = re.compile(r"\[[a-z]+\]")
    for line in lines:
        says = "#" in line or not line.strip() or above_table.fullmatch(line) or line.startswith(("format", "stages"))
        assert says, line


def test_it_is_a_whole_job() -> None:
    job = load_job_text(starting_job())
    assert job.identity.part == "my-drive"
    assert len(job.layout_spec.motors) == 2
    assert job.layout_spec.outboard.measured_mm == 6.1


def test_its_ratio_is_the_one_that_it_says() -> None:
    text = starting_job()
    spec = load_job_text(text).layout_spec
    ratio = 1.0
    drivers = [spec.motors[0].pinion, *[stage.driver for stage in spec.train.stages[1:]]]
    for driver, stage in zip(drivers, spec.train.stages, strict=True):
        assert driver is not None
        ratio *= stage.driven.teeth / driver.teeth
    assert f"= {ratio:g} turns" in text
