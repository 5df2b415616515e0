"""The axial plan: chains of parts that close, by sums of their own; screws that hold and do not bottom."""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from itertools import pairwise

import pytest

from gearplate.catalog import load_catalog, profiles_folder
from gearplate.catalog.motors import Motor
from gearplate.layout.axial.parts import AxialPlan, PartKind, ScrewPlan, ShaftPlan
from gearplate.layout.axial.plan import axial_plan
from gearplate.layout.axial.shaft_stack import gear_travel_mm
from gearplate.layout.design import Layout
from gearplate.layout.solve import solve_layout
from gearplate.layout.spec import BearingSeat, CarriedBy, LayoutSpec, Place, SprocketSpec
from tests.builders.designs import design
from tests.builders.specs import drive_spec

CATALOG = load_catalog([profiles_folder()])
RING = CATALOG.retainer("ring-hex-1/2in")


def spec_of(**changes: object) -> LayoutSpec:
    spec = drive_spec(motors=1, places={"S1": Place(1.57), "M1": Place(1.0)})
    spec = replace(spec, shafts=tuple(replace(shaft, held_by=RING, spacer_diameter_mm=17.5) for shaft in spec.shafts))
    return replace(spec, **changes)  # type: ignore[arg-type]


@cache
def _layout() -> Layout:
    return solve_layout(spec_of())


def planned(spec: LayoutSpec | None = None) -> AxialPlan:
    return axial_plan(spec or spec_of(), _layout() if spec is None else solve_layout(spec))


def test_parts_between_the_plates_leave_the_float_and_nothing_else() -> None:
    plan = planned()
    width, flange, gear = 7.9375, 1.5748, 12.7  # FR8ZZ: 5/16 in wide, 0.062 in flange; gears 1/2 in
    gap = 2 * (flange + 1.0) + 2 * gear + 1.0
    for name, gears in (("S1", 2), ("output", 1)):
        shaft = plan.shaft(name)
        low, high = (part for part in shaft.of(PartKind.BEARING))
        assert low.length_mm == pytest.approx(width)
        assert high.z0_mm - low.z1_mm == pytest.approx(gap - 2 * flange)
        inside = [part for part in shaft.parts if part.z0_mm >= low.z1_mm and part.z1_mm <= high.z0_mm]
        assert len([part for part in inside if part.kind is PartKind.GEAR]) == gears
        assert sum(part.length_mm for part in inside) + shaft.float_mm == pytest.approx(gap - 2 * flange)
    assert plan.shaft("output").float_mm == pytest.approx(0.5)
    # the ring fills its millimetre between two gears alone: what is left of it is a part of the float
    assert plan.shaft("S1").float_mm == pytest.approx(0.5)


def test_no_two_parts_of_a_shaft_overlap() -> None:
    for shaft in planned().shafts:
        stacked = [part for part in shaft.parts if part.stacked]
        for below, above in pairwise(stacked):
            assert above.z0_mm >= below.z1_mm - 1e-9
            assert above.length_mm > 0


def test_an_axle_is_cut_from_ring_to_ring_with_its_edges() -> None:
    axle = planned().shaft("output")
    inner, outer = axle.of(PartKind.RETAINER)
    past = RING.edge_mm + RING.groove_spare_mm
    assert axle.z0_mm == pytest.approx(inner.z0_mm - past)
    assert axle.z1_mm == pytest.approx(outer.z1_mm + past)
    # wheel's outer face: rail 38.1, gap 6, tread 25.4; half of the float before the ring
    assert outer.z0_mm == pytest.approx(38.1 + 6 + 25.4 + 0.25)
    # bearing's inboard face: plates and gap, and what stands proud of a 6 mm plate
    proud = 7.9375 - 1.5748 - 6.0
    assert inner.z1_mm == pytest.approx(-(12 + _layout().stack.gap_mm) - proud - 0.25 - 1.0)
    (shim,) = axle.of(PartKind.SHIM)
    assert shim.outside_mm == 17.5


def test_an_intermediate_shaft_stays_inside_the_outer_faces_by_its_float() -> None:
    shaft, stack = planned().shaft("S1"), _layout().stack
    assert shaft.held_by == RING.name
    assert shaft.z1_mm == pytest.approx(stack.outboard[1] - 0.25)
    assert shaft.length_mm == pytest.approx(stack.gap_mm + 12.0 - 0.5)


