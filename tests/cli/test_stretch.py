"""`gearplate stretch`: the answer in words and as JSON, the file that it writes, and what it refuses."""

from __future__ import annotations

import json
import tomllib
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest

from gearplate.cli.progress import Shown
from tests.builders.command import Answer, call
from tests.builders.made_once import sharing

FIVE = ("--set", 'wheel.diameter="5 in"')


@pytest.fixture(scope="module", autouse=True)
def old_drives_made_once() -> Iterator[None]:
    """A base is made once, however many tests change it."""
    with pytest.MonkeyPatch.context() as patch:
        sharing(patch.setattr)
        yield


@pytest.fixture(scope="module")
def written(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, Answer]:
    """A job file of one's own, stretched into another folder."""
    folder = tmp_path_factory.mktemp("stretch")
    (folder / "jobs").mkdir()
    (folder / "new").mkdir()
    (folder / "jobs" / "mine.toml").write_text('base = "compost-drive"\npart = "mine"\n', encoding="utf-8")
    return folder, call("stretch", "jobs/mine.toml", *FIVE, "--out", "new/tall.toml", folder=folder)


def test_the_written_job_builds_and_moves_what_is_told(written: tuple[Path, Answer]) -> None:
    folder, answer = written
    assert answer.code == 0, answer.err
    text = (folder / "new" / "tall.toml").read_text(encoding="utf-8")
    told = tomllib.loads(text)
    assert told["base"] == "../jobs/mine.toml"
    assert told["part"] == "tall"
    assert set(told) == {"format", "base", "units", "part", "wheel", "motors", "rail", "places"}
    assert call("build", "jobs/mine.toml", "--out", "old", folder=folder).code == 0
    assert call("build", "new/tall.toml", "--out", "tall", folder=folder).code == 0
    old, new = (json.loads((folder / name / "design.json").read_text(encoding="utf-8")) for name in ("old", "tall"))
    at = {shaft["name"]: (shaft["x_mm"], shaft["y_mm"]) for shaft in old["shafts"]}
    moves = {
        shaft["name"]: ((shaft["x_mm"] - at[shaft["name"]][0]) ** 2 + (shaft["y_mm"] - at[shaft["name"]][1]) ** 2)
        ** 0.5
        for shaft in new["shafts"]
    }
    farthest = max(moves, key=lambda name: moves[name])
    assert f"the largest move is {moves[farthest]:.3f} mm ({farthest})" in " ".join(answer.out.split())
    assert not any(finding["severity"] == "error" for finding in new["findings"])


def test_the_answer_says_what_gives_and_the_bound(written: tuple[Path, Answer]) -> None:
    said = " ".join(written[1].out.split())
    assert "Turning the shafts alone does not do: with these gears and rail holes no layout clears (proven" in said
    assert "What gives: M" in said
    assert "inboard." in said
    assert "No layout with these gears and motors' sides moves its farthest shaft by less than" in said
    assert "S1-bore moved by" in said
    assert "rail-1 moved" not in said
    assert "output-bore moved" not in said
    assert "Written: new/tall.toml" in said
    assert max(map(len, written[1].out.splitlines())) <= 80


def test_a_file_that_is_there_stays(written: tuple[Path, Answer]) -> None:
    folder = written[0]
    before = (folder / "new" / "tall.toml").read_bytes()
    again = call("stretch", "jobs/mine.toml", *FIVE, "--out", "new/tall.toml", folder=folder)
    assert again.code == 2
    assert "is there already" in again.err
    assert again.out == ""
    assert (folder / "new" / "tall.toml").read_bytes() == before
    assert sorted(path.name for path in (folder / "new").iterdir()) == ["tall.toml"]


def test_json_holds_the_answer_and_is_the_same_every_time(tmp_path: Path) -> None:
    options = ("stretch", "barrow-idler", "--set", 'wheel.diameter="5 in"', "--json")
    first = call(*options, folder=tmp_path)
    told = json.loads(first.out)
    assert first.code == 0
    assert told["answer"] == "clears"
    assert told["written"] is None
    assert told["interrupted"] is False
    assert 0.0 < told["bounds"]["largest_move_mm"] <= told["change"]["largest_move_mm"]
    assert 0.0 < told["bounds"]["growth_mm2"] <= told["change"]["growth_mm2"]
    assert told["gave"] == []
    assert [one["what"] for one in told["less"]] == ["M1 inboard"]
    assert tomllib.loads(told["job_text"])["base"] == "barrow-idler"
    assert call(*options, folder=tmp_path).out == first.out
    assert list(tmp_path.iterdir()) == []


def interrupt(monkeypatch: pytest.MonkeyPatch, at: str, times: int = 1) -> None:
    """Ctrl-C as soon as the terminal shows this, for the first so many times."""
    left = [times]

    class Line(Shown):
        def say(self, how_far: str) -> None:
            if at in how_far and left[0]:
                left[0] -= 1
                raise KeyboardInterrupt

    @contextmanager
    def shown(what: str, doing: str) -> Iterator[Shown]:
        yield Line(what, doing, None)

    monkeypatch.setattr("gearplate.cli.progress.progress", shown)


