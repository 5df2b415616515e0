"""Plates at their limits: webs, edges, small holes, corners, bed, material, slots, hands, marks."""

from __future__ import annotations

from dataclasses import replace

import pytest

from gearplate.checks.rules.cutting import fitting_turn_deg
from gearplate.checks.subject import Subject
from gearplate.finding import Severity, Standing
from gearplate.geometry.path import circle_path
from gearplate.geometry.shapes import Circle
from gearplate.geometry.slot import rectangle_path
from gearplate.layout.spec import Side
from tests.builders.subjects import BAD, fair, fair_unchanged, job_of, one, run, severities, subject_of

W, E, N = Severity.WARNING, Severity.ERROR, Severity.NOTE
MICROMETRE = 0.001

BORE = 28.575 - 0.04  # FR8 bearing, the demo cutter's press for acetal
M5_HOLE, NO10_HOLE = 5.5, 25.4 * 0.221  # ISO 273 medium; ASME B18.2.8 normal


def mm(value: float) -> str:
    return f"{value:.9f} mm"


def own(web_mm: float, diameter_mm: float = 6.0, **more: object) -> list[dict[str, object]]:
    """An own hole beside the output's bore with that web between them."""
    x = 0.5 * BORE + web_mm + 0.5 * diameter_mm
    return [{"name": "sensor", "at": [mm(x), 0], "diameter": mm(diameter_mm), **more}]


@pytest.mark.parametrize(
    ("web_mm", "expected"),
    [
        (5.4 + MICROMETRE, []),
        (5.4, []),  # 6 mm sheet less a tenth
        (5.4 - MICROMETRE, [W]),
        (0.5, [W]),
        (0.5 - MICROMETRE, [E]),  # cuts that burn into one: a cutting bureau's page
        (-1.0, [E]),
    ],
)
def test_web_beside_a_bore(web_mm: float, expected: list[Severity]) -> None:
    subject = fair(holes=own(web_mm))
    assert severities("web", subject) == expected
    assert severities("smallest-feature", subject) == []
    if expected:
        finding = one("web", subject)
        assert finding.where.features == ("output-bore", "sensor")
        assert finding.where.plate is None, "the same hole in both plates is told once"


@pytest.mark.parametrize(
    ("shaft", "bore_mm"),
    [
        ("output", BORE),  # a press makes the bore smaller and the web wider
        ("M1", 20.0),  # play makes the pilot's hole wider: the web counts before that
    ],
)
def test_a_web_that_the_job_sets_is_not_broken_by_the_fits(shaft: str, bore_mm: float) -> None:
    for web, expected in ((8.0, []), (8.0 - MICROMETRE, [W])):
        offset = [mm(0.5 * bore_mm + 3.0 + web), 0]
        hole = [{"name": "sensor", "plate": "outboard", "shaft": shaft, "offset": offset, "diameter": 6}]
        subject = fair(holes=hole, clearances__web=8)
        names = {"sensor", "output-bore" if shaft == "output" else "M1-pilot"}
        found = [one for one in run("web", subject).findings if set(one.where.features) == names]
        assert [one.severity for one in found] == expected
        assert all(one.standing is Standing.JOB for one in found)


def test_never_under_3_mm_in_plastic_though_the_sheet_is_thinner() -> None:
    thin = {"material": "acetal-3mm"}
    bore = 28.575 - 0.03
    for web, expected in ((3.0, []), (3.0 - MICROMETRE, [W])):
        hole = [{"name": "sensor", "at": [mm(0.5 * bore + web + 3.0), 0], "diameter": 6}]
        found = run("web", fair(holes=hole, **thin)).findings
        assert [one.severity for one in found] == expected


def test_the_thin_webs_of_a_small_motors_face_are_a_note() -> None:
    """A can motor's pilot of 13 mm and M3 holes on 25 mm leave 12.5 - 6.6 - 1.7 = 4.2 mm."""
    can = {"type": "can-500", "pinion": 12, "side": "outboard"}
    subject = fair(motors=[can], places={"S1": {"angle": 90}, "M1": {"angle": 90}})
    finding = one("web", subject)
    assert finding.severity is N
    assert finding.measured == pytest.approx(12.5 - 6.6 - 1.7, abs=1e-9)
    assert finding.where.shafts == ("M1",)
    assert finding.where.features == ("M1-pilot", "M1-screw-1", "M1-screw-2")


