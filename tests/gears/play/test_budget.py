"""Closed form and simulation of a mesh's play against each other, and against sums that are known."""

from __future__ import annotations

import math
import time
from dataclasses import replace

import pytest

from gearplate.gears.play.budget import Cause, budget, clipped_moments, contributors
from gearplate.gears.play.model import Climate, HeldGear, Hole, MeshPlay, PlateGrowth
from gearplate.gears.play.pair import Pair
from gearplate.gears.play.plate_scatter import PlateScatter, plate_scatter
from gearplate.gears.play.proposal import STEP_MM, propose
from gearplate.gears.play.reckoned import HOW
from gearplate.gears.play.simulate import simulate

PAIR = Pair(20, 40, 1.0, math.radians(20))
STILL = Climate((0.0, 0.0), 0.0, (0.0, 0.0))
HALL = Climate((-7.0, 13.0), 40.0, (-0.2, 0.3))


def hole(name: str, **given: object) -> Hole:
    return Hole(name, 22.0, **{"sigma_x_mm": 0.0, "sigma_y_mm": 0.0, "loose_mm": -1.0, **given})  # type: ignore[arg-type]


def gear(shaft: str, teeth: int, *holes: Hole, **given: object) -> HeldGear:
    return HeldGear(shaft, teeth, tuple((one, 1.0 / len(holes)) for one in holes), **given)  # type: ignore[arg-type]


def mesh(**given: object) -> MeshPlay:
    usual: dict[str, object] = {
        "stage": 2,
        "driver": gear("S1", 20, hole("a"), hole("b")),
        "driven": gear("output", 40, hole("c"), hole("d")),
        "pair": PAIR,
        "centre_mm": 30.06,
        "direction_rad": 0.0,
        "plate": PlateGrowth((110e-6, 110e-6)),
        "gear_cte_per_k": (11.5e-6, 11.5e-6),
    }
    return MeshPlay(**{**usual, **given})  # type: ignore[arg-type]


FULL = mesh(
    driver=gear(
        "M1",
        20,
        hole("pilot", sigma_x_mm=0.02, sigma_y_mm=0.02, loose_mm=0.1, clamped=True),
        thinning_mm=(0.03, 0.07),
        eccentric_mm=0.02,
        shaft_runout_mm=0.01,
        bending_mm=0.02,
    ),
    driven=gear(
        "S1",
        40,
        *(
            hole(n, sigma_x_mm=0.02, sigma_y_mm=0.03, loose_mm=0.01, loose_sigma_mm=0.02, internal_mm=(0.003, 0.018))
            for n in "cd"
        ),
        thinning_mm=(0.03, 0.08),
        eccentric_mm=0.025,
    ),
    plate=PlateGrowth((100e-6, 120e-6), (0.001, 0.004), 1.0),
    direction_rad=0.6,
    scale_sigma=2e-4,
    cut_per_drawn=(1.0005, 0.9995),
    stage=1,
)


def test_simulation_and_closed_form_agree() -> None:
    found, (drawn,) = budget(FULL, HALL), simulate([FULL], HALL)
    assert {one.cause for one in found.contributors} == set(Cause)
    assert drawn.middle.mean == pytest.approx(found.operating_mm, abs=0.002)
    assert drawn.middle.std == pytest.approx(found.sigma_mm, rel=0.03)
    assert (drawn.tight.mean, drawn.slack.mean) == pytest.approx((found.tight_mm, found.slack_mm), abs=0.002)
    assert (drawn.tight.q001, drawn.slack.q999) == pytest.approx(found.likely_mm, abs=0.1 * found.sigma_mm)
    assert drawn.centre.q999 == pytest.approx(found.likely_centre_mm[1], abs=0.03)  # that holds a turn's end besides
    for near in (0.20, 0.12, 0.08):  # from nearly all that bind to nearly none
        nearer = replace(FULL, centre_mm=FULL.centre_mm - near)
        (told,) = simulate([nearer], HALL)
        binds = budget(nearer, HALL).probability_binds
        assert binds == pytest.approx(told.probability_binds, rel=0.15, abs=4e-4)
        assert 1e-4 < binds < 0.999
    assert found.worst_mm[0] < drawn.tight_mm.min()
    assert drawn.slack_mm.max() < found.worst_mm[1]
    assert sum(part for _, part in found.share) == pytest.approx(1.0)


