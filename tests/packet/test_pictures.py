"""The pictures show what the record says, where it says, and can hold nothing else."""

from __future__ import annotations

import math
from typing import Any

import pytest

from gearplate.packet.overlay import overlay
from gearplate.packet.plate_picture import names_in_short, plate_picture
from tests.builders.records import MOTORS, S1, finding, motor_place, record
from tests.builders.svg_reading import SVG, Seen, read_picture

EVIL = '"><script>alert(1)</script><svg onload="x">&amp;\x1b[31m\u202e\x00\ud800' + "long " * 60


def overlay_of(**changes: Any) -> Seen:
    return read_picture(overlay(record(**changes)).file())


def preview_of(one: dict[str, Any], index: int = 0) -> Seen:
    return read_picture(plate_picture(one, one["plates"][index]).file())


def close(one: tuple[float, ...], other: tuple[float, ...]) -> bool:
    return all(abs(a - b) <= 0.0011 for a, b in zip(one, other, strict=True))  # three decimals are written


def holds(circles: list[tuple[float, float, float]], *wanted: tuple[float, float, float]) -> bool:
    return all(any(close(circle, one) for circle in circles) for one in wanted)


def test_gears_stand_where_their_shafts_do() -> None:
    seen = overlay_of()
    # outside diameter = (z + 2) m, pitch diameter = z m, for teeth without shift
    assert holds(seen.circles("gears-1"), (*S1, 74 * 1.27), *((*motor_place(name), 14 * 1.27) for name in MOTORS))
    assert holds(seen.circles("pitch-circles-1"), (*S1, 72 * 1.27))
    assert holds(seen.circles("gears-2"), (*S1, 34 * 1.27), (0.0, 0.0, 62 * 1.27))
    assert holds(seen.circles("pitch-circles-2"), (*S1, 32 * 1.27), (0.0, 0.0, 60 * 1.27))


def test_motors_wheel_rail_and_posts() -> None:
    seen = overlay_of()
    assert holds(seen.circles("motors-outboard"), (*motor_place("M1"), 37.0), (*motor_place("M2"), 37.0))
    assert seen.circles("motors-inboard") == [pytest.approx((*motor_place("M3"), 37.0), abs=0.001)]
    assert holds(seen.circles("-wheel"), (0.0, 0.0, 101.6))
    assert len(seen.circles("posts")) == 7
    assert seen.group("overlay-rail").find(f"{SVG}path") is not None
    for text in ("M1", "S1", "output", "72 and 32 teeth", "60 teeth", "wheel 4.0000 in", "rail", "sensor"):
        assert text in seen.texts()


def test_the_left_hand_is_the_mirror_image() -> None:
    seen = overlay_of(hand="left")
    assert holds(seen.circles("gears-1"), (-S1[0], S1[1], 74 * 1.27))
    assert "left hand" in seen.texts()
    both = overlay_of(hand="both")
    assert holds(both.circles("gears-1"), (*S1, 74 * 1.27))
    assert "right hand; the left one is its mirror image" in " ".join(both.texts())


@pytest.mark.parametrize("hand", ["right", "left"])
@pytest.mark.parametrize("index", [0, 1])
def test_a_preview_shows_the_plate_as_it_lies(hand: str, index: int) -> None:
    one = record(hand)
    plate = one["plates"][index]
    sign = -1 if plate["turned"] else 1
    seen = preview_of(one, index)
    round_ones = [f for f in plate["features"] if f["form"] == "circle"]
    wanted = [(sign * f["x_mm"], f["y_mm"], f["finished_diameter_mm"]) for f in round_ones]
    assert len(seen.circles("holes")) == len(wanted)
    assert holds(seen.circles("holes"), *wanted)
    for feature in plate["features"]:
        assert feature["id"] in seen.texts()
    text = " ".join(seen.texts())
    assert f"{plate['face_up']} face up" in text
    assert "Ø 28.535" in text
    assert "1.1156" in text  # 28.335 mm drawn, in the unit of the file
    assert "6.750 × 6.238 in" in text
    assert "Kerf (0.200 mm, invented) IS in the lines" in text
    assert "Nobody measured that kerf on this cutter" in text


