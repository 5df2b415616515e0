"""The beam follows the cut files: what it leaves is what the record promises, whatever the kerf, hand, face and unit.

The files are read by GDAL/OGR, the beam is an ellipse grown along the path by shapely. Tolerance 0.005 mm.
"""

from __future__ import annotations

import copy
import math
from typing import Any

import numpy as np
import pytest
import shapely

from tests import zoo
from tests.builders import beam
from tests.builders.cut_results import DEFAULT_LAYERS, TOLERANCE_MM, is_closed, kerfs, misses, seen_by_ogr

LAYERS = {"lead-ins": {"etch": "MARK", "inner": "HOLES", "outer": "EDGE"}}  # what that cutter's row asks for
DRAWN_OVER_CUT = {"scale-corrected": 1.0 / 0.998}


def test_the_beam_of_these_tests_takes_half_its_width_on_either_side() -> None:
    ring = [(5.0 * math.cos(k * math.pi / 180), 5.0 * math.sin(k * math.pi / 180)) for k in range(360)]
    hole, part = beam.hole(ring, 0.3, 0.2), beam.part(ring, 0.3, 0.2)
    assert hole.bounds == pytest.approx((-5.15, -5.1, 5.15, 5.1), abs=1e-4)
    assert part.bounds == pytest.approx((-4.85, -4.9, 4.85, 4.9), abs=1e-3)
    assert beam.apart_mm(beam.hole(ring, 0.2, 0.2), beam.hole(ring, 0.21, 0.21)) == pytest.approx(0.005, abs=1e-5)


@pytest.mark.parametrize("name", zoo.ZOO)
def test_what_the_beam_leaves_is_what_the_record_promises(name: str, whole: Any) -> None:
    built = whole(name)
    layers = LAYERS.get(name, DEFAULT_LAYERS)
    for plate in built.plates():
        assert misses(plate, built.folder / plate["file"], layers, DRAWN_OVER_CUT.get(name, 1.0)) == []


@pytest.mark.parametrize("key", ["kerf_x_mm", "x_mm", "finished_diameter_mm", "outline"])
def test_a_promise_that_is_not_kept_is_seen(key: str, whole: Any) -> None:
    """Or the test above would prove nothing."""
    built = whole("every-place-given")
    plate = copy.deepcopy(built.plates()[0])
    if key == "kerf_x_mm":  # as if kerf were taken twice
        plate["kerf_x_mm"] *= 2.0
        plate["kerf_y_mm"] *= 2.0
    elif key == "outline":
        plate["outline"]["vertices"][0][0] += 0.01
    else:
        plate["features"][0][key] += 0.012
    assert misses(plate, built.folder / plate["file"])


@pytest.mark.parametrize("name", [name for name in zoo.ZOO if name != "kerf-by-axis"])  # its holes are cut as ovals
def test_round_holes_are_round_and_of_the_size_that_was_asked_for(name: str, whole: Any) -> None:
    """Vertices of what GDAL takes for a circle lie on one circle to 1e-6 mm, of the diameter in the record."""
    built = whole(name)
    layers = LAYERS.get(name, DEFAULT_LAYERS)
    for plate in built.plates():
        drawn = DRAWN_OVER_CUT.get(name, 1.0)
        turned = -1.0 if plate["face_up"] == "inboard" else 1.0
        seen = [
            points
            for layer, points in seen_by_ogr(built.folder / plate["file"])
            if layer == layers["inner"] and is_closed(points)
        ]
        for feature in plate["features"]:
            if feature["form"] != "circle":
                continue
            x, y = turned * drawn * feature["x_mm"], drawn * feature["y_mm"]
            points = min(seen, key=lambda one: math.dist(one[:-1].mean(axis=0), (x, y)))
            radii = np.hypot(points[:, 0] - x, points[:, 1] - y)
            assert np.ptp(radii) < 2e-6 * drawn + 1e-6, feature["id"]
            assert 2.0 * radii.mean() == pytest.approx(drawn * feature["path_diameter_mm"], abs=5e-6), feature["id"]


def test_the_oval_of_an_uneven_beam_is_narrower_where_the_beam_is_wider(whole: Any) -> None:
    built = whole("kerf-by-axis")
    for plate in built.plates():
        seen = [points for layer, points in seen_by_ogr(built.folder / plate["file"]) if layer == "inner"]
        for feature in plate["features"]:
            if feature["form"] != "circle":
                continue
            turned = -1.0 if plate["face_up"] == "inboard" else 1.0
            at = (turned * feature["x_mm"], feature["y_mm"])
            points = min(seen, key=lambda one: math.dist(one[:-1].mean(axis=0), at))
            wide, tall = np.ptp(points, axis=0)
            assert wide == pytest.approx(feature["finished_diameter_mm"] - 0.26, abs=2e-3)
            assert tall == pytest.approx(feature["finished_diameter_mm"] - 0.14, abs=2e-3)


def test_a_lead_in_takes_nothing_but_the_slug(whole: Any) -> None:
    built = whole("lead-ins")
    for plate in built.plates():
        kerf_x, kerf_y = kerfs(plate)
        seen = [points for layer, points in seen_by_ogr(built.folder / plate["file"]) if layer == "HOLES"]
        runs = [points for points in seen if not is_closed(points)]
        holes = [beam.hole(points, kerf_x, kerf_y) for points in seen if is_closed(points)]
        bores = [feature for feature in plate["features"] if feature["kind"] == "bearing_bore"]
        assert len(runs) == len(bores) == sum(feature["lead_in"] for feature in plate["features"])
        for run in runs:
            hole = min(holes, key=lambda one: one.distance(shapely.Point(run[0])))
            assert hole.buffer(TOLERANCE_MM).contains(beam.slit(run, kerf_x, kerf_y))
            assert math.dist(run[0], run[-1]) == pytest.approx(1.5, abs=1e-5)


def test_the_lead_in_stands_away_from_the_load(whole: Any) -> None:
    """On the output the separating force of the last mesh pushes away from S1: the mark lies toward S1."""
    built = whole("lead-ins")
    at = {shaft["name"]: (shaft["x_mm"], shaft["y_mm"]) for shaft in built.record["shafts"]}
    for plate in built.plates():
        turned = -1.0 if plate["face_up"] == "inboard" else 1.0
        runs = [
            points
            for layer, points in seen_by_ogr(built.folder / plate["file"])
            if layer == "HOLES" and not is_closed(points)
        ]
        run = min(runs, key=lambda points: math.hypot(*points[-1]))
        ahead = math.atan2(run[-1][1], turned * run[-1][0])
        assert ahead == pytest.approx(math.atan2(at["S1"][1], at["S1"][0]), abs=1e-3)
