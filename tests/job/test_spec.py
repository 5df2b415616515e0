"""What a job file becomes: the values that the other rooms get, worked out by hand."""

from __future__ import annotations

import math
from fractions import Fraction

import pytest

from gearplate.errors import JobError, ToolBug
from gearplate.finding import Standing
from gearplate.gears.spec import GearSpec, StageSpec, TrainSpec
from gearplate.job.load import load_job, load_job_text, with_train
from gearplate.layout.spec import CarriedBy, Mount, Role, Side
from gearplate.plate.spec import Hand, OutlineStyle

# The smallest job that the project promises to build.
SMALLEST = """
format = 1
part = "compost-drive"
units = "inch"
material = "acetal-6mm"
cutter = "demo"
wheel = {diameter = 4}
motors = {type = "generic-a", count = 3, pinion = 12}
stages = [{driven = 72}, {driver = 32, driven = 60}]
diametral_pitch = 20
"""


def test_the_smallest_job() -> None:
    job = load_job_text(SMALLEST, "compost.toml")
    spec = job.layout_spec
    assert job.name == "compost"
    assert job.identity.hands == (Hand.RIGHT,)
    assert [(shaft.name, shaft.role) for shaft in spec.shafts] == [("S1", Role.INTERMEDIATE), ("output", Role.OUTPUT)]
    assert [motor.name for motor in spec.motors] == ["M1", "M2", "M3"]
    assert spec.wheel.diameter_mm == 101.6  # 4 x 25.4
    # A module is 25.4 over the diametral pitch: 25.4 / 20 = 1.27.
    assert {stage.driven.system.module_mm for stage in spec.train.stages} == {1.27}
    assert spec.train.stages[0].driver is None
    assert spec.train.stages[1].driver is not None
    assert spec.train.stages[1].driver.teeth == 32
    assert spec.rail is not None
    assert (spec.rail.mount, spec.rail.y_span_mm) == (Mount.BESIDE, (-25.4, 25.4))
    assert spec.carried_by is CarriedBy.PLATES
    assert spec.places == {}
    assert job.drawing_unit == "mm"  # the demo cutter's
    assert job.shop(Side.INBOARD).thickness_mm == 6.0
    assert job.wish is None


def test_a_count_takes_what_the_gear_catalogue_says_of_it() -> None:
    spec = load_job_text(SMALLEST).layout_spec
    pinion = spec.motors[0].pinion
    assert (pinion.shift, pinion.source, pinion.face_width_mm) == (0.5, "dp20-pinion", 12.7)
    assert spec.train.stages[0].driven.shift == 0.0
    # What the job says goes before; a gear that no class has is plain and ten modules wide.
    own = load_job_text(SMALLEST, sets=["motors.pinion={teeth=12, shift=0.2}", "stages[0].driven=61"]).layout_spec
    assert own.motors[0].pinion.shift == 0.2
    assert (own.train.stages[0].driven.source, own.train.stages[0].driven.face_width_mm) == ("", 12.7)
    odd = load_job_text(SMALLEST, sets=["diametral_pitch=18"])
    assert odd.layout_spec.motors[0].pinion.shift == 0.0
    assert odd.layout_spec.motors[0].pinion.face_width_mm == pytest.approx(14.111)  # 254 / 18
    assert any(one.key == "gear.face_width (12 teeth)" for one in odd.assumptions)


