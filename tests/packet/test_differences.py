"""What changed since the last build: told from a micrometre on, and nothing told that did not change."""

from __future__ import annotations

import copy
import math
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from gearplate.packet.changes_page import changes_page
from gearplate.packet.contents import CHANGES, Earlier, Packet, PacketFile
from gearplate.packet.differences import (
    LINES_MOVED,
    NOT_COMPARED,
    NOTHING_ELSE_MOVED,
    NOTHING_MOVED,
    difference_lines,
)
from gearplate.packet.earlier import change_lines
from tests.builders.records import finding, hull, record


def feature(one: dict[str, Any], name: str, plate: int = 0) -> dict[str, Any]:
    found: dict[str, Any] = next(f for f in one["plates"][plate]["features"] if f["id"] == name)
    return found


def changed(**edits: Any) -> dict[str, Any]:
    return copy.deepcopy(record(**edits))


def test_the_same_build_twice() -> None:
    assert difference_lines(record("both"), record("both")) == (NOTHING_MOVED,)


def test_an_edited_bore_and_nothing_else() -> None:
    new = changed()
    bore = feature(new, "S1-bore")
    bore["finished_diameter_mm"] = 21.98
    assert difference_lines(record(), new) == ("Changed: outboard: S1-bore 21.960 → 21.980 mm", NOTHING_ELSE_MOVED)


@pytest.mark.parametrize(("by", "told"), [(0.0009, False), (0.001, True), (0.0011, True)])
def test_from_a_micrometre_on(by: float, told: bool) -> None:
    moved, wider, outline = changed(), changed(), changed()
    feature(moved, "rail-1")["x_mm"] += by
    feature(wider, "rail-1")["finished_diameter_mm"] += by
    for vertex in outline["plates"][0]["outline"]["vertices"]:
        vertex[1] += by
    for new in (moved, wider, outline):
        lines = difference_lines(record(), new)
        assert (lines[-1] == NOTHING_ELSE_MOVED) is told
        assert len(lines) == (2 if told else 1)


def test_a_moved_hole_says_how_far_and_which_way() -> None:
    new = changed()
    feature(new, "standoff-2")["x_mm"] += 0.3
    feature(new, "standoff-2")["y_mm"] -= 0.4
    assert difference_lines(record(), new)[0] == (
        "Changed: outboard: standoff-2 moved by 0.500 mm (forward +0.300, up -0.400)"
    )


def test_the_same_change_in_every_plate_and_hand_is_told_once() -> None:
    new = changed(hand="both")
    for plate in new["plates"]:
        hole = next(f for f in plate["features"] if f["id"] == "standoff-2")
        hole["x_mm"] += 0.3 if plate["hand"] == "right" else -0.3
    lines = difference_lines(record("both"), new)
    assert lines == (
        "Changed: outboard right and inboard right and outboard left and inboard left: "
        "standoff-2 moved by 0.300 mm (forward +0.300, up 0.000)",
        NOTHING_ELSE_MOVED,
    )


def test_added_removed_and_renamed() -> None:
    new = changed()
    holes = new["plates"][0]["features"]
    holes.remove(feature(new, "sensor"))
    feature(new, "rail-1")["id"] = "brace"
    extra = copy.deepcopy(feature(new, "rail-2"))
    holes.append(extra | {"id": "encoder", "x_mm": 10.0, "y_mm": 20.0})
    assert difference_lines(record(), new) == (
        "Changed: outboard: encoder added: 5.250 mm at (10.000, 20.000) mm",
        "Changed: outboard: sensor removed: slot at (32.000, 36.000) mm",
        "Changed: outboard: rail-1 is now called brace",
        NOTHING_ELSE_MOVED,
    )


def test_a_hole_that_only_changed_its_name_has_not_moved() -> None:
    new = changed()
    feature(new, "rail-1")["id"] = "brace"
    assert difference_lines(record(), new)[-1] == NOTHING_MOVED


