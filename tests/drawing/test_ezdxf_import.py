"""The import of ezdxf leaves the environment as it was, and a user's own list of fonts in use."""

from __future__ import annotations

import os
from pathlib import Path as FilePath

import pytest

from gearplate.drawing.ezdxf_import import FONT_LIST, _spare_font_list


@pytest.mark.parametrize("given", [True, False])
def test_without_a_list_the_import_looks_into_an_empty_folder(
    given: bool, tmp_path: FilePath, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("HOME", str(tmp_path))
    monkeypatch.setenv("USERPROFILE", str(tmp_path))
    monkeypatch.delenv("XDG_CACHE_HOME", raising=False)
    if given:
        monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "cache"))
    before = os.environ.get("XDG_CACHE_HOME")
    with _spare_font_list():
        spare = FilePath(os.environ["XDG_CACHE_HOME"])
        assert spare != before
        assert "font-faces" in (spare / "ezdxf" / FONT_LIST).read_text()
    assert os.environ.get("XDG_CACHE_HOME") == before
    assert not spare.exists()
    assert list(tmp_path.iterdir()) == []


def test_a_list_that_is_there_is_used(tmp_path: FilePath, monkeypatch: pytest.MonkeyPatch) -> None:
    (tmp_path / "ezdxf").mkdir()
    (tmp_path / "ezdxf" / FONT_LIST).write_text("{}")
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path))
    with _spare_font_list():
        assert os.environ["XDG_CACHE_HOME"] == str(tmp_path)


def test_no_room_for_a_temporary_folder_is_no_error(tmp_path: FilePath, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path))

    def full(*_: object, **__: object) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(FilePath, "mkdir", full)
    with _spare_font_list():
        assert os.environ["XDG_CACHE_HOME"] == str(tmp_path)