def test_the_tips_of_a_small_pinion_tell_its_shift_where_nothing_else_does() -> None:
    # 10 teeth of diametral pitch 16 cut on a blank for 11: tips of (10 + 2 + 2 x 0.5) / 16 = 13/16 in.
    long = 'motors.pinion={teeth=10, tip_diameter="13/16 in"}'
    job = load_job_text(SMALLEST, sets=["diametral_pitch=16", long])
    pinion = job.layout_spec.motors[0].pinion
    assert pinion.shift == pytest.approx(0.5, abs=1e-6)
    assert pinion.tip_diameter_mm == pytest.approx(20.6375)
    told = {one.key: one for one in job.assumptions}["gear.shift (10 teeth)"]
    assert (told.value, told.standing) == ("0.5 modules", Standing.COMMON_PRACTICE)
    # A shift that is said stands, and so does what the catalogue has; shortened tips and large gears tell nothing.
    said = load_job_text(SMALLEST, sets=["diametral_pitch=16", long.replace("}", ", shift=0}")])
    assert said.layout_spec.motors[0].pinion.shift == 0.0
    stock = load_job_text(SMALLEST, sets=["motors.pinion={teeth=12, tip_diameter=0.74}"])
    assert stock.layout_spec.motors[0].pinion.shift == 0.5
    for gear in ("{teeth=10, tip_diameter=0.74}", "{teeth=18, tip_diameter=1.3}"):
        assert load_job_text(SMALLEST, sets=["diametral_pitch=16", f"motors.pinion={gear}"]).layout_spec.motors[
            0
        ].pinion.shift == pytest.approx(0.0)


def test_every_default_that_was_used_is_told_with_its_standing() -> None:
    job = load_job_text(SMALLEST)
    told = {one.key: one for one in job.assumptions}
    assert told["pressure_angle"].value == "20 degrees"
    assert told["wheel.width"].value == "1.0000 in (25.400 mm)"
    assert told["wheel.width"].standing is Standing.COMMON_PRACTICE
    assert told["shaft.bearing (hex-1/2in)"].value == "FR8ZZ-hex"
    assert told["plates.measured (inboard)"].value == "0.2362 in (6.000 mm)"
    assert "wheel.diameter" not in told
    said = load_job_text(SMALLEST, sets=["wheel.width=1", "shaft.bearing=FR8ZZ-hex", "plates.measured=6.1 mm"])
    left = {one.key for one in said.assumptions}
    assert told.keys() - left == {
        "wheel.width",
        "shaft.bearing (hex-1/2in)",
        "plates.measured (inboard)",
        "plates.measured (outboard)",
    }


def test_the_first_driver_stands_for_a_pinion() -> None:
    job = load_job_text(SMALLEST, sets=["motors={type='generic-a'}", "stages[0].driver=14"])
    assert job.layout_spec.motors[0].pinion.teeth == 14
    same = load_job_text(SMALLEST, sets=["stages[0].driver=12"])
    assert same.layout_spec.train.stages[0].driver is None


def test_levels_of_tooth_size() -> None:
    sets = ["stages[1].module=1.5 mm", "stages[1].driven={teeth=60, pressure_angle=25}", "pressure_angle=14.5"]
    first, second = load_job_text(SMALLEST, sets=sets).layout_spec.train.stages
    assert (first.driven.system.module_mm, second.driven.system.module_mm) == (1.27, 1.5)
    assert second.driver is not None
    assert second.driver.system.module_mm == 1.5
    angles = [math.degrees(gear.system.pressure_angle_rad) for gear in (first.driven, second.driver, second.driven)]
    assert angles == pytest.approx([14.5, 14.5, 25])


def test_added_centre_of_a_stage_goes_before_that_of_all() -> None:
    sets = ["added_centre=0.001", "stages[1].added_centre=0"]
    stages = load_job_text(SMALLEST, sets=sets).layout_spec.train.stages
    assert [stage.added_centre_mm for stage in stages] == pytest.approx([0.0254, 0.0])


def test_idlers_are_numbered_through_the_train() -> None:
    sets = ["stages=[{idlers=[24, 26], driven=60}, {driver=20, idlers=[30], driven=50}]"]
    spec = load_job_text(SMALLEST, sets=sets).layout_spec
    assert [shaft.name for shaft in spec.shafts] == ["S1", "I1", "I2", "I3", "output"]
    assert [len(stage.idlers) for stage in spec.train.stages] == [2, 1]


