"""Each file in tests/bad/job is wrong in the ways that its own `#!` lines say, and in no other."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from gearplate.errors import JobError
from gearplate.job.base import shipped_jobs
from gearplate.job.load import load_job, load_job_text

FOLDER = Path(__file__).parent.parent / "bad" / "job"


def expected(path: Path) -> list[tuple[int | None, str, str]]:
    """Line, key and words of each problem, from lines such as `#! 7 | wheel.diameter | did you mean`."""
    rows = [line[2:].split("|") for line in path.read_text().splitlines() if line.startswith("#!")]
    return [(None if line.strip() == "-" else int(line), key.strip(), words.strip()) for line, key, words in rows]


@pytest.mark.parametrize("path", sorted(FOLDER.glob("*.toml")), ids=lambda path: path.stem)
def test_every_fault_is_told_and_no_other(path: Path) -> None:
    wanted = expected(path)
    assert wanted, "this file does not say what is wrong in it"
    with pytest.raises(JobError) as caught:
        load_job(path)
    left = list(caught.value.problems)
    for line, key, words in wanted:
        found = [problem for problem in left if (problem.line, problem.key) == (line, key) and words in str(problem)]
        assert len(found) == 1, f"{line} {key} {words}: {caught.value}"
        left.remove(found[0])
    assert not left
    assert all(problem.file.startswith(str(FOLDER)) for problem in caught.value.problems)


def test_there_are_bad_jobs() -> None:
    assert len(list(FOLDER.glob("*.toml"))) > 100


def test_the_value_is_shown_as_it_is_written(tmp_path: Path) -> None:
    (tmp_path / "job.toml").write_text('format = 1\nbase = "compost-drive"\nwheel.width = "1/0 in" # why not\n')
    with pytest.raises(JobError) as caught:
        load_job(tmp_path / "job.toml")
    (problem,) = caught.value.problems
    assert (problem.line, problem.key, problem.value) == (3, "wheel.width", '"1/0 in"')
    assert "3 to 150 mm" in problem.accepted
    assert "0.1181 to 5.906 in" in problem.accepted  # 3 / 25.4 and 150 / 25.4


def test_a_loop_lists_its_files() -> None:
    with pytest.raises(JobError) as caught:
        load_job(FOLDER / "loop-a.toml")
    names = str(caught.value.problems[0].message).split("loop: ")[1]
    assert [Path(name).name for name in names.removesuffix(".").split(" -> ")] == [
        "loop-a.toml",
        "loop-b.toml",
        "loop-a.toml",
    ]


def test_a_mistyped_key_is_told_once_and_not_as_missing_too() -> None:
    text = shipped_jobs()["compost-drive"].read_text(encoding="utf-8")
    wrong = text.replace("motors = ", "motor = ").replace("{driver = 32,", "{drivr = 32,")
    with pytest.raises(JobError) as caught:
        load_job_text(wrong)
    assert sorted(problem.key for problem in caught.value.problems) == ["motor", "stages[1].drivr"]
    assert all("Did you mean" in problem.message for problem in caught.value.problems)


def test_a_missing_name_says_where_names_are_listed() -> None:
    text = shipped_jobs()["compost-drive"].read_text(encoding="utf-8")
    with pytest.raises(JobError) as caught:
        load_job_text(re.sub(r"(?m)^(cutter|material) =.*$", "", text))
    assert [problem.message for problem in caught.value.problems] == ["This key is missing."] * 2
    assert {problem.accepted.partition("with: ")[2] for problem in caught.value.problems} == {
        "gearplate profiles cutters)", "gearplate profiles materials)",
    }  # fmt: skip


def test_a_decimal_comma_is_told_as_such() -> None:
    with pytest.raises(JobError, match=r"line 2: Column \d+: a decimal mark is a point here: 4\.5\. The line reads"):
        load_job_text("format = 1\nwheel.diameter = 4,5  # over the tread\n")


@pytest.mark.parametrize(
    ("written", "told"),
    [
        ("whel.diameter = 4", "line 2: whel.diameter = 4: `whel` is not a key here."),
        ("whel = {diameter = 4}", "line 2: whel = {diameter = 4}: `whel` is not a key here."),
        ("[whel]\ndiameter = 4", "line 2: whel: `whel` is not a key here."),
        ("[[hols]]\nname = 'x'", "line 2: hols: `hols` is not a key here."),
        ("shafts.S1.foo.bar = 3", "line 2: shafts.S1.foo.bar = 3: `foo` is not a key here."),
        ("[motors]\ntype = 'generic-a'\nscrew = 2", "line 4: motors.screw = 2: `screw` is not a key here."),
        ("[[motors]]\ntype = 'generic-a'\nscrew = 2", "line 4: motors[0].screw = 2: `screw` is not a key here."),
        ("stages = [{driven = '72'}]", "stages[0].driven = '72': This is text: write 72 without quotes."),
        ("standoffs.count = '3'", "This is not a whole number: write 3 without quotes."),
        (
            "stages = [{driven = 72, {driver = 32, driven = 60}]",
            "a key is expected here: letters, digits, - and _, or in quotes; perhaps a } is missing before it.",
        ),
    ],
)
def test_a_problem_names_what_its_writer_wrote(written: str, told: str) -> None:
    with pytest.raises(JobError) as caught:
        load_job_text(f'base = "compost-drive"\n{written}\n')
    assert told in str(caught.value)


def test_what_is_missing_in_a_single_table_of_motors_is_named_without_a_number() -> None:
    text = shipped_jobs()["compost-drive"].read_text(encoding="utf-8").replace(", pinion = 12", "")
    with pytest.raises(JobError, match=r": motors\.pinion: This key is missing\."):
        load_job_text(text)


def test_a_setting_has_no_line() -> None:
    with pytest.raises(JobError) as caught:
        load_job("compost-drive", sets=("wheel.diameter=50",))
    assert str(caught.value).startswith("--set wheel.diameter=50: wheel.diameter = 50: a bare 50 here")
