"""A build's folder: everything in it, nothing else, the same bytes each time, and no cut file where refused."""

from __future__ import annotations

import json
from hashlib import sha256
from pathlib import Path

import pytest

from gearplate.errors import FileError, ToolBug
from gearplate.finding import Finding, Severity
from gearplate.packet import write as writing
from gearplate.packet.account import account
from gearplate.packet.contents import CUT, MANIFEST, PAGE, PREVIEW
from gearplate.packet.earlier import last_cut
from gearplate.packet.write import write
from gearplate.record.design_record import design_record
from tests.builders.designs import design, with_findings
from tests.builders.svg_reading import read_picture

WRONG = Finding("web", Severity.ERROR, "too thin")


def test_a_folder_holds_what_was_made_and_says_so(tmp_path: Path) -> None:
    target = tmp_path / "drive"
    packet = write(design(), target)
    found = {path.name for path in target.iterdir()}
    assert found == {file.name for file in packet.files}
    assert {"design.json", "overlay.svg", "index.html", "preview-outboard-right.svg"} < found
    assert [file.name for file in packet.of(CUT)] == [plate["file"] for plate in design_record(design())["plates"]]
    holes = [len(plate.features) for plate in design().plates]
    assert [file.holes_found for file in packet.of(CUT)] == [file.holes_asked for file in packet.of(CUT)] == holes
    assert packet.holes_found == packet.holes_asked == sum(holes)
    for file in packet.files:
        assert sha256((target / file.name).read_bytes()).hexdigest() == file.sha256
    listed = {row["name"]: row["sha256"] for row in json.loads((target / "manifest.json").read_bytes())["files"]}
    assert listed == {file.name: file.sha256 for file in packet.files if file.role != MANIFEST}
    page = (target / "index.html").read_text("utf-8")
    assert all(file.sha256 in page for file in packet.files if file.role not in (PAGE, MANIFEST))
    assert "manifest.json lists them too, and this page." in page
    for name in found:
        if name.endswith(".svg"):
            read_picture((target / name).read_bytes())


def test_twice_gives_the_same_bytes(tmp_path: Path) -> None:
    write(design(), tmp_path / "a")
    write(design(), tmp_path / "b")
    write(design(), tmp_path / "b")
    for path in (tmp_path / "a").iterdir():
        assert path.read_bytes() == (tmp_path / "b" / path.name).read_bytes()


def test_both_hands(tmp_path: Path) -> None:
    packet = write(design("every-key"), tmp_path / "both")
    assert len(packet.of(CUT)) == len(packet.of(PREVIEW)) == 4
    text = " ".join(account(design_record(design("every-key")), packet).split())
    for file, plate in zip(packet.of(CUT), design_record(design("every-key"))["plates"], strict=True):
        count = len(plate["features"])
        assert (file.name, file.holes_found) == (plate["file"], count)
        assert f"{plate['plate']} {plate['hand']} {count} of {count}" in text


def test_a_refused_build_leaves_no_cut_file_behind(tmp_path: Path) -> None:
    target = tmp_path / "drive"
    write(design(), target)
    packet = write(with_findings(design(), WRONG), target)
    assert packet.of(CUT) == ()
    assert not [path for path in target.iterdir() if path.suffix == ".dxf"]
    assert "REFUSED" in read_picture((target / "preview-inboard-right.svg").read_bytes()).texts()
    assert json.loads((target / "design.json").read_bytes())["status"] == "refused"


def test_the_second_build_knows_the_first(tmp_path: Path) -> None:
    target = tmp_path / "drive"
    assert last_cut(target) is None
    first = write(design(), target)
    assert (first.earlier, first.changes) == (None, None)
    packet = write(design(), target)
    assert packet.earlier is not None
    assert packet.earlier.record == design_record(design())
    assert packet.changes == ("Nothing that is cut has moved.",)
    assert "Nothing that is cut has moved." in account(design_record(design()), packet)


@pytest.mark.parametrize("data", [b"", b"[1]", b"{", b"\xff\xfe", b"[" * 100_000])
def test_a_record_that_cannot_be_read_is_none(tmp_path: Path, data: bytes) -> None:
    (tmp_path / "design.json").write_bytes(data)
    (tmp_path / "last-cut.json").write_bytes(data)
    assert last_cut(tmp_path) is None


def test_a_folder_of_somebody_else_is_left_alone(tmp_path: Path) -> None:
    (tmp_path / "notes.txt").write_text("mine")
    with pytest.raises(FileError):
        write(design(), tmp_path)
    assert [path.name for path in tmp_path.iterdir()] == ["notes.txt"]


def test_a_cut_file_that_says_something_else_stops_the_build(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    from gearplate.drawing import dxf_out

    honest = dxf_out.dxf_bytes
    monkeypatch.setattr(dxf_out, "dxf_bytes", lambda sheet: honest(sheet).replace(b"CIRCLE", b"POINT", 1))
    with pytest.raises(ToolBug):
        write(design(), tmp_path / "drive")
    assert list(tmp_path.iterdir()) == []


def test_a_disk_that_keeps_something_else_is_told(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    honest = writing.write_folder

    def forgetful(target: object, content: dict[str, bytes], roles: dict[str, str]) -> object:
        done = honest(target, content, roles)  # type: ignore[arg-type]
        (Path(str(target)) / "overlay.svg").write_bytes(b"")
        return done

    monkeypatch.setattr(writing, "write_folder", forgetful)
    with pytest.raises(FileError, match=r"overlay\.svg"):
        write(design(), tmp_path / "drive")
