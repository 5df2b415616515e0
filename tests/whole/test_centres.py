"""Distances between bores in the cut files against centre distances worked out anew from tooth counts.

Only tooth counts, module, pressure angle, shift and added centre distance go in (tests/builders/involute_sums.py:
textbook relations, own involute function); the files are read by a few own lines. Tolerance 0.001 mm.
"""

from __future__ import annotations

import math
from typing import Any

import pytest

from tests import zoo
from tests.builders.dxf_tags import Contour, contours
from tests.builders.involute_sums import Pair

TOLERANCE_MM = 0.001
ADDED_MM = {"older-teeth": 0.08, "shifted-teeth": 0.03}  # as those jobs say; else the default, 0.05 mm
ADDED_IN_STAGE_MM = {("steep-teeth", 1): 0.0254}
AXES = ("bearing_bore", "motor_pilot", "shaft_clearance")
DRAWN_OVER_CUT = {"scale-corrected": 1.0 / 0.998}

# z1, z2, m, x1, x2 -> centre distance without play, mm: worked by hand or in print elsewhere
BY_HAND = (
    (Pair(1.27, 20.0, (32, 60)), 58.42),  # (32 + 60) / 40 in
    (Pair(1.27, 14.5, (32, 72)), 66.04),
    (Pair(1.25, 20.0, (28, 60)), 55.0),
)


def pair_of(mesh: dict[str, Any]) -> Pair:
    return Pair(
        mesh["module_mm"],
        mesh["pressure_angle_deg"],
        (mesh["driver_teeth"], mesh["driven_teeth"]),
        (mesh["profile_shift"][0], mesh["profile_shift"][1]),
        (mesh["tooth_thinning_mm"][0], mesh["tooth_thinning_mm"][1]),
    )


def middle(contour: Contour) -> tuple[float, float]:
    """Centre of a circle; of anything else that of its box (holes for shafts are all their own mirror)."""
    if contour.centre is not None:
        return contour.centre
    points = contour.points()
    xs, ys = [x for x, _ in points], [y for _, y in points]
    return 0.5 * (min(xs) + max(xs)), 0.5 * (min(ys) + max(ys))


def axes_of(built: Any, plate: dict[str, Any], inner: str) -> dict[str, tuple[float, float]]:
    """Where each shaft's hole stands in the cut file, brought to the frame. The record only names the holes: which
    contour is which is told by the nearest within half a millimetre."""
    size = DRAWN_OVER_CUT.get(built.name, 1.0)
    turned = -1.0 if plate["face_up"] == "inboard" else 1.0
    holes = [one for one in contours(built.data(plate)) if one.layer == inner and one.closed]
    found = {}
    for feature in plate["features"]:
        if feature["kind"] not in AXES or feature["id"] != expected_id(feature):
            continue
        at = (turned * size * feature["x_mm"], size * feature["y_mm"])
        centre = min((middle(one) for one in holes), key=lambda one: math.dist(one, at))
        assert math.dist(centre, at) < 0.5
        found[feature["shaft"]] = (turned * centre[0] / size, centre[1] / size)
    return found


def expected_id(feature: dict[str, Any]) -> str:
    ends = {"bearing_bore": "bore", "motor_pilot": "pilot", "shaft_clearance": "shaft"}
    if feature["kind"] == "shaft_clearance" and not feature["shaft"].startswith("M"):
        return f"{feature['shaft']}-bore"
    return f"{feature['shaft']}-{ends[feature['kind']]}"


def test_the_sums_here_agree_with_those_done_by_hand() -> None:
    for pair, centre in BY_HAND:
        assert pair.zero_backlash_centre_mm() == pytest.approx(centre, abs=1e-9)


@pytest.mark.parametrize("name", zoo.ZOO)
def test_bores_stand_where_the_teeth_want_them(name: str, whole: Any) -> None:
    built = whole(name)
    inner = "HOLES" if name == "lead-ins" else "inner"
    meshes = built.record["train"]["meshes"]
    assert meshes
    for plate in built.plates():
        at = axes_of(built, plate, inner)
        compared = 0
        for mesh in meshes:
            ends = (mesh["driver_shaft"], mesh["driven_shaft"])
            if not set(ends) <= set(at):
                continue
            added = ADDED_IN_STAGE_MM.get((name, mesh["stage"]), ADDED_MM.get(name, 0.05))
            wanted = pair_of(mesh).zero_backlash_centre_mm() + added
            assert math.dist(at[ends[0]], at[ends[1]]) == pytest.approx(wanted, abs=TOLERANCE_MM), ends
            assert mesh["centre_mm"] == pytest.approx(wanted, abs=1e-5)
            assert mesh["added_centre_mm"] == pytest.approx(added, abs=1e-5)
            compared += 1
        assert compared >= min(len(meshes), 1)
    # every mesh is held in one plate at least: a motor's pilot and the bore of the gear it drives
    sides = [axes_of(built, plate, inner) for plate in built.plates()]
    for mesh in meshes:
        assert any({mesh["driver_shaft"], mesh["driven_shaft"]} <= set(at) for at in sides)


@pytest.mark.parametrize("name", zoo.ZOO)
def test_shafts_of_the_record_stand_in_the_middle_of_their_bores(name: str, whole: Any) -> None:
    built = whole(name)
    inner = "HOLES" if name == "lead-ins" else "inner"
    at = {shaft["name"]: (shaft["x_mm"], shaft["y_mm"]) for shaft in built.record["shafts"]}
    seen = set()
    for plate in built.plates():
        sign = -1.0 if plate["hand"] == "left" else 1.0  # shafts stand in the frame of the right hand
        for shaft, (x, y) in axes_of(built, plate, inner).items():
            assert (sign * x, y) == pytest.approx(at[shaft], abs=TOLERANCE_MM)
            seen.add(shaft)
    assert seen == set(at)


@pytest.mark.parametrize("name", zoo.ZOO)
def test_play_and_contact_ratio_follow_from_the_textbook(name: str, whole: Any) -> None:
    for mesh in whole(name).record["train"]["meshes"]:
        pair = pair_of(mesh)
        centre = mesh["centre_mm"]
        assert mesh["backlash_mm"] == pytest.approx(pair.backlash_reference_mm(centre), abs=1e-5)
        assert mesh["backlash_mm"] > 0.0
        working = math.degrees(pair.working_angle(centre))
        assert mesh["working_pressure_angle_deg"] == pytest.approx(working, abs=1e-5)
        tips = tips_of(whole(name).record, mesh)
        pair = Pair(pair.module_mm, pair.pressure_angle_deg, pair.teeth, pair.shift, pair.thinning_mm, tips)
        if pair.flanks_reach(centre):
            assert mesh["contact_ratio"] == pytest.approx(pair.contact_ratio(centre), abs=1e-5)
        else:  # undercut, or a root that ends the contact: never more than the formula
            assert mesh["contact_ratio"] <= pair.contact_ratio(centre) + 1e-5


def tips_of(record: dict[str, Any], mesh: dict[str, Any]) -> tuple[float, float]:
    tip = {(gear["shaft"], gear["stage"]): gear["tip_diameter_mm"] for gear in record["gears"]}
    return tip[mesh["driver_shaft"], mesh["stage"]], tip[mesh["driven_shaft"], mesh["stage"]]


def test_both_kinds_of_flanks_are_in_the_zoo(whole: Any) -> None:
    """Or the comparison above would hold nothing against the textbook."""
    reach = {
        pair_of(mesh).flanks_reach(mesh["centre_mm"])
        for name in zoo.ZOO
        for mesh in whole(name).record["train"]["meshes"]
    }
    assert True in reach
