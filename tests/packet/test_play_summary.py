"""Play and strength in a line each, in account and page."""

from __future__ import annotations

from typing import Any

import pytest

from gearplate.packet.account import account
from gearplate.packet.page import page_bytes
from gearplate.packet.play_summary import often, play_summary_lines
from tests.builders.records import meshes, record


def played(*plays: dict[str, Any] | None) -> dict[str, Any]:
    """The usual record with a play for each of its meshes: three motors on S1, and S1 on the output."""
    one = record()
    own = meshes()
    for mesh, play in zip(own, plays, strict=True):
        mesh["play"] = play
    return one | {"train": one["train"] | {"meshes": own}}


def play(low: float, mean: float, high: float, binds: float = 0.0) -> dict[str, Any]:
    return {"likely_mm": [low, high], "mean_mm": {"operating": mean}, "probability_binds": binds}


def test_equal_motors_are_told_once_with_the_ends_of_all_of_them() -> None:
    first = [play(0.02, 0.2, 0.4), play(0.01, 0.1, 0.3), play(0.03, 0.3, 0.5)]
    text = " ".join(play_summary_lines(played(*first, play(0.05, 0.15, 0.25, 0.002)), 1000))
    assert (
        "M1, M2 and M3 to S1 0.010 to 0.500 mm, 0.200 mm on average; S1 to output 0.050 to 0.250 mm, 0.150 mm" in text
    )
    assert "binds in about 1 of 500; gearplate play tells all" in text


def test_meshes_that_bind_say_how_often() -> None:
    text = " ".join(play_summary_lines(played(*[play(-0.01, 0.1, 0.2, 0.008)] * 3, play(0.05, 0.1, 0.2)), 1000))
    assert "M1, M2 and M3 to S1 -0.010 to 0.200 mm" in text
    assert "binds in about 1 of 125" in text


@pytest.mark.parametrize(
    ("part", "told"), [(0.0, "fewer than 1 of 1000"), (0.004, "about 1 of 250"), (0.3, "about 30 of 100")]
)
def test_how_often(part: float, told: str) -> None:
    assert often(part) == told


def test_account_and_page_tell_both_and_what_is_not_known() -> None:
    one = played(*[play(0.02, 0.2, 0.4)] * 4)
    page = page_bytes(one).decode()
    for text in (" ".join(account(one, width=1000).split()), page):
        assert "M1, M2 and M3 to S1 0.020 to 0.400 mm, 0.200 mm on average" in text
        assert "not rated, the job says no duty.mass" in text
    assert play_summary_lines(record(), 80) == []
    unknown = played(*[play(0.02, 0.2, 0.4) | {"probability_binds": None}] * 4)
    assert play_summary_lines(unknown, 80) == []