def test_standoffs_that_are_only_numbered_otherwise_have_not_moved() -> None:
    new = changed()
    for plate in new["plates"]:
        for hole in plate["features"]:
            if hole["kind"] == "standoff":
                hole["id"] = {"1": "standoff-3", "2": "standoff-1", "3": "standoff-2"}[hole["id"][-1]]
    assert difference_lines(record(), new) == (
        "Changed: outboard and inboard: standoff is numbered otherwise: 1 → 3, 2 → 1, 3 → 2",
        NOTHING_MOVED,
    )


def test_one_standoff_more_in_front_of_the_others_is_one_that_was_added() -> None:
    new = changed()
    holes = [hole for hole in new["plates"][0]["features"] if hole["kind"] == "standoff"]
    for hole, number in zip(holes, (2, 3, 4), strict=True):
        hole["id"] = f"standoff-{number}"
    feature(new, "standoff-3")["y_mm"] += 0.5
    new["plates"][0]["features"].append(copy.deepcopy(holes[0]) | {"id": "standoff-1", "x_mm": 10.0, "y_mm": 20.0})
    assert difference_lines(record(), new) == (
        "Changed: outboard: standoff-3 moved by 0.500 mm (forward 0.000, up +0.500)",
        "Changed: outboard: standoff-1 added: 5.250 mm at (10.000, 20.000) mm",
        "Changed: outboard: standoff is numbered otherwise: 1 → 2, 2 → 3, 3 → 4",
        NOTHING_ELSE_MOVED,
    )
    back = difference_lines(new, record())
    assert "Changed: outboard: standoff-2 moved by 0.500 mm (forward 0.000, up -0.500)" in back
    assert "Changed: outboard: standoff-1 removed: 5.250 mm at (10.000, 20.000) mm" in back
    assert not [line for line in back if "added" in line]


def test_screws_are_paired_within_their_own_motor() -> None:
    new = changed()
    one, two = (copy.deepcopy(feature(record(), f"M1-screw-{number}")) for number in (1, 2))
    feature(new, "M1-screw-1").update(x_mm=two["x_mm"], y_mm=two["y_mm"])
    feature(new, "M1-screw-2").update(x_mm=one["x_mm"], y_mm=one["y_mm"])
    assert difference_lines(record(), new) == (
        "Changed: outboard: M1-screw is numbered otherwise: 1 → 2, 2 → 1",
        NOTHING_MOVED,
    )


def test_a_name_of_the_users_own_is_no_number() -> None:
    new, old = changed(), changed()
    for one, names in ((old, ("eye-1", "eye-2")), (new, ("eye-2", "eye-1"))):
        for name, at in zip(names, (("rail-1"), ("rail-2")), strict=True):
            feature(one, at).update(id=name, kind="own")
    assert all("moved by 24.000 mm" in line for line in difference_lines(old, new)[:2])


def test_a_turned_slot_and_a_window_of_another_shape() -> None:
    new = changed()
    slot = feature(new, "sensor")
    x, y = slot["x_mm"], slot["y_mm"]
    for vertex in slot["vertices"]:
        vertex[0], vertex[1] = x - (vertex[1] - y), y + (vertex[0] - x)
    feature(new, "window-1", 1)["vertices"][0][0] -= 1.0
    lines = difference_lines(record(), new)
    assert lines[0].startswith("Changed: outboard: sensor changed its shape by up to ")
    assert lines[1] == "Changed: inboard: window-1 changed its shape by up to 1.000 mm"


def test_a_wider_slot_and_another_form() -> None:
    new = changed()
    feature(new, "sensor")["finished_diameter_mm"] = 4.5
    round_one = feature(new, "rail-4")
    slot = feature(record(), "sensor")
    round_one |= {"form": "slot", "vertices": slot["vertices"]}
    lines = difference_lines(record(), new)
    assert "Changed: outboard: sensor 4.000 → 4.500 mm wide" in lines
    assert any(line.startswith("Changed: outboard: rail-4 circle → slot") for line in lines)


