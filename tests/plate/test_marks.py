"""Etched marks: what they say, how tall they are, and how far they keep off everything. For both hands."""

from __future__ import annotations

import functools
from dataclasses import replace
from typing import Any

import pytest
import shapely
from shapely.geometry import LineString, MultiLineString, Point, box

from gearplate.catalog import load_catalog, profiles_folder
from gearplate.cut.make import cut_plate
from gearplate.geometry.slot import rectangle_path
from gearplate.layout.design import Body, BodyKind, Layout
from gearplate.layout.solve import solve_layout
from gearplate.layout.spec import LayoutSpec, Side
from gearplate.plate.make import make_plates
from gearplate.plate.marks import less_one, lines_for, must_stand, touching
from gearplate.plate.plate import Plate
from gearplate.plate.room import MOST_CENTRES, Room
from gearplate.plate.spec import FaceUp, Hand, Identity, OutlineStyle, PlateSpec
from tests.builders.plates import IDENTITY, fixed, ordinary, placed, region, shop, wishes

OUTER_UP = FaceUp(outboard=Side.OUTBOARD, inboard=Side.INBOARD)


@functools.cache
def designs() -> tuple[tuple[LayoutSpec, Layout, PlateSpec], ...]:
    spec, layout = placed()
    cramped_spec, cramped = fixed()
    return (
        (spec, layout, wishes()),
        (spec, layout, wishes(face_up=OUTER_UP)),
        (spec, layout, wishes(outline=OutlineStyle.WAISTED, letter_height_mm=4.0)),
        (spec, layout, wishes(lightening=True)),
        (cramped_spec, cramped, wishes(margin_mm=4.0)),
    )


def etched(plate: Plate, hand: Hand, draft: bool = True) -> dict[str, Any]:
    """The strokes of each mark as the file has them, by the polygon library; x brought back to the right-hand frame."""
    cut = cut_plate(plate, hand, shop(), IDENTITY, "mm", draft)
    sign = (-1.0 if cut.turned else 1.0) * (-1.0 if hand is Hand.LEFT else 1.0)
    return {
        name: MultiLineString([LineString([(sign * x, y) for x, y in stroke.points]) for stroke in strokes])
        for name, strokes in cut.etch
    }


def cuts(plate: Plate) -> Any:
    """Every edge that is cut, in finished sizes, in the right-hand frame."""
    cut = cut_plate(plate, Hand.RIGHT, shop(), IDENTITY, "mm")
    edges = [region(cut.outline).exterior]
    for feature in cut.features:
        if feature.finished_path is not None:
            edges.append(region(feature.finished_path).exterior)
        else:
            assert feature.finished_diameter_mm is not None
            middle = Point(feature.x_mm, feature.y_mm)
            edges.append(middle.buffer(0.5 * feature.finished_diameter_mm, quad_segs=64).exterior)
    return shapely.union_all(edges)


def footprint(body: Body) -> Any:
    return box(*body.box) if body.box is not None else Point(body.x_mm, body.y_mm).buffer(body.radius_mm)


@pytest.mark.parametrize("number", range(5))
@pytest.mark.parametrize("hand", list(Hand))
def test_marks_keep_off_cuts_and_off_what_touches_the_face(number: int, hand: Hand) -> None:
    spec, layout, asked = designs()[number]
    for plate in make_plates(layout, spec, asked):
        low, high = layout.stack.plate(plate.side)
        face = high if plate.face_up is Side.OUTBOARD else low
        feet = [
            footprint(body)
            for body in layout.bodies
            if body.kind not in (BodyKind.PLATE, BodyKind.GEAR, BodyKind.WHEEL)
            and body.z0_mm - 1e-6 <= face <= body.z1_mm + 1e-6
        ]
        assert feet
        edges, strokes = cuts(plate), etched(plate, hand)
        assert len(strokes) == len(plate.marks)
        metal = region(plate.outline)
        for name, drawn in strokes.items():
            assert metal.contains(drawn), name
            assert drawn.distance(edges) >= 2.0, name  # mm, as the check on marks promises
            assert all(drawn.distance(foot) > 0.0 for foot in feet), name