def test_one_normal_cause_is_told_exactly() -> None:
    """Two gears in two plates, 0.03 mm: 0.03 sqrt 2 / sqrt 2 on the distance; at worst each of the four holes is off by
    three deviations, and half of that reaches its gear."""
    sides = {"sigma_x_mm": 0.03, "sigma_y_mm": 0.0}
    play = mesh(driver=gear("S1", 20, hole("a", **sides), hole("b", **sides)),
                driven=gear("output", 40, hole("c", **sides), hole("d", **sides)))  # fmt: skip
    found, (drawn,) = budget(play, STILL), simulate([play], STILL)
    assert [one.cause for one in found.contributors] == [Cause.POSITION]
    assert found.contributors[0].sigma_mm == pytest.approx(0.03)
    assert found.sigma_mm == pytest.approx(0.03 * PAIR.per_centre(30.06, 0.0))
    assert found.worst_centre_mm == pytest.approx((30.06 - 4 * 0.5 * 0.09, 30.06 + 4 * 0.5 * 0.09))
    assert found.likely_centre_mm == pytest.approx((30.06 - 3.09 * 0.03, 30.06 + 3.09 * 0.03), abs=1e-4)
    assert drawn.centre.std == pytest.approx(0.03, rel=0.01)
    # P(centre < 30.00), two deviations off: 0.02275 (tables of the normal distribution)
    assert found.probability_binds == pytest.approx(0.02275, abs=0.0002)
    assert drawn.probability_binds == pytest.approx(0.02275, abs=0.002)
    across = replace(play, direction_rad=math.pi / 2)  # its errors lie across the line of centres
    assert budget(across, STILL).sigma_mm == pytest.approx(0.0, abs=1e-12)


def test_what_counts_is_the_plates_growth_less_the_gears() -> None:
    warm = Climate((20.0, 20.0), 0.0, (0.0, 0.0))
    found = budget(mesh(), warm)
    assert found.centre_mm - 30.06 == pytest.approx(30.06 * 20.0 * (110e-6 - 11.5e-6))
    alike = budget(mesh(gear_cte_per_k=(110e-6, 110e-6)), warm)
    assert alike.centre_mm == pytest.approx(30.06)


def test_a_scale_error_does_not_average_out_over_two_plates() -> None:
    parts = {one.cause: one for one in contributors(mesh(scale_sigma=1e-3, cut_per_drawn=(1.002, 1.0)), STILL)}
    assert parts[Cause.SCALE].mean_mm == pytest.approx(0.002 * 30.06)
    assert parts[Cause.SCALE].sigma_mm == pytest.approx(0.001 * 30.06)


def test_under_load_the_play_of_both_shafts_pushes_them_apart() -> None:
    loose = {"loose_mm": 0.04, "internal_mm": (0.01, 0.01)}
    play = mesh(driver=gear("S1", 20, hole("a", **loose)), driven=gear("output", 40, hole("c", **loose)))
    push = math.sin(PAIR.working_angle_rad(30.06))
    assert budget(play, STILL).centre_mm == pytest.approx(30.06 + 2 * 0.025 * push)
    assert simulate([play], STILL)[0].centre.mean == pytest.approx(30.06 + 2 * 0.025 * push)
    clamped = mesh(driver=gear("M1", 20, hole("a", loose_mm=0.04, clamped=True)))
    assert budget(clamped, STILL).centre_mm == pytest.approx(30.06)  # a motor stays where it was screwed down


def test_growth_opens_the_bores() -> None:
    play = mesh(driver=gear("S1", 20, hole("a", loose_mm=0.0)), driven=gear("output", 40, hole("c", loose_mm=0.0)))
    parts = {one.cause: one for one in contributors(play, Climate((20.0, 20.0), 0.0, (0.0, 0.0)))}
    opened = 22.0 * 20.0 * (110e-6 - 11.5e-6)
    assert parts[Cause.BORE].mean_mm == pytest.approx(opened * math.sin(PAIR.working_angle_rad(30.06)), rel=1e-6)


