"""Gears that cannot be, told with the line of the job."""

from __future__ import annotations

import pytest

from gearplate.errors import JobError
from gearplate.job.load import load_job_text

JOB = """format = 1
part = "impossible"
units = "inch"
material = "acetal-6mm"
cutter = "demo"
wheel = {{diameter = 4}}
motors = {{type = "generic-a", count = 1, pinion = {pinion}}}
stages = [{{driven = {driven}}}, {{driver = 32, driven = 60}}]
diametral_pitch = 20
"""


@pytest.mark.parametrize(
    ("pinion", "driven", "line", "words"),
    [
        ("{teeth = 6, shift = -0.9}", "72", 7, "severs the teeth"),
        ("20", "{teeth = 20, shift = -1}", 8, "no mesh"),
    ],
)
def test_a_gear_that_cannot_be_is_refused(pinion: str, driven: str, line: int, words: str) -> None:
    with pytest.raises(JobError) as caught:
        load_job_text(JOB.format(pinion=pinion, driven=driven), "job.toml")
    assert [(problem.line, words in problem.message) for problem in caught.value.problems] == [(line, True)]
