"""Sections of bars: the hexagon by numbers (its area by strips, its torsion by a grid), rounds by closed forms."""

from __future__ import annotations

import math

import numpy as np
import pytest

from gearplate.catalog.row import Bore
from gearplate.rating.shafts import section, von_mises_mpa


def hexagon_torsion_modulus(across=2.0, cells=120):
    """T / greatest shear of a twisted hexagon: Prandtl's function, lap(u) = -2, relaxed on a grid of points."""
    corner = across / math.sqrt(3.0)
    xs = np.linspace(-corner, corner, 2 * cells + 1)
    h = xs[1] - xs[0]
    x, y = np.meshgrid(xs, xs, indexing="ij")
    inside = np.max([np.abs(x * math.cos(a) + y * math.sin(a)) for a in np.radians([30, 90, 150])], axis=0) < across / 2
    u = np.zeros_like(x)
    red = (np.add.outer(np.arange(len(xs)), np.arange(len(xs))) % 2) == 0
    speed = 2 / (1 + math.sin(math.pi / (2 * cells)))
    for _ in range(3 * cells):
        for colour in (inside & red, inside & ~red):
            around = np.roll(u, 1, 0) + np.roll(u, -1, 0) + np.roll(u, 1, 1) + np.roll(u, -1, 1)
            u = np.where(colour, u + speed * ((around + 2 * h * h) / 4 - u), u)
    torque = 2 * u.sum() * h * h
    # the greatest slope stands in the middle of a side: the flats at top and bottom lie at y = +-across / 2
    middle = u[cells]
    last = np.flatnonzero(inside[cells])[-1]
    d1 = across / 2 - xs[last - 4]
    d2 = across / 2 - xs[last - 12]
    slope = (middle[last - 4] / d1 * d2 - middle[last - 12] / d2 * d1) / (d2 - d1)
    return torque / slope


def test_hexagon_twisted():
    bar = Bore("hex", 2.0)
    assert section(bar).torsion_mm3 == pytest.approx(hexagon_torsion_modulus(), rel=0.02)


def test_hexagon_bent():
    """Second moment and the depth of the corner, by strips."""
    s, corner = 2.0, 2.0 / math.sqrt(3.0)
    y = np.linspace(-corner, corner, 200001)
    width = np.minimum(s, 2 * (corner - np.abs(y)) * math.sqrt(3.0))  # corners up and down
    second = float(np.sum(width * y * y) * (y[1] - y[0]))
    found = section(Bore("hex", s))
    assert found.second_moment_mm4 == pytest.approx(second, rel=1e-4)
    assert found.bending_mm3 == pytest.approx(second / corner, rel=1e-4)


def test_round_bar():
    """Handbook: a 10 mm bar has 98.17 mm3 against bending and 196.35 mm3 against torsion."""
    found = section(Bore("round", 10.0))
    assert found.bending_mm3 == pytest.approx(98.175, abs=0.01)
    assert found.torsion_mm3 == pytest.approx(196.35, abs=0.01)
    assert von_mises_mpa(Bore("round", 10.0), 98.175e2, 0.0) == pytest.approx(100.0, abs=0.01)
    assert von_mises_mpa(Bore("round", 10.0), 0.0, 196.35e2) == pytest.approx(173.2, abs=0.05)
