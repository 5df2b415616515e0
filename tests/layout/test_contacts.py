"""What a shaft stands nearest to, measured again by shapely from the bodies' own sizes."""

from __future__ import annotations

import math
from dataclasses import replace
from functools import cache

import pytest
from hypothesis import HealthCheck, given, reject, settings
from hypothesis import strategies as st
from shapely import affinity
from shapely.geometry import LineString, MultiPoint, Point, Polygon, box
from shapely.geometry.base import BaseGeometry
from shapely.ops import unary_union

from gearplate.errors import NoSolution
from gearplate.job.load import load_job
from gearplate.layout.chain import links
from gearplate.layout.contacts import FAR_MM, HELD_MM, Contact, contacts
from gearplate.layout.design import Body, BodyKind, HoleKind, Layout
from gearplate.layout.hardware import disc
from gearplate.layout.nearest import Grown, between, hull_between
from gearplate.layout.solve import solve_layout
from gearplate.layout.spec import KeepOut, LayoutSpec, LimitsSpec, Place, Side, WishesSpec
from gearplate.layout.spend import MOST_MM
from tests.builders.specs import drive_spec

FINE = 128  # sides of a quarter circle: a radius of 50 mm comes out 1 micrometre small
CLOSE_MM = 2e-3
FEW = WishesSpec(boxes=300)


def footprint(body: Body) -> BaseGeometry:
    if body.box is not None:
        return box(*body.box)
    if body.core_mm > 0.0 and body.angle_rad is not None:
        half = body.core_mm
        square = affinity.rotate(box(-half, -half, half, half), body.angle_rad, origin=(0, 0), use_radians=True)
        rounding = body.radius_mm - math.sqrt(2) * half
        return affinity.translate(square, body.x_mm, body.y_mm).buffer(rounding, quad_segs=FINE)
    return Point(body.x_mm, body.y_mm).buffer(body.radius_mm, quad_segs=FINE)


def holes_named(layout: Layout, name: str) -> dict[Side, BaseGeometry]:
    found: dict[Side, BaseGeometry] = {}
    for hole in layout.holes:
        if hole.id == name:
            half = 0.5 * hole.slot_length_mm
            dx, dy = half * math.cos(hole.angle_rad), half * math.sin(hole.angle_rad)
            line = LineString([(hole.x_mm - dx, hole.y_mm - dy), (hole.x_mm + dx, hole.y_mm + dy)])
            middle = line if half else Point(hole.x_mm, hole.y_mm)
            found[hole.side] = middle.buffer(0.5 * hole.part_diameter_mm, quad_segs=FINE)
    return found


def margins(spec: LayoutSpec, layout: Layout, hole_id: str | None = None) -> BaseGeometry:
    """The margins of all holes but standoffs', and 2 mm round the gears where the plates guard them; or of one hole."""
    found = [
        shape.buffer(spec.margin_mm, quad_segs=FINE)
        for name in {hole.id for hole in layout.holes if hole.kind is not HoleKind.STANDOFF}
        if hole_id in (None, name)
        for shape in holes_named(layout, name).values()
    ]
    if spec.cover_gears and hole_id is None:
        gears = [body for body in layout.bodies if body.kind is BodyKind.GEAR]
        found += [footprint(body).buffer(2.0, quad_segs=FINE) for body in gears]
    return unary_union(found)


def driver(spec: LayoutSpec, layout: Layout, name: str) -> BaseGeometry:
    """The driver on a motor's screw, whose head stands on the screw's axis."""
    shaft = name.split()[0]
    head = next(body for body in layout.bodies if body.name == f"{name} head")
    radius = 0.5 * spec.motor(shaft).screw.driver_diameter_mm + 0.25
    return Point(head.x_mm, head.y_mm).buffer(radius, quad_segs=FINE)


