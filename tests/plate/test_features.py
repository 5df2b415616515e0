"""What is cut into the plates, and where: against the layout that asks for it."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest
from shapely.geometry import Point

from gearplate.catalog import load_catalog, profiles_folder
from gearplate.geometry.nearest import circle_clear_of
from gearplate.geometry.path import bbox
from gearplate.geometry.shapes import Circle
from gearplate.layout.design import BodyKind, HoleKind
from gearplate.layout.service import access_diameter_mm, blockers
from gearplate.layout.solve import solve_layout
from gearplate.layout.spec import Place, Side
from gearplate.plate.contours import contour, gap_mm
from gearplate.plate.features import features_by_side, web_mm
from gearplate.plate.make import face_up_of, make_plates
from gearplate.plate.plate import Plate
from gearplate.plate.spec import FaceUp, OwnHole
from tests.builders.outlines import web_inside
from tests.builders.plates import fixed, nominal, ordinary, placed, wishes
from tests.builders.regions import polygon
from tests.builders.specs import drive_spec


def by_id(plate: Plate) -> dict[str, object]:
    return {feature.id: feature for feature in plate.features}


def test_every_hole_of_the_layout_is_in_its_plate() -> None:
    _, layout = placed()
    compared = 0
    for plate in ordinary():
        found = {feature.id: feature for feature in plate.features}
        for hole in layout.holes:
            if hole.side is not plate.side or (hole.kind is HoleKind.SHAFT_CLEARANCE and hole.id not in found):
                continue  # a clearance for what runs beside the plate may fall away
            feature = found[hole.id]
            assert (feature.x_mm, feature.y_mm) == (hole.x_mm, hole.y_mm)
            assert feature.part_diameter_mm == hole.part_diameter_mm
            assert feature.kind is hole.kind
            compared += 1
    assert compared >= 30


def test_ids_are_unique_and_shared_means_in_both_plates() -> None:
    outboard, inboard = ordinary()
    names = [{feature.id for feature in plate.features} for plate in (outboard, inboard)]
    assert all(len(ids) == len(plate.features) for ids, plate in zip(names, (outboard, inboard), strict=True))
    common = names[0] & names[1]
    assert {"output-bore", "S1-bore", "standoff-1", "rail-1"} <= common
    for plate in (outboard, inboard):
        assert {feature.id for feature in plate.features if feature.shared} == common


def test_seats_by_what_goes_in() -> None:
    outboard, _ = ordinary()
    seats = {feature.kind: feature.seat for feature in outboard.features}
    assert seats[HoleKind.BEARING_BORE] == "bearing"
    assert seats[HoleKind.MOTOR_PILOT] == "pilot"
    assert seats[HoleKind.MOTOR_SCREW] == seats[HoleKind.STANDOFF] == seats[HoleKind.RAIL_HOLE] == "screw"


def test_own_holes_by_coordinate_and_on_a_shaft_in_the_plates_asked_for() -> None:
    spec, layout = placed()
    own = (
        OwnHole("sensor", "own", "circle", (Side.INBOARD,), "S1", 3.0, -30.0, 4.0, fit_mm=0.1),
        OwnHole("tie", "relief", "slot", tuple(Side), None, -40.0, 30.0, 4.0, 8.0, math.pi / 2),
        OwnHole(
            "label",
            "own",
            "window",
            (Side.OUTBOARD,),
            None,
            20.0,
            20.0,
            points=((0.0, 0.0), (10.0, 0.0), (10.0, 8.0), (0.0, 8.0)),
            corner_radius_mm=2.0,
        ),
    )
    outboard, inboard = make_plates(layout, spec, wishes(own_holes=own))
    first, second = by_id(outboard), by_id(inboard)
    assert "sensor" not in first
    assert "label" not in second
    s1 = layout.shaft("S1")
    sensor = next(feature for feature in inboard.features if feature.id == "sensor")
    assert (sensor.x_mm, sensor.y_mm) == (s1.x_mm + 3.0, s1.y_mm - 30.0)
    assert sensor.fit_mm == 0.1
    for plate in (outboard, inboard):
        tie = next(feature for feature in plate.features if feature.id == "tie")
        assert tie.shared
        assert tie.kind is HoleKind.RELIEF
        assert (tie.form, tie.length_mm, tie.angle_rad) == ("slot", 8.0, math.pi / 2)
    label = next(feature for feature in outboard.features if feature.id == "label")
    assert (label.x_mm, label.y_mm) == pytest.approx((25.0, 24.0))  # the middle of a symmetrical window
    assert label.path is not None
    assert len(label.path.vertices) == 8


def test_slots_of_a_motor_open_its_pilot_by_the_same_travel_along_the_line_of_centres() -> None:
    plain, _ = fixed()
    _, layout = fixed(motors=tuple(replace(motor, slot_travel_mm=1.5) for motor in plain.motors))
    found = features_by_side(layout, wishes())[Side.OUTBOARD]
    motor, output = layout.shaft("M1"), layout.shaft("output")
    along = math.atan2(output.y_mm - motor.y_mm, output.x_mm - motor.x_mm)
    slots = [feature for feature in found if feature.kind in (HoleKind.MOTOR_PILOT, HoleKind.MOTOR_SCREW)]
    assert len(slots) == 3
    for feature in slots:
        assert feature.form == "slot"
        assert feature.length_mm == 3.0
        assert math.sin(feature.angle_rad - along) == pytest.approx(0.0, abs=1e-12)
    assert all(feature.form == "circle" for feature in found if feature.kind is HoleKind.STANDOFF)


def test_access_holes_let_the_screw_out_and_keep_their_distance() -> None:
    spec, layout = placed()
    _, inboard = ordinary()
    access = [feature for feature in inboard.features if feature.kind is HoleKind.ACCESS]
    assert access
    web = web_mm(spec, Side.INBOARD)
    low, high = layout.stack.inboard
    feet = [
        body
        for body in layout.bodies
        if body.kind in (BodyKind.FLANGE, BodyKind.WASHER, BodyKind.STANDOFF, BodyKind.RAIL_TUBE)
        and (abs(body.z0_mm - high) < 1e-6 or abs(body.z1_mm - low) < 1e-6)
    ]
    assert feet
    for feature in access:
        motor = spec.motor(feature.shaft or "")
        assert feature.part_diameter_mm == access_diameter_mm(motor) > motor.screw.head_diameter_mm
        screws = [hole for hole in layout.holes if hole.kind is HoleKind.MOTOR_SCREW and hole.shaft == motor.name]
        assert any((hole.x_mm, hole.y_mm) == (feature.x_mm, feature.y_mm) for hole in screws)
        circle = Circle(feature.x_mm, feature.y_mm, feature.part_diameter_mm)
        assert web_inside(inboard.outline, circle) >= min(web, spec.margin_mm) - 1e-9
        for other in inboard.features:
            if other is not feature:
                assert gap_mm(circle, contour(other)) >= web
        for body in feet:
            apart = math.hypot(body.x_mm - circle.x_mm, body.y_mm - circle.y_mm)
            assert apart >= body.radius_mm + 0.5 * circle.diameter_mm + 0.5 - 1e-9  # mm, left under what stands there


@pytest.mark.parametrize(("from_rim_mm", "still"), [(0.501, True), (0.499, False)])
def test_half_a_millimetre_is_left_under_what_stands_beside_an_access_hole(from_rim_mm: float, still: bool) -> None:
    spec, layout = placed()
    _, inboard = ordinary()
    hole = next(feature for feature in inboard.features if feature.kind is HoleKind.ACCESS)
    standoff = next(body for body in layout.bodies if body.kind is BodyKind.STANDOFF)
    # on the far face, so that it bars no driver in the gap
    away = 0.5 * hole.part_diameter_mm + from_rim_mm + standoff.radius_mm
    low, _ = layout.stack.inboard
    foot = replace(standoff, x_mm=hole.x_mm, y_mm=hole.y_mm - away, z0_mm=low - 10.0, z1_mm=low)
    crowded = replace(layout, bodies=(*layout.bodies, foot))
    _, made = make_plates(crowded, spec, wishes())
    assert (hole.id in {feature.id for feature in made.features}) is still


def test_an_open_path_has_its_hole_unless_it_would_come_too_near_to_another() -> None:
    spec, layout = placed()
    _, inboard = ordinary()
    web = web_mm(spec, Side.INBOARD)
    access = {(feature.x_mm, feature.y_mm): feature for feature in inboard.features if feature.kind is HoleKind.ACCESS}
    reached = 0
    for motor in spec.motors:
        for hole in layout.holes:
            if hole.shaft != motor.name or hole.kind is not HoleKind.MOTOR_SCREW:
                continue
            if blockers(spec, layout.stack, motor, (hole.x_mm, hole.y_mm), layout.bodies):
                assert (hole.x_mm, hole.y_mm) not in access
            elif (hole.x_mm, hole.y_mm) in access:
                reached += 1
            else:
                wanted = Point(hole.x_mm, hole.y_mm).buffer(0.5 * access_diameter_mm(motor))
                beside = not polygon(inboard.outline).intersects(wanted)
                assert beside or any(nominal(feature).distance(wanted) < web for feature in inboard.features)
    assert reached >= 3


def test_the_edge_grows_round_an_access_hole_unless_a_limit_forbids_it() -> None:
    # the leftmost screw of all, with a standoff over it: the driver's hole is wider than the screw's
    spec = drive_spec(motors=1, places={"S1": Place(x_mm=0.0, y_mm=58.47), "M1": Place(x_mm=-50.0, y_mm=78.9)})
    spec = replace(
        spec,
        motors=(replace(spec.motors[0], clocking_rad=math.pi),),
        standoffs=replace(spec.standoffs, places=((-68.0, 93.0), (55.0, 60.0))),
    )
    layout = solve_layout(spec)
    _, grown = make_plates(layout, spec, wishes(marks=False))
    held = replace(spec, limits=replace(spec.limits, back_mm=83.0))  # the screw with its margin takes 82.75 mm
    _, kept = make_plates(layout, held, wishes(marks=False))
    assert len(kept.features) < len(grown.features)
    assert bbox(grown.outline)[0] < bbox(kept.outline)[0] - 0.1


def test_a_gear_in_the_way_takes_the_access_hole_away() -> None:
    spec, layout = placed()
    hole = next(hole for hole in layout.holes if hole.id == "M1-screw-1")
    gear = next(body for body in layout.bodies if body.kind is BodyKind.GEAR and body.shaft == "output")
    moved = replace(gear, x_mm=hole.x_mm, y_mm=hole.y_mm)
    _, before = make_plates(layout, spec, wishes(marks=False))
    _, after = make_plates(replace(layout, bodies=(*layout.bodies, moved)), spec, wishes(marks=False))
    assert "M1-access-1" in by_id(before)
    assert "M1-access-1" not in by_id(after)


def test_the_hole_for_a_shaft_that_runs_beside_the_plate_falls_away() -> None:
    spec, layout = placed()
    far = tuple(replace(hole, x_mm=hole.x_mm + 400.0) if hole.id == "M1-shaft" else hole for hole in layout.holes)
    _, inboard = make_plates(replace(layout, holes=far), spec, wishes(marks=False))
    assert "M1-shaft" not in by_id(inboard)
    assert "M2-shaft" in by_id(inboard)


@pytest.mark.parametrize(
    ("from_gap", "asked", "wanted"),
    [
        (True, None, (Side.INBOARD, Side.OUTBOARD)),
        (False, None, (Side.OUTBOARD, Side.INBOARD)),
        (True, Side.OUTBOARD, (Side.OUTBOARD, Side.OUTBOARD)),
    ],
)
def test_the_face_from_which_the_bearings_are_pressed_lies_up(
    from_gap: bool, asked: Side | None, wanted: tuple[Side, Side]
) -> None:
    spec, _ = placed()
    shafts = []
    for shaft in spec.shafts:
        assert shaft.outboard is not None
        assert shaft.inboard is not None
        shafts.append(
            replace(
                shaft,
                outboard=replace(shaft.outboard, pressed_from_gap=from_gap),
                inboard=replace(shaft.inboard, pressed_from_gap=from_gap),
            )
        )
    spec = replace(spec, shafts=tuple(shafts))
    plates = wishes(face_up=FaceUp(outboard=asked))
    assert (face_up_of(spec, plates, Side.OUTBOARD), face_up_of(spec, plates, Side.INBOARD)) == wanted


def test_the_teeth_push_the_output_away_from_its_driver() -> None:
    # The separating force of a pair of external gears acts along the line of centres and pushes them apart (any
    # textbook on spur gears); the output has one mesh, so its direction is exactly away from S1.
    _, layout = placed()
    outboard, _ = ordinary()
    bore = next(feature for feature in outboard.features if feature.id == "output-bore")
    s1, output = layout.shaft("S1"), layout.shaft("output")
    away = math.atan2(output.y_mm - s1.y_mm, output.x_mm - s1.x_mm)
    assert bore.load_rad == pytest.approx(away)
    pilot = next(feature for feature in outboard.features if feature.id == "M1-pilot")
    m1 = layout.shaft("M1")
    assert pilot.load_rad == pytest.approx(math.atan2(m1.y_mm - s1.y_mm, m1.x_mm - s1.x_mm))
    assert load_catalog([profiles_folder()]).bearing("FR8ZZ-hex").outside_mm == bore.part_diameter_mm


def test_a_path_beside_the_plate_is_looked_at_again_once_the_plate_has_grown_over_it() -> None:
    """In a wide gap motor shafts end before the inboard plate, which is small until access holes make it grow."""
    spec = replace(drive_spec(motors=3), gap_mm=50.8)
    layout = solve_layout(spec)
    inboard = make_plates(layout, spec, wishes())[1]
    access = {(one.x_mm, one.y_mm) for one in inboard.features if one.kind is HoleKind.ACCESS}
    for motor in spec.motors:
        for hole in layout.holes:
            if hole.shaft != motor.name or hole.kind is not HoleKind.MOTOR_SCREW:
                continue
            if blockers(spec, layout.stack, motor, (hole.x_mm, hole.y_mm), layout.bodies):
                continue
            path = Circle(hole.x_mm, hole.y_mm, access_diameter_mm(motor))
            assert (hole.x_mm, hole.y_mm) in access or circle_clear_of(inboard.outline, path) >= 0.0
