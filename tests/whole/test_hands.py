"""Both plates over each other, both hands mirrored, and lettering that reads on the face that lies up."""

from __future__ import annotations

import math
from collections.abc import Iterable
from typing import Any

import pytest
from shapely.geometry import Polygon

from gearplate.geometry.strokes import text_strokes
from tests import zoo
from tests.builders.beam import apart_mm
from tests.builders.dxf_tags import Contour, contours

Point = tuple[float, float]
Strokes = tuple[tuple[Point, ...], ...]
TWO_HANDED = [name for name, job in zoo.ZOO.items() if 'hand = "both"' in job.text]
LAYERS = {"lead-ins": ("MARK", "HOLES", "EDGE")}
DRAWN_OVER_CUT = {"scale-corrected": 1.0 / 0.998}


def on_layer(built: Any, plate: dict[str, Any], which: int) -> list[Contour]:
    layer = LAYERS.get(built.name, ("etch", "inner", "outer"))[which]
    return [one for one in contours(built.data(plate)) if one.layer == layer]


def middle(contour: Contour) -> Point:
    if contour.centre is not None:
        return contour.centre
    centroid = Polygon(contour.points()).centroid
    return centroid.x, centroid.y


# registration


@pytest.mark.parametrize("name", zoo.ZOO)
def test_holes_of_both_plates_stand_over_each_other(name: str, whole: Any) -> None:
    """From the files alone, once the declared turn is undone: to 0.001 mm."""
    built = whole(name)
    size = DRAWN_OVER_CUT.get(name, 1.0)
    for hand in {plate["hand"] for plate in built.plates()}:
        seen: list[dict[str, Point]] = []
        for plate in built.plates(hand):
            turned = -1.0 if plate["face_up"] == "inboard" else 1.0
            holes = [middle(one) for one in on_layer(built, plate, 1) if one.closed]
            at = {}
            for feature in plate["features"]:
                want = (turned * size * feature["x_mm"], size * feature["y_mm"])
                x, y = min(holes, key=lambda hole: math.dist(hole, want))
                at[feature["id"]] = (turned * x / size, y / size)
            seen.append(at)
        common = set(seen[0]) & set(seen[1])
        assert {feature["id"] for feature in built.plates(hand)[0]["features"] if feature["shared"]} == common
        assert len(common) >= 4
        for one in common:
            assert math.dist(seen[0][one], seen[1][one]) < 1e-3, one


# hands


@pytest.mark.parametrize("name", TWO_HANDED)
def test_the_left_plate_is_the_mirror_image_of_the_right(name: str, whole: Any) -> None:
    """Contour by contour in the files; both lie the same face up, so that the drawings mirror each other."""
    built = whole(name)
    for side in ("outboard", "inboard"):
        right, left = (next(one for one in built.plates(hand) if one["plate"] == side) for hand in ("right", "left"))
        assert right["face_up"] == left["face_up"]
        assert right["file"] != left["file"]
        images = [Polygon([(-x, y) for x, y in one.points()]) for one in closed(built, right)]
        others = [Polygon(one.points()) for one in closed(built, left)]
        assert len(images) == len(others)
        for image in images:
            other = min(others, key=lambda one: one.centroid.distance(image.centroid) + abs(one.area - image.area))
            others.remove(other)
            assert apart_mm(image, other) < 2e-3


def closed(built: Any, plate: dict[str, Any]) -> list[Contour]:
    return [one for which in (1, 2) for one in on_layer(built, plate, which) if one.closed]


def test_a_left_job_alone_gives_the_same_plates_as_both(whole: Any) -> None:
    """The record of a left-hand plate stands in its own frame: x forward is negative there."""
    right, left = whole("every-place-given").plates(), whole("left-hand").plates()
    for one, other in zip(right, left, strict=True):
        assert other["hand"] == "left"
        for a, b in zip(one["features"], other["features"], strict=True):
            assert a["id"] == b["id"]
            assert (-a["x_mm"], a["y_mm"]) == pytest.approx((b["x_mm"], b["y_mm"]), abs=1e-9)
    at = [
        {shaft["name"]: shaft["x_mm"] for shaft in whole(name).record["shafts"]}
        for name in ("every-place-given", "left-hand")
    ]
    assert at[0] == at[1]  # shafts are told in the frame of the right hand


def test_a_plate_that_is_its_own_mirror_says_that_it_fits_both(whole: Any) -> None:
    for name in zoo.ZOO:
        fits = {plate["fits_both_hands"] for plate in whole(name).plates()}
        assert fits == {name in zoo.OWN_MIRROR}, name


def test_an_own_mirror_really_is_one(whole: Any) -> None:
    built = whole("its-own-mirror")
    for plate in built.plates("right"):
        shapes = [Polygon(one.points()) for one in closed(built, plate)]
        for image in (Polygon([(-x, y) for x, y in shape.exterior.coords]) for shape in shapes):
            near = [shape for shape in shapes if shape.centroid.distance(image.centroid) < 0.01]
            assert min(apart_mm(image, shape) for shape in near) < 2e-3


@pytest.mark.parametrize("name", [name for name in TWO_HANDED if name not in zoo.OWN_MIRROR])
def test_the_wrong_hand_does_not_bolt_on(name: str, whole: Any) -> None:
    """However the mirrored screw holes are laid over the others, turned and slid so that a pair falls on a pair: at
    least one misses by more than its own play."""
    for plate in whole(name).plates("right"):
        holes = [feature for feature in plate["features"] if feature["kind"] in ("standoff", "rail_hole")]
        bores = [feature for feature in plate["features"] if feature["kind"] in ("bearing_bore", "motor_pilot")]
        places = [(f["x_mm"], f["y_mm"], f["finished_diameter_mm"] or 0.0) for f in (*holes, *bores)]
        assert best_misfit(places) > 1.0