@pytest.mark.parametrize("hand", list(Hand))
def test_letters_are_tall_enough_stay_in_their_room_and_off_each_other(hand: Hand) -> None:
    for spec, layout, asked in designs():
        for plate in make_plates(layout, spec, asked):
            strokes = etched(plate, hand)
            rooms = {}
            for mark in plate.marks:
                x0, y0, x1, y1 = strokes[mark.id].bounds
                assert mark.height_mm >= 3.0
                room = box(
                    mark.x_mm - 0.5 * mark.width_mm,
                    mark.y_mm - 0.5 * mark.tall_mm,
                    mark.x_mm + 0.5 * mark.width_mm,
                    mark.y_mm + 0.5 * mark.tall_mm,
                )
                # dots and commas may reach an eighth of a letter below the line
                assert room.buffer(0.2 * mark.height_mm).contains(box(x0, y0, x1, y1)), mark
                if mark.kind in ("text", "draft"):
                    assert y1 - y0 == pytest.approx(mark.height_mm, rel=0.35)
                rooms[mark.id] = room
            names = sorted(rooms)
            for index, first in enumerate(names):
                for second in names[index + 1 :]:
                    assert rooms[first].distance(rooms[second]) >= 1.0, (first, second)


def test_what_an_ordinary_plate_says() -> None:
    for plate, texts in zip(
        ordinary(), ({"OUTBOARD RIGHT", "INBOARD FACE UP"}, {"INBOARD RIGHT", "OUTBOARD FACE UP"}), strict=True
    ):
        said = {mark.id: mark.text for mark in plate.marks}
        assert said["part"] == "COMPOST-DRIVE A"
        assert texts <= set(said.values())
        assert said["forward"] == "FWD"
        assert said["up"] == "UP"
        assert said["out"] == "OUT"
        assert said["name-S1"] == "S1 72T 32T"
        assert said["name-output"] == "OUTPUT 60T"
        assert said["name-M1"] == "M1 12T"
        assert plate.unplaced_marks == ()
        left = {mark.id: mark.left_text for mark in plate.marks}
        assert left["plate"] == said["plate"].replace("RIGHT", "LEFT")


def test_a_shafts_name_stands_nearest_to_its_own_hole() -> None:
    for plate in ordinary():
        holes = {
            feature.shaft: feature for feature in plate.features if feature.id.endswith(("-bore", "-pilot", "-shaft"))
        }
        for mark in plate.marks:
            if not mark.id.startswith("name-"):
                continue
            middle = Point(mark.x_mm, mark.y_mm)
            away = {
                shaft: middle.distance(Point(hole.x_mm, hole.y_mm)) - 0.5 * hole.part_diameter_mm
                for shaft, hole in holes.items()
            }
            assert min(away, key=lambda shaft: away[shaft]) == mark.id.removeprefix("name-")


def test_arrows_and_the_sign_for_outward_follow_the_frame() -> None:
    for face_up in (FaceUp(), OUTER_UP):
        spec, layout = placed()
        for plate in make_plates(layout, spec, wishes(face_up=face_up)):
            marks = {mark.id: mark for mark in plate.marks}
            for hand in Hand:
                strokes = etched(plate, hand)  # in the right-hand frame again
                shaft = strokes["forward"].geoms[0].coords
                assert shaft[-1][0] - shaft[0][0] == pytest.approx(10.0)
                assert shaft[-1][1] == pytest.approx(shaft[0][1])
                shaft = strokes["up"].geoms[0].coords
                assert shaft[-1][1] - shaft[0][1] == pytest.approx(10.0)
            # the tip of an arrow is a dot, its tail a cross: two strokes more than ring and word
            looks_out = plate.face_up is Side.OUTBOARD
            assert (marks["out"].angle_rad == 0.0) == looks_out
            rings = len(etched(plate, Hand.RIGHT)["out"].geoms)
            assert rings == (2 if looks_out else 3) + len("OUT") + 1  # the T has two strokes


