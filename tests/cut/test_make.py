"""Cut plates: fit, kerf, hand and turn, each once."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from gearplate.catalog.cutters import Kerf, LeadIn
from gearplate.cut.cut_plate import CutPlate
from gearplate.cut.make import cut_plate
from gearplate.cut.registration import registration_miss_mm, shared_misses_mm
from gearplate.cut.turn import to_frame
from gearplate.errors import ToolBug
from gearplate.geometry.offset import offset
from gearplate.geometry.path import area, as_circle
from gearplate.geometry.shapes import Circle, Path
from gearplate.geometry.symmetry import same_curve
from gearplate.geometry.transform import mirrored, translated
from gearplate.layout.design import HoleKind
from gearplate.layout.spec import Side
from gearplate.plate.make import make_plates
from gearplate.plate.plate import Plate
from gearplate.plate.spec import FaceUp, Hand, OwnHole
from tests.builders.outlines import swept_by_beam
from tests.builders.plates import IDENTITY, ordinary, placed, region, shop, wishes
from tests.builders.regions import polygon

OWN = (
    OwnHole("tie", "own", "slot", tuple(Side), None, -42.0, 25.0, 4.0, 8.0, 0.6, fit_mm=0.1),
    OwnHole(
        "label",
        "own",
        "window",
        tuple(Side),
        None,
        24.0,
        24.0,
        points=((0.0, 0.0), (14.0, 2.0), (12.0, 12.0), (1.0, 10.0)),
        corner_radius_mm=3.0,
    ),
)


def plates() -> tuple[Plate, Plate]:
    spec, layout = placed()
    return make_plates(layout, spec, wishes(own_holes=OWN))


def cut(plate: Plate, hand: Hand = Hand.RIGHT, kerf: Kerf | None = None, cutter: str = "demo") -> CutPlate:
    return cut_plate(plate, hand, shop(cutter, kerf), IDENTITY, "mm")


def finished(made: CutPlate, name: str) -> Circle | Path:
    found = next(feature for feature in made.features if feature.feature.id == name)
    if found.finished_path is not None:
        return found.finished_path
    assert found.finished_diameter_mm is not None
    return Circle(found.x_mm, found.y_mm, found.finished_diameter_mm)


def test_finished_sizes_by_seat() -> None:
    made = cut(plates()[0])
    demo = shop()
    compared = 0
    for feature in made.features:
        part, size = feature.feature.part_diameter_mm, feature.finished_diameter_mm
        if feature.feature.fit_mm is None and size is not None:
            assert size == pytest.approx(part + demo.allowance_mm(feature.feature.seat), abs=1e-12)
            assert feature.path_diameter_mm == pytest.approx(size - demo.kerf_mm, abs=1e-12)
            assert feature.wider_face_diameter_mm == pytest.approx(size + 0.01 * 6.0)
            compared += 1
    assert compared > 15
    tie = next(feature for feature in made.features if feature.feature.id == "tie")
    assert tie.finished_diameter_mm == pytest.approx(4.1)
    bore = next(feature for feature in made.features if feature.feature.id == "output-bore")
    assert bore.finished_diameter_mm == pytest.approx(28.575 - 0.04)


def test_a_class_of_iso_286_is_aimed_at_the_middle_of_its_zone() -> None:
    # N7 over 18 up to 30 mm: -28 to -7 um (ISO 286-2; read in a bearing catalogue's table of housing fits).
    outboard, _ = ordinary()
    features = tuple(
        replace(feature, fit_class="N7") if feature.id == "output-bore" else feature for feature in outboard.features
    )
    made = cut(replace(outboard, features=features))
    bore = next(feature for feature in made.features if feature.feature.id == "output-bore")
    assert bore.finished_diameter_mm == pytest.approx(28.575 - 0.0175, abs=1e-9)


@settings(max_examples=12)
@given(st.floats(0.05, 0.8))
def test_for_any_kerf_the_path_grown_by_half_of_it_is_the_finished_plate(kerf: float) -> None:
    for plate in plates():
        made = cut(plate, kerf=Kerf(kerf, kerf))
        assert not made.faults
        assert same_curve(offset(to_frame(made.outline_path, made), -0.5 * kerf), made.outline, 1e-6)
        assert same_curve(made.outline, plate.outline, 1e-6)
        for feature in made.features:
            drawn = to_frame(feature.shape, made)
            wanted = finished(made, feature.feature.id)
            if isinstance(drawn, Circle):
                assert isinstance(wanted, Circle)
                assert (drawn.x_mm, drawn.y_mm) == (wanted.x_mm, wanted.y_mm)
                assert drawn.diameter_mm + kerf == pytest.approx(wanted.diameter_mm, abs=1e-9)
            else:
                assert isinstance(wanted, Path)
                assert same_curve(offset(drawn, 0.5 * kerf), wanted, 1e-6)


@pytest.mark.parametrize("cutter", ["demo", "demo-axis", "demo-lead-in"])
def test_the_beam_leaves_the_finished_plate_within_five_micrometres(cutter: str) -> None:
    for plate in plates():
        made = cut(plate, cutter=cutter)
        kerf_x, kerf_y = made.kerf_x_mm, made.kerf_y_mm
        sign = -1.0 if made.turned else 1.0
        for feature in made.features:
            drawn = feature.shape if isinstance(feature.shape, Path) else None
            if drawn is None:
                assert isinstance(feature.shape, Circle)
                radius = 0.5 * feature.shape.diameter_mm
                x, y = feature.shape.x_mm, feature.shape.y_mm
                drawn = Path(((x + radius, y, 1.0), (x - radius, y, 1.0)))
            hole = polygon(drawn, 1e-5).union(swept_by_beam(drawn, kerf_x, kerf_y))
            wanted = finished(made, feature.feature.id)
            wanted = mirrored(wanted) if sign < 0.0 else wanted  # type: ignore[type-var]
            assert hole.exterior.hausdorff_distance(region(wanted).exterior) < 0.005
        left = polygon(made.outline_path, 1e-5).difference(swept_by_beam(made.outline_path, kerf_x, kerf_y))
        outline = mirrored(made.outline) if made.turned else made.outline
        assert left.exterior.hausdorff_distance(region(outline).exterior) < 0.005


def test_a_machine_that_compensates_gets_finished_sizes_once() -> None:
    for plate in plates():
        by_file, by_machine = cut(plate), cut(plate, cutter="demo-machine-compensates")
        assert by_machine.machine_compensates
        assert not by_file.machine_compensates
        assert by_machine.kerf_mm == by_file.kerf_mm == 0.2
        assert same_curve(to_frame(by_machine.outline_path, by_machine), plate.outline, 1e-9)
        for one, other in zip(by_file.features, by_machine.features, strict=True):
            assert one.finished_diameter_mm == other.finished_diameter_mm
            assert other.path_diameter_mm == other.finished_diameter_mm
            if one.path_diameter_mm is not None and one.finished_diameter_mm is not None:
                assert one.finished_diameter_mm - one.path_diameter_mm == pytest.approx(0.2)


@pytest.mark.parametrize("cutter", ["demo", "demo-axis", "demo-lead-in", "demo-machine-compensates"])
@pytest.mark.parametrize(
    "face_up", [FaceUp(), FaceUp(Side.OUTBOARD, Side.OUTBOARD), FaceUp(Side.OUTBOARD, Side.INBOARD)]
)
def test_both_plates_register_once_the_turn_is_undone(cutter: str, face_up: FaceUp) -> None:
    spec, layout = placed()
    made = make_plates(layout, spec, wishes(own_holes=OWN, face_up=face_up))
    for hand in Hand:
        outboard, inboard = (cut(plate, hand, cutter=cutter) for plate in made)
        assert registration_miss_mm(outboard, inboard) < 1e-6
        names = {name for name, _ in shared_misses_mm(outboard, inboard)}
        assert {"output-bore", "S1-bore", "standoff-1", "rail-4", "tie", "label"} <= names
        assert outboard.turned == (made[0].face_up is Side.INBOARD)


def test_a_plate_that_is_turned_the_wrong_way_does_not_register() -> None:
    outboard, inboard = (cut(plate) for plate in plates())
    assert registration_miss_mm(replace(outboard, turned=not outboard.turned), inboard) > 10.0
    off = tuple(
        replace(feature, shape=translated(feature.shape, 0.01, 0.0)) if feature.feature.id == "rail-2" else feature
        for feature in inboard.features
    )
    assert registration_miss_mm(outboard, replace(inboard, features=off)) == pytest.approx(0.01)
    lonely = replace(inboard, features=tuple(feature for feature in inboard.features if not feature.feature.shared))
    assert math.isinf(registration_miss_mm(outboard, lonely))
    with pytest.raises(ValueError, match="do not belong together"):
        registration_miss_mm(outboard, cut(plates()[1], Hand.LEFT))


@pytest.mark.parametrize("cutter", ["demo", "demo-axis", "demo-lead-in"])
def test_the_left_hand_is_the_mirror_image_of_the_right(cutter: str) -> None:
    for plate in plates():
        right, left = cut(plate, Hand.RIGHT, cutter=cutter), cut(plate, Hand.LEFT, cutter=cutter)
        assert left.turned == right.turned
        assert left.outline_path == mirrored(right.outline_path)
        assert left.outline == mirrored(right.outline)
        for one, other in zip(right.features, left.features, strict=True):
            assert (other.x_mm, other.y_mm) == (-one.x_mm or 0.0, one.y_mm)
            if isinstance(one.shape, Circle):
                assert other.shape == mirrored(one.shape)
            else:
                assert isinstance(other.shape, Path)
                assert same_curve(other.shape, mirrored(one.shape), 1e-9)
            if one.lead_in is not None:
                assert other.lead_in is not None
                for a, b in zip(mirrored(one.lead_in).points, other.lead_in.points, strict=True):
                    assert math.dist(a, b) < 1e-9


def test_the_unit_that_is_drawn_moves_nothing() -> None:
    for plate in plates():
        mm = cut_plate(plate, Hand.RIGHT, shop(), IDENTITY, "mm")
        inch = cut_plate(plate, Hand.RIGHT, shop(), IDENTITY, "inch")
        assert replace(inch, file_name=mm.file_name) == mm
        assert inch.file_name != mm.file_name


def test_bores_are_entered_from_the_slug_away_from_the_load() -> None:
    spec, layout = placed()
    for plate in plates():
        for hand in Hand:
            made = cut(plate, hand, cutter="demo-lead-in")
            sign = (-1.0 if made.turned else 1.0) * (-1.0 if hand is Hand.LEFT else 1.0)
            entered = [feature for feature in made.features if feature.lead_in is not None]
            assert {f.feature.kind for f in entered} == {HoleKind.BEARING_BORE}
            assert {f.feature.id for f in entered} == {"output-bore", "S1-bore"}
            for feature in entered:
                assert isinstance(feature.shape, Path)
                circle = as_circle(feature.shape)
                assert circle is not None
                assert feature.path_diameter_mm == pytest.approx(circle.diameter_mm, abs=1e-9)
                assert feature.lead_in is not None
                pierce, start = feature.lead_in.points
                assert start == feature.shape.vertices[0][:2]
                assert math.dist(pierce, start) == pytest.approx(1.5)
                middle = (circle.x_mm, circle.y_mm)
                assert math.dist(pierce, middle) == pytest.approx(0.5 * circle.diameter_mm - 1.5)
                load = feature.feature.load_rad
                assert load is not None
                away = (-sign * math.cos(load), -math.sin(load))
                toward = (
                    (start[0] - middle[0]) / math.dist(start, middle),
                    (start[1] - middle[1]) / math.dist(start, middle),
                )
                assert toward == pytest.approx(away, abs=1e-9)
    assert layout.shaft("output").x_mm == 0.0
    assert spec.shaft("output").turns


def test_a_start_angle_counts_on_from_the_side_away_from_the_load() -> None:
    outboard, _ = plates()
    made = cut_plate(outboard, Hand.RIGHT, shop(lead_in=LeadIn(50.0, 90.0)), IDENTITY, "mm")
    bore = next(feature for feature in made.features if feature.feature.id == "output-bore")
    assert bore.lead_in is not None
    assert bore.feature.load_rad is not None
    pierce, start = bore.lead_in.points
    assert pierce == pytest.approx((0.0, 0.0), abs=1e-9)  # never past the middle of the bore
    angle = bore.feature.load_rad + math.pi + math.pi / 2
    assert math.atan2(start[1], -start[0]) == pytest.approx(math.remainder(angle, 2.0 * math.pi))  # the file is turned


def test_scale_is_corrected_only_where_the_cutters_row_asks() -> None:
    outboard, inboard = plates()
    plain = cut(outboard)
    told = cut_plate(outboard, Hand.RIGHT, shop(cut_per_drawn_x=0.998, cut_per_drawn_y=0.998), IDENTITY, "mm")
    assert told.outline_path == plain.outline_path
    demo = shop(cut_per_drawn_x=0.998, cut_per_drawn_y=0.998, correct_scale=True)
    demo = replace(demo, scale_x=1.0 / 0.998, scale_y=1.0 / 0.998)
    corrected = cut_plate(outboard, Hand.RIGHT, demo, IDENTITY, "mm")
    assert area(corrected.outline_path) == pytest.approx(area(plain.outline_path) / 0.998**2, rel=1e-9)
    assert same_curve(to_frame(corrected.outline_path, corrected), to_frame(plain.outline_path, plain), 1e-6)
    other = cut_plate(inboard, Hand.RIGHT, demo, IDENTITY, "mm")
    assert registration_miss_mm(corrected, other) < 1e-6
    assert corrected.scale_x == pytest.approx(1.0 / 0.998)


def test_slots_and_windows_of_both_plates_register_where_the_axes_are_scaled_differently() -> None:
    spec, layout = placed()
    demo = replace(shop(correct_scale=True), scale_x=1.0 / 0.998, scale_y=1.0 / 1.003)
    outboard, inboard = (
        cut_plate(plate, Hand.RIGHT, demo, IDENTITY, "mm") for plate in make_plates(layout, spec, wishes(own_holes=OWN))
    )
    assert outboard.turned != inboard.turned
    misses = dict(shared_misses_mm(outboard, inboard))
    assert {"tie", "label"} <= set(misses)  # a slot and a window in both plates
    assert max(misses.values()) < 1e-4


def test_what_the_beam_cannot_cut_is_a_fault_and_never_written() -> None:
    from gearplate.cut.order import cut_steps

    spec, layout = placed()
    own = (
        OwnHole("pin", "own", "circle", (Side.OUTBOARD,), None, 24.0, 24.0, 0.5),
        OwnHole("slit", "own", "slot", (Side.OUTBOARD,), None, -42.0, 25.0, 0.6, 8.0, 0.0),
        OwnHole("none", "own", "circle", (Side.OUTBOARD,), None, -42.0, 45.0, 0.5, fit_mm=-0.6),
    )
    outboard, _ = make_plates(layout, spec, wishes(own_holes=own))
    made = cut(outboard, kerf=Kerf(0.7, 0.7))
    assert {name for name, _ in made.faults} == {"pin", "slit", "none"}
    assert all(why for _, why in made.faults)
    with pytest.raises(ToolBug, match="cannot be cut"):
        cut_steps(made)


def test_a_plate_that_is_its_own_mirror_fits_both_hands() -> None:
    outboard, _ = ordinary()
    assert not cut(outboard).fits_both_hands
    assert cut(replace(outboard, own_mirror=True)).fits_both_hands