def test_a_slot_turns_with_its_sheet() -> None:
    for hand in ("right", "left"):
        one = record(hand)
        plate = one["plates"][0] | {"turned": True, "face_up": "inboard"}
        seen = read_picture(plate_picture(one, plate).file())
        slot = next(f for f in plate["features"] if f["id"] == "sensor")
        paths = [p.get("d", "") for p in seen.group("holes").findall(f"{SVG}path")]
        x, y, _ = slot["vertices"][0]
        start = f"M{-x:.3f}".rstrip("0") + f" {-y:.3f}".rstrip("0")
        assert any(path.startswith(start) for path in paths)
        # counter-clockwise in the frame is clockwise in the sheet that is turned over: sweep flag 1
        path = next(path for path in paths if path.startswith(start))
        assert " 0 0 1 " in path
        assert " 0 0 0 " not in path


def test_machine_that_compensates() -> None:
    one = record()
    one["plates"][0] |= {"machine_compensates": True}
    assert "Kerf is NOT in the lines" in " ".join(preview_of(one).texts())


def test_findings_are_ringed_and_told() -> None:
    one = record(findings=[finding(at=(-4.0, 47.0)), finding("web", "warning", at=None, plate="inboard", limit=None)])
    seen = read_picture(overlay(one).file())
    assert [ring[:2] for ring in seen.circles("finding-1")] == [(-4.0, 47.0)] * 2
    assert [ring[:2] for ring in seen.circles("finding-2")] == [(50.0, 52.0)] * 2  # where its feature stands
    text = " ".join(seen.texts())
    assert "error: gear-to-body" in text
    assert "there is -0.412 mm; needs at least 1.000 mm" in text
    inboard = preview_of(one, 1)
    assert [ring[:2] for ring in inboard.circles("finding-2")] == [(-50.0, 52.0)] * 2  # turned over
    outboard = preview_of(one, 0)
    assert "warning: web" not in outboard.texts()


def test_a_finding_without_a_place_is_told_and_not_ringed() -> None:
    lost = finding(at=None)
    lost["where"] |= {"shafts": [], "features": []}
    seen = overlay_of(findings=[lost])
    assert not [g for g in seen.drawing.iter(f"{SVG}g") if g.get("id", "").startswith("overlay-finding")]
    assert "error: gear-to-body" in seen.texts()


@pytest.mark.parametrize("status", ["draft", "refused"])
def test_what_is_not_to_be_cut_says_so(status: str) -> None:
    one = record(status=status, findings=[finding()])
    for seen in (read_picture(overlay(one).file()), preview_of(one)):
        assert status.upper() in seen.texts()
        assert any(text.startswith(status.upper()) and len(text) > 12 for text in seen.texts())
    for seen in (overlay_of(), preview_of(record())):
        assert not [text for text in seen.texts() if "DRAFT" in text or "REFUSED" in text]


def test_cautions_stand_in_the_files_and_not_twice_in_the_page() -> None:
    one = record()
    assert "pinch points: gears draw in fingers" in " ".join(read_picture(overlay(one).file()).texts())
    assert "trained operator" in " ".join(preview_of(one).texts())
    assert "pinch points" not in overlay(one).text()
    assert "trained operator" not in plate_picture(one, one["plates"][0]).text()


def test_names_in_a_job_are_text_and_nothing_else() -> None:
    one = record(
        job_part=EVIL,
        job_title=EVIL,
        job_revision=EVIL,
        findings=[finding(EVIL, message=EVIL, limit=None, measured=None)],
    )
    one["plates"][0]["features"][-1]["id"] = EVIL
    one["plates"][0]["material"] = EVIL
    one["bodies"].append(one["bodies"][0] | {"kind": "keep-out", "name": EVIL, "group": EVIL})
    for seen in (read_picture(overlay(one).file()), preview_of(one)):
        assert any("<script>" in text for text in seen.texts())
        assert not [c for text in seen.texts() for c in text if ord(c) < 32 or c in "\u202e\ud800"]


