"""What the job leaves to the tool, set in order: first what moves a hole, then what decides whether things fit."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from gearplate.packet.characters import harmless
from gearplate.packet.columns import wrapped

USUAL = "common practice, no source"
MOST = (16, 10, 0)
"""How many of each group are told; the others are only counted."""

# Keys in the order in which they matter to whoever cuts and builds; "clearances." speaks for all keys under it.
GROUPS: tuple[tuple[str, tuple[str, ...]], ...] = (
    (
        "move or size holes",
        (
            "units", "hand", "plates.measured", "plates.thickness", "shaft.stock", "shaft.bearing",
            "shaft.pressed_from", "pressure_angle", "added_centre", "reduction.", "rail.mount", "rail.height",
            "rail.width", "rail.axle_from_bottom", "rail.axle_hole", "rail.screw", "rail.count", "standoffs.screw",
            "standoffs.count", "motors.screws", "motors.slots", "holes.",
        ),
    ),
    (
        "decide what fits",
        (
            "motors.side", "wheel.clear", "wheel.gap", "wheel.width", "gear.", "clearances.", "shaft.carried_by",
            "shaft.spacer", "shaft.float", "shaft.held_by", "duty.sprockets", "rail.wall", "rail.tube",
            "standoffs.diameter", "plates.gap", "plates.washers", "keep_outs.", "wheel.", "motors.", "shaft.", "rail.",
            "standoffs.",
        ),
    ),
    ("shape plates and files", ("plates.", "drawing_units", "revision", "")),
)  # fmt: skip


def assumed_lines(record: dict[str, Any], width: int) -> Iterator[str]:
    """The defaults that were used, by what they do; where one comes from, unless it is common practice."""
    assumed = record["assumptions"]
    if not assumed:
        return
    yield from wrapped(f"Still assumed ({USUAL}, unless said otherwise):", width, "", "  ")
    left = 0
    for number, ((title, _), most) in enumerate(zip(GROUPS, MOST, strict=True)):
        items = [item for item in in_order(assumed) if place_of(item["key"])[0] == number]
        left += max(0, len(items) - most)
        if items[:most]:
            yield from wrapped(f"{title}: {'; '.join(_told(item) for item in items[:most])}", width, "  ", "    ")
    if left:
        yield f"  and {left} more, in the record (--json prints it)"


def in_order(assumed: list[dict[str, Any]]) -> list[dict[str, Any]]:
    """The assumptions, those that matter most first."""
    return sorted(assumed, key=lambda item: (*place_of(item["key"]), item["key"]))


def place_of(key: str) -> tuple[int, int]:
    """Group and place in it of a key such as "plates.thickness (inboard)"."""
    bare = key.partition(" (")[0]
    for number, (_, names) in enumerate(GROUPS):
        for place, name in enumerate(names):
            if bare == name or (name.endswith(".") and bare.startswith(name) and not _named(bare)) or name == "":
                return number, place
    raise AssertionError("the last name of the last group takes every key")


def _named(key: str) -> bool:
    """Whether a key is named in full somewhere."""
    return any(key in names for _, names in GROUPS)


def _told(item: dict[str, Any]) -> str:
    standing = "" if item["standing"] == USUAL else f" ({item['standing']})"
    return f"{harmless(item['key'])} = {harmless(item['value'])}{standing}"