def test_a_given_float_comes_out_of_the_end_spacers() -> None:
    spec = spec_of()
    wider = replace(spec, shafts=tuple(replace(shaft, float_mm=0.8) for shaft in spec.shafts))
    for name in ("S1", "output"):
        before = planned(spec).shaft(name).of(PartKind.SPACER)
        after = planned(wider).shaft(name).of(PartKind.SPACER)
        ends = [index for index, part in enumerate(before) if part.name != "output spacer to the wheel"]
        assert [before[i].length_mm - after[i].length_mm for i in ends] == pytest.approx([0.15] * len(ends))


def test_gears_travel_by_the_slack_on_their_sides() -> None:
    plan, layout = planned(), _layout()
    for gear in layout.gears:
        if gear.shaft in ("S1", "output"):
            down, up = gear_travel_mm(plan.shaft(gear.shaft), gear)
            assert down + up == pytest.approx(plan.shaft(gear.shaft).float_mm)
            left = 1.0 - RING.width_mm if gear.shaft == "S1" else 0.0  # beside the ring
            assert min(down, up) == pytest.approx(0.25 - left / 2)


@pytest.mark.parametrize(
    ("width", "float_mm", "spacers"), [(0.5, 0.5, 3), (0.501, 0.5, 2), (0.4, 0.5, 3), (1.0, 0.5, 2)]
)
def test_what_a_ring_leaves_between_two_gears_is_a_spacer_or_a_part_of_the_float(
    width: float, float_mm: float, spacers: int
) -> None:
    """A millimetre lies between them, and no spacer is under half a millimetre long."""
    ring = replace(RING, width_mm=width)
    spec = spec_of()
    shaft = planned(replace(spec, shafts=tuple(replace(one, held_by=ring) for one in spec.shafts))).shaft("S1")
    assert shaft.held_by == ring.name
    assert shaft.float_mm == pytest.approx(float_mm)
    assert len(shaft.of(PartKind.SPACER)) == spacers


def test_no_ring_where_there_is_no_room_is_told() -> None:
    collar = CATALOG.retainer("collar-hex-1/2in")
    spec = spec_of()
    shaft = planned(replace(spec, shafts=tuple(replace(one, held_by=collar) for one in spec.shafts))).shaft("S1")
    assert shaft.held_by is None
    # a 3/8 in collar and half a mm of spacer in the millimetre between the gears
    assert shaft.room_short_mm == pytest.approx(9.525 + 0.5 - 1.0)


def fixed(**changes: object) -> tuple[ShaftPlan, Layout]:
    """The fixed 8 mm shaft of the shipped barrow's idler."""
    made = design("barrow-idler")
    shafts = tuple(
        replace(one, **changes) if one.name == "I1" else one  # type: ignore[arg-type]
        for one in made.spec.shafts
    )
    return axial_plan(replace(made.spec, shafts=shafts), made.layout).shaft("I1"), made.layout


def test_a_fixed_shaft_has_a_ring_inside_each_plate() -> None:
    shaft, layout = fixed()
    low, high = layout.stack.inboard[1], layout.stack.outboard[0]
    assert shaft.held_by == "ring-8mm"
    inner, outer = shaft.of(PartKind.RETAINER)
    # a quarter of half a mm from either plate: the shaft can move by a quarter mm, and its gear by another
    assert inner.z0_mm - low == pytest.approx(0.125)
    assert high - outer.z1_mm == pytest.approx(0.125)
    assert [inner.length_mm, outer.length_mm] == pytest.approx([0.8, 0.8])
    below, above = shaft.of(PartKind.SPACER)
    (wheel,) = shaft.of(PartKind.GEAR)
    assert below.z0_mm == pytest.approx(inner.z1_mm)
    assert wheel.z0_mm - below.z1_mm == pytest.approx(0.125)
    assert above.z0_mm - wheel.z1_mm == pytest.approx(0.125)
    assert above.z1_mm == pytest.approx(outer.z0_mm)
    # flange 1.5748 and 1 mm lie between plate and gear: less ring and two quarters
    assert below.length_mm == pytest.approx(1.5748 + 1.0 - 0.8 - 0.25)
    assert shaft.float_mm == pytest.approx(0.5)
    assert shaft.length_mm == pytest.approx(high - low + 12.0 - 0.5)
    moved = sum(gear_travel_mm(shaft, next(one for one in layout.gears if one.shaft == "I1")))
    assert moved == pytest.approx(0.5)


