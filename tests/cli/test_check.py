"""`gearplate check`: the account with its sums, JSON for programs, nothing written."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from tests.builders.command import GOOD, WRONG, call, contents, job_in


def test_it_tells_what_would_be_built_and_writes_nothing(tmp_path: Path) -> None:
    job_in(tmp_path)
    answer = call("check", folder=tmp_path)
    assert (answer.code, answer.err) == (0, "")
    assert list(contents(tmp_path)) == ["job.toml"]
    # (12 + 72) / (2 x 20) = 2.1 in of reference distance; the pinion is sold with a shift of half a module.
    assert "(12 + 72) / (2 × 20) = 2.1000 in" in answer.out
    assert "54.000 mm (2.1260 in)" in answer.out
    assert "0 findings" in answer.out
    assert "Still assumed" in answer.out
    assert "Files in" not in answer.out


NO_PLACE = 'format = 1\nbase = "compost-drive"\nunits = "inch"\nwheel.diameter = 6\n'


@pytest.mark.parametrize("least", ["hull", "height", "width"])
def test_no_place_is_told_whatever_a_layout_was_to_be_least_in(tmp_path: Path, least: str) -> None:
    job_in(tmp_path, f'{NO_PLACE}layout = {{least = "{least}"}}\n')
    answer = call("check", folder=tmp_path)
    assert (answer.code, answer.err) == (1, "")
    assert "ERROR layout" in answer.out


def test_json_is_the_record_and_nothing_else(tmp_path: Path) -> None:
    job_in(tmp_path)
    answer = call("check", "--json", folder=tmp_path, encoding="ascii")
    record = json.loads(answer.out)
    assert answer.err == ""
    assert record["record"] == "gearplate-design/1"
    assert record["status"] == "ok"
    call("build", folder=tmp_path)
    assert record == json.loads((tmp_path / "out" / "job" / "design.json").read_bytes())


def test_an_error_ends_with_1_and_says_what_works(tmp_path: Path) -> None:
    job_in(tmp_path, WRONG)
    answer = call("check", folder=tmp_path)
    assert answer.code == 1
    for part in ("ERROR motor-to-wheel", "there is -28.800 mm", "it needs at least 3.000 mm", 'side = "inboard"'):
        assert part in " ".join(answer.out.split())
    assert "tried" in answer.out
    record = json.loads(call("check", "--json", folder=tmp_path).out)
    assert record["status"] == "refused"
    remedy = record["findings"][0]["remedy"]
    assert remedy["tried"]
    # What it says is what it takes.
    ((key, value),) = remedy["set"].items()
    assert call("check", "--set", f"{key}={value}", folder=tmp_path).code == 0


def test_set_changes_one_value_for_this_run(tmp_path: Path) -> None:
    job_in(tmp_path)
    answer = call("check", "-s", "stages[0].driven=60", "--set", 'wheel.diameter="5 in"', folder=tmp_path)
    assert answer.out.startswith("test-drive A: 5 : 1")
    assert (tmp_path / "job.toml").read_text(encoding="utf-8") == GOOD


def test_a_wrong_job_is_one_report_of_all_its_faults(tmp_path: Path) -> None:
    job_in(tmp_path, GOOD.replace("driven", "drivn").replace("cutter", "cuter") + "plates.margin = 'wide'\n")
    answer = call("check", folder=tmp_path)
    assert (answer.code, answer.out) == (2, "")
    head, *problems = answer.err.splitlines()
    assert head.startswith(f"{len(problems)} things to mend. Nothing was written.")
    assert len(problems) >= 3
    assert all(problem.startswith("  job.toml") for problem in problems)
    assert any("Did you mean" in problem and "driven" in problem for problem in problems)


def test_a_program_gets_the_faults_as_json(tmp_path: Path) -> None:
    job_in(tmp_path, GOOD.replace("driven", "drivn"))
    answer = call("check", "--json", folder=tmp_path)
    assert answer.code == 2
    problems = json.loads(answer.out)["problems"]
    assert problems[0]["file"] == "job.toml"
    assert problems[0]["line"] == 8
    assert "drivn" in problems[0]["key"]
    assert len(answer.err.splitlines()) == 1 + len(problems)


def test_a_setting_that_is_none(tmp_path: Path) -> None:
    job_in(tmp_path)
    for wrong in ("wheel", "wheel.diamter=5", "wheel.diameter=", "=5"):
        answer = call("check", "--set", wrong, folder=tmp_path)
        assert answer.code == 2
        assert "--set" in answer.err
