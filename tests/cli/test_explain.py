"""`gearplate explain`: every code and word, with a job's numbers where there is one."""

from __future__ import annotations

import json
from pathlib import Path

from tests.builders.command import call, job_in


def test_alone_it_lists_what_can_be_asked(tmp_path: Path) -> None:
    listed = call("explain", folder=tmp_path)
    assert listed.code == 0
    known = json.loads(call("explain", "--json", folder=tmp_path).out)
    codes = known["codes"]
    assert {"kerf", "backlash", "module"} <= set(known["words"])
    assert len(codes) > 30
    for code in codes:
        assert f"  {code} " in listed.out
        answer = call("explain", code, folder=tmp_path)
        assert (answer.code, answer.err) == (0, "")
        assert answer.out.startswith(f"{code}: ")
        assert json.loads(call("explain", code, "--json", folder=tmp_path).out)["code"] == code


def test_a_word(tmp_path: Path) -> None:
    assert call("explain", "kerf", folder=tmp_path).out.startswith("kerf")
    assert json.loads(call("explain", "kerf", "--json", folder=tmp_path).out)["word"] == "kerf"


def test_with_a_job_its_own_numbers_stand_there(tmp_path: Path) -> None:
    job_in(tmp_path)
    plain = call("explain", "mesh-centre", folder=tmp_path).out
    answer = call("explain", "mesh-centre", "job.toml", folder=tmp_path)
    assert answer.code == 0
    assert answer.out.startswith(plain.rstrip("\n"))
    assert "test-drive A" in answer.out
    assert "2.1260 in" in answer.out


def test_a_program_gets_the_jobs_numbers_too(tmp_path: Path) -> None:
    job_in(tmp_path)
    plain = json.loads(call("explain", "mesh-centre", "--json", folder=tmp_path).out)
    answer = json.loads(call("explain", "mesh-centre", "job.toml", "--json", folder=tmp_path).out)
    design = answer.pop("design")
    assert answer == plain
    assert "2.1260 in" in " ".join(design["numbers"])
    assert (design["part"], design["revision"], design["findings"]) == ("test-drive", "A", [])
    assert design["compared"] > 0


def test_what_is_not_there_has_neighbours_and_no_job_is_built_for_it(tmp_path: Path) -> None:
    answer = call("explain", "backlsh", "no-such-job.toml", folder=tmp_path)
    assert answer.code == 2
    assert "Did you mean backlash?" in answer.err
    assert call("explain", "backlash", "no-such-job.toml", folder=tmp_path).code == 2
