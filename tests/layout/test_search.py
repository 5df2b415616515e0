"""The scores that the search compares."""

from __future__ import annotations

import math

import numpy as np
import pytest

from gearplate.geometry.discs import hull_area
from gearplate.layout.constraints import build_model
from gearplate.layout.search import positions_of, scorer, search
from gearplate.layout.spec import LimitsSpec
from gearplate.layout.stack import axial_stack
from tests.builders.specs import drive_spec

SPEC = drive_spec(motors=2)
MODEL = build_model(SPEC, axial_stack(SPEC), ((45.0, 0.0), (-45.0, 0.0)))


def test_positions_follow_the_tree() -> None:
    angles = np.array([[math.pi / 2, 0.1, 1.0]])
    where = positions_of(MODEL, angles)[0]
    for shaft, parent, distance in zip(MODEL.order, MODEL.parents, MODEL.distances, strict=True):
        assert np.hypot(*(where[shaft] - where[parent])) == pytest.approx(distance)


def test_the_hull_estimate_is_never_too_small_and_at_most_five_per_cent_too_large() -> None:
    random = np.random.default_rng(7)
    angles = random.uniform(-math.pi, math.pi, (40, len(MODEL.free)))
    estimate, _ = scorer(MODEL, LimitsSpec(), -1e9)(angles)
    where = positions_of(MODEL, angles)
    for row in range(len(angles)):
        discs = [(*map(float, where[row, i]), MODEL.hull_radius[i]) for i in range(len(MODEL.names))]
        exact = hull_area([*discs, *MODEL.hull_fixed])
        assert exact - 1e-6 <= estimate[row] <= 1.05 * exact


def test_a_limit_missed_by_a_millimetre_costs_a_millimetre() -> None:
    found = search(MODEL, LimitsSpec(), -40.0, seed=3)[0]
    angles = np.array([found.angles_rad])
    top = max(found.positions[n][1] + max(MODEL.reach[i], MODEL.hull_radius[i]) for i, n in enumerate(MODEL.names))
    _, free = scorer(MODEL, LimitsSpec(), -40.0)(angles)
    _, tight = scorer(MODEL, LimitsSpec(up_mm=top - 1.0), -40.0)(angles)
    assert tight[0] - free[0] == pytest.approx(1.0)


def test_the_same_seed_gives_the_same_answer() -> None:
    assert search(MODEL, LimitsSpec(), -40.0, seed=3) == search(MODEL, LimitsSpec(), -40.0, seed=3)