def test_a_fixed_shaft_without_room_or_that_is_pressed_in_has_no_ring() -> None:
    shaft, _ = fixed(held_by=CATALOG.retainer("collar-8mm"))
    assert shaft.held_by is None
    assert shaft.of(PartKind.RETAINER) == ()
    # an 8 mm collar, 0.5 mm of spacer, half of the float; free are a flange and a millimetre
    assert shaft.room_short_mm == pytest.approx(8.0 + 0.5 + 0.25 - 1.5748 - 1.0)
    assert shaft.float_mm == pytest.approx(0.5)
    pressed, _ = fixed(fit_mm=-0.02)
    assert (pressed.held_by, pressed.room_short_mm) == (None, 0.0)


def test_measured_plates_lengthen_the_shaft() -> None:
    spec = spec_of()
    thick = replace(spec, inboard=replace(spec.inboard, measured_mm=6.3))
    assert planned(thick).shaft("S1").length_mm - planned().shaft("S1").length_mm == pytest.approx(0.3)


def test_blocks_carry_the_axle_and_their_spacers_are_left_to_the_bench() -> None:
    spec = spec_of(carried_by=CarriedBy.BLOCKS)
    shafts = tuple(replace(one, outboard=None, inboard=None) if one.name == "output" else one for one in spec.shafts)
    axle = planned(replace(spec, shafts=shafts)).shaft("output")
    assert len(axle.of(PartKind.BLOCKS)) == 1
    assert axle.of(PartKind.SPACER) == ()
    assert len(axle.of(PartKind.RETAINER)) == 2
    assert axle.bench
    assert axle.float_mm == 0.5  # what is asked for, and drawn at its rings
    assert not planned().shaft("output").bench
    assert planned(spec_of(carried_by=CarriedBy.BOTH)).shaft("output").bench


def test_pinions_stand_where_the_stack_puts_them() -> None:
    (pinion,) = planned().pinions
    # plate 6 mm, flange 0.062 in and 1 mm, then the half-inch face; shaft 45 mm, boss 3 mm
    assert pinion.from_mm == pytest.approx(6 + 1.5748 + 1)
    assert pinion.to_mm == pytest.approx(pinion.from_mm + 12.7)
    assert pinion.held_mm == pytest.approx(12.7)
    assert pinion.past_mm == pytest.approx(45 - pinion.to_mm)
    assert pinion.boss_room_mm == pytest.approx(pinion.from_mm - 3)


def screws(motor: Motor, thickness_mm: float = 6.0) -> ScrewPlan:
    spec = spec_of()
    one = replace(spec.motors[0], motor=motor, screw=CATALOG.fastener(motor.face.screw))
    plate = replace(spec.outboard, nominal_mm=thickness_mm)
    return axial_plan(replace(spec, motors=(one,), outboard=plate), _layout()).screws[0]


@pytest.mark.parametrize(
    ("name", "length", "engaged"),
    [
        # M5 x 16 through 1 mm washer and 6 mm plate: 9 of 10 mm, one pitch (0.8) and more stay free
        ("generic-a", 16, 9.0),
        # M4 x 12, washer 0.8: 5.2 of 8 mm; x 16 would bottom
        ("generic-b", 12, 5.2),
        # M3 x 10, washer 0.5: 3.5 of 4.5 mm
        ("nema-17", 10, 3.5),
        # M5 through washer 1, plate 6, flange 4.8, washer 1: nut 4.7 and two threads more want 19.1
        ("nema-23", 20, 7.2),
    ],
)
def test_motor_screws(name: str, length: float, engaged: float) -> None:
    plan = screws(CATALOG.motor(name))
    assert plan.length_mm == length
    assert plan.engaged_mm == pytest.approx(engaged)
    assert plan.count == 2


@pytest.mark.parametrize("thickness", [3.0, 4.5, 6.0, 6.35, 8.0, 10.0, 12.7])
@pytest.mark.parametrize("name", ["generic-a", "generic-b", "nema-17", "can-500", "can-700"])
def test_no_screw_bottoms(name: str, thickness: float) -> None:
    plan = screws(CATALOG.motor(name), thickness)
    assert plan.thread_mm is not None
    assert plan.stock
    assert 0 < plan.engaged_mm <= plan.thread_mm - plan.screw.pitch_mm + 1e-9


def test_screws_of_one_standoff_do_not_meet() -> None:
    plan = planned()
    ends = [one for one in plan.screws if one.what.startswith("standoff")]
    (post,) = (one for one in plan.posts if one.what == "standoff")
    assert len(ends) == 2
    assert sum(one.engaged_mm for one in ends) < post.length_mm == pytest.approx(_layout().stack.gap_mm)
    assert post.tapped_mm is not None
    assert post.tapped_mm > max(one.engaged_mm for one in ends)


