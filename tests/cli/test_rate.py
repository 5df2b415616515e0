"""`gearplate rate`: table, JSON, picture, and what is refused."""

from __future__ import annotations

import json
import math
from xml.etree import ElementTree

import pytest

from gearplate.cli.rate_command import command
from gearplate.errors import JobError


def run(*arguments: str) -> int:
    result = command.main(list(arguments), standalone_mode=False)
    assert isinstance(result, int)
    return result


def test_table_tells_the_weakest_first(capsys: pytest.CaptureFixture[str]) -> None:
    assert run("compost-drive") == 0
    shown = capsys.readouterr().out
    assert "the wheels slip before breakers or stall" in shown
    table = shown.split("Weakest link first")[1].split("Formulas")[0]
    margins = [
        float(line.split()[0])
        for line in table.splitlines()
        if line[:9].strip() and line[6:9].strip("0123456789.") == ""
    ]
    assert len(margins) > 10
    assert margins == sorted(margins)
    for words in ("Not modelled:", "Taken of the machine", "mass_kg = 40", "M1, M2 and M3", "They are no"):
        assert words in shown
    assert "with J" not in shown


def test_a_mass_that_was_not_given_is_told_before_the_margins(capsys: pytest.CaptureFixture[str]) -> None:
    assert run("hopper-ratio") == 0
    assert "taken are 45 kg (invented)" in " ".join(capsys.readouterr().out.split("Weakest link first")[0].split())
    assert run("hopper-ratio", "--set", "duty.mass=30") == 0
    assert "taken are" not in capsys.readouterr().out


def test_all_tells_everything(capsys: pytest.CaptureFixture[str]) -> None:
    assert run("compost-drive", "--all") == 0
    shown = capsys.readouterr().out
    for words in (
        "bending with J",
        "slope at its gears",
        "a guess",
        "not checked in print",
        "Held by",
        "Grip: friction x mass",
    ):
        assert words in shown


def test_json_holds_every_rating(capsys: pytest.CaptureFixture[str]) -> None:
    assert run("barrow-idler", "--json", "--set", "duty.mass=30") == 0
    data = json.loads(capsys.readouterr().out)
    assert data["record"] == "gearplate-rating/1"
    assert data["loads"]["ruled_by"] == "breaker"
    assert data["weakest"] == data["ratings"][0]["part"]
    for rating in data["ratings"]:
        assert {"load_case", "formula", "source", "value", "limit", "margin", "standing"} <= set(rating)
    given = {one["key"]: one["value"] for one in data["duty"] if one["given"]}
    assert given == {"mass_kg": 30}


def test_forces_can_be_followed_from_the_floor_to_a_bearing(capsys: pytest.CaptureFixture[str]) -> None:
    """By hand from what is printed: the grip, the second stage's tooth force, the balance of every shaft, a bearing."""
    assert run("compost-drive", "--json", "--set", "duty.mass=40") == 0
    data = json.loads(capsys.readouterr().out)
    grip = 1.1 * 40 * 9.80665 / 2 * 0.1016 / 2
    assert data["loads"]["wheels_grip_n_m"] == pytest.approx(grip, rel=1e-5)
    second = next(mesh for mesh in data["forces"]["meshes"] if mesh["stage"] == 2)
    assert second["torque_n_m"] == pytest.approx(grip / 0.96 * 32 / 60, rel=1e-5)
    assert second["base_diameter_mm"] == pytest.approx(32 * 25.4 / 20 * math.cos(math.radians(20)), rel=1e-5)
    assert second["whole_n"] == pytest.approx(2000 * second["torque_n_m"] / second["base_diameter_mm"], rel=1e-5)
    cases = {(one["shaft"], one["load_case"], one["way"]): one for one in data["forces"]["shafts"]}
    assert {shaft for shaft, *_ in cases} == {"S1", "output"}
    for case in cases.values():
        acting = [*case["pushes"], *case["supports"]]
        couple = case["couple"] or {"n_mm": 0.0}
        assert sum(one["x_n"] for one in acting) == pytest.approx(0.0, abs=1e-3)
        assert sum(one["y_n"] for one in acting) == pytest.approx(0.0, abs=1e-3)
        assert sum(one["x_n"] * one["z_mm"] for one in acting) == pytest.approx(0.0, abs=0.1)
        assert sum(one["y_n"] * one["z_mm"] for one in acting) + couple["n_mm"] == pytest.approx(0.0, abs=0.1)
    named = [one for one in data["ratings"] if one["way"]]
    assert named
    for one in named:
        assert (one["shafts"][0], one["load_case"], one["way"]) in cases
        if "bearing, " in one["part"] and one["unit"] == "N":
            side = "outboard" if "outboard" in one["part"] else "inboard"
            case = cases[one["shafts"][0], one["load_case"], one["way"]]
            held = next(part for part in case["supports"] if part["name"].startswith(side))
            radial = math.hypot(held["x_n"], held["y_n"])
            assert one["value"] == pytest.approx(max(radial, 0.6 * radial + 0.5 * case["axial_n"]), rel=1e-5)


