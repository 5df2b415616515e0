"""The train nearest to a reduction that the gears on hand do not make."""

from __future__ import annotations

import pytest

from gearplate.job.load import load_job_text
from gearplate.job.train_choice import nearest_train

JOB = """
format = 1
part = "sieve-drive"
cutter = "demo"
material = "acetal-6mm"
wheel = {{diameter = "4 in"}}
module = 1.25
reduction = {{{}}}
motors = {{type = "generic-b", pinion = 11}}
"""


@pytest.mark.parametrize(
    ("reduction", "nearest"),
    [
        ('ratio = "0.2", driven = [60]', 60 / 11),
        ('ratio = "900", stages = 3, drivers = [18, 20], driven = [60, 84]', 84 / 11 * (84 / 18) ** 2),
        ('ratio = "10", within = 0.001, stages = 2, drivers = [18], driven = [30, 60]', 60 / 11 * 30 / 18),
    ],
)
def test_the_nearest_lies_at_an_end_of_what_the_gears_make_or_between(reduction: str, nearest: float) -> None:
    wish = load_job_text(JOB.format(reduction)).wish
    assert wish is not None
    train = nearest_train(wish)
    assert train is not None
    got = 1.0
    for stage in train.stages:
        assert stage.driver is not None
        got *= stage.driven.teeth / stage.driver.teeth
    assert got == pytest.approx(nearest)