def test_the_strip_on_the_rail_stays_bare_only_on_the_face_that_lies_on_it() -> None:
    spec, layout = placed()
    assert spec.rail is not None
    low, high = spec.rail.y_span_mm

    def in_strip(plate: Plate) -> int:
        return sum(low < mark.y_mm < high for mark in plate.marks)

    outer = make_plates(layout, spec, wishes(face_up=OUTER_UP))[0]
    assert any(body.kind is BodyKind.RAIL for body in touching(layout, outer.side, outer.face_up))
    assert in_strip(outer) == 0
    inner = make_plates(layout, spec, wishes())[0]
    assert not any(body.kind is BodyKind.RAIL for body in touching(layout, inner.side, inner.face_up))


def test_a_long_part_is_shortened_before_it_is_dropped() -> None:
    spec, layout = fixed()
    identity = Identity("the-very-long-name-of-a-part-that-no-plate-could-hold-on-one-line", "B", "", (Hand.RIGHT,))
    for plate in make_plates(layout, spec, wishes(identity=identity)):
        part = next(mark for mark in plate.marks if mark.id == "part")
        assert part.text.startswith("THE")
        assert part.text.endswith(".. B")
        assert len(part.text) < len(identity.part)


def test_wordings_get_shorter() -> None:
    for line in lines_for(IDENTITY, Side.OUTBOARD, Side.INBOARD):
        widths = [line.room_mm(number, 3.0)[0] for number in range(len(line.wordings))]
        assert widths == sorted(widths, reverse=True)


def test_what_finds_no_place_is_listed() -> None:
    spec, layout = fixed(standoffs=replace(fixed()[0].standoffs, count=0), rail=None)
    outboard, _ = make_plates(layout, spec, wishes(margin_mm=1.0, outline=OutlineStyle.WAISTED, letter_height_mm=9.0))
    assert outboard.unplaced_marks
    assert must_stand(outboard.unplaced_marks)
    listed = len(outboard.unplaced_marks) + len(outboard.marks)
    assert listed >= 9  # three lines, three arrows, the word for drafts, two shafts


def test_without_marks_only_a_draft_says_anything() -> None:
    spec, layout = placed()
    for plate in make_plates(layout, spec, wishes(marks=False)):
        assert [mark.id for mark in plate.marks] == ["draft"]
        assert etched(plate, Hand.RIGHT, draft=False) == {}
        assert list(etched(plate, Hand.RIGHT, draft=True)) == ["draft"]


def test_lettering_takes_the_smallest_window_that_can_hold_it() -> None:
    spec, layout = placed()
    plate = make_plates(layout, spec, wishes(lightening=True, marks=False))[1]
    windows = [feature for feature in plate.features if feature.id.startswith("window")]
    areas = sorted(region(window.path).area for window in windows if window.path)
    left = less_one(windows)
    assert len(left) == len(windows) - 1
    (gone,) = set(windows) - set(left)
    assert gone.path is not None
    smallest = next(size for size in areas if size >= 250.0)
    assert region(gone.path).area == pytest.approx(smallest, abs=0.01)


def test_a_solved_drive_with_fewer_motors_is_marked_too() -> None:
    assert load_catalog([profiles_folder()]).fastener("#10-32").head_diameter_mm > 0.0
    spec, _ = fixed()
    layout = solve_layout(spec)
    for plate in make_plates(layout, spec, wishes()):
        assert {"part", "plate", "face", "forward", "up", "out"} <= {mark.id for mark in plate.marks}


@pytest.mark.parametrize(("size_mm", "centres"), [(150.0, 59**2), (900.0, MOST_CENTRES)])
def test_a_large_plate_is_tried_at_no_more_places_than_an_ordinary_one(size_mm: float, centres: int) -> None:
    plate = Room(rectangle_path(0.0, 0.0, size_mm, size_mm, 0.0, 3.0), (), 2.0)
    assert 0.9 * centres < len(plate.grid(2.5).points) <= centres