def test_at_worst_the_holes_errors_add_up_each_by_its_own_lever_and_along_the_line_of_centres() -> None:
    """Levers of 0.7 and 0.3, sigmas of 0.02 and 0.03 mm along x and y, the line at 0.6 rad; scale by axis."""
    side = {"sigma_x_mm": 0.02, "sigma_y_mm": 0.03}
    driver = HeldGear("S1", 20, ((hole("a", **side), 0.7), (hole("b", **side), 0.3)))
    driven = HeldGear("output", 40, ((hole("c", **side), 0.7), (hole("d", **side), 0.3)))
    play = mesh(driver=driver, driven=driven, direction_rad=0.6, scale_sigma=1e-3)
    parts = {one.cause: one for one in contributors(play, STILL)}
    along = math.sqrt((0.02 * math.cos(0.6)) ** 2 + (0.03 * math.sin(0.6)) ** 2)
    assert parts[Cause.POSITION].high_mm == pytest.approx(3.0 * along * (0.7 + 0.3 + 0.7 + 0.3))
    assert parts[Cause.POSITION].low_mm == -parts[Cause.POSITION].high_mm
    assert parts[Cause.POSITION].sigma_mm == pytest.approx(along * math.sqrt(2 * (0.7**2 + 0.3**2)))
    assert parts[Cause.SCALE].high_mm == pytest.approx(30.06 * 3e-3)  # cos^2 + sin^2 = 1
    assert parts[Cause.SCALE].sigma_mm == pytest.approx(30.06e-3 * math.hypot(math.cos(0.6) ** 2, math.sin(0.6) ** 2))


def test_at_worst_a_bore_has_grown_by_the_greatest_coefficients() -> None:
    """And at best, from a loose bore, shrunk by them: coldest and driest."""
    loose = {"loose_mm": 0.3, "loose_sigma_mm": 0.02, "part_under_mm": (0.0, 0.009)}
    play = mesh(
        driver=gear("S1", 20, hole("a", **loose)),
        driven=gear("output", 40, hole("c", **loose)),
        plate=PlateGrowth((100e-6, 120e-6), (0.001, 0.004)),
    )
    (part,) = [one for one in contributors(play, HALL) if one.cause is Cause.BORE]
    push = math.sin(PAIR.working_angle_rad(30.06))
    grown = (120e-6 - 11.5e-6) * 13.0 + 0.004 * 0.3
    shrunk = (120e-6 - 11.5e-6) * -7.0 + 0.004 * -0.2
    assert part.high_mm == pytest.approx(push * (0.3 + 3 * 0.02 + 0.009 + 22.0 * grown))  # two gears, half each
    assert part.low_mm == pytest.approx(push * (0.3 - 3 * 0.02 + 22.0 * shrunk))
    # what is likely stays by the middle of the coefficients
    middle = 0.5 * ((110e-6 - 11.5e-6) * (13.0 - 7.0) + 0.0025 * (0.3 - 0.2))
    assert part.mean_mm == pytest.approx(push * (0.3 + 0.0045 + 22.0 * middle), rel=1e-6)


def test_hot_dry_and_cold_wet_are_the_ends_of_hall_and_moisture_that_they_say() -> None:
    """Growth by the middle of the coefficients, all else at its mean; near a motor the hot end has its heat besides."""
    plate = PlateGrowth((100e-6, 120e-6), (0.001, 0.004), 1.0)
    found = budget(mesh(plate=plate), HALL)
    hot_dry = 30.06 * (1.0 + 13.0 * (110e-6 - 11.5e-6) + 40.0 * 110e-6 + 0.0025 * -0.2)
    cold_wet = 30.06 * (1.0 + -7.0 * (110e-6 - 11.5e-6) + 0.0025 * 0.3)
    assert found.hot_dry_mm == pytest.approx(PAIR.backlash_mm(hot_dry, 0.0), abs=1e-6)
    assert found.cold_wet_mm == pytest.approx(PAIR.backlash_mm(cold_wet, 0.0), abs=1e-6)


def test_operating_reference_and_normal_backlash_are_three_numbers() -> None:
    play = mesh(centre_mm=30.5)
    found = budget(play, STILL)
    working = math.acos(30.0 * math.cos(math.radians(20)) / 30.5)
    assert found.normal_mm == pytest.approx(found.operating_mm * math.cos(working))
    assert found.reference_mm == pytest.approx(found.operating_mm * math.cos(working) / math.cos(math.radians(20)))