def test_edge_of_loaded_screws_goes_by_diameters_and_of_bores_by_thickness() -> None:
    """1.5 diameters from centre to edge: the margin has to be one diameter of the larger hole."""
    assert severities("edge", fair(plates__margin=mm(NO10_HOLE))) == []
    found = run("edge", fair(plates__margin=mm(NO10_HOLE - MICROMETRE))).findings
    assert [one.severity for one in found] == [W]
    assert found[0].limit == pytest.approx(1.5 * NO10_HOLE)
    assert found[0].measured == pytest.approx(1.5 * NO10_HOLE - MICROMETRE, abs=1e-6)
    assert all(name.startswith(("rail-", "standoff-")) for name in found[0].where.features)
    # A pilot's hole is 0.2 mm wider than the pilot: 5.5 mm of margin leave 5.4 mm.
    with_bores = run("edge", fair(plates__margin=mm(5.5 - MICROMETRE))).findings
    assert [one.severity for one in with_bores] == [W, W]
    seats = next(one for one in with_bores if "M1-pilot" in one.where.features)
    assert seats.limit == pytest.approx(5.4)
    assert len(run("edge", fair(plates__margin=mm(5.5))).findings) == 1


def test_a_margin_of_8_25_mm_from_the_centre_of_a_5_5_mm_hole() -> None:
    """The worked example of the 1.5 diameter rule: 8.25 mm from the centre, 5.5 mm of material."""
    found = run("edge", fair(plates__margin=mm(5.5 - MICROMETRE))).findings
    screws = next(one for one in found if "standoff-1" in one.where.features)
    assert "M1-screw-1" in screws.where.features
    screws = next(one for one in run("edge", fair(plates__margin=mm(5.5))).findings)
    assert "M1-screw-1" not in screws.where.features


def test_a_hole_that_breaks_out_is_an_error() -> None:
    subject = fair_unchanged()
    plate = subject.plates[0]
    x1 = max(vertex[0] for vertex in plate.outline.vertices)
    screw = next(one for one in plate.features if one.id == "standoff-1")
    for x, expected in ((x1 - 1.0, [E]), (x1 + 50.0, [E])):
        moved = tuple(replace(one, x_mm=x) if one is screw else one for one in plate.features)
        plates = (replace(plate, features=moved), subject.plates[1])
        assert severities("edge", replace(subject, plates=plates)) == expected


@pytest.mark.parametrize(
    ("diameter_mm", "expected"), [(3.0 + MICROMETRE, []), (3.0, []), (3.0 - MICROMETRE, [W]), (0.15, [E])]
)
def test_holes_from_half_the_thickness_up(diameter_mm: float, expected: list[Severity]) -> None:
    """Half of 6 mm; under the kerf of 0.2 mm no path is left."""
    hole = [{"name": "pin", "plate": "inboard", "at": [0, 35], "diameter": mm(diameter_mm)}]
    assert severities("smallest-feature", fair(holes=hole)) == expected


def test_what_the_cutter_profile_measured_counts_instead() -> None:
    for diameter, expected in ((1.5, []), (1.5 - MICROMETRE, [W])):
        hole = [{"name": "pin", "plate": "inboard", "at": [0, 35], "diameter": mm(diameter)}]
        found = run("smallest-feature", fair(holes=hole, cutter="demo-lead-in")).findings
        assert [one.severity for one in found] == expected
        assert all(one.standing is Standing.MEASURED for one in found)


@pytest.mark.parametrize(
    ("bar_mm", "cutter", "expected"),
    [
        (5.4, "demo", []),
        (5.4 - MICROMETRE, "demo", [W]),
        (2.0, "demo-lead-in", []),
        (2.0 - MICROMETRE, "demo-lead-in", [W]),
        (0.4, "demo-lead-in", [E]),
    ],
)
def test_bars_between_holes_that_carry_nothing(bar_mm: float, cutter: str, expected: list[Severity]) -> None:
    holes = [
        {"name": "left", "plate": "inboard", "at": [0, 32], "diameter": 4},
        {"name": "right", "plate": "inboard", "at": [mm(4.0 + bar_mm), 32], "diameter": 4},
    ]
    subject = fair(holes=holes, cutter=cutter)
    assert severities("smallest-feature", subject) == expected
    assert [one for one in run("web", subject).findings if set(one.where.features) == {"left", "right"}] == []


def turned_pin(name: str, degrees: float, diameter_mm: float) -> dict[str, object]:
    """A hole whose place is an angle and a radius: it cannot be moved by one setting."""
    place = {"shaft": "output", "angle": degrees, "radius": "32 mm"}
    return {"name": name, "plate": "inboard", **place, "diameter": mm(diameter_mm)}