def measured_mm(spec: LayoutSpec, layout: Layout, one: Contact) -> float:
    """The gap of a contact, afresh."""
    shapes = {body.name: footprint(body) for body in layout.bodies}
    if one.kind == "hole":
        first, second = holes_named(layout, one.part), holes_named(layout, one.other)
        return min(float(first[side].distance(second[side])) for side in first if side in second)
    if one.kind in ("limit", "floor"):
        return room_to_line(spec, layout, one)
    if one.check == "motor-service":
        name, body = (one.other, one.part) if one.kind == "driver" else (one.part, one.other)
        return float(driver(spec, layout, name).distance(shapes[body]))
    if one.part == "plates":
        return float(margins(spec, layout).convex_hull.distance(shapes[one.other]))
    if " plate at " in one.part:
        return float(margins(spec, layout, one.part.split(" at ")[1]).distance(shapes[one.other]))
    return float(shapes[one.part].distance(shapes[one.other]))


def room_to_line(spec: LayoutSpec, layout: Layout, one: Contact) -> float:
    """What is left of a limit, of the whole gearbox: that which this shaft ends."""
    kinds = {"gear", "motor", "bearing flange", "bearing", "spacer", "standoff", "rail spacer", "screw head", "washer"}
    whole = [footprint(body) for body in layout.bodies if body.kind.value in kinds]
    own = [footprint(body) for body in layout.bodies if body.kind.value in kinds and body.shaft == one.shaft]
    for hole in layout.holes:
        shape = holes_named(layout, hole.id)[hole.side].buffer(spec.margin_mm, quad_segs=FINE)
        whole.append(shape)
        if hole.shaft == one.shaft:
            own.append(shape)
    x0, y0, x1, y1 = unary_union(own).bounds
    wx0, wy0, wx1, wy1 = unary_union(whole).bounds
    limits = spec.limits
    if one.kind == "floor":
        x0, y0, x1, y1 = unary_union(
            [f for b, f in ((b, footprint(b)) for b in layout.bodies) if b.shaft == one.shaft]
        ).bounds
        return y0 + 0.5 * spec.wheel.diameter_mm - 10.0
    left = {
        "limits.forward": lambda: limits.forward_mm - x1,
        "limits.back": lambda: limits.back_mm + x0,
        "limits.up": lambda: limits.up_mm - y1,
        "limits.down": lambda: limits.down_mm + y0,
        "limits.width": lambda: limits.width_mm - max(x1 - wx0, wx1 - x0),
        "limits.height": lambda: limits.height_mm - max(y1 - wy0, wy1 - y0),
    }
    return float(left[one.other]())


def hold_against_shapely(spec: LayoutSpec, layout: Layout) -> tuple[Contact, ...]:
    """Every contact has the gap that it tells, between the two points that it tells; and nothing is nearer."""
    found = contacts(spec, layout)
    for one in found:
        assert measured_mm(spec, layout, one) == pytest.approx(one.gap_mm, abs=CLOSE_MM), one
        if one.gap_mm > 0.0:
            assert math.dist(one.at_mm, one.to_mm) == pytest.approx(one.gap_mm, abs=CLOSE_MM), one
        assert one.room_mm <= FAR_MM
    return found


def least_of(spec: LayoutSpec, one: Contact) -> float | None:
    clear = spec.clearances
    return {
        "wheel.clear": spec.wheel.clear_mm,
        "clearances.still": clear.still_mm,
        "clearances.gear_tip": clear.gear_tip_mm,
    }.get(one.key)


@pytest.mark.parametrize("job", ["compost-drive", "sprayer-metric", "trench-astride"])
def test_contacts_of_shipped_jobs_are_there(job: str) -> None:
    spec = load_job(job).layout_spec
    layout = solve_layout(spec)
    found = hold_against_shapely(spec, layout)
    assert found
    free = {shaft.name for shaft in layout.shafts if shaft.free}
    assert {one.shaft for one in found} <= free
    linked = {frozenset((link.child, link.parent)) for link in links(spec)}
    shaft_of = {body.name: body.shaft for body in layout.bodies if body.kind.value != "wheel"}
    for one in found:
        least = least_of(spec, one)
        assert least is None or least == one.least_mm, one
        assert frozenset((one.shaft, shaft_of.get(one.other))) not in linked, one  # whose distance is given
    for name in free:
        room = [one.room_mm for one in found if one.shaft == name]
        assert room == sorted(room)
        assert len(room) <= 3