def test_meshes_of_one_shaft_share_its_draws() -> None:
    """An intermediate shaft off toward one mesh is off from the other: their distances move against each other."""
    side = {"sigma_x_mm": 0.03, "sigma_y_mm": 0.0}
    shared = hole("S1", **side)
    one = mesh(driven=gear("S1", 40, shared), driver=gear("M1", 20, hole("p")))
    two = mesh(driver=gear("S1", 20, shared), driven=gear("output", 40, hole("o")))
    first, second = simulate([one, two], STILL)
    assert first.tight_mm.mean() == pytest.approx(second.tight_mm.mean(), abs=1e-3)
    moved = [found.tight_mm - found.tight_mm.mean() for found in (first, second)]
    assert float((moved[0] * moved[1]).mean()) / float(moved[0].std() * moved[1].std()) < -0.99


def test_a_train_is_drawn_as_the_scatter_that_outside_cases_hold() -> None:
    """One mesh by both: bores from 0.05 under to 0.04 over, and all else that scatters."""
    bore = {"sigma_x_mm": 0.025, "sigma_y_mm": 0.025, "loose_mm": -0.05, "part_under_mm": (0.0, 0.09),
            "internal_mm": (0.003, 0.018)}  # fmt: skip
    play = mesh(
        driver=gear("S1", 20, hole("a", **bore), hole("b", **bore), thinning_mm=(0.0, 0.04)),
        driven=gear("output", 40, hole("c", **bore), hole("d", **bore), thinning_mm=(0.0, 0.04)),
        plate=PlateGrowth((110e-6, 110e-6), (1.0, 1.0)),
    )
    (drawn,) = simulate([play], Climate((-5.0, 30.0), 0.0, (-0.0005, 0.001)))
    wanted = plate_scatter(
        PlateScatter(
            pair=PAIR,
            centre_mm=30.06,
            thinning_mm=(0.0, 0.04),
            sigma_pos_mm=0.025,
            bore_error_mm=(-0.05, 0.04),
            bore_diameter_mm=22.0,
            clearance_mm=(0.003, 0.018),
            cte_plate_per_k=110e-6,
            cte_gear_per_k=11.5e-6,
            dt_k=(-5.0, 30.0),
            moisture=(-0.0005, 0.001),
        ),
        1 << 18,
    )
    for one, other in ((drawn.centre, wanted.centre_mm), (drawn.middle, wanted.backlash_mm)):
        assert one.mean == pytest.approx(other.mean, abs=0.015 * other.std)
        assert one.std == pytest.approx(other.std, rel=0.01)
        assert (one.q001, one.q999) == pytest.approx((other.q001, other.q999), abs=0.1 * other.std)


def test_a_hundred_thousand_gearboxes_of_four_meshes_take_well_under_a_second() -> None:
    begun = time.process_time()
    found = simulate([FULL] * 4, HALL, 0.3)
    assert time.process_time() - begun < 0.6
    assert found[0].middle == simulate([FULL], HALL)[0].middle  # the same draws whatever else is asked for
    assert found[0].probability_over is not None


def test_the_proposal_keeps_the_smallest_play_with_no_step_too_many() -> None:
    found = propose(FULL, HALL, 30.0, 0.06)
    assert found.added_mm > 0.05
    assert found.budget.likely_mm[0] >= 0.06 - 1e-6
    nearer = budget(replace(FULL, centre_mm=30.0 + found.added_mm - STEP_MM), HALL)
    assert nearer.likely_mm[0] < 0.06
    thin = replace(FULL, driven=replace(FULL.driven, thinning_mm=(0.5, 0.6)))
    assert propose(thin, HALL, 30.0, 0.06).added_mm == 0.0
    (drawn,) = simulate([replace(FULL, centre_mm=30.0 + found.added_mm)], HALL)
    assert drawn.tight.q001 == pytest.approx(0.06, abs=0.02)


def test_clipped_moments() -> None:
    # half-normal: mean sigma / sqrt(2 pi), second moment sigma^2 / 2
    assert clipped_moments(0.0, 0.02) == pytest.approx((0.02 / math.sqrt(2 * math.pi), 0.0002))
    assert clipped_moments(0.5, 0.0) == (0.5, 0.25)
    assert clipped_moments(-0.5, 0.01) == pytest.approx((0.0, 0.0), abs=1e-12)


def test_every_cause_says_how_it_is_reckoned() -> None:
    assert set(HOW) == set(Cause)
    assert all("(" in how for how in HOW.values())  # formula and, in brackets, where it comes from
