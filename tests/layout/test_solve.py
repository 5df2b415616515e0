"""The search for places: what it returns clears everything, by code that shares nothing with it."""

from __future__ import annotations

import itertools
import math
from dataclasses import replace

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from shapely.geometry import Point, box

from gearplate.errors import NoSolution
from gearplate.finding import Finding, Severity
from gearplate.layout import solve
from gearplate.layout.design import Body, BodyKind, Layout
from gearplate.layout.misses import nearest_miss
from gearplate.layout.solve import solve_layout
from gearplate.layout.spec import KeepOut, LayoutSpec, LimitsSpec, Place, Side, WishesSpec
from tests.builders.specs import drive_spec


def footprint(body: Body) -> object:
    if body.box is not None:
        return box(*body.box)
    return Point(body.x_mm, body.y_mm).buffer(body.radius_mm, quad_segs=64)


def collisions(spec: LayoutSpec, layout: Layout) -> list[str]:
    """Bodies that overlap in the plane and along z, mates and things on one axis excepted (shapely)."""
    meshed = {frozenset((m.driver.shaft, m.driven.shaft)) for m in layout.meshes}
    found = []
    for a, b in itertools.combinations(layout.bodies, 2):
        if a.z1_mm <= b.z0_mm + 1e-6 or b.z1_mm <= a.z0_mm + 1e-6:
            continue
        if a.shaft == b.shaft and a.shaft is not None and (a.x_mm, a.y_mm) == (b.x_mm, b.y_mm):
            continue
        if a.group and a.group == b.group:
            continue
        kinds = {a.kind, b.kind}
        if kinds == {BodyKind.GEAR} and frozenset((a.shaft, b.shaft)) in meshed:
            continue
        if BodyKind.RAIL in kinds and ("output" in (a.shaft, b.shaft) or kinds & {BodyKind.RAIL_TUBE}):
            continue
        if footprint(a).intersection(footprint(b)).area > 1e-3:  # type: ignore[attr-defined]
            found.append(f"{a.name} / {b.name}")
    return found


def solve_or_tell(spec: LayoutSpec) -> tuple[Layout | None, tuple[Finding, ...]]:
    try:
        return solve_layout(spec), ()
    except NoSolution as failure:
        return None, failure.findings


@pytest.mark.parametrize("motors", [1, 2, 3])
def test_an_ordinary_drive_is_found_and_clear(motors: int) -> None:
    spec = drive_spec(motors=motors)
    layout = solve_layout(spec)
    assert nearest_miss(spec, layout) == ()
    assert collisions(spec, layout) == []
    assert len(layout.standoffs) == spec.standoffs.count


def test_centre_distances_are_kept_to_a_nanometre() -> None:
    layout = solve_layout(drive_spec())
    at = {shaft.name: (shaft.x_mm, shaft.y_mm) for shaft in layout.shafts}
    for mesh in layout.meshes:
        assert math.dist(at[mesh.driver.shaft], at[mesh.driven.shaft]) == pytest.approx(
            mesh.zero_backlash_centre_mm + 0.05, abs=1e-6
        )


def test_the_same_job_gives_the_same_layout() -> None:
    assert solve_layout(drive_spec(motors=2)) == solve_layout(drive_spec(motors=2))


def test_what_cannot_be_is_told_with_what_is_in_the_way() -> None:
    spec = drive_spec(wheel_mm=200.0)
    with pytest.raises(NoSolution) as caught:
        solve_layout(spec)
    assert isinstance(caught.value.nearest, Layout)
    assert any(finding.check == "motor-to-wheel" for finding in caught.value.findings)
    assert all(finding.measured is not None and finding.limit is not None for finding in caught.value.findings)


def test_one_proof_does_for_every_pattern_of_rail_screws(monkeypatch: pytest.MonkeyPatch) -> None:
    """What finds no place without rail screws finds none with them; the nearest layout is the same."""
    spec = drive_spec(motors=2, limits=LimitsSpec(forward_mm=30.0, back_mm=30.0, up_mm=60.0))
    layouts: list[object] = []
    searched: list[int] = []
    search = solve._searched

    def counted(*asked: object) -> object:
        searched[-1] += 1
        return search(*asked)  # type: ignore[arg-type]

    monkeypatch.setattr(solve, "_searched", counted)
    for nowhere in (solve._nowhere, lambda *_: False):
        monkeypatch.setattr(solve, "_nowhere", nowhere)
        searched.append(0)
        with pytest.raises(NoSolution) as caught:
            solve_layout(spec)
        layouts.append(caught.value.nearest)
    assert searched == [1, len(solve.RAIL_TRIES_MM)]
    assert layouts[0] == layouts[1]


def test_given_places_are_returned_as_they_are() -> None:
    spec = drive_spec(motors=1, places={"S1": Place(angle_rad=1.5), "M1": Place(angle_rad=1.2)})
    layout = solve_layout(spec)
    s1 = layout.shaft("S1")
    assert math.atan2(s1.y_mm, s1.x_mm) == pytest.approx(1.5)
    assert not s1.free


def test_nothing_goes_below_the_floor() -> None:
    spec = drive_spec(motors=2, wheel_mm=127.0)
    lowest = min(
        body.y_mm - body.radius_mm
        for body in solve_layout(spec).bodies
        if body.kind not in (BodyKind.WHEEL, BodyKind.RAIL)
    )
    assert lowest >= -63.5 + 10.0 - 1e-6