def test_nothing_on_another_shaft_is_nearer_than_the_contacts_told() -> None:
    """Of a layout's motors: the wheel and the other motors, at any height all of them."""
    spec = drive_spec(wishes=FEW)
    layout = solve_layout(spec)
    found = contacts(spec, layout)
    shapes = {body.name: footprint(body) for body in layout.bodies}
    for motor in ("M1", "M2", "M3"):
        told = [one for one in found if one.shaft == motor]
        room = {
            other: float(shapes[motor].distance(shapes[other])) - least
            for other, least in (("wheel", 3.0), *((name, 0.5) for name in ("M1", "M2", "M3") if name != motor))
        }
        for other, left in room.items():
            if left <= FAR_MM and all(one.other != other for one in told):
                assert len(told) >= 2
                assert left >= told[-1].room_mm - CLOSE_MM


def held_by(spec: LayoutSpec, shaft: str) -> set[str]:
    """What stands within a quarter of a millimetre of a shaft, with nothing spent on clearance."""
    spec = replace(spec, wishes=WishesSpec(boxes=300, spend=0.0))
    found = hold_against_shapely(spec, solve_layout(spec))
    return {one.other for one in found if one.shaft == shaft and one.holds and one.room_mm < HELD_MM}


def bare_hull_mm2(spec: LayoutSpec) -> float:
    """Of the layout with nothing spent on clearance, without standoffs."""
    certificate = solve_layout(replace(spec, wishes=WishesSpec(boxes=300, spend=0.0))).certificate
    assert certificate is not None
    return certificate.value


SIMPLE = drive_spec(motors=1, wishes=FEW)


@cache
def simple_layout() -> Layout:
    """One motor, two stages."""
    return solve_layout(SIMPLE)


UNDER = {"S1": Place(angle_rad=math.radians(90))}


def test_a_motor_that_the_wheel_holds_up_says_so() -> None:
    """Under a wheel of 101.6 mm the motor stands where its hull is least, with room; a wheel that takes this room and
    two millimetres more holds it up."""
    assert held_by(drive_spec(motors=1, places=UNDER), "M1") == set()
    layout = solve_layout(drive_spec(motors=1, places=UNDER, wishes=WishesSpec(boxes=300, spend=0.0)))
    motor, wheel = (next(footprint(body) for body in layout.bodies if body.name == name) for name in ("M1", "wheel"))
    room = motor.distance(wheel) - 3.0
    larger = drive_spec(motors=1, places=UNDER, wheel_mm=101.6 + 2.0 * (room + 2.0))
    assert held_by(larger, "M1") == {"wheel"}
    # and what holds it gives when it is asked for less
    nearer = replace(larger, wheel=replace(larger.wheel, clear_mm=2.5))
    assert bare_hull_mm2(nearer) < bare_hull_mm2(larger) - 1.0


def test_a_motor_inside_limits_that_bind_says_so() -> None:
    """A millimetre and a half less room to the back than the layout takes of itself, and none forward."""
    layout = solve_layout(drive_spec(motors=1, places=UNDER, wishes=WishesSpec(boxes=300, spend=0.0)))
    back = -next(footprint(body) for body in layout.bodies if body.name == "M1").bounds[0] - 1.5
    tight = drive_spec(motors=1, places=UNDER, limits=LimitsSpec(back_mm=back, forward_mm=80.0))
    assert held_by(tight, "M1") == {"limits.back"}
    wider = replace(tight, limits=LimitsSpec(back_mm=back + 0.5, forward_mm=80.0))
    assert bare_hull_mm2(wider) < bare_hull_mm2(tight) - 1.0


