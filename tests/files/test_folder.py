from __future__ import annotations

import hashlib
import json
import os
import sys
from pathlib import Path

import pytest

from gearplate.errors import FileError, ToolBug
from gearplate.files import MANIFEST_NAME, SYSTEM, Entry, check_target, read_manifest, recover, write_file, write_folder
from tests.builders.failing_calls import FailingCalls

FILES = {"outboard.dxf": b"0\nSECTION\n", "design.json": b"{}\n", "empty.svg": b""}
ROLES = {"outboard.dxf": "cut file", "design.json": "record", "empty.svg": "preview"}

needs_links = pytest.mark.skipif(sys.platform == "win32", reason="links need a privilege on Windows")


def contents(folder: Path) -> dict[str, bytes]:
    return {path.name: path.read_bytes() for path in folder.iterdir()}


def tree(folder: Path) -> dict[str, bytes | None]:
    return {
        str(path.relative_to(folder)): path.read_bytes() if path.is_file() else None
        for path in sorted(folder.rglob("*"))
    }


def refuses(target: Path, *words: str) -> None:
    """Writing there, and asking beforehand, raise a FileError with these words, and change nothing around it."""
    before = tree(target.parent)
    for attempt in (lambda: check_target(target), lambda: write_folder(target, FILES, ROLES)):
        with pytest.raises(FileError) as caught:
            attempt()
        for word in (str(target), "Nothing was changed", *words):
            assert word in str(caught.value)
    assert tree(target.parent) == before


def test_a_read_only_folder_is_not_replaced(tmp_path: Path) -> None:
    """Its parent would let it be renamed, but not emptied: the old build would stay behind under another name."""
    target = tmp_path / "rover"
    write_folder(target, {"old.svg": b"old"}, {"old.svg": "preview"})
    before = tree(tmp_path)
    locked = SYSTEM._replace(writable=lambda folder: folder != str(target))
    for attempt in (lambda: check_target(target, locked), lambda: write_folder(target, FILES, ROLES, locked)):
        with pytest.raises(FileError, match=r"read-only.*Nothing was changed"):
            attempt()
    assert tree(tmp_path) == before


@pytest.mark.skipif(not hasattr(os, "geteuid") or os.geteuid() == 0, reason="modes bind plain users of POSIX only")
def test_modes_of_folders_are_heeded(tmp_path: Path) -> None:
    target = tmp_path / "rover"
    write_folder(target, {"old.svg": b"old"}, {"old.svg": "preview"})
    for folder in (target, tmp_path):
        folder.chmod(0o555)
        try:
            refuses_to_write(target)
        finally:
            folder.chmod(0o755)


def refuses_to_write(target: Path) -> None:
    before = tree(target.parent)
    with pytest.raises(FileError, match="Nothing was changed"):
        write_folder(target, FILES, ROLES)
    assert tree(target.parent) == before


def test_writes_the_files_and_a_manifest_of_them(tmp_path: Path) -> None:
    target = tmp_path / "out" / "deep" / "rover"
    written = write_folder(target, FILES, ROLES)
    assert written.folder == str(target)
    assert written.files == ("design.json", "empty.svg", "manifest.json", "outboard.dxf")
    assert (written.replaced, written.left_behind) == (False, ())
    found = contents(target)
    manifest = json.loads(found.pop(MANIFEST_NAME))
    assert found == FILES
    assert manifest == {
        "manifest": "gearplate-manifest/1",
        "files": [
            {"name": name, "role": ROLES[name], "sha256": hashlib.sha256(data).hexdigest(), "bytes": len(data)}
            for name, data in sorted(FILES.items())
        ],
    }
    assert os.listdir(target.parent) == ["rover"]
    # SHA-256 of no bytes: FIPS 180-4 example values, as published by NIST (from memory).
    empty = "e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855"
    assert read_manifest(target) is not None
    assert Entry("empty.svg", "preview", empty, 0) in (read_manifest(target) or ())


def test_the_same_files_give_the_same_manifest_in_whatever_order(tmp_path: Path) -> None:
    write_folder(tmp_path / "a", FILES, ROLES)
    write_folder(tmp_path / "b", dict(reversed(FILES.items())), dict(reversed(ROLES.items())))
    assert contents(tmp_path / "a") == contents(tmp_path / "b")


def test_an_old_build_is_replaced_whole(tmp_path: Path) -> None:
    target = tmp_path / "rover"
    write_folder(target, FILES, ROLES)
    written = write_folder(target, {"new.dxf": b"new"}, {"new.dxf": "cut file"})
    assert written.replaced
    assert sorted(contents(target)) == ["manifest.json", "new.dxf"]
    assert os.listdir(tmp_path) == ["rover"]


