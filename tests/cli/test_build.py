"""`gearplate build`: the folder, a second build, drafts and refusals, the same bytes each time."""

from __future__ import annotations

import json
import shlex
from hashlib import sha256
from pathlib import Path

import pytest

from tests.builders.command import GOOD, WRONG, call, contents, job_in, process


def roles(folder: Path) -> dict[str, str]:
    rows = json.loads((folder / "manifest.json").read_bytes())["files"]
    for row in rows:
        assert row["sha256"] == sha256((folder / row["name"]).read_bytes()).hexdigest()
    assert {row["name"] for row in rows} == {path.name for path in folder.iterdir()} - {"manifest.json"}
    return {row["name"]: row["role"] for row in rows}


def test_the_folder_holds_what_the_manifest_lists(tmp_path: Path) -> None:
    job_in(tmp_path)
    answer = call("build", folder=tmp_path)
    assert (answer.code, answer.err) == (0, "")
    found = roles(tmp_path / "out" / "job")
    assert sorted(found.values()) == ["cut file"] * 2 + ["overlay", "page"] + ["preview"] * 2 + ["record", "section"]
    for name, role in found.items():
        if role in ("cut file", "page", "overlay"):
            assert name in answer.out
    record = json.loads((tmp_path / "out" / "job" / "design.json").read_bytes())
    holes, inboard = (len(plate["features"]) for plate in record["plates"])
    assert holes == inboard
    assert f"{holes} of {holes} holes found again in each of the two cut files." in answer.out
    assert "design.json, manifest.json" in answer.out
    assert "Cautions." in answer.out


def test_a_second_build_says_that_nothing_moved_or_what_did(tmp_path: Path) -> None:
    job = job_in(tmp_path)
    assert "moved" not in call("build", folder=tmp_path).out
    assert "\nNothing that is cut has moved.\n" in call("build", folder=tmp_path).out
    other = call("build", "--set", "added_centre='0.06 mm'", folder=tmp_path)
    told = """set on the command line: --set 'added_centre='"'"'0.06 mm'"'"''"""
    assert told in " ".join(other.out.split()), "as a shell takes it"
    folder = tmp_path / "out" / "job"
    assert json.loads((folder / "design.json").read_bytes())["settings"] == ["added_centre='0.06 mm'"]
    assert "set on the command line" in (folder / "index.html").read_text(encoding="utf-8")
    moved = other.out
    assert "Changed: outboard and inboard: " in moved
    assert "moved by 0.010 mm (forward 0.000, up +0.010)" in moved
    assert "Nothing else that is cut has moved." in moved
    job.write_text(GOOD.replace('part = "test-drive"', 'part = "test-drive"\nrevision = "B"'), encoding="utf-8")
    call("build", "--set", "added_centre='0.06 mm'", folder=tmp_path)
    again = call("build", folder=tmp_path).out
    assert "moved by 0.010 mm (forward 0.000, up -0.010)" in again


@pytest.mark.parametrize("spoilt", ["", "{", "[]", '{"record": "gearplate-design/99"}', "null", "\x00"])
def test_a_last_record_that_is_broken_is_only_not_compared(spoilt: str, tmp_path: Path) -> None:
    job_in(tmp_path)
    call("build", folder=tmp_path)
    folder = tmp_path / "out" / "job"
    (folder / "design.json").write_text(spoilt, encoding="utf-8")
    manifest = json.loads((folder / "manifest.json").read_bytes())
    for row in manifest["files"]:  # as if an older or newer gearplate had written it so
        data = (folder / row["name"]).read_bytes()
        row["sha256"], row["bytes"] = sha256(data).hexdigest(), len(data)
    (folder / "manifest.json").write_text(json.dumps(manifest), encoding="utf-8")
    answer = call("build", folder=tmp_path)
    assert answer.code == 0
    assert "Nothing that is cut has moved" not in answer.out


def test_refused_no_cut_file_is_left_and_none_of_the_last_build(tmp_path: Path) -> None:
    job = job_in(tmp_path)
    call("build", folder=tmp_path)
    job.write_text(WRONG, encoding="utf-8")
    answer = call("build", folder=tmp_path)
    assert answer.code == 1
    assert "Refused: no cut file was made." in answer.out
    folder = tmp_path / "out" / "job"
    assert "cut file" not in roles(folder).values()
    assert not list(folder.glob("*.dxf"))
    assert json.loads((folder / "design.json").read_bytes())["status"] == "refused"
    assert b"motor-to-wheel" in (folder / "index.html").read_bytes()


