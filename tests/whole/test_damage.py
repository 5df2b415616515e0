"""A cut file that is altered between writing and reading back makes no build and leaves nothing behind."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

import gearplate.drawing.dxf_out as writer
from gearplate.build import cut_files
from gearplate.errors import FileError, ToolBug
from gearplate.packet.write import write
from tests import zoo

NAME = "every-place-given"
Damage = Callable[[list[str]], None]


def circles(lines: list[str]) -> list[int]:
    """Where the circles begin in the lines of a file."""
    return [i for i in range(0, len(lines) - 1, 2) if lines[i].strip() == "0" and lines[i + 1] == "CIRCLE"]


def value_at(lines: list[str], start: int, code: str) -> int:
    """Line of the first value with that group code after `start`."""
    return next(i + 1 for i in range(start + 2, len(lines) - 1, 2) if lines[i].strip() == code)


def wider_hole(lines: list[str]) -> None:
    at = value_at(lines, circles(lines)[0], "40")
    lines[at] = f"{float(lines[at]) + 0.002:.6f}"


def moved_hole(lines: list[str]) -> None:
    at = value_at(lines, circles(lines)[-1], "10")
    lines[at] = f"{float(lines[at]) - 0.003:.6f}"


def lost_hole(lines: list[str]) -> None:
    start = circles(lines)[1]
    end = next(i for i in range(start + 2, len(lines), 2) if lines[i].strip() == "0")
    del lines[start:end]


def doubled_hole(lines: list[str]) -> None:
    start = circles(lines)[1]
    end = next(i for i in range(start + 2, len(lines), 2) if lines[i].strip() == "0")
    lines[end:end] = lines[start:end]


def hole_on_the_wrong_layer(lines: list[str]) -> None:
    lines[value_at(lines, circles(lines)[2], "8")] = "etch"


def open_outline(lines: list[str]) -> None:
    outer = max(i for i in range(1, len(lines), 2) if lines[i] == "outer")
    lines[value_at(lines, outer - 1, "70")] = "0"


def other_unit(lines: list[str]) -> None:
    lines[lines.index("$INSUNITS") + 2] = "1"


def measurement_at_odds(lines: list[str]) -> None:
    lines[lines.index("$MEASUREMENT") + 2] = "0"


def _drawing(lines: list[str]) -> range:
    return range(lines.index("ENTITIES") + 1, len(lines) - 1, 2)


def scaled_by_an_inch(lines: list[str]) -> None:
    for i in _drawing(lines):
        if lines[i].strip() in ("10", "20", "40"):
            lines[i + 1] = f"{25.4 * float(lines[i + 1]):.6f}"


def mirrored(lines: list[str]) -> None:
    for i in _drawing(lines):
        if lines[i].strip() in ("10", "42"):
            lines[i + 1] = f"{-float(lines[i + 1]):.10f}"


def cut_short(lines: list[str]) -> None:
    del lines[len(lines) // 2 :]


DAMAGES: list[Damage] = [
    wider_hole, moved_hole, lost_hole, doubled_hole, hole_on_the_wrong_layer, open_outline, other_unit,
    measurement_at_odds, scaled_by_an_inch, mirrored, cut_short,
]  # fmt: skip


def altering(damage: Damage, true_bytes: Callable[..., bytes], which: int) -> Callable[..., bytes]:
    """The writer, whose `which`-th file is damaged."""
    count = iter(range(99))

    def write_damaged(*given: Any, **more: Any) -> bytes:
        data = true_bytes(*given, **more)
        if next(count) != which:
            return data
        lines = data.decode("ascii").split("\n")
        damage(lines)
        altered = "\n".join(lines).encode("ascii")
        assert altered != data
        return altered

    return write_damaged


@pytest.mark.parametrize("which", [0, 1])
@pytest.mark.parametrize("damage", DAMAGES, ids=lambda one: one.__name__)
def test_no_build_of_a_damaged_file(
    damage: Damage, which: int, monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    monkeypatch.setattr(writer, "dxf_bytes", altering(damage, writer.dxf_bytes, which))
    with pytest.raises(ToolBug):
        write(zoo.built(NAME), tmp_path / "out")
    assert list(tmp_path.iterdir()) == []


def test_an_earlier_build_stays_whole(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    write(zoo.built(NAME), tmp_path / "out")
    before = {file.name: file.read_bytes() for file in (tmp_path / "out").iterdir()}
    monkeypatch.setattr(writer, "dxf_bytes", altering(lost_hole, writer.dxf_bytes, 1))
    with pytest.raises(ToolBug):
        write(zoo.built("left-hand"), tmp_path / "out")
    assert [file.name for file in tmp_path.iterdir()] == ["out"]
    assert {file.name: file.read_bytes() for file in (tmp_path / "out").iterdir()} == before


def test_a_plate_that_is_its_own_mirror_is_no_mirror_fault() -> None:
    """Cut, it is the same; its two hands differ in what is etched."""
    made = cut_files(zoo.built("its-own-mirror"))
    assert all(found == asked > 0 for found, asked in made.holes)


def test_a_disk_that_changes_what_was_written_is_told(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    true_read = Path.read_bytes
    monkeypatch.setattr(
        Path, "read_bytes", lambda file: true_read(file) + (b" " if file.name.endswith(".dxf") else b"")
    )
    with pytest.raises(FileError, match="reads otherwise than it was written"):
        write(zoo.built(NAME), tmp_path / "out")