def test_an_empty_folder_is_used(tmp_path: Path) -> None:
    target = tmp_path / "rover"
    target.mkdir()
    assert not write_folder(target, FILES, ROLES).replaced
    assert set(contents(target)) == {*FILES, MANIFEST_NAME}


def test_a_missing_file_and_the_litter_of_file_browsers_are_no_obstacle(tmp_path: Path) -> None:
    target = tmp_path / "rover"
    write_folder(target, FILES, ROLES)
    (target / "outboard.dxf").unlink()
    (target / ".DS_Store").write_bytes(b"icons")
    check_target(target)
    write_folder(target, FILES, ROLES)
    assert set(contents(target)) == {*FILES, MANIFEST_NAME}
    assert os.listdir(tmp_path) == ["rover"]


def test_refuses_a_folder_that_is_not_ours(tmp_path: Path) -> None:
    target = tmp_path / "holiday"
    target.mkdir()
    for number in range(7):
        (target / f"{number}.jpg").write_bytes(b"sun")
    refuses(target, "has no manifest of gearplate", "0.jpg, 1.jpg, 2.jpg, 3.jpg, 4.jpg and 2 more", "--out")


@pytest.mark.parametrize(
    "manifest",
    [
        "",
        "{}",
        "[]",
        "null",
        "not json",
        '{"manifest": "gearplate-manifest/2", "files": []}',
        '{"manifest": "gearplate-manifest/1"}',
        '{"manifest": "gearplate-manifest/1", "files": [{"name": "a"}]}',
        '{"manifest": "gearplate-manifest/1", "files": [{"name": "../a", "role": "", "sha256": "", "bytes": 0}]}',
        '{"manifest": "gearplate-manifest/1", "files": [{"name": 3, "role": "", "sha256": "", "bytes": 0}]}',
        '{"manifest": "gearplate-manifest/1", "files": 3}',
        "[" * 100_000,
    ],
)
def test_refuses_a_folder_with_somebody_elses_manifest(tmp_path: Path, manifest: str) -> None:
    target = tmp_path / "rover"
    target.mkdir()
    (target / MANIFEST_NAME).write_text(manifest)
    (tmp_path / "a").write_text("must stay")
    refuses(target, "has no manifest of gearplate")


def test_refuses_to_lose_files_that_were_added(tmp_path: Path) -> None:
    target = tmp_path / "rover"
    write_folder(target, FILES, ROLES)
    (target / "notes\n.txt").write_text("cut twice")
    (target / "photos").mkdir()
    refuses(target, "gearplate did not write: notes\\n.txt, photos", "--out")


def test_refuses_to_lose_what_was_changed_by_hand(tmp_path: Path) -> None:
    target = tmp_path / "rover"
    write_folder(target, FILES, ROLES)
    (target / "outboard.dxf").write_bytes(b"0\nSECTION\nmy own edit\n")
    refuses(target, "changed since gearplate wrote them: outboard.dxf", "move them elsewhere")


@needs_links
def test_refuses_a_link_in_the_place_of_a_listed_file(tmp_path: Path) -> None:
    target = tmp_path / "rover"
    write_folder(target, FILES, ROLES)
    (tmp_path / "elsewhere").write_bytes(FILES["outboard.dxf"])
    (target / "outboard.dxf").unlink()
    (target / "outboard.dxf").symlink_to(tmp_path / "elsewhere")
    refuses(target, "gearplate did not write: outboard.dxf")


def test_refuses_a_file_and_what_lies_under_a_file(tmp_path: Path) -> None:
    (tmp_path / "rover").write_text("a file")
    refuses(tmp_path / "rover", "is a file, not a folder")
    with pytest.raises(FileError, match=r"is not a folder\. Nothing was changed"):
        write_folder(tmp_path / "rover" / "sub" / "deep", FILES, ROLES)
    assert tree(tmp_path) == {"rover": b"a file"}


def test_refuses_the_working_folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    (tmp_path / "rover").mkdir()
    monkeypatch.chdir(tmp_path / "rover")
    for target in (".", tmp_path / "rover", tmp_path):
        with pytest.raises(FileError, match="is the folder in which the command was given"):
            write_folder(target, FILES, ROLES)
    write_folder("inside", FILES, ROLES)
    assert os.listdir() == ["inside"]


@pytest.mark.parametrize("target", ["/", "", "a\0b"])
def test_refuses_what_is_no_place_for_a_folder(target: str) -> None:
    with pytest.raises(FileError):
        write_folder(target, FILES, ROLES)