def test_motors_side_by_side_hold_each_other() -> None:
    spec = drive_spec(motors=3, places=UNDER, wishes=WishesSpec(boxes=300, spend=0.0))
    all_of_them = hold_against_shapely(spec, solve_layout(spec))
    found = {name: {one.other for one in all_of_them if one.shaft == name and one.holds} for name in ("M1", "M2", "M3")}
    pairs = [(a, b) for a in found for b in found if b in found[a]]
    assert pairs
    assert all(a in found[b] for a, b in pairs)


def test_a_keep_out_that_a_motor_stands_at_is_named() -> None:
    """A box that takes a millimetre and a half of where the motor stood; it cannot go to the other side, which is
    fenced off."""
    fence = KeepOut("fence", 5.0, 30.0, box=(-200.0, 60.0, -15.0, 300.0))
    spec = drive_spec(motors=1, places=UNDER, keep_outs=(fence,), wishes=WishesSpec(boxes=300, spend=0.0))
    layout = solve_layout(spec)
    forward, y = next(footprint(body) for body in layout.bodies if body.name == "M1").bounds[2], layout.shaft("M1").y_mm
    battery = KeepOut("battery", 5.0, 30.0, box=(forward - 1.5, y - 25.0, forward + 20.0, y + 25.0))
    assert held_by(replace(spec, keep_outs=(fence, battery)), "M1") == {"battery"}


@settings(max_examples=12, deadline=None)
@given(angle=st.floats(0.0, 6.28), gap=st.floats(0.01, 5.0))
def test_what_the_plates_keep_off_is_told_of_the_shafts_at_that_edge(angle: float, gap: float) -> None:
    """A disc beside the plates' hull, at the height of a plate."""
    spec, layout = SIMPLE, simple_layout()
    hull = margins(spec, layout).convex_hull
    ux, uy = math.cos(angle), math.sin(angle)
    far = max(x * ux + y * uy for x, y in hull.exterior.coords)
    x, y = max(hull.exterior.coords, key=lambda end: end[0] * ux + end[1] * uy)
    assert x * ux + y * uy == far
    x, y = x + (4.0 + gap) * ux, y + (4.0 + gap) * uy
    strap = disc("strap", BodyKind.KEEP_OUT, None, 4.0, (-6.0, 0.0), x=x, y=y, group="keep-out strap")
    beside = replace(layout, bodies=(*layout.bodies, strap))
    found = [one for one in hold_against_shapely(spec, beside) if one.other == "strap"]
    ends = {
        hole.shaft
        for hole in layout.holes
        if hole.kind is not HoleKind.STANDOFF
        and hole.x_mm * ux + hole.y_mm * uy + 0.5 * hole.part_diameter_mm + spec.margin_mm > far - 1e-6
    }
    for shaft in ends & {"S1", "M1"}:
        nearer = [one for one in contacts(spec, layout) if one.shaft == shaft and one.room_mm <= gap + CLOSE_MM]
        assert len(nearer) >= 2 or shaft in {one.shaft for one in found}
    if gap < 0.1 and ends & {"S1", "M1"}:
        assert any(one.holds for one in found)


def test_what_was_bought_is_the_same_at_all_that_holds() -> None:
    spec = drive_spec(motors=2)
    layout = solve_layout(spec)
    found = [one for one in contacts(spec, layout) if one.holds]
    assert found
    room = [one.room_mm for one in found]
    assert max(room) - min(room) <= HELD_MM
    assert max(room) <= MOST_MM + HELD_MM


def test_where_every_place_is_given_there_is_none() -> None:
    places = {"S1": Place(angle_rad=1.8), "M1": Place(angle_rad=0.5)}
    spec = drive_spec(motors=1, places=places)
    assert contacts(spec, solve_layout(spec)) == ()