@pytest.mark.parametrize("as_json", [False, True])
def test_interrupted_it_tells_the_best_until_then(
    as_json: bool, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    interrupt(monkeypatch, "M1 inboard; best so far")
    options = ("--out", "new.toml", *(("--json",) if as_json else ()))
    answer = call("stretch", "barrow-idler", "--set", 'wheel.diameter="5 in"', *options, folder=tmp_path)
    assert answer.code == 130
    assert list(tmp_path.iterdir()) == []
    if as_json:
        told = json.loads(answer.out)
        assert told["interrupted"] is True
        assert told["written"] is None
        assert told["change"]["largest_move_mm"] > 10.0
        return
    said = " ".join(answer.out.split())
    assert "Stopped before all was tried. What follows is the best until then. What gives: nothing" in said
    assert 'base = "barrow-idler"' in answer.out
    assert "None of all the ways" not in said
    assert answer.err.startswith("gearplate: stopped. Nothing was written.")


def test_interrupted_before_anything_was_found(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    interrupt(monkeypatch, "an idler")
    grown = call("stretch", "sieve-single", "--set", 'limits.height="40 mm"', folder=tmp_path)
    assert grown.code == 130
    assert "Nothing that clears was found until then." in grown.out
    interrupt(monkeypatch, "turning the shafts")
    first = call("stretch", "barrow-idler", "--set", 'wheel.diameter="5 in"', folder=tmp_path)
    assert (first.code, first.out) == (130, "")
    assert first.err.strip() == "gearplate: stopped. Nothing was written."


def test_dry_writes_nothing(tmp_path: Path) -> None:
    answer = call("stretch", "compost-drive", "--set", "limits.height=20", "--out", "x", "--dry", folder=tmp_path)
    assert answer.code == 0
    assert 'base = "compost-drive"' in answer.out
    assert "Nothing has to move" in answer.out
    assert list(tmp_path.iterdir()) == []


def test_what_can_be_built_without_clearing_is_told_so(tmp_path: Path) -> None:
    three = "stages=[{driven = 60}, {driver = 28, driven = 48}, {driver = 24, driven = 48}]"
    answer = call("stretch", "compost-drive", "--set", three, folder=tmp_path)
    assert answer.code == 1
    assert "the distances that the train itself fixes leave no layout" in " ".join(answer.out.split())
    assert "With the old gears it can be built, but not all clears:\n" in answer.out
    assert "\n  hardware-clearance: M1 (motor) and S1 outboard bearing are 0.088 mm apart;" in answer.out


def test_no_answer_says_what_was_tried_and_the_nearest_miss(tmp_path: Path) -> None:
    answer = call("stretch", "sieve-single", "--set", 'limits.height="40 mm"', "--out", "x.toml", folder=tmp_path)
    assert answer.code == 1
    assert "Nothing that was tried clears" in answer.out
    assert "Nearest, with the old gears:\n  layout: No place for M1 was found" in answer.out
    assert "other first-stage gears: of " in answer.out
    assert "limits-plane: " in answer.out
    assert list(tmp_path.iterdir()) == []


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        (("compost-drive",), "say what is to become another"),
        (("compost-drive", "--set", "wheel.bogus=3"), "is not a key here"),
        (("compost-drive", "--set", 'wheel.diameter="4 in"'), "changes nothing"),
        (("compost-drive", *FIVE, "--within", "2"), "a share below 1"),
        (("compost-drive", *FIVE, "--out", "no/x.toml"), "there is no folder no"),
        (("nothing-here", *FIVE), "there is no such file"),
        (("impossible.toml", "--set", 'wheel.diameter="6 in"'), "itself has no"),
        (("texts.toml", *FIVE), "to mend"),
        (("tight.toml", "--set", 'wheel.diameter="6 in"'), "itself misses a gap that is wanted"),
        (("compost-drive", "--set", "wheel.diameter=500"), "a bare 500 here means 500 in = 12700 mm"),
        (("compost-drive", "--set", "wheel.diameter"), "This is not key=value"),
    ],
)
def test_what_is_refused(arguments: tuple[str, ...], words: str, tmp_path: Path) -> None:
    (tmp_path / "impossible.toml").write_text('base = "compost-drive"\nwheel.diameter = "5 in"\n', encoding="utf-8")
    three = "stages = [{driven = 60}, {driver = 28, driven = 48}, {driver = 24, driven = 48}]"
    (tmp_path / "tight.toml").write_text(f'base = "compost-drive"\n{three}\n', encoding="utf-8")
    (tmp_path / "texts.toml").write_text('base = "compost-drive"\nunits = "furlong"\n', encoding="utf-8")
    before = sorted(path.name for path in tmp_path.iterdir())
    answer = call("stretch", *arguments, folder=tmp_path)
    assert answer.code == 2
    assert answer.out == ""
    assert words in answer.err
    assert sorted(path.name for path in tmp_path.iterdir()) == before