@needs_links
def test_a_linked_folder_stays_a_link_and_its_own_folder_is_replaced(tmp_path: Path) -> None:
    real, link = tmp_path / "builds" / "rover", tmp_path / "current"
    write_folder(real, {"old.dxf": b"old"}, {"old.dxf": "cut file"})
    link.symlink_to(real)
    assert write_folder(link, FILES, ROLES).replaced
    assert link.is_symlink()
    assert set(contents(real)) == {*FILES, MANIFEST_NAME}
    assert (os.listdir(tmp_path / "builds"), sorted(os.listdir(tmp_path))) == (["rover"], ["builds", "current"])


@needs_links
def test_refuses_links_to_nowhere(tmp_path: Path) -> None:
    (tmp_path / "nowhere").symlink_to(tmp_path / "gone")
    (tmp_path / "loop").symlink_to(tmp_path / "loop")
    for name in ("nowhere", "loop"):
        with pytest.raises(FileError, match="does not exist"):
            write_folder(tmp_path / name, FILES, ROLES)
    assert sorted(os.listdir(tmp_path)) == ["loop", "nowhere"]


@pytest.mark.skipif(sys.platform != "linux", reason="needs a folder in which nobody can make anything")
def test_a_parent_that_takes_nothing_is_reported() -> None:
    with pytest.raises(FileError, match=r"^/proc/rover: cannot be written: .*Nothing was changed"):
        write_folder("/proc/rover", FILES, ROLES)


@pytest.mark.parametrize(
    ("files", "roles"),
    [
        ({"../x": b""}, {"../x": "r"}),
        ({"a/b": b""}, {"a/b": "r"}),
        ({"nul": b""}, {"nul": "r"}),
        ({"a": b"", "A": b""}, {"a": "r", "A": "r"}),
        ({"manifest.json": b""}, {"manifest.json": "r"}),
        ({"Manifest.JSON": b""}, {"Manifest.JSON": "r"}),
        ({"a": b""}, {}),
        ({}, {"a": "r"}),
    ],
)
def test_names_that_could_go_wrong_are_our_bug_and_write_nothing(
    tmp_path: Path, files: dict[str, bytes], roles: dict[str, str]
) -> None:
    with pytest.raises(ToolBug):
        write_folder(tmp_path / "rover", files, roles)
    assert os.listdir(tmp_path) == []


class TestWhenAFileComesInAtTheLastMoment:
    """Somebody saves a file into the old folder between the first look and the exchange: it must not be lost."""

    @pytest.mark.parametrize("exchange", [True, False], ids=["exchange", "renames"])
    def test_the_exchange_is_taken_back(self, tmp_path: Path, exchange: bool) -> None:
        target = tmp_path / "rover"
        write_folder(target, FILES, ROLES)
        calls = FailingCalls(exchange=exchange)
        flush_folder = calls.ops.flush_folder

        def flush_and_intrude(path: str) -> None:
            flush_folder(path)
            if path != str(tmp_path):
                (target / "mine.txt").write_text("mine")

        ops = calls.ops._replace(flush_folder=flush_and_intrude)
        with pytest.raises(FileError, match=r"did not write: mine\.txt"):
            write_folder(target, {"new.dxf": b"new"}, {"new.dxf": "cut file"}, ops)
        assert set(contents(target)) == {*FILES, MANIFEST_NAME, "mine.txt"}
        assert os.listdir(tmp_path) == ["rover"]