def test_shafts_say_what_all_shafts_do_not() -> None:
    sets = [
        "shaft={stock='hex-1/2in', pressed_from='outside', fit='H7', retainer=true}",
        "shafts.S1={outboard=false, inboard={fit='-0.04 mm', pressed_from='gap'}}",
        "stages[0].idlers=[24]",
        "shafts.I1={stock='round-8mm', turns=false, fit='0.02 mm'}",
    ]
    spec = load_job_text(SMALLEST, sets=sets).layout_spec
    output, s1, i1 = spec.shaft("output"), spec.shaft("S1"), spec.shaft("I1")
    assert s1.outboard is None
    assert s1.inboard is not None
    assert output.outboard is not None
    assert (s1.inboard.fit_mm, s1.inboard.fit_class, s1.inboard.pressed_from_gap) == (-0.04, None, True)
    assert (output.outboard.fit_class, output.outboard.pressed_from_gap, output.outboard.retained) == (
        "H7",
        False,
        True,
    )
    assert (i1.turns, i1.outboard, i1.inboard, i1.fit_mm) == (False, None, None, 0.02)


def test_a_bearing_for_all_holds_where_it_fits_and_another_stock_has_its_own() -> None:
    sets = ["shaft={stock='hex-1/2in', bearing='R8ZZ-hex'}", "shafts.S1.stock=round-12mm"]
    spec = load_job_text(SMALLEST, sets=sets).layout_spec
    seats = [shaft.outboard for shaft in spec.shafts]
    assert [seat.bearing.name for seat in seats if seat is not None] == ["F6801ZZ", "R8ZZ-hex"]


def test_blocks_carry_the_output_instead_of_the_plates() -> None:
    job = load_job_text(SMALLEST, sets=["shafts.output.carried_by=blocks"])
    output = job.layout_spec.shaft("output")
    assert (output.outboard, output.inboard, job.layout_spec.carried_by) == (None, None, CarriedBy.BLOCKS)
    assert job.layout_spec.rail is not None
    # Across the corners of a 1/2 in hexagon, 12.7 x 2 / sqrt(3) = 14.665 mm, and 1 mm.
    assert job.layout_spec.rail.axle_hole_mm == pytest.approx(15.665, abs=1e-3)
    both = load_job_text(SMALLEST, sets=["shafts.output.carried_by=both"]).layout_spec
    assert both.carried_by is CarriedBy.BOTH
    assert both.shaft("output").outboard is not None


def test_the_rails_hole_for_the_axle_takes_a_flange_that_lies_toward_it() -> None:
    for sets, widest in ((["shaft.pressed_from=gap"], 28.575), (["shaft.pressed_from=outside"], 31.115)):
        rail = load_job_text(SMALLEST, sets=sets).layout_spec.rail
        assert rail is not None
        assert rail.axle_hole_mm == pytest.approx(widest + 1.0)  # 1-1/8 in outside, flange 1.225 in


def test_plates_may_differ() -> None:
    sets = [
        "plates.inboard={material='birch-ply-6mm', measured='6.2 mm', face_up='outboard'}",
        "plates.measured=6.1 mm",
    ]
    job = load_job_text(SMALLEST, sets=sets)
    spec = job.layout_spec
    assert (spec.outboard.material, spec.outboard.used_mm) == ("acetal-6mm", 6.1)
    assert (spec.inboard.material, spec.inboard.used_mm) == ("birch-ply-6mm", 6.2)
    assert job.plate_spec.face_up.inboard is Side.OUTBOARD
    assert job.shop(Side.INBOARD).material.name == "birch-ply-6mm"
    assert job.shop(Side.OUTBOARD).thickness_mm == 6.1


def test_a_material_that_must_never_be_cut_is_no_fault_of_the_file_and_has_no_shop() -> None:
    job = load_job_text(SMALLEST, sets=["material=pvc-4mm", "plates.thickness=4 mm"])
    assert job.layout_spec.outboard.material == "pvc-4mm"
    assert job.layout_spec.outboard.nominal_mm == 4.0
    assert job.shops == {Side.OUTBOARD: None, Side.INBOARD: None}
    with pytest.raises(ToolBug):
        job.shop(Side.OUTBOARD)