@pytest.mark.parametrize(
    ("degrees", "left_mm", "right_mm", "narrower", "words"),
    [
        # 32 mm out and 17 degrees apart the middles are 2 x 32 x sin(8.5 degrees) = 9.460 mm apart: a bar of 3.460 mm,
        # 5.4 are wanted; 9.460 - 5.4 - 2 leaves 2.06 mm for the radius of the left one
        (17.0, 8.0, 4.0, {"holes[0].diameter": "4.1 mm"}, "Set left farther from right, or make left narrower."),
        # 3 mm are the least for a hole: only another place is left
        (8.0, 3.0, 3.0, {}, "Set left farther from right."),
    ],
)
def test_a_thin_bar_wants_narrower_holes_and_not_wider_ones(
    degrees: float, left_mm: float, right_mm: float, narrower: dict[str, str], words: str
) -> None:
    holes = [turned_pin("left", 90.0, left_mm), turned_pin("right", 90.0 - degrees, right_mm)]
    (bar,) = run("smallest-feature", fair(holes=holes)).findings
    assert bar.remedy is not None
    offered = [bar.remedy, *bar.alternatives]
    assert dict(offered[0].set) == narrower
    assert (offered[-1].text, offered[-1].set) == (words, ())


def window(width_mm: float, **more: object) -> list[dict[str, object]]:
    y0, y1 = 32.0, 32.0 + width_mm
    points = [[mm(-5), mm(y0)], [mm(5), mm(y0)], [mm(5), mm(y1)], [mm(-5), mm(y1)]]
    return [{"name": "slit", "plate": "inboard", "form": "window", "points": points, **more}]


def test_windows_have_a_least_width_too() -> None:
    assert severities("smallest-feature", fair(holes=window(3.01, corner_radius=0))) == []
    assert severities("smallest-feature", fair(holes=window(2.9, corner_radius=0))) == [W]


def test_short_sides_do_not_make_a_wide_window_narrow() -> None:
    import math

    points = [[mm(6 * math.cos(k / 12 * math.pi)), mm(36 + 6 * math.sin(k / 12 * math.pi))] for k in range(24)]
    hole = [{"name": "round", "plate": "inboard", "form": "window", "points": points, "corner_radius": 0}]
    assert severities("smallest-feature", fair(holes=hole)) == []


@pytest.mark.parametrize(
    ("material", "radius_mm", "expected"),
    [("acrylic-6mm", 3.0, []), ("acrylic-6mm", 3.0 - MICROMETRE, [W]), ("acetal-6mm", 0.0, [])],
)
def test_inside_corners_in_acrylic(material: str, radius_mm: float, expected: list[Severity]) -> None:
    holes = window(8.0, corner_radius=mm(radius_mm))
    assert severities("smallest-feature", fair(material=material, holes=holes)) == expected


def with_bed(subject: Subject, x_mm: float, y_mm: float) -> Subject:
    shops = {
        side: replace(shop, cutter=replace(shop.cutter, bed_x_mm=x_mm, bed_y_mm=y_mm))
        for side, shop in subject.shops.items()
    }
    return replace(subject, shops=shops)


def test_the_plate_as_drawn_fits_the_bed_either_way() -> None:
    from gearplate.geometry.path import bbox

    subject = fair_unchanged()
    boxes = [bbox(cut.outline_path) for cut in subject.cut_plates]
    wide = max(x1 - x0 for x0, _, x1, _ in boxes)
    tall = max(y1 - y0 for _, y0, _, y1 in boxes)
    for bed in ((wide, tall), (tall, wide), (wide, tall + 100.0)):
        assert severities("bed-size", with_bed(subject, *bed)) == []
    assert severities("bed-size", with_bed(subject, wide - MICROMETRE, tall)) != []
    assert severities("bed-size", with_bed(subject, 50.0, 50.0)) == [E, E]


def test_a_long_narrow_plate_that_fits_only_slanted_is_a_note() -> None:
    """A rectangle of 220 x 10 mm in a square of 200 mm: its diagonal is 282 mm."""
    assert fitting_turn_deg(rectangle_path(0, 0, 220, 10, 0.0, 0.0), 200, 200) is not None
    assert fitting_turn_deg(rectangle_path(0, 0, 300, 10, 0.0, 0.0), 200, 200) is None
    assert fitting_turn_deg(circle_path(Circle(0, 0, 200.0)), 200, 200) == 0.0
    assert fitting_turn_deg(circle_path(Circle(0, 0, 200.1)), 200, 200) is None
    subject = fair_unchanged()
    cuts = tuple(replace(cut, outline_path=rectangle_path(0, 0, 220, 10, 0.0, 0.0)) for cut in subject.cut_plates)
    assert severities("bed-size", with_bed(replace(subject, cut_plates=cuts), 200, 200)) == [N, N]