class TestRecovery:
    def test_leaves_alone_what_it_cannot_prove_to_be_ours(self, tmp_path: Path) -> None:
        target = tmp_path / "rover"
        write_folder(target, FILES, ROLES)
        write_folder(tmp_path / "rover.old", FILES, ROLES)
        for name, file in [
            (".rover.gearplate-0123456789ab", "mine.txt"),
            (".rover.gearplate-0123456789abc", MANIFEST_NAME),
            (".rover.gearplate-000000000000", MANIFEST_NAME),
            (".other.gearplate-0123456789ab", MANIFEST_NAME),
        ]:
            (tmp_path / name).mkdir()
            (tmp_path / name / file).write_text("mine")
        (tmp_path / ".rover.gearplate-0123456789ac").write_text("a file")
        before = tree(tmp_path)
        recover(target)
        assert tree(tmp_path) == before

    def test_a_folder_that_the_user_moved_to_old_is_not_taken_for_ours(self, tmp_path: Path) -> None:
        write_folder(tmp_path / "rover.old", FILES, ROLES)
        recover(tmp_path / "rover")
        assert os.listdir(tmp_path) == ["rover.old"]
        write_folder(tmp_path / "rover", FILES, ROLES)
        write_folder(tmp_path / "rover", FILES, ROLES)
        assert sorted(os.listdir(tmp_path)) == ["rover", "rover.old"]

    def test_without_an_exchange_a_folder_of_the_users_called_old_is_in_the_way(self, tmp_path: Path) -> None:
        for name in ("rover", "rover.old"):
            write_folder(tmp_path / name, FILES, ROLES)
        before = tree(tmp_path)
        with pytest.raises(FileError, match=r"rover\.old stands in the way\. Nothing was changed"):
            write_folder(tmp_path / "rover", {"n": b""}, {"n": "r"}, FailingCalls(exchange=False).ops)
        assert tree(tmp_path) == before

    def test_puts_the_old_folder_back_that_was_on_its_way_out(self, tmp_path: Path) -> None:
        target = tmp_path / "rover"
        write_folder(target, FILES, ROLES)
        before = tree(tmp_path)
        (tmp_path / ".rover.gearplate-swap").mkdir()
        target.rename(tmp_path / "rover.old")
        recover(target)
        assert tree(tmp_path) == before

    def test_of_a_place_that_does_not_exist_is_nothing(self, tmp_path: Path) -> None:
        recover(tmp_path / "no" / "such" / "folder")
        assert os.listdir(tmp_path) == []

    def test_what_of_the_old_build_cannot_be_removed_is_told(self, tmp_path: Path) -> None:
        target = tmp_path / "rover"
        write_folder(target, FILES, ROLES)
        ops = SYSTEM._replace(unlink=_refuse)
        written = write_folder(target, {"new.dxf": b"new"}, {"new.dxf": "cut file"}, ops)
        (left,) = written.left_behind
        assert sorted(os.listdir(tmp_path)) == [os.path.basename(left), "rover"]
        recover(target)
        assert os.listdir(tmp_path) == ["rover"]
        assert set(contents(target)) == {"new.dxf", MANIFEST_NAME}


def _refuse(path: str) -> None:
    raise PermissionError(13, "Permission denied", path)


def test_a_single_file_is_kept_unless_told_otherwise(tmp_path: Path) -> None:
    path = tmp_path / "job.toml"
    write_file(path, b"first")
    with pytest.raises(FileError, match=r"is there already\. Nothing was changed"):
        write_file(path, b"second")
    assert path.read_bytes() == b"first"
    write_file(path, b"second", overwrite=True)
    assert tree(tmp_path) == {"job.toml": b"second"}


def test_a_single_file_that_comes_in_at_the_last_moment_is_kept(tmp_path: Path) -> None:
    path = tmp_path / "job.toml"

    def close_and_intrude(handle: int) -> None:
        SYSTEM.close(handle)
        path.write_bytes(b"mine")

    with pytest.raises(FileError, match=r"File exists\. Nothing was changed"):
        write_file(path, b"new", ops=SYSTEM._replace(close=close_and_intrude))
    assert tree(tmp_path) == {"job.toml": b"mine"}


def test_a_single_file_needs_its_folder_and_replaces_no_folder(tmp_path: Path) -> None:
    with pytest.raises(FileError, match="there is no folder"):
        write_file(tmp_path / "no" / "job.toml", b"")
    with pytest.raises(FileError, match="is not a file"):
        write_file(tmp_path, b"", overwrite=True)
    assert os.listdir(tmp_path) == []


@needs_links
def test_a_single_file_goes_to_where_a_link_points(tmp_path: Path) -> None:
    (tmp_path / "real.toml").write_bytes(b"old")
    (tmp_path / "job.toml").symlink_to("real.toml")
    write_file(tmp_path / "job.toml", b"new", overwrite=True)
    assert (tmp_path / "job.toml").is_symlink()
    assert (tmp_path / "real.toml").read_bytes() == b"new"


@pytest.mark.skipif(sys.platform == "win32", reason="POSIX modes")
def test_files_and_folders_have_the_modes_that_the_user_has_set(tmp_path: Path) -> None:
    mask = os.umask(0o027)
    try:
        write_folder(tmp_path / "rover", FILES, ROLES)
        write_file(tmp_path / "job.toml", b"")
    finally:
        os.umask(mask)
    modes = {path.name: path.stat().st_mode & 0o777 for path in (tmp_path / "rover").iterdir()}
    assert modes == dict.fromkeys((*FILES, MANIFEST_NAME), 0o640)
    assert (tmp_path / "rover").stat().st_mode & 0o777 == 0o750
    assert (tmp_path / "job.toml").stat().st_mode & 0o777 == 0o640