def test_the_same_record_gives_the_same_bytes() -> None:
    one = record("both", findings=[finding()])
    assert overlay(one).file() == overlay(record("both", findings=[finding()])).file()
    assert plate_picture(one, one["plates"][2]).file() == plate_picture(one, one["plates"][2]).file()


def test_where_nothing_was_laid_out_there_is_still_a_picture() -> None:
    one = record(status="refused", plates=[], shafts=[], gears=[], bodies=[], stack=None, motors=[])
    one["train"] = {"ratio": None, "meshes": []}
    assert "REFUSED" in read_picture(overlay(one).file()).texts()


def test_a_keep_out_reaches_no_farther_than_the_picture() -> None:
    one = record()
    box = one["bodies"][-1] | {"kind": "keep-out", "name": "battery", "box_mm": [20.0, 60.0, 1e6, 90.0]}
    one["bodies"].append(box)
    seen = read_picture(overlay(one).file())
    width = float(seen.drawing.get("viewBox", "").split()[2])
    assert width < 320.0
    assert "battery" in seen.texts()


def test_runs_of_numbered_names_are_drawn_together() -> None:
    assert names_in_short(["rail-1", "rail-2", "rail-3", "a", "b-1", "b-2"]) == "rail-1 to 3, a, b-1, b-2"
    assert names_in_short(["x-1", "x-3", "y"]) == "x-1, x-3, y"
    assert names_in_short(["hole-²", "hole-³", "hole-¹"]) == "hole-², hole-³, hole-¹"


def label_boxes(seen: Seen) -> list[tuple[float, float, float, float]]:
    """About the boxes of the drawn labels, from their text alone."""
    boxes = []
    for text in seen.group("labels" if "labels" in str([g.get("id") for g in seen.drawing]) else "names").iter(
        f"{SVG}text"
    ):
        if text.get("aria-hidden"):
            continue
        size, x, y = float(text.get("font-size", "0")), float(text.get("x", "0")), -float(text.get("y", "0"))
        half = 0.25 * size * len(text.text or "")
        boxes.append((x - half, y, x + half, y + 0.7 * size))
    return boxes


@pytest.mark.parametrize("which", ["overlay", "outboard", "inboard"])
def test_no_two_labels_lie_on_each_other(which: str) -> None:
    one = record()
    seen = overlay_of() if which == "overlay" else preview_of(one, 0 if which == "outboard" else 1)
    boxes = label_boxes(seen)
    assert len(boxes) >= 12
    for index, a in enumerate(boxes):
        for b in boxes[:index]:
            assert min(a[2], b[2]) <= max(a[0], b[0]) or min(a[3], b[3]) <= max(a[1], b[1])


def test_letters_are_readable_in_print() -> None:
    """At 270 mm width nothing is set smaller than 2 mm (about 5.7 point)."""
    for seen in (overlay_of(), preview_of(record())):
        place, view = seen.drawing, [float(v) for v in seen.drawing.get("viewBox", "").split()]
        scale = float(place.get("width", "nan")) / view[2]
        assert math.isclose(scale, float(place.get("height", "nan")) / view[3], rel_tol=1e-3)
        inside = set(seen.drawing.iter(f"{SVG}text"))
        for text in seen.root.iter(f"{SVG}text"):
            assert float(text.get("font-size", "0")) * (scale if text in inside else 1.0) >= 2.0


def test_holes_are_labelled_in_the_unit_of_the_cut_file_and_told_in_mm_beside() -> None:
    """Two inches are 50.8 mm (the international inch, exact)."""
    one = record(drawn_units="inch")
    bore = next(f for f in one["plates"][0]["features"] if f["form"] == "circle")
    bore.update(finished_diameter_mm=50.8, path_diameter_mm=50.546)
    seen = preview_of(one)
    assert "Ø 2.0000" in seen.texts()
    assert "1.9900" in seen.texts()
    assert any(text.startswith(f"Ø 50.800 mm: {bore['id']}") for text in seen.texts())
    assert any("(inches)" in text for text in seen.texts())
    metric = preview_of(one | {"drawn_units": "mm"})
    assert "Ø 50.800" in metric.texts()
    assert "50.546" in metric.texts()
    assert not any("Ø 2.0000" in text for text in metric.texts())