@pytest.mark.parametrize(
    ("sets", "told"),
    [
        (("duty.mass=30",), "Breakers of 40 A bear that for good."),
        (("duty.mass=30", "duty.breaker=10"), "Breakers of 10 A open after some seconds of that."),
    ],
)
def test_it_says_whether_wheels_slip_before_breakers_open(
    capsys: pytest.CaptureFixture[str], sets: tuple[str, ...], told: str
) -> None:
    run("hopper-ratio", *(word for one in sets for word in ("--set", one)))
    assert told in " ".join(capsys.readouterr().out.split())


def test_what_does_not_hold_ends_with_one(capsys: pytest.CaptureFixture[str]) -> None:
    assert run("compost-drive", "-s", "duty.mass=200", "-s", "duty.breaker=100") == 1
    assert "DOES NOT HOLD" in capsys.readouterr().out


def test_picture(tmp_path, capsys: pytest.CaptureFixture[str]) -> None:
    target = tmp_path / "strength.svg"
    assert run("compost-drive", "--svg", str(target)) == 0
    capsys.readouterr()
    text = target.read_text(encoding="utf-8")
    root = ElementTree.fromstring(text)
    assert root.tag.endswith("svg")
    assert "output bore in the outboard plate" in text
    assert "margin 1" in text
    assert "margin: times that the load could grow" in text


@pytest.mark.parametrize("said", ["duty.mass=much", "duty.mass=-1", "duty.gearboxes=1.5", "duty.weight=3"])
def test_a_wrong_duty_is_told(said: str) -> None:
    with pytest.raises(JobError, match="duty"):
        run("compost-drive", "--set", said)


def test_a_chain_takes_its_share(capsys: pytest.CaptureFixture[str]) -> None:
    chain = ("-s", 'duty.chain="25"', "-s", "duty.sprocket=16")
    margins = {}
    for share in ("0", "0.5", "0.8"):
        run("compost-drive", "--json", *chain, "-s", f"duty.chain_share={share}")
        data = json.loads(capsys.readouterr().out)
        margins[share] = {one["part"]: one["margin"] for one in data["ratings"]}
    shaft = "output bore in the outboard plate, bearing stress"
    assert margins["0.8"][shaft] < margins["0.5"][shaft]
    # one of two wheels on each side grips half of it: the other half leaves, whatever is said
    assert margins["0"][shaft] == margins["0.5"][shaft]
    with pytest.raises(JobError, match="no sprocket"):
        run("compost-drive", "--set", 'duty.chain="25"')


def test_a_job_that_a_build_would_refuse_is_said_to_be_one_to_programs_too(capsys: pytest.CaptureFixture[str]) -> None:
    run("compost-drive", "--set", "wheel.diameter=9", "--json")
    assert "has errors (gearplate check tells them): it is rated as it stands." in capsys.readouterr().err