def best_misfit(places: list[tuple[float, float, float]]) -> float:
    """Least greatest miss over all ways to lay two mirrored places on two places of the same sizes."""
    image = [(-x, y, size) for x, y, size in places]
    best = math.inf
    a, b = image[0], image[-1]
    for c in places:
        for d in places:
            if c is d or abs(c[2] - a[2]) > 0.01 or abs(d[2] - b[2]) > 0.01:
                continue
            turn = math.atan2(d[1] - c[1], d[0] - c[0]) - math.atan2(b[1] - a[1], b[0] - a[0])
            cos, sin = math.cos(turn), math.sin(turn)
            worst = 0.0
            for x, y, size in image:
                u, v = c[0] + cos * (x - a[0]) - sin * (y - a[1]), c[1] + sin * (x - a[0]) + cos * (y - a[1])
                worst = max(worst, min(math.dist((u, v), q[:2]) for q in places if abs(q[2] - size) < 0.01))
            best = min(best, worst)
    return best


# lettering


def strokes_seen(built: Any, plate: dict[str, Any]) -> Strokes:
    size = DRAWN_OVER_CUT.get(built.name, 1.0)
    return tuple(tuple((x / size, y / size) for x, y, _ in one.vertices) for one in on_layer(built, plate, 0))


def letter(text: str, height: float, mirrored: bool) -> Strokes:
    sign = -1.0 if mirrored else 1.0
    return tuple(tuple((sign * x, y) for x, y in stroke.points) for stroke in text_strokes(text, 0.0, 0.0, height))


def times_found(wanted: Strokes, seen: Strokes) -> int:
    """How often a group of strokes stands among others, moved but neither turned nor mirrored."""
    count = 0
    first = wanted[0]
    for stroke in seen:
        if len(stroke) != len(first):
            continue
        dx, dy = stroke[0][0] - first[0][0], stroke[0][1] - first[0][1]
        moved = [tuple((x + dx, y + dy) for x, y in one) for one in wanted]
        count += all(any(same(one, other) for other in seen) for one in moved)
    return count


def same(a: Iterable[Point], b: Iterable[Point]) -> bool:
    first, second = tuple(a), tuple(b)
    return len(first) == len(second) and all(math.dist(p, q) < 1e-4 for p, q in zip(first, second, strict=True))


def test_an_f_has_its_upright_on_the_left_and_its_arms_above() -> None:
    """What the other tests take for a letter that reads: drawn by our own strokes, judged by eye once and here."""
    points = [point for stroke in letter("F", 3.0, False) for point in stroke]
    upright = min(x for x, _ in points)
    assert any(x == upright and y == 0.0 for x, y in points)
    assert any(x == upright and y == 3.0 for x, y in points)
    assert min(y for x, y in points if x > upright + 0.5) > 1.0


@pytest.mark.parametrize("name", [name for name in zoo.ZOO if name != "plain"])
def test_letters_read_on_the_face_that_lies_up(name: str, whole: Any) -> None:
    """An F (of FWD and FACE UP) and a 2 (of the tooth counts) stand in every file as they are written, never mirrored:
    whatever the hand, and whether or not the plate lies turned over."""
    built = whole(name)
    for plate in built.plates():
        seen = strokes_seen(built, plate)
        assert times_found(letter("F", 3.0, False), seen) >= 1
        assert times_found(letter("F", 3.0, True), seen) == 0
        assert times_found(letter("2", 3.0, True), seen) == 0


@pytest.mark.parametrize("name", [name for name in zoo.ZOO if name != "plain"])
def test_the_plate_says_its_hand(name: str, whole: Any) -> None:
    built = whole(name)
    for plate in built.plates():
        word = {"right": "RIGHT", "left": "LEFT"}[plate["hand"]]
        seen = strokes_seen(built, plate)
        texts = [mark["text"] for mark in plate["marks"]]
        spelled = any(word in text.split() for text in texts)
        assert spelled or any(text.split()[-1] == word[0] for text in texts if text)
        if spelled:
            assert times_found(letter(word, 3.0, False), seen) == 1


@pytest.mark.parametrize("name", [name for name in zoo.ZOO if name != "plain"])
def test_the_arrow_points_forward(name: str, whole: Any) -> None:
    """Forward is +x of the right hand, seen from the wheel: -x where the plate lies turned over, and again if left."""
    built = whole(name)
    for plate in built.plates():
        mark = next((one for one in plate["marks"] if one["id"] == "forward"), None)
        assert mark is not None
        (x0, y0), (x1, y1) = mark["strokes_mm"][0]
        size = DRAWN_OVER_CUT.get(name, 1.0)
        wanted = (1.0 if plate["hand"] == "right" else -1.0) * (-1.0 if plate["face_up"] == "inboard" else 1.0)
        assert (x1 - x0) / size == pytest.approx(10.0 * wanted, abs=1e-5)
        assert y1 == pytest.approx(y0)
        shaft = ((x0 / size, y0 / size), (x1 / size, y1 / size))
        assert any(same(shaft, stroke) for stroke in strokes_seen(built, plate))


def test_no_mark_no_stroke(whole: Any) -> None:
    built = whole("plain")
    for plate in built.plates():
        assert on_layer(built, plate, 0) == []
