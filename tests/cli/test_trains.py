"""`gearplate trains`: the list in three forms, the options, and a train written back."""

from __future__ import annotations

import csv
import io
import json
from pathlib import Path

import pytest

from tests.builders.command import call

FEW = ("--drivers", "28,32", "--driven", "54-84")


def test_the_list_says_what_was_searched_found_and_dropped(tmp_path: Path) -> None:
    answer = call("trains", "compost-drive", "--top", "4", folder=tmp_path)
    assert answer.code == 0
    assert "Trains for compost-drive: 11.25 to 1, from 11.025 to 11.475" in answer.out
    held = "first driver: 12 teeth, as the job's motors say; --pinions 10-16 looks at others"
    assert held in answer.out
    others = call("trains", "compost-drive", *FEW, "--pinions", "10-16", "--top", "4", folder=tmp_path)
    assert others.code == 0
    assert "first driver" not in others.out
    assert "2 stages: 81,675 searched, 1,119 in the window" in answer.out
    assert "gear-to-shaft: a gear on shaft S1 against the spacer of shaft output" in answer.out
    assert "1  12:72  32:60    11.25     exact" in answer.out
    assert max(map(len, answer.out.splitlines())) <= 110


def test_json_and_csv_hold_the_same_rows(tmp_path: Path) -> None:
    options = ("trains", "compost-drive", *FEW, "--top", "7", "--rank", "size,closeness")
    told = json.loads(call(*options, "--json", folder=tmp_path).out)
    rows = list(csv.DictReader(io.StringIO(call(*options, "--csv", folder=tmp_path).out)))
    assert len(rows) == len(told["trains"]) == 7
    assert [float(row["size_bound_mm2"]) for row in rows] == [train["size_bound_mm2"] for train in told["trains"]]
    sizes = [train["size_bound_mm2"] for train in told["trains"]]
    assert sizes == sorted(sizes)
    (tally,) = told["tallies"]
    all_rows = json.loads(call(*options, "--top", "9999", "--json", folder=tmp_path).out)["trains"]
    assert tally["found"] == tally["dropped"] + len(all_rows)
    assert told["front"]


def test_choose_writes_the_train_and_keeps_the_rest(tmp_path: Path) -> None:
    job = tmp_path / "job.toml"
    job.write_text('base = "compost-drive"  # the rover\npart = "mine"\n', encoding="utf-8")
    listed = json.loads(call("trains", *FEW, "--json", folder=tmp_path).out)["trains"]
    answer = call("trains", *FEW, "--choose", "3", folder=tmp_path)
    assert answer.code == 0
    assert "job.toml now has the train" in answer.out
    text = job.read_text(encoding="utf-8")
    assert 'base = "compost-drive"  # the rover\n' in text
    pairs = [(stage["driver"], stage["driven"]) for stage in listed[2]["stages"]]
    assert f"stages = [{{driven = {pairs[0][1]}}}, {{driver = {pairs[1][0]}, driven = {pairs[1][1]}}}]" in text
    assert sorted(path.name for path in tmp_path.iterdir()) == ["job.toml"]
    assert call("check", folder=tmp_path).code in (0, 1)


def test_nothing_left_ends_with_1(tmp_path: Path) -> None:
    answer = call("trains", "compost-drive", "--ratio", "900", folder=tmp_path)
    assert answer.code == 1
    assert "No train is left" in answer.out


@pytest.mark.parametrize(
    ("options", "words"),
    [
        (("--ratio", "x"), "10.5 or 41/2"),
        (("--ratio", "1/0"), "nothing to divide by"),
        (("--driven", "5=20"), "from 1 to 4"),
        (("--driven", "2=20", "--driven", "2=21"), "given before"),
        (("--driven", "20-"), "tooth counts"),
        (("--teeth-size", "2=x9"), "dp4 to dp128"),
        (("--rank", "beauty"), "no ranking 'beauty'"),
        (("--rpm", "400"), "slowest and the fastest"),
        (("--json", "--csv"), "not both"),
        (("--choose", "1"), "shipped job"),
        (("--choose", "1", "--set", "part=x"), "--set"),
    ],
)
def test_what_cannot_be_asked(options: tuple[str, ...], words: str, tmp_path: Path) -> None:
    answer = call("trains", "compost-drive", *options, folder=tmp_path)
    assert answer.code == 2
    assert words in answer.err


def test_a_number_that_is_not_in_the_list_changes_nothing(tmp_path: Path) -> None:
    job = tmp_path / "job.toml"
    job.write_text('base = "compost-drive"\n', encoding="utf-8")
    answer = call("trains", *FEW, "--within", "0", "--choose", "999", folder=tmp_path)
    assert answer.code == 2
    assert "the list has" in answer.err
    assert job.read_text(encoding="utf-8") == 'base = "compost-drive"\n'