def test_a_build_is_compared_with_the_last_one_that_could_be_cut(tmp_path: Path) -> None:
    job = job_in(tmp_path)
    folder = tmp_path / "out" / "job"
    call("build", folder=tmp_path)
    first, record = contents(folder), (folder / "design.json").read_bytes()
    job.write_text(WRONG, encoding="utf-8")
    for flags in ((), ("--draft",), ()):
        answer = call("build", *flags, folder=tmp_path)
        assert answer.code == 1
        assert roles(folder)["last-cut.json"] == "last cut record"
        assert (folder / "last-cut.json").read_bytes() == record
        assert "that is cut has moved" not in answer.out or flags
    job.write_text(GOOD, encoding="utf-8")
    told = call("build", folder=tmp_path).out
    assert "(refused or draft ones since):\nNothing that is cut has moved.\n" in told
    assert contents(folder) == first, "the same job, the same folder"
    assert "draft ones" not in call("build", folder=tmp_path).out


def test_a_refused_build_says_which_cut_files_it_took_out_and_what_makes_them_again(tmp_path: Path) -> None:
    job_in(tmp_path)
    call("build", "--set", "added_centre='0.06 mm'", "--out", "my plates", folder=tmp_path)
    before = contents(tmp_path / "my plates")
    cut = [name for name in before if name.endswith(".dxf")]
    wrong = ("--set", "motors.side=outboard")
    for flags in ((), ("--draft",)):
        told = " ".join(call("build", *wrong, *flags, "--out", "my plates", folder=tmp_path).out.split())
        assert "Taken out of my plates, so that nobody cuts by mistake" in told
        assert all(name in told for name in cut)
    written = json.loads(call("build", *wrong, "--out", "my plates", "--json", folder=tmp_path).out)["written"]
    assert sorted(written["taken_out"]["files"]) == sorted(cut)
    assert written["compared_with"]["kept"]
    again = written["taken_out"]["made_by"]
    assert f"To have them again: `{again}`, with the job file as it was then" in told
    program, *words = shlex.split(again)
    assert program == "gearplate"
    assert call(*words, folder=tmp_path).code == 0
    assert contents(tmp_path / "my plates") == before, "byte for byte, and nothing more"


def test_all_changes_stand_on_a_page_and_in_json_but_not_on_screen(tmp_path: Path) -> None:
    job_in(tmp_path)
    call("build", folder=tmp_path)
    plain = contents(tmp_path / "out" / "job")
    assert "changes.html" not in plain
    turned = ("--set", "places.M1.angle=100", "--set", "standoffs.count=4")
    told = call("build", *turned, folder=tmp_path).out
    folder = tmp_path / "out" / "job"
    page, there = (folder / "changes.html").read_text(encoding="utf-8"), contents(folder)
    assert roles(folder)["changes.html"] == "changes"
    shown = [line for line in told.splitlines() if line.startswith("Changed: ")]
    assert len(shown) == 8
    call("build", folder=tmp_path)
    written = json.loads(call("build", *turned, "--json", folder=tmp_path).out)["written"]
    changes = written["changes"][:-1]
    assert changes[:8] == shown
    assert f"and {len(changes) - 8} more changes: changes.html tells all {len(changes)}\n" in told
    for line in changes:
        assert line.removeprefix("Changed: ") in page
    call("build", *turned, folder=tmp_path)
    after = contents(folder)
    for name in {*there} - {"changes.html", "manifest.json"}:
        assert after[name] == there[name], "what the job alone gives does not depend on what was built before"
    assert "changes.html" not in after


def test_a_draft_is_marked_in_names_marks_and_pictures(tmp_path: Path) -> None:
    job_in(tmp_path, WRONG)
    answer = call("build", "--draft", folder=tmp_path)
    assert answer.code == 1
    folder = tmp_path / "out" / "job"
    cut = [name for name, role in roles(folder).items() if role == "cut file"]
    assert len(cut) == 2
    assert all("DRAFT" in name for name in cut)
    record = json.loads((folder / "design.json").read_bytes())
    assert record["status"] == "draft"
    for plate in record["plates"]:
        assert any("DRAFT" in mark["text"] for mark in plate["marks"])
    for name in ("overlay.svg", "index.html", "preview-outboard-right.svg"):
        assert b"DRAFT" in (folder / name).read_bytes()
    assert "DRAFT" in answer.out