def test_an_outline_that_starts_elsewhere_is_the_same() -> None:
    new = changed()
    vertices = new["plates"][0]["outline"]["vertices"]
    new["plates"][0]["outline"]["vertices"] = vertices[5:] + vertices[:5]
    assert difference_lines(record(), new) == (NOTHING_MOVED,)


@settings(max_examples=30, deadline=None)
@given(st.floats(0.01, 20), st.integers(0, 4))
def test_an_outline_with_one_disc_larger_has_moved_by_as_much(by: float, which: int) -> None:
    discs = [(-60.0, 0.0, 10.0), (60.0, 0.0, 10.0), (50.0, 90.0, 12.0), (0.0, 120.0, 9.0), (-55.0, 80.0, 11.0)]
    larger = [(x, y, r + by * (i == which)) for i, (x, y, r) in enumerate(discs)]
    old, new = record(), record()
    old["plates"][0]["outline"]["vertices"] = hull(discs)
    new["plates"][0]["outline"]["vertices"] = hull(larger)
    line = difference_lines(old, new)[0]
    told = float(line.rpartition("up to ")[2].removesuffix(" mm"))
    assert line.startswith("Changed: outboard: outline moved by up to")
    assert 0.6 * by <= told <= by + 0.002  # hulls of walked steps are good to about a micrometre


def test_kerf_moves_lines_and_no_metal() -> None:
    new = changed()
    for plate in new["plates"]:
        plate |= {"kerf_mm": 0.22, "kerf_x_mm": 0.22, "kerf_y_mm": 0.22}
    assert difference_lines(record(), new) == (
        "Changed: outboard and inboard: kerf 0.2 → 0.22 mm: the drawn lines follow, the finished sizes stay",
        LINES_MOVED,
    )


def test_kerf_that_differs_by_axis_is_told_for_each_though_its_mean_stays() -> None:
    new = changed()
    for plate in new["plates"]:
        plate |= {"kerf_x_mm": 0.26, "kerf_y_mm": 0.14}
    assert difference_lines(record(), new) == (
        "Changed: outboard and inboard: kerf 0.2 → 0.26 mm along x, 0.2 → 0.14 mm along y: "
        "the drawn lines follow, the finished sizes stay",
        LINES_MOVED,
    )


def test_kerf_that_the_machine_takes_care_of_moves_no_line() -> None:
    old, new = changed(), changed()
    for one, kerf in ((old, 0.2), (new, 0.25)):
        for plate in one["plates"]:
            plate |= {"kerf_mm": kerf, "kerf_x_mm": kerf, "kerf_y_mm": kerf, "machine_compensates": True}
    lines = difference_lines(old, new)
    assert "kerf 0.2 → 0.25 mm: to be set at the machine, the drawn lines stay" in lines[0]
    assert lines[-1] == NOTHING_MOVED


def test_a_run_in_that_comes_goes_or_turns() -> None:
    old, new, turned = changed(), changed(), changed()
    feature(new, "S1-bore").update(lead_in=True, lead_in_points_mm=[[0.0, 1.5], [0.0, 0.0]])
    feature(turned, "S1-bore").update(lead_in=True, lead_in_points_mm=[[0.3, 1.5], [0.0, 0.0]])
    said = [difference_lines(*two) for two in ((old, new), (new, old), (new, turned), (new, new))]
    assert "S1-bore now begins with a run-in from the slug" in said[0][0]
    assert "S1-bore no longer begins with a run-in" in said[1][0]
    assert "S1-bore has its run-in moved by up to 0.300 mm" in said[2][0]
    assert [lines[-1] for lines in said] == [LINES_MOVED] * 3 + [NOTHING_MOVED]


def test_a_corrected_scale_moves_lines_and_no_metal() -> None:
    new = changed()
    for plate in new["plates"]:
        plate["scale_x"] = 1.002004008
    assert difference_lines(record(), new) == (
        "Changed: outboard and inboard: scale of the drawn lines is now 1.00200 × 1.00000: the finished sizes stay",
        LINES_MOVED,
    )