def test_limits_are_kept() -> None:
    free = solve_layout(drive_spec(motors=2))
    top = max(b.y_mm + b.radius_mm for b in free.bodies if b.kind is BodyKind.MOTOR)
    spec = drive_spec(motors=2, limits=LimitsSpec(up_mm=top - 8.0))
    layout = solve_layout(spec)
    assert max(b.y_mm + b.radius_mm for b in layout.bodies if b.kind is BodyKind.MOTOR) <= top - 8.0 + 1e-6


def test_one_motor_inboard_gives_way_to_the_wheel() -> None:
    spec = drive_spec(motors=3, wheel_mm=127.0)
    spec = replace(spec, motors=(*spec.motors[:2], replace(spec.motors[2], side=Side.INBOARD)))
    layout = solve_layout(spec)
    assert collisions(spec, layout) == []


@settings(max_examples=12, deadline=None, suppress_health_check=list(HealthCheck))
@given(
    motors=st.integers(1, 3),
    wheel=st.floats(80.0, 140.0),
    first=st.integers(54, 84),
    driver=st.integers(18, 36),
    driven=st.integers(40, 72),
)
def test_no_returned_layout_has_an_error(motors: int, wheel: float, first: int, driver: int, driven: int) -> None:
    spec = drive_spec(wheel_mm=wheel, motors=motors, teeth=(first, driver, driven))
    layout, told = solve_or_tell(spec)
    if layout is None:
        assert told
    else:
        assert all(finding.severity is not Severity.ERROR for finding in nearest_miss(spec, layout))
        assert collisions(spec, layout) == []


def test_where_only_common_practice_is_missed_the_layout_comes_back_with_warnings() -> None:
    # 12 teeth cut long on 60 of diametral pitch 20 stand 46.4 mm apart: a motor of 64 mm and a bearing of 28.575 mm
    # that stands 0.4 mm proud beside it are 0.09 mm apart, whatever the angles; 0.5 mm is only practice.
    spec = drive_spec(motors=1, teeth=(60, 24, 72))
    findings = nearest_miss(spec, solve_layout(spec))
    assert [finding.severity for finding in findings] == [Severity.WARNING]
    assert findings[0].measured == pytest.approx(0.0885, abs=1e-3)


def test_rail_screws_keep_off_a_shaft_that_is_given_by_angle() -> None:
    spec = drive_spec(motors=1, places={"S1": Place(angle_rad=0.8)})
    layout = solve_layout(spec)
    assert collisions(spec, layout) == []
    assert max(x for x, _ in layout.rail_holes) > 70.0


@pytest.mark.parametrize("places", [{}, {"S1": Place(angle_rad=1.5), "M1": Place(angle_rad=1.2)}])
def test_standoffs_that_find_no_room_are_told(places: dict[str, Place]) -> None:
    spec = drive_spec(motors=1, places=places)
    spec = replace(spec, standoffs=replace(spec.standoffs, count=30))
    with pytest.raises(NoSolution, match=r"Room for \d+ of 30 standoffs was found") as caught:
        solve_layout(spec)
    assert isinstance(caught.value.nearest, Layout)
    assert 0 < len(caught.value.nearest.standoffs) < 30


def test_standoffs_stand_out_of_the_hull_within_wide_limits_too() -> None:
    free = solve_layout(drive_spec(motors=2))
    wide = drive_spec(motors=2, limits=LimitsSpec(height_mm=260.0, width_mm=200.0))
    layout = solve_layout(wide)
    assert layout.standoffs == free.standoffs
    assert nearest_miss(wide, layout) == ()


def test_standoffs_move_out_where_there_is_no_room_between_the_gears() -> None:
    spec = drive_spec(motors=2)
    spec = replace(spec, standoffs=replace(spec.standoffs, count=8))
    layout = solve_layout(spec)
    assert len(layout.standoffs) == 8
    assert collisions(spec, layout) == []
    assert min(y for _, y in layout.standoffs) - 0.5 * spec.standoffs.diameter_mm > 10.0 - 0.5 * 101.6


def test_standoffs_move_out_before_the_rails_screws_do() -> None:
    """With a fence behind the box two of three standoffs find no room nearby. Screws of the rail 20 mm farther out
    leave room for them, but a larger hull than standoffs farther out at the first screws."""
    fence = KeepOut("fence", 5.0, 30.0, box=(-200.0, 60.0, -15.0, 300.0))
    few = WishesSpec(boxes=300, spend=0.0)
    spec = drive_spec(motors=1, places={"S1": Place(angle_rad=math.radians(90))}, keep_outs=(fence,), wishes=few)
    rail = spec.rail
    assert rail is not None
    layout = solve_layout(spec)
    moved = tuple((x + math.copysign(20.0, x), y) for x, y in layout.rail_holes)
    farther = solve_layout(replace(spec, rail=replace(rail, holes=moved)))
    assert len(layout.standoffs) == len(farther.standoffs) == 3
    assert collisions(spec, layout) == []
    assert layout.hull_area_mm2 < 0.9 * farther.hull_area_mm2
    assert layout.certificate is not None


def test_standoffs_farther_out_come_with_a_certificate() -> None:
    """Eight of them find no room nearby with any of the patterns of the rail's screws."""
    spec = drive_spec(motors=2, wishes=WishesSpec(boxes=300))
    layout = solve_layout(replace(spec, standoffs=replace(spec.standoffs, count=8)))
    assert len(layout.standoffs) == 8
    assert layout.certificate is not None
    assert layout.certificate.bound <= layout.certificate.value <= layout.hull_area_mm2