def test_own_holes() -> None:
    holes = """
[[holes]]
name = "sensor"
plate = "inboard"
shaft = "S1"
radius = 1
angle = 90
diameter = 0.25
[[holes]]
name = "strap"
form = "slot"
at = [1, 2]
diameter = 0.2
length = 0.5
angle = 30
fit = "0.1 mm"
[[holes]]
name = "far-slot"
form = "slot"
shaft = "output"
radius = 2
angle = 180
along = 90
diameter = 0.2
length = 0.5
[[holes]]
name = "window"
form = "window"
points = [[0, 2], [1, 2], [1, 3]]
"""
    sensor, strap, far, window = load_job_text(SMALLEST + holes).plate_spec.own_holes
    assert (sensor.sides, sensor.shaft, sensor.form) == ((Side.INBOARD,), "S1", "circle")
    assert (sensor.x_mm, sensor.y_mm) == pytest.approx((0, 25.4))
    assert strap.sides == (Side.OUTBOARD, Side.INBOARD)
    assert (strap.x_mm, strap.y_mm, strap.length_mm, strap.fit_mm) == pytest.approx((25.4, 50.8, 12.7, 0.1))
    assert strap.angle_rad == pytest.approx(math.pi / 6)
    assert (far.x_mm, far.y_mm, far.angle_rad) == pytest.approx((-50.8, 0, math.pi / 2), abs=1e-12)
    assert window.points == ((0, 50.8), (25.4, 50.8), (25.4, pytest.approx(76.2)))
    assert window.corner_radius_mm == 3.0  # half the thickness


def test_plates_and_frame() -> None:
    sets = [
        "plates={margin=0.25, outline='waisted', waist_radius=0.5, lightening={web='8 mm'}, gap=1.5, web='5 mm'}",
        "rail={height=2, axle_from_bottom=0.75, holes=[[2, 0]], reliefs=[{shaft='S1', diameter=1}]}",
        "standoffs={places=[[0, 4], [1, 4]], screw='M5', diameter='10 mm'}",
        "keep_outs=[{name='hose', disc={at=[3, 1], diameter=1}, z=[-1, 2]}, {name='box', box=[0, 6, 1, 7]}]",
        "limits={height=10, outward=0}",
        "places={S1={angle=90}, M1={at=[1, 4]}, output={at=[0, 0]}}",
        "wheel.neighbours=[-12, 12]",
        "clearances.gear_tip=2 mm",
        "motors[0]={type='generic-a', pinion=12, clocking=45, slots='1 mm', screws=4}",
    ]
    job = load_job_text(SMALLEST.replace("motors = {", "motors = [{").replace("12}", "12}]"), sets=sets)
    spec, plates = job.layout_spec, job.plate_spec
    assert (plates.margin_mm, spec.margin_mm, plates.outline) == (6.35, 6.35, OutlineStyle.WAISTED)
    assert (plates.lightening, plates.lightening_web_mm) == (True, 8.0)
    assert (spec.gap_mm, spec.clearances.web_mm, spec.clearances.gear_tip_mm) == (pytest.approx(38.1), 5.0, 2.0)
    assert spec.rail is not None
    assert spec.rail.y_span_mm == pytest.approx((-19.05, 31.75))
    assert (spec.rail.holes, spec.rail.hole_count) == (((50.8, 0.0),), 1)
    assert (spec.rail.reliefs[0].shaft, spec.rail.reliefs[0].diameter_mm) == ("S1", 25.4)
    assert (spec.standoffs.count, spec.standoffs.screw.name) == (2, "M5")
    hose, box = spec.keep_outs
    assert hose.disc == pytest.approx((76.2, 25.4, 12.7))
    assert (hose.z0_mm, hose.z1_mm) == (-25.4, 50.8)
    assert box.z1_mm - box.z0_mm >= 1000  # everywhere
    assert (spec.limits.height_mm, spec.limits.outward_mm, spec.limits.width_mm) == (254.0, 0.0, None)
    assert set(spec.places) == {"S1", "M1"}
    assert (spec.places["M1"].x_mm, spec.places["M1"].y_mm) == pytest.approx((25.4, 101.6))
    assert spec.wheel.neighbours_x_mm == pytest.approx((-304.8, 304.8))
    motor = spec.motors[0]
    assert (motor.clocking_rad, motor.slot_travel_mm, motor.screws_used) == (pytest.approx(math.pi / 4), 1.0, 4)


