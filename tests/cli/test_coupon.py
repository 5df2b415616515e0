"""`gearplate coupon`: a folder of its own with file, page and record; refusals change nothing."""

from __future__ import annotations

import hashlib
import json
from pathlib import Path

from tests.builders.command import call


def test_it_writes_a_folder_that_a_second_run_replaces_by_the_same(tmp_path: Path):
    target = tmp_path / "coupon"
    result = call("coupon", "compost-drive", "--out", str(target), folder=tmp_path)
    assert result.code == 0
    assert "bearing FR8ZZ-hex" in result.out
    first = {path.name: path.read_bytes() for path in target.iterdir()}
    assert all(name in result.out for name in first)
    assert set(first) == {"index.html", "coupon.json", "manifest.json", "compost-drive_coupon_acetal-6mm_mm.dxf"}
    listed = {entry["name"]: entry["sha256"] for entry in json.loads(first["manifest.json"])["files"]}
    assert listed == {n: hashlib.sha256(d).hexdigest() for n, d in first.items() if n != "manifest.json"}
    assert call("coupon", "compost-drive", "--out", str(target), folder=tmp_path).code == 0
    assert {path.name: path.read_bytes() for path in target.iterdir()} == first


def test_json_is_the_record(tmp_path: Path):
    result = call("coupon", "compost-drive", "--out", str(tmp_path / "c"), "--json", folder=tmp_path)
    assert json.loads(result.out) == json.loads((tmp_path / "c" / "coupon.json").read_text(encoding="utf-8"))


def test_what_must_never_be_cut_is_refused(tmp_path: Path):
    result = call("coupon", "compost-drive", "--set", "material=pvc-6mm", "--out", str(tmp_path / "c"), folder=tmp_path)
    assert result.code == 2
    assert "never be cut" in result.err
    assert not (tmp_path / "c").exists()


def test_a_folder_of_others_is_left_alone(tmp_path: Path):
    (tmp_path / "mine.txt").write_text("mine", encoding="utf-8")
    result = call("coupon", "compost-drive", "--out", str(tmp_path), folder=tmp_path)
    assert result.code == 2
    assert [path.name for path in tmp_path.iterdir()] == ["mine.txt"]