@pytest.mark.parametrize("name", ["pvc-6mm", "abs", "ABS 3 mm"])
def test_what_must_never_be_cut_is_refused_with_why(name: str) -> None:
    finding = one("forbidden-material", fair(material=name))
    assert finding.severity is E
    assert "hydrogen" in finding.message


def test_polycarbonate_above_a_millimetre_in_a_co2_laser_warns() -> None:
    """Avoid above 1 mm: lists of a makerspace and a university."""
    subject = fair_unchanged()
    sheet = subject.materials["polycarbonate-1mm"]
    shops = {side: replace(shop, material=sheet) for side, shop in subject.shops.items()}
    for nominal, expected in ((1.0, []), (1.0 + MICROMETRE, [W])):
        stock = replace(subject.layout_spec.outboard, nominal_mm=nominal)
        spec = replace(subject.layout_spec, outboard=stock, inboard=stock)
        assert severities("forbidden-material", replace(subject, layout_spec=spec, shops=shops)) == expected


@pytest.mark.parametrize(("travel_mm", "expected"), [(0.2, []), (0.2 + MICROMETRE, [E])])
def test_slots_beside_a_close_round_pilot_adjust_nothing(travel_mm: float, expected: list[Severity]) -> None:
    """The demo cutter leaves a pilot 0.2 mm: so far it can move."""
    slot = {"name": "adjust", "plate": "outboard", "shaft": "M1", "offset": [16.97, 16.97], "form": "slot"}
    holes = [{**slot, "diameter": 5.5, "length": mm(travel_mm), "along": 45}]
    assert severities("slot-pilot", fair(holes=holes)) == expected


def test_the_tools_own_slots_open_the_pilot() -> None:
    short = [{"type": "generic-b", "pinion": 12, "slots": 1.5}]
    subject = fair(motors=short, places={"S1": {"angle": 90}, "M1": {"angle": 45}})
    pilot = next(one for one in subject.plate(Side.OUTBOARD).features if one.id == "M1-pilot")
    assert pilot.form == "slot"
    assert [one for one in run("slot-pilot", subject).findings if "M1-pilot" in one.message] == []


@pytest.mark.parametrize(("aside_mm", "expected"), [(1.0, []), (1.0 - MICROMETRE, [W])])
def test_one_hole_out_of_line_keeps_the_wrong_hand_off(aside_mm: float, expected: list[Severity]) -> None:
    places = [[0, 115], [55, 60], [mm(-55 - aside_mm), 60]]
    assert severities("wrong-hand", fair(standoffs__places=places)) == expected


def test_a_plate_that_is_its_own_mirror_fits_both_hands_and_is_no_fault() -> None:
    subject = fair(standoffs__places=[[0, 115], [55, 60], [-55, 60]])
    assert all(plate.own_mirror for plate in subject.plates)
    assert severities("wrong-hand", subject) == []
    # Nor is one that misses it by what no eye and no screw would notice.
    near = fair(standoffs__places=[[0, 115], [55, 60], [mm(-55 - 0.04), 60]])
    assert not any(plate.own_mirror for plate in near.plates)
    assert severities("wrong-hand", near) == []
    assert severities("wrong-hand", fair(standoffs__places=[[0, 115], [55, 60], [mm(-55 - 0.2), 60]])) == [W]


def test_marks_without_room_are_a_note() -> None:
    finding = run("marks-room", subject_of(job_of(BAD / "marks-room.toml"))).findings[0]
    assert finding.severity is N
    assert "INBOARD FACE UP" in finding.message
    assert "DRAFT" not in finding.message, "this is no draft"


def test_tooth_counts_that_find_no_room_are_not_worth_a_note() -> None:
    subject = fair_unchanged()
    first, second = subject.plates
    for left_out, expected in ((("tooth counts of S1",), []), (("tooth counts of S1", "name of S1"), [N])):
        plates = (replace(first, unplaced_marks=left_out), second)
        assert severities("marks-room", replace(subject, plates=plates)) == expected


@pytest.mark.parametrize(("screws", "expected"), [(1, [Severity.WARNING]), (2, []), (3, []), (4, [])])
def test_a_motor_hangs_on_two_screws_at_least(screws: int, expected: list[Severity]) -> None:
    motors = [{"type": "generic-a", "pinion": 12, "screws": screws}, {"type": "generic-a", "pinion": 12}]
    assert severities("motor-screws", fair(motors=motors)) == expected
