"""The scatter of a mesh against plain draws of the same model, written apart, with vectors and tooth thicknesses."""

from __future__ import annotations

import math

import numpy as np
import pytest

from gearplate.gears.play.pair import Pair
from gearplate.gears.play.plate_scatter import PlateScatter, Scattered, plate_scatter

CASE = {
    "thinning_mm": (0.0, 0.04),
    "sigma_pos_mm": 0.025,
    "bore_error_mm": (-0.05, 0.04),
    "bore_diameter_mm": 28.575,
    "clearance_mm": (0.003, 0.018),
    "cte_plate_per_k": 110e-6,
    "cte_gear_per_k": 11.5e-6,
    "dt_k": (-5.0, 30.0),
    "moisture": (-0.0005, 0.001),
}
Z1, Z2, M, A, X1, X2, CENTRE = 12, 60, 1.27, math.radians(20), 0.4, -0.1, 46.06


def drawn_plainly(direction: str, plates: int, count: int = 400_000) -> tuple[np.ndarray, np.ndarray]:
    random = np.random.default_rng(20)
    dt = random.uniform(*CASE["dt_k"], count)
    plate = CASE["cte_plate_per_k"] * dt + random.uniform(*CASE["moisture"], count)
    gear = CASE["cte_gear_per_k"] * dt
    half_sum = 0.5 * (Z1 + Z2) * M
    angle = math.acos(half_sum * math.cos(A) / CENTRE)
    axes = np.zeros((2, 2, count))  # shaft, x and y
    for shaft, sign in enumerate((-1.0, 1.0)):
        for _ in range(plates):
            hole = random.normal(0.0, CASE["sigma_pos_mm"], (2, count))
            size = random.uniform(*CASE["bore_error_mm"], count) + CASE["bore_diameter_mm"] * (plate - gear)
            play = np.where(size > 0, size, 0.0) / 2 + random.uniform(*CASE["clearance_mm"], count) / 2
            way = np.full(count, math.pi / 2 - angle)
            if direction == "random":
                way, sign = random.uniform(0.0, 2 * math.pi, count), 1.0
            axes[shaft] += (hole + sign * play * np.stack([np.cos(way), np.sin(way)])) / plates
    x, y = axes[1] - axes[0]
    centre = np.sqrt((x + CENTRE * (1 + plate)) ** 2 + y**2)
    # Tooth thickness on the working circle of each grown gear, from its reference thickness.
    module = M * (1 + gear)
    working = np.arccos(0.5 * (Z1 + Z2) * module * math.cos(A) / centre)
    gap = 2 * math.pi * centre / (Z1 + Z2)
    for z, shift in ((Z1, X1), (Z2, X2)):
        radius = centre * z / (Z1 + Z2)
        thick = module * (math.pi / 2 + 2 * shift * math.tan(A)) - random.uniform(*CASE["thinning_mm"], count)
        half = thick / (module * z) + (math.tan(A) - A) - (np.tan(working) - working)
        gap = gap - 2 * radius * half
    return centre, gap


@pytest.mark.parametrize(("direction", "plates"), [("load", 2), ("random", 2), ("load", 1)])
def test_it_agrees_with_plain_draws(direction: str, plates: int) -> None:
    centre, backlash = drawn_plainly(direction, plates)
    pair = Pair(Z1, Z2, M, A, X1 + X2)
    found = plate_scatter(
        PlateScatter(pair=pair, centre_mm=CENTRE, direction=direction, plates=plates, **CASE), 1 << 18
    )
    for spread, values in ((found.centre_mm, centre), (found.backlash_mm, backlash)):
        std = values.std()
        assert spread.mean == pytest.approx(values.mean(), abs=0.008 * std)
        assert spread.std == pytest.approx(std, rel=0.008)
        assert (spread.q001, spread.q999) == pytest.approx(tuple(np.quantile(values, (0.001, 0.999))), abs=0.06 * std)
    assert found.probability_binds == pytest.approx(np.mean(backlash <= 0), abs=0.004)
    assert 0.02 < found.probability_binds < 0.6


PAIR = Pair(20, 40, 1.0, math.radians(20))


def of(**given: object) -> Scattered:
    return plate_scatter(PlateScatter(pair=PAIR, centre_mm=30.05, **given), 1 << 14)  # type: ignore[arg-type]


def test_the_same_input_gives_the_same_numbers() -> None:
    assert of(sigma_pos_mm=0.02, thinning_mm=(0, 0.03)) == of(sigma_pos_mm=0.02, thinning_mm=(0, 0.03))


def test_nothing_that_scatters_leaves_the_nominal_mesh() -> None:
    found = of()
    assert (found.centre_mm.mean, found.centre_mm.q001) == pytest.approx((30.05, 30.05))
    assert found.backlash_mm.mean == pytest.approx(PAIR.backlash_mm(30.05, 0.0))
    assert (found.centre_mm.std, found.probability_binds) == (pytest.approx(0.0), 0.0)


def test_gears_of_the_plates_own_material_keep_their_play_in_the_heat() -> None:
    cool, warm = of(), of(cte_plate_per_k=100e-6, cte_gear_per_k=100e-6, dt_k=(30.0, 30.0))
    assert warm.centre_mm.mean == pytest.approx(cool.centre_mm.mean * 1.003)
    assert warm.backlash_mm.mean == pytest.approx(cool.backlash_mm.mean * 1.003)


def test_growth_opens_the_bores_too() -> None:
    """A bore of the bearing's very size is 30 K x 1e-4 x 22 mm = 0.066 mm too wide in the heat; under load its half
    goes along the tooth force."""
    growth = {"cte_plate_per_k": 100e-6, "dt_k": (30.0, 30.0)}
    tight, open_ = of(bore_error_mm=(-1.0, -1.0), bore_diameter_mm=22.0, **growth), of(bore_diameter_mm=22.0, **growth)
    working = math.acos(30 * math.cos(math.radians(20)) / 30.05)
    assert open_.centre_mm.mean - tight.centre_mm.mean == pytest.approx(2 * 0.033 * math.sin(working), abs=1e-4)


def test_position_errors_average_out_over_independent_plates_and_warmth_does_not() -> None:
    one, four = of(sigma_pos_mm=0.04, plates=1), of(sigma_pos_mm=0.04, plates=4)
    assert four.centre_mm.std == pytest.approx(one.centre_mm.std / 2, rel=0.01)
    warm = {"cte_plate_per_k": 100e-6, "dt_k": (0.0, 30.0)}
    one, four = of(plates=1, bore_error_mm=(-1, -1), **warm), of(plates=4, bore_error_mm=(-1, -1), **warm)
    assert four.centre_mm.std == pytest.approx(one.centre_mm.std, rel=0.001)


def test_teeth_that_leave_the_base_circles_count_as_bound() -> None:
    found = plate_scatter(PlateScatter(pair=PAIR, centre_mm=28.0), 1 << 10)
    assert found.probability_binds == 1.0


@pytest.mark.parametrize(
    "given", [{"direction": "up"}, {"plates": 0}, {"thinning_mm": (0.03, 0.01)}, {"dt_k": (10.0, -10.0)}]
)
def test_what_cannot_be_is_refused(given: dict[str, object]) -> None:
    with pytest.raises(ValueError, match=r"direction|plates|range"):
        of(**given)