WISH = SMALLEST.replace("stages = [{driven = 72}, {driver = 32, driven = 60}]", "TRAIN")


def test_a_wanted_reduction_waits_for_its_train() -> None:
    job = load_job_text(WISH.replace("TRAIN", "reduction = {ratio = '45/4', within = 0.01}"))
    assert job.wish is not None
    assert (job.wish.ratio, job.wish.tolerance, job.wish.stage_counts) == (Fraction(45, 4), Fraction(1, 100), (1, 2))
    assert job.wish.pinions == (12,)  # the motors'
    assert {24, 60, 84} <= set(job.wish.driven)
    assert 61 not in job.wish.driven  # no class of the catalogue has it
    assert job.train is None
    with pytest.raises(ToolBug):
        _ = job.layout_spec
    train = plain_train(job.wish.system.module_mm, (12, 72), (32, 60))
    chosen = with_train(job, train)
    same = load_job_text(SMALLEST)
    assert chosen.layout_spec.train == same.layout_spec.train
    assert chosen.layout_spec.motors == same.layout_spec.motors
    assert {one.key for one in chosen.assumptions} >= {one.key for one in same.assumptions}


def plain_train(module_mm: float, *pairs: tuple[int, int]) -> TrainSpec:
    system = load_job_text(SMALLEST).layout_spec.train.stages[0].driven.system
    assert system.module_mm == module_mm
    return TrainSpec(tuple(StageSpec(GearSpec(a, system), GearSpec(b, system), 0.05) for a, b in pairs))


def test_the_pinion_of_a_chosen_train_is_that_of_every_motor_that_names_none() -> None:
    text = WISH.replace("TRAIN", "reduction = {ratio = 10, pinions = [11, 13]}").replace(", pinion = 12", "")
    job = load_job_text(text)
    assert job.wish is not None
    assert job.wish.pinions == (11, 13)
    chosen = with_train(job, plain_train(1.27, (13, 72), (32, 60)))
    assert {motor.pinion.teeth for motor in chosen.layout_spec.motors} == {13}
    assert {motor.pinion.shift for motor in chosen.layout_spec.motors} == {0.5}
    assert chosen.layout_spec.train.stages[0].driver is None


def test_shafts_that_the_job_speaks_of_limit_the_number_of_stages() -> None:
    job = load_job_text(WISH.replace("TRAIN", "reduction = {ratio = 10, stages = [1, 2, 3]}\nplaces.S1 = {angle = 90}"))
    assert job.wish is not None
    assert job.wish.stage_counts == (2, 3)
    with pytest.raises(JobError, match="no shaft or motor S3"):
        load_job_text(WISH.replace("TRAIN", "reduction = {ratio = 10, stages = [1, 2, 3]}\nplaces.S3 = {angle = 90}"))


def test_a_shipped_job_is_loaded_by_name_or_path() -> None:
    assert load_job("compost-drive").identity == load_job("compost-drive").identity


def test_own_holes_reach_the_layout_as_discs_round_them() -> None:
    extra = """
[[holes]]
name = "round"
at = ["10 mm", "20 mm"]
diameter = "4 mm"
fit = "0.2 mm"
[[holes]]
name = "slot"
form = "slot"
plate = "inboard"
shaft = "output"
radius = "40 mm"
angle = 90
along = 0
diameter = "3 mm"
length = "6 mm"
[[holes]]
name = "window"
form = "window"
points = [["20 mm", 0], ["50 mm", 0], ["50 mm", "40 mm"], ["20 mm", "40 mm"]]
"""
    discs = load_job_text(SMALLEST + extra).layout_spec.own_discs
    assert [(one.shaft, one.x_mm, one.y_mm, one.diameter_mm) for one in discs] == [
        (None, 10.0, 20.0, pytest.approx(4.2)),
        ("output", pytest.approx(0.0), pytest.approx(40.0), pytest.approx(9.0)),
        (None, 35.0, 20.0, pytest.approx(50.0)),  # the diagonal of 30 x 40
    ]
    assert [one.sides for one in discs] == [tuple(Side), (Side.INBOARD,), tuple(Side)]
