"""Sheets that give way: two formulas against grids that share nothing with them, and their inputs from real plates."""

from __future__ import annotations

import math
import re

import numpy as np
import pytest

from gearplate.catalog import load_catalog, profiles_folder
from gearplate.layout.design import HoleKind
from gearplate.rating.duty import Duty
from gearplate.rating.rate import rate, tables_of
from gearplate.rating.rating import Rating
from gearplate.rating.sheet_stiffness import TILT, bent_mm, give_mm, net_width_mm, plate_stiffness_n_mm
from tests.builders.designs import design
from tests.builders.plane_stress import pushed_apart_mm
from tests.builders.plate_bending import sunk_mm

ACETAL, POISSON, THICK = 2800.0, 0.37, 6.0
STIFF = plate_stiffness_n_mm(ACETAL, THICK, POISSON)
TABLES = tables_of(load_catalog((profiles_folder(),)))


@pytest.mark.parametrize(
    ("centre", "radius", "wide", "high"),
    [(45, 14, 150, 60), (60, 14, 160, 50), (58, 14, 140, 90), (60, 6, 140, 80), (60, 8, 160, 50)],
)
def test_bores_are_pushed_apart_as_a_grid_in_plane_stress_says(centre, radius, wide, high) -> None:
    found = pushed_apart_mm(centre, radius, wide, high, 1.0, ACETAL, POISSON, THICK, 100.0)
    assert 2.0 * give_mm(100.0, centre, high - 2.0 * radius, THICK, ACETAL) == pytest.approx(found, rel=0.12)


POSTS = [
    ((104, 104), [(8, 8), (96, 8), (96, 96), (8, 96)], (48, 48)),
    ((120, 80), [(8, 8), (112, 8), (112, 72), (8, 72)], (32, 40)),
    ((120, 80), [(8, 8), (112, 8), (56, 72)], (56, 32)),
    ((160, 64), [(8, 8), (152, 8), (152, 56), (8, 56)], (80, 32)),
    ((144, 120), [(8, 8), (136, 8), (72, 112)], (40, 32)),
    ((160, 104), [(24, 24), (80, 24), (80, 80), (24, 80), (152, 48)], (48, 48)),
]


@pytest.mark.parametrize(("size", "posts", "bore"), POSTS)
def test_a_sheet_between_posts_is_bent_as_a_grid_says(size, posts, bore) -> None:
    sunk = sunk_mm(*size, 8.0, STIFF, POISSON, posts, [(bore, 100.0)])
    away = sorted(math.dist(bore, post) for post in posts)[:3]
    assert bent_mm(100.0, away, min(size), STIFF) == pytest.approx(at(sunk, *bore), rel=0.2)


@pytest.mark.parametrize(("size", "posts", "bore"), POSTS[1:5])
def test_a_couple_tilts_a_bore_by_no_more_than_told(size, posts, bore) -> None:
    for ux, uy in ((1, 0), (0, 1)):
        high, low = ((bore[0] + side * 16 * ux, bore[1] + side * 16 * uy) for side in (1, -1))
        sunk = sunk_mm(*size, 8.0, STIFF, POISSON, posts, [(high, 100.0), (low, -100.0)])
        tilt = (at(sunk, *high) - at(sunk, *low)) / 32.0
        assert 0.0 < tilt < TILT * 3200.0 / STIFF


def at(sunk: np.ndarray, x: float, y: float) -> float:
    return float(sunk[round(x / 8), round(y / 8)])


def test_the_grid_of_bent_plates_itself() -> None:
    """A square plate on simple supports, a force in its middle: 0.0116 F a^2 / D (Timoshenko, plates; from memory)."""
    rim = [(x, y) for x in range(0, 101, 10) for y in (0, 100)] + [(x, y) for y in range(0, 101, 10) for x in (0, 100)]
    sunk = sunk_mm(100, 100, 10.0, STIFF, 0.3, rim, [((50, 50), 100.0)])
    assert sunk[5, 5] * STIFF / (100.0 * 100.0**2) == pytest.approx(0.0116, rel=0.03)
    assert np.allclose(sunk, sunk[::-1], atol=1e-9)


def test_sheet_beside_a_bore_is_measured_to_what_is_cut_next() -> None:
    plate = design("compost-drive").plates[0]
    bore = next(one for one in plate.features if one.kind is HoleKind.BEARING_BORE and one.shaft == "output")
    for angle in np.linspace(0.0, math.pi, 7):
        net = net_width_mm(plate, bore, float(angle))
        assert 10.0 < net < 250.0
        assert net == pytest.approx(net_width_mm(plate, bore, float(angle) + math.pi))


def told(part: str) -> Rating:
    made = design("compost-drive")
    return next(one for one in rate(made.layout, made.spec, TABLES, Duty(), made.plates).items if part in one.part)


def test_both_by_hand_from_what_is_told() -> None:
    spread = told("S1 to output, bores pushed apart")
    force, centre = (float(found) for found in re.findall(r"F sin a = (\d+) N, C = ([\d.]+) mm", spread.note)[0])
    bores = [map(float, found) for found in re.findall(r"s = ([\d.]+), n = ([\d.]+) mm, E t = (\d+)", spread.note)]
    assert len(bores) == 4
    by_hand = sum(s * s * force * (1.2 + 0.39 * centre / n) / stretch for s, n, stretch in bores)
    assert spread.value == pytest.approx(by_hand, rel=0.03)
    for side in ("outboard", "inboard"):
        bent = told(f"output bore in the {side} plate, sheet bent")
        away = [float(found) for found in re.findall(r"(?:rail|standoff)-\d+ ([\d.]+) mm", bent.note)]
        values = {name: float(value) for name, value in re.findall(r"(\w) = ([\d.]+)", bent.note)}
        a = math.prod(away) ** (1 / 3)
        stiffness = values["E"] * values["t"] ** 3 / 12 / (1 - values["v"] ** 2)
        by_hand = (0.033 + 0.11 * (a / values["B"]) ** 2) * values["F"] * a * a / stiffness
        assert bent.value == pytest.approx(by_hand, rel=0.01)
