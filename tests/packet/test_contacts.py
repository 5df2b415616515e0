"""What a shaft stands at: told in the account, drawn in the overlay, from the record alone."""

from __future__ import annotations

from typing import Any
from xml.etree.ElementTree import Element

import pytest

from gearplate.packet.account import account
from gearplate.packet.overlay import overlay
from tests.builders.records import record
from tests.builders.svg_reading import SVG, Seen, read_picture


def contact(shaft: str, part: str, other: str, **changes: Any) -> dict[str, Any]:
    entry: dict[str, Any] = {
        "shaft": shaft, "part": part, "other": other, "kind": "motor", "check": "motor-to-motor",
        "key": "clearances.still", "gap_mm": 0.9, "least_mm": 0.5, "room_mm": 0.4, "holds": True,
        "from_mm": [-40.0, 80.0], "to_mm": [-39.1, 80.0],
    }  # fmt: skip
    return entry | changes


WHEEL: dict[str, Any] = {
    "kind": "wheel", "check": "motor-to-wheel", "key": "wheel.clear", "least_mm": 3.0, "gap_mm": 8.0,
    "room_mm": 5.0, "holds": False, "from_mm": [30.0, 50.0], "to_mm": [24.0, 44.7],
}  # fmt: skip


def drive(*contacts: dict[str, Any], free: tuple[str, ...] = ("M1", "M2"), **changes: Any) -> dict[str, Any]:
    one = record(**changes)
    one["layout"] = {"hull_mm2": 16_000.0, "certificate": None, "contacts": list(contacts)}
    for shaft in one["shafts"]:
        shaft["free"] = shaft["name"] in free
    return one


def lines(one: dict[str, Any]) -> list[str]:
    text = account(one, width=200).splitlines()
    start = next((number for number, line in enumerate(text) if line.startswith("Contacts:")), None)
    return [] if start is None else [" ".join(line.split()) for line in text[start:]]


def test_each_placed_shaft_has_a_line_in_the_drawn_unit() -> None:
    told = lines(drive(contact("M1", "M1", "M2"), contact("M1", "M1 screw 1 head", "wheel", **WHEEL)))
    assert "room in inches beyond the gap that must be kept" in told[0]
    # 0.4 mm = 0.0157 in, 0.5 = 0.0197, 5 = 0.1969, 3 = 0.1181
    assert (
        told[1] == "M1 at M2, 0.0157 beyond 0.0197 (clearances.still); "
        "screw 1 head near the wheel, 0.1969 beyond 0.1181 (wheel.clear)"
    )
    assert told[2] == "M2 nothing near"


@pytest.mark.parametrize(
    ("one", "told"),
    [
        (contact("M1", "M1", "M2", room_mm=-0.25), "M1 too near M2, 0.0098 short of 0.0197 (clearances.still)"),
        (
            contact("M1", "M1", "limits.up", kind="limit", key="limits.up", least_mm=0.0, room_mm=-2.54),
            "M1 past limits.up by 0.1000",
        ),
        (
            contact("M1", "M1", "limits.up", kind="limit", key="limits.up", least_mm=0.0, room_mm=2.54, holds=False),
            "M1 near limits.up, 0.1000 left",
        ),
        (
            contact("M1", "M1 screw 2", "S1 72T", kind="gear", check="motor-service", key=None, least_mm=0.0),
            "M1 driver on screw 2 at S1 72T, 0.0157 away",
        ),
        (
            contact("M1", "M1-pilot", "rail-1", kind="hole", check="web", key="clearances.web", least_mm=25.4),
            "M1 pilot at rail-1 (hole), 0.0157 beyond 1.0000 (clearances.web)",
        ),
        (contact("M1", "M1", "rail", kind="rail", key=None, least_mm=0.0, room_mm=0.0), "M1 at the rail, 0.0000 away"),
    ],
)
def test_words(one: dict[str, Any], told: str) -> None:
    assert lines(drive(one, free=("M1",)))[1] == told


def test_where_nothing_was_placed_or_the_record_is_older_nothing_is_told() -> None:
    assert lines(drive(free=())) == []
    assert lines(record()) == []


def test_bought_room_is_said_to_be_bought() -> None:
    assert "bought" in lines(drive(contact("M1", "M1", "M2")))[0]
    assert "bought" not in lines(drive(contact("M1", "M1", "M2", room_mm=0.001)))[0]


def heads_of(seen: Seen) -> list[Element]:
    """Closed shapes, tip first."""
    return [path for path in seen.group("overlay-contacts").findall(f"{SVG}path") if path.get("d", "").endswith("Z")]


def test_the_overlay_has_two_heads_at_each_gap_once() -> None:
    """What two shafts have in common is in the record twice."""
    shared = contact("M2", "M2", "M1", from_mm=[-39.1, 80.0], to_mm=[-40.0, 80.0])
    spare = contact("M1", "M1", "wheel", **WHEEL)
    for hand, sign in (("right", 1.0), ("left", -1.0)):
        seen = read_picture(overlay(drive(contact("M1", "M1", "M2"), shared, spare, hand=hand)).file())
        heads = heads_of(seen)
        tips = [tuple(float(value) for value in head.get("d", "").removeprefix("M").split()[:2]) for head in heads]
        wanted = [(-40.0, 80.0), (-39.1, 80.0), (30.0, 50.0), (24.0, 44.7)]
        assert tips == [pytest.approx((sign * x, -y), abs=0.001) for x, y in wanted]
        fills = [head.get("fill") for head in heads]
        assert fills[0] == fills[1] != fills[2] == fills[3]  # that held and that with room to spare look unlike
        for word in ("contact that holds a placed shaft", "contact with room to spare"):
            assert word in seen.texts()


def test_a_limit_is_a_line_with_one_head_before_it() -> None:
    limit = contact("M1", "M1", "limits.back", kind="limit", from_mm=[-120.0, 60.0], to_mm=[-124.0, 60.0])
    seen = read_picture(overlay(drive(limit)).file())
    assert len(heads_of(seen)) == 1
    assert len(seen.group("overlay-contacts").findall(f"{SVG}path")) == 3  # across the gap, the limit, the head


def test_what_stands_too_near_is_left_to_its_ring() -> None:
    seen = read_picture(overlay(drive(contact("M1", "M1", "M2", room_mm=-0.6, gap_mm=-0.1))).file())
    assert heads_of(seen) == []
    assert not any("contact" in text for text in seen.texts())


def test_without_contacts_the_legend_has_no_word_of_them() -> None:
    assert not any("contact" in text for text in read_picture(overlay(record()).file()).texts())
