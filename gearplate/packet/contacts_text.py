"""What each shaft that the tool placed stands at or near, in words."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from gearplate.packet.characters import harmless
from gearplate.packet.columns import wrapped
from gearplate.packet.sizes import bare, unit_of, unit_word

_PLAIN = {"motor", "gear", "limit"}  # of these the name says what they are
_THE = {"wheel", "rail", "floor"}
NOTHING_MM = 5e-4  # as in the findings
_BOUGHT_MM = 0.1  # less is what a search leaves by itself


def contacts_of(record: dict[str, Any]) -> list[dict[str, Any]]:
    """The contacts of a record; none where it has no layout, or is older than they are."""
    layout = record.get("layout")
    return [] if layout is None else layout.get("contacts", [])


def contact_lines(record: dict[str, Any], width: int, keys: bool) -> Iterator[str]:
    """One line for each placed shaft: what it stands at, what it is near; with the job's keys that ask it, or short."""
    if record.get("layout") is None:
        return
    free = [shaft["name"] for shaft in record["shafts"] if shaft["free"]]
    if not free:
        return
    unit = unit_of(record)
    found = contacts_of(record)
    head = (
        f"Contacts: what holds each placed shaft (at) or is nearest to it (near), with the room in {unit_word(unit)} "
        "beyond the gap that must be kept"
    )
    if any(one["holds"] and one["room_mm"] > _BOUGHT_MM for one in found):
        head += "; the room at what holds it was bought with a share of the hull"
    yield from wrapped(head, width, "", "  ")
    wide = max(len(name) for name in free) + 2
    for name in free:
        told = "; ".join(_told(record, one, keys) for one in found if one["shaft"] == name) or "nothing near"
        yield from wrapped(told, width, f"  {name.ljust(wide)}", " " * (wide + 4))


def _told(record: dict[str, Any], one: dict[str, Any], keys: bool) -> str:
    """ "at the wheel, 0.420 beyond 3.000 (wheel.clear)"."""
    unit = unit_of(record)
    part = part_of(one)
    own = f"{part} " if part else ""
    kept = bare(one["least_mm"], unit) + (f" ({one['key']})" if keys and one["key"] else "")
    limit, kept_off = one["kind"] == "limit", one["least_mm"] > 0.0
    if one["room_mm"] < -NOTHING_MM:
        short = bare(-one["room_mm"], unit)
        if limit:
            return f"{own}past {other_of(one)} by {short}"
        return f"{own}too near {other_of(one)}, {short} {f'short of {kept}' if kept_off else 'into it'}"
    beyond = f"beyond {kept}" if kept_off else "left" if limit else "away"
    return f"{own}{'at' if one['holds'] else 'near'} {other_of(one)}, {bare(max(one['room_mm'], 0.0), unit)} {beyond}"


def part_of(one: dict[str, Any]) -> str:
    """What of the shaft it is: "72T", "screw 2 head"; nothing for the motor itself."""
    part = harmless(one["part"], 60).removeprefix(one["shaft"]).lstrip(" -")
    return f"driver on {part}" if one["check"] == "motor-service" and one["kind"] != "driver" else part


def other_of(one: dict[str, Any]) -> str:
    """The other thing: "M2", "the wheel", "rail-4 (rail spacer)", "limits.height"."""
    kind, other = one["kind"], harmless(one["other"], 60)
    if kind in _THE and other == kind:
        return f"the {other}"
    if kind == "driver":
        return f"the driver on {other}"
    return other if kind in _PLAIN or kind in other else f"{other} ({kind})"
