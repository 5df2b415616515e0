from __future__ import annotations

import re

import pytest

from gearplate.job.base import shipped_jobs
from gearplate.job.choose_train import ChosenStage, with_chosen_train
from gearplate.job.load import load_job_text
from gearplate.job.new import starting_job


@pytest.mark.parametrize("schema_there", [False, True])
def test_it_is_short_and_every_line_says_why(schema_there: bool) -> None:
    lines = starting_job(schema_there=schema_there).splitlines()
    assert len(lines) <= 30
    assert max(map(len, lines)) <= 110
    assert lines[0] == ("#:schema job.schema.json" if schema_there else "##:schema job.schema.json")
    above_table = re.compile(r"\[[a-z]+\]")
    for line in lines:
        says = "#" in line or not line.strip() or above_table.fullmatch(line) or line.startswith(("format", "stages"))
        assert says, line


def test_it_is_a_whole_job() -> None:
    job = load_job_text(starting_job())
    assert job.identity.part == "my-drive"
    assert len(job.layout_spec.motors) == 2
    assert job.layout_spec.outboard.measured_mm == 6.1


def test_what_it_says_of_the_train_stays_true_of_another() -> None:
    """`trains --choose` writes other counts under these words."""
    text = starting_job()
    (said,) = [line for line in text.splitlines() if line.startswith("# The train")]
    assert not re.search(r"\d", said)
    job = load_job_text(text)
    other = with_chosen_train(text, job, [ChosenStage(11, 62), ChosenStage(28, 52)])
    assert said in other
    assert "stages = [{driven = 62}, {driver = 28, driven = 52}]" in other


def test_no_shipped_example_does_the_sum_of_its_counts_in_a_comment() -> None:
    for name, path in shipped_jobs().items():
        for line in path.read_text(encoding="utf-8").splitlines():
            assert not re.search(r"#.*\d+/\d+.*=", line), name