def test_thickness_material_side_and_file() -> None:
    new = changed()
    new["plates"][0] |= {"thickness_mm": 6.0, "material": "birch-ply-6mm", "face_up": "inboard", "file": "b.dxf"}
    lines = difference_lines(record(), new)
    assert "Changed: outboard: thickness 6.35 → 6 mm" in lines
    assert "Changed: outboard: material acetal-6mm → birch-ply-6mm" in lines
    assert "Changed: outboard: face up outboard → inboard: the file is turned over" in lines
    assert any(line.startswith("Changed: outboard: file compost-drive-A-outboard") for line in lines)
    assert lines[-1] == LINES_MOVED
    thicker = changed()
    thicker["plates"][0]["thickness_mm"] = 6.3
    assert difference_lines(record(), thicker) == ("Changed: outboard: thickness 6.35 → 6.3 mm", NOTHING_MOVED)


def test_a_hand_that_is_no_longer_made() -> None:
    lines = difference_lines(record("both"), record("right"))
    assert "Changed: outboard plate, left hand no longer made" in lines
    back = difference_lines(record("right"), record("both"))
    assert "Changed: inboard plate, left hand added" in back


def test_train_shop_and_status() -> None:
    new = changed()
    new["train"]["meshes"][0]["driver_teeth"] = 13
    new["train"]["ratio"] = 10.38
    new["shop"]["cutter"] = "other"
    new["status"] = "refused"
    lines = difference_lines(record(), new)
    assert "Changed: train ratio 11.25 → 10.38" in lines
    assert "Changed: cutter demo → other" in lines
    assert "Changed: the build was ok, is refused" in lines
    assert lines[-1] == NOTHING_MOVED


def test_findings_alone_move_nothing() -> None:
    assert difference_lines(record(), record(findings=[finding()])) == (NOTHING_MOVED,)


def test_many_changes_are_counted_and_all_on_their_page() -> None:
    new = changed()
    for hole in new["plates"][0]["features"]:
        hole["x_mm"] += 1.0
    lines = difference_lines(record(), new)
    assert len(lines) == len(new["plates"][0]["features"]) + 1
    known = Earlier(record(), b"", kept=False)
    shown = list(change_lines(Packet("out", (PacketFile("changes.html", CHANGES),), new, known, lines)))
    assert shown == [
        *lines[:8],
        f"and {len(lines) - 9} more changes: changes.html tells all {len(lines) - 1}",
        lines[-1],
    ]
    page = changes_page(new, known, lines).decode("utf-8")
    for line in lines:
        assert line.removeprefix("Changed: ") in page


@pytest.mark.parametrize(
    "old",
    [
        {},
        {"record": "gearplate-design/0"},
        {"record": "gearplate-design/1"},
        {"record": "gearplate-design/1", "plates": 3},
        {"record": "gearplate-design/1", "plates": [{"plate": "outboard"}]},
        record() | {"plates": [{"plate": "outboard", "hand": "right", "features": None}]},
        record() | {"plates": [record()["plates"][0] | {"outline": {"vertices": []}}]},
        record() | {"plates": [record()["plates"][0] | {"outline": {"vertices": [["a", 0, 0]]}}]},
        record() | {"shop": None},
    ],
)
def test_a_record_of_another_kind_is_not_compared(old: dict[str, Any]) -> None:
    assert difference_lines(old, record()) == (NOT_COMPARED,)


def test_a_small_turn_is_seen_at_the_rim() -> None:
    old, new = record(), record()
    angle = 2e-5  # rad: 2 micrometres at 100 mm
    for vertex in new["plates"][0]["outline"]["vertices"]:
        x, y, _ = vertex
        vertex[0], vertex[1] = x - angle * y, y + angle * x
    told = float(difference_lines(old, new)[0].rpartition("up to ")[2].removesuffix(" mm"))
    farthest = max(math.hypot(x, y) for x, y, _ in old["plates"][0]["outline"]["vertices"])
    assert 0.001 <= told <= angle * farthest + 5e-4