def test_a_draft_of_a_job_without_errors_is_none(tmp_path: Path) -> None:
    job_in(tmp_path)
    answer = call("build", "--draft", folder=tmp_path)
    assert answer.code == 0
    assert "DRAFT" not in answer.out


def test_json_is_the_record_and_what_was_written(tmp_path: Path) -> None:
    job_in(tmp_path)
    first = json.loads(call("build", "--json", "--out", "there", folder=tmp_path, encoding="ascii").out)
    written = first.pop("written")
    assert first == json.loads((tmp_path / "there" / "design.json").read_bytes())
    assert written["folder"] == "there"
    assert written["changes"] is None
    assert written["holes_found"] == written["holes_asked"] > 0
    assert {row["holes_found"] is None for row in written["files"] if row["role"] == "cut file"} == {False}
    for row in written["files"]:
        assert row["sha256"] == sha256((tmp_path / "there" / row["name"]).read_bytes()).hexdigest()
    second = json.loads(call("build", "--json", "--out", "there", folder=tmp_path).out)
    assert second["written"]["changes"] == ["Nothing that is cut has moved."]


def test_the_same_bytes_on_every_run_whatever_the_seed_the_place_and_the_zone(tmp_path: Path) -> None:
    found = []
    for number, changes in enumerate(
        (
            {"PYTHONHASHSEED": "1", "TZ": "UTC"},
            {"PYTHONHASHSEED": "77", "TZ": "Pacific/Auckland", "LC_ALL": "C", "HOME": str(tmp_path)},
        )
    ):
        folder = tmp_path / f"place {number}"
        folder.mkdir()
        assert process("build", "compost-drive-inboard", folder=folder, changes=changes).code in (0, 1)
        found.append(contents(folder))
    assert found[0] == found[1]
    assert len(found[0]) == 9


def test_a_folder_that_is_not_ours_is_refused_before_the_work(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    job_in(tmp_path)
    (tmp_path / "out" / "job").mkdir(parents=True)
    (tmp_path / "out" / "job" / "thesis.txt").write_text("mine", encoding="utf-8")
    monkeypatch.setattr("gearplate.cli.made.made", None)  # whoever gets that far fails
    answer = call("build", folder=tmp_path)
    assert answer.code == 2
    assert "thesis.txt" in answer.err
    assert (tmp_path / "out" / "job" / "thesis.txt").read_text(encoding="utf-8") == "mine"


def test_a_file_that_somebody_changed_is_not_lost(tmp_path: Path) -> None:
    job_in(tmp_path)
    call("build", folder=tmp_path)
    page = tmp_path / "out" / "job" / "index.html"
    page.write_text("notes", encoding="utf-8")
    before = contents(tmp_path)
    answer = call("build", folder=tmp_path)
    assert answer.code == 2
    assert "index.html" in answer.err
    assert contents(tmp_path) == before


def test_a_job_that_is_wrong_leaves_the_last_build_alone(tmp_path: Path) -> None:
    job = job_in(tmp_path)
    call("build", folder=tmp_path)
    job.write_text(GOOD.replace("72", '"many"'), encoding="utf-8")
    before = contents(tmp_path)
    assert call("build", folder=tmp_path).code == 2
    assert contents(tmp_path) == before


def test_nothing_but_the_target_is_touched(tmp_path: Path) -> None:
    job_in(tmp_path)
    assert call("build", "--out", "a/b/c", folder=tmp_path).code == 0
    assert {path.split("/")[0] for path in contents(tmp_path)} == {"job.toml", "a"}
    assert [path.name for path in (tmp_path / "a" / "b").iterdir()] == ["c"]


def test_an_interrupt_while_the_account_is_told_does_not_say_that_nothing_was_written(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def stopped(*_: object, **__: object) -> str:
        raise KeyboardInterrupt

    job_in(tmp_path)
    monkeypatch.setattr("gearplate.packet.account.account", stopped)
    answer = call("build", folder=tmp_path)
    assert answer.code == 130
    assert "the new build already stood whole in" in answer.err
    assert "Nothing was written" not in answer.err
    roles(tmp_path / "out" / "job")
