"""`gearplate play`: text, JSON and picture of a job's play; added_centre = "auto" takes its proposal."""

from __future__ import annotations

import json
import xml.etree.ElementTree as ElementTree
from pathlib import Path

import pytest

from gearplate.cli.group import run
from gearplate.job.load import load_job


def test_text_and_picture(capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    picture = tmp_path / "play.svg"
    assert run(["play", "compost-drive", "--svg", str(picture)]) == 0
    told = capsys.readouterr().out
    for words in ("M3 12T on S1 72T", "S1 32T on output 60T", "heat of the motor", "Most of the spread", "play.hall"):
        assert words in told
    assert "invented" in told  # the cutter's errors
    for source in ("ISO 21771", "ISO 5753-1", "DIN 3967", "ISO 1328-1", "IEC 60072-1", "ISO 492"):
        assert source in told
    flat = " ".join(told.split())
    assert "those of normal causes at 3 standard deviations" in flat
    assert "999 of 1000: root sum square" not in flat  # it is the distribution of the sum that is taken there
    assert "by the distribution of the sum of all causes" in flat
    assert "theorem of Gil-Pelaez, 1951" in flat
    root = ElementTree.parse(picture).getroot()
    shown = " ".join(text for one in root.iter() if (text := one.text))
    assert "M1 12T on S1 72T" in shown
    assert "smallest wanted, 0.02 mm" in shown
    assert "largest wanted" not in shown
    assert not [one for one in root.iter() if one.tag.endswith(("image", "script", "style"))]


def test_json_tells_the_same_and_a_limit(capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["play", "sprayer-metric", "--json", "--set", "play.most=0.4"]) == 0
    data = json.loads(capsys.readouterr().out)
    assert (data["play"], data["most_mm"], data["left_out"]) == ("gearplate-play/1", 0.4, 0)
    assert [mesh["driver_shaft"] for mesh in data["meshes"]] == ["M1", "M2", "S1"]
    for mesh in data["meshes"]:
        assert mesh["worst_mm"][0] <= mesh["likely_mm"][0] < mesh["mean"]["operating_mm"] < mesh["likely_mm"][1]
        assert mesh["likely_mm"][1] <= mesh["worst_mm"][1]
        assert sum(part["share_of_variance"] for part in mesh["contributors"]) == pytest.approx(1.0, abs=1e-3)
        drawn = mesh["simulated"]
        assert drawn["between"]["mean_mm"] == pytest.approx(mesh["mean"]["operating_mm"], abs=0.003)
        assert sum(drawn["histogram"]["tightest"]) == data["draws"]
        assert 0.0 <= drawn["probability_over"] <= 1.0
    assert data["meshes"][0]["simulated"]["probability_over"] > data["meshes"][2]["simulated"]["probability_over"]
    causes = {part["cause"] for part in data["meshes"][2]["contributors"]}
    assert "heat of the motor" not in causes  # only the plate round a motor is warmed by it


def test_the_worst_case_is_the_sum_of_all_ends(capsys: pytest.CaptureFixture[str]) -> None:
    run(["play", "compost-drive", "--json"])
    data = json.loads(capsys.readouterr().out)
    assert "by root sum square" not in data["spread_reckoned"].split("Standard deviation")[0]
    # by a reader's own sum with the holes' places alone: -0.184 to 0.828, -0.088 to 0.494; bores and scale add to it
    for mesh, low, high in ((data["meshes"][0], -0.184, 0.828), (data["meshes"][-1], -0.088, 0.494)):
        assert low - 0.003 < mesh["worst_mm"][0] < low + 0.001
        assert high - 0.001 < mesh["worst_mm"][1] < high + 0.006


def test_the_same_job_gives_the_same_bytes(capsys: pytest.CaptureFixture[str]) -> None:
    texts = []
    for _ in range(2):
        run(["play", "sieve-single", "--json"])
        texts.append(capsys.readouterr().out)
    assert texts[0] == texts[1]


@pytest.mark.parametrize("job", ["compost-drive", "hopper-ratio"])
def test_auto_takes_the_proposal(job: str, capsys: pytest.CaptureFixture[str]) -> None:
    run(["play", job, "--json", "--set", "added_centre=auto"])
    meshes = json.loads(capsys.readouterr().out)["meshes"]
    first, last = meshes[0], meshes[-1]
    assert first["added_centre_mm"] == pytest.approx(first["proposal"]["added_centre_mm"], abs=0.0051)
    assert first["added_centre_mm"] > 0.05
    assert first["likely_mm"][0] >= 0.0199
    assert last["added_centre_mm"] == pytest.approx(0.0254)  # the least in the trade, though less would do


def test_what_auto_takes_and_why_is_told_beside_the_proposal_and_in_the_check(
    capsys: pytest.CaptureFixture[str],
) -> None:
    """Both rules: the greatest proposal of a stage's meshes, and never under a thousandth of an inch."""
    settings = ["--set", "added_centre=auto"]
    run(["play", "compost-drive", "--json", *settings])
    data = json.loads(capsys.readouterr().out)
    added = {mesh["stage"]: mesh["added_centre_mm"] for mesh in data["meshes"]}
    assert {one["stage"]: one["added_centre_mm"] for one in data["auto"]} == pytest.approx(added)
    greatest, floored = data["auto"]
    assert greatest["added_centre_mm"] == greatest["proposed_mm"] > 0.05
    assert (floored["added_centre_mm"], floored["proposed_mm"]) == (0.0254, pytest.approx(0.015, abs=0.0051))
    run(["play", "compost-drive"])  # also where the job says a length
    played = " ".join(capsys.readouterr().out.split())
    run(["check", "compost-drive", *settings])
    checked = " ".join(capsys.readouterr().out.split())
    for told in (played, checked):
        assert f"takes {greatest['added_centre_mm']:.4g} mm for stage 1: the greatest proposal of its meshes" in told
        assert (
            "takes 0.0254 mm for stage 2: never under 0.0254 mm (0.001 in; common practice, no source), and the "
            f"greatest proposal of its meshes, that of S1 on output, is {floored['proposed_mm']:.3f} mm" in told
        )
    run(["check", "compost-drive"])
    assert '"auto" takes' not in capsys.readouterr().out


def test_auto_takes_the_greatest_of_unlike_pinions(capsys: pytest.CaptureFixture[str]) -> None:
    run(["play", "barrow-idler", "--json", "--set", "added_centre=auto"])
    data = json.loads(capsys.readouterr().out)
    for one in data["auto"]:
        proposals = [mesh["proposal"]["added_centre_mm"] for mesh in data["meshes"] if mesh["stage"] == one["stage"]]
        assert one["proposed_mm"] == pytest.approx(max(proposals), abs=0.0101)  # along the worse axis: a step or two
        assert one["added_centre_mm"] == max(one["proposed_mm"], 0.0254)


def test_auto_of_one_stage_leaves_the_others() -> None:
    spec = load_job("compost-drive", ["stages[0].added_centre=auto", 'added_centre="0.04 mm"']).layout_spec
    assert [stage.added_centre_mm > 0.05 for stage in spec.train.stages] == [True, False]
    assert spec.train.stages[1].added_centre_mm == pytest.approx(0.04)


def test_a_wider_play_asks_for_more(capsys: pytest.CaptureFixture[str]) -> None:
    added = []
    for least in ("0.01 mm", "0.05 mm"):
        spec = load_job("compost-drive", ["added_centre=auto", f'play.least="{least}"']).layout_spec
        added.append(spec.train.stages[0].added_centre_mm)
    # 0.04 mm of backlash are about 0.04 / (2 tan 24 deg) of distance
    assert added[1] - added[0] == pytest.approx(0.04 / 0.85, abs=0.0101)


def test_what_a_gear_is_taken_to_be_made_of_is_told(capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["play", "compost-drive", "--set", "stages[0].driven=61"]) == 0
    told = capsys.readouterr().out
    assert "S1 61T is of no class of the gear table: taken as aluminium." in told
    assert "output 60T is of no class" not in told


def test_slots_are_set_by_hand(capsys: pytest.CaptureFixture[str]) -> None:
    run(["play", "sieve-single", "--json", "--set", "motors.slots=1"])
    (mesh,) = json.loads(capsys.readouterr().out)["meshes"]
    causes = {part["cause"] for part in mesh["contributors"]}
    assert mesh["set_by_hand"]
    assert "play of the motor's pilot" not in causes
    assert "scale of the cutter" not in causes


def test_a_job_that_a_build_would_refuse_is_reckoned_and_said_to_be_one(capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["play", "compost-drive", "--set", "wheel.diameter=9"]) == 0
    told = capsys.readouterr()
    assert "has errors (gearplate check tells them): its play is reckoned as it stands." in told.err
    assert "M1" in told.out
    run(["play", "sieve-single"])
    assert "errors" not in capsys.readouterr().err