def test_rail_screws_reach_through_their_nuts() -> None:
    plan = planned()
    rail = next(one for one in plan.screws if one.what == "rail")
    grip = 2 * 0.049 * 25.4 + 12 + _layout().stack.gap_mm + 3.175  # washers, plates, gap, wall
    assert rail.grip_mm == pytest.approx(grip)
    assert rail.length_mm >= grip + 25.4 / 8  # machine screw nut of #10: 1/8 in
    assert rail.length_mm / 25.4 * 4 == pytest.approx(round(rail.length_mm / 25.4 * 4))  # quarters of an inch


def test_without_lengths_on_hand_the_cut_length_is_told() -> None:
    spec = spec_of()
    bare = replace(spec.standoffs.screw, lengths_mm=())
    plan = axial_plan(replace(spec, standoffs=replace(spec.standoffs, screw=bare)), _layout())
    assert not any(one.stock for one in plan.screws if one.what.startswith("standoff"))


def test_a_bearing_pressed_from_outside_stands_the_other_way_round() -> None:
    spec = spec_of()
    seat = BearingSeat(CATALOG.bearing("FR8ZZ-hex"), pressed_from_gap=False)
    shafts = tuple(replace(one, inboard=seat) if one.name == "S1" else one for one in spec.shafts)
    bearing = planned(replace(spec, shafts=shafts)).shaft("S1").of(PartKind.BEARING)[0]
    outer = solve_layout(spec).stack.inboard[0]
    assert bearing.z0_mm == pytest.approx(outer - 1.5748)
    assert bearing.length_mm == pytest.approx(7.9375)


def test_shoulders_agree_with_lists() -> None:
    # Makers' lists, shoulder of the inner ring: 608 12.1, 6000 14.8, 61801 14.8 mm (from memory)
    for name, shoulder in (("608", 12.1), ("6000", 14.8), ("6801", 14.8)):
        bearing = CATALOG.bearing(name)
        assert bearing.inner_shoulder_mm == pytest.approx(shoulder, abs=0.3)
        assert bearing.inner_shoulder_mm < bearing.outer_shoulder_mm < bearing.outside_mm


def test_sprockets_stand_in_the_rail_with_spacers_between() -> None:
    chain = CATALOG.chain_row("25")
    for count in (1, 2):
        spec = spec_of(sprockets=SprocketSpec(chain, 16, count))
        axle, plain = planned(spec).shaft("output"), planned().shaft("output")
        kinds = [part.kind.value for part in axle.parts if part.z1_mm > 0.0 and part.kind is not PartKind.BEARING]
        between = ["spacer", "sprocket"] * (count - 1)
        # the first and last spacer pass a wall each; parts are told by where they begin
        assert kinds == ["rail wall", "spacer", "sprocket", *between, "spacer", "rail wall", "wheel", "retainer"]
        sprockets = axle.of(PartKind.SPROCKET)
        # ASME B29.1: teeth 0.93 x 1/8 in - 0.006 in = 0.11025 in wide; outside P (0.6 + cot(180/16)) = 35.73 mm
        assert [part.length_mm for part in sprockets] == pytest.approx([0.11025 * 25.4] * count)
        assert sprockets[0].outside_mm == pytest.approx(6.35 * (0.6 + 5.02734), abs=1e-3)
        gap = (38.1 - 2 * 3.175 - count * 9.1) / (count + 1)
        middles = [0.5 * (part.z0_mm + part.z1_mm) for part in sprockets]
        assert middles == pytest.approx([3.175 + gap + 4.55 + index * (9.1 + gap) for index in range(count)])
        # what was one spacer is spacers and sprockets of the same length, and the axle stays as it is
        (whole,) = [part for part in plain.parts if part.name == "output spacer to the wheel"]
        chain_parts = [part for part in axle.parts if part.z0_mm >= whole.z0_mm - 1e-9 and part.z1_mm <= whole.z1_mm]
        assert sum(part.length_mm for part in chain_parts if part.stacked) == pytest.approx(whole.length_mm)
        assert (axle.z0_mm, axle.z1_mm) == (plain.z0_mm, plain.z1_mm)
    assert planned().shaft("output").of(PartKind.SPROCKET) == ()


def test_no_sprocket_where_the_axle_passes_no_rail() -> None:
    asked = SprocketSpec(CATALOG.chain_row("25"), 16, 1)
    assert planned(spec_of(rail=None, sprockets=asked)).shaft("output").of(PartKind.SPROCKET) == ()
