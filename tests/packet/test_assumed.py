"""What is still assumed: what moves a hole first, nothing forgotten, nothing told twice."""

from __future__ import annotations

from gearplate.job.defaults import DEFAULTS
from gearplate.packet.assumed import GROUPS, assumed_lines, in_order, place_of
from tests.builders.records import record


def item(key: str, standing: str = "common practice, no source") -> dict[str, str]:
    return {"key": key, "value": "1", "standing": standing, "why": ""}


def test_every_default_that_is_told_has_a_place_of_its_own() -> None:
    last = len(GROUPS) - 1, len(GROUPS[-1][1]) - 1
    assert [key for key, default in DEFAULTS.items() if default.told and place_of(key) == last] == []
    named = [name for _, names in GROUPS for name in names if name and not name.endswith(".")]
    assert [name for name in named if name not in DEFAULTS] == []
    assert len(set(named)) == len(named)


def test_what_moves_a_hole_comes_first() -> None:
    keys = ["clearances.still", "plates.letter_height", "plates.thickness (inboard)", "added_centre", "wheel.clear"]
    assert [one["key"] for one in in_order([item(key) for key in keys])] == [
        "plates.thickness (inboard)", "added_centre", "wheel.clear", "clearances.still", "plates.letter_height",
    ]  # fmt: skip


def test_the_lines_are_grouped_and_count_what_they_leave_out() -> None:
    assumed = [item(key) for key, default in DEFAULTS.items() if default.told] + [item("added_centre (x)", "standard")]
    lines = list(assumed_lines(record(assumptions=assumed), 10_000))
    assert len(lines) == 4
    told = sum(line.count(" = ") for line in lines[1:3])
    assert lines[3] == f"  and {len(assumed) - told} more, in the record (--json prints it)"
    assert lines[1].startswith("  move or size holes: units = 1; ")
    assert "added_centre (x) = 1 (standard)" in lines[1]
    assert lines[2].startswith("  decide what fits: motors.side = 1; ")
    assert list(assumed_lines(record(assumptions=[]), 80)) == []