@settings(max_examples=6, deadline=None, suppress_health_check=list(HealthCheck))
@given(
    motors=st.integers(1, 3),
    wheel=st.sampled_from([76.2, 101.6, 127.0]),
    first=st.integers(60, 80),
    driven=st.integers(50, 66),
    height=st.sampled_from([None, 170.0, 190.0]),
    inboard=st.booleans(),
)
def test_contacts_of_any_layout_are_there(
    motors: int, wheel: float, first: int, driven: int, height: float | None, inboard: bool
) -> None:
    limits = LimitsSpec(height_mm=height, forward_mm=120.0)
    spec = drive_spec(wheel_mm=wheel, motors=motors, teeth=(first, 32, driven), limits=limits)
    if inboard:
        spec = replace(spec, motors=(replace(spec.motors[0], side=Side.INBOARD), *spec.motors[1:]))
    try:
        layout = solve_layout(spec, quick=True)
    except NoSolution:
        reject()
    hold_against_shapely(spec, layout)


number = st.floats(-60.0, 60.0, width=32)
core = st.one_of(
    st.tuples(st.tuples(number, number)),
    st.tuples(st.tuples(number, number), st.tuples(number, number)),
    st.tuples(number, number, st.floats(1.0, 30.0), st.floats(1.0, 30.0)).map(
        lambda b: ((b[0], b[1]), (b[0] + b[2], b[1]), (b[0] + b[2], b[1] + b[3]), (b[0], b[1] + b[3]))
    ),
)


def solid(points: tuple[tuple[float, float], ...]) -> BaseGeometry:
    return Polygon(points) if len(points) > 2 else MultiPoint(points).convex_hull


@given(first=core, second=core, a=st.floats(0.0, 5.0), b=st.floats(0.0, 5.0))
def test_the_gap_of_two_things_and_its_ends(
    first: tuple[tuple[float, float], ...], second: tuple[tuple[float, float], ...], a: float, b: float
) -> None:
    apart = solid(first).distance(solid(second))
    found = between(Grown(first, a), Grown(second, b))
    if found is None:
        assert apart == pytest.approx(0.0, abs=1e-9)
        return
    if solid(first).intersects(solid(second)):
        return  # cores that overlap: no gap to speak of
    assert found.gap_mm == pytest.approx(apart - a - b, abs=1e-6)
    assert solid(first).distance(Point(found.at_mm)) == pytest.approx(a, abs=1e-6)
    assert solid(second).distance(Point(found.to_mm)) == pytest.approx(b, abs=1e-6)


@given(
    discs=st.lists(st.tuples(number, number, st.floats(1.0, 20.0)), min_size=1, max_size=6),
    other=core,
    rounding=st.floats(0.0, 5.0),
)
def test_the_gap_of_a_hull_of_discs(
    discs: list[tuple[float, float, float]], other: tuple[tuple[float, float], ...], rounding: float
) -> None:
    hull = unary_union([Point(x, y).buffer(r, quad_segs=FINE) for x, y, r in discs]).convex_hull
    apart = hull.distance(solid(other)) - rounding
    found = hull_between(discs, Grown(other, rounding))
    if found is None:
        assert apart < CLOSE_MM
        return
    gap, standing = found
    assert gap.gap_mm == pytest.approx(apart, abs=CLOSE_MM)
    assert hull.distance(Point(gap.at_mm)) < CLOSE_MM
    assert solid(other).distance(Point(gap.to_mm)) == pytest.approx(rounding, abs=CLOSE_MM)
    # without the discs that stand there the hull is farther off
    rest = [disc for index, disc in enumerate(discs) if index not in standing]
    if rest:
        fewer = unary_union([Point(x, y).buffer(r, quad_segs=FINE) for x, y, r in rest]).convex_hull
        assert fewer.distance(solid(other)) - rounding > apart - CLOSE_MM
